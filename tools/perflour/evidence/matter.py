"""What a question of why is asked of: things, their figures, and the scores and readings that came of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from perflour.balance.gas import GAS
from perflour.balance.ratios import FINE_RATIOS
from perflour.evidence.leveled import Score
from perflour.evidence.measured import UNITS
from perflour.evidence.rows import LISTED, Evidence, Revision, Sample

#: Sections of figures that are set against scores.
LOOKED_AT = ("ratio", "flour", "ingredient", "beside", "piece", "method")
#: The ratios that a baker sets; the others follow from them.
PLAIN = frozenset(("liquid", "sugar", "fat", "egg", "salt", GAS, "yeast-instant", "fruit", "nut", "chocolate", "cocoa", "prefermented-flour", "flavouring and spice"))  # fmt: skip
#: Readings that say how it was baked, not what came of it; the last two have their part in the bake-out loss.
CONDITIONS = ("dough-temperature", "batter-temperature", "core", "bake-time", "proof-time", "mass-before", "mass-after")  # fmt: skip
#: Percent of the basis that a ratio must move by to be looked at, salt and leavening aside: house choice.
LEAST_MOVE = 0.5
AS_MEASURED = "as measured"
#: When things were baked: scores may drift with it.
ORDER = "order of baking"
#: Behind the attribute of a ranking; turned round, so that more is nearer the first.
BY_PLACE = "by place"

Among = Literal["formulas", "revisions"]
Key = tuple[str, str]


@dataclass(frozen=True)
class Matter:
    """What one question is asked of: things by name, the family each is compared in, their scores and figures.

    ``derived`` are figures that follow from others, ``units`` those of figures by name.
    """

    among: Among
    names: tuple[str, ...]
    family: Mapping[str, str]
    sittings: int
    scores: Mapping[str, Sequence[Score]]
    figures: Mapping[str, Sequence[float | None]]
    derived: frozenset[str] = frozenset()
    units: Mapping[str, str] = field(default_factory=dict)


def matter_of(evidence: Evidence, among: Among) -> Matter:
    """The things of one question, with all that is known of them."""
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
        {_shown_as(f.section, f.name): f.unit for r in evidence.revisions for f in r.figures}
        | {f"{name} {AS_MEASURED}": UNITS[name] for name in CONDITIONS},
    )


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
        if section == "ingredient" and name in ratios:
            continue  # salt the ratio and salt the ingredient are one
        none = 0.0 if section in (*LISTED, "beside") else None
        values = [
            _mean([told[id(r)].get((section, name), none) for r in own]) for own in units.values()
        ]
        if section != "ratio" or name in FINE_RATIOS or _moves(values):
            found[_shown_as(section, name)] = values
    for name in CONDITIONS[:-2]:
        found[f"{name} {AS_MEASURED}"] = _condition(name, units, samples, name_of)
    found[ORDER] = _order(units, samples, name_of)
    return found


def _order(
    units: Mapping[str, Sequence[Revision]],
    samples: Sequence[Sample],
    name_of: Mapping[Key, str],
) -> list[float | None]:
    """Which came first: by the day it was first judged, on one day by its number in the history."""
    dates: dict[str, list[str]] = defaultdict(list)
    for sample in samples:
        dates[name_of[(sample.revision.formula, sample.revision.digest)]].append(sample.date)
    when = {
        name: (min(dates[name]), own[0].iteration if len(own) == 1 else 0)
        for name, own in units.items()
        if name in dates
    }
    places = sorted(set(when.values()))
    return [float(places.index(when[name])) if name in when else None for name in units]


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


def _shown_as(section: str, name: str) -> str:
    """What a figure is called among all the others."""
    return f"{name} beside the base" if section == "beside" else name
