"""A sorted recipe to a formula file: every line read, what is not understood kept and marked."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from perflour.documents.layout import as_scalar, write_commented
from perflour.documents.nodes import Collection, CommentedFile, Entry, Scalar
from perflour.formula.places import KINDS
from perflour.formula.portions import taken
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.house import Kitchen
from perflour.kitchen.names import fold
from perflour.recipe.file_entries import comment, entry_of, list_of, text_entry
from perflour.recipe.header import NO_SOURCE, Header, formula_id, header_entries, lacks_source
from perflour.recipe.ingredient_line import NOT_STATED, UNKNOWN_ITEM, LineRead, read_line
from perflour.recipe.method.mentions import Index, Listed, listed
from perflour.recipe.method.steps import StepRead, read_steps
from perflour.recipe.nothing_lost import lost_numbers
from perflour.recipe.of_the_whole import (
    NamesOfParts,
    part_used,
)
from perflour.recipe.pans_told import with_pans_told
from perflour.recipe.recipe_text import CellLine, PartLines, Reading, RecipeText
from perflour.recipe.words import WORD, word_map, word_set
from perflour.recipe.yields import YieldRead, read_yield, singular
from perflour.result import Place, Result

RULE = "not-understood"
#: A longer piece is one at the end of a word as well: a cheesecake.
SHORT_PIECE = 3
UNTITLED = "Untitled recipe"
#: A title of fewer words ends with what a piece is called.
MOST_OF_NAME = 5
# How sure we are of a line that no step takes.
UNTAKEN = 0.9
# How sure we are of a part that is told by where its foods go.
GUESSED_PART = 0.8
# How sure we are of a line or sentence of which a number was lost.
LOST = 0.3
_STEP_KEYS = ("makes", "into", "on", "with", "fill", "speed", "to", "at", "core", "for", "until", "note")  # fmt: skip
_KIND_BEHIND = re.compile(rf"(?P<name>.+?) \((?P<kind>{'|'.join(KINDS)})\)(?: [0-9]+)?")
_HOUSE_SCALES = {"fahrenheit": "F", "celsius": "C"}
_MOST_NAMES = 200


class Imported(NamedTuple):
    """A formula file before it is put in the house format; ``unclear`` is what a baker must look at."""

    id: str
    text: str
    page: CommentedFile
    unclear: tuple[Result, ...]
    lines: int
    readings: tuple[Reading, ...] = ()


class _Marks:
    """What was not understood, collected as the file is built."""

    def __init__(self) -> None:
        self.found: list[Result] = []

    def add(self, place: Place, confidence: float, why: str, original: str) -> tuple[str, ...]:
        """Note it and give the comment that stands over it in the file."""
        told = f"{why} ({round(confidence * 100)} % sure)"
        self.found.append(Result(RULE, "warning", told, place, original))
        return (comment(f"{round(confidence * 100)} % sure: {why}. Read from: {original}"),)


def formula_file(recipe: RecipeText, header: Header, kitchen: Kitchen) -> Imported:
    """The formula file of a sorted recipe. Raises nothing: what cannot be read stands in it as text."""
    marks = _Marks()
    title = header.title or _in_sentence_case(recipe.title) or UNTITLED
    part_lines = _named_part_lines(recipe.part_lines, title)
    names = _spelled_names(part_lines)
    parts = [
        (section.name, _doubted(section, _part_lines(section, names, kitchen.catalogue)))
        for section in part_lines
    ]
    steps = _steps(recipe, parts, kitchen)
    parts = _with_untaken_told(parts, steps)
    yields = _yield(recipe, title)
    notes = [*recipe.notes]
    if recipe.yields and yields is None:
        notes.append(recipe.yields.text)
    entries = [
        *header_entries(recipe, header, title, notes, kitchen),
        *_yield_entry(yields, recipe, marks),
        Entry(_parts(parts, marks), "parts"),
        Entry(list_of(_step_entry(step, marks) for step in steps), "method"),
    ]
    lost = tuple(_tell_lost(recipe, (header.title, *_values(entries)), marks))
    entries[-1] = entries[-1]._replace(above=lost)
    if lacks_source(recipe, header):
        marks.found.append(Result(RULE, "warning", NO_SOURCE, _begin(recipe), title))
    page = CommentedFile((), Collection(False, tuple(entries)))
    lines = sum(len(lines) for _, lines in parts)
    readings = tuple(_readings(recipe, yields, parts, steps))
    told = tuple(sorted(marks.found, key=lambda result: (result.place.line, result.place.column)))
    return Imported(formula_id(title), write_commented(page), page, told, lines, readings)


def _readings(
    recipe: RecipeText,
    yields: YieldRead | None,
    parts: Sequence[tuple[str, list[_Placed]]],
    steps: Iterable[StepRead],
) -> Iterator[Reading]:
    """What was decided of each place of the source: the yield, the lists, the method."""
    if recipe.yields:
        pieces = (("pieces", str(yields.pieces)), ("piece", yields.piece)) if yields else ()
        yield Reading(
            recipe.yields.place, recipe.yields.text, "yield", pieces, 1.0 if yields else 0.5
        )
    for name, lines in parts:
        for placed in lines:
            line = placed.line
            fields = (
                ("part", name),
                ("item", line.item),
                ("amount", line.amount),
                ("state", line.state),
                ("note", line.note),
            )
            kept = tuple((key, value) for key, value in fields if value)
            yield Reading(
                placed.place, placed.original, "ingredient", kept, line.confidence, line.unclear
            )
    for step in steps:
        uses = (("uses", ", ".join(step.uses)),) if step.uses else ()
        yield Reading(
            step.place,
            step.text,
            "step",
            (("do", step.do), *uses, *step.fields),
            step.confidence,
            step.unclear,
        )


def _with_untaken_told(
    parts: Sequence[tuple[str, list[_Placed]]], steps: Sequence[StepRead]
) -> list[tuple[str, list[_Placed]]]:
    """The lines, with those doubted that no step takes: where they go in is not said."""
    taken_names = {fold(taken(use).name) for step in steps for use in step.uses}
    if not taken_names:
        return list(parts)
    return [
        (name, [_told_untaken(line, name, taken_names) for line in lines]) for name, lines in parts
    ]


def _told_untaken(placed: _Placed, part: str, taken_names: set[str]) -> _Placed:
    line = placed.line
    is_taken = {fold(line.item), fold(_stated_kind(part)[0])} & taken_names
    if is_taken or line.unclear or line.amount == NOT_STATED or line.note.startswith("for "):
        return placed
    return placed._replace(line=line.doubted(UNTAKEN, "no step takes it; say where it goes in"))


def _values(entries: Iterable[Entry]) -> Iterator[str]:
    """Every text that stands in the file, comments left out."""
    for entry in entries:
        if isinstance(entry.node, Collection):
            yield from _values(entry.node.entries)
        else:
            yield entry.node.value


def _tell_lost(recipe: RecipeText, kept: Iterable[str], marks: _Marks) -> Iterator[str]:
    """Tell every number of the source that stands nowhere in the file, at its line; the comments."""
    told = {result.place.line for result in marks.found}
    for lost in lost_numbers(recipe, kept):
        if lost.place.line not in told:
            told.add(lost.place.line)
            yield from marks.add(lost.place, LOST, f"{lost.number} stands in no field; write it where it belongs", lost.text)  # fmt: skip


def _in_sentence_case(title: str) -> str:
    return title.capitalize() if title.isupper() else title


class _Placed(NamedTuple):
    """A line read, with where it came from."""

    line: LineRead
    original: str
    place: Place
    is_part: bool = False


def _named_part_lines(part_lines: Sequence[PartLines], title: str) -> list[PartLines]:
    """Sections with names, each once; one without a heading is named by the title."""
    found: list[PartLines] = []
    taken: dict[str, int] = {}  # and the number that the next of the name is tried with
    for section in part_lines or (PartLines("", ()),):
        name = unique = section.name[:_MOST_NAMES] or _default_part(title)
        number = taken.get(name, 2)
        while unique in taken:
            unique, number = f"{name} {number}", number + 1
        taken[name] = number
        taken.setdefault(unique, 2)
        found.append(section._replace(name=unique))
    return found


def _default_part(title: str) -> str:
    """What the only part is called, by the title; what a thing comes with does not name it."""
    words = {word.lower() for word in re.findall(r"\w+", title.lower().partition(" with ")[0])}
    for name, kinds in word_map("part-names").items():
        if words & set(kinds):
            return name
    return "mixture"


def _spelled_names(part_lines: Iterable[PartLines]) -> NamesOfParts:
    names: dict[str, list[tuple[str, str]]] = {}
    for section in part_lines:
        stated = _stated_kind(section.name)[0]
        names.setdefault(fold(stated), []).append((section.name, stated))
    return names


def _part_lines(section: PartLines, names: NamesOfParts, catalogue: Catalogue) -> Iterator[_Placed]:
    for line in section.lines:
        if isinstance(line, CellLine) and not line.problem and (used := part_used(f"{line.amount} {line.item}", names, section.name)):  # fmt: skip
            yield _Placed(used._replace(note=line.note), line.text, line.place, is_part=True)
        elif isinstance(line, CellLine):
            yield _Placed(_cells(line, catalogue), line.text, line.place)
        elif used := part_used(line.text, names, section.name):
            yield _Placed(used, line.text, line.place, is_part=True)
        else:
            for read in read_line(line.text, catalogue):
                yield _Placed(read, line.text, line.place)
    if not section.lines:
        empty = LineRead("ingredients", NOT_STATED, confidence=0, unclear="no ingredients found")
        yield _Placed(empty, section.name, Place(""))


def _doubted(section: PartLines, lines: Iterable[_Placed]) -> list[_Placed]:
    """The lines, the first of them doubted where it is not settled that they are a part."""
    first, *others = lines
    if section.unclear:
        first = first._replace(line=first.line.doubted(GUESSED_PART, section.unclear))
    return [first, *others]


def _cells(line: CellLine, catalogue: Catalogue) -> LineRead:
    """An ingredient whose cells say what is what; only amount and item are read as in a line."""
    if line.problem:
        return LineRead(
            line.item or NOT_STATED, line.amount or NOT_STATED, line.state, line.note
        ).doubted(UNKNOWN_ITEM, line.problem)
    read, *more = read_line(f"{line.amount} {line.item}".strip(), catalogue)
    also = (f"{one.amount} {one.item} {one.note}".strip() for one in more)
    states, notes = (read.state, line.state), (read.note, line.note, *also)
    return read._replace(state=", ".join(filter(None, states)), note="; ".join(filter(None, notes)))


def _steps(
    recipe: RecipeText, parts: Sequence[tuple[str, list[_Placed]]], kitchen: Kitchen
) -> list[StepRead]:
    names = [_stated_kind(name)[0] for name, _ in parts] if len(parts) > 1 else []
    items: dict[str, list[str]] = {}
    for name, lines in parts:
        for placed in lines:
            if not placed.is_part:
                items.setdefault(placed.line.item, []).append(_stated_kind(name)[0])
    entries = (listed(item, kitchen.catalogue, of if names else ()) for item, of in items.items())
    index = Index([*map(Listed, names), *entries])
    scale = _HOUSE_SCALES.get(kitchen.house.temperatures, "")
    steps = read_steps(
        recipe.method, index, names, scale, _parts_above(recipe, parts) if names else ()
    )
    return with_pans_told(steps, [recipe.title, *recipe.notes, *(p.text for p in recipe.method)])


def _parts_above(recipe: RecipeText, parts: Sequence[tuple[str, list[_Placed]]]) -> tuple[str, ...]:
    """Of each paragraph of a method the part whose list stands right above it; () where all lists stand together."""
    told = {place.line for paragraph in recipe.method for _, place in paragraph.starts}
    ends = [(max(own), _stated_kind(name)[0]) for name, of in parts if (own := [p.place.line for p in of if p.place.line not in told])]  # fmt: skip
    begins = [paragraph.place(0).line for paragraph in recipe.method]
    if not ends or all(end < min(begins, default=0) for end, _ in ends):
        return ()
    return tuple(max(((end, name) for end, name in ends if end < line), default=(0, ""))[1] for line in begins)  # fmt: skip


def _begin(recipe: RecipeText) -> Place:
    """Where a recipe stands: its title, else its first ingredient line."""
    lines = (line for part in recipe.part_lines for line in part.lines)
    return recipe.title_place or next((line.place for line in lines), Place(""))


def _yield(recipe: RecipeText, title: str) -> YieldRead | None:
    words = [singular(word) for word in re.findall(r"[^\W\d_]+", title)]
    pieces = tuple(word for word in word_set("pieces") if len(word) > SHORT_PIECE)
    called = [word for word in words if word in word_set("pieces") or word.endswith(pieces)]
    if not called:
        words = [] if title == UNTITLED else words
        called = words[-1:] if 0 < len(words) < MOST_OF_NAME else ["piece"]
    return read_yield(recipe.yields.text, called[-1]) if recipe.yields else None


def _yield_entry(yields: YieldRead | None, recipe: RecipeText, marks: _Marks) -> Iterator[Entry]:
    if recipe.yields is None:
        return
    if yields is None:
        why = "the yield is not one number of pieces; kept in the notes"
        marks.add(recipe.yields.place, 0.5, why, recipe.yields.text)
        return
    entries = [Entry(_whole_number(yields.pieces), "pieces"), text_entry("piece", yields.piece)]
    if yields.scaling_weight:
        entries.append(Entry(as_scalar(yields.scaling_weight), "scaling-weight"))
    yield Entry(Collection(False, tuple(entries)), "yield")


def _whole_number(number: int) -> Scalar:
    return Scalar(str(number), str(number), plain=True)


def _parts(parts: Sequence[tuple[str, list[_Placed]]], marks: _Marks) -> Collection:
    return list_of(_part_entry(name, lines, marks) for name, lines in parts)


def _part_entry(name: str, lines: list[_Placed], marks: _Marks) -> Entry:
    name, stated = _stated_kind(name)
    entries = [text_entry("part", name)]
    if kind := stated or _kind_of(name):
        entries.append(Entry(as_scalar(kind), "kind"))
    entries.append(Entry(list_of(_line_entry(line, marks) for line in lines), "ingredients"))
    return Entry(Collection(False, tuple(entries)))


def _stated_kind(name: str) -> tuple[str, str]:
    """A heading's name and the kind in its brackets: "overnight mix (preferment)"."""
    match = _KIND_BEHIND.fullmatch(name)
    return (match["name"], match["kind"]) if match else (name, "")


