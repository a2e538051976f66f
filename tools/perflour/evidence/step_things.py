"""What differs in the method: steps added, removed, in another order, set otherwise; not what follows of itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from perflour.balance.balance import Balance
from perflour.diff.change import Change, Degrees, Minutes, Scaling, StepChange
from perflour.diff.difference import Difference
from perflour.diff.method_changes import step_text
from perflour.evidence.thing import Thing
from perflour.formula.formula import Formula, Use
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount

# Portions whose share of their ingredient moved by less than this are those of the new amount: house choice.
SAME_SHARE = 0.05
# Words, and what another change tells.
_NO_SETTING = ("note", "makes")
_ORDER = ("step-moved", "step-split", "steps-joined")


class Touched(NamedTuple):
    """Folded names that came, went or moved, those whose state changed, and whether a part came or went."""

    names: frozenset[str]
    states: frozenset[str]
    has_parts: bool


class _Method(NamedTuple):
    """One side: its steps, how many times the batch before it is, its uses by their words, the mass in g of each ingredient, its names by alias."""

    formula: Formula
    factor: float
    uses: Mapping[str, Use]
    mass_g: Mapping[str, float]
    main: Mapping[str, str]


def step_things(
    difference: Difference, changes: Sequence[Change], touched: Touched
) -> Iterator[Thing]:
    """The things in changes of the method; ``touched`` is what those of the ingredients tell."""
    assert difference.before and difference.after
    scaled = (c.factor for c in difference.changes if isinstance(c, Scaling) and not c.subject)
    sides = _method(difference.before, 1.0), _method(difference.after, next(scaled, 1.0))
    touched = _with_main_names(touched, sides)
    yield from _oven_things([c for c in changes if _is_oven(c)])
    lone = [c for c in changes if c.kind in ("step-added", "step-removed")]
    following = _following(lone, sides, touched)
    said: set[tuple[str, str, str]] = set()
    for change in changes:
        if change in lone:
            if id(change) not in following:
                came = change.kind == "step-added"
                yield Thing("step", change.subject, field="came" if came else "went")
        elif change.kind in _ORDER:
            yield Thing("order", change.subject)
        elif isinstance(change, StepChange) and not _is_oven(change):
            for thing in _settings(change, sides, touched):
                key = _key(thing, change)
                if key not in said:
                    said.add(key)
                    yield thing


def _settings(
    change: StepChange, sides: tuple[_Method, _Method], touched: Touched
) -> Iterator[Thing]:
    """A setting of a step; of what it takes each ingredient that goes in elsewhere, or in another portion."""
    if change.field in _NO_SETTING:
        return
    if change.field != "uses":
        yield _setting(change)
        return
    names = _taken_otherwise(change, sides, touched)
    if names is None:
        yield _setting(change)
    else:
        yield from (Thing("setting", name, field="uses") for name in names)


def _key(thing: Thing, change: StepChange) -> tuple[str, str, str]:
    """By what a thing is one: an ingredient that goes in elsewhere, a pan that is lined and filled, else the step."""
    if thing.field == "uses":
        return "uses", thing.subject, ""
    if thing.field == "into":
        return "into", change.text_before, change.text_after
    return thing.field, f"{id(change)}", ""


def _setting(change: StepChange) -> Thing:
    sort = "sign" if change.field == "until" else "setting"
    figures = change.figures or (None, None)
    unit = {Degrees: "°C", Minutes: "min"}.get(type(change.figures), "")  # type: ignore[arg-type]
    return Thing(sort, change.verb, "", "", change.field, figures[0], figures[1], unit)  # type: ignore[arg-type]


def _is_oven(change: Change) -> bool:
    return isinstance(change, StepChange) and change.is_of_oven and change.field in ("to", "at")


def _oven_things(changes: Sequence[Change]) -> Iterator[Thing]:
    """One for each way the oven moved: the heating of it and the bake move together."""
    seen: set[object] = set()
    for change in sorted(changes, key=lambda c: c.kind != "bake"):
        assert isinstance(change, StepChange)
        figures = change.figures
        known = figures and figures[0] is not None and figures[1] is not None
        moved: object = (change.text_before, change.text_after)
        if known and figures:
            moved = round((figures[1] or 0.0) - (figures[0] or 0.0))
        if moved not in seen:
            seen.add(moved)
            yield _setting(change)._replace(field="oven")


def _method(balance: Balance, factor: float) -> _Method:
    uses: dict[str, Use] = {}
    mass_g: dict[str, float] = {}
    main: dict[str, str] = {}
    for step in balance.formula.method:
        for use in step.uses:
            uses[" ".join(use.said.split()) if use.portion else fold(use.name)] = use
    for part in balance.parts:
        mass_g[fold(part.part.name)] = part.mass_g
        for weighed in part.lines:
            name = fold(weighed.name)
            main[fold(weighed.line.name)] = name
            mass_g[name] = mass_g.get(name, 0.0) + weighed.grams
    return _Method(balance.formula, factor, uses, mass_g, main)


def _with_main_names(touched: Touched, sides: tuple[_Method, _Method]) -> Touched:
    def both(names: frozenset[str]) -> frozenset[str]:
        return names | {side.main[name] for side in sides for name in names if name in side.main}

    return touched._replace(names=both(touched.names), states=both(touched.states))


def _following(
    lone: Sequence[Change], sides: tuple[_Method, _Method], touched: Touched
) -> set[int]:
    """Steps that came or went with what they take, and those right behind them without anything to take."""
    found: set[int] = set()
    for side, kind in zip(sides, ("step-removed", "step-added"), strict=True):
        waiting = [c for c in lone if c.kind == kind]
        names = touched.names | touched.states
        behind = False
        for step in side.formula.method:
            change = next((c for c in waiting if c.subject == step_text(step)), None)
            if change is None:
                behind = False
                continue
            taken = {_main(side, use) for use in step.uses}
            behind = (bool(taken) and taken <= names) or (
                behind and not taken and touched.has_parts
            )
            waiting.remove(change)
            if behind:
                found.add(id(change))
                names = names | {fold(made) for made in (step.text("makes"),) if made}
    return found


def _main(side: _Method, use: Use) -> str:
    name = fold(use.name)
    return side.main.get(name, name)


def _taken_otherwise(
    change: StepChange, sides: tuple[_Method, _Method], touched: Touched
) -> list[str] | None:
    """What a step takes or leaves though it neither came nor went, nor weighs otherwise; the order is nothing.

    None where the words of the change cannot be read.
    """
    texts = change.text_before, change.text_after
    uses = [_uses_in(text, side) for text, side in zip(texts, sides, strict=True)]
    if uses[0] is None or uses[1] is None:
        return None
    gone = {_main(sides[0], use): use for use in uses[0]}
    come = {_main(sides[1], use): use for use in uses[1]}
    return [
        name
        for name in dict.fromkeys((*gone, *come))
        if name not in touched.names
        and not (name in gone and name in come and _same_share(name, gone[name], come[name], sides))
    ]


def _uses_in(text: str, side: _Method) -> list[Use] | None:
    """The uses in the words of a change, the longest first where a name holds a comma; None for other words."""
    words, found = text.split(", ") if text else [], []
    while words:
        for end in range(len(words), 0, -1):
            use = side.uses.get(", ".join(words[:end]))
            if use is not None:
                found.append(use)
                words = words[end:]
                break
        else:
            return None
    return found


def _same_share(name: str, was: Use, now: Use, sides: tuple[_Method, _Method]) -> bool:
    """Whether two portions are the same share of what there is, or the same portion of a larger batch."""
    sizes = [_size(use) for use in (was, now)]
    masses = [side.mass_g.get(name, 0.0) for side in sides]
    if sizes[0] is None and sizes[1] is None:
        return was.portion == now.portion
    if sizes[0] is None or sizes[1] is None or sizes[0][0] != sizes[1][0] or not sizes[0][1]:
        return False
    times = sizes[1][1] / sizes[0][1]
    usual = [sides[1].factor, *([masses[1] / masses[0]] if all(masses) else [])]
    return any(abs(times / factor - 1) <= SAME_SHARE for factor in usual)


def _size(use: Use) -> tuple[frozenset[str], float] | None:
    """The kinds of unit of a portion, and its size in their base unit."""
    if not isinstance(use.portion, Amount):
        return None
    return use.portion.kinds, sum(float(t.mean if t.is_range else t.low) * t.unit.factor for t in use.portion.terms)  # fmt: skip
