"""The baker's table as text and JSON."""

import json
from collections.abc import Sequence
from typing import Any, NamedTuple

from perflour.balance.bakers_table import BakersTable, TableBeside, TableLine, TablePart, TableTotal
from perflour.balance.bakers_table import bakers_table as sheet_of
from perflour.balance.balance import Balance, whose
from perflour.kitchen.figures import grams, percent, spread_text
from perflour.plain import one_line
from perflour.report.form.columns import Frame, columns, hung, room_of

# A spread below this many g or percentage points says nothing in a table.
LEAST_SHOWN_SPREAD = 0.005
#: How far in a sentence below the table goes on: as far as its first words end.
_FURTHER = " " * len("basis        ")


class View(NamedTuple):
    """How the table is shown: ``per`` part, piece, total (of the base) or everything; ``wide`` as it comes."""

    per: str = "part"
    wide: bool = False
    resolution_g: float = 1.0


def bakers_table_text(bakers_table: BakersTable, view: View | None = None) -> str:
    """The table for a terminal; as wide as it comes where the view is wide."""
    view = view or View()
    formula = bakers_table.formula
    each = (
        "" if view.per != "piece" else f", one of {formula.yields.pieces if formula.yields else 1}"
    )
    heading = (
        f"{formula.title} ({formula.id}, {formula.status}), revision {bakers_table.digest}{each}"
    )
    match view.per:
        case "total":
            table = _total_tables(bakers_table, view)
        case "everything":
            table = _total_table("all parts together", bakers_table.everything, view)
        case _:
            table = _part_table(bakers_table, view)
    said = [*_totals(bakers_table, view.resolution_g), *_remarks(bakers_table)]
    below = [line for text in said for line in hung(text, _FURTHER)]
    lines = [*hung(heading), "", *table, "", *below]
    return "\n".join(map(one_line, lines)) + "\n"


def _part_table(bakers_table: BakersTable, view: View) -> list[str]:
    share = 1.0
    if view.per == "piece" and bakers_table.formula.yields:
        share = 1 / bakers_table.formula.yields.pieces
    rows: list[list[str]] = []
    for part in bakers_table.parts:
        rows.append(_part_row(part, share, view))
        rows += [_line_row(line, share, view) for line in part.lines]
    return columns(["", "amount", "g", "± g", "%", "± %"], rows, "<<>>>>", _frame(view))


def _part_row(part: TablePart, share: float, view: View) -> list[str]:
    kind = f" ({part.kind})" if part.kind and part.kind != part.part else ""
    used = f", {part.portion:.0%} used" if 0 < part.portion < 1 else ""
    name = f"{part.part}{kind}{used}"
    of = f"% of {_of(part)}" if any(line.percent is not None for line in part.lines) else ""
    return [name, of, grams(part.mass_g * share, view.resolution_g), "", "", ""]


def _of(part: TablePart) -> str:
    """What the percentages of a part are of, in its own row: `its flour`."""
    own = whose(part.part, "")
    for end in ("'s ", "' "):
        if part.of.startswith(own + end):
            return f"its {part.of[len(own + end) :]}"
    return part.of


def _line_row(line: TableLine, share: float, view: View) -> list[str]:
    said = f"{line.amount} {line.state}".strip() if share == 1 else ""
    item = f"  {line.item}"
    if line.mass_g is None:
        return [item, said, "?", "", "?", ""]
    spread_g = (line.mass_spread_g or 0.0) * share
    mass = grams(line.mass_g * share, view.resolution_g)
    return [
        item,
        said,
        mass,
        spread_shown(spread_g),
        percent_shown(line.percent, line.fine),
        spread_shown(line.percent_spread),
    ]


def _total_tables(bakers_table: BakersTable, view: View) -> list[str]:
    """The base, then each part beside it with all that goes into it."""
    lines = _total_table(bakers_table.base, bakers_table.total, view)
    for one in bakers_table.beside:
        lines += ["", *_total_table(one.part, one.lines, view)]
    return lines


