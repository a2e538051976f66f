"""Lines of two sides that cannot both stand, though no line was touched by both.

A side that takes a line out of a part has moved it where it puts the same ingredient into another part,
replaced it where it puts another one into the part, else removed it. A merge that lets each line stand
for itself would take butter moved in two ways twice, and margarine instead of butter beside the butter.
So the lines that belong to one such change are in conflict together: either side of it is all of that side.
"""

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from typing import TypeVar

from perflour.balance.balance import Balance
from perflour.formula.formula import Line, Part
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.names import fold
from perflour.merge.chunks import JOINT
from perflour.merge.order import Arranged, Item, Trio, arranged
from perflour.merge.ratios import SIDES, Place, Ratios
from perflour.tuples import NamedTuple

OURS, THEIRS = 1, 2
# As many lines of a part are named where the whole part is in conflict.
MOST_NAMED = 3
# Among parts by their number: all those that a side added.
NEW_PARTS = -1
Name = tuple[str, str]
T = TypeVar("T")


class Contradictions(NamedTuple):
    """The lines in conflict by their place, each with what is said of it."""

    about: Mapping[Place, str]
    held: frozenset[tuple[int, str]]

    def in_part(self, side: int, part: str) -> str:
        """What is said of the lines of a part, as one text; empty where none is in conflict."""
        said = dict.fromkeys(
            about
            for place, about in self.about.items()
            if (place.side, place.part) == (side, fold(part))
        )
        return _few(list(said))

    def touches(self, parts: Sequence[str]) -> bool:
        """Whether a part, under its names in base, ours and theirs, holds such lines."""
        return any((side, fold(name)) in self.held for side, name in enumerate(parts) if name)


class _Seen(NamedTuple):
    """A line as base, ours and theirs have it; ``part`` is the number of its part."""

    name: Name
    part: int
    lines: tuple[Line | None, ...]
    places: tuple[Place | None, ...]
    comments: tuple[frozenset[str], ...]

    @property
    def called(self) -> str:
        """The name as the first side writes it that has it."""
        return next(line.name for line in self.lines if line)

    def is_gone(self, side: int) -> bool:
        return self.lines[0] is not None and self.lines[side] is None

    def is_added(self, side: int) -> bool:
        return self.lines[0] is None and self.lines[side] is not None

    def is_added_alone(self, side: int) -> bool:
        return self.is_added(side) and self.lines[_other(side)] is None

    def is_changed(self, side: int) -> bool:
        """Whether a side changed it, or said more of it in a comment."""
        before, now = self.lines[0], self.lines[side]
        if before is None or now is None:
            return False
        return _said(before) != _said(now) or not self.comments[side] <= self.comments[0]


class _Put(NamedTuple):
    """Lines that a side put somewhere; those of them that the other side did not; what is said of these."""

    lines: list[_Seen]
    alone: list[_Seen]
    said: dict[str, None]

    def add(self, line: _Seen, side: int) -> None:
        """One more of them."""
        self.lines.append(line)
        if line.is_added_alone(side):
            self.alone.append(line)


class _Fate(NamedTuple):
    """What a side made of a line that the base has; ``put`` is what it put instead."""

    word: str
    put: _Put = _Put([], [], {})


def contradictions(
    texts: Sequence[str],
    weighed: Sequence[Balance | None],
    catalogue: Catalogue,
    ratios: Ratios,
) -> Contradictions:
    """The lines of three files that contradict each other across lines and parts."""
    parts = [balance.formula.parts if balance else () for balance in weighed]
    items = ([_part_item(part) for part in side] for side in parts)
    trios = list(_all(arranged(*items, likeness=_alike_parts)))
    rows = [text.split("\n") for text in texts]
    seen = [line for at, trio in enumerate(trios) for line in _lines(at, trio, rows, catalogue)]
    told = _told(_Story(trios, seen, ratios))
    return Contradictions(told, frozenset((place.side, place.part) for place in told))


def line_name(line: Line, catalogue: Catalogue) -> Name:
    """What is the same line on both sides: the ingredient by main name, or the part."""
    known = None if line.is_part else catalogue.find(line.name)
    return ("part" if line.is_part else "item", fold(known.name if known else line.name))


