"""What is wrong inside the record of a planned trial that its schema cannot say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from perflour.documents.reader import Document
from perflour.records.trial import PERCENT, UNIT_OF_FIELD, Level, level_of
from perflour.result import Result
from perflour.typed import Any

RULE = "trial-inconsistent"
#: How far a level may lie outside its range, as a share of the range: scales and clocks round.
ROUNDING = 0.05

_Path = tuple[str | int, ...]
_Found = Iterator[tuple[_Path, str]]


def trial_faults(document: Document) -> list[Result]:
    """Where the record contradicts itself; as it is, no trial can be read from it."""
    data = document.data
    about = (_about_factors, _about_bakes, _about_tastings, _about_goals)
    found = [one for look in about for one in look(data)]
    return [Result(RULE, "error", said, document.place(*path)) for path, said in found]


def _about_factors(data: Mapping[str, Any]) -> _Found:
    names = Counter(row["factor"] for row in data["factors"])
    for at, row in enumerate(data["factors"]):
        path: _Path = ("factors", at)
        if names[row["factor"]] > 1:
            yield (*path, "factor"), f"two factors are called {row['factor']}; give each its own name"  # fmt: skip
        moved = [key for key in ("ingredient", "ratio", "step") if key in row]
        if len(moved) != 1:
            said = f"says {' and '.join(moved)}" if moved else "says not what moves"
            yield path, f"{row['factor']} {said}; write one of ingredient, ratio and step"
        elif ("step" in row) != ("field" in row):
            yield path, f"{row['factor']} needs a step with its field; write both"
        else:
            yield from _about_range(row, path)


def _about_range(row: Mapping[str, Any], path: _Path) -> _Found:
    wanted = UNIT_OF_FIELD[row["field"]] if "step" in row else PERCENT
    ends = {key: level_of(row[key]) for key in ("low", "high")}
    for key, level in ends.items():
        if level is None or level.unit != wanted:
            yield (*path, key), f"'{row[key]}' is no figure in {wanted}; write it like {_like(wanted)}"  # fmt: skip
            return
    low, high = ends["low"], ends["high"]
    if low and high and low.value >= high.value:
        yield (*path, "high"), f"{row['factor']} goes from {row['low']} to {row['high']}; write the lower end first"  # fmt: skip


def _like(unit: str) -> str:
    return {PERCENT: "62 %", "min": "90 min or 2 h"}.get(unit, "175 °C")


def _about_bakes(data: Mapping[str, Any]) -> _Found:
    ranges = _ranges(data)
    for key, called in (("bake", "bakes are called"), ("code", "bakes have the code"), ("formula", "bakes are of")):  # fmt: skip
        times = Counter(row[key] for row in data["bakes"])
        for at, row in enumerate(data["bakes"]):
            if times[row[key]] > 1:
                yield ("bakes", at, key), f"{times[row[key]]} {called} {row[key]}; give each its own"  # fmt: skip
    places = Counter((row["day"], row["oven"], row["place"]) for row in data["bakes"])
    for at, row in enumerate(data["bakes"]):
        path: _Path = ("bakes", at)
        for key, most in (("day", data["design"]["days"]), ("oven", data["design"]["ovens"])):
            if row[key] > most:
                yield (*path, key), f"{key} {row[key]}, but the design has {most}; mend one of the two"  # fmt: skip
        if places[row["day"], row["oven"], row["place"]] > 1:
            yield (*path, "place"), f"two bakes stand at place {row['place']} of oven {row['oven']} on day {row['day']}; give each its own"  # fmt: skip
        yield from _about_levels(row["levels"], ranges, (*path, "levels"))


def _about_tastings(data: Mapping[str, Any]) -> _Found:
    letters = {row["bake"] for row in data["bakes"]}
    seen: set[str] = set()
    for at, row in enumerate(data.get("tastings", ())):
        for number, letter in enumerate(row["bakes"]):
            if letter not in letters or letter in seen:
                said = "is in two tastings; keep one" if letter in letters else "is no bake of this trial; check its letter"  # fmt: skip
                yield ("tastings", at, "bakes", number), f"{letter} {said}"
            seen.add(letter)


def _ranges(data: Mapping[str, Any]) -> dict[str, tuple[Level, Level] | None]:
    """The ends of every factor; None where they are told as wrong."""
    found: dict[str, tuple[Level, Level] | None] = {}
    for row in data["factors"]:
        low, high = level_of(row["low"]), level_of(row["high"])
        found[row["factor"]] = (low, high) if low and high and low.unit == high.unit else None
    return found


def _about_levels(
    levels: Mapping[str, str], ranges: Mapping[str, tuple[Level, Level] | None], path: _Path
) -> _Found:
    for name, text in levels.items():
        if name not in ranges:
            yield (*path, name), f"'{name}' is no factor of this trial; check its name"
            continue
        ends, level = ranges[name], level_of(text)
        if ends is None:
            continue
        low, high = ends
        slack = ROUNDING * (high.value - low.value)
        if level is None or level.unit != low.unit:
            yield (*path, name), f"'{text}' is no figure in {low.unit}; write it like {_like(low.unit)}"  # fmt: skip
        elif not low.value - slack <= level.value <= high.value + slack:
            yield (*path, name), f"{name} is {text}, outside its range in `factors`; mend one of the two"  # fmt: skip
    if missing := [name for name in ranges if name not in levels]:
        yield path, f"{missing[0]} is not said of this bake; write what it is"


def _about_goals(data: Mapping[str, Any]) -> _Found:
    for at, row in enumerate(data.get("goals", ())):
        path: _Path = ("goals", at)
        wanted = {"target": {"at"}, "within": {"low", "high"}}.get(row["aim"], set())
        if wanted != {key for key in ("at", "low", "high") if key in row}:
            listed = " and ".join(f"`{key}`" for key in ("at", "low", "high") if key in wanted)
            yield path, f"the aim {row['aim']} takes {listed or 'no figure'}; mend it"
        elif row["aim"] == "within" and row["low"] >= row["high"]:
            yield (*path, "high"), "the range ends before it begins; write the lower end first"