def _kind_of(name: str) -> str:
    """The kind of a part by the last of its words that names one; empty for none."""
    kinds = word_map("part-kinds")
    found: list[str] = [kinds[word] for word in WORD.findall(name.lower()) if word in kinds]
    return found[-1] if found else ""


def _line_entry(placed: _Placed, marks: _Marks) -> Entry:
    line = placed.line
    above: tuple[str, ...] = ()
    if line.unclear:
        above = marks.add(placed.place, line.confidence, line.unclear, placed.original)
    key = "part" if placed.is_part else "item"
    texts = ((key, line.item), ("amount", line.amount), ("state", line.state), ("note", line.note))
    return entry_of(texts, above)


def _step_entry(step: StepRead, marks: _Marks) -> Entry:
    above: tuple[str, ...] = ()
    if step.unclear:
        above = marks.add(step.place, step.confidence, step.unclear, step.text)
    said = dict(step.fields)
    entry = entry_of([("do", step.do), *((key, said.get(key, "")) for key in _STEP_KEYS)], above)
    if not step.uses:
        return entry
    uses = Entry(list_of(Entry(as_scalar(name[:_MOST_NAMES])) for name in step.uses), "uses")
    assert isinstance(entry.node, Collection)
    first, *others = entry.node.entries
    return entry._replace(node=entry.node._replace(entries=(first, uses, *others)))
