"""Formulas side by side as a table for a terminal."""

from collections.abc import Iterable, Iterator, Sequence
from textwrap import shorten
from typing import NamedTuple

from perflour.compare.outliers import FEWEST_VALUES, Way, far_score
from perflour.compare.table import KINDS, Cell, Column, Row, SideBySide
from perflour.diff.change import Change, StepChange, has_figure
from perflour.formula.formula import REFERENCE, Formula
from perflour.kitchen.figures import grams, percent
from perflour.plain import one_line
from perflour.report.diff.text import change_text, worth_saying
from perflour.report.form.cells import cells as cells_of
from perflour.report.form.cells import padded
from perflour.report.form.columns import Frame, columns, wrap

# Wider ids than this do not stand at the head of a column: numbers do, with a list above.
LONGEST_HEAD = 9
LONGEST_NAME = 26
# A spread of so much, percent, and less: weighed, as far as anybody can see.
NO_SPREAD = 0.005
# So much of a source is told; the JSON has all of it.
LONGEST_SOURCE = 100
ODD, TOO_LOW, ABSENT, UNKNOWN, OWN_BASIS = "*", "+", "–", "?", "~"
SECTIONS = {
    "basis": "",
    "ingredient": "",
    "kind": "by kind",
    "ratio": "ratios",
    "beside": "beside the base",
    "bake": "bake",
    "batch": "batch",
}
OUTLIER_RULE = (
    "far from the others: 0.6745 x distance from the median / median distance is beyond a limit that "
    f"hangs on how many values there are ({far_score(8):.2f} for 8, {far_score(20):.2f} for 20, "
    f"{far_score(50):.2f} for 50), or 0.7979 x distance / mean distance where the median one is 0; and the "
    "distance is beyond two measuring spreads"
)
NO_TURN = "nothing: the figures are the same"
DISTANCE_RULE = (
    f"root mean square of the differences over the {len(KINDS)} kinds of ingredient, in percentage "
    "points of each one's flour or basis"
)


class Printed(NamedTuple):
    """A column of the table as text, one cell a row."""

    head: str
    cells: list[str]

    @property
    def width(self) -> int:
        return max(map(cells_of, (self.head, *self.cells)))


def side_by_side_text(table: SideBySide, by: str = "ingredient", width: int = 80) -> str:
    """The table in blocks no wider than ``width``, what its signs mean, then who is near whom."""
    heads = _heads(table.columns)
    names = [_name(column, head) for column, head in zip(table.columns, heads, strict=True)]
    rows = shown_rows(table, by)
    said = [
        _legend(table.columns, heads, width),
        *_blocks(rows, [_printed(rows, at, head) for at, head in enumerate(heads)], heads, width),
        _hung(signs(table, rows), width),
        [line for text in chance(table, rows) for line in _wrapped(text, width)],
        [line for text in likeness(table, names) for line in _wrapped(text, width)],
        _turn_lines(table, names, width),
    ]
    return "\n\n".join("\n".join(lines) for lines in said if lines) + "\n"


def shown_rows(table: SideBySide, by: str) -> list[Row]:
    """All rows, or by group those without single ingredients."""
    return [row for row in table.rows if by == "ingredient" or row.section != "ingredient"]


def value_text(row: Row, value: float) -> str:
    """A value of a row to the digits that matter, without its unit."""
    if row.unit == "%":
        return percent(value, row.fine)
    if row.section == "beside":
        return percent(value)
    if row.unit == "g":
        return grams(value)
    return f"{value:.0f}" if row.unit == "°C" else f"{value:.1f}".removesuffix(".0")


def cell_text(row: Row, cell: Cell) -> str:
    """What stands in a cell, with the sign of a value that is too low; an odd one is not marked."""
    if not cell.value and row.section in ("ingredient", "kind", "ratio", "beside"):
        return UNKNOWN if cell.too_low else ABSENT
    if cell.value is None:
        return ""
    ends = cell.ends or (cell.value, cell.value)
    said = "-".join(dict.fromkeys(value_text(row, end) for end in ends))
    return said + (TOO_LOW if cell.too_low else "")


def not_counted(cell: Cell) -> str:
    """What could not be counted into a value; empty where all of it was."""
    return f"not counted: {one_line(', '.join(cell.too_low))}" if cell.too_low else ""


def name_text(row: Row) -> str:
    """The name of a row, with its unit where that is not percent."""
    if row.section == "beside":
        return f"{row.name}, g for 100 g"
    if row.unit in ("%", "pieces"):
        return row.name
    return f"{row.name}, {row.unit}"


def range_text(row: Row) -> str:
    """The lowest and the highest value of a row; nothing where one formula alone has it."""
    if row.low is None or row.high is None or (row.section == "ingredient" and row.count == 1):
        return ""
    return "-".join(dict.fromkeys((value_text(row, row.low), value_text(row, row.high))))


def basis_text(column: Column) -> str:
    """What the percentages of a formula are of."""
    return one_line(", ".join(column.basis_items)) if column.own_basis else "its base's flour"


