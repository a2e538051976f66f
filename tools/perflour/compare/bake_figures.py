"""What a method states of the bake: the oven, the time in it, the core, each with both ends of a range."""

from __future__ import annotations

from collections.abc import Callable

from perflour.formula.formula import Formula, Step

Ends = tuple[float, float]


def oven(formula: Formula) -> Ends | None:
    """The hottest oven of the bake steps in °C."""
    said = [step.at.value for step in _bakes(formula) if step.at and step.at.value]
    return max(((t.low_celsius, t.high_celsius) for t in said), default=None)


def bake_time(formula: Formula) -> Ends | None:
    """All bake steps together in minutes; None where one of them does not say its time."""
    steps = _bakes(formula)
    times = [step.time.value for step in steps if step.time and step.time.value]
    if not times or len(times) < len(steps):
        return None
    return sum(t.low_min for t in times), sum(t.high_min for t in times)


def core(formula: Formula) -> Ends | None:
    """The core in °C at which the last bake step that says one ends."""
    said = [step.core.value for step in _bakes(formula) if step.core and step.core.value]
    return (said[-1].low_celsius, said[-1].high_celsius) if said else None


def _bakes(formula: Formula) -> list[Step]:
    return [step for step in formula.method if step.bakes]


#: Name, unit and what reads it.
STATED: tuple[tuple[str, str, Callable[[Formula], Ends | None]], ...] = (
    ("oven", "°C", oven),
    ("bake time", "min", bake_time),
    ("core", "°C", core),
)
