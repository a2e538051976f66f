"""A plain text that holds several recipes, cut into them; in doubt it stays one.

A recipe starts at a title: a Markdown heading, an underlined line, a line of its own. It is one of several
where both it and what stands above it have ingredients and a method, and something says that it stands
alone: headings of one level, a rule or a new page above it, its own yield or source, its own headings over
ingredients, a wide gap, capitals like those of the first title, a menu at the start that names it. What is
called like a part, or is named in the recipe above, needs two of these.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import Any, NamedTuple, TypeVar, cast

from perflour.recipe.text_headings import DRAWN, Kind, Line, lines_of
from perflour.recipe.words import word_map
from perflour.result import Place

Value = TypeVar("Value")

_LETTER = re.compile(r"([A-Z])[.)]\s+(?=[^\W\d_]{2})")
_WORD = re.compile(r"[^\W\d_]{3,}")
# "- [Pound cake](#pound-cake)", "2. Pound cake ..... 14"
_ENTRY = re.compile(r"^(?:[-*+•–]|[0-9]{1,3}[.)])\s+|\]\([^()]*\)|\[|[\s.…]+[0-9]{1,4}$")
# A heading over several recipes is called so; any other one may be the title of a recipe in parts.
_OF_MANY = frozenset(("recipe", "recipes", "cookbook", "notebook", "favourites", "favorites", "book", "collection", "menu", "menus", "contents", "index", "chapter"))  # fmt: skip
# The last word of what is made for something else, beside the kinds of parts that are no product alone.
_MADE_FOR = frozenset(("sauce", "syrup", "curd", "custard", "ganache", "meringue", "cream", "decoration", "garnish", "assembly", "variation", "variations"))  # fmt: skip
_PART_KINDS = frozenset(("topping", "filling", "glaze", "icing", "layer"))
#: So many lines may stand between a title and its ingredients.
_MOST_BETWEEN = 8
#: A gap of so many blank lines is wide; a list of so many lines is no part's, where a blank is above it.
_WIDE, _FULL_LIST = 2, 4
#: So many recipes under one heading, none of them called like a part, are a chapter.
_MANY = 3


class Piece(NamedTuple):
    """The text of one recipe, and the line of the file that it starts on."""

    text: str
    line: int


class Cut(NamedTuple):
    """The recipes of a text; ``menu`` is headings over them, ``loose`` what else is outside, with its line.

    ``doubtful`` is titles that may be of recipes and were left in the one above.
    """

    pieces: tuple[Piece, ...]
    menu: tuple[tuple[int, str], ...] = ()
    loose: tuple[tuple[int, str], ...] = ()
    doubtful: tuple[tuple[int, str], ...] = ()


def cut(text: str) -> Cut:
    """The recipes of a text: the whole of it, unless it is plain that there are more.

    What only draws a line is blank in a piece.
    """
    raw = text.split("\n")
    clean = ["" if DRAWN.fullmatch(line) else line for line in raw]
    lines = list(lines_of(raw))
    finder = _Finder(lines)
    starts = finder.starts()
    doubtful = _told([lines[at] for at in finder.doubtful])
    if len(starts) < 2:
        return Cut((Piece("\n".join(clean), 1),), doubtful=doubtful)
    ends = [_end(lines, start, other) for start, other in pairwise(starts)]
    pieces, outside = [], lines[: starts[0]]
    for start, end in zip(starts, [*ends, len(lines)], strict=True):
        first, last = lines[start].number, lines[end - 1].number
        pieces.append(Piece("\n".join(clean[first - 1 : last]), first))
    for end, start in zip(ends, starts[1:], strict=False):
        outside += lines[end:start]
    titles = {_folded(line.text) for line in lines[starts[0] :] if line.kind is Kind.TITLE}
    menu = [line for line in outside if line.level or _is_entry(line, titles)]
    loose = [line for line in outside if line not in menu] if len(menu) < len(outside) else []
    return Cut(tuple(pieces), _told(menu), _told(loose), doubtful)


def placed(value: Value, at: Callable[[Place], Place]) -> Value:
    """A sorted recipe with every place in it put elsewhere: a piece counts its lines from 1."""
    return cast(Value, _placed(value, at))


def _placed(value: Any, at: Callable[[Place], Place]) -> Any:
    if isinstance(value, Place):
        return at(value)
    if type(value) is tuple:
        return tuple([_placed(one, at) for one in value])
    if isinstance(value, tuple):  # with names
        return type(value)(*(_placed(one, at) for one in value))
    return value


def _told(lines: Sequence[Line]) -> tuple[tuple[int, str], ...]:
    return tuple((line.number, " ".join(_ENTRY.sub("", line.text).split())) for line in lines)


def _is_entry(line: Line, titles: set[str]) -> bool:
    folded = _folded(line.text)
    return folded in titles or bool(set(folded.split()) & _OF_MANY and len(folded.split()) <= 4)


def _folded(text: str) -> str:
    return " ".join(_ENTRY.sub("", text).lower().split())


def _end(lines: Sequence[Line], start: int, other: int) -> int:
    """Where a recipe ends: before the next one, and before the headings of chapters over that."""
    end = other
    while end - 1 > start and 0 < lines[end - 1].level < lines[end].level:
        end -= 1
    return end


class _Finder:
    """Finds where recipes start; a class because a line is judged by what stands around it."""

    def __init__(self, lines: Sequence[Line]) -> None:
        self.lines = lines
        self.doubtful: list[int] = []
        self.titles = [at for at, line in enumerate(lines) if line.kind is Kind.TITLE]
        if len(self.titles) < 2:
            return  # nothing else is asked of them
        titled = {_folded(lines[at].text) for at in self.titles}
        self.kinds = [
            line.kind
            if line.kind is Kind.TITLE or _folded(line.text) not in titled
            else Kind.OTHER  # of a menu, or a title that is said again
            for line in lines
        ]
        self.listed = self._of(Kind.INGREDIENT)
        self.done = self._of(Kind.STEP, Kind.METHOD)

    def _of(self, *kinds: Kind) -> list[int]:
        return [at for at, kind in enumerate(self.kinds) if kind in kinds]

    def starts(self) -> list[int]:
        if len(self.titles) < 2:
            return []
        found = self._headed(0, len(self.lines), None)
        if len(found) < 2:
            found = self._bare()
        return [self._with_source(at, found[0]) for at in found]

    # --- headings of one level ---

    def _headed(self, begin: int, end: int, top: Line | None) -> list[int]:
        """The recipes under the headings of the highest level, or those of the levels below."""
        heads = [at for at in self._titles(begin, end) if self.lines[at].level]
        if not heads:
            return []
        level = min(self.lines[at].level for at in heads)
        heads = [at for at in heads if self.lines[at].level == level]
        ends = [*heads[1:], end]
        below = [
            [] if self._has_own_list(at, stop) else self._headed(at + 1, stop, self.lines[at])
            for at, stop in zip(heads, ends, strict=True)
        ]
        has_chapters = any(len(inner) > 1 for inner in below)
        if has_chapters:  # then what the others hold is no part of theirs either
            below = [inner and self._headed(at + 1, stop, None) for at, stop, inner in zip(heads, ends, below, strict=True)]  # fmt: skip
        whole = {at for at, stop in zip(heads, ends, strict=True) if self._is_whole(at, stop)}
        if len(whole) >= _MANY and not any(_is_called_part(self.lines[at].text) for at in whole):
            top = None  # more than a recipe has that is made in parts: a chapter
        found: list[int] = []
        for at, inner in zip(heads, below, strict=True):
            if len(inner) > 1 or (has_chapters and inner):
                found += inner
            elif at in whole and (not found or self._is_sibling(at, found, top)):
                found.append(at)
        return found

    def _titles(self, begin: int, end: int) -> list[int]:
        return self.titles[bisect_left(self.titles, begin) : bisect_left(self.titles, end)]

    def _has_own_list(self, at: int, stop: int) -> bool:
        """Whether ingredients stand under a heading before the next heading that may be a title."""
        inner = self._titles(at + 1, stop)
        return self._count(self.listed, at, inner[0] if inner else stop) > 1

    def _is_whole(self, begin: int, end: int) -> bool:
        """Whether lines hold two ingredients or more, and a method behind them."""
        first = bisect_left(self.listed, begin)
        if self._count(self.listed, begin, end) < 2:
            return False
        return self._count(self.done, self.listed[first], end) > 0

    @staticmethod
    def _count(places: Sequence[int], begin: int, end: int) -> int:
        return bisect_left(places, end) - bisect_left(places, begin)

    def _is_sibling(self, at: int, found: Sequence[int], top: Line | None) -> bool:
        """Whether a heading is a recipe beside those found, of one level with it under one heading."""
        title, before = self.lines[at], self.lines[found[0]]
        is_part = self._is_part(at, found[-1])
        needed = 2 if is_part else 1
        if top and not _words(top.text) & _OF_MANY:
            if is_part or _is_called_part(before.text) or _words(before.text) <= _words(top.text):
                return False
            needed += 1
        return 1 + self._signs(at, found, title.level) >= needed

    # --- lines of their own ---

    def _bare(self) -> list[int]:
        """The recipes by titles that are lines of their own."""
        found: list[int] = []
        again = {_folded(self.lines[at].text): at for at in self.titles}
        for at in self.titles:
            line = self.lines[at]
            over_many = bool(_words(line.text) & _OF_MANY)
            first = self._list_of(at, over_many or again[_folded(line.text)] > at)
            if first is None or not self._is_whole(first, len(self.lines)):
                continue
            if not found:
                found.append(0 if self._is_whole(0, at) else at)
                if found[0] == at:
                    continue
            above = self.lines[found[-1]]
            if (above.level and line.level) or not self._is_whole(found[-1], at):
                continue
            needed = 1 + self._is_part(at, found[-1]) + bool(above.level)
            if self._signs(at, found, 0) + self._is_full(at, first, found[-1]) >= needed:
                found.append(at)
            elif not _is_called_part(line.text):
                self.doubtful.append(at)
        return found

    def _list_of(self, at: int, comes_again: bool) -> int | None:
        """The first ingredient under a title, None where something else comes before it."""
        subtitles = 0
        for place in range(at + 1, min(len(self.lines), at + 1 + _MOST_BETWEEN)):
            line, kind = self.lines[place], self.kinds[place]
            if kind is Kind.INGREDIENT:
                return place
            if kind in (Kind.METHOD, Kind.NOTES):
                return None
            if kind is Kind.STEP and len(line.text.split()) < _MOST_BETWEEN:
                return None
            if kind is Kind.TITLE:
                subtitles += 1
                deeper = 0 < self.lines[at].level < line.level
                if not deeper and (comes_again or subtitles > 1 or place > at + 1):
                    return None
        return None

    def _is_full(self, at: int, first: int, before: int) -> bool:
        """Whether the list is longer than a part's, with a blank line above it like the first one's."""
        own = next((n for n in self.titles if n > first), len(self.lines))
        list_before = self.listed[bisect_left(self.listed, before)]
        is_spaced = self.lines[first].blanks > 0 and self.lines[list_before].blanks > 0
        return is_spaced and self._count(self.listed, first, own) >= _FULL_LIST

    # --- what says that a recipe stands alone ---

    def _signs(self, at: int, found: Sequence[int], level: int) -> int:
        """How many signs say that the recipe of a title stands alone."""
        start = self._with_source(at, found[0])
        title, first = self.lines[at], self.lines[found[0]]
        kinds = set(self._kinds_above_the_list(start))
        widest = max(line.blanks for line in self.lines[at - 1 : at + 1]) if at else 0
        return sum(
            [
                any(line.is_parted for line in self.lines[start : at + 1]),
                Kind.YIELD in kinds,
                Kind.SOURCE in kinds,
                Kind.LIST in kinds,
                Kind.PART in kinds,  # a part has none
                level == 0 and widest >= _WIDE and self._is_widest(start, found[-1]),
                title.text.isupper() and first.text.isupper() and not level,
                2 * (_folded(title.text) in self._menu(found[0])),
                2 * self._is_next_letter(at),
            ]
        )

    def _is_next_letter(self, at: int) -> bool:
        """Whether a title goes on in the letters of a sheet: "B. Tartlets" after "A. Scones"."""
        letters = [match[1] for n in self.titles if n <= at and (match := _LETTER.match(self.lines[n].text))]  # fmt: skip
        own = _LETTER.match(self.lines[at].text)
        return own is not None and letters[-2:-1] == [chr(ord(own[1]) - 1)]

    def _kinds_above_the_list(self, start: int) -> Iterator[Kind]:
        for kind in self.kinds[start : start + _MOST_BETWEEN]:
            if kind is Kind.INGREDIENT:
                return
            yield kind

    def _is_widest(self, start: int, before: int) -> bool:
        """Whether the gap above is wider than any within the first lines of the recipe before."""
        inner = self.lines[before + 1 : min(start, before + 1 + 4 * _MOST_BETWEEN)]
        return all(line.blanks < self.lines[start].blanks for line in inner)

    def _menu(self, first: int) -> set[str]:
        return {_folded(line.text) for line in self.lines[max(0, first - 500) : first]}

    def _is_part(self, at: int, before: int) -> bool:
        """Whether a title is that of a part, or the recipe before, as far as is looked back, names it."""
        title = self.lines[at].text
        if _is_called_part(title):
            return True
        named: set[str] = set()
        for line in self.lines[max(before + 1, at - 200) : at]:
            named |= _words(line.text)
        return _words(title) <= named

    def _with_source(self, at: int, first: int) -> int:
        """A title with the line of its source above it, where that of the first recipe stands there."""
        if first and self.kinds[first - 1] is Kind.SOURCE and at:
            return at - 1 if self.kinds[at - 1] is Kind.SOURCE else at
        return at


def _words(text: str) -> set[str]:
    return {word.lower() for word in _WORD.findall(text)}


def _is_called_part(title: str) -> bool:
    words = title.lower().strip(" :").split()
    kind = word_map("part-kinds").get(words[-1], "")
    alone = len(words) == 1 or words[0] == "for"
    return (bool(kind) and alone) or kind in _PART_KINDS or words[-1] in _MADE_FOR
