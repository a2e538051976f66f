"""A cookbook as a PDF, set by typst: text goes in as data, never as markup."""

from __future__ import annotations

import json
import os
from dataclasses import asdict

from perflour.report.printed import PrintedBook
from perflour.report.signs import unbroken

TEMPLATE = os.path.join(os.path.dirname(os.path.dirname(__file__)), "data", "cookbook.typ")


def cookbook_pdf(book: PrintedBook, paper: str) -> bytes:
    """The pages as PDF, in the fonts that typst ships, so that every machine sets the same bytes.

    ``paper`` is a name that typst knows: a4, a5, us-letter.
    """
    import typst  # 80 MB of compiler: only for those who print

    data = json.dumps(_unbroken(asdict(book)), ensure_ascii=False)
    with open(TEMPLATE, "rb") as file:
        template = file.read()
    made = typst.compile(
        template,
        format="pdf",
        ignore_system_fonts=True,
        sys_inputs={"book": data, "paper": paper},
        timestamp=0,
    )
    assert isinstance(made, bytes)  # one PDF, however many pages
    return made


def _unbroken(value: object) -> object:
    """Every text with its numbers held to their units."""
    if isinstance(value, str):
        return unbroken(value)
    if isinstance(value, dict):
        return {key: _unbroken(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_unbroken(inner) for inner in value]
    return value
