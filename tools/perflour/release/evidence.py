"""Records between two commits: test bakes, tastings, prices, house files and known results, and who changed them.

Records are evidence. What one says may only change with the reason in the record itself (`amended`); what an
approval rests on may not go.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import PurePosixPath
from typing import Any, NamedTuple

from perflour.documents.reader import read_document
from perflour.records.changed import NO_EVIDENCE, Otherwise, means_of, reasons_added, said_otherwise
from perflour.result import FileProblem
from perflour.system.file_kinds import kind_of
from perflour.system.paths import BAKES, SESSIONS

#: Kinds of records as a report calls them.
KINDS = {"bake": "test bake", "session": "tasting", "prices": "prices", "house": "house", "catalogue": "ingredients"}  # fmt: skip
BASELINE = "known results"
#: More differences of one record are counted.
MOST_TOLD = 4


class RecordChange(NamedTuple):
    """One record that differs: ``how`` is added, changed, deleted or moved, ``by`` the authors on the branch.

    ``told`` says what is different, ``formulas`` which it speaks of; ``is_evidence`` whether what it says
    changed, ``amended`` whether it says why; ``rests`` whether an approved formula rests on it, ``verdict``
    what it said before or says now.
    """

    path: str
    kind: str
    how: str
    by: tuple[str, ...]
    told: str = ""
    formulas: tuple[str, ...] = ()
    of: tuple[str, ...] = ()
    is_evidence: bool = False
    amended: str = ""
    rests: bool = False
    verdict: str = ""
    date: str = ""
    is_backdated: bool = False

    @property
    def is_renamed(self) -> bool:
        """Whether it calls its revision otherwise, which may be the same one."""
        return self.is_evidence and self.how == "changed" and self.told.startswith("of ")

    @property
    def is_record(self) -> bool:
        """Whether it is a test bake or a tasting."""
        return self.kind in (KINDS["bake"], KINDS["session"])


class Sides(NamedTuple):
    """A file on both sides; None where it is not there."""

    path: str
    before: bytes | None
    after: bytes | None
    was: str = ""


def record_changes(
    files: Iterable[Sides],
    authors: Mapping[str, tuple[str, ...]],
    resting: Mapping[str, set[str]],
    same: Iterable[frozenset[str]] = (),
) -> Iterator[RecordChange]:
    """The records among the files that differ, and who changed each.

    ``resting`` has the digests that approvals rest on, by formula id; ``same`` those that call one revision.
    """
    known = tuple(same)
    for sides in files:
        if kind := _kind(sides):
            by = authors.get(sides.path) or authors.get(sides.was) or ()
            yield _record(sides, kind, by, resting, known)


def _kind(sides: Sides) -> str:
    path = PurePosixPath(sides.path)
    if path.suffix == ".json" and _is_baseline(sides):
        return BASELINE
    kind = kind_of(sides.path)
    is_formula_folder = path.parent.name not in (BAKES, SESSIONS)
    if path.suffix != ".yaml" or (kind == "formula" and is_formula_folder):
        return ""
    return KINDS.get(kind, "")


def _is_baseline(sides: Sides) -> bool:
    return any(isinstance(_json(content), dict) and "known" in _json(content) for content in (sides.before, sides.after))  # fmt: skip


def _json(content: bytes | None) -> Any:
    try:
        return json.loads(content or b"null")
    except ValueError:
        return None


def _record(
    sides: Sides,
    kind: str,
    by: tuple[str, ...],
    resting: Mapping[str, set[str]],
    same: tuple[frozenset[str], ...],
) -> RecordChange:
    before, after = _data(sides.before, kind), _data(sides.after, kind)
    how = "added" if before is None else "deleted" if after is None else "changed"
    if how == "changed" and sides.was and sides.was != sides.path:
        how = "moved"
    change = RecordChange(sides.path, kind, how, by)
    if kind == BASELINE:
        return change._replace(told=_known_results(before, after), is_evidence=_count(after) > _count(before))  # fmt: skip
    if not change.is_record:
        return change
    data: dict[str, Any] = next(
        (side for side in (after, before) if isinstance(side, dict) and side), {}
    )
    old: dict[str, Any] = before if isinstance(before, dict) else data
    formulas, marks = _subjects(old, sides.path)
    left_out = (*NO_EVIDENCE, *(("formula",) if how == "moved" else ()))
    left_out += ("of",) if before and after and _renewed(before, after, same) else ()
    differences = list(said_otherwise(before, after, left_out)) if before and after else []
    if before and after == {}:
        differences = [Otherwise("cannot be read any more")]
    return change._replace(
        told=_told(differences) if how in ("changed", "moved") else _in_short(data),
        formulas=formulas,
        of=marks,
        is_evidence=any(not one.is_more for one in differences),
        amended=reasons_added(before or {}, after or {}),
        rests=old.get("verdict") == "keep"
        or any(mark in resting.get(name, ()) for name in formulas for mark in marks),
        verdict=str(data.get("verdict", "")),
        date=str(data.get("date", "")),
    )


def _data(content: bytes | None, kind: str) -> Any:
    """The data of a file, {} where it cannot be read; None where it is not there."""
    if content is None:
        return None
    if kind == BASELINE:
        return _json(content)
    try:
        return read_document(content, "").data or {}
    except FileProblem:
        return {}


def _subjects(data: Mapping[str, Any], path: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The formulas that a record speaks of or lies beside, and the digests."""
    rows = [data, *(row for row in data.get("samples", ()) if isinstance(row, dict))]
    said = [str(row["formula"]) for row in rows if "formula" in row]
    folder = PurePosixPath(path).parent
    beside = [folder.parent.name] if folder.name == BAKES else []
    return tuple(dict.fromkeys((*said, *beside))), tuple(
        dict.fromkeys(str(row["of"]) for row in rows if "of" in row)
    )


def _renewed(
    before: Mapping[str, Any], after: Mapping[str, Any], same: Iterable[frozenset[str]]
) -> bool:
    """Whether a record calls its revision by another digest of the same revision: `bake check --renew`."""
    return any({before.get("of"), after.get("of")} <= marks for marks in same)


def _told(differences: Sequence[Otherwise]) -> str:
    more = len(differences) - MOST_TOLD
    return "; ".join(one.text for one in differences[:MOST_TOLD]) + (
        f"; {more} more" if more > 0 else ""
    )


def _in_short(data: Mapping[str, Any]) -> str:
    """What a record that came or went says: its verdict and the means of its scores."""
    said = [str(data["verdict"])] if "verdict" in data else []
    if str(data.get("decided", "")):
        said.append(str(data["decided"]))
    with suppress(KeyError, TypeError, ValueError):
        said += [f"{name} {mean:.1f}" for name, mean in means_of(data).items()]
    return ", ".join(said)


def _count(data: Any) -> int:
    rows = data.get("known", ()) if isinstance(data, dict) else ()
    return sum(int(row.get("count", 1)) for row in rows if isinstance(row, dict))


def _known_results(before: Any, after: Any) -> str:
    return f"{_count(before)} -> {_count(after)} known results"
