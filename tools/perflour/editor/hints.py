"""Grams and percentages beside the ingredient lines of a formula."""

from collections.abc import Iterator
from typing import NamedTuple

from perflour.balance.bakers_table import reason_of
from perflour.balance.balance import Balance
from perflour.documents.reader import child
from perflour.editor.page import Page
from perflour.editor.text import Span
from perflour.editor.words import hundreds, mass_words, percent_words
from perflour.formula.formula import Line


class Hint(NamedTuple):
    """Words behind a place; ``more`` is what stands in full where somebody asks."""

    at: int
    words: str
    more: str = ""


def hints(page: Page, within: Span) -> tuple[Hint, ...]:
    """What stands beside each ingredient line in a stretch of the text."""
    if page.balance is None:
        return ()
    return tuple([hint for hint in _hints(page, page.balance) if within.holds(hint.at)])


def _hints(page: Page, balance: Balance) -> Iterator[Hint]:
    of = hundreds(balance)
    for part in balance.parts:
        whose = f"of {said}" if (said := of.get(part.part.name)) else ""
        for number, weighed in enumerate(part.lines):
            share = percent_words(weighed)
            share = f"{share} {whose}".rstrip() if share else ""
            words = " · ".join(filter(None, (mass_words(weighed, page.kitchen.house), share)))
            doubt = weighed.mass.doubt if weighed.mass else reason_of(part, number)
            yield Hint(_end_of(page, weighed.line), words, doubt)


def _end_of(page: Page, line: Line) -> int:
    """Behind the braces of a line, or behind the amount where it has a line of its own."""
    whole = page.text.of_node(line.node)
    if page.text.content[whole.start] == "{":
        return whole.end
    return page.text.of_node(child(line.node, "amount")).end
