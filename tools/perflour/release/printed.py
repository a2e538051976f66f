"""What a page of the book prints, at both ends of a release: amounts as they were and as they are."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from perflour.cookbook.page import Page, PageLine
from perflour.cookbook.proofreading import Proofreader
from perflour.formula.formula import Correction, Formula
from perflour.kitchen.figures import grams
from perflour.kitchen.names import fold
from perflour.release.for_readers import Breaking


@dataclass(frozen=True)
class PrintedAmount:
    """An amount as the house prints it: grams to the step of its scale, cups and spoons beside them."""

    mass_g: float | None
    measure: str
    scale_resolution_g: float

    @property
    def grams(self) -> str:
        """The figure that is printed; empty where the line cannot be weighed."""
        return "" if self.mass_g is None else grams(self.mass_g, self.scale_resolution_g)


@dataclass(frozen=True)
class AmountMove:
    """An ingredient of a part whose printed amount is another; None where it is not on the page."""

    part: str
    item: str
    before: PrintedAmount | None
    after: PrintedAmount | None


@dataclass(frozen=True)
class Corrected:
    """A mistake of the book put right: what was printed, what is now, and why.

    ``for_readers`` is the reason, empty where it holds words that mean nothing outside the kitchen.
    ``facts`` are yield, pans and oven, which only a correction of the whole page takes in.
    """

    item: str
    because: str
    for_readers: str
    amounts: tuple[AmountMove, ...]
    facts: tuple[Breaking, ...]

    @property
    def is_empty(self) -> bool:
        """Whether the page reads as before all the same."""
        return not self.amounts and not self.facts


def amounts_moved(before: Page, after: Page) -> tuple[AmountMove, ...]:
    """The printed amounts that read otherwise now, in the order of the page, what is gone last."""
    old, new = _amounts(before, after), _amounts(after, after)
    moves = []
    for key in dict.fromkeys((*new, *old)):
        name, _ = new.get(key) or old[key]
        was, now = (side[key][1] if key in side else None for side in (old, new))
        if _reads(was) != _reads(now):
            moves.append(AmountMove(key[0], name, was, now))
    return tuple(moves)


def _reads(amount: PrintedAmount | None) -> tuple[str, str] | None:
    return (amount.grams, amount.measure) if amount else None


# Part as it is called now, main name, which of several lines of that name.
_Key = tuple[str, str, int]


def _amounts(page: Page, now: Page) -> dict[_Key, tuple[str, PrintedAmount]]:
    """The ingredients of a page with their amounts; parts are one by their place where none came or went."""
    same_parts = len(page.parts) == len(now.parts)
    seen: Counter[tuple[str, str]] = Counter()
    found = {}
    for at, part in enumerate(page.parts):
        name = now.parts[at].name if same_parts else part.name
        for line in _ingredients(part.lines):
            one = (name, fold(line.main_name))
            seen[one] += 1
            amount = PrintedAmount(line.mass_g, line.measure, page.scale_resolution_g)
            found[(*one, seen[one])] = (line.name, amount)
    return found


def _ingredients(lines: Sequence[PageLine]) -> Iterator[PageLine]:
    return (line for line in lines if not line.is_part)


def corrections_between(
    before: Formula,
    after: Formula,
    pages: tuple[Page, Page],
    breaking: Sequence[Breaking],
    proof: Proofreader,
) -> tuple[Corrected, ...]:
    """The corrections that the end has and the start has not, with what they did to the page.

    ``breaking`` are the breaking changes between the two.
    """
    old_page, new_page = pages
    known = {_entry(correction) for correction in before.corrections}
    fresh = [c for c in after.corrections if _entry(c) not in known]
    if not fresh:
        return ()
    moves = amounts_moved(old_page, new_page)
    facts = tuple(b for b in breaking if b.kind != "allergen")
    names = _main_names(old_page) | _main_names(new_page)
    return tuple(
        Corrected(
            c.item,
            " ".join(c.because.split()),
            proof.keep(c.because, c.place),
            tuple(m for m in moves if not c.item or _is_of(m, c.item, names)),
            () if c.item else facts,
        )
        for c in fresh
    )


def _entry(correction: Correction) -> tuple[str, str]:
    return fold(correction.item), fold(correction.because)


def _main_names(page: Page) -> dict[str, str]:
    """The main name of each ingredient by its name as written."""
    lines = (line for part in page.parts for line in part.lines)
    return {fold(line.name): fold(line.main_name) for line in lines}


def _is_of(move: AmountMove, item: str, names: dict[str, str]) -> bool:
    asked, name = fold(item), fold(move.item)
    return asked == name or names.get(asked, asked) == names.get(name, name)
