"""A formula file to a variant of it: some ratios and settings at other levels, all else as it stands.

Only what moves is written anew, in grams to the step of the scale (finer for salt, leavening and what weighs
little), so that comments, order and wording stay those of the formula, and so does an amount that the scale could
not tell from the new one.
"""

from __future__ import annotations

import os
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.balance.parts import Weighed
from perflour.balance.ratios import is_fine
from perflour.designs.levels import degrees_text, level_text, minutes_text
from perflour.designs.moves import in_base, lines_of, now, percent, setting
from perflour.documents.layout import as_scalar, write_commented
from perflour.documents.line_endings import bytes_of, text_of
from perflour.documents.nodes import Collection, changed, each, read_commented
from perflour.kitchen.house import Kitchen
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount
from perflour.records.trial import Hold, TrialFactor
from perflour.result import CannotRun, FileProblem, request_field
from perflour.scale.request import scaled_file
from perflour.scale.scaling import (
    Scaled,
    ScaledLine,
    Style,
    amount_times,
    is_called,
    rounded_g,
    scaled_portions,
)

#: How far from its level rounding may leave a factor, as a share of its range.
MOST_OFF = 0.05
#: Nearer to 1 than this, a line does not move.
SAME = 1e-9
#: Of other formulas, drafts and those of somebody else, variants are drafts: they need not have all that is asked yet.
TESTED = ("approved", "testing")
_EDITOR_LINE = "# yaml-language-server: $schema="
#: Which figure of the composition a total speaks of.
_TOTALS = {"total-water": "water", "total-fat": "fat", "total-sugar": "sugar"}


@dataclass(frozen=True)
class Head:
    """What a variant is called, and where its file and that of its formula lie."""

    id: str
    title: str
    path: Path
    parent: Path


@dataclass(frozen=True)
class Variant:
    """A variant's file, weighed; ``levels`` are what the factors really are in it, ``said`` in words."""

    content: bytes
    balance: Balance
    levels: Mapping[str, float]
    said: Mapping[str, str]


def variant(
    content: bytes,
    balance: Balance,
    kitchen: Kitchen,
    factors: Sequence[TrialFactor],
    levels: Mapping[str, float],
    holds: Sequence[Hold] = (),
    head: Head | None = None,
) -> Variant:
    """The formula file with each factor at its level, in the factor's unit.

    Raises CannotRun where a level cannot be met: what gives way runs out, or the scale is too coarse.
    """
    times = multipliers(balance, factors, levels, holds)
    written = _with_amounts(content, balance, times, kitchen)
    for factor in factors:
        if factor.field:
            written = _with_setting(written, balance, factor, levels[factor.name])
    if head:
        written = _with_head(written, head)
    try:
        weighed = weigh_file(written, "variant", kitchen)
    except FileProblem as problem:
        raise CannotRun(f"no variant can be written of this formula: {problem.message}") from None
    reached = {f.name: _reached(f, balance, weighed, levels[f.name]) for f in factors}
    said = {f.name: level_text(reached[f.name], f) for f in factors}
    return Variant(written, weighed, reached, said)


def multipliers(
    balance: Balance,
    factors: Sequence[TrialFactor],
    levels: Mapping[str, float],
    holds: Sequence[Hold],
) -> list[float]:
    """By how much each line of ``balance.lines`` is multiplied. Raises CannotRun where an ingredient runs out."""
    times = [1.0] * len(balance.lines)
    moved: set[int] = set()
    for factor in factors:
        if not factor.field:
            is_now = now(factor, balance)
            moved.update(is_now.lines)
            for at in is_now.lines:
                times[at] = levels[factor.name] / is_now.value
    _keep_flour(balance, factors, times, moved)
    for hold in holds:
        if hold.what in _TOTALS:
            _keep_total(balance, hold, times, moved)
    _refuse_parts_by_weight(balance, times)
    if any(hold.what == "batch" for hold in holds):
        back = balance.batch_g / _batch_g(balance, times)
        times = [x * back for x in times]
    return times


def _refuse_parts_by_weight(balance: Balance, times: Sequence[float]) -> None:
    """A part of which others take so many grams would go into them in another share once it weighs otherwise."""
    moved = dict(zip(map(id, balance.lines), times, strict=True))
    taken = {fold(w.line.name) for w in balance.lines if w.line.is_part and isinstance(w.line.amount.value, Amount)}  # fmt: skip
    for part in balance.parts:
        name = part.part.name
        if fold(name) in taken and any(abs(moved[id(w)] - 1) > SAME for w in part.lines):
            raise CannotRun(f"so many grams are taken of {name}, in which something moves; write a share of it, like `all` or `1/2`")  # fmt: skip


