"""The baker's table of a formula or of one of its revisions as tables of a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.balance.bakers_table import BakersTable, TableLine, TableTotal
from perflour.kitchen.figures import grams, percent, spread_text
from perflour.report.bakers_table import percent_shown, spread_shown
from perflour.report.form.signs import measure
from perflour.report.site.parts import Cell, Table, Text, table
from perflour.site.of_formula import InWindow

HEADS = ("", "as written", "g", "± g", "%", "± %")


def by_part(of: BakersTable, resolution_g: float) -> Table:
    """Every line in its part; each part says of what its percentages are."""
    groups = []
    for part in of.parts:
        used = f", {part.portion:.0%} of it used" if 0 < part.portion < 1 else ""
        shares = (line.percent is not None for line in part.lines)
        hundred = f"; percent of {part.of}" if any(shares) else ""
        title = f"{part.part}: {grams(part.mass_g, resolution_g)} g{used}{hundred}"
        groups.append((title, tuple(_line(line, resolution_g) for line in part.lines)))
    return Table(f"baker's table of {of.formula.title}", HEADS, "<<>>>>", tuple(groups))


def _line(line: TableLine, resolution_g: float) -> tuple[Text, ...]:
    said = ", ".join(filter(None, (measure(line.amount), line.state)))
    name = Cell(line.item, note=f"estimated: {line.estimate}" if line.estimate else "")
    if line.mass_g is None:
        return (Cell(line.item, note=line.reason), said, "?", "", "?", "")
    return (
        name,
        said,
        mass_cell(line.mass_g, resolution_g),
        spread_shown(line.mass_spread_g),
        percent_cell(line.percent, line.fine),
        spread_shown(line.percent_spread),
    )


def in_all(title: str, lines: Sequence[TableTotal], resolution_g: float) -> Table:
    """Every ingredient once, preferments opened."""
    rows = [
        (
            line.item,
            mass_cell(line.mass_g, resolution_g),
            spread_shown(line.mass_spread_g),
            percent_cell(line.percent, line.fine),
            spread_shown(line.percent_spread),
        )
        for line in lines
    ]
    return table(title, ("", "g", "± g", "%", "± %"), "<>>>>", rows)


def ratios(of: BakersTable, windows: Sequence[InWindow], product: str) -> Table:
    """The ratios of the base, each with the usual window of the class where it has one."""
    judged = {one.name: one for one in windows}
    rows: list[tuple[Text, ...]] = []
    for ratio in of.ratios:
        window = judged.get(ratio.name)
        if ratio.percent <= 0 and not window:
            continue
        more = f"more: {', '.join(ratio.lacking)} not counted" if ratio.lacking else ""
        rows.append(
            (
                Cell(ratio.name.replace("-", " "), note=more),
                percent_cell(ratio.percent, ratio.fine),
                spread_shown(ratio.spread),
                f"{window.window.low:g} to {window.window.high:g}" if window else "",
                _side(window, ratio.percent) if window else "",
            )
        )
    usual = f"usual for {product}, %" if product else "usual, %"
    return table(f"ratios in percent of {of.of}", ("ratio", "%", "± %", usual, ""), "<>>><", rows)


def _side(one: InWindow, percent_here: float) -> str:
    """Where a ratio lies to its window, as lint judges it; with what was judged where it is not the plain percentage."""
    if one.judged is None:
        return "not judged: 100 % is not whole"
    match one.judged.side:
        case "may-be-inside" if not one.is_known:
            return "not known: not all of it is counted"
        case "may-be-inside":
            return "under by itself; what else lifts makes up for it"
        case side:
            said = {"under": "▼ under", "over": "▲ over", "inside": "inside"}[side]
    if round(one.judged.percent, 2) != round(percent_here, 2):
        said += f" (all that lifts counts as {one.judged.percent:.1f} % of powder)"
    return said


def sizes(of: BakersTable, resolution_g: float) -> Iterator[str]:
    """What the batch weighs, what is 100 %, and what is not counted."""
    if of.basis_g:
        yield f"100 % is {of.of}: {grams(of.basis_g, resolution_g)} g ({', '.join(of.basis_items)})."
    else:
        yield "There is nothing that counts as 100 %, so there are no percentages."
    if of.may_be_flour:
        yield f"100 % is not whole: {', '.join(of.may_be_flour)} may belong to it."
    spread = f" ± {spread_text(of.batch_spread_g)} g" if of.batch_spread_g > 0.05 else ""
    batch = f"The batch weighs {grams(of.batch_g, resolution_g)} g{spread} before the oven"
    yields = of.formula.yields
    if yields and of.mass_per_piece_g:
        stated = f", scaling weight {yields.scaling_weight.text}" if yields.scaling_weight else ""
        batch += f", {yields.pieces} × {yields.piece} of {grams(of.mass_per_piece_g, resolution_g)} g{stated}"
    yield f"{batch}."
    if of.unweighed:
        yield f"Not weighed, and in no total: {', '.join(of.unweighed)}."
    for one in of.beside:
        said = f"{one.part} stands beside the {of.base}: {grams(one.mass_g, resolution_g)} g"
        if one.per_100_g is not None:
            said += f", {percent(one.per_100_g)} g for 100 g of {of.base}"
        if one.basis_g:
            said += f"; 100 % in it is {one.of}, {grams(one.basis_g, resolution_g)} g"
        yield f"{said}."


def percent_cell(value: float | None, fine: bool, more: bool = False) -> Cell:
    """A percentage that a column is sorted by; ``more`` where not all of it is counted."""
    return Cell(
        percent_shown(value, fine) + (" +" if more and value is not None else ""), value=value
    )


def mass_cell(mass_g: float, resolution_g: float = 1.0) -> Cell:
    """A mass that a column is sorted by."""
    return Cell(grams(mass_g, resolution_g), value=mass_g)