def overlap(one: set[str], other: set[str]) -> float:
    """How much two sets share, from 0 to 1."""
    return len(one & other) / len(one | other) if one | other else 0.0


def _told(story: "_Story") -> dict[Place, str]:
    """What is said of each line in conflict. A thousand lines may be replaced by a thousand others."""
    about: dict[Place, dict[str, None]] = {}
    for said, line, puts in story.told():
        for place in (place for place in (line.places[OURS:] if line else ()) if place):
            about.setdefault(place, {})[said] = None
        for put in puts:
            put.said[said] = None
    for put in (*story.put.values(), *story.instead.values()):
        few = _few(list(put.said))
        for place in (place for line in put.alone for place in line.places[OURS:] if place and few):
            about.setdefault(place, {})[few] = None
    return {place: JOINT.join(said) for place, said in about.items()}


class _Story:
    """What each side did to the lines of the base; a class because every line asks for the same."""

    def __init__(self, trios: Sequence[Trio[Part]], seen: Sequence[_Seen], ratios: Ratios) -> None:
        self.trios, self.seen, self.ratios = trios, seen, ratios
        self.known = {line.name for line in seen if line.lines[0]}
        self.put: dict[tuple[int, Name], _Put] = {}
        self.instead: dict[tuple[int, int], _Put] = {}
        for side in (OURS, THEIRS):
            gone = {line.name for line in seen if line.is_gone(side)}
            for line in (line for line in seen if line.is_added(side)):
                self.put.setdefault((side, line.name), _Put([], [], {})).add(line, side)
                if line.name not in gone:  # else it came from elsewhere
                    where = NEW_PARTS if trios[line.part].base is None else line.part
                    self.instead.setdefault((side, where), _Put([], [], {})).add(line, side)

    def told(self) -> Iterator[tuple[str, _Seen | None, list[_Put]]]:
        """Each contradiction: what is said of it, the line of the base, and what was put instead."""
        for line in self.seen:
            if line.lines[0] and (line.is_gone(OURS) or line.is_gone(THEIRS)):
                fates = self._fate(line, OURS), self._fate(line, THEIRS)
                if _contradict(fates):
                    yield (
                        self._about(line, fates),
                        line,
                        [fate.put for fate in fates if fate.put.alone],
                    )
        for side, name in self.put:
            if side == OURS and name not in self.known:
                yield from self._put_twice(name)

    def _fate(self, line: _Seen, side: int) -> _Fate:
        if not line.is_gone(side):
            is_touched = line.is_changed(side) or self._is_kept_part(line, side)
            return _Fate("changed") if is_touched else _Fate("")
        if moved := self.put.get((side, line.name)):
            return _Fate("moved", moved)
        trio = self.trios[line.part]
        is_whole = trio.ours is None if side == OURS else trio.theirs is None
        instead = self.instead.get((side, NEW_PARTS if is_whole else line.part))
        return _Fate("replaced", instead) if instead else _Fate("removed")

    def _is_kept_part(self, line: _Seen, side: int) -> bool:
        """Whether the other side took away the whole part of the line, which this side changed."""
        base, *sides = self.trios[line.part]
        here, there = sides[side - 1], sides[_other(side) - 1]
        return there is None and bool(base and here and base.said != here.said)

    def _put_twice(self, name: Name) -> Iterator[tuple[str, _Seen | None, list[_Put]]]:
        """An ingredient that the base does not have, put into one part by ours, another by theirs."""
        puts = [self.put.get((side, name), _Put([], [], {})) for side in (OURS, THEIRS)]
        if all(put.alone for put in puts):
            words = (
                f"{SIDES[side]} put it into {self._places(put.alone, side)}"
                for side, put in zip((OURS, THEIRS), puts, strict=True)
            )
            said = f"{puts[0].lines[0].called}: {', '.join(words)}, before it was not there"
            yield self._with_basis(said), None, puts

    def _about(self, line: _Seen, fates: Sequence[_Fate]) -> str:
        words = [
            f"{SIDES[side]} {self._did(line, fate, side)}"
            for side, fate in zip((OURS, THEIRS), fates, strict=True)
        ]
        before = f"before {self._share(line, 0)} in {self._part(line, 0)}"
        return self._with_basis(f"{line.called}: {', '.join(words)}, {before}")

    def _did(self, line: _Seen, fate: _Fate, side: int) -> str:
        if fate.word == "moved":
            return f"moved it to {self._places(fate.put.lines, side)}"
        if fate.word == "replaced":
            return f"replaced it by {self._named(fate.put.lines, side)}"
        return "removed it" if fate.word == "removed" else f"has it at {self._share(line, side)}"

    def _named(self, lines: Sequence[_Seen], side: int) -> str:
        return _few(lines, lambda line: f"{line.called} at {self._share(line, side)}", " and ")

    def _places(self, lines: Sequence[_Seen], side: int) -> str:
        return _few(
            lines, lambda line: f"{self._part(line, side)} at {self._share(line, side)}", " and "
        )

    def _part(self, line: _Seen, side: int) -> str:
        item = self.trios[line.part][side]
        return item.value.name if item else ""

    def _share(self, line: _Seen, side: int) -> str:
        """Its percentage, else its amount as written."""
        place, there = line.places[side], line.lines[side]
        assert place and there
        return self.ratios.of_line(place) or there.amount.text

    def _with_basis(self, said: str) -> str:
        """What the first percentage is of."""
        return said.replace(" %", f" % of {self.ratios.basis}", 1)


