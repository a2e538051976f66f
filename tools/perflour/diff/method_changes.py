"""Changes of the method: steps that came, went, moved or are done otherwise."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from perflour.diff.assignment import assign
from perflour.diff.change import Degrees, Minutes, StepChange, TextChange
from perflour.diff.importance import (
    BAKING_TIME,
    NUMBER_LONE,
    OTHER_TIME,
    SIGN,
    STEP_LONE,
    STEP_MOVED,
    USES,
    WORDS,
    by_degrees,
    by_factor,
)
from perflour.diff.residual import same
from perflour.formula.formula import Formula, Reading, Step, Use, canonical_use
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Duration, Temperature

# What two steps have in common, out of 1000: the verb, what they use, the rest. Those of one verb
# are one step where they stand in order; out of order, or with another verb, only if alike.
VERB, USED, REST = 500, 300, 200
ALIKE_ELSEWHERE, ALIKE_OF_OTHER_VERB = 700, 320

_KINDS = {"to": "step-temperature", "at": "step-temperature", "core": "step-temperature", "for": "step-time", "speed": "step-speed", "until": "step-sign", "uses": "step-uses"}  # fmt: skip
_WORDS_COUNT = {"speed": SIGN, "until": SIGN, "uses": USES}

# Main names of ingredients and new names of parts by folded name, for each side.
Names = tuple[Mapping[str, str], Mapping[str, str]]


class _Known(NamedTuple):
    """A step with what it is compared by. ``uses`` pairs each use's one spelling with the words."""

    step: Step
    at: int
    uses: tuple[tuple[str, str], ...]
    said: dict[str, str]

    @property
    def verb(self) -> str:
        return fold(self.step.do)

    @property
    def sort_key(self) -> tuple[Any, ...]:
        return (self.verb, self.uses, tuple(sorted(self.said.items())), self.at)


def method_changes(
    before: Formula, after: Formula, names: Names = ({}, {})
) -> Iterator[StepChange | TextChange]:
    """Steps added, removed, moved or changed; what changed of a bake step is of kind bake."""
    sides = [
        [_known(step, at, known) for at, step in enumerate(formula.method)]
        for formula, known in zip((before, after), names, strict=True)
    ]
    in_order = _in_order(sides[0], sides[1])
    gone, new = (
        [k for k in side if k.at not in {pair[at].at for pair in in_order}]
        for at, side in enumerate(sides)
    )
    moved = _moved(gone, new)
    for old, now in sorted((*in_order, *moved), key=lambda pair: pair[1].at):
        yield from _step_changes(old, now)
    for old, now in moved:
        yield TextChange("step-moved", step_text(now.step), f"step {old.at + 1}", f"step {now.at + 1}", STEP_MOVED)  # fmt: skip
    taken = [{pair[at].at for pair in moved} for at in (0, 1)]
    for kind, lone, without in (("step-removed", gone, taken[0]), ("step-added", new, taken[1])):
        for known in lone:
            if known.at not in without:
                short = f"{known.step.do} {known.said.get('for', '')}".strip()
                said = (short, "") if kind == "step-removed" else ("", short)
                yield TextChange(kind, step_text(known.step), *said, importance=STEP_LONE)


def step_text(step: Step) -> str:
    """A step in one line: verb, what it uses, then the rest as written."""
    uses = ", ".join(use.said if use.portion else use.name for use in step.uses)
    rest = " ".join(f"{key} {text}" for key, text in dict(step.said).items() if key != "note")
    return " ".join(word for word in (step.do, uses, rest) if word)


def _known(step: Step, at: int, names: Mapping[str, str]) -> _Known:
    said = dict(step.said)
    if "makes" in said:
        said["makes"] = names.get(fold(said["makes"]), said["makes"])
    uses = tuple((_spelling(use, names), canonical_use(use)) for use in step.uses)
    return _Known(step, at, uses, said)


def _spelling(use: Use, names: Mapping[str, str]) -> str:
    """A use with the main name of the ingredient, or the new name of the part."""
    name = fold(use.name)
    return canonical_use(use).removesuffix(name) + names.get(name, name)


def _likeness(a: _Known, b: _Known) -> int:
    """What two steps have in common, from 0 to 1000; 0 for a bake and something else."""
    if a.step.bakes != b.step.bakes:
        return 0
    verb = VERB if a.verb == b.verb else 0
    used = _common({u for u, _ in a.uses}, {u for u, _ in b.uses})
    rest = _common(set(a.said.items()), set(b.said.items()))
    return verb + round(USED * used + REST * rest)


def _common(one: set[Any], other: set[Any]) -> float:
    """The share of two sets that they have in common; a half where both are empty."""
    return len(one & other) / len(one | other) if one or other else 0.5


def _in_order(before: list[_Known], after: list[_Known]) -> list[tuple[_Known, _Known]]:
    """The pairs that keep their order and are alike most in all.

    Ties go to pairs by what they say (the powers of two), not by where they stand, so that the
    way back takes the same pairs.
    """
    start, ends = 0, min(len(before), len(after))
    while start < ends and _likeness(before[start], after[start]) == _full(before[start]):
        start += 1
    pairs = list(zip(before[:start], after[:start], strict=True))
    before, after = before[start:], after[start:]
    ranks = {k.sort_key[:3]: r for r, k in enumerate(_sorted(before, after))}
    bits = len(ranks) + 1

    def weight(a: _Known, b: _Known) -> int:
        likeness = _likeness(a, b)
        if likeness < (VERB if a.verb == b.verb else ALIKE_OF_OTHER_VERB):
            return 0
        tie = (1 << ranks[a.sort_key[:3]]) + (1 << ranks[b.sort_key[:3]])
        return (likeness << bits + len(before) + len(after)) + tie

    return pairs + _heaviest_path(before, after, weight)


