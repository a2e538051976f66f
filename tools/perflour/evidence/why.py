"""Why formulas differ, as far as what was baked can say: what goes with what, what cannot be parted, how many bakes it would take.

Two questions that must not be mixed: between formulas (a formula counts once, however often it was baked), and within
the history of each formula (its revisions among themselves). Nothing here is a cause: whoever wants to know one
plans a trial, in which nothing else moves.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Literal

from perflour.balance.gas import GAS
from perflour.balance.ratios import FINE_RATIOS
from perflour.evidence.leveled import ALONE, Leveled, Score, leveled
from perflour.evidence.relations import DEALS, Pairing, Relations, moved_together, raised, relations
from perflour.evidence.rows import LISTED, Evidence, Revision, Sample
from perflour.result import CannotRun, request_field

if TYPE_CHECKING:
    from perflour.evidence.slopes import Slope

#: With fewer things not even perfect order of one figure is beyond chance: 2 of 4! orders are 1 in 12.
FEWEST = 5
#: Sections of figures that are set against scores.
LOOKED_AT = ("ratio", "flour", "ingredient", "beside", "piece", "method")
#: The ratios that a baker sets; the others follow from them.
PLAIN = frozenset(("liquid", "sugar", "fat", "egg", "salt", GAS, "yeast-instant", "fruit", "nut", "chocolate", "cocoa", "prefermented-flour", "flavouring and spice"))  # fmt: skip
#: Readings that say how it was baked, not what came of it; the last two have their part in the bake-out loss.
CONDITIONS = ("dough-temperature", "batter-temperature", "core", "bake-time", "proof-time", "mass-before", "mass-after")  # fmt: skip
#: Percent of the basis that a ratio must move by to be looked at, salt and leavening aside: house choice.
LEAST_MOVE = 0.5
#: When things were baked: scores may drift with it.
ORDER = "order of baking"
#: Behind the attribute of a ranking; turned round, so that more is nearer the first.
BY_PLACE = "by place"

Among = Literal["formulas", "revisions"]
Key = tuple[str, str]


@dataclass(frozen=True)
class Question:
    """What was asked beforehand; fewer looks find more. Empty: everything."""

    figures: tuple[str, ...] = ()
    outcomes: tuple[str, ...] = ()


ANYTHING = Question()


@dataclass(frozen=True)
class Matter:
    """What one question is asked of: things by name, the family each is compared in, their scores and figures.

    ``derived`` are figures that follow from others.
    """

    among: Among
    names: tuple[str, ...]
    family: Mapping[str, str]
    sittings: int
    scores: Mapping[str, Sequence[Score]]
    figures: Mapping[str, Sequence[float | None]]
    derived: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Level:
    """One of the two questions: the things compared, what goes with what, and what cannot be parted.

    ``alone`` are things that were in no sitting with one that they may be compared with: sittings are taken as
    alike for them. ``slopes`` are of relations that are real, or were asked for beforehand.
    """

    among: Among
    things: tuple[str, ...]
    sittings: int
    scores: int
    relations: Relations
    together: tuple[Pairing, ...]
    alone: tuple[str, ...]
    slopes: tuple[Slope, ...] = ()


@dataclass(frozen=True)
class Why:
    """The answers that there are; ``too_few`` says of a question how many things there were."""

    evidence: Evidence
    levels: tuple[Level, ...]
    too_few: tuple[tuple[Among, int], ...]
    question: Question


def why(evidence: Evidence, question: Question = ANYTHING) -> Why:
    """What goes with what in all that was baked; with a question only that.

    Raises CannotRun for a figure or outcome asked for that is not there.
    """
    matters, too_few = [], []
    for among in _asked(evidence):
        matter = _matter(evidence, among)
        if len(matter.names) < FEWEST:
            too_few.append((among, len(matter.names)))
        else:
            matters.append(matter)
    _check(question, matters)
    levels = tuple(answer(matter, question, len(matters)) for matter in matters)
    return Why(evidence, levels, tuple(too_few), question)


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


def _units(evidence: Evidence, among: Among) -> dict[str, list[Revision]]:
    """The things that are compared, by name, each with its revisions that were baked."""
    found: dict[str, list[Revision]] = defaultdict(list)
    for revision in evidence.revisions:
        found[revision.formula if among == "formulas" else revision.label].append(revision)
    if among == "formulas":
        return dict(found)
    counts: dict[str, int] = defaultdict(int)
    for revision in evidence.revisions:
        counts[revision.formula] += 1
    return {name: own for name, own in found.items() if counts[own[0].formula] > 1}


def _matter(evidence: Evidence, among: Among) -> Matter:
    units = _units(evidence, among)
    name_of = {(r.formula, r.digest): name for name, own in units.items() for r in own}
    samples = [s for s in evidence.samples if (s.revision.formula, s.revision.digest) in name_of]
    return Matter(
        among,
        tuple(units),
        {name: own[0].formula if among == "revisions" else "" for name, own in units.items()},
        len({sample.sitting for sample in samples}),
        _scores(samples, name_of),
        _figures(units, samples, name_of),
        _derived(evidence.revisions),
    )


def answer(
    matter: Matter, question: Question = ANYTHING, questions: int = 1, deals: int = DEALS
) -> Level:
    """What goes with what, its chance raised for the other question, so that all of a report is wrong in 1 of 20."""
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
        tuple(_slopes(matter, related, bool(question.figures))),
    )


def _slopes(matter: Matter, related: Relations, asked: bool) -> Iterator[Slope]:
    """Of scores by tasters, where a relation is real or was asked for beforehand."""
    wanted = [
        one
        for one in related.found
        if (one.is_real or asked) and all(row.taster for row in matter.scores[one.outcome])
    ]
    if wanted:
        from perflour.evidence.slopes import slopes  # slow to load

        yield from slopes(wanted, matter.scores, matter.figures, matter.names, matter.family)


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


def _scores(samples: Iterable[Sample], name_of: Mapping[Key, str]) -> dict[str, list[Score]]:
    """What was given and read, by outcome; places of a ranking turned round."""
    found: dict[str, list[Score]] = defaultdict(list)
    for sample in samples:
        thing = name_of[(sample.revision.formula, sample.revision.digest)]
        for given in sample.given:
            found[given.attribute].append(Score(thing, sample.sitting, given.taster, given.value))
        for given in sample.ranks:
            outcome = f"{given.attribute} {BY_PLACE}"
            found[outcome].append(Score(thing, sample.sitting, given.taster, -given.value))
        for read in sample.measured:
            if read.value is not None and read.name not in CONDITIONS:
                found[read.name].append(Score(thing, sample.sitting, "", read.value))
    return dict(found)


def _figures(
    units: Mapping[str, Sequence[Revision]],
    samples: Sequence[Sample],
    name_of: Mapping[Key, str],
) -> dict[str, list[float | None]]:
    """Every figure of every thing; of a formula the mean of its revisions that were baked."""
    keys = {
        (figure.section, figure.name): None
        for own in units.values()
        for revision in own
        for figure in revision.figures
        if figure.section in LOOKED_AT
    }
    told = {id(revision): revision.values() for own in units.values() for revision in own}
    ratios = {name for section, name in keys if section == "ratio"}
    found: dict[str, list[float | None]] = {}
    for section, name in keys:
        shown = name if section != "beside" else f"{name} beside the base"
        if section == "ingredient" and name in ratios:
            continue  # salt the ratio and salt the ingredient are one
        none = 0.0 if section in (*LISTED, "beside") else None
        values = [
            _mean([told[id(r)].get((section, name), none) for r in own]) for own in units.values()
        ]
        if section != "ratio" or name in FINE_RATIOS or _moves(values):
            found[shown] = values
    for name in CONDITIONS[:-2]:
        found[f"{name} as measured"] = _condition(name, units, samples, name_of)
    dates: dict[str, list[str]] = defaultdict(list)
    for sample in samples:
        dates[name_of[(sample.revision.formula, sample.revision.digest)]].append(sample.date)
    days = sorted({min(all_of) for all_of in dates.values()})
    found[ORDER] = [
        float(days.index(min(dates[name]))) if name in dates else None for name in units
    ]
    return found


def _derived(revisions: Sequence[Revision]) -> frozenset[str]:
    """What follows from other figures: ingredients, which are in the plain sums, and the other ratios."""
    told = {(figure.section, figure.name) for revision in revisions for figure in revision.figures}
    return frozenset(
        name
        for section, name in told
        if section == "ingredient" or (section == "ratio" and name not in PLAIN)
    )


def _condition(
    reading: str,
    units: Mapping[str, Sequence[Revision]],
    samples: Sequence[Sample],
    name_of: Mapping[Key, str],
) -> list[float | None]:
    """How it really was baked, by thing: the mean of a reading over its test bakes."""
    read: dict[str, list[float | None]] = {name: [] for name in units}
    for sample in samples:
        for figure in sample.measured:
            if figure.name == reading:
                name = name_of[(sample.revision.formula, sample.revision.digest)]
                read[name].append(figure.value)
    return [_mean(values) if values else None for values in read.values()]


def _moves(values: Sequence[float | None]) -> bool:
    known = [value for value in values if value is not None]
    return not known or max(known) - min(known) >= LEAST_MOVE


def _mean(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) / len(known) if len(known) == len(values) else None
