"""What batches cost, as sections and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from perflour.bakeday.cost import Cost, Costing
from perflour.bakeday.shopping import ShoppingList
from perflour.kitchen.figures import factor as factor_text
from perflour.kitchen.figures import grams
from perflour.report.bakeday.money import exact, money
from perflour.report.bakeday.shopping import shopping_data, shopping_section
from perflour.report.form.sections import Section, sections_markdown, sections_text

KEY_TO_TOTAL = "Lines are rounded each by itself; totals are exact sums, rounded once."


def costs_title(costing: Costing) -> str:
    """Which prices, of which day."""
    return f"Cost of ingredients in {costing.currency}, prices of {costing.date} ({costing.path})"


def costs_sections(costing: Costing, shopping: ShoppingList | None) -> list[Section]:
    """A table a formula, the sum of several, and what whole packs cost."""
    sections = [_section(costing, at) for at in range(len(costing.costs))]
    if len(costing.costs) > 1:
        sections.append(_together(costing))
    return [*sections, *([shopping_section(shopping)] if shopping else [])]


def _section(costing: Costing, at: int) -> Section:
    cost, currency = costing.costs[at], costing.currency
    rows = []
    for line in cost.lines:
        mass = "?" if line.mass_g is None else grams(line.mass_g)
        if line.cost is None:
            rows.append((line.item, mass, line.reason, "", ""))
            continue
        share = cost.share_percent(line)
        rows.append(
            (
                line.item,
                mass,
                line.pack,
                money(line.cost, currency),
                "" if share is None else f"{share:.1f}",
            )
        )
    headers = ("item", "g", "by the pack of", currency, "%")
    pieces = f", {cost.pieces} {cost.piece}" if cost.pieces else ""
    title = f"{cost.formula} {factor_text(cost.factor)}: {grams(cost.batch_g)} g{pieces}"
    return Section(title, headers, tuple(rows), "<><>>", after=tuple(_sums(costing, at)))


def _sums(costing: Costing, at: int) -> Iterator[str]:
    cost, currency = costing.costs[at], costing.currency
    least = "at least " if cost.missing else ""
    yield f"batch: {least}{money(cost.total, currency)} {currency}{_was(costing, at, cost.total, 'total')}"
    if cost.per_piece is not None:
        moved = _was(costing, at, cost.per_piece, "per_piece")
        yield f"a {cost.piece}: {least}{money(cost.per_piece, currency)} {currency}{moved}"
    if cost.batch_g:
        per_kg = cost.total / Fraction(str(cost.batch_g)) * 1000
        yield f"a kg of batch before baking: {least}{money(per_kg, currency)} {currency}"
    if cost.missing:
        names = ", ".join(f"{line.item} ({line.reason})" for line in cost.missing)
        yield f"not counted: {names}"
    yield KEY_TO_TOTAL


def _was(costing: Costing, at: int, now: Fraction, figure: str) -> str:
    """What it was without the what-if changes, and by how much it moved."""
    if not costing.before:
        return ""
    before = getattr(costing.before[at], figure)
    if not before:
        return f" (was {money(Fraction(0), costing.currency)})"
    percent = float(now / before - 1) * 100
    return f" (was {money(before, costing.currency)}, {percent:+.1f} % with {'; '.join(costing.what_if)})"


def _together(costing: Costing) -> Section:
    rows = [
        (cost.formula, money(cost.total, costing.currency), f"{len(cost.missing) or ''}")
        for cost in costing.costs
    ]
    rows.append(("together", money(costing.total, costing.currency), ""))
    return Section("Together", ("formula", costing.currency, "not counted"), tuple(rows), "<>>")


def costs_json(costing: Costing, shopping: ShoppingList | None) -> str:
    """Exact values; money as text with up to eight decimals."""
    data: dict[str, Any] = {
        "currency": costing.currency,
        "prices_of": costing.date,
        "price_list": costing.path,
        "what_if": list(costing.what_if),
        "formulas": [_cost_data(cost) for cost in costing.costs],
        "before": [_cost_data(cost) for cost in costing.before] or None,
        "total": exact(costing.total),
        "shopping": shopping_data(shopping) if shopping else None,
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _cost_data(cost: Cost) -> dict[str, Any]:
    return {
        "formula": cost.formula,
        "factor": cost.factor,
        "batch_mass_g": cost.batch_g,
        "pieces": cost.pieces,
        "lines": [
            {
                "item": line.item,
                "mass_g": line.mass_g,
                "pack": line.pack or None,
                "cost": None if line.cost is None else exact(line.cost),
                "percent_of_cost": cost.share_percent(line),
                "not_counted_because": line.reason or None,
            }
            for line in cost.lines
        ],
        "cost": exact(cost.total),
        "cost_is_whole": not cost.missing,
        "cost_per_piece": None if cost.per_piece is None else exact(cost.per_piece),
    }


def costs_text(costing: Costing, shopping: ShoppingList | None) -> str:
    """For a terminal."""
    return sections_text(costs_title(costing), costs_sections(costing, shopping))


def costs_markdown(costing: Costing, shopping: ShoppingList | None) -> str:
    """For a page."""
    return sections_markdown(costs_title(costing), costs_sections(costing, shopping))
