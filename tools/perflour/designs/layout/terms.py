"""What a model of a trial is made of: its terms, their columns, and which of them a trial cannot tell apart.

Numbers in, numbers out. A term is a tuple of factor names: ``()`` the mean, ``("butter",)`` a main effect,
``("butter", "sugar")`` a pair, ``("butter", "butter")`` a curve. Loads numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, combinations_with_replacement
from typing import Any

import numpy as np
from numpy.typing import NDArray

Term = tuple[str, ...]
Array = NDArray[np.float64]

#: What may be fitted: ``main`` effects; with all ``pairs``; with curves too (``curved``: a full quadratic);
#: ``blend``: the quadratic of shares that sum to 1, H. Scheffé, Journal of the Royal Statistical Society B 20
#: (1958) 344-360.
MODELS = ("main", "pairs", "curved", "blend")
#: Shares below this are the rounding of floats, or too small for a baker to mind.
LEAST_SHARE = 0.05
#: From here on two columns are one.
SAME = 0.999


@dataclass(frozen=True)
class Alias:
    """What stands for ``term`` holds ``share`` times the true effect of ``other`` too (coded units).

    A share of 1 or -1: nothing tells the two apart. G. E. P. Box and K. B. Wilson's alias matrix, Journal of
    the Royal Statistical Society B 13 (1951) 1-45.
    """

    term: Term
    other: Term
    share: float


def model_terms(names: Sequence[str], model: str) -> tuple[Term, ...]:
    """The terms of one of ``MODELS``, in the order of the factors; the mean comes first.

    A blend has no mean: its shares sum to 1.
    """
    single: list[Term] = [(name,) for name in names]
    pairs: list[Term] = list(combinations(names, 2))
    if model == "blend":
        return (*single, *pairs)
    squares: list[Term] = [(name, name) for name in names]
    more = {"main": [], "pairs": pairs, "curved": pairs + squares}[model]
    return ((), *single, *more)


def columns(points: Array, names: Sequence[str], terms: Sequence[Term]) -> Array:
    """One row a point, one column a term: the product of the coded levels that it names."""
    at = {name: number for number, name in enumerate(names)}
    made = [np.prod(points[:, [at[name] for name in term]], axis=1) for term in terms]
    return np.column_stack(made) if made else np.empty((len(points), 0))


def beyond(names: Sequence[str], model: str) -> tuple[Term, ...]:
    """The terms that the model leaves out, up to one order above its own."""
    kept = set(model_terms(names, model))
    if model == "main":
        return tuple(combinations_with_replacement(names, 2))
    others = [*combinations_with_replacement(names, 2), *combinations(names, 3)]
    if model == "blend":
        others = list(combinations(names, 3))
    return tuple(term for term in others if term not in kept)


def confounded(points: Array, names: Sequence[str], model: str, blocks: Array) -> tuple[Alias, ...]:
    """Which effects of the model hold others, and which others are one column, read off the columns.

    So it is told for any trial, regular or not. ``blocks`` are the columns of days and ovens, which are fitted
    beside. The mean is no effect and is left out. Of a model of main effects it is also told which pairs are one:
    each once, as ``term`` and ``other``.
    """
    terms, others = model_terms(names, model), beyond(names, model)
    fitted = np.hstack([columns(points, names, terms), blocks])
    left_out = columns(points, names, others)
    holds = np.linalg.lstsq(fitted, left_out, rcond=None)[0]
    found = [
        Alias(term, other, round(float(holds[row, column]), 6))
        for row, term in enumerate(terms)
        for column, other in enumerate(others)
        if term and abs(holds[row, column]) >= LEAST_SHARE
    ]
    if model == "main":
        found += _one_column(left_out - fitted @ holds, others)
    return tuple(found)


def _one_column(rest: Array, terms: Sequence[Term]) -> list[Alias]:
    """Terms outside the model that nothing tells apart once the model is taken out."""
    length = np.linalg.norm(rest, axis=0)
    there = [number for number, size in enumerate(length) if size > 1e-6]
    return [
        Alias(terms[i], terms[j], round(float(rest[:, i] @ rest[:, j] / length[i] ** 2), 6))
        for i, j in combinations(there, 2)
        if abs(rest[:, i] @ rest[:, j]) > SAME * length[i] * length[j]
    ]


def without(fitted: Array, rest: Array) -> Array:
    """What is left of ``rest`` once its projection on ``fitted`` is taken out."""
    if not fitted.shape[1]:
        return rest
    return rest - fitted @ np.linalg.lstsq(fitted, rest, rcond=None)[0]


def lost_to_blocks(
    points: Array, names: Sequence[str], model: str, blocks: Array
) -> tuple[tuple[Term, float], ...]:
    """The share of what a trial could tell of a term that goes to days and ovens instead, 0 to 1.

    For the terms of the model and all pairs; 1 is an effect that cannot be told from that of the days. Terms
    that lose less than one part in a hundred are left out.
    """
    if not blocks.shape[1]:
        return ()
    asked = [t for t in model_terms(names, model) if t]
    asked += [t for t in combinations(names, 2) if t not in asked]
    centred = columns(points, names, asked)
    centred = centred - centred.mean(axis=0)
    left = without(blocks, centred)
    whole, kept = (centred**2).sum(axis=0), (left**2).sum(axis=0)
    shares = [float(1 - k / w) if w > 1e-9 else 0.0 for k, w in zip(kept, whole, strict=True)]
    return tuple((t, round(s, 6)) for t, s in zip(asked, shares, strict=True) if s >= 0.01)


def d_efficiency(points: Array, names: Sequence[str], model: str, blocks: Array) -> float | None:
    """How much a bake tells beside one of an orthogonal two-level trial without blocks, 0 to 1.

    ``|X'X / n|^(1/p)`` of the coded columns, days and ovens taken out: the usual definition, e.g. NIST/SEMATECH
    e-Handbook of Statistical Methods, 5.5.2.1. None for blends, whose shares have no such yardstick.
    """
    if model == "blend":
        return None
    fitted = columns(points, names, model_terms(names, model))
    mean, rest = fitted[:, :1], fitted[:, 1:]
    left = without(np.hstack([mean, blocks]), rest)
    sign, log = np.linalg.slogdet(left.T @ left / len(points))
    # rounded, so that every machine writes the same
    return round(float(np.exp(log / fitted.shape[1])), 6) if sign > 0 else 0.0


def rank(matrix: Any) -> int:
    """The number of independent columns."""
    return int(np.linalg.matrix_rank(matrix)) if matrix.shape[1] else 0