def _keep_flour(
    balance: Balance, factors: Sequence[TrialFactor], times: list[float], moved: Container[int]
) -> None:
    """What gives way for the flours that move makes up for them, so that the flour stays 100 %."""
    giving = next((f.gives_way for f in factors if f.gives_way), "")
    if giving:
        flours = [at for at in in_base(balance) if balance.lines[at].in_basis]
        _make_up(balance, giving, dict.fromkeys(flours, 1.0), times, moved, "the flour")


def _keep_total(balance: Balance, hold: Hold, times: list[float], moved: Container[int]) -> None:
    """One ingredient makes up for what the others bring of water, fat or sugar."""
    figure = _TOTALS[hold.what]
    shares = {}
    for at in in_base(balance):
        known = balance.lines[at].ingredient
        if known is None or figure not in known.composition:
            if abs(times[at] - 1) > SAME:
                raise CannotRun(f"nobody knows how much {figure} is in {balance.lines[at].name}, which moves; hold something else")  # fmt: skip
            continue
        shares[at] = known.composition[figure] / 100
    _make_up(balance, hold.gives_way, shares, times, moved, hold.what.replace("-", " "))


def _make_up(
    balance: Balance,
    item: str,
    shares: Mapping[int, float],
    times: list[float],
    moved: Container[int],
    what: str,
) -> None:
    """Moves the lines of an item, but for those that a factor moves, so that the sum of mass by share stays."""
    lines = balance.lines
    giving = [at for at in shares if at not in moved and is_called(lines[at], item)]
    brought = sum(lines[at].grams * shares[at] for at in giving)
    more = sum(lines[at].grams * (times[at] - 1) * shares[at] for at in shares if at not in giving)
    if brought <= 0:
        raise CannotRun(f"{item} brings nothing to {what}; name an ingredient of the base that does")  # fmt: skip
    if more >= brought:
        raise CannotRun(f"{item} cannot give way so far that {what} stays: there is not enough of it; narrow the ranges, or name another")  # fmt: skip
    for at in giving:
        times[at] = 1 - more / brought


def _with_amounts(
    content: bytes, balance: Balance, times: Sequence[float], kitchen: Kitchen
) -> bytes:
    """The file with the amounts, portions and scaling weight of what moves."""
    resolution_g = kitchen.house.scale_resolution_g
    moved = list(zip(balance.lines, times, strict=True))
    lines = tuple(_line(weighed, factor, resolution_g) for weighed, factor in moved)
    after_g = _batch_g(balance, times)
    of = {id(weighed): factor for weighed, factor in moved}
    all_alike = times[0] if len(set(times)) == 1 else 1.0
    portions = scaled_portions(balance, lambda w: of[id(w)] if w else all_alike, Style(resolution_g))  # fmt: skip
    portions = {said: text for said, text in portions.items() if _moves(balance, said, of)}
    yields = balance.formula.yields
    pieces = yields.pieces if yields else None
    each_g = _piece_g(balance, after_g, resolution_g)
    scaled = Scaled(1.0, "", lines, after_g, pieces, each_g, portions)
    return scaled_file(content, scaled, resolution_g)


def _piece_g(balance: Balance, after_g: float, resolution_g: float) -> float | None:
    """The scaling weight, where it moves: a piece's share of the batch, in the same proportion as the formula's."""
    yields = balance.formula.yields
    stated = yields.scaling_weight.value if yields and yields.scaling_weight else None
    if yields is None or not isinstance(stated, Amount) or abs(after_g / balance.batch_g - 1) <= SAME:  # fmt: skip
        return None
    share_g, stated_g = balance.batch_g / yields.pieces, stated.in_base_units
    if rounded_g(share_g, resolution_g) == rounded_g(stated_g, resolution_g):
        stated_g = share_g
    return stated_g * after_g / balance.batch_g


def _batch_g(balance: Balance, times: Sequence[float]) -> float:
    """The mass of all parts together after the lines have moved; parts that others use count where they are used."""
    moved = dict(zip(map(id, balance.lines), times, strict=True))
    return balance.batch_g + sum(
        w.grams * (moved[id(w)] - 1) * part.portion
        for part in balance.parts
        for w in part.lines
        if not w.line.is_part
    )


