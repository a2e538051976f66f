"""Scores made comparable: what tasters and sittings do to them is taken out, and who may be held against whom.

Numbers in, numbers out. Two scores of different sittings can be compared only where something links the sittings: a
thing that was in both. Things that are linked so stand in one group; within it each gets one value, the
least-squares estimate of thing + sitting. A thing that nothing links to one it may be compared with has no partner:
all of these are compared with each other as if sittings were alike, and that is said.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

#: The group of things without a partner.
ALONE = -1


@dataclass(frozen=True)
class Score:
    """One score: of a thing, in a sitting, by a taster."""

    thing: str
    sitting: str
    taster: str
    value: float


@dataclass(frozen=True)
class Leveled:
    """One value a thing, centred in its group; ``groups`` names the group, ``ALONE`` for those without a partner."""

    values: Mapping[str, float]
    groups: Mapping[str, int]


def leveled(scores: Sequence[Score], family: Mapping[str, str] = {}) -> Leveled:
    """Values of the things that were scored; only things of one ``family`` may be compared with each other."""
    cells = _cells(scores)
    linked = _linked(cells)
    groups = _within(linked, family)
    values: dict[str, float] = {}
    by_group: dict[int, dict[tuple[str, str], float]] = defaultdict(dict)
    for key, value in cells.items():
        by_group[linked[key[0]]][key] = value
    for inside in by_group.values():
        values |= _fitted(inside)
    alone = {thing for thing, group in groups.items() if group == ALONE}
    values |= _means({key: value for key, value in cells.items() if key[0] in alone})
    middles = defaultdict(list)
    for thing, group in groups.items():
        middles[group, family.get(thing, "")].append(values[thing])
    return Leveled(
        {
            thing: values[thing] - fmean(middles[group, family.get(thing, "")])
            for thing, group in groups.items()
        },
        groups,
    )


def _within(linked: Mapping[str, int], family: Mapping[str, str]) -> dict[str, int]:
    """Groups of things that are linked and of one family; who is left by themselves is ``ALONE``."""
    keys = {thing: (group, family.get(thing, "")) for thing, group in linked.items()}
    counts = Counter(keys.values())
    numbers = {key: number for number, key in enumerate(counts)}
    return {thing: ALONE if counts[key] == 1 else numbers[key] for thing, key in keys.items()}


def _cells(scores: Sequence[Score]) -> dict[tuple[str, str], float]:
    """The mean of each thing in each sitting, with the tasters of the sitting levelled.

    A taster who scored only some of what was there is set right by what the others gave the same things.
    """
    by_sitting: dict[str, list[Score]] = defaultdict(list)
    for score in scores:
        by_sitting[score.sitting].append(score)
    found: dict[tuple[str, str], float] = {}
    for sitting, rows in by_sitting.items():
        things = list(dict.fromkeys(row.thing for row in rows))
        tasters = list(dict.fromkeys(row.taster for row in rows))
        fitted = _two_way([(things.index(r.thing), tasters.index(r.taster), r.value) for r in rows], len(things), len(tasters))  # fmt: skip
        found |= {(thing, sitting): value for thing, value in zip(things, fitted, strict=True)}
    return found


def _two_way(rows: Sequence[tuple[int, int, float]], first: int, second: int) -> list[float]:
    """Least squares of value = first + second; the values of the first, with the mean of all kept."""
    import numpy as np  # only where scores are levelled: docs/install.md

    values = np.array([value for *_, value in rows])
    design = np.zeros((len(rows), first + second))
    for at, (one, other, _) in enumerate(rows):
        design[at, one] = design[at, first + other] = 1.0
    solved = np.linalg.lstsq(design, values, rcond=None)[0]
    own = solved[:first]
    return [float(v) for v in own - own.mean() + values.mean()]


def _linked(cells: Mapping[tuple[str, str], float]) -> dict[str, int]:
    """By thing the number of the group that sittings link it to."""
    root = {thing: thing for thing, _ in cells}

    def top(thing: str) -> str:
        while root[thing] != thing:
            root[thing] = root[root[thing]]
            thing = root[thing]
        return thing

    first_of: dict[str, str] = {}
    for thing, sitting in cells:
        root[top(thing)] = top(first_of.setdefault(sitting, thing))
    numbers = {name: number for number, name in enumerate(dict.fromkeys(map(top, root)))}
    return {thing: numbers[top(thing)] for thing in root}


def _means(cells: Mapping[tuple[str, str], float]) -> dict[str, float]:
    """By thing the mean over its sittings."""
    by_thing: dict[str, list[float]] = defaultdict(list)
    for (thing, _), value in cells.items():
        by_thing[thing].append(value)
    return {thing: fmean(values) for thing, values in by_thing.items()}


def _fitted(cells: Mapping[tuple[str, str], float]) -> dict[str, float]:
    """By thing its value with the sittings taken out, where all are linked."""
    things = list(dict.fromkeys(thing for thing, _ in cells))
    sittings = list(dict.fromkeys(sitting for _, sitting in cells))
    rows = [(things.index(t), sittings.index(s), value) for (t, s), value in cells.items()]
    return dict(zip(things, _two_way(rows, len(things), len(sittings)), strict=True))
