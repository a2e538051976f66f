"""Changelogs in the form asked for; heavy libraries only for those that need them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from textwrap import indent

from perflour.history.changelog import Changelog


def changelog_render(form: str) -> Callable[[Changelog], str]:
    """What makes one formula's text in a form: text, markdown, json or html."""
    if form == "html":
        from perflour.report.history.html import changelog_html

        return changelog_html
    from perflour.report.history import changelogs as report

    return {
        "text": report.changelog_text,
        "markdown": report.changelog_markdown,
        "json": report.changelog_json,
    }[form]


def changelogs_whole(form: str, blocks: Sequence[str]) -> str:
    """The report of all formulas from the texts of each."""
    if form == "html":
        from perflour.report.history.html import changelogs_page

        return changelogs_page(blocks)
    if form == "json":
        listed = indent(",\n".join(blocks), "    ")
        return f'{{\n  "formulas": [\n{listed}\n  ]\n}}\n' if blocks else '{\n  "formulas": []\n}\n'
    return "\n".join(blocks)
