"""Formulas by what the test bakes of their current revision scored."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from perflour.compare.collect import Compared
from perflour.compare.table import labels
from perflour.formula.digests import marks
from perflour.records.bake import bakes_in
from perflour.result import CannotRun, Result, request_field


@dataclass(frozen=True)
class Scored:
    """A formula with the mean over its bakes of one attribute; ``mean`` None where no bake scored it."""

    formula: Compared
    label: str
    mean: float | None
    bakes: int


def scored(
    formulas: Sequence[Compared], attribute: str
) -> tuple[tuple[Scored, ...], tuple[Result, ...]]:
    """The best first, those without a score last, and what is wrong with records of these revisions.

    Every bake counts once, whatever many tasters it had. Raises CannotRun where no bake of any current revision scored
    the attribute.
    """
    revisions = [marks(one.balance.formula) for one in formulas]
    read = [bakes_in(os.path.dirname(one.path), of) for one, of in zip(formulas, revisions, strict=True)]  # fmt: skip
    scores = [
        [dict(bake.scores) for bake in bakes if bake.of in of]
        for (bakes, _), of in zip(read, revisions, strict=True)
    ]
    if not any(attribute in of for each in scores for of in each):
        known = sorted({name for each in scores for of in each for name in of})
        told = (
            f"; scored are {', '.join(known)}"
            if known
            else "; record some with `perflour bake new`"
        )
        for result in (result for _, results in read for result in results):
            told = f"; one cannot be read: {result.place}: {result.message}"
        raise CannotRun(f"no bake of these revisions scores '{attribute}'{told}")
    found = []
    for one, label, each in zip(formulas, labels(formulas), scores, strict=True):
        values = [of[attribute] for of in each if attribute in of]
        found.append(Scored(one, label, fmean(values) if values else None, len(values)))
    ordered = sorted(found, key=lambda s: (s.mean is None, -(s.mean or 0.0), s.label))
    return tuple(ordered), tuple(result for _, results in read for result in results)


def best(found: Sequence[Scored], number: int) -> tuple[Scored, ...]:
    """So many of the best, and those that scored as much as the last of them. Raises CannotRun for fewer scored."""
    with_score = [one for one in found if one.mean is not None]
    if number < 1 or len(with_score) < number:
        raise CannotRun(
            f"{len(with_score)} formulas have a score, not {number}; say fewer with {request_field('best')}"
        )
    last = with_score[number - 1].mean
    assert last is not None
    return tuple(one for one in with_score if one.mean is not None and one.mean >= last)
