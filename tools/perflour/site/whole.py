"""What the pages over the whole kitchen tell: all formulas, classes side by side, trials, evidence, reviews, releases."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from perflour.compare.collect import Collected, collect
from perflour.compare.table import SideBySide, side_by_side
from perflour.designs.listing import ListedTrial, list_trials
from perflour.evidence.gather import gather
from perflour.evidence.rows import Evidence
from perflour.kitchen.house import House, kitchen_for
from perflour.release.release import Release, release
from perflour.release.review import Review, review
from perflour.result import CannotRun, FileProblem
from perflour.site.summary import Summary
from perflour.system import git
from perflour.system.branches import branches_ahead, tags
from perflour.system.extras import need
from perflour.system.paths import FORMULA_FILE

if TYPE_CHECKING:
    from perflour.designs.showed import Showed
    from perflour.evidence.why import Why

#: So many release logs and so many reviews are worked out, the newest first; others are named only.
MOST_SPANS = 12
T = TypeVar("T")


class OfClass(NamedTuple):
    """The formulas of one product class side by side, and what was found out of why they differ.

    ``table`` is None for a single formula; ``why_not`` says why there is no ``why``.
    """

    slug: str
    title: str
    table: SideBySide | None
    why: Why | None
    why_not: str


class OfTrial(NamedTuple):
    """A planned trial; ``not_told`` says why there are no results."""

    listed: ListedTrial
    showed: Showed | None
    not_told: str


class OfSpan(NamedTuple):
    """A review or release log of a span of commits; ``not_told`` where there is none, and why."""

    span: str
    review: Review | None = None
    release: Release | None = None
    not_told: str = ""


class Spans(NamedTuple):
    """The newest reviews or releases, and those beyond them, which are named only."""

    told: tuple[OfSpan, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True)
class Whole:
    """All that is told over the whole kitchen."""

    house: str
    summaries: tuple[Summary, ...]
    classes: tuple[OfClass, ...]
    evidence: Evidence | None
    trials: tuple[OfTrial, ...]
    reviews: Spans
    releases: Spans
    problems: tuple[str, ...]


def whole(
    repository: git.Repository,
    names: Sequence[str],
    summaries: Sequence[Summary],
    reviews: Sequence[str] | None = None,
) -> Whole:
    """The values of the pages over all formulas; ``reviews`` None for every branch that is not merged."""
    house = kitchen_for(str(Path(names[0]) / FORMULA_FILE)).house
    collected = collect(names)
    evidence, no_evidence = _or_why(lambda: gather(names))
    if reviews is None:
        reviews = [f"HEAD..{name}" for name in branches_ahead(repository)]
    problems = [f"{one.place}: {one.message}" for one in collected.results]
    beside = dict.fromkeys(path for one in summaries for path in one.trials)
    listed = list_trials([*names, *beside])
    problems += [f"{one.place}: {one.message}" for one in listed.problems]
    reviewed = _spans(reviews, lambda span: _review(span, names))
    released = _spans(_release_spans(repository), lambda span: _release(span, names))
    spans = (one for one in (*reviewed.told, *released.told) if one.not_told)
    problems += [f"{one.span}: {one.not_told}" for one in spans]
    return Whole(
        house=house.name,
        summaries=tuple(summaries),
        classes=tuple(_classes(collected, house, evidence)),
        evidence=evidence,
        trials=tuple(map(_trial, listed.trials)),
        reviews=reviewed,
        releases=released,
        problems=tuple(dict.fromkeys([*problems, *filter(None, [no_evidence])])),
    )


def _spans(spans: Sequence[str], told: Callable[[str], OfSpan]) -> Spans:
    return Spans(tuple(map(told, spans[:MOST_SPANS])), tuple(spans[MOST_SPANS:]))


def _or_why(work: Callable[[], T]) -> tuple[T | None, str]:
    """What is worked out, or why it cannot be."""
    try:
        return work(), ""
    except (CannotRun, FileProblem) as problem:
        return None, str(problem)


def _classes(collected: Collected, house: House, evidence: Evidence | None) -> Iterator[OfClass]:
    """Each class with two formulas or more, or one that was baked and judged, in the order of the house."""
    by_class: dict[str, list[int]] = {}
    for at, one in enumerate(collected.formulas):
        by_class.setdefault(one.balance.formula.product_class, []).append(at)
    order = {name: at for at, name in enumerate(house.classes)}
    for name in sorted(by_class, key=lambda one: (order.get(one, len(order)), one)):
        of_class = [collected.formulas[at] for at in by_class[name]]
        product = house.classes.get(name)
        judged = _judged(evidence, name)
        if len(of_class) > 1 or judged:
            why, why_not = _why(judged)
            own = replace(collected, formulas=tuple(of_class), results=())
            table = side_by_side(own) if len(of_class) > 1 else None
            yield OfClass(name, product.title if product else name, table, why, why_not)


def _judged(evidence: Evidence | None, product_class: str) -> Evidence | None:
    """What was baked and judged of one class; None where nothing was."""
    if evidence is None:
        return None
    own = replace(
        evidence,
        samples=tuple(s for s in evidence.samples if s.revision.product_class == product_class),
        unbaked=tuple(r for r in evidence.unbaked if r.product_class == product_class),
        lost=(),
        results=(),
    )
    return own if own.samples else None


def _why(judged: Evidence | None) -> tuple[Why | None, str]:
    """What goes with what in the bakes of one class."""
    from perflour.evidence.why import why

    if judged is None:
        return None, "nothing of this class was baked and judged yet"
    return _or_why(lambda: why(judged))


def _trial(listed: ListedTrial) -> OfTrial:
    return OfTrial(listed, *_or_why(lambda: _showed(listed.path)))


def _showed(path: str) -> Showed:
    """Raises CannotRun where nothing was scored yet, or a library of an extra is not there."""
    need("evidence")
    from perflour.designs.showed import what_it_showed

    return what_it_showed(path)


def _review(span: str, names: Sequence[str]) -> OfSpan:
    found, why = _or_why(lambda: review(span, names))
    return OfSpan(span, review=found, not_told=why)


def _release_spans(repository: git.Repository) -> list[str]:
    """From each tag to the next, newest first, and what came since the newest."""
    ends = [*tags(repository), "HEAD"]
    return [f"{start}..{end}" for start, end in pairwise(ends)][::-1]


def _release(span: str, names: Sequence[str]) -> OfSpan:
    found, why = _or_why(lambda: release(span, names))
    return OfSpan(span, release=found, not_told=why)
