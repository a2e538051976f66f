"""What a merge comes to: pieces of text that both sides agree on, and pieces where they do not."""

from collections import Counter
from collections.abc import Iterable, Sequence

from perflour.merge.passages import Lines, as_item, is_content
from perflour.plain import one_line
from perflour.tuples import NamedTuple

#: Between two things that are said of one conflict.
JOINT = "; "
SETTLE = "settle all marks about it for one side"


class Chunk(NamedTuple):
    """Lines of the merged file; a conflict where the two sides have other ones, ``about`` what."""

    ours: Lines
    theirs: Lines
    about: str = ""

    @property
    def is_conflict(self) -> bool:
        return bool(self.about)


def agreed(lines: Iterable[str]) -> Chunk:
    """Lines that are not in conflict."""
    there = tuple(lines)
    return Chunk(there, there)


def chosen(chunks: Iterable[Chunk], side: str) -> Lines:
    """The lines of the file with every conflict settled for one side: ``ours`` or ``theirs``."""
    return tuple(line for chunk in chunks for line in getattr(chunk, side))


def as_conflict(chunks: Sequence[Chunk], about: str = "") -> Chunk:
    """Several pieces as one conflict."""
    abouts = JOINT.join(chunk.about for chunk in chunks if chunk.is_conflict)
    return Chunk(chosen(chunks, "ours"), chosen(chunks, "theirs"), about or abouts)


def joined(chunks: Iterable[Chunk]) -> list[Chunk]:
    """Neighbouring conflicts about one thing as one; who must settle several alike is told so."""
    found: list[Chunk] = []
    for chunk in chunks:
        if chunk.is_conflict and found and found[-1].about == chunk.about:
            found[-1] = as_conflict((found[-1], chunk), chunk.about)
        elif chunk.ours or chunk.theirs:
            found.append(chunk)
    shared = Counter(said for chunk in found for said in {*chunk.about.split(JOINT)})
    return [
        chunk._replace(about=f"{chunk.about}{JOINT}{SETTLE}")
        if chunk.is_conflict and any(shared[said] > 1 for said in chunk.about.split(JOINT))
        else chunk
        for chunk in found
    ]


def dashed(opening: Lines, chunks: Sequence[Chunk], column: int) -> list[Chunk]:
    """The fields of a mapping as an item of a list: a dash at ``column`` before the first key."""
    for at, chunk in enumerate(chunks):
        keys = [any(map(is_content, lines)) for lines in (chunk.ours, chunk.theirs)]
        if all(keys):
            ours, theirs = (as_item((), lines, column) for lines in (chunk.ours, chunk.theirs))
            first = Chunk(ours, theirs, chunk.about)
            return [agreed(opening), *chunks[:at], first, *chunks[at + 1 :]]
        if any(keys):
            break
    whole = as_conflict(chunks)
    ours, theirs = (as_item(opening, lines, column) for lines in (whole.ours, whole.theirs))
    return [Chunk(ours, theirs, whole.about)]


def marked_lines(chunks: Iterable[Chunk], marker_size: int = 7) -> Lines:
    """The lines of the file, conflicts between git's markers.

    What a conflict is about stands on the marker itself and goes with it. The markers are no YAML: a
    file that still holds one is refused by everything that reads it.
    """
    begin, middle, end = (sign * marker_size for sign in "<=>")
    lines: list[str] = []
    for chunk in chunks:
        if chunk.is_conflict:
            lines += (f"{begin} ours # {one_line(chunk.about)}", *chunk.ours, middle)
            lines += (*chunk.theirs, f"{end} theirs")
        else:
            lines += chunk.ours
    return tuple(lines)
