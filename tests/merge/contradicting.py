"""Formulas of two sides that contradict each other in known places, and what either choice must come to.

Every spot of the formula (a line, a part, a step) is edited by both sides against each other, by one side
alone, or by nobody. What is right is worked out by making the edits: with all conflicts settled for a side the
file is the base with that side's edits of the contested spots and with the others' of the free ones.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass

Lines = dict[str, dict[str, str]]
Step = dict[str, str]


@dataclass
class Batch:
    """A formula by its parts and steps."""

    title: str
    parts: Lines
    method: list[Step]


Edit = Callable[[Batch, int], None]


def name(spot: int) -> str:
    return f"fruit {spot}"


def alone(batch: Batch, spot: int) -> None:
    """Left as it was."""


def gone(batch: Batch, spot: int) -> None:
    del batch.parts["dough"][name(spot)]


def weighs(amount: str) -> Edit:
    def edit(batch: Batch, spot: int) -> None:
        batch.parts["dough"][name(spot)] = amount

    return edit


def moved(part: str) -> Edit:
    def edit(batch: Batch, spot: int) -> None:
        batch.parts.setdefault(part.format(spot), {})[name(spot)] = batch.parts["dough"].pop(
            name(spot)
        )

    return edit


def replaced(by: str) -> Edit:
    def edit(batch: Batch, spot: int) -> None:
        gone(batch, spot)
        batch.parts["dough"][by.format(spot)] = "33 g"

    return edit


def put(part: str, amount: str) -> Edit:
    def edit(batch: Batch, spot: int) -> None:
        batch.parts[part][f"nut {spot}"] = amount

    return edit


FILLING, TOPPING = moved("filling"), moved("topping")
BESIDE, ABOVE = moved("layer beside {}"), moved("layer above {}")
MARGARINE, LARD = replaced("spread {}"), replaced("fat {}")
MORE, LESS = weighs("61 g"), weighs("39 g")
LINE_CLASHES: tuple[tuple[Edit, Edit], ...] = (
    (FILLING, TOPPING), (BESIDE, ABOVE), (FILLING, ABOVE), (FILLING, gone), (ABOVE, gone), (FILLING, MORE),
    (ABOVE, LESS), (MARGARINE, FILLING), (MARGARINE, ABOVE), (MARGARINE, gone), (MARGARINE, MORE),
    (MARGARINE, LARD), (MORE, LESS), (MORE, gone), (put("filling", "7 g"), put("topping", "7 g")),
    (put("filling", "7 g"), put("filling", "9 g")),
)  # fmt: skip


def step_of(batch: Batch, spot: int) -> Step:
    return next(step for step in batch.method if step.get("note") == f"step {spot}")


def sets(key: str, value: str) -> Edit:
    def edit(batch: Batch, spot: int) -> None:
        step_of(batch, spot)[key] = value

    return edit


def left_out(batch: Batch, spot: int) -> None:
    batch.method.remove(step_of(batch, spot))


STEP_CLASHES: tuple[tuple[Edit, Edit], ...] = (
    (sets("do", "beat"), sets("do", "whisk")), (sets("do", "beat"), left_out),
    (sets("do", "beat"), sets("for", "9 min")), (sets("for", "8 min"), sets("for", "9 min")),
    (sets("for", "8 min"), left_out),
)  # fmt: skip
CLASHES = (*LINE_CLASHES, *STEP_CLASHES)
FREE: tuple[Edit, ...] = (weighs("42 g"), sets("until", "smooth"))
SPOTS = 6


def base() -> Batch:
    """Six spots among lines, six among steps, each step between two that nobody touches."""
    dough = {"bread flour": "500 g", "water": "300 g"} | {
        name(n): f"{50 + n} g" for n in range(SPOTS)
    }
    method: list[Step] = [{"do": "preheat", "to": "200 °C"}]
    for spot in range(SPOTS):
        method.append({"do": f"work {spot}", "for": "5 min", "note": f"step {spot}"})
        method.append({"do": f"wait {spot}", "for": "1 h"})
    rest = {"filling": {"honey": "50 g"}, "topping": {"sugar": "20 g"}}
    return Batch("Trial", {"dough": dough, **rest}, method)


def edited(edits: list[tuple[Edit, int]]) -> Batch:
    batch = deepcopy(base())
    for edit, spot in edits:
        edit(batch, spot)
    return batch


def text_of(batch: Batch) -> str:
    """The file."""
    text = f"formula: trial\ntitle: {batch.title}\nclass: loaf-cake\nstatus: draft\nparts:\n"
    for part, lines in batch.parts.items():
        text += f"  - part: {part}\n    ingredients:\n"
        text += "".join(f"      - {{item: {n}, amount: {a}}}\n" for n, a in lines.items())
    steps = (", ".join(f"{key}: {value}" for key, value in step.items()) for step in batch.method)
    return text + "method:\n" + "".join(f"  - {{{step}}}\n" for step in steps)
