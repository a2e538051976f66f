"""A plan on a terminal: what is wider than a line goes on below, in its own column; nothing is cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.plain import one_line
from perflour.report.form.columns import columns, wrap
from perflour.report.form.sections import Section, sections_text

#: A column narrower than this is no longer read; its line is left as wide as it is.
NARROWEST, GAP = 12, 2


def wrapped_text(title: str, sections: Sequence[Section], width: int | None) -> str:
    """The sections in lines no wider than ``width``; None: as wide as they are."""
    if width is None:
        return sections_text(title, sections)
    lines = _sentences([title], width)
    for section in sections:
        lines += ["", one_line(section.title).upper(), *_sentences(section.before, width)]
        if section.rows:
            lines += columns(section.headers, list(_rows(section, width)), section.align)
        lines += _sentences(section.after, width)
    return "\n".join(lines) + "\n"


def _sentences(texts: Sequence[str], width: int) -> list[str]:
    return [line for text in texts for line in wrap(text, width, break_on_hyphens=False) or [""]]


def _rows(section: Section, width: int) -> Iterator[Sequence[str]]:
    """The rows, with those below that take what the widest column of text has no room for."""
    widths = [
        max(len(one_line(row[at])) for row in (section.headers, *section.rows))
        for at in range(len(section.headers))
    ]
    texts = [at for at, sign in enumerate(section.align) if sign == "<"]
    at = max(texts, key=lambda n: widths[n], default=0)
    room = width - (sum(widths) - widths[at]) - GAP * (len(widths) - 1)
    if room >= widths[at] or room < NARROWEST or at not in texts:
        yield from section.rows
        return
    for row in section.rows:
        indent = len(row[at]) - len(row[at].lstrip())
        first, *others = wrap(
            row[at].strip(), room, " " * indent, " " * (indent + 2), break_on_hyphens=False
        ) or [""]
        yield [*row[:at], first, *row[at + 1 :]]
        for other in others:
            yield ["" if n != at else other for n in range(len(row))]
