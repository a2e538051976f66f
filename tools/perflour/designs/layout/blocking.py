"""Which bake goes to which day and oven, so that days and ovens blur no effect.

Numbers in, numbers out. What a day or an oven adds to all its bakes is fitted beside the effects; an effect whose
column is orthogonal to the columns of days and ovens loses nothing by that. Loads numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, combinations_with_replacement
from random import Random

import numpy as np

from perflour.designs.layout.terms import Array, Term, columns, model_terms, without

#: Beginnings tried of each weighing; beyond, nothing better was found in trials of 8 to 32 bakes.
STARTS = 100
#: What blurring a term costs beside a main effect: one of the model of higher order, others by their order. Where
#: all of the model can be kept clear the first weighing finds it more often, where not the second.
IN_MODEL = (1.0, 1e-1)
COST = {1: 1.0, 2: 1e-2, 3: 1e-4, 4: 1e-6}
#: Interactions of more factors than these are not looked at in trials of more factors.
MOST_FACTORS = {2: 99, 3: 9, 4: 6}


def cells(runs: int, days: int, ovens: int) -> list[tuple[int, int]]:
    """The day and oven of each of so many bakes, both from 1, dealt out as evenly as can be."""
    # the diagonal: where the last deal does not reach all, days and ovens both stay even
    deal = [(day, (day + turn) % ovens) for turn in range(ovens) for day in range(days)]
    return sorted((day + 1, oven + 1) for day, oven in (deal[i % len(deal)] for i in range(runs)))


def block_columns(places: Sequence[tuple[int, int]]) -> Array:
    """Orthonormal columns of what days and ovens add, the mean taken out; none for one day and oven."""
    flags = [
        [float(place[side] == value) for place in places]
        for side in (0, 1)
        for value in sorted({place[side] for place in places})
    ]
    centred = np.array(flags).T
    centred = centred - centred.mean(axis=0)
    left, size, _ = np.linalg.svd(centred, full_matrices=False)
    return np.asarray(left[:, size > 1e-8])


def assign(
    points: Array, names: Sequence[str], model: str, places: Sequence[tuple[int, int]], rng: Random
) -> list[int]:
    """For each place the number of the point that is baked there.

    From random beginnings pairs of bakes change places as long as that lowers what days and ovens take
    of the terms: main effects first, then the model, pairs, triples and fours. Of what is found and can be told,
    what loses least of the main effects wins, then the largest determinant of model and blocks together, which is
    largest where nothing is lost (Fischer's inequality), then the least loss.
    """
    blocks = block_columns(places)
    order = list(range(len(points)))
    rng.shuffle(order)
    if not blocks.shape[1]:
        return order
    weighings = [_weighed(points, names, model, cost) for cost in IN_MODEL]
    fitted = columns(points, names, model_terms(names, model))
    main = weighings[0][:, : len(names)]
    best: tuple[tuple[float, ...], list[int]] | None = None
    for weighed in weighings * STARTS:
        rng.shuffle(order)
        found = _exchanged(weighed, blocks, order)
        loss = float(((blocks.T @ weighings[0][found]) ** 2).sum())
        size = np.linalg.eigvalsh(_information(fitted[found], blocks))
        # a determinant of rounding errors is none
        untold = float(size[0] <= 1e-9 * size[-1])
        log = 0.0 if untold else round(float(np.log(size).sum()), 6)
        lost = round(float(((blocks.T @ main[found]) ** 2).sum()), 6)
        rating = (untold, lost, -log, round(loss, 9))
        if best is None or rating < best[0]:
            best = rating, found
    assert best is not None
    return best[1]


def _information(fitted: Array, blocks: Array) -> Array:
    rest = without(blocks, fitted)
    return np.asarray(rest.T @ rest)


def _weighed(points: Array, names: Sequence[str], model: str, in_model: float) -> Array:
    """Columns of all terms looked at, centred, of length 1 times the root of their cost."""
    inside = [term for term in model_terms(names, model) if term]
    weights: dict[Term, float] = {t: COST[1] if len(t) == 1 else in_model for t in inside}
    for order, most in MOST_FACTORS.items():
        pick = combinations_with_replacement if order == 2 else combinations
        if len(names) <= most:
            others = [term for term in pick(names, order) if term not in weights]
            weights |= dict.fromkeys(others, COST[order])
    made = columns(points, names, list(weights))
    made = made - made.mean(axis=0)
    length = np.linalg.norm(made, axis=0)
    there = length > 1e-9
    cost = np.sqrt(np.array(list(weights.values())))
    return np.asarray(made[:, there] / length[there] * cost[there])


def _exchanged(weighed: Array, blocks: Array, order: list[int]) -> list[int]:
    """The order in which no change of two bakes lowers the loss.

    The loss is |Q'W|^2; a change of rows i and j of W moves Q'W by (q_i - q_j)(w_j - w_i)', so all changes are
    weighed at once.
    """
    order = list(order)
    rows = weighed[order]
    apart = _distances(blocks)
    while True:
        held = blocks.T @ rows
        cross = blocks @ held @ rows.T
        own = np.diag(cross)
        change = 2 * (cross + cross.T - own[:, None] - own[None, :]) + apart * _distances(rows)
        # rounded, so that every machine takes the same of equal changes
        at = int(np.argmin(np.round(change, 10)))
        i, j = divmod(at, len(order))
        if change[i, j] > -1e-9:
            return order
        order[i], order[j] = order[j], order[i]
        rows[[i, j]] = rows[[j, i]]


def _distances(rows: Array) -> Array:
    size = (rows**2).sum(axis=1)
    return np.asarray(size[:, None] + size[None, :] - 2 * rows @ rows.T)