def _full(known: _Known) -> int:
    return _likeness(known, known)


def _sorted(before: Sequence[_Known], after: Sequence[_Known]) -> list[_Known]:
    distinct = {k.sort_key[:3]: k for k in (*before, *after)}
    return [distinct[key] for key in sorted(distinct)]


def _heaviest_path(
    before: list[_Known], after: list[_Known], weight: Any
) -> list[tuple[_Known, _Known]]:
    """Pairs in order with the largest sum of weights."""
    best = [[0] * (len(after) + 1) for _ in range(len(before) + 1)]
    weights = [[weight(a, b) for b in after] for a in before]
    for a, row in enumerate(weights):
        for b, value in enumerate(row):
            paired = best[a][b] + value if value else 0
            best[a + 1][b + 1] = max(best[a][b + 1], best[a + 1][b], paired)
    pairs: list[tuple[_Known, _Known]] = []
    a, b = len(before), len(after)
    while a and b:
        value = weights[a - 1][b - 1]
        if value and best[a][b] == best[a - 1][b - 1] + value:
            pairs.append((before[a - 1], after[b - 1]))
            a, b = a - 1, b - 1
        elif best[a][b] == best[a - 1][b]:
            a -= 1
        else:
            b -= 1
    return pairs[::-1]


def _moved(gone: list[_Known], new: list[_Known]) -> list[tuple[_Known, _Known]]:
    """Steps that are done at another time."""

    def cost(a: _Known, b: _Known) -> float | None:
        likeness = _likeness(a, b)
        return 1000.0 - likeness if likeness >= ALIKE_ELSEWHERE else None

    gone, new = (sorted(side, key=lambda k: k.sort_key) for side in (gone, new))
    return [(gone[a], new[b]) for a, b in assign(gone, new, cost)]


def _step_changes(old: _Known, now: _Known) -> Iterator[StepChange]:
    """Each field of a step that differs, with both values as text."""
    bakes = now.step.bakes
    if old.verb != now.verb:
        yield StepChange("step-reworded", now.step.do, "do", old.step.do, now.step.do, WORDS)
    if change := _uses_change(old, now):
        yield change
    for key in _differing(old.said, now.said):
        change = StepChange(
            _KINDS.get(key, "step-reworded"),
            now.step.do,
            key,
            old.said.get(key, ""),
            now.said.get(key, ""),
            _WORDS_COUNT.get(key, WORDS),
        )
        change = _with_numbers(change, old.step, now.step)
        yield change._replace(kind="bake") if bakes else change


def _differing(before: dict[str, str], after: dict[str, str]) -> list[str]:
    """The fields that differ, in the order of the step."""
    keys = dict.fromkeys((*before, *after))
    return [key for key in keys if before.get(key) != after.get(key)]


def _uses_change(old: _Known, now: _Known) -> StepChange | None:
    """What came and went of the things a step uses; all of them where only their order changed."""
    if [u for u, _ in old.uses] == [u for u, _ in now.uses]:
        return None
    sides = [Counter(spelling for spelling, _ in k.uses) for k in (old, now)]
    gone, come = sides[0] - sides[1], sides[1] - sides[0]
    before, after = (
        ", ".join(
            words for spelling, words in k.uses if spelling in differing or not (gone or come)
        )
        for k, differing in ((old, gone), (now, come))
    )
    kind = "bake" if now.step.bakes else "step-uses"
    importance = USES if gone or come else WORDS
    return StepChange(kind, now.step.do, "uses", before, after, importance)


def _with_numbers(change: StepChange, old: Step, now: Step) -> StepChange:
    """A change of a temperature or of a time with its figures and what they move."""
    key = change.field
    if key not in ("to", "at", "core", "for"):
        return change
    readings = [_reading(step, key) for step in (old, now)]
    was, now_is = (_number(reading) for reading in readings)
    figures = Minutes(was, now_is) if key == "for" else Degrees(was, now_is)
    if was is None or now_is is None:
        return change._replace(importance=NUMBER_LONE, figures=figures)
    if same(was, now_is) and _ends(readings[0]) == _ends(readings[1]):
        return change._replace(kind="step-reworded", importance=WORDS)  # a second scale
    if key == "for":
        importance = by_factor(was, now_is, BAKING_TIME if now.bakes else OTHER_TIME)
    else:
        importance = by_degrees(was, now_is)
    return change._replace(importance=max(importance, WORDS), figures=figures)


_Read = Reading[Temperature] | Reading[Duration] | None


def _reading(step: Step, key: str) -> _Read:
    return {"to": step.to, "at": step.at, "core": step.core, "for": step.time}.get(key)


def _ends(reading: _Read) -> tuple[float, float] | None:
    value = reading.value if reading else None
    if isinstance(value, Temperature):
        return (value.low_celsius, value.high_celsius)
    return (value.low_min, value.high_min) if isinstance(value, Duration) else None


def _number(reading: _Read) -> float | None:
    ends = _ends(reading)
    return (ends[0] + ends[1]) / 2 if ends else None
