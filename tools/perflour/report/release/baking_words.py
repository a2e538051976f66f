"""A difference in the words of somebody who bakes at home.

More and less, longer and hotter: no percentages, no ratios, and no claim about how it tastes. Amounts are told in
grams, as the book prints them, where both batches are of one size.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from perflour.cookbook.english import listed
from perflour.cookbook.steps.scales import text_in_both_scales
from perflour.diff.change import (
    BlendChange,
    Change,
    Degrees,
    LineChange,
    LineSaid,
    MassChange,
    Minutes,
    PartChange,
    Scaling,
    StepChange,
    TextChange,
)
from perflour.diff.difference import is_consequence
from perflour.diff.kinds import kind_of
from perflour.diff.preferments import FLOUR, WATER
from perflour.formula.portions import taken
from perflour.kitchen.figures import grams
from perflour.kitchen.names import fold
from perflour.release.for_readers import LEAST_SHARE
from perflour.report.form.signs import typeset

# How a move is called, by the larger amount over the smaller one. House choice.
LITTLE, MUCH = 1.1, 1.5
AS_MUCH = "about as much"
# A step is told by its beginning.
LONGEST_STEP = 60
WORDED = "the method in other words"


class Telling(NamedTuple):
    """What the words of one change hang on; ``named`` are the ingredients that other lines tell of."""

    scale_resolution_g: float
    is_same_batch: bool
    named: frozenset[str] = frozenset()


def baking_words(changes: Sequence[Change], scale_resolution_g: float) -> list[str]:
    """The changes that a reader of the book meets, what changes the bake most first."""
    same_batch = not any(change.kind == "batch-scaled" for change in changes)
    named = frozenset(fold(name) for change in changes for name in items_of(change))
    telling = Telling(scale_resolution_g, same_batch, named)
    told = (line for change in changes for line in words(change, telling).split("\n"))
    return list(dict.fromkeys(typeset(text_in_both_scales(line)) for line in told if line))


def words(change: Change, telling: Telling) -> str:
    """One change, a line for each thing; empty where it only follows from others, or is not on the page."""
    return WORDS[change.kind](change, telling)


def items_of(change: Change) -> Iterator[str]:
    """The ingredients that a change of the list of ingredients tells of."""
    if kind_of(change).section == "ingredients":
        for line in (*getattr(change, "lines_before", ()), *getattr(change, "lines_after", ())):
            yield line.item
        if isinstance(change, PartChange):
            yield change.subject


# --- how much ---


def _how(before: float, after: float) -> str:
    """``a little more``, ``less``, ``much less``; ``about as much`` where less is lost in the spoon."""
    low, high = sorted((before, after))
    if high - low <= LEAST_SHARE * high:
        return AS_MUCH
    times = high / low if low else MUCH
    how = "a little " if times < LITTLE else "much " if times >= MUCH else ""
    return f"{how}{'more' if after > before else 'less'}"


def _masses(before_g: float | None, after_g: float | None, telling: Telling) -> str:
    """``: 125 g, was 150 g``; nothing where batches differ in size, or both figures are one."""
    if before_g is None or after_g is None or not telling.is_same_batch:
        return ""
    was, now = (grams(mass, telling.scale_resolution_g) for mass in (before_g, after_g))
    return "" if was == now else f": {now} g, was {was} g"


def _named(change: LineChange | TextChange) -> str:
    return f"{change.subject} in the {change.part}" if change.in_several else change.subject


def _amount(change: LineChange, telling: Telling) -> str:
    """More or less of an ingredient: on the scale, or for its flour where batches differ in size."""
    before, after = change.before_g, change.after_g
    if not telling.is_same_batch:
        before, after = change.before_percent, change.after_percent
    if before is None or after is None:
        return _as_written(change, telling)
    size = "" if telling.is_same_batch else " for the size of the batch"
    masses = _masses(change.before_g, change.after_g, telling)
    return f"{_how(before, after)} {_named(change)}{size}{masses}"


def _as_written(change: LineChange, _: Telling) -> str:
    return f"{_named(change)}: {change.text_after}, was {change.text_before}"


def _measured(change: LineChange, telling: Telling) -> str:
    if change.beyond_spread:
        return _amount(change, telling)
    as_much = "as much " if telling.is_same_batch else ""
    texts = f"{change.text_after}, was {change.text_before}"
    return f"{as_much}{_named(change)}, measured otherwise: {texts}"


def _with_flour(change: LineChange, telling: Telling) -> str:
    masses = _masses(change.before_g, change.after_g, telling)
    how = _how(change.before_g or 0.0, change.after_g or 0.0)
    return f"{how} {_named(change)}, as the flour{masses}" if masses else ""


def _added(change: LineChange, telling: Telling) -> str:
    mass = change.after_g
    amount = change.text_after if mass is None else f"{grams(mass, telling.scale_resolution_g)} g"
    return f"added: {_named(change)}, {amount}"


def _each(old: Sequence[LineSaid], now: Sequence[LineSaid], telling: Telling) -> str:
    """Ingredients that changed together, each by its mass."""
    was, is_now = _by_item(old), _by_item(now)
    return "\n".join(
        _one(item, was.get(item), is_now.get(item), telling) for item in {**was, **is_now}
    )


def _by_item(lines: Sequence[LineSaid]) -> dict[str, float | None]:
    found: dict[str, float | None] = {}
    for line in lines:
        so_far = found.get(line.item, 0.0)
        found[line.item] = None if line.grams is None or so_far is None else so_far + line.grams
    return found


def _one(item: str, before_g: float | None, after_g: float | None, telling: Telling) -> str:
    if before_g is None:
        mass = f", {grams(after_g, telling.scale_resolution_g)} g" if after_g else ""
        return f"added: {item}{mass}"
    if after_g is None:
        return f"no {item} any more"
    if not telling.is_same_batch:
        return f"another amount of {item}"
    return f"{_how(before_g, after_g)} {item}{_masses(before_g, after_g, telling)}"


# --- batch, flour, parts ---


def _batch(change: Scaling, telling: Telling) -> str:
    size = {2.0: "twice the batch", 0.5: "half the batch"}.get(round(change.factor, 3))
    said = size or f"a {'larger' if change.factor > 1 else 'smaller'} batch"
    was, now = (grams(g, telling.scale_resolution_g) for g in (change.before_g, change.after_g))
    return f"{said}: {now} g in all, was {was} g"


def _part_scaled(change: Scaling, telling: Telling) -> str:
    masses = _masses(change.before_g, change.after_g, telling)
    return f"{_how(1.0, change.factor)} {change.subject}{masses}"


def _flour(change: MassChange, telling: Telling) -> str:
    if change.lines_before or change.lines_after:
        return _each(change.lines_before, change.lines_after, telling)
    how = _how(change.after_g - change.moved_g, change.after_g)
    return f"{how} of {change.of}{_masses(change.before_g, change.after_g, telling)}"


def _blend(change: BlendChange, telling: Telling) -> str:
    if telling.is_same_batch and (change.lines_before or change.lines_after):
        return _each(change.lines_before, change.lines_after, telling)
    told = (
        f"{_how(shift.before_percent, shift.after_percent)} {shift.name}"
        for shift in change.shifts
        if " for " not in shift.name  # told of as one in place of the other
    )
    return "\n".join(line for line in told if not line.startswith(AS_MUCH))


def _preferment(change: PartChange, _: Telling) -> str:
    moved = {shift.name: (shift.before_percent, shift.after_percent) for shift in change.shifts}
    was, now = moved.get(FLOUR, (1.0, 1.0))
    if not was or not now:
        return f"some of the flour goes into a {change.subject}" if now else f"no {change.subject} any more"  # fmt: skip
    told = [
        f"{_how(*moved[figure])} {what} the {change.subject}"
        for figure, what in ((FLOUR, "of the flour goes into"), (WATER, "water in"))
        if figure in moved
    ]
    return "\n".join(told) or f"another amount of yeast in the {change.subject}"


def _beside(change: MassChange, _: Telling) -> str:
    if is_consequence(change):
        return ""
    how = _how(change.before_g, change.after_g)
    return f"{how} {change.subject} for as much {listed(change.per)}"


def _shared_out(change: LineChange, _: Telling) -> str:
    rising = [shift.name for shift in change.by_part if shift.after_g > shift.before_g]
    if rising and len(change.by_part) > 1:
        return f"more of the {change.subject} goes into the {listed(rising)}"
    return f"{change.subject} is added in other portions"


# --- the method ---


def _step(change: StepChange, telling: Telling) -> str:
    tell = _FIELDS.get(change.field)
    return tell(change, telling) if tell else WORDED


def _heat(change: StepChange, _: Telling) -> str:
    thing = "the oven" if change.is_of_oven else change.verb
    match change.figures:
        case Degrees(float() as was, float() as now) if change.is_of_oven and was != now:
            thing = f"a {'hotter' if now > was else 'cooler'} oven"
    return f"{thing}: {_from_to(change)}"


def _time(change: StepChange, _: Telling) -> str:
    how = change.verb
    match change.figures:
        case Minutes(float() as was, float() as now) if was != now:
            how = f"{change.verb} {'longer' if now > was else 'for less time'}"
    return f"{how}: {_from_to(change)}"


def _uses(change: StepChange, telling: Telling) -> str:
    sides = [set(map(_use, filter(None, text.split(", ")))) for text in _texts(change)]
    if sides[0] | sides[1] <= telling.named:
        return ""
    if sides[0] == sides[1]:
        return WORDED
    return f"{change.verb}: {' and '.join(_gone_and_come(change))}"


def _use(said: str) -> str:
    return fold(taken(said.strip()).name)


def _gone_and_come(change: StepChange) -> Iterator[str]:
    if change.text_after:
        yield f"now with {change.text_after}"
    if change.text_before:
        yield f"no longer with {change.text_before}"


def _texts(change: StepChange) -> tuple[str, str]:
    return change.text_before, change.text_after


def _from_to(change: StepChange | TextChange) -> str:
    return f"{change.text_after or 'not said any more'}, was {change.text_before or 'not said'}"


def _quoted(change: StepChange) -> str:
    """Signs of doneness are sentences of their own."""
    return _from_to(change._replace(
        text_before=change.text_before and f"“{change.text_before}”",
        text_after=change.text_after and f"“{change.text_after}”",
    ))  # fmt: skip


_FIELDS: dict[str, Callable[[StepChange, Telling], str]] = {
    "to": _heat,
    "at": _heat,
    "core": lambda c, _: f"{c.verb}, heat in the middle: {_from_to(c)}",
    "for": _time,
    "until": lambda c, _: f"{c.verb} until: {_quoted(c)}",
    "uses": _uses,
    "into": lambda c, _: f"pan: {_from_to(c)}",
    "on": lambda c, _: f"{c.verb} on: {_from_to(c)}",
    "with": lambda c, _: f"{c.verb} with: {_from_to(c)}",
    "speed": lambda c, _: f"{c.verb}, speed: {_from_to(c)}",
    "fill": lambda c, _: f"{c.verb}, how full: {_from_to(c)}",
}


def _moved_step(change: TextChange, _: Telling) -> str:
    was, now = (int(text.rpartition(" ")[2]) for text in (change.text_before, change.text_after))
    return f"{'earlier' if now < was else 'later'} in the method: {_short(change.subject)}"


def _short(text: str) -> str:
    """A step up to a whole word."""
    if len(text) <= LONGEST_STEP:
        return text
    return f"{text[:LONGEST_STEP].rpartition(' ')[0] or text[:LONGEST_STEP]} …"


def _verb(change: TextChange) -> str:
    return change.subject.partition(" -> ")[0].partition(" + ")[0]


def _silent(_change: Change, _telling: Telling) -> str:
    return ""


#: Every kind of change; silent is what only follows from others, or stands on no page.
WORDS: dict[str, Callable[[Any, Telling], str]] = {
    "batch-scaled": _batch,
    "part-scaled": _part_scaled,
    "basis": _flour,
    "blend": _blend,
    "amount": _amount,
    "re-measured": _measured,
    "amount-as-written": _as_written,
    "mass-only": _with_flour,
    "added": _added,
    "removed": lambda c, _: f"no {_named(c)} any more",
    "substituted": lambda c, t: (
        f"{c.subject} instead of {c.subject_before}{_masses(c.before_g, c.after_g, t)}"
    ),
    "leavening": lambda c, _: f"{c.text_after} instead of {c.text_before}",
    "exchanged": lambda c, t: _each(c.lines_before, c.lines_after, t),
    "moved": lambda c, _: (
        f"{c.subject} goes into the {c.text_after}, no longer into the {c.text_before}"
    ),
    "shared-out": _shared_out,
    "split": lambda c, _: f"{c.subject} in {len(c.lines_after)} portions: {c.text_after}",
    "merged": lambda c, _: f"{c.subject} in one portion: {c.text_after}",
    "renamed": lambda c, _: f"{c.text_before} is called {c.text_after}",
    "state": lambda c, _: (
        f"{_named(c)}: {c.text_after or 'as it is'}, was {c.text_before or 'as it is'}"
    ),
    "note": lambda c, _: f"another remark beside the {_named(c)}",
    "lines-not-compared": lambda _c, _: "many ingredients changed: compare the pages",
    "part-added": lambda c, _: f"added: {c.subject}",
    "part-removed": lambda c, _: f"no {c.subject} any more",
    "preferment": _preferment,
    "part-renamed": lambda c, _: f"the {c.text_before} is called {c.text_after}",
    "part-share": lambda c, _: (
        f"how much of the {c.subject} goes in: {c.text_after}, was {c.text_before}"
    ),
    "part-beside": _beside,
    "step-added": lambda c, _: f"a new step: {c.text_after}",
    "step-removed": lambda c, _: f"a step less: {c.text_before}",
    "step-moved": _moved_step,
    "step-split": lambda c, _: f"{_verb(c)} is done in two steps",
    "steps-joined": lambda c, _: f"{_verb(c)} is done in one step",
    "steps-not-compared": lambda _c, _: "much of the method changed: read it anew",
    "step-time": _step,
    "step-temperature": _step,
    "step-speed": _step,
    "step-sign": _step,
    "step-uses": _step,
    "step-reworded": _step,
    "bake": _step,
    # follow from what is told, or speak of percentages
    "follows-basis": _silent,
    "basis-named": _silent,
    "basis-short": _silent,
    "basis-unknown": _silent,
    "part-kind": _silent,
    "ratio": _silent,
    "ratio-unknown": _silent,
    "window": _silent,
    # told from the page: what it makes, and its title
    "yield": _silent,
    "mass-per-piece": _silent,
    "piece-unknown": _silent,
    "yield-off": _silent,
    "header": _silent,
}