def remarks(column: Column) -> list[str]:
    """What a reader must know of a formula before reading its column."""
    said = [_whose(column.formula)] if column.formula.status == REFERENCE else []
    if column.own_basis:
        said.append(f"in percent of {basis_text(column)}")
    if column.not_weighed:
        said.append(f"not weighed: {one_line(', '.join(column.not_weighed))}")
    if not column.balance.basis_is_whole:
        said.append("100 % may be too low for that, and every percentage too high")
    return said


def _whose(formula: Formula) -> str:
    """That a formula is somebody else's, and whose, as far as a line takes it."""
    source = shorten(one_line(formula.citation), LONGEST_SOURCE, placeholder=" …")
    return f"a reference: {source or 'no source said'}"


def turn_changes(table: SideBySide) -> list[Change]:
    """The moves in figures, and the oven's, that turn the first formula into the target."""
    changes = worth_saying(table.turn.changes) if table.turn else []
    return [
        change
        for change in changes
        if has_figure(change)
        or (isinstance(change, StepChange) and change.kind == "bake" and change.field != "note")
    ]


def turn_words(table: SideBySide) -> list[str]:
    """The same in the words of `diff`."""
    if table.target is None:
        return []
    return [change_text(change) for change in turn_changes(table)]


def turn_title(table: SideBySide, names: Sequence[str]) -> str:
    """The heading of a turn, with what 100 % is where that is not the same for both."""
    first, target = 0, table.target or 0
    of = [basis_text(table.columns[at]) for at in (first, target)]
    basis = f" (in percent of {of[0]} -> percent of {of[1]})" if of[0] != of[1] else ""
    return f"what would turn {names[first]} into {names[target]}{basis}"


def signs(table: SideBySide, rows: Sequence[Row]) -> list[tuple[str, str]]:
    """The signs that are in the table, each with what it means."""
    cells = [cell for row in rows for cell in row.cells]
    lacking = [bool(cell.value) for cell in cells if cell.too_low]
    used = (
        (
            ABSENT,
            "none, or none in the base (dough or batter); counts as 0 in the sums by kind",
            True,
        ),
        (ODD, OUTLIER_RULE, any(row.outliers for row in rows)),
        (TOO_LOW, "too low: some of it has no mass, or no known composition", True in lacking),
        (UNKNOWN, "it is there, or may be, but could not be weighed", False in lacking),
        (OWN_BASIS, "in percent of its own basis", any(c.own_basis for c in table.columns)),
        (
            "gas",
            "leavening by kind is carbon dioxide, g for 100 g: soda and powder do not add up",
            any(row.section == "kind" and row.name == "leavening" for row in rows),
        ),
        ("in", "how many formulas have it; of an ingredient, median and range are theirs", True),
    )
    return [(sign, text) for sign, text, shown in used if shown]


def chance(table: SideBySide, rows: Sequence[Row]) -> list[str]:
    """How many of the rows were judged for odd values, and how many of those show one by chance alone."""
    if len(table.columns) < FEWEST_VALUES:
        return [f"odd values: not judged below {FEWEST_VALUES} formulas"]
    judged, alike = (rows_judged(rows, way) for way in ("median distance", "mean distance"))
    said = []
    if judged:
        said.append(
            "odd values: a value is called odd in about 1 row in 20 by chance alone, where values spread "
            f"as normal ones do; {_rows(judged)} judged"
        )
    if alike:
        said.append(
            f"odd values: {_rows(alike)} judged in which more than half of the values are alike; there the "
            "chance is not known"
        )
    return said or [f"odd values: no row has {FEWEST_VALUES} values that are not all alike"]


def rows_judged(rows: Sequence[Row], way: Way) -> int:
    """How many rows were judged for odd values in a way."""
    return sum(row.judged == way for row in rows)


def _rows(number: int) -> str:
    return "1 row was" if number == 1 else f"{number} rows were"


def likeness(table: SideBySide, names: Sequence[str]) -> list[str]:
    """The nearest pair and the odd one out in sentences, and what the distance is."""
    apart = table.distances
    first, second = (names[at] for at in apart.nearest)
    said = [f"nearest: {first} and {second}, {percent(apart.nearest_distance)} points apart"]
    if apart.odd is not None:
        away = f"{percent(apart.odd_distance)} points from the others (median)"
        said.append(f"odd one out: {names[apart.odd]}, {away}")
    return [*said, f"points: {DISTANCE_RULE}"]


def _heads(compared: Sequence[Column]) -> list[str]:
    labels = [column.label for column in compared]
    if max(map(cells_of, labels)) <= LONGEST_HEAD:
        heads = labels
    else:
        heads = [str(at) for at in range(1, len(labels) + 1)]
    return [
        head + (OWN_BASIS if column.own_basis else "")
        for head, column in zip(heads, compared, strict=True)
    ]


def _name(column: Column, head: str) -> str:
    """A formula in a sentence: its number and its id."""
    head = head.removesuffix(OWN_BASIS)
    return column.label if head == column.label else f"{head} {column.label}"