def _moves(balance: Balance, said: str, of: Mapping[int, float]) -> bool:
    """Whether the portion of a step that says so is of a line that moves."""
    uses = (use for step in balance.formula.method for use in step.uses if use.said == said)
    names = {fold(use.name) for use in uses}
    lines = [w for w in balance.lines if names & {fold(w.line.name), fold(w.name)}]
    return any(abs(of[id(w)] - 1) > SAME for w in lines)


def _line(weighed: Weighed, factor: float, resolution_g: float) -> ScaledLine:
    line, text = weighed.line, weighed.line.amount.text
    exact_g = weighed.grams * factor if weighed.mass else None
    amount = text
    if abs(factor - 1) > SAME:
        if exact_g is None or (line.is_part and not isinstance(line.amount.value, Amount)):
            amount = amount_times(text, line.amount.value, factor) if not line.is_part else text
        else:
            new, old = (_weighed_out(g, weighed, resolution_g) for g in (exact_g, weighed.grams))
            amount = text if new == old else f"{new} g"
    return ScaledLine("", line.name, line.is_part, text, amount, exact_g, None)


def _weighed_out(grams: float, weighed: Weighed, resolution_g: float) -> str:
    """A mass as the scales show it: salt, leavening and spice on the small one, to a tenth of the step."""
    on_small_scale = is_fine(weighed.ingredient) and grams >= 20 * resolution_g
    return rounded_g(grams, resolution_g / 10 if on_small_scale else resolution_g)


def _with_setting(content: bytes, balance: Balance, factor: TrialFactor, level: float) -> bytes:
    """The file with a step's setting, and those that move along, at a level."""
    method = balance.formula.method
    if abs(setting(method, factor.step, factor.field) - level) < 1e-6:
        return content

    def step(number: int, node: Collection) -> Collection:
        if number + 1 == factor.step:
            field = factor.field
        elif number + 1 in factor.along:
            field = "to"
        else:
            return node
        if field == "for":
            text = minutes_text(level)
        else:
            text = degrees_text(level, getattr(method[number], field).value)
        return changed(node, {field: lambda _: as_scalar(text)})

    page = read_commented(text_of(content))
    root = changed(page.root, {"method": lambda steps: each(steps, step)})
    return bytes_of(write_commented(page._replace(root=root)), like=content)


def _with_head(content: bytes, head: Head) -> bytes:
    """The file under its own name; a page's corrections are none of a variant's."""
    page = read_commented(text_of(content))
    root = changed(
        page.root,
        {
            "formula": lambda _: as_scalar(head.id),
            "title": lambda _: as_scalar(head.title),
            "status": lambda status: as_scalar("testing" if status.value in TESTED else "draft"),
        },
    )
    root = root._replace(entries=tuple(e for e in root.entries if e.key != "corrections"))
    top = tuple(_editor_line(line, head) for line in page.head)
    return bytes_of(write_commented(page._replace(head=top, root=root)), like=content)


def without_waivers(content: bytes, numbers: Container[int]) -> bytes:
    """The file without some of its waivers, counted from 0."""

    def others(waivers: Collection) -> Collection:
        kept = (e for at, e in enumerate(waivers.entries) if at not in numbers)
        return waivers._replace(entries=tuple(kept))

    page = read_commented(text_of(content))
    root = changed(page.root, {"waivers": others})
    left = tuple(e for e in root.entries if e.key != "waivers" or (isinstance(e.node, Collection) and e.node.entries))  # fmt: skip
    return bytes_of(write_commented(page._replace(root=root._replace(entries=left))), like=content)


def _editor_line(line: str, head: Head) -> str:
    """The comment that tells editors the schema, by the path from the variant's folder."""
    if not line.startswith(_EDITOR_LINE) or "://" in line:
        return line
    schema = head.parent.parent / line.removeprefix(_EDITOR_LINE).strip()
    return _EDITOR_LINE + os.path.relpath(schema, head.path.parent).replace(os.sep, "/")


def _reached(factor: TrialFactor, before: Balance, after: Balance, level: float) -> float:
    """What a factor is in the variant. Raises CannotRun where that is not what was wanted."""
    if factor.field:
        return setting(after.formula.method, factor.step, factor.field)
    found = percent(factor, after, lines_of(factor, after))
    if abs(found - level) > MOST_OFF * (factor.high - factor.low):
        grams = sum(before.lines[at].grams for at in lines_of(factor, before))
        raise CannotRun(
            f"{factor.name} comes to {found:.4g} % where {level:.4g} % is wanted: {grams:.3g} g is too little to weigh so finely; "
            f"plan the trial of a larger batch (`perflour scale`), or widen {request_field('vary')}"
        )
    return found
