"""Why formulas differ, as far as what was baked can say: what goes with what, what cannot be parted, how many bakes it would take.

Two questions that must not be mixed: between formulas (a formula counts once, however often it was baked), and within
the history of each formula (its revisions among themselves). Nothing here is a cause: whoever wants to know one
plans a trial, in which nothing else moves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

from perflour.evidence.gather import gather
from perflour.evidence.leveled import ALONE, Leveled, leveled
from perflour.evidence.likely import Likely, likely
from perflour.evidence.likeness import Likeness, likeness
from perflour.evidence.matter import Among, Matter, matter_of
from perflour.evidence.pairs import PairScored, pairs_scored
from perflour.evidence.related import DEALS, Pairing, Relations
from perflour.evidence.rows import Evidence
from perflour.result import CannotRun, request_field
from perflour.system.extras import lacking, need

if TYPE_CHECKING:
    from perflour.evidence.slopes import Slope

#: With fewer things not even perfect order of one figure is beyond chance: 2 of 4! orders are 1 in 12.
FEWEST = 5


@dataclass(frozen=True)
class Question:
    """What was asked beforehand; fewer looks find more. Empty: everything."""

    figures: tuple[str, ...] = ()
    outcomes: tuple[str, ...] = ()


ANYTHING = Question()


@dataclass(frozen=True)
class Level:
    """One of the two questions: the things compared, what goes with what, and what cannot be parted.

    ``alone`` are things that were in no sitting with one that they may be compared with: sittings are taken as
    alike for them. ``slopes`` are of relations that are real, or were asked for beforehand; ``no_slopes`` says what
    they need that is not installed.
    """

    among: Among
    things: tuple[str, ...]
    sittings: int
    scores: int
    relations: Relations
    together: tuple[Pairing, ...]
    alone: tuple[str, ...]
    matter: Matter
    slopes: tuple[Slope, ...] = ()
    no_slopes: str = ""

    @property
    def moved(self) -> tuple[str, ...]:
        """The figures that were not the same in all, under every name they have."""
        still = {*self.relations.constant, *self.relations.not_whole}
        return tuple(name for name in self.matter.figures if name not in still)


@dataclass(frozen=True)
class Why:
    """The answers that there are; ``too_few`` says of a question how many things there were.

    ``likely`` is what published work says of figures that moved here, ``pairs`` are revisions one thing apart,
    ``likeness`` is of the formulas as they are now where there are several.
    """

    evidence: Evidence
    levels: tuple[Level, ...]
    too_few: tuple[tuple[Among, int], ...]
    question: Question
    likely: tuple[Likely, ...] = ()
    pairs: tuple[PairScored, ...] = ()
    likeness: Likeness | None = None


def why_of(names: Sequence[str], question: Question = ANYTHING) -> Why:
    """Why the formulas differ that files and folders hold. Raises CannotRun as ``gather`` and ``why``."""
    need("evidence", "numpy", "scipy")
    evidence = gather(names, near=True)
    told = why(evidence, question)
    several = len(evidence.paths) > 1
    return replace(
        told, pairs=pairs_scored(evidence), likeness=likeness(names) if several else None
    )


def why(evidence: Evidence, question: Question = ANYTHING, more: int = 0) -> Why:
    """What goes with what in all that was baked; with a question only that.

    ``more`` sets of looks are in the same report, and counted.

    Raises CannotRun for a figure or outcome asked for that is not there, and where numpy or scipy is not.
    """
    need("evidence", "numpy", "scipy")
    matters, too_few = [], []
    for among in _asked(evidence):
        matter = matter_of(evidence, among)
        if len(matter.names) < FEWEST:
            too_few.append((among, len(matter.names)))
        else:
            matters.append(matter)
    _check(question, matters)
    levels = tuple(answer(matter, question, len(matters) + more) for matter in matters)
    classes = sorted({revision.product_class for revision in evidence.revisions})
    moved = list(dict.fromkeys(name for level in levels for name in level.moved))
    return Why(evidence, levels, tuple(too_few), question, likely(moved, classes))


def _check(question: Question, matters: Sequence[Matter]) -> None:
    for asked, what, field in (
        (question.figures, "figures", "figure"),
        (question.outcomes, "scores", "score"),
    ):
        known = {name for matter in matters for name in getattr(matter, what)}
        for name in asked if matters else ():
            if name not in known:
                near = get_close_matches(name, known, 3) or sorted(known)[:6]
                raise CannotRun(
                    f"{request_field(field)}: no '{name}' here; name one of {', '.join(near)}"
                )


def _asked(evidence: Evidence) -> tuple[Among, ...]:
    """Which of the two questions a set can be asked at all."""
    formulas = {revision.formula for revision in evidence.revisions}
    several = len(evidence.revisions) > len(formulas)
    return (*(("formulas",) if len(formulas) > 1 else ()), *(("revisions",) if several or len(formulas) == 1 else ()))  # fmt: skip


def answer(
    matter: Matter, question: Question = ANYTHING, questions: int = 1, deals: int = DEALS
) -> Level:
    """What goes with what, its chance raised for the other question, so that all of a report is wrong in 1 of 20."""
    from perflour.evidence.relations import moved_together, raised, relations  # loads scipy

    family, names = matter.family, matter.names
    level = leveled([row for rows in matter.scores.values() for row in rows], family)
    strata = _strata(level, family)
    outcomes = {}
    for outcome, rows in matter.scores.items():
        values = leveled(rows, family).values
        if len(values) >= FEWEST and (not question.outcomes or outcome in question.outcomes):
            outcomes[outcome] = [values.get(name) for name in names]
    related = raised(relations(_asked_for(matter, question), outcomes, strata, deals), questions)
    together = moved_together(_set_by_the_baker(matter, question), strata, question.figures)
    return Level(
        matter.among,
        names,
        matter.sittings,
        sum(len(matter.scores[outcome]) for outcome in outcomes),
        related,
        together,
        tuple(name for name in names if level.groups.get(name, ALONE) == ALONE),
        matter,
        *_slopes(matter, related, bool(question.figures)),
    )


def _slopes(matter: Matter, related: Relations, asked: bool) -> tuple[tuple[Slope, ...], str]:
    """Of scores by tasters, where a relation is real or was asked for beforehand; or what is lacking for that."""
    wanted = [
        one
        for one in related.found
        if (one.is_real or asked) and all(row.taster for row in matter.scores[one.outcome])
    ]
    if not wanted:
        return (), ""
    if lacks := lacking("evidence", "statsmodels"):
        return (), lacks
    from perflour.evidence.slopes import slopes  # slow to load

    return tuple(slopes(wanted, matter.scores, matter.figures, matter.names, matter.family)), ""


def _asked_for(matter: Matter, question: Question) -> dict[str, Sequence[float | None]]:
    return {
        name: values
        for name, values in matter.figures.items()
        if not question.figures or name in question.figures
    }


def _set_by_the_baker(matter: Matter, question: Question) -> dict[str, list[float]]:
    """What a baker sets, and what was asked about, as far as every thing has it; not what follows from it."""
    found = {}
    for name, values in matter.figures.items():
        known = [value for value in values if value is not None]
        if len(known) == len(values) and (name not in matter.derived or name in question.figures):
            found[name] = known
    return found


def _strata(level: Leveled, family: Mapping[str, str]) -> list[int]:
    """Who can be compared with whom: linked by sittings and, among revisions, of one formula."""
    keys = [(level.groups.get(name, ALONE), own) for name, own in family.items()]
    numbers = {key: number for number, key in enumerate(dict.fromkeys(keys))}
    return [numbers[key] for key in keys]
