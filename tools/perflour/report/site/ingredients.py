"""Where each ingredient is used, with the allergens it brings."""

from __future__ import annotations

from collections.abc import Mapping

from perflour.kitchen.names import fold
from perflour.report.site.parts import Cell, Frame, Part, Table, Text, formula_page, page
from perflour.report.site.tables import mass_cell, percent_cell
from perflour.site.summary import Summary, Used
from perflour.site.whole import Whole

ABOUT = (
    "Every ingredient with the formulas that use it, all parts together, in percent of all their flour.",
    "Allergens are those that the food itself brings, by the US and the EU list. This is no label: traces, "
    "lecithin, flavourings and the makings of bought goods are not covered; local rules and the packet decide.",
)


def ingredient_pages(whole: Whole) -> Mapping[str, bytes]:
    """One page, on which each ingredient has a group of rows."""
    by_name: dict[str, list[tuple[Summary, Used]]] = {}
    for one in whole.summaries:
        for used in one.used:
            by_name.setdefault(fold(used.name), []).append((one, used))
    groups = tuple(_group(by_name[name]) for name in sorted(by_name))
    listed = Table("ingredients", ("formula", "g", "% of all flour"), "<>>", groups)
    parts = [Part("", tables=(listed,))]
    if lost := [one for one in whole.summaries if one.allergens_not_known]:
        lines = tuple(Cell(one.title, formula_page(one.slug), note=", ".join(one.allergens_not_known)) for one in lost)  # fmt: skip
        parts.append(Part("Allergens not known", "not-known", lines))
    frame = Frame("ingredients/index.html", "Ingredients", whole.house)
    return {frame.address: page(frame, ABOUT, parts)}


def _group(found: list[tuple[Summary, Used]]) -> tuple[str, tuple[tuple[Text, ...], ...]]:
    us = dict.fromkeys(allergen for _, used in found for allergen in used.us)
    eu = dict.fromkeys(allergen for _, used in found for allergen in used.eu)
    brings = "; ".join(f"{law}: {', '.join(names)}" for law, names in (("US", us), ("EU", eu)) if names)  # fmt: skip
    title = f"{found[0][1].name} ({brings})" if brings else found[0][1].name
    rows = [
        (
            Cell(one.title, formula_page(one.slug)),
            mass_cell(used.mass_g),
            percent_cell(used.percent, used.fine),
        )
        for one, used in found
    ]  # fmt: skip
    return title, tuple(rows)
