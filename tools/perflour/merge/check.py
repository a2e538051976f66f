"""Whether a merged file holds what it must, worked out anew from the four texts.

It knows nothing of how the merge went. Every fact (a field of a line, of a step, of the file; a line or step
as a whole; a comment) is counted in all texts: what base and both sides have must be there, what a side
added must be there. Lines that stand once in their part are compared field by field.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

from perflour.documents.nodes import comments_of
from perflour.documents.reader import read_document
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.names import fold
from perflour.result import FileProblem

Fact = tuple[str, ...]
LineKey = tuple[str, str]
_WHOLE, _COMMENT = "whole", "comment"


def what_is_wrong(
    texts: Sequence[str], picks: Sequence[str], has_conflicts: bool, catalogue: Catalogue
) -> str:
    """Why a merge must not be used; empty where it may. ``picks``: all conflicts settled one way."""
    try:
        merged = [_data(pick) for pick in picks]
        if not has_conflicts:
            read_formula(picks[0].encode(), "merged", catalogue.said.customs)
    except FileProblem as problem:
        return f"the merged text cannot be read ({problem})"
    if not has_conflicts and picks[0] != picks[1]:
        return "the sides differ where nothing is in conflict"
    sides = [_data(text) for text in texts]
    counts, found = (
        [Counter(facts(data, text, catalogue)) for data, text in zip(of, written, strict=True)]
        for of, written in ((sides, texts), (merged, picks))
    )
    if lost := _lost(counts, found):
        return f"'{lost}' would be lost"
    if not has_conflicts:
        return _wrong_line([_lines(data, catalogue) for data in (*sides, merged[0])])
    return ""


def _data(text: str) -> dict[str, Any]:
    return dict(read_document(text.encode(), "merged").data) if text.strip() else {}


def facts(data: dict[str, Any], text: str, catalogue: Catalogue) -> Iterator[Fact]:
    """All that a file says, one field at a time, and its comments."""
    for key, value in data.items():
        if key not in ("parts", "method", "waivers", "corrections"):
            yield from _facts(key, {key: value})
    for part in data.get("parts") or ():
        yield from _facts("part", {k: v for k, v in part.items() if k != "ingredients"})
        for line in part.get("ingredients") or ():
            yield from _facts(f"line {_name(line, catalogue)}", line)
            yield (_WHOLE, _said(line))
    for key in ("method", "waivers", "corrections"):
        for entry in data.get(key) or ():
            yield from _facts(key, entry)
            yield (_WHOLE, _said(entry))
    for comment in comments_of(text) if text.strip() else ():
        yield (_COMMENT, comment)


def _facts(of: str, entry: dict[str, Any]) -> Iterator[Fact]:
    for key, value in entry.items():
        if isinstance(value, dict):
            yield from _facts(f"{of} {key}", value)
        else:
            for word in value if isinstance(value, list) else [value]:
                yield (of, key, _said(word))


def _said(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True)


def _name(line: dict[str, str], catalogue: Catalogue) -> str:
    """What a line is of, by main name."""
    known = catalogue.find(line["item"]) if "item" in line else None
    return fold(known.name if known else line.get("item") or line["part"])


def _lost(counts: Sequence[Counter[Fact]], found: Sequence[Counter[Fact]]) -> str:
    """A fact that the file does not hold as often as it must, conflicts with both their sides."""
    base, ours, theirs = counts
    held = found[0] + found[1] if found[0] != found[1] else found[0]
    for fact in ours | theirs:
        if held[fact] < _needed(fact[0], base[fact], ours[fact], theirs[fact]):
            return " ".join(fact[1:])
    return ""


def _needed(of: str, base: int, ours: int, theirs: int) -> int:
    """How often the merged file must hold what the three hold so often.

    What both sides left is ``ours + theirs - base``, if they added nothing. Of a comment they need not have
    added the same. Of a line or step that was changed the merge may hold another whole, so only what
    stood there counts. One field may have got one value on both sides, which is then there once, and the
    same value may be gone elsewhere: this is the least that is left in the worst case.
    """
    both = ours + theirs - base
    if of == _COMMENT:
        return min(both, max(ours, theirs))
    if of == _WHOLE:
        return min(base, ours, theirs, both)
    return max((both + 1) // 2, ours - base, theirs - base)


def _lines(data: dict[str, Any], catalogue: Catalogue) -> dict[LineKey, list[dict[str, str]]]:
    """The ingredient lines by part and main name."""
    found: dict[LineKey, list[dict[str, str]]] = {}
    for part in data.get("parts") or ():
        for line in part["ingredients"]:
            key = fold(part["part"]), _name(line, catalogue)
            found.setdefault(key, []).append(line)
    return found


def _wrong_line(sides: Sequence[dict[LineKey, list[dict[str, str]]]]) -> str:
    """A line that is not the base's with what each side made of it."""
    named = [{part for part, _ in side} for side in sides]
    for key in dict.fromkeys(key for side in sides for key in side):
        lines = [side.get(key, []) for side in sides]
        alone = all(len(found) <= 1 for found in lines)
        if alone and all(key[0] in parts for parts in named):  # else renamed: nothing to compare by
            base, ours, theirs, merged = (found[0] if found else {} for found in lines)
            for field in {**base, **ours, **theirs, **merged}:
                was, here, there, now = (line.get(field) for line in (base, ours, theirs, merged))
                wanted = there if here == was else here
                if now != wanted:
                    return f"{field} of {key[1]} would be {now or 'gone'}, not {wanted or 'gone'}"
    return ""
