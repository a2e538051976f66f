"""One thing that differs, in words."""

from __future__ import annotations

from perflour.evidence.thing import Thing
from perflour.kitchen.figures import grams, percent

#: Percentages below this are told to two digits.
FINE = 5.0


def thing_text(thing: Thing) -> str:
    """What was done: ``dark brown sugar 72.8 -> 54.6 %``, ``honey for granulated sugar``, ``chill for 30 -> 90 min``."""
    where = f" (in the {thing.part})" if thing.part else ""
    match thing.sort:
        case "amount" | "setting":
            field = f" {thing.field}" if thing.field and thing.sort == "setting" else ""
            return f"{thing.subject}{field}{_moved(thing)}{where}"
        case "added":
            return f"{thing.subject} added{_at(thing.after, thing.unit)}{where}"
        case "removed":
            return f"{thing.subject} left out{_at(thing.before, thing.unit)}{where}"
        case "exchange":
            return f"{thing.subject} for {thing.subject_before}{where}"
        case "state":
            return f"the state of {thing.subject}{where}"
        case "moved":
            return f"{thing.subject} put elsewhere{where}"
        case "part":
            return f"the part {thing.subject} {thing.field}".rstrip()
        case "preferment":
            return f"the preferment {thing.subject}{_moved(thing)}"
        case "sign":
            return f"until when to {thing.subject}"
        case "step":
            return f"the step '{thing.subject}' {thing.field}".rstrip()
        case "order":
            return f"the order of steps ({thing.subject})"
        case "not compared":
            return f"{thing.subject} could not be compared"


def _moved(thing: Thing) -> str:
    if thing.before is None or thing.after is None:
        return " changed"
    fine = thing.unit == "%" and max(thing.before, thing.after) < FINE
    return f" {_figure(thing.before, thing.unit, fine)} -> {_figure(thing.after, thing.unit, fine)} {thing.unit}"


def _at(value: float | None, unit: str) -> str:
    return "" if value is None else f", {_figure(value, unit, unit == '%' and value < FINE)} {unit}"


def _figure(value: float, unit: str, fine: bool) -> str:
    if unit == "%":
        return percent(value, fine)
    return grams(value) if unit == "g" else f"{value:g}"
