"""The points that tell most for a given number of bakes: D-optimal exchange.

V. V. Fedorov, Theory of Optimal Experiments (1972), in the form that goes through the points one by one (R. D. Cook
and C. J. Nachtsheim, Technometrics 22 (1980) 315-324). That of pydoe knows full polynomials only, never bakes a
point twice and knows no days and ovens; on what both can do, a test holds ours to be no worse. Loads numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import numpy as np

from perflour.designs.layout.terms import Array

#: Fresh beginnings; the best of them is taken.
STARTS = 24
#: Of large trials fewer, so that a pass over all beginnings stays within so many products.
MOST_PRODUCTS = 2_000_000_000
MOST_PASSES = 50
#: Keeps what cannot be told yet out of the way until it can; not so small that rounding errors would choose.
RIDGE = 1e-4


def best_points(candidates: Array, count: int, fixed: Array, rng: Random) -> list[int]:
    """The numbers of ``count`` candidates that, with the ``fixed`` rows, tell most of all terms together.

    ``candidates`` and ``fixed``: one row a point, one column a term. A candidate may be taken more than once.
    """
    best: tuple[float, list[int]] | None = None
    blocks = np.empty((count, 0))
    products = max(1, count) * candidates.shape[0] * candidates.shape[1] ** 2
    for _ in range(max(2, min(STARTS, MOST_PRODUCTS // products))):
        start = [rng.randrange(len(candidates)) for _ in range(count)]
        found = exchanged(candidates, start, range(count), blocks, fixed)
        rating = -round(told(np.vstack([candidates[found], fixed])), 6)
        if best is None or (rating, sorted(found)) < best:
            best = rating, sorted(found)
    assert best is not None
    return best[1]


def told(rows: Array) -> float:
    """The logarithm of the determinant of X'X; minus infinity where some term cannot be told."""
    sign, log = np.linalg.slogdet(rows.T @ rows)
    return float(log) if sign > 0 else -np.inf


def exchanged(
    candidates: Array, chosen: Sequence[int], free: Sequence[int], blocks: Array, fixed: Array
) -> list[int]:
    """The chosen candidates after as many exchanges as raise the determinant.

    Only those at ``free`` places may be exchanged. ``blocks`` has a row a place: what day and oven add there,
    fitted beside the terms; ``fixed`` holds further rows of terms only, and goes with no blocks.
    """
    chosen = list(chosen)
    terms, more = candidates.shape[1], blocks.shape[1]
    whole = np.hstack([candidates[chosen], blocks])
    known = whole.T @ whole + RIDGE * np.eye(terms + more)
    known[:terms, :terms] += fixed.T @ fixed
    for _ in range(MOST_PASSES):
        moved = False
        for place in free:
            row = np.concatenate([candidates[chosen[place]], blocks[place]])
            rest = np.asarray(np.linalg.inv(known - np.outer(row, row)), dtype=float)
            gain = _gains(candidates, blocks[place], rest)
            now = gain[chosen[place]]
            # six digits: every machine takes the first of what is equal
            scale = 10.0 ** (6 - np.ceil(np.log10(max(float(gain.max()), 1e-300))))
            taken = int(np.argmax(np.round(gain * scale)))
            if gain[taken] > now * (1 + 1e-5):
                new = np.concatenate([candidates[taken], blocks[place]])
                known += np.outer(new, new) - np.outer(row, row)
                chosen[place], moved = taken, True
        if not moved:
            break
    return chosen


def _gains(candidates: Array, block: Array, rest: Array) -> Array:
    """By how much each candidate at a place of that block raises the determinant."""
    terms = candidates.shape[1]
    inner = np.einsum("ij,ij->i", candidates @ rest[:terms, :terms], candidates)
    if not len(block):
        return np.asarray(inner)
    cross = candidates @ (rest[:terms, terms:] @ block)
    return np.asarray(inner + 2 * cross + block @ rest[terms:, terms:] @ block)
