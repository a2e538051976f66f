"""The method of the nearest formula for the middle: without what is not in it, at the oven of all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from statistics import fmean
from typing import Any, NamedTuple

from perflour.compare.bake_figures import oven
from perflour.evidence.middle import BakeMiddle, Middle
from perflour.formula.formula import Formula, Step, Use
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount, Duration, Temperature
from perflour.kitchen.weighing import Mass, weigh

# Ovens are set in steps of 5 °C, clocks to the minute: common practice, no source.
OVEN_STEP_CELSIUS, CLOCK_STEP_MIN = 5, 1


class Kept(NamedTuple):
    """What is in the file: items as they are written by main name, main names by alias, its parts (folded), and how many
    times as much of an ingredient there is as in the nearest formula."""

    items: Mapping[str, str]
    canonical: Mapping[str, str]
    parts: frozenset[str]
    times: Mapping[str, float]


def method_of(
    formula: Formula, kept: Kept, made: Middle
) -> tuple[list[dict[str, Any]], tuple[str, ...], tuple[str, ...]]:
    """The steps, the ingredients that no step takes, and those put beside a thing of their kind."""
    all_parts = {fold(part.name) for part in formula.parts}
    gone = {name for name in all_parts if name not in kept.parts}
    gone |= {alias for alias, name in kept.canonical.items() if name not in kept.items}
    gone |= {name for name in kept.canonical.values() if name not in kept.items}
    steps: list[dict[str, Any]] = []
    for step in formula.method:
        uses = [use for use in step.uses if fold(use.name) not in gone]
        makes = fold(step.text("makes"))
        if (step.uses and not uses) or (makes in all_parts and makes in gone):
            gone.add(makes) if makes else None
            continue
        steps.append(_step(step, uses, kept, made))
    return (steps, *_with_new(steps, formula, kept, made))


def _step(step: Step, uses: Sequence[Use], kept: Kept, made: Middle) -> dict[str, Any]:
    said: dict[str, Any] = {"do": step.do}
    if uses:
        said["uses"] = [_use(use, kept, made) for use in uses]
    said.update(step.said)
    if step.at and step.bakes:
        said["at"] = _degrees(step.at.value, step.text("at"), made)
    if step.to and step.heats_oven:
        said["to"] = _degrees(step.to.value, step.text("to"), made)
    if step.time and step.bakes:
        said["for"] = _minutes(step.time.value, step.text("for"), made)
    return said


def _use(use: Use, kept: Kept, made: Middle) -> str:
    """A use with its portion in grams of the new amount."""
    key = kept.canonical.get(fold(use.name), fold(use.name))
    if not isinstance(use.portion, Amount) or key not in kept.times:
        return use.said
    known = next((w for w in made.nearest.balance.lines if fold(w.name) == key), None)
    mass = weigh(use.portion, known.ingredient, known.state) if known else None
    if not isinstance(mass, Mass):
        return use.said
    return f"{mass.grams * kept.times[key]:.4f} g of {use.name}"


def _degrees(value: Temperature | None, text: str, made: Middle) -> str:
    """The oven of all; as it was where the nearest bakes at it, to a step of a dial. One heated hotter stays so."""
    said, own = made.oven, oven(made.nearest.balance.formula)
    if value is None or said is None or own is None or not _may_replace(said, made):
        return text
    if own[0] - OVEN_STEP_CELSIUS / 2 <= said.value <= own[1] + OVEN_STEP_CELSIUS / 2:
        return text
    celsius = (value.low_celsius + value.high_celsius) / 2 + said.value - fmean(own)
    return f"{round(celsius / OVEN_STEP_CELSIUS) * OVEN_STEP_CELSIUS} °C"


def _minutes(value: Duration | None, text: str, made: Middle) -> str:
    time = made.bake_time
    if value is None or not _may_replace(time, made):
        return text
    assert time
    if value.low_min - CLOCK_STEP_MIN <= time.value <= value.high_min + CLOCK_STEP_MIN:
        return text
    return f"{max(1, round(time.value / CLOCK_STEP_MIN) * CLOCK_STEP_MIN)} min"


def _may_replace(said: BakeMiddle | None, made: Middle) -> bool:
    """Whether one bake of the nearest formula takes the median of all."""
    bakes = [step for step in made.nearest.balance.formula.method if step.bakes]
    return said is not None and said.of == "all" and len(bakes) == 1


def _with_new(
    steps: list[dict[str, Any]], formula: Formula, kept: Kept, made: Middle
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Puts what the nearest formula does not have beside a thing of its kind; gives what has no step, and what was put."""
    kinds = {fold(p.name): p.kind for p in made.percents}
    parts = {fold(part.name) for part in formula.parts}
    taking = [s for s in steps if "uses" in s and fold(s.get("makes", "")) not in parts]
    listed = set(kept.canonical.values())
    without, placed = _lost(formula, kept), []
    for key, item in kept.items.items():
        if key in listed or not formula.method:
            continue
        step = next((s for s in taking if _takes_kind(s, kinds.get(key, ""), kinds, kept)), None)
        if step is None or kinds.get(key, "other") == "other":
            without.append(item)
        else:
            step["uses"] = [*step["uses"], item]
            placed.append(item)
    return tuple(without), tuple(placed)


def _lost(formula: Formula, kept: Kept) -> list[str]:
    """What only steps took that are not in the file: those that make a part which is none any more."""
    names = {True: set[str](), False: set[str]()}
    all_parts = {fold(part.name) for part in formula.parts}
    for step in formula.method:
        makes = fold(step.text("makes"))
        is_kept = not (makes in all_parts and makes not in kept.parts)
        names[is_kept] |= {kept.canonical.get(fold(use.name), fold(use.name)) for use in step.uses}
    return [kept.items[name] for name in sorted(names[False] - names[True]) if name in kept.items]


def _takes_kind(step: Mapping[str, Any], kind: str, kinds: Mapping[str, str], kept: Kept) -> bool:
    names = (fold(use) for use in step.get("uses", ()))
    return any(kinds.get(kept.canonical.get(name, name)) == kind for name in names)