def _total_table(title: str, totals: Sequence[TableTotal], view: View) -> list[str]:
    rows = [
        [
            line.item,
            grams(line.mass_g, view.resolution_g),
            spread_shown(line.mass_spread_g),
            percent_shown(line.percent, line.fine),
            spread_shown(line.percent_spread),
        ]
        for line in totals
    ]
    return columns([title, "g", "± g", "%", "± %"], rows, "<>>>>", _frame(view))


def spread_shown(value: float | None) -> str:
    """A spread that is worth a digit, else nothing."""
    return spread_text(value) if value is not None and value > LEAST_SHOWN_SPREAD else ""


def percent_shown(value: float | None, fine: bool) -> str:
    return "" if value is None else percent(value, fine)


def _frame(view: View) -> Frame:
    return Frame(room_of(view.wide))


def _totals(bakers_table: BakersTable, resolution_g: float) -> list[str]:
    lines = (
        [
            f"basis        {grams(bakers_table.basis_g, resolution_g)} g = 100 %: {bakers_table.of} ({', '.join(bakers_table.basis_items)})"
        ]
        if bakers_table.basis_g
        else ["basis        none: no percentages"]
    )
    lines.append(
        f"batch        {grams(bakers_table.batch_g, resolution_g)} g{_plus_minus(bakers_table.batch_spread_g)}"
    )
    yields = bakers_table.formula.yields
    if yields and bakers_table.mass_per_piece_g:
        stated = f", scaling weight {yields.scaling_weight.text}" if yields.scaling_weight else ""
        lines.append(
            f"per piece    {grams(bakers_table.mass_per_piece_g, resolution_g)} g ({yields.pieces} x {yields.piece}{stated})"
        )
    lines += _inclusion_lines(bakers_table, resolution_g)
    lines += [
        text
        for one in bakers_table.beside
        for text in _beside_lines(one, bakers_table, resolution_g)
    ]
    if bakers_table.may_be_flour:
        lines.append(f"100 % is not whole: {', '.join(bakers_table.may_be_flour)} may belong to it")
    shown = [r for r in bakers_table.ratios if r.percent > 0]
    if shown:
        lines.append(f"in percent of {bakers_table.of}:")
    for ratio in shown:
        within = f" ± {spread_text(ratio.spread)}" if ratio.spread > 0.005 else ""
        more = f"  (more: {', '.join(ratio.lacking)} not counted)" if ratio.lacking else ""
        lines.append(f"{ratio.name:<20}{percent(ratio.percent, ratio.fine):>7} %{within}{more}")
    return lines


def _inclusion_lines(table: BakersTable, resolution_g: float) -> list[str]:
    """What of the base is folded in as pieces, and what it is without them."""
    found = table.inclusions
    if not found.mass_g or found.percent is None:
        return []
    rest = grams(table.base_g - found.mass_g, resolution_g)
    said = f"{grams(found.mass_g, resolution_g)} g, {percent(found.percent)} % of {table.of}"
    return [f"folded in    {said}: {', '.join(found.items)}; the {table.base} without it {rest} g"]


def _beside_lines(one: TableBeside, table: BakersTable, resolution_g: float) -> list[str]:
    """How much of a part stands beside the base, and what is 100 % in it."""
    said = [f"{grams(one.mass_g, resolution_g)} g"]
    if one.per_100_g is not None:
        said.append(f"{percent(one.per_100_g)} g for 100 g of {table.base}")
    if one.per_piece_g is not None:
        said.append(f"{grams(one.per_piece_g, resolution_g)} g a piece")
    lines = [f"{one.part}: {', '.join(said)}"]
    if one.basis_g:
        items = "" if one.of.endswith(one.basis_items) else f" ({', '.join(one.basis_items)})"
        lines.append(f"  {grams(one.basis_g, resolution_g)} g = 100 %: {one.of}{items}")
    return lines


def _plus_minus(spread_g: float) -> str:
    return f" ± {spread_text(spread_g)} g" if spread_g > 0.05 else ""


