"""Formulas side by side as Markdown, for a pull request or a page: ratios first, then what is odd."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from perflour.compare.table import Row, SideBySide
from perflour.plain import markdown
from perflour.report.compare.table import (
    NO_TURN,
    ODD,
    OWN_BASIS,
    SECTIONS,
    cell_text,
    chance,
    likeness,
    name_text,
    range_text,
    remarks,
    shown_rows,
    signs,
    turn_title,
    turn_words,
    value_text,
)
from perflour.report.form.markdown import markdown_table


def side_by_side_markdown(table: SideBySide, by: str = "ingredient", _: bool = False) -> str:
    """What the text says, a table a section; numbers stand for the formulas, listed above."""
    labels = [column.label for column in table.columns]
    rows = shown_rows(table, by)
    lines = [
        f"{len(labels)} formulas side by side, in percent of the flour of each one's base, or of the basis named.",
        "",
    ]
    lines += _legend(table)
    for section, within in groupby(rows, key=lambda row: row.section):
        title = "ingredients" if section == "ingredient" else SECTIONS[section]
        lines += ["", *([f"**{title}**", ""] if title else [])]
        lines += _section(table, list(within))
    lines += ["", *(f"- {markdown(sign)}: {markdown(text)}" for sign, text in signs(table, rows))]
    told = [*chance(table, rows), *likeness(table, labels)]
    lines += ["", *(f"- {markdown(text)}" for text in told)]
    if table.target is not None:
        lines += ["", f"**{markdown(turn_title(table, labels))}**", ""]
        lines += [f"- {markdown(text)}" for text in turn_words(table) or [NO_TURN]]
    return "\n".join(lines) + "\n"


def _legend(table: SideBySide) -> Iterator[str]:
    for at, column in enumerate(table.columns, start=1):
        told = "; ".join([f"{column.label}: {column.formula.title}", *remarks(column)])
        yield f"{at}. {markdown(told)}"


def _section(table: SideBySide, rows: Sequence[Row]) -> list[str]:
    own = [OWN_BASIS if column.own_basis else "" for column in table.columns]
    heads = [f"{at}{sign}" for at, sign in enumerate(own, start=1)]
    return markdown_table(
        ["%", *heads, "median", "low-high", "in"],
        (
            [
                name_text(row),
                *(_cell(row, at) for at in range(len(heads))),
                "" if row.median is None else value_text(row, row.median),
                range_text(row),
                f"{row.count}",
            ]
            for row in rows
        ),
    )


def _cell(row: Row, at: int) -> str:
    return cell_text(row, row.cells[at]) + (ODD if at in row.odd else "")
