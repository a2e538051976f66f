"""A new formula of a product class: its usual ratios, scaled to what is wanted, in a file that is not there yet."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from pathlib import Path
from textwrap import wrap
from typing import Any

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.documents.writer import record_text, tidy
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.recipe.header import formula_id
from perflour.result import CannotRun
from perflour.scale.request import ScaleRequest, scale_source
from perflour.setup.outline import Outline, OutlinePercent, outline_for, outline_percents
from perflour.system.files import default_names
from perflour.system.paths import FORMULA_FILE, display_path
from perflour.tidy.house_format import format_formula


@dataclass(frozen=True)
class NewFormula:
    """A formula file to be written at ``path``, its balance, and what must be said with it."""

    path: Path
    content: bytes
    balance: Balance
    allergens: Allergens


def new_formula(
    title: str, product_class: str, asked: ScaleRequest, like: str = "", into: str = ""
) -> NewFormula:
    """A draft with the usual ratios of a class; nothing is written yet.

    ``asked`` may say ``pieces`` and ``each``, ``batch`` or ``flour``; without any of them the batch is
    the outline's. Raises CannotRun.
    """
    name = tidy(title)
    if not any(sign.isalnum() for sign in name):
        raise CannotRun("a formula needs a title; write one like 'Oat and treacle loaf'")
    folder = Path(into or default_names()[0])
    path = folder / formula_id(name) / FORMULA_FILE
    kitchen = kitchen_for(str(path))
    if kitchen.results:
        first = kitchen.results[0]
        raise CannotRun(f"{first.place}: {first.message}")
    outline = outline_for(product_class, like, kitchen.house)
    found = kitchen.house.classes.get(product_class)
    portions = outline_percents(outline, found.windows if found else {})
    base = _file(name, product_class, outline, portions, path, kitchen)
    balance = weigh_file(base, "outline", kitchen)
    scaled = scale_source(base, balance, kitchen, _target(asked, outline))
    content = format_formula(scaled.content, display_path(str(path)), kitchen)
    return NewFormula(path, content, scaled.after, allergens(scaled.after))


def _target(asked: ScaleRequest, outline: Outline) -> ScaleRequest:
    """What scaling is asked for; the outline's own batch where nothing is."""
    if not (asked.pieces or asked.batch or asked.flour):
        asked = replace(asked, pieces=str(outline.pieces))
    if asked.pieces and not asked.each:
        asked = replace(asked, each=f"{outline.each_g:g} g")
    return asked


def _file(
    title: str,
    product_class: str,
    outline: Outline,
    portions: tuple[OutlinePercent, ...],
    path: Path,
    kitchen: Kitchen,
) -> bytes:
    """The formula at the outline's own batch, before amounts are rounded to the scale."""
    batch_g = outline.pieces * outline.each_g
    flour_g = 100 * batch_g / sum(share.percent for share in portions)
    data = {
        "formula": formula_id(title),
        "title": title,
        "class": product_class,
        "status": "draft",
        "origin": "own",
        "yield": {
            "pieces": outline.pieces,
            "piece": outline.piece,
            "scaling-weight": f"{outline.each_g:g} g",
        },
        "parts": [
            {
                "part": outline.kind,
                "kind": outline.kind,
                "ingredients": [_line(share, flour_g) for share in portions],
            }
        ],
        "method": _method(outline, {share.line.item for share in portions}),
    }
    text = record_text("formula", data, path, _comments(product_class, portions))
    return format_formula(text.encode(), os.fspath(path), kitchen)


def _line(share: OutlinePercent, flour_g: float) -> dict[str, str]:
    line = {"item": share.line.item, "amount": f"{share.percent * flour_g / 100:.4f} g"}
    return line | ({"state": share.line.state} if share.line.state else {})


def _method(outline: Outline, there: set[str]) -> list[dict[str, Any]]:
    """The steps without what is not in the formula; a step that is left with nothing goes."""
    steps = []
    for step in outline.method:
        uses = [item for item in step.get("uses", ()) if item in there]
        if uses or "uses" not in step:
            steps.append({**step, **({"uses": uses} if uses else {})})
    return steps


def _comments(product_class: str, portions: tuple[OutlinePercent, ...]) -> tuple[str, ...]:
    """Where the figures come from, at the end of the file."""
    by_source: dict[str, list[str]] = {}
    for share in portions:
        by_source.setdefault(share.source, []).append(f"{share.line.item} {share.percent:g} %")
    told = [
        line
        for source, listed in by_source.items()
        for line in wrap(
            f"{', '.join(listed)}: {source}", 94, initial_indent="#   ", subsequent_indent="#   "
        )
    ]
    head = f"# Usual ratios of {product_class} to start from, never baked. In percent of the flour:"
    return (head, *told)
