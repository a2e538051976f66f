"""The lines of a plain text, each with its place; the rows of formula sheets as rows of a list."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.plain import with_blanks
from perflour.recipe.line_kinds import LONGEST_LINE, is_dough_temperature
from perflour.recipe.method.steps import Paragraph
from perflour.recipe.sheet_lines import Piece, opens_with_part, pieces, with_units
from perflour.recipe.words import word_map
from perflour.recipe.yields import opens_yield
from perflour.result import Place

_HEADINGS = frozenset(word for words in word_map("headings").values() for word in words)
_DOTS = re.compile(r"\.{3,}")
_CELL = re.compile(r"\S+(?: {1,2}\S+)*")
#: "1. Sift", "Step 2: Rub in", "Method: 1) Sift": what may be the number of a list.
_NUMBER = re.compile(r"(?P<head>[^\W\d_]+: +)?(?:step +)?(?P<number>[0-9]{1,2})[.):] +(?=\S)", re.IGNORECASE)  # fmt: skip


class Line(NamedTuple):
    """A line with its place, its indent, and whether a blank line stands above it.

    ``is_numbered`` where the number of a list stood before its text.
    """

    text: str
    place: Place
    indent: int
    opens_block: bool
    is_numbered: bool = False


def lines_of(text: str, path: str) -> Iterator[Line]:
    """The lines that hold anything, unprintable characters as spaces, long gaps as one."""
    opens = True
    for number, raw in enumerate(text.split("\n"), 1):
        clean = with_blanks(raw)
        bare = _DOTS.sub(" ", clean).strip()
        if not bare:
            opens = True
            continue
        indent = len(clean) - len(clean.lstrip())
        for start, cell in _asides(clean.expandtabs(4)):
            yield Line(" ".join(cell.split()), Place(path, number, start + 1), indent, opens)
            opens = False


def without_list_numbers(lines: Sequence[Line]) -> list[Line]:
    """The lines without the numbers that count them: 1, 2, 3 in order.

    Any other number in front of a line is one of the recipe: "core\\n97. Rack to cool".
    """
    found = list(lines)
    for at, match in _counted(lines):
        line, head = lines[at], match["head"] or ""
        column = line.place.column + (0 if head else match.end())
        place = line.place._replace(column=column)
        found[at] = line._replace(text=head + line.text[match.end() :], place=place, is_numbered=True)  # fmt: skip
    return found


def _counted(lines: Sequence[Line]) -> Iterator[tuple[int, re.Match[str]]]:
    """The lines whose numbers count a list, and the numbers; a 1 without a 2 must stand where a list can begin."""
    run: list[tuple[int, re.Match[str]]] = []
    for at, line in enumerate(lines):
        match = _NUMBER.match(line.text)
        if match is None:
            continue
        if int(match["number"]) == 1:
            yield from run if _is_list(run, lines) else ()
            run = [(at, match)]
        elif run and int(match["number"]) == len(run) + 1:
            run.append((at, match))
    yield from run if _is_list(run, lines) else ()


def _is_list(run: Sequence[tuple[int, re.Match[str]]], lines: Sequence[Line]) -> bool:
    if len(run) != 1:
        return bool(run)
    at, match = run[0]
    if not at:
        return False  # the title of one of several recipes
    above = lines[at - 1].text.lower()
    return bool(lines[at].opens_block or match["head"] or above[-1] in ".:!?" or above in _HEADINGS)


def _asides(raw: str) -> Iterator[tuple[int, str]]:
    """A line with the yield and the dough's temperature apart that stand in columns behind its text."""
    cells = [(match.start(), match[0]) for match in _CELL.finditer(_DOTS.sub(_blank, raw))]
    told = (cell for _, cell in cells if opens_yield(cell) or is_dough_temperature(cell))
    if len(cells) > 1 and any(re.search("[0-9]", cell) for cell in told):
        yield from cells
    else:
        yield (
            cells[0][0],
            raw[cells[0][0] :].rstrip()
            if "..." not in raw
            else " ".join(cell for _, cell in cells),
        )


def _blank(match: re.Match[str]) -> str:
    return " " * len(match[0])


def as_listed(lines: Iterable[Line], catalogue: Catalogue) -> Iterator[Line]:
    """The lines with the rows of a formula sheet as rows of a list."""
    for block in blocks(list(lines)):
        parted = [one for line in _parted(block) for one in _by_food(line, catalogue)]
        texts = with_units([line.text for line in parted], catalogue)
        for line, text in zip(parted, texts, strict=True):
            yield line if text == line.text else line._replace(text=text)


def _by_food(line: Line, catalogue: Catalogue) -> Iterator[Line]:
    """The foods with amounts that share a line, each on its own; else the line itself."""
    from perflour.recipe.prose.between import foods_of_a_line

    found = foods_of_a_line(line.text, catalogue) if line.text[:1].isdigit() else []
    if not found:
        yield line
    for start, text in found:
        place = line.place._replace(column=line.place.column + start)
        yield line._replace(text=text, place=place, opens_block=line.opens_block and not start)


def _parted(block: list[Line]) -> Iterator[Line]:
    """Ingredients that share lines, each on its own; a list that is broken over lines is taken whole."""
    whole = paragraph(block)
    found = pieces(whole.text) if len(block) > 1 else []
    if len(found) > len(block):
        for piece in found:
            yield block[0]._replace(
                text=piece.text,
                place=whole.place(piece.start),
                opens_block=not piece.start,
            )
        return
    running = len(block) > 1 and runs(block)  # a line of prose may hold nothing but foods
    for line in block:
        kept = running and not opens_with_part(line.text)
        parted = [Piece(0, line.text)] if kept else pieces(line.text)
        if len(parted) == 1 and parted[0] == (0, line.text):
            yield line
            continue
        for piece in parted:
            place = line.place._replace(column=line.place.column + piece.start)
            opens = line.opens_block and not piece.start
            yield line._replace(text=piece.text, place=place, opens_block=opens)


def blocks(lines: list[Line]) -> list[list[Line]]:
    """Lines without a blank one between them."""
    found: list[list[Line]] = []
    for line in lines:
        if line.opens_block or not found:
            found.append([])
        found[-1].append(line)
    return found


def runs(block: list[Line]) -> bool:
    """Whether a block is a paragraph: long lines that go on, with the ends of sentences in it."""
    text = " ".join(line.text for line in block)
    long = [line for line in block[:-1] if len(line.text) > LONGEST_LINE - 25]
    wrapped = len(block) == 1 or len(long) >= (len(block) - 1) * 0.7
    return len(text) > LONGEST_LINE and wrapped and bool(re.search(r"[a-z)][.!?](?:\s|$)", text))


def paragraph(lines: list[Line]) -> Paragraph:
    starts: list[tuple[int, Place]] = []
    offset = 0
    for line in lines:
        starts.append((offset, line.place))
        offset += len(line.text) + 1
    return Paragraph(" ".join(line.text for line in lines), tuple(starts))
