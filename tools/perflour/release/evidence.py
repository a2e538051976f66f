"""Records between two commits: test bakes, tastings, prices, house files and known results, and who changed them.

Records are evidence. What one says may only change with the reason in the record itself (`amended`); what an
approval rests on may not go.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import PurePosixPath

from perflour.documents.reader import data_of
from perflour.formula.digests import digest
from perflour.formula.file import read_or_tell
from perflour.formula.formula import Formula
from perflour.history.trials import TrialTold
from perflour.records.changed import (
    NAMES_REVISIONS,
    NO_EVIDENCE,
    digests_named,
    in_words,
    means_of,
    reasons_added,
    said_otherwise,
    with_digests_of_today,
)
from perflour.system.file_kinds import kind_of
from perflour.system.paths import BAKES, SESSIONS, TRIALS, under
from perflour.tuples import NamedTuple
from perflour.typed import Any

#: Kinds of records as a report calls them.
KINDS = {"bake": "test bake", "session": "tasting", "trial": "planned trial", "variant": "variant of a trial", "prices": "prices", "house": "house", "catalogue": "ingredients"}  # fmt: skip
BASELINE = "known results"
#: What of a trial may be put otherwise once it led to something.
WORDS_OF_TRIAL = ("question", "notes", "decided")


class RecordChange(NamedTuple):
    """One record that differs: ``how`` is added, changed, deleted or moved, ``by`` the authors on the branch.

    ``told`` says what is different, ``formulas`` which it speaks of; ``is_evidence`` whether what it says
    changed, ``is_of_others`` whether it names other revisions, ``amended`` whether it says why; ``rests`` whether
    an approved formula rests on it, ``verdict`` what it said before or says now. Of a trial and its variants, ``rests``
    is whether it led to something, and ``is_evidence`` whether something was baked of what is not there as planned any
    more; ``led_to`` is the revision that it newly says it led to, ``leads_nowhere`` whether there is none. ``is_of_led``
    is whether it lies beside the variant of a trial that led to something.
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
    led_to: str = ""
    leads_nowhere: bool = False
    is_of_led: bool = False

    @property
    def is_of_trial(self) -> bool:
        """Whether it is the record of a trial or a variant."""
        return self.kind in (KINDS["trial"], KINDS["variant"])

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
    trials: Sequence[TrialTold] = (),
) -> Iterator[RecordChange]:
    """The records among the files that differ, and who changed each; ``trials`` are those of the start.

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
            trial = next((t for t in trials if under(sides.was or sides.path, (os.path.dirname(t.path),))), None)  # fmt: skip
            if kind in (KINDS["trial"], KINDS["variant"]):
                yield _of_trial(sides, kind, by, today, trial)
            else:
                is_of_led = bool(trial and trial.trial.led_to)
                yield _record(sides, kind, by, resting, today)._replace(is_of_led=is_of_led)


def name_only(known: frozenset[str], files: Iterable[Sides]) -> bool:
    """Whether the records among the files that differ surely name no other digests than those known."""
    contents = [
        one for sides in files if _kind(sides) for one in (sides.before, sides.after) if one
    ]
    return all(b"\\" not in one and known.issuperset(digests_named(one)) for one in contents)


def _kind(sides: Sides) -> str:
    *folders, name = sides.path.split("/")
    kind = kind_of(sides.path)
    if kind == "formula" and folders[-3:-2] == [TRIALS]:
        return KINDS["variant"]
    is_formula_folder = folders[-1:] not in ([BAKES], [SESSIONS])
    if os.path.splitext(name)[1] != ".yaml" or (kind == "formula" and is_formula_folder):
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
    if not change.is_record:
        return change
    before, after = (_data(content, today) for content in (sides.before, sides.after))
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


def _of_trial(
    sides: Sides, kind: str, by: tuple[str, ...], today: Mapping[str, str], trial: TrialTold | None
) -> RecordChange:
    """A record of a trial, or a variant: ``trial`` is what the start knows of it."""
    change = RecordChange(
        sides.path, kind, _how(sides), by, rests=bool(trial and trial.trial.led_to)
    )
    if kind == KINDS["variant"]:
        return _variant(sides, change, trial)
    before, after = (_data(content, today) for content in (sides.before, sides.after))
    otherwise = [one for one in said_otherwise(before, after, WORDS_OF_TRIAL) if not one.is_more]
    led_to = str(after.get("led-to", ""))
    return change._replace(
        told="cannot be read any more" if before and not after and sides.after is not None else _trial_said(before, after),
        formulas=tuple(dict.fromkeys(str(data["formula"]) for data in (before, after) if "formula" in data)),
        of=tuple(str(data[key]) for data in (after or before,) for key in ("of", "led-to") if key in data),
        is_evidence=bool(trial and (trial.trial.led_to or trial.baked) and otherwise),
        led_to=led_to if led_to != str(before.get("led-to", "")) else "",
    )  # fmt: skip


def _variant(sides: Sides, change: RecordChange, trial: TrialTold | None) -> RecordChange:
    """The formula file of a variant, which counts by its digest: words beside it may be mended."""
    was, now = (_digest(content, sides.path) for content in (sides.before, sides.after))
    name = PurePosixPath(sides.was or sides.path).parent.name
    letters = (
        {bake.letter for bake in trial.trial.bakes if bake.formula == name} if trial else set()
    )
    is_baked = bool(trial and (trial.trial.led_to or letters & set(trial.baked)))
    told = f"revision {was} -> {now}" if sides.before is not None and sides.after is not None else f"revision {was or now}"  # fmt: skip
    if was == now and change.how == "changed":
        told = f"revision {now}, only words changed"
    return change._replace(
        told=told, of=tuple(filter(None, dict.fromkeys((was, now)))), is_evidence=bool(letters) and is_baked and (was != now or change.how == "moved")
    )  # fmt: skip


def _digest(content: bytes | None, path: str) -> str:
    """The digest of a formula's file, empty where it is not there."""
    if content is None:
        return ""
    formula = read_or_tell(content, path)
    return digest(formula) if isinstance(formula, Formula) else "that cannot be read"


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
    above, folder, _ = ("", "", *path.split("/"))[-3:]
    beside = [above] if folder == BAKES else []
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
