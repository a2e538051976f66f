"""A recipe as it was found, sorted into ingredient lines by part, method and the rest; nothing read yet."""

from __future__ import annotations

from typing import NamedTuple

from perflour.recipe.method.steps import Paragraph
from perflour.result import Place

#: More than any recipe; keeps a wrong file from being read for minutes.
MOST_BYTES = 512 * 1024
MOST_LINES = 5000


class TextLine(NamedTuple):
    """A line of text and where it stands."""

    text: str
    place: Place


class CellLine(NamedTuple):
    """An ingredient that a sheet had in cells of its own: amount with unit, item, state, note."""

    amount: str
    item: str
    state: str
    note: str
    place: Place
    problem: str = ""

    @property
    def text(self) -> str:
        return " ".join(filter(None, (self.amount, self.item, self.state, self.note)))


class PartLines(NamedTuple):
    """The ingredient lines of one part; ``name`` is empty where the recipe has no heading for them.

    ``unclear`` says why it is not settled that they are a part.
    """

    name: str
    lines: tuple[TextLine | CellLine, ...]
    unclear: str = ""


class RecipeText(NamedTuple):
    """A recipe sorted, not read. ``left_out`` names what a page holds that a formula has no place for."""

    title: str = ""
    citation: str = ""
    yields: TextLine | None = None
    basis: TextLine | None = None
    part_lines: tuple[PartLines, ...] = ()
    method: tuple[Paragraph, ...] = ()
    notes: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    title_place: Place | None = None


class Reading(NamedTuple):
    """What was read from one place of a source: ``kind`` is yield, ingredient or step, ``fields`` as the file has them.

    ``sure`` is 0 to 1, a share of certainty by what was understood; ``asks`` what a baker must look at.
    """

    place: Place
    source: str
    kind: str
    fields: tuple[tuple[str, str], ...]
    sure: float = 1.0
    asks: str = ""
