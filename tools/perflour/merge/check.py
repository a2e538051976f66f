"""Whether a merged file holds what it must, worked out anew from the four texts.

It knows nothing of how the merge went. Every fact (a field of a line, of a step, of the file; a line or step
as a whole; a comment) is counted in all texts: what base and both sides have must be there, what a side
added must be there. Lines that stand once in their part are compared field by field.
"""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain
from typing import Any

from perflour.documents.comments import comments_of
from perflour.documents.reader import read_document
from perflour.formula.file import document_of, formula_of
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.names import fold
from perflour.result import FileProblem
from perflour.tuples import NamedTuple

Fact = tuple[str, ...]
LineKey = tuple[str, str]
Lines = dict[LineKey, list[dict[str, str]]]
_WHOLE, _COMMENT = "whole", "comment"


class _Unit(NamedTuple):
    """A line, a step or another entry, by what it is; ``whole`` where it counts as a whole too."""

    of: str
    said: dict[str, Any]
    whole: bool = False


def what_is_wrong(
    texts: Sequence[str],
    picks: Sequence[str],
    has_conflicts: bool,
    catalogue: Catalogue,
    sides: Sequence[dict[str, Any]] = (),
) -> str:
    """Why a merge must not be used; empty where it may. ``picks``: all conflicts settled one way.

    ``sides`` is what the texts say, where they were read already. The merged text is always read again, whole.
    What stands alike in all texts says nothing, so the facts of all are counted only where those of the rest
    leave a doubt: see ``_holds``.
    """
    try:
        merged = _read_again(picks, has_conflicts, catalogue)
    except FileProblem as problem:
        return f"the merged text cannot be read ({problem})"
    if not has_conflicts and picks[0] != picks[1]:
        return "the sides differ where nothing is in conflict"
    sides = sides or [_data(text) for text in texts]
    comments = [_comments(text) for text in (*texts, *picks)]
    if _holds(sides, merged, comments, has_conflicts, catalogue):
        return ""
    counts = [
        Counter(chain(facts(data, catalogue), said.elements()))
        for data, said in zip((*sides, *merged), comments, strict=True)
    ]
    if lost := _lost(counts[:3], counts[3:]):
        return f"'{lost}' would be lost"
    if not has_conflicts:
        lines = [_lines(data, catalogue) for data in (*sides, merged[0])]
        return _wrong_line(lines, [{part for part, _ in side} for side in lines])
    return ""


def _read_again(
    picks: Sequence[str], has_conflicts: bool, catalogue: Catalogue
) -> list[dict[str, Any]]:
    """What the merged texts say; one without conflicts must be a formula. Raises FileProblem."""
    if has_conflicts:
        return [_data(pick) for pick in picks]
    others = [_data(pick) for pick in picks[1:] if pick != picks[0]]
    document = document_of(picks[0].encode(), "merged")
    formula_of(document, catalogue.said.customs)
    return [document.data, *(others or [document.data])]


def _data(text: str) -> dict[str, Any]:
    return dict(read_document(text.encode(), "merged").data) if text.strip() else {}


def facts(data: dict[str, Any], catalogue: Catalogue) -> Iterator[Fact]:
    """All that a file says, one field at a time."""
    for unit in _units(data):
        yield from _facts_of(unit, catalogue)


def _units(data: dict[str, Any]) -> Iterator[_Unit]:
    for key, value in data.items():
        if key not in ("parts", "method", "waivers", "corrections"):
            yield _Unit(key, {key: value})
    for part in data.get("parts") or ():
        yield _Unit("part", {k: v for k, v in part.items() if k != "ingredients"})
        for line in part.get("ingredients") or ():
            yield _Unit("line", line, whole=True)
    for key in ("method", "waivers", "corrections"):
        for entry in data.get(key) or ():
            yield _Unit(key, entry, whole=True)


def _facts_of(unit: _Unit, catalogue: Catalogue) -> Iterator[Fact]:
    of = f"line {_name(unit.said, catalogue)}" if unit.of == "line" else unit.of
    yield from _facts(of, unit.said)
    if unit.whole:
        yield (_WHOLE, _said(unit.said))


def _comments(text: str) -> Counter[Fact]:
    return Counter((_COMMENT, comment) for comment in comments_of(text))


def _holds(
    sides: Sequence[dict[str, Any]],
    merged: Sequence[dict[str, Any]],
    comments: Sequence[Counter[Fact]],
    has_conflicts: bool,
    catalogue: Catalogue,
) -> bool:
    """Whether the merge is seen to be right by what the texts do not have in common.

    If it is, it is right with all facts too: one that stands once more in all five texts is needed at the most
    once more (``_needed``) and is there once more. A line in common with others of its name is no
    line alone, so all are passed over; else it is the same in all. The other way round does not hold.
    """
    rests = _beyond_common([list(_units(data)) for data in (*sides, *merged)])
    counts = [
        Counter(
            chain((fact for unit in rest for fact in _facts_of(unit, catalogue)), said.elements())
        )
        for rest, said in zip(rests, comments, strict=True)
    ]
    if _lost(counts[:3], counts[3:]):
        return False
    if has_conflicts:
        return True
    by_part = [_by_part(data) for data in (*sides, merged[0])]
    names = [{name for name, lines in side.items() if lines} for side in by_part]
    apart: list[Lines] = [{}, {}, {}, {}]
    for name in set.intersection(*names):  # in another a line has nothing to be held against
        rests = _beyond_common([side[name] for side in by_part])
        for found, rest in zip(apart, rests, strict=True):
            for unit in rest:
                key = name, _name(unit.said, catalogue)
                found.setdefault(key, []).append(unit.said)
    return not _wrong_line(apart, names)


def _by_part(data: dict[str, Any]) -> dict[str, list[_Unit]]:
    found: dict[str, list[_Unit]] = {}
    for part in data.get("parts") or ():
        found.setdefault(fold(part["part"]), []).extend(
            _Unit("line", line) for line in part["ingredients"]
        )
    return found


def _beyond_common(sides: Sequence[Sequence[_Unit]]) -> list[list[_Unit]]:
    """The units of each side without those that all of them have."""
    keys = [[f"{unit.of} {unit.said!r}" for unit in side] for side in sides]
    counts = map(Counter, keys)
    common = next(counts)
    for count in counts:
        common &= count
    rests = []
    for units, of in zip(sides, keys, strict=True):
        left = common.copy()
        rest = []
        for unit, key in zip(units, of, strict=True):
            if left[key] > 0:
                left[key] -= 1
            else:
                rest.append(unit)
        rests.append(rest)
    return rests


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


def _lines(data: dict[str, Any], catalogue: Catalogue) -> Lines:
    """The ingredient lines by part and main name."""
    found: Lines = {}
    for part in data.get("parts") or ():
        for line in part["ingredients"]:
            key = fold(part["part"]), _name(line, catalogue)
            found.setdefault(key, []).append(line)
    return found


def _wrong_line(sides: Sequence[Lines], named: Sequence[set[str]]) -> str:
    """A line that is not the base's with what each side made of it; ``named``: the parts with lines of each text."""
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