def _remarks(bakers_table: BakersTable) -> list[str]:
    missing = [
        (line.item, line.reason)
        for part in bakers_table.parts
        for line in part.lines
        if line.mass_g is None
    ]
    estimated = [line for part in bakers_table.parts for line in part.lines if line.estimate]
    remarks = [f"not weighed: {item}: {reason}" for item, reason in missing]
    remarks += [f"estimated: {line.amount} of {line.item}: {line.estimate}" for line in estimated]
    return ["", *remarks] if remarks else []


def balance_text(balance: Balance, view: View, _: object = None) -> str:
    """The baker's table of a formula for a terminal."""
    return bakers_table_text(sheet_of(balance), view)


def balance_json(balance: Balance, _: View, __: object = None) -> str:
    """The baker's table of a formula with exact values."""
    return bakers_table_json(sheet_of(balance))


def bakers_table_json(bakers_table: BakersTable) -> str:
    """Exact values, valid against schema/balance.schema.json."""
    return json.dumps(bakers_table_data(bakers_table), ensure_ascii=False, indent=2) + "\n"


def bakers_table_data(bakers_table: BakersTable) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "formula": bakers_table.formula.id,
        "title": bakers_table.formula.title,
        "class": bakers_table.formula.product_class,
        "status": bakers_table.formula.status,
        "revision": bakers_table.digest,
        "parts": [_part_data(part) for part in bakers_table.parts],
        "total": {
            "of": bakers_table.of,
            "base": bakers_table.base,
            "base_mass_g": bakers_table.base_g,
            "inclusions": {
                "items": list(bakers_table.inclusions.items),
                "mass_g": bakers_table.inclusions.mass_g,
                "percent": bakers_table.inclusions.percent,
            },
            "ingredients": [line._asdict() for line in bakers_table.total],
            "basis": {
                "items": list(bakers_table.basis_items),
                "mass_g": bakers_table.basis_g,
                "mass_spread_g": bakers_table.basis_spread_g,
                "not_counted": list(bakers_table.may_be_flour),
            },
            "ratios": {
                r.name: {
                    "percent": r.percent,
                    "percent_spread": r.spread,
                    "not_counted": list(r.lacking),
                }
                for r in bakers_table.ratios
            },
            "batch_mass_g": bakers_table.batch_g,
            "batch_mass_spread_g": bakers_table.batch_spread_g,
            "pieces": bakers_table.formula.yields.pieces if bakers_table.formula.yields else None,
            "mass_per_piece_g": bakers_table.mass_per_piece_g,
            "not_weighed": list(bakers_table.unweighed),
        },
        "beside": [_beside_data(one) for one in bakers_table.beside],
        "everything": [line._asdict() for line in bakers_table.everything],
    }


def _beside_data(one: TableBeside) -> dict[str, Any]:
    return {
        "part": one.part,
        "kind": one.kind or None,
        "of": one.of,
        "basis": {"items": list(one.basis_items), "mass_g": one.basis_g},
        "mass_g": one.mass_g,
        "per_100_g_of_base": one.per_100_g,
        "mass_per_piece_g": one.per_piece_g,
        "ingredients": [line._asdict() for line in one.lines],
    }


def _part_data(part: TablePart) -> dict[str, Any]:
    return {
        "part": part.part,
        "kind": part.kind or None,
        "mass_g": part.mass_g,
        "own_basis": part.own_basis,
        "of": part.of,
        "portion_used": part.portion,
        "ingredients": [
            {
                "item": line.item,
                "is_part": line.is_part,
                "amount": line.amount,
                "state": line.state or None,
                "mass_g": line.mass_g,
                "mass_spread_g": line.mass_spread_g,
                "percent": line.percent,
                "percent_spread": line.percent_spread,
                "in_basis": line.in_basis,
                "not_weighed_because": line.reason or None,
                "estimated_because": line.estimate or None,
            }
            for line in part.lines
        ],
    }
