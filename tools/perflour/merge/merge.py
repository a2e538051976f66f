"""Three texts of one formula merged by ingredient line, step and field, comments kept.

Texts are spliced: a passage that one side touched is taken over as that side typed it, and only a passage that
both sides touched is written anew, in the house format, field by field. Writing the whole file from its
data would be simpler, but it would reformat what nobody touched and show it as changed; splicing by
text alone, as git does, cannot tell two edits of one line apart. What either approach could get wrong is
caught by `merge_check`, which reads the result again and compares it with all three texts.

A conflict is one field changed in two ways, one side removing what the other changed, two ingredients
instead of one, or steps put into one place by both; and what no single line shows: a line replaced or moved
that the other side did not leave alone (`contradictions`, `replaced_steps`), and weights of two batches (`scaled`).
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from perflour.balance.balance import Balance, balance
from perflour.documents.line_endings import bytes_of, text_of
from perflour.documents.reader import Document, read_document
from perflour.formula.file import document_of, formula_of
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.names import fold
from perflour.merge.check import what_is_wrong
from perflour.merge.chunks import Chunk, agreed, as_conflict, chosen, dashed, joined, marked_lines
from perflour.merge.contradictions import Contradictions, contradictions, overlap
from perflour.merge.order import Arranged, Item, Likeness, Slot, Trio, arranged
from perflour.merge.passages import (
    Apart,
    Lines,
    NotApart,
    at_column,
    file_apart,
    is_content,
    item_apart,
    list_apart,
    shifted,
    with_empty_list,
)
from perflour.merge.ratios import Place, Ratios, ratios_of
from perflour.merge.replaced_steps import lines_in, open_gaps
from perflour.merge.sameness import (
    is_untouched,
    merged_comments,
    named_use,
    same_but_form,
    same_text,
)
from perflour.merge.scaled import scaled_apart
from perflour.merge.wording import (
    MOVED_AROUND,
    NOTHING_LEFT,
    ORDER,
    SAME_PLACE,
    PassageRead,
    about_both,
    about_removed,
    replaced_by_both,
)
from perflour.result import FileProblem
from perflour.tuples import NamedTuple

MARKER_SIZE = 7
_LISTS = ("parts", "ingredients", "method", "waivers", "corrections")
_NONE = Apart((), (), (), 0)
_NO_PARTS = ("", "", "")


class NotMerged(Exception):
    """Texts that cannot be merged by line and step, with the reason."""


class Merged(NamedTuple):
    """The merged file; a line about each conflict in it."""

    content: bytes
    conflicts: tuple[str, ...]


def merge(
    base: bytes, ours: bytes, theirs: bytes, catalogue: Catalogue, marker_size: int = MARKER_SIZE
) -> Merged:
    """Merge two changes of one file; ``base`` is empty where both added it.

    Raises NotMerged where one of the three is no valid formula, or the result fails its check.
    """
    if theirs in (ours, base):
        return Merged(ours, ())
    if ours == base:
        return Merged(theirs, ())
    documents, weighed = zip(
        *(_weighed(content, catalogue) for content in (base, ours, theirs)), strict=True
    )
    datas = [document.data if document else {} for document in documents]
    texts = [text_of(content) for content in (base, ours, theirs)]
    ratios = ratios_of(weighed, catalogue)
    about = contradictions(texts, weighed, catalogue, ratios)
    scaled = scaled_apart(weighed, catalogue, ratios)
    # line endings as they are, so that places in the file are places in its text
    roots = [
        document.root if document and text.encode() == content else None
        for document, text, content in zip(documents, texts, (base, ours, theirs), strict=True)
    ]
    try:
        sides = [file_apart(text, root) for text, root in zip(texts, roots, strict=True)]
        chunks = joined(_Merging(catalogue, ratios, about, scaled).file(sides, datas))
    except NotApart:
        raise NotMerged("its lines cannot be told apart") from None
    picks = ["\n".join(chosen(chunks, side)) + "\n" for side in ("ours", "theirs")]
    conflicts = tuple(chunk.about for chunk in chunks if chunk.is_conflict)
    if wrong := what_is_wrong(texts, picks, bool(conflicts), catalogue, datas):
        raise NotMerged(wrong)
    text = "\n".join(marked_lines(chunks, marker_size)) + "\n"
    return Merged(bytes_of(text, like=ours), conflicts)


def _weighed(content: bytes, catalogue: Catalogue) -> tuple[Document, Balance] | tuple[None, None]:
    """A side read and weighed; None for an empty one. Raises NotMerged for what is no formula."""
    if not content:
        return None, None
    try:
        document = document_of(content, "formula")
        return document, balance(formula_of(document, catalogue.said.customs), catalogue)
    except FileProblem as problem:
        raise NotMerged(str(problem)) from None


class _Merging(NamedTuple):
    """What the pieces of one merge need to know: names, and ratios for what is said of a conflict."""

    catalogue: Catalogue
    ratios: Ratios
    contradictions: Contradictions
    scaled: str

    def file(self, sides: Sequence[Apart], datas: Sequence[Mapping[str, Any]]) -> list[Chunk]:
        """The whole file by the fields of its sides; ``datas`` is what these say."""
        fields = arranged(*map(_fields, sides, datas))
        return [
            agreed(_joined(side.opening for side in sides)),
            *self._slots(fields, "", _NO_PARTS),
            agreed(_joined(side.below for side in sides)),
        ]

    def _slots(self, found: Arranged[PassageRead], kind: str, parts: Sequence[str]) -> list[Chunk]:
        """The passages of a mapping or list, one after the other."""
        if kind == "method":
            return self._steps(found.slots)
        replaced = kind == "ingredients" and found.both_replaced
        chunks: list[Chunk] = []
        instead: tuple[list[Chunk], list[Chunk]] = ([], [])
        for slot in found.slots:
            chunks += self._trio(slot.trio, parts) if slot.trio else ()
            for put, trios in zip(instead, (slot.ours, slot.theirs), strict=True):
                added = [chunk for trio in trios for chunk in self._trio(trio, parts)]
                (put if replaced else chunks).extend(added)
        if replaced:
            why = replaced_by_both(found, self.ratios)
            chunks.append(Chunk(chosen(instead[0], "ours"), chosen(instead[1], "theirs"), why))
        return chunks

    def _steps(self, slots: Sequence[Slot[PassageRead]]) -> list[Chunk]:
        """The steps of a method; what is put between two of them has its place."""
        gaps = {gap.first: gap for gap in open_gaps(slots, self.ratios)}
        chunks: list[Chunk] = []
        end = 0
        for at, slot in enumerate(slots):
            is_closed = at >= end
            if slot.trio and is_closed:
                chunks += self._trio(slot.trio, _NO_PARTS)
            if gap := gaps.get(at):
                ours, theirs = (lines_in(gap, slots, side) for side in ("ours", "theirs"))
                chunks.append(Chunk(ours, theirs, gap.about))
                end = gap.end
            elif is_closed:
                chunks += self._added_steps(slot)
        return chunks

    def _added_steps(self, slot: Slot[PassageRead]) -> list[Chunk]:
        ours, theirs = (
            [chunk for trio in trios for chunk in self._trio(trio, _NO_PARTS)]
            for trios in (slot.ours, slot.theirs)
        )
        if slot.certain:
            return ours + theirs
        why = SAME_PLACE if ours and theirs else MOVED_AROUND
        return [Chunk(chosen(ours, "ours"), chosen(theirs, "theirs"), why)]

    def _trio(self, trio: Trio[PassageRead], parts: Sequence[str]) -> list[Chunk]:
        """One passage as the two sides made it."""
        if not (trio.ours and trio.theirs):
            return self._lone(trio)
        base, ours, theirs = (item.value.passage if item else None for item in trio)
        assert ours and theirs
        lead = _joined(passage.lead if passage else () for passage in (base, ours, theirs))
        return [agreed(lead), *self._body(trio, parts)]

    def _lone(self, trio: Trio[PassageRead]) -> list[Chunk]:
        """A passage that at most one side has: added by it, or removed by the other."""
        if not (trio.ours or trio.theirs):
            return []
        there = trio.there.value.passage
        about = self._contradicted(trio)
        if not about:
            if trio.base is None:
                return [agreed(there.lines)]
            if is_untouched(trio.base.value.passage, there):
                return []
            about = about_removed(trio, self.ratios)
        return [Chunk(there.lines, (), about) if trio.ours else Chunk((), there.lines, about)]

    def _contradicted(self, trio: Trio[PassageRead]) -> str:
        """What is said of a line, or of a part with lines, that the other side contradicts elsewhere."""
        there = trio.there.value
        if there.place:
            return self.contradictions.about.get(there.place, "")
        if isinstance(there.data, dict) and "ingredients" in there.data:
            return self.contradictions.in_part(1 if trio.ours else 2, there.data["part"])
        return ""

    def _is_open(self, trio: Trio[PassageRead], parts: Sequence[str]) -> bool:
        """Whether lines in it are contradicted elsewhere, so that it is no matter of this passage alone."""
        data = trio.there.value.data
        if data is None and trio.there.value.passage.key == "ingredients":
            return self.contradictions.touches(parts)
        if isinstance(data, dict) and "ingredients" in data:
            return self.contradictions.touches(_part_names(trio))
        return False

    def _body(self, trio: Trio[PassageRead], parts: Sequence[str]) -> list[Chunk]:
        base, ours, theirs = (item.value.passage if item else None for item in trio)
        assert ours and theirs
        if self.scaled and ours.key == "parts" and trio.there.value.data is None:
            return [Chunk(ours.body, theirs.body, self.scaled)]
        if not self._is_open(trio, parts):
            if same_text(ours, theirs) or (base and same_text(theirs, base)):
                return [agreed(ours.body)]
            if base and (same_text(ours, base) or same_but_form(ours.text, base.text)):
                return [agreed(theirs.body)]
            if same_but_form(theirs.text, (base or ours).text):
                return [agreed(ours.body)]
        if ours.key in _LISTS:
            return self._list(trio, parts)
        if isinstance(trio.there.value.data, dict) and "ingredients" in trio.there.value.data:
            return self._part(trio)
        return [self._leaf(trio, parts)]

    def _list(self, trio: Trio[PassageRead], parts: Sequence[str]) -> list[Chunk]:
        """Parts, lines, steps, waivers or corrections."""
        assert trio.ours and trio.theirs
        kind = trio.ours.value.passage.key
        sides = [list_apart(item.value.passage) if item else _NONE for item in trio]
        column = next((side.column for side in sides[1:] if side.passages), sides[1].column)
        sides = [_moved(side, column) for side in sides]
        held = [item.value.held if item else () for item in trio]
        items = [self._items(side, kind, at, parts[at], held[at]) for at, side in enumerate(sides)]
        found = arranged(*items, likeness=_LIKENESS.get(kind), in_order=kind == "method")
        if found.clash and kind == "method":
            return [Chunk(trio.ours.value.passage.body, trio.theirs.value.passage.body, ORDER)]
        inner = self._slots(found, kind, parts)
        if kind == "ingredients" and not all(_filled(inner)):
            return [
                Chunk(trio.ours.value.passage.body, trio.theirs.value.passage.body, NOTHING_LEFT)
            ]
        inner.append(agreed(_joined(side.below for side in sides)))
        return _in_list(_opened(*(side.opening for side in sides)), inner)

    def _items(
        self, apart: Apart, kind: str, side: int, part: str, held: Sequence[Any]
    ) -> list[Item[PassageRead]]:
        """The passages of a list by their names; ``held`` is what they say."""
        items = []
        for at, (passage, data) in enumerate(zip(apart.passages, held, strict=True)):
            place = Place(side, fold(part), at) if kind == "ingredients" else None
            text = json.dumps(data, sort_keys=True, ensure_ascii=False)
            items.append(Item(PassageRead(passage, data, place), self._name(data), text))
        return items

    def _name(self, data: dict[str, Any]) -> tuple[str, ...]:
        """What is the same passage on both sides: by main name, by verb and uses, by rule."""
        if "item" in data and "amount" in data:
            known = self.catalogue.find(data["item"])
            return ("item", fold(known.name if known else data["item"]))
        if "do" in data:
            return ("step", fold(data["do"]), fold(data.get("makes", "")), *sorted(_uses(data)))
        if "rule" in data:
            return ("waiver", data["rule"], fold(data.get("item", "")))
        if "part" not in data:
            return ("correction", fold(data.get("item", "")), " ".join(data["because"].split()))
        return ("part", fold(data["part"]))

    def _part(self, trio: Trio[PassageRead]) -> list[Chunk]:
        """The fields of a part of which both sides changed something."""
        assert trio.ours
        sides = [item_apart(item.value.passage) if item else _NONE for item in trio]
        sides = [_moved(side, sides[1].column) for side in sides]
        datas = [item.value.data if item else {} for item in trio]
        chunks = self._slots(arranged(*map(_fields, sides, datas)), "", _part_names(trio))
        chunks.append(agreed(_joined(side.below for side in sides)))
        opening = _joined(side.opening for side in sides)
        return dashed(opening, chunks, trio.ours.value.passage.column)

    def _leaf(self, trio: Trio[PassageRead], parts: Sequence[str]) -> Chunk:
        """A line, a step, a waiver or a simple field that both sides changed."""
        from perflour.merge.entries import means, merged_text  # takes long to load

        base, ours, theirs = (item.value.passage if item else None for item in trio)
        assert ours and theirs
        was = base.text if base else ""
        texts = merged_text(was, ours.text, theirs.text), merged_text(was, theirs.text, ours.text)
        mine, other = (shifted(text.removesuffix("\n").split("\n"), ours.column) for text in texts)
        if means(texts[0]) == means(texts[1]):
            return agreed(mine)
        return Chunk(mine, other, about_both(trio, _differing(*texts), parts, self.ratios))


def _fields(apart: Apart, data: Mapping[str, Any]) -> list[Item[PassageRead]]:
    """The fields of a mapping by their keys."""
    return [
        Item(PassageRead(passage, None, held=data[passage.key]), passage.key, passage.text)
        for passage in apart.passages
    ]


def _moved(apart: Apart, column: int) -> Apart:
    """Units and comments of a list or mapping at another column; what opens it stays."""
    passages = tuple(at_column(passage, column) for passage in apart.passages)
    return Apart(apart.opening, passages, shifted(apart.below, column - apart.column), column)


def _joined(sides: Iterable[Lines]) -> Lines:
    """The comments of base, ours and theirs as one."""
    base, ours, theirs = sides
    return merged_comments(base, ours, theirs)


def _opened(base: Lines, ours: Lines, theirs: Lines) -> Lines:
    """The line that opens a list, `parts:`, with the comments that both sides put beside it."""
    if theirs in (base, ours):
        return ours
    if ours == base:
        return theirs
    known = " ".join((*base, *ours))
    new = (f"#{line.partition('#')[2]}" for line in theirs if "#" in line)
    indent = ours[-1][: len(ours[-1]) - len(ours[-1].lstrip())]
    return (*(f"{indent}{comment}" for comment in new if comment not in known), *ours)


def _in_list(opening: Lines, inner: Sequence[Chunk]) -> list[Chunk]:
    """A list with the line that opens it; an empty one says so."""
    filled = _filled(inner)
    if all(filled):
        return [agreed(opening), *inner]
    ours, theirs = (
        (opening if full else with_empty_list(opening)) + chosen(inner, side)
        for full, side in zip(filled, ("ours", "theirs"), strict=True)
    )
    return [Chunk(ours, theirs, as_conflict(inner).about)]


def _filled(inner: Sequence[Chunk]) -> list[bool]:
    """Whether either way to settle the conflicts leaves something."""
    return [any(map(is_content, chosen(inner, side))) for side in ("ours", "theirs")]


def _part_names(trio: Trio[PassageRead]) -> list[str]:
    """The name of a part in base, ours and theirs."""
    return [item.value.data["part"] if item else "" for item in trio]


def _differing(ours: str, theirs: str) -> list[str]:
    """The fields in which two texts of a passage differ."""
    one, other = (read_document(text.encode(), "unit").data for text in (ours, theirs))
    if isinstance(one, list):
        one, other = one[0], other[0]
    keys = dict.fromkeys((*one, *other))
    return [key for key in keys if one.get(key) != other.get(key)]


def _uses(step: dict[str, Any]) -> set[str]:
    return {named_use(name) for name in step.get("uses", ())}


def _alike_steps(one: Item[PassageRead], other: Item[PassageRead]) -> float:
    """Half for the verb, half for what is used."""
    data, others = one.value.data, other.value.data
    same_verb = fold(data["do"]) == fold(others["do"])
    return 0.5 * same_verb + 0.5 * overlap(_uses(data), _uses(others))


def _alike_parts(one: Item[PassageRead], other: Item[PassageRead]) -> float:
    """By their ingredients: a part may have got another name."""
    names = (
        {fold(line.get("item", "")) for line in item.value.data["ingredients"]}
        for item in (one, other)
    )
    return overlap(*names)


_LIKENESS: dict[str, Likeness[PassageRead]] = {"method": _alike_steps, "parts": _alike_parts}
