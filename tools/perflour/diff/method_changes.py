"""Changes of the method: steps that came, went, moved or are done otherwise."""

from collections import Counter
from collections.abc import Iterator, Mapping

from perflour.diff.change import Degrees, Minutes, StepChange, TextChange
from perflour.diff.importance import (
    BAKING_TIME,
    NUMBER_LONE,
    OTHER_TIME,
    PAN,
    SIGN,
    STEP_LONE,
    STEP_MOVED,
    USES,
    WORDS,
    by_degrees,
    by_factor,
)
from perflour.diff.residual import same
from perflour.diff.step_matching import Known, known_step, match_steps, says_the_same
from perflour.diff.step_splits import splits
from perflour.formula.formula import Formula, Reading, Step, Use, canonical_use, written_alike
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Duration, Temperature, same_temperature

_KINDS = {"to": "step-temperature", "at": "step-temperature", "core": "step-temperature", "for": "step-time", "speed": "step-speed", "until": "step-sign", "uses": "step-uses"}  # fmt: skip
_WORDS_COUNT = {"into": PAN, "speed": SIGN, "until": SIGN, "fill": SIGN, "uses": USES}

# Main names of ingredients and new names of parts by folded name, for each side.
Names = tuple[Mapping[str, str], Mapping[str, str]]


def method_changes(
    before: Formula, after: Formula, names: Names = ({}, {})
) -> Iterator[StepChange | TextChange]:
    """Steps added, removed, moved or changed; what changed of a bake step is of kind bake."""
    if _is_untouched(before, after, names):
        return
    sides = [
        [_known(step, at, known) for at, step in enumerate(formula.method)]
        for formula, known in zip((before, after), names, strict=True)
    ]
    if len(sides[0]) == len(sides[1]) and all(map(says_the_same, *sides)):
        return
    found, matches = splits(match_steps(*sides))
    for split in found:
        was, is_now = ("; ".join(step_text(k.step) for k in side) for side in split)
        verbs = " -> ".join(" + ".join(k.step.do for k in side) for side in split)
        kind = "step-split" if len(split.after) > 1 else "steps-joined"
        yield TextChange(kind, verbs, was, is_now, STEP_MOVED)
    for old, now in sorted((*matches.in_order, *matches.moved), key=lambda pair: pair[1].at):
        yield from _step_changes(old, now)
    for old, now in matches.moved:
        yield TextChange("step-moved", step_text(now.step), f"step {old.at + 1}", f"step {now.at + 1}", STEP_MOVED)  # fmt: skip
    if not matches.whole:
        counts = str(len(matches.gone)), str(len(matches.new))
        yield TextChange("steps-not-compared", "steps", *counts, STEP_LONE)
    for kind, lone in (("step-removed", matches.gone), ("step-added", matches.new)):
        for known in lone:
            short = f"{known.step.do} {known.said.get('for', '')}".strip()
            said = (short, "") if kind == "step-removed" else ("", short)
            yield TextChange(kind, step_text(known.step), *said, importance=STEP_LONE)


def _is_untouched(before: Formula, after: Formula, names: Names) -> bool:
    """Whether both methods are written alike and mean the same things: in most revisions, so it is asked first."""
    if not written_alike(before.method, after.method):
        return False
    used = {fold(use.name) for step in after.method for use in step.uses}
    used |= {fold(step.said["makes"]) for step in after.method if "makes" in step.said}
    old, now = names
    return all(old.get(name, name) == now.get(name, name) for name in used)


def step_text(step: Step) -> str:
    """A step in one line: verb, what it uses, then the rest as written."""
    uses = ", ".join(use.said if use.portion else use.name for use in step.uses)
    rest = " ".join(f"{key} {text}" for key, text in dict(step.said).items() if key != "note")
    return " ".join(word for word in (step.do, uses, rest) if word)


def _known(step: Step, at: int, names: Mapping[str, str]) -> Known:
    said = dict(step.said)
    if "makes" in said:
        said["makes"] = names.get(fold(said["makes"]), said["makes"])
    uses = tuple(
        (_spelling(use, names), " ".join(use.said.split()) if use.portion else fold(use.name))
        for use in step.uses
    )
    return known_step(step, at, uses, said)


def _spelling(use: Use, names: Mapping[str, str]) -> str:
    """A use with the main name of the ingredient, or the new name of the part."""
    name = fold(use.name)
    return canonical_use(use).removesuffix(name) + names.get(name, name)


def _step_changes(old: Known, now: Known) -> Iterator[StepChange]:
    """Each field of a step that differs, with both values as text."""
    bakes = now.bakes
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
        if _is_respelt(key, old.step, now.step):
            continue
        change = _with_numbers(change, old.step, now.step)
        yield change._replace(kind="bake") if bakes else change


def _differing(before: dict[str, str], after: dict[str, str]) -> list[str]:
    """The fields that differ, in the order of the step."""
    keys = dict.fromkeys((*before, *after))
    return [key for key in keys if before.get(key) != after.get(key)]


def _uses_change(old: Known, now: Known) -> StepChange | None:
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
    if key == "for":
        importance = by_factor(was, now_is, BAKING_TIME if now.bakes else OTHER_TIME)
    else:
        importance = by_degrees(was, now_is)
    return change._replace(importance=max(importance, WORDS), figures=figures)


def _is_respelt(key: str, old: Step, now: Step) -> bool:
    """Whether a time or a temperature is the same in another unit or scale."""
    values = [reading.value if (reading := _reading(step, key)) else None for step in (old, now)]
    match values:
        case [Duration() as was, Duration() as now_is]:
            return same(was.low_min, now_is.low_min) and same(was.high_min, now_is.high_min)
        case [Temperature() as was, Temperature() as now_is]:
            return same_temperature(was, now_is)
    return False


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
