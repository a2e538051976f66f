"""What is shared beside hands and ovens: a mixer, the hob, room in the cold; which step takes it.

An appliance is taken by every step whose words name it. For those below, other words of the trade mean it too:
a dough hook turns in a mixer, what simmers stands on the hob. Common practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from perflour.formula.formula import Step
from perflour.formula.verbs import (
    CHILLS,
    COOKS,
    DRY_HEAT,
    FOAMS,
    FREEZES,
    FRIES,
    GRIDDLES,
    PROOFS,
    STEAMS,
)
from perflour.lint.ask.steps import verb, words
from perflour.result import CannotRun, request_field

MOST = 100
_ASKED = re.compile(r"([^=:]*[^=:\s])\s*(?:=\s*([0-9]{1,3}))?\s*(?::(.*))?", re.DOTALL)
_TEXTS = ("with", "on", "into", "in")


@dataclass(frozen=True)
class Appliance:
    """One by name, how many of it there are, and other words of steps that take it."""

    name: str
    number: int = 1
    said: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Kind:
    """What an appliance may be called, what steps name that turns in it or stands on it (``fast``: only at a speed), and
    what is done in it. ``told`` where a plan says that nobody named one."""

    names: frozenset[str]
    tools: tuple[str, ...] = ()
    fast: tuple[str, ...] = ()
    verbs: frozenset[str] = frozenset()
    told: bool = True


#: By the name under which a plan tells it.
_KINDS = {
    "mixer": _Kind(
        frozenset({"mixer", "mixers"}),
        ("paddle", "dough hook", "beater", "beaters"),
        ("hook", *sorted(FOAMS)),
    ),
    "hob": _Kind(
        frozenset({"hob", "stove", "stovetop", "burner", "burners", "ring", "rings", "cooker"}),
        ("hob", "stove", "stovetop", "burner", "water bath", "saucepan"),
        verbs=COOKS - DRY_HEAT - STEAMS - GRIDDLES,
    ),
    "fryer": _Kind(frozenset({"fryer", "fryers"}), verbs=FRIES),
    "steamer": _Kind(frozenset({"steamer", "steamers"}), verbs=STEAMS),
    "griddle": _Kind(frozenset({"griddle", "griddles"}), verbs=GRIDDLES),
    "waffle iron": _Kind(frozenset({"iron", "irons"}), ("waffle iron", "iron")),
    "freezer": _Kind(frozenset({"freezer", "freezers"}), ("freezer",), verbs=FREEZES),
    "fridge": _Kind(
        frozenset({"fridge", "fridges", "refrigerator", "retarder"}),
        ("fridge", "refrigerator"),
        verbs=CHILLS - FREEZES,
    ),
    "proofer": _Kind(
        frozenset({"proofer", "prover"}),
        ("proofer",),
        verbs=PROOFS,
        told=False,
    ),
}


def asked_appliance(text: str) -> Appliance:
    """``stand mixer``, ``hob=4`` or ``press=1: tart press, plates``. Raises CannotRun."""
    match = _ASKED.fullmatch(text.strip())
    number = int(match[2] or 1) if match else 0
    said = tuple(word.strip() for word in (match[3] or "").split(",")) if match else ()
    if match is None or not 1 <= number <= MOST or (match[3] is not None and not all(said)):
        raise CannotRun(
            f"{request_field('appliance')} '{text}' is no appliance; write it like `stand mixer`, `hob=4` or `press=1: tart press`"
        )
    return Appliance(match[1], number, said if match[3] is not None else ())


def taken_by(step: Step, appliances: Sequence[Appliance]) -> tuple[str, ...]:
    """The names of the appliances that a step takes while it lasts; what bakes takes its oven alone."""
    if step.bakes or step.heats_oven:
        return ()
    return tuple(one.name for one in appliances if _takes(step, one))


def not_counted(steps: Iterable[Step], appliances: Sequence[Appliance]) -> list[tuple[str, int]]:
    """What steps take that nobody named, and how many steps: the plan lets them all have it at once."""
    found: Counter[str] = Counter()
    for step in steps:
        if not (step.bakes or step.heats_oven or taken_by(step, appliances)):
            found.update(name for name, kind in _KINDS.items() if kind.told and _is_of(step, kind))
    if found["fryer"]:
        found["hob"] -= found["fryer"]  # fat may stand on the hob, and is told once
    return sorted((name, number) for name, number in found.items() if number > 0)


def _takes(step: Step, appliance: Appliance) -> bool:
    if any(_names(step, said) for said in (appliance.name, *appliance.said)):
        return True
    return any(_is_of(step, kind) for kind in _kinds(appliance))


def _kinds(appliance: Appliance) -> Iterator[_Kind]:
    """What an appliance is by the last word of its name."""
    last = words(appliance.name)[-1:]
    return (kind for kind in _KINDS.values() if not kind.names.isdisjoint(last))


def _is_of(step: Step, kind: _Kind) -> bool:
    if verb(step) in kind.verbs or any(_names(step, tool) for tool in kind.tools):
        return True
    return bool(step.text("speed")) and any(_names(step, tool) for tool in kind.fast)


def _names(step: Step, said: str) -> bool:
    """Whether what is done, or a tool or place of a step, holds these words beside each other."""
    wanted = words(said)
    for text in (step.do, *(step.text(key) for key in _TEXTS)):
        there = words(text)
        if any(there[at : at + len(wanted)] == wanted for at in range(len(there))):
            return bool(wanted)
    return False