def _legend(compared: Sequence[Column], heads: Sequence[str], width: int) -> list[str]:
    title = f"{len(compared)} formulas side by side, in percent of the flour of each one's base, or of the basis named"
    lines = [*_wrapped(title, width), ""]
    head_width = max(map(cells_of, heads))
    for column, head in zip(compared, heads, strict=True):
        label = "" if head.removesuffix(OWN_BASIS) == column.label else f"{column.label}: "
        told = "; ".join([f"{label}{one_line(column.formula.title)}", *remarks(column)])
        lines += _wrapped(told, width, f"{padded(head, head_width)}  ", " " * (head_width + 2))
    return lines


def _printed(rows: Sequence[Row], at: int, head: str) -> Printed:
    """A formula's column; its signs stand to the right of where the numbers end."""
    texts = [cell_text(row, row.cells[at]) for row in rows]
    numbers = [text.removesuffix(TOO_LOW) for text in texts]
    signs = [
        (TOO_LOW if text.endswith(TOO_LOW) else "") + (ODD if at in row.odd else "")
        for row, text in zip(rows, texts, strict=True)
    ]
    longest = max(map(len, signs))
    return Printed(
        head + " " * longest,
        [n + f"{sign:<{longest}}" for n, sign in zip(numbers, signs, strict=True)],
    )


def _summary_columns(rows: Sequence[Row], heads: Sequence[str]) -> list[Printed]:
    """What the formulas have in common: median, range, how many have it, who is odd."""

    def odd(row: Row) -> str:
        names = [heads[outlier.at].removesuffix(OWN_BASIS) for outlier in row.outliers]
        return names[0] + (f" +{len(names) - 1}" if names[1:] else "") if names else ""

    return [
        Printed("median", ["" if r.median is None else value_text(r, r.median) for r in rows]),
        Printed("low-high", [range_text(row) for row in rows]),
        Printed("in", [f"{row.count}" for row in rows]),
        Printed("odd one", [odd(row) for row in rows]),
    ]


def _blocks(
    rows: Sequence[Row], printed: Sequence[Printed], heads: Sequence[str], width: int
) -> Iterator[list[str]]:
    """Tables of as many columns as fit; the summary stands in the last, or in one of its own."""
    names = [f"  {name_text(row)}" if _title(row) else row.name for row in rows]
    longest = max(map(cells_of, (*names, *map(_title, rows))))
    left = width - min(longest, LONGEST_NAME)
    summary = _summary_columns(rows, heads)
    together = [summary] if _width(summary) <= left else [[column] for column in summary]
    block: list[Printed] = []
    for unit in (*([column] for column in printed), *together):
        if block and _width((*block, *unit)) > left:
            yield _block(rows, names, block, width, whole=False)
            block = []
        block += unit
    yield _block(rows, names, block, width, whole=True)


def _width(printed: Iterable[Printed]) -> int:
    return sum(column.width + 2 for column in printed)


def _block(
    rows: Sequence[Row],
    names: Sequence[str],
    printed: Sequence[Printed],
    width: int,
    whole: bool,
) -> list[str]:
    """One table. An ingredient that none of its formulas has is left out, unless ``whole``."""
    lines: list[list[str]] = []
    title = ""
    for at, row in enumerate(rows):
        cells = [column.cells[at] for column in printed]
        if not whole and row.section == "ingredient" and {c.strip() for c in cells} == {ABSENT}:
            continue
        if _title(row) != title:
            title = _title(row)
            lines.append([title, *("" for _ in printed)])
        lines.append([names[at], *cells])
    heads = ["%", *(column.head for column in printed)]
    frame = Frame(width, LONGEST_NAME, looks=_looks(lines))
    return columns(heads, lines, "<" + ">" * len(printed), frame)


def _looks(lines: Sequence[Sequence[str]]) -> dict[tuple[int, int], str]:
    """A look for each cell that carries the sign of an odd value."""
    cells = ((at, n, cell) for at, line in enumerate(lines) for n, cell in enumerate(line) if n)
    return {(at, n): "mind" for at, n, cell in cells if cell.rstrip().endswith(ODD)}


def _title(row: Row) -> str:
    """The line above a row and its like: the kind of an ingredient, else the section."""
    return row.kind if row.section == "ingredient" else SECTIONS[row.section]


def _hung(pairs: Iterable[tuple[str, str]], width: int) -> list[str]:
    """Signs with their meaning, wrapped and indented."""
    lines: list[str] = []
    for sign, text in pairs:
        lines += _wrapped(text, width, f"{sign:<4}", "    ")
    return lines


def _wrapped(text: str, width: int, first: str = "", others: str = "  ") -> list[str]:
    """Lines of a text; ids with hyphens stay whole."""
    return wrap(text, width, initial_indent=first, subsequent_indent=others, break_on_hyphens=False)


def _turn_lines(table: SideBySide, names: Sequence[str], width: int) -> list[str]:
    if table.target is None:
        return []
    lines = _wrapped(turn_title(table, names), width)
    for text in turn_words(table) or [NO_TURN]:
        lines += _wrapped(text, width, "  ", "    ")
    return lines
