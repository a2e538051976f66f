"""Trials written by hand, for published examples whose bakes are given."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.designs.design import Design, Factor, Run


def made(
    points: Sequence[Sequence[float]],
    names: Sequence[str],
    model: str,
    days: Sequence[int] | None = None,
    low: float = -1,
) -> Design:
    """Runs in the given order, each of its day (all of one where none is given)."""
    runs = tuple(
        Run(at + 1, tuple(map(float, levels)), (days or [1] * len(points))[at], 1, at + 1, not any(levels), 1)
        for at, levels in enumerate(points)
    )  # fmt: skip
    return Design("full", tuple(Factor(n, low, 1) for n in names), model, runs, 1, (), None, ())


#: The filtration rate of a pilot plant, 2^4 without replicates, in standard order (A changes fastest): D. C. Montgomery,
#: Design and Analysis of Experiments, example 6.2 (from memory).
FILTRATION_NAMES = ("A", "B", "C", "D")
FILTRATION = [45, 71, 48, 65, 68, 60, 80, 65, 43, 100, 45, 104, 75, 86, 70, 96]
FILTRATION_POINTS = [[1 if at >> bit & 1 else -1 for bit in range(4)] for at in range(16)]

#: Elongation of yarn, shares of polyethylene, polystyrene and polypropylene: J. A. Cornell, Experiments with Mixtures
#: (2002); NIST/SEMATECH e-Handbook 5.5.4.2 (from memory).
YARN_NAMES = ("polyethylene", "polystyrene", "polypropylene")
YARN = {
    (1, 0, 0): (11.0, 12.4),
    (0.5, 0.5, 0): (15.0, 14.8, 16.1),
    (0, 1, 0): (8.8, 10.0),
    (0, 0.5, 0.5): (10.0, 9.7, 11.8),
    (0, 0, 1): (16.8, 16.0),
    (0.5, 0, 0.5): (17.7, 16.4, 16.6),
}
