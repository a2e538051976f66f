"""Sections with their sentences broken into lines of a terminal."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Sequence
from dataclasses import replace

from perflour.report.form.columns import wrap
from perflour.report.form.sections import Section, sections_text


def fitted_text(title: str, sections: Sequence[Section]) -> str:
    """As wide as the terminal: sentences go on in the next line, tables are cut in their last column."""
    width = shutil.get_terminal_size().columns
    made = [
        replace(one, before=_broken(one.before, width), after=_broken(one.after, width))
        for one in sections
    ]
    head, *more = _broken([title], width)
    text = sections_text(head, made, width)
    return "\n".join([head, *more, text.removeprefix(f"{head}\n")])


def _broken(sentences: Iterable[str], width: int) -> tuple[str, ...]:
    return tuple(
        line
        for sentence in sentences
        for line in wrap(sentence, width, subsequent_indent="  ", break_on_hyphens=False)
    )