def _other(side: int) -> int:
    return OURS + THEIRS - side


def _few(things: Sequence[T], said: Callable[[T], str] = str, joint: str = JOINT) -> str:
    """The first of several things in words, and how many more there are."""
    more = len(things) - MOST_NAMED
    return joint.join(map(said, things[:MOST_NAMED])) + (f"{joint}{more} more" if more > 0 else "")


def _contradict(fates: Sequence[_Fate]) -> bool:
    """Whether two sides made of one line what cannot both stand.

    What both put alike is agreed, and a line that one side left as it was follows the other. A line removed
    by one and changed by the other is in conflict by itself.
    """
    words = [fate.word for fate in fates]
    if not all(words) or not {"moved", "replaced"} & {*words}:
        return False
    alone = [bool(fate.put.alone) for fate in fates]
    return all(alone) if words[0] == words[1] else any(alone)


def _part_item(part: Part) -> Item[Part]:
    said = (part.name, part.kind, part.notes, tuple(map(_said, part.lines)))
    return Item(part, ("part", fold(part.name)), said)


def _said(line: Line) -> Hashable:
    return (line.name, line.is_part, line.amount.text, line.state, line.note)


def _alike_parts(one: Item[Part], other: Item[Part]) -> float:
    """As the merge tells which part is which."""
    names = (
        {fold("" if line.is_part else line.name) for line in item.value.lines}
        for item in (one, other)
    )
    return overlap(*names)


def _lines(
    part: int, trio: Trio[Part], rows: Sequence[Sequence[str]], catalogue: Catalogue
) -> Iterator[_Seen]:
    """The lines of one part as the three files have them."""
    sides = [
        [
            Item((line, Place(side, fold(item.value.name), at), name), name, _said(line))
            for at, line in enumerate(item.value.lines)
            for name in [line_name(line, catalogue)]
        ]
        if item
        else []
        for side, item in enumerate(trio)
    ]
    for found in _all(arranged(*sides)):
        lines = tuple(item.value[0] if item else None for item in found)
        places = tuple(item.value[1] if item else None for item in found)
        comments = tuple(
            _comments(rows[side], line.place.line) if line else frozenset()
            for side, line in enumerate(lines)
        )
        yield _Seen(found.there.value[2], part, lines, places, comments)


def _comments(rows: Sequence[str], at: int) -> frozenset[str]:
    """The comments over the line of a file that is number ``at``, counted from 1, and beside it."""
    first = at - 1
    while first and rows[first - 1].lstrip().startswith("#"):
        first -= 1
    return frozenset(row.partition("#")[2].strip() for row in rows[first:at] if "#" in row)


def _all(found: Arranged[T]) -> Iterator[Trio[T]]:
    for slot in found.slots:
        yield from ((slot.trio,) if slot.trio else ())
        yield from (*slot.ours, *slot.theirs)
