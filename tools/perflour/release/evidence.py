"""Records between two commits: test bakes, tastings, prices, house files and known results, and who changed them.

Records are evidence. What one says may only change with the reason in the record itself (`amended`); what an
approval rests on may not go.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import PurePosixPath
from typing import Any, NamedTuple

from perflour.documents.reader import data_of
from perflour.records.changed import (
    NAMES_REVISIONS,
    NO_EVIDENCE,
    in_words,
    means_of,
    reasons_added,
    said_otherwise,
    with_digests_of_today,
)
from perflour.system.file_kinds import kind_of
from perflour.system.paths import BAKES, SESSIONS

#: Kinds of records as a report calls them.
KINDS = {"bake": "test bake", "session": "tasting", "trial": "planned trial", "prices": "prices", "house": "house", "catalogue": "ingredients"}  # fmt: skip
BASELINE = "known results"


class RecordChange(NamedTuple):
    """One record that differs: ``how`` is added, changed, deleted or moved, ``by`` the authors on the branch.

    ``told`` says what is different, ``formulas`` which it speaks of; ``is_evidence`` whether what it says
    changed, ``is_of_others`` whether it names other revisions, ``amended`` whether it says why; ``rests`` whether
    an approved formula rests on it, ``verdict`` what it said before or says now.
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
    is_of_others: bool = False

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
    today: Mapping[str, str],
) -> Iterator[RecordChange]:
    """The records among the files that differ, and who changed each.

    ``resting`` has the digests that approvals rest on, by formula id; ``today`` those of today by what they were
    when digests were reckoned otherwise, so that a record that is renewed says the same.
    """
    for sides in files:
        by = authors.get(sides.path) or authors.get(sides.was) or ()
        if sides.path.endswith(".json"):
            before, after = (_json(content) for content in (sides.before, sides.after))
            if any(isinstance(data, dict) and "known" in data for data in (before, after)):
                yield _baseline(sides, by, before, after)
        elif kind := _kind(sides):
            yield _record(sides, kind, by, resting, today)


def _kind(sides: Sides) -> str:
    path = PurePosixPath(sides.path)
    kind = kind_of(sides.path)
    is_formula_folder = path.parent.name not in (BAKES, SESSIONS)
    if path.suffix != ".yaml" or (kind == "formula" and is_formula_folder):
        return ""
    return KINDS.get(kind, "")


def _json(content: bytes | None) -> Any:
    try:
        return json.loads(content or b"null")
    except ValueError:
        return None


def _how(sides: Sides) -> str:
    if sides.before is None or sides.after is None:
        return "added" if sides.before is None else "deleted"
    return "moved" if sides.was and sides.was != sides.path else "changed"


def _baseline(sides: Sides, by: tuple[str, ...], before: Any, after: Any) -> RecordChange:
    was, now = _count(before), _count(after)
    told = f"{was} -> {now} known results"
    return RecordChange(sides.path, BASELINE, _how(sides), by, told, is_evidence=now > was)


def _record(
    sides: Sides,
    kind: str,
    by: tuple[str, ...],
    resting: Mapping[str, set[str]],
    today: Mapping[str, str],
) -> RecordChange:
    how = _how(sides)
    change = RecordChange(sides.path, kind, how, by)
    if not change.is_record and kind != KINDS["trial"]:
        return change
    before, after = (_data(content, today) for content in (sides.before, sides.after))
    if not change.is_record:
        return change._replace(told=_trial_said(before, after))
    data = after or before
    old = data if how == "added" else before
    formulas, marks = _subjects(old, sides.path)
    left_out = (*NO_EVIDENCE, *(("formula",) if how == "moved" else ()))
    differences = list(said_otherwise(before, after, left_out)) if before and after else []
    told = in_words(differences) if how in ("changed", "moved") else _in_short(data)
    is_lost = bool(before) and not after and how != "deleted"
    return change._replace(
        told="cannot be read any more" if is_lost else told,
        formulas=formulas,
        of=marks,
        is_evidence=is_lost or any(not one.is_more for one in differences),
        is_of_others=any(one.key in NAMES_REVISIONS and not one.is_more for one in differences),
        amended=reasons_added(before, after),
        rests=old.get("verdict") == "keep"
        or any(mark in resting.get(name, ()) for name in formulas for mark in marks),
        verdict=str(data.get("verdict", "")),
        date=str(data.get("date", "")),
    )


def _trial_said(before: Mapping[str, Any], after: Mapping[str, Any]) -> str:
    """What became of a planned trial, else what it is to bake."""
    data = after or before
    if before and after:
        return in_words(list(said_otherwise(before, after)))
    bakes = len(data.get("bakes", ()))
    said = [f"{bakes} bake{'s'[: bakes != 1]} of variants of {data.get('formula', '')}"]
    return "; ".join([*said, *(str(data[key]) for key in ("question", "decided") if key in data)])


def _data(content: bytes | None, today: Mapping[str, str]) -> dict[str, Any]:
    """What a record says, {} where it is not there or cannot be read."""
    data = data_of(None if content is None else with_digests_of_today(content, today))
    return data if isinstance(data, dict) else {}


def _subjects(data: Mapping[str, Any], path: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The formulas that a record speaks of or lies beside, and the digests."""
    rows = [data, *(row for row in data.get("samples", ()) if isinstance(row, dict))]
    said = [str(row["formula"]) for row in rows if "formula" in row]
    folder = PurePosixPath(path).parent
    beside = [folder.parent.name] if folder.name == BAKES else []
    return tuple(dict.fromkeys((*said, *beside))), tuple(
        dict.fromkeys(str(row["of"]) for row in rows if "of" in row)
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
