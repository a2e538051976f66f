"""The middle of formulas as a new formula file: its percentages, with the parts and the method of the nearest one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from textwrap import wrap
from typing import Any

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.balance.parts import PartBalance, Weighed
from perflour.documents.writer import record_text, tidy
from perflour.evidence.middle import Middle
from perflour.evidence.middle_method import Kept, method_of
from perflour.evidence.middle_percents import MiddlePercent
from perflour.kitchen.figures import percent as percent_text
from perflour.kitchen.house import Kitchen
from perflour.kitchen.names import fold
from perflour.plain import one_line
from perflour.recipe.header import formula_id
from perflour.result import CannotRun
from perflour.scale.request import TARGETS, ScaleRequest, scale_source
from perflour.system.files import default_names
from perflour.system.paths import FORMULA_FILE, display_path
from perflour.tidy.house_format import format_formula

# A citation names so many formulas; the comments of the file have all.
MOST_CITED = 6
# Columns of a comment.
_WIDTH = 96


@dataclass(frozen=True)
class MiddleFile:
    """A formula file to be written at ``path``, with its balance.

    ``flattened`` says that the parts of the nearest formula are one here, since not all of each goes into the base.
    ``without_step`` are ingredients that no step of the nearest formula takes, nor a thing of their kind;
    ``placed`` those put beside a thing of their kind. ``left_parts`` are parts beside the base that are not in it.
    """

    path: Path
    content: bytes
    balance: Balance
    flattened: bool = False
    without_step: tuple[str, ...] = ()
    placed: tuple[str, ...] = ()
    left_parts: tuple[str, ...] = ()


def middle_file(
    made: Middle,
    title: str,
    kitchen: Kitchen,
    asked: ScaleRequest | None = None,
    into: str = "",
) -> MiddleFile:
    """A draft of the middle; nothing is written yet.

    ``asked`` may say what scaling is to; without a target it has as much flour as the nearest formula.
    Raises CannotRun.
    """
    name = tidy(title)
    if not any(sign.isalnum() for sign in name):
        raise CannotRun("a formula needs a title; write one like 'The middle of our loaves'")
    path = Path(into or default_names()[0]) / formula_id(name) / FORMULA_FILE
    nearest = made.nearest.balance
    flattened = not _is_whole(nearest)
    flour_g = nearest.basis_g
    amounts = {fold(p.name): p.percent * flour_g / 100 for p in made.percents if p.percent > 0}
    lines = _lines(nearest, amounts, {fold(p.name): p.name for p in made.percents}, flattened)
    kept = _kept(made, lines, flattened)
    method, without_step, placed = method_of(nearest.formula, kept, made)
    base_g = sum(amounts.values())
    data = {
        "formula": formula_id(name),
        "title": name,
        "class": nearest.formula.product_class,
        "status": "draft",
        "origin": "adapted",
        "citation": _citation(made),
        **({"basis": [kept.items[fold(b)] for b in made.basis]} if made.basis else {}),
        **_yield(nearest, base_g),
        "parts": lines,
        "method": method,
    }
    text = record_text("formula", data, path, _comments(made))
    base = format_formula(text.encode(), str(path), kitchen)
    request = asked or ScaleRequest()
    if not any(getattr(request, target) for target in TARGETS):
        request = replace(request, times="1")
    scaled = scale_source(base, weigh_file(base, "middle", kitchen), kitchen, request)
    content = format_formula(scaled.content, display_path(str(path)), kitchen)
    return MiddleFile(
        path,
        content,
        scaled.after,
        flattened,
        without_step,
        placed,
        tuple(one.part.part.name for one in nearest.beside),
    )


def _is_whole(balance: Balance) -> bool:
    """Whether all of each part of the base goes into it, so that its lines may be written anew one by one."""
    return all(abs(part.in_base - 1) < 1e-9 for part in _base_parts(balance))


def _base_parts(balance: Balance) -> list[PartBalance]:
    return [part for part in balance.parts if part.in_base > 0 and not part.beside]


def _lines(
    nearest: Balance, amounts: Mapping[str, float], names: Mapping[str, str], flattened: bool
) -> list[dict[str, Any]]:
    """The parts of the file: each ingredient where the nearest formula has it, in its shares; others at the end."""
    parts = _base_parts(nearest)
    top = next((part for part in reversed(parts) if not part.used_by_parts), parts[-1])
    if flattened:
        listed = [w for part in parts for w in part.lines if not w.line.is_part]
        parts = [top._replace(lines=tuple(listed))]
    whole_g: dict[str, float] = {}
    for weighed in (w for part in parts for w in part.lines if not w.line.is_part):
        whole_g[fold(weighed.name)] = whole_g.get(fold(weighed.name), 0.0) + weighed.grams
    new = [key for key in amounts if not whole_g.get(key)]
    made = []
    for part in parts:
        lines = [line for w in part.lines if (line := _line(w, amounts, whole_g))]
        if part.part.name == top.part.name:
            lines += [{"item": names[key], "amount": _grams(amounts[key])} for key in new]
        kind = {"kind": part.part.kind} if part.part.kind else {}
        made.append({"part": part.part.name, **kind, "ingredients": lines})
    return _without_empty(made)


def _line(
    weighed: Weighed, amounts: Mapping[str, float], whole_g: Mapping[str, float]
) -> dict[str, str] | None:
    """A line of the nearest formula with its share of the new amount; None for what is not in the middle."""
    if weighed.line.is_part:
        return {"part": weighed.line.name, "amount": "all"}
    key = fold(weighed.name)
    if key not in amounts or not whole_g[key] or not weighed.grams:
        return None
    line = {
        "item": weighed.line.name,
        "amount": _grams(amounts[key] * weighed.grams / whole_g[key]),
    }
    return line | ({"state": weighed.line.state} if weighed.line.state else {})


def _grams(grams: float) -> str:
    return f"{grams:.6f} g"


def _without_empty(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Parts that still hold something, and lines of such parts alone."""
    while True:
        there = {fold(part["part"]) for part in parts if part["ingredients"]}
        kept = [
            {**part, "ingredients": [line for line in part["ingredients"] if fold(line.get("part", "")) in there or "item" in line]}
            for part in parts
            if part["ingredients"]
        ]  # fmt: skip
        if kept == parts:
            return kept
        parts = kept


