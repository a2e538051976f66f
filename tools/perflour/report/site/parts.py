"""What pages are made of: cells that may lead somewhere, tables, sections; and the frame around each page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from perflour.plain import html_page_safe
from perflour.report.form.html_page import html_page

#: What ratios over many formulas are of.
OF_EACH_BASE = "Ratios are in percent of the flour of each one's base, or of what it states as 100 %. + : more, not all of it is counted."
#: The pages that every page leads to, by address.
CHAPTERS = (
    ("index.html", "Start"),
    ("formulas/index.html", "Formulas"),
    ("compare/index.html", "Side by side"),
    ("bakes/index.html", "Test bakes"),
    ("evidence/index.html", "Evidence"),
    ("trials/index.html", "Trials"),
    ("ingredients/index.html", "Ingredients"),
    ("reviews/index.html", "Branches"),
    ("releases/index.html", "Releases"),
)
_BODY = "<body>\n"


class Cell(NamedTuple):
    """A text; ``to`` is the address it leads to, ``value`` what it is sorted by, ``note`` what is said below it."""

    text: str
    to: str = ""
    value: float | None = None
    note: str = ""


Text = str | Cell


@dataclass(frozen=True)
class Table:
    """Rows in groups, each with a title of its own where there are several; ``align`` with < or > a column.

    The first cell of a row is its head. ``sorts`` where a reader may sort it; ``name`` is what it is of.
    """

    name: str
    heads: tuple[str, ...]
    align: str
    groups: tuple[tuple[str, tuple[tuple[Text, ...], ...]], ...]
    sorts: bool = False


class Picture(NamedTuple):
    """A photo at an address, in its size in dots; ``lacking`` says why there is none."""

    at: str
    alt: str
    caption: str
    width: int = 0
    height: int = 0
    lacking: str = ""


@dataclass(frozen=True)
class Part:
    """A section of a page: sentences, a table, lines with those that stand below them, markup that is ready."""

    title: str
    anchor: str = ""
    before: tuple[Text, ...] = ()
    tables: tuple[Table, ...] = ()
    items: tuple[dict[str, Any], ...] = ()
    steps: tuple[str, ...] = ()
    markup: str = ""
    pictures: tuple[Picture, ...] = ()
    after: tuple[Text, ...] = ()
    quiet: bool = False


@dataclass(frozen=True)
class Frame:
    """A page's address and title, and the house whose pages these are; ``trail`` leads to the pages above it."""

    address: str
    title: str
    house: str
    trail: tuple[Cell, ...] = ()

    @property
    def up(self) -> str:
        """From the page's folder to that of all pages."""
        return "../" * self.address.count("/")


def table(name: str, heads: Sequence[str], align: str, rows: Sequence[Sequence[Text]], sorts: bool = False) -> Table:  # fmt: skip
    """A table of one group."""
    return Table(name, tuple(heads), align, (("", tuple(tuple(row) for row in rows)),), sorts)


def page(frame: Frame, said: Sequence[Text], parts: Sequence[Part], template: str = "site/page.html", **more: Any) -> bytes:  # fmt: skip
    """A page with its sections."""
    made = html_page(
        template,
        frame=frame,
        title=frame.title,
        nav=_nav(frame),
        said=said,
        parts=parts,
        **more,
    )
    return html_page_safe(made).encode()


def in_frame(frame: Frame, report: str) -> bytes:
    """A page that is a report of its own, with the way to the other pages before it."""
    nav = html_page("site/nav.html", frame=frame, nav=_nav(frame))
    return html_page_safe(report.replace(_BODY, f"{_BODY}{nav}", 1)).encode()


def _nav(frame: Frame) -> list[dict[str, Any]]:
    chapter = frame.address.split("/")[0]
    return [
        {
            "text": text,
            "to": address,
            "here": address == frame.address,
            "in": "/" in address and address.split("/")[0] == chapter,
        }
        for address, text in CHAPTERS
    ]


def formula_page(slug: str, digest: str = "") -> str:
    """The address of a formula, or of one of its revisions."""
    return f"formulas/{slug}/{digest or 'index'}.html"
