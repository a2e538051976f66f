"""A cookbook in print and as data; heavy libraries only for print."""

from __future__ import annotations

from typing import Any

from perflour.cookbook.book import Cookbook
from perflour.report.cookbook.printed.book import PrintedBook


def book_pdf(book: PrintedBook) -> bytes:
    """The book in print. The same book gives the same bytes."""
    from perflour.report.cookbook.pdf import cookbook_pdf

    return cookbook_pdf(book, book.paper)


def unprintable(book: PrintedBook) -> list[str]:
    """What a PDF cannot show for want of a font, a line each with what to do."""
    from perflour.report.cookbook.pdf import signs_not_set

    return [
        f"the fonts of the PDF have no '{sign}' (U+{ord(sign):04X}), used in '{where}'; "
        "spell it in other letters, or take --output html, which uses the reader's fonts"
        for sign, where in signs_not_set(book)
    ]


def cookbook_json(book: Cookbook) -> str:
    """Exact values of every page: masses in g, percentages of the basis, times in minutes."""
    import json

    return json.dumps(_named(book), ensure_ascii=False, indent=2) + "\n"


#: Settings, dates of commits and pictures are no values of a page.
_NO_VALUES = ("settled", "changed", "content")


def _named(value: object) -> Any:
    """Named tuples as mappings."""
    if isinstance(value, tuple) and hasattr(value, "_asdict"):
        return _named(value._asdict())
    if isinstance(value, dict):
        return {k: _named(inner) for k, inner in value.items() if k not in _NO_VALUES}
    if isinstance(value, list | tuple):
        return [_named(inner) for inner in value]
    return value