def _kept(made: Middle, lines: Sequence[Mapping[str, Any]], flattened: bool) -> Kept:
    """What the method may name: the items as they are written, and the parts."""
    nearest = made.nearest.balance
    canonical = {fold(w.line.name): fold(w.name) for w in nearest.lines if not w.line.is_part}
    written = [line["item"] for part in lines for line in part["ingredients"] if "item" in line]
    items = {canonical.get(fold(item), fold(item)): item for item in reversed(written)}
    names = {p.name: fold(p.name) for p in made.percents}
    parts = frozenset(fold(part["part"]) for part in lines)
    mass_g: dict[str, float] = {}
    for line in nearest.total:
        mass_g[fold(line.name)] = line.mass_g
    times = {
        key: p.percent * nearest.basis_g / 100 / mass_g[key]
        for p in made.percents
        if mass_g.get(key := names[p.name])
    }
    return Kept(items, canonical, parts, times)


def _yield(nearest: Balance, base_g: float) -> dict[str, Any]:
    yields = nearest.formula.yields
    if yields is None:
        return {}
    each = max(1, round(base_g / yields.pieces))
    return {
        "yield": {"pieces": yields.pieces, "piece": yields.piece, "scaling-weight": f"{each} g"}
    }


def _citation(made: Middle) -> str:
    way = "Median" if made.way == "median" else "Blend"
    named = [f"{one_line(p.label)} ({p.revision})" for p in made.parents]
    more = f" and {len(named) - MOST_CITED} more" if len(named) > MOST_CITED else ""
    return f"{way} of {', '.join(named[:MOST_CITED])}{more}"[:1000]


def _comments(made: Middle) -> tuple[str, ...]:
    """What the figures are of, at the end of the file: every formula with its revision, every percentage's spread."""
    way = "Median" if made.way == "median" else "Blend with weights"
    told = [f"# {way} of {len(made.parents)} formulas, in percent of {_of(made)}, never baked:"]
    for parent in made.parents:
        share = "" if made.way == "median" else f", {parent.weight:.0%} of the weight"
        told += _wrapped(f"{one_line(parent.label)}, revision {parent.revision}{share}")
    told.append(
        "# Each with the quartiles of the formulas that have it; flours together are 100 %, and things of a"
    )
    told.append(
        "# kind (sugars and syrups, fats, milk and water) are together what the kind is in the middle:"
    )
    for percent in made.percents:
        told += _wrapped(_spread(percent, len(made.parents)))
    told += _wrapped(f"Parts and method are those of {made.nearest_label}, the nearest.", "# ")
    for left in made.left_out:
        told += _wrapped(f"left out: {one_line(left.name)}, in {left.formulas} of {len(made.parents)}")  # fmt: skip
    return tuple(told)


def _of(made: Middle) -> str:
    return one_line(", ".join(made.basis)) if made.basis else "the flour"


def _spread(percent: MiddlePercent, formulas: int) -> str:
    fine = percent.kind in ("salt", "leavening", "yeast", "flavouring and spice")
    value, low, high = (percent_text(v, fine) for v in (percent.percent, percent.low, percent.high))
    return f"{one_line(percent.name)} {value} % ({low} to {high}), in {percent.formulas} of {formulas}"  # fmt: skip


def _wrapped(text: str, first: str = "#   ") -> Iterator[str]:
    yield from wrap(one_line(text), _WIDTH, initial_indent=first, subsequent_indent="#     ")
