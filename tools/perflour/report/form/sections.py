"""A report as titled tables, in text, Markdown or one HTML page to print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from perflour.plain import markdown, one_line
from perflour.report.form.columns import Frame, hung, laid_out, room_of
from perflour.report.form.html_page import html_page
from perflour.report.form.markdown import markdown_table
from perflour.system.terminal import painted

if TYPE_CHECKING:
    from perflour.report.form.lanes import Picture


#: So far in stands what is under a row.
UNDER = "    "


@dataclass(frozen=True)
class Section:
    """A title, a table (``align`` with < or > a column) and sentences before and after it.

    ``new_page`` starts a page of its own in print: a sheet for the bench, a key for one pair of eyes.
    ``picture`` shows on a page what the table says. So many of the last columns as ``below`` says stand in text in a
    line of their own under each row: what is long would make all others narrow.
    """

    title: str
    headers: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    align: str = ""
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    new_page: bool = False
    picture: Picture | None = None
    below: int = 0


def sections_text(title: str, sections: Sequence[Section], wide: bool = False) -> str:
    """Aligned columns that fit the terminal, unless they are to be ``wide``."""
    lines = hung(title)
    for section in sections:
        lines += ["", painted(one_line(section.title).upper(), "head")]
        lines += [line for text in section.before for line in hung(text)]
        if section.rows:
            lines += _table(section, Frame(room_of(wide)))
        lines += [line for text in section.after for line in hung(text)]
    return "\n".join(lines) + "\n"


def _table(section: Section, frame: Frame) -> Iterator[str]:
    kept = len(section.headers) - section.below
    rows = [row[:kept] for row in section.rows]
    laid = laid_out(section.headers[:kept], rows, section.align[:kept], frame)
    yield from laid.head
    for lines, row in zip(laid.rows, section.rows, strict=True):
        yield from lines
        below = zip(section.headers[kept:], row[kept:], strict=True)
        if said := "; ".join(f"{name}: {cell}" for name, cell in below if cell):
            yield from hung(f"{UNDER}{said}")


def sections_markdown(title: str, sections: Sequence[Section]) -> str:
    """Headings, lists and tables as every Markdown reader shows them."""
    lines = [f"# {markdown(title)}"]
    for section in sections:
        lines += ["", f"## {markdown(section.title)}"]
        lines += _sentences(section.before)
        if section.rows:
            headers = list(map(markdown, section.headers))
            lines += ["", *markdown_table(headers, section.rows, align=section.align)]
        lines += _sentences(section.after)
    return "\n".join(lines) + "\n"


def _sentences(sentences: Sequence[str]) -> list[str]:
    return ["", *(f"- {markdown(sentence)}" for sentence in sentences)] if sentences else []


def sections_html(title: str, sections: Sequence[Section], chart: str = "") -> str:
    """One page that needs no network; every text is escaped by the template. ``chart`` is what ``chart_html`` made."""
    from markupsafe import Markup

    return html_page("sections.html", title=title, sections=sections, chart=Markup(chart))
