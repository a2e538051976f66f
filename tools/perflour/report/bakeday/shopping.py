"""The shopping list as a section, and as data."""

from __future__ import annotations

from typing import Any

from perflour.bakeday.packs import SECONDS
from perflour.bakeday.shopping import ShoppingLine, ShoppingList
from perflour.kitchen.figures import grams
from perflour.report.bakeday.money import exact, money
from perflour.report.form.sections import Section


def shopping_section(listed: ShoppingList) -> Section:
    """What to have in the house; packs and what they cost where there is a price list."""
    priced = bool(listed.currency)
    headers: tuple[str, ...] = ("item", "need g", "pieces")
    if priced:
        headers += ("buy", listed.currency, "left g")
    rows = tuple(_row(line, listed.currency) for line in listed.lines)
    align = "<>>" + ("<>>" if priced else "")
    return Section("Shopping list", headers, rows, align, after=tuple(_remarks(listed)))


def _row(line: ShoppingLine, currency: str) -> tuple[str, ...]:
    pieces = f"{line.pieces} {line.unit}" if line.pieces is not None else ""
    row = (line.item, grams(line.mass_g), pieces)
    if not currency:
        return row
    buy = " + ".join(f"{b.number} x {b.pack.size}" for b in line.bought) or line.reason
    cost = "" if line.cost is None else money(line.cost, currency)
    left = "" if line.left_g is None else grams(max(line.left_g, 0))
    return (*row, buy, cost, left)


def _remarks(listed: ShoppingList) -> list[str]:
    remarks = [f"not weighed: {item} ({formula})" for formula, item in listed.unweighed]
    if not listed.currency:
        return [*remarks, "No price list was found: packs and prices are left out."]
    missing = [line.item for line in listed.lines if line.cost is None]
    total = f"{money(listed.total, listed.currency)} {listed.currency}"
    about = f"Packs for {total} at prices of {listed.date}, the cheapest that hold enough, with nothing in the house yet."
    unproven = ", ".join(line.item for line in listed.lines if not line.proven)
    if unproven:
        about = f"{about} Best found in {SECONDS:g} s, not proven the cheapest: {unproven}."
    if missing:
        about = f"{about} Without a price, so not counted: {', '.join(missing)}."
    return [*remarks, about]


def shopping_data(listed: ShoppingList) -> dict[str, Any]:
    """Exact values; money as text."""
    return {
        "currency": listed.currency or None,
        "prices_of": listed.date or None,
        "total": exact(listed.total) if listed.currency else None,
        "lines": [
            {
                "item": line.item,
                "mass_g": line.mass_g,
                "by_formula_g": dict(line.uses),
                "pieces": line.pieces,
                "unit": line.unit or None,
                "packs": [
                    {"size": b.pack.size, "price": exact(b.pack.price), "number": b.number}
                    for b in line.bought
                ],
                "cost": None if line.cost is None else exact(line.cost),
                "left_g": line.left_g,
                "proven_cheapest": line.proven,
                "not_bought_because": line.reason or None,
            }
            for line in listed.lines
        ],
        "not_weighed": [{"formula": f, "item": item} for f, item in listed.unweighed],
    }
