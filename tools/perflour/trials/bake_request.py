"""A test bake to be recorded: from what somebody says about it to a new file, never over another."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from string import ascii_lowercase
from typing import Any

from perflour.documents.writer import record_text, tidy
from perflour.history.revisions import Revision
from perflour.result import CannotRun
from perflour.system.opening import make_folder
from perflour.system.paths import BAKES, display_path
from perflour.system.writing import write_file, write_new
from perflour.trials.bake_lines import lines_of
from perflour.trials.kept_photos import KeptPhoto, PhotoSaid, kept_photos, write_photos

CONDITIONS = ("flour-lot", "room", "oven", "altitude")
LOWEST, HIGHEST = 1, 9
_NAMED_VALUE = re.compile(r"([^=]+)=(.*)", re.DOTALL)
_SCORE = re.compile(r"(?P<name>.+?)\s*[= ]\s*(?P<value>[0-9]+(?:\.[0-9]+)?)")


@dataclass(frozen=True)
class BakeSaid:
    """What is said of a bake, as words; empty is left out of the record.

    ``measured`` are ``name=reading``, ``scores`` are ``taster: attribute=score, …``.
    """

    baker: str
    verdict: str
    date: str = ""
    batch: str = ""
    conditions: Mapping[str, str] | None = None
    measured: Sequence[str] = ()
    scores: Sequence[str] = ()
    notes: str = ""
    next_try: str = ""
    next_because: str = ""
    photos: Sequence[PhotoSaid] = ()


@dataclass(frozen=True)
class RecordedBake:
    """Where a record was written, and the photos that stand beside it."""

    path: Path
    photos: tuple[KeptPhoto, ...]


def record_bake(revision: Revision, said: BakeSaid) -> RecordedBake:
    """Write the record of a bake of exactly this revision beside its formula, its photos first.

    The first on a day is DATE.yaml, then DATE-b.yaml and so on. Raises CannotRun.
    """
    day = checked_day(said.date)
    folder = revision.path.parent / BAKES
    photos = kept_photos(said.photos, folder, day)
    data = bake_data(revision, said, day, photos)
    text = record_text("bake", data, folder / f"{day}.yaml")
    write_photos(photos)
    return RecordedBake(write_record(folder, day, text), tuple(photos))


def write_record(folder: Path, day: str, text: str) -> Path:
    """Write a record under the first name of the day that is free. Raises CannotRun."""
    try:
        make_folder(str(folder))
        for name in names_of(day):
            try:
                write_new(folder / name, text.encode())
            except FileExistsError:
                if (folder / name).stat().st_size:
                    continue
                write_file(folder / name, text.encode())  # a run was killed that had its name alone
            return folder / name
    except OSError as error:
        raise CannotRun(
            f"{display_path(str(folder))}: cannot be written ({error.strerror}); check the folder"
        ) from None
    raise CannotRun(f"{display_path(str(folder))}: holds {day} to {day}-z; record it by hand")


def names_of(day: str) -> Iterator[str]:
    """The names that records of a day may have, in order."""
    yield f"{day}.yaml"
    yield from (f"{day}-{letter}.yaml" for letter in ascii_lowercase[1:])


def checked_day(text: str) -> str:
    """The day, today's where none is said. Raises CannotRun for one that is not in the calendar."""
    if not text:
        return date.today().isoformat()
    try:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            return date.fromisoformat(text).isoformat()
    except ValueError:
        pass
    raise CannotRun(f"'{text}' is no day; write it like 2026-03-14")


def bake_data(
    revision: Revision, said: BakeSaid, day: str, photos: Sequence[KeptPhoto]
) -> dict[str, Any]:
    """The record as data in the order of the schema. Raises CannotRun for what cannot be read."""
    conditions = {k: tidy(v) for k, v in (said.conditions or {}).items() if v.strip()}
    data: dict[str, Any] = {
        "date": day,
        "formula": revision.weighed.formula.id,
        "of": revision.digest,
        "baker": tidy(said.baker),
        "batch": batch_factor(said.batch) if said.batch else None,
        "conditions": {k: conditions[k] for k in CONDITIONS if k in conditions},
        "measured": readings(said.measured),
        "scores": [taster_scores(row) for row in said.scores],
        "notes": tidy(said.notes),
        "photos": [photo.entry for photo in photos],
        "verdict": said.verdict,
        "next": _next(said),
    }
    return {key: value for key, value in data.items() if value}


def batch_factor(text: str) -> int | float:
    """How many times the formula was made up: ``1``, ``0.5``, ``1/2``. Raises CannotRun."""
    from fractions import Fraction

    try:
        value = Fraction(text.replace(" ", "") if "/" in text else text.strip())
    except (ValueError, ZeroDivisionError):
        raise CannotRun(f"'{text}' is no batch factor; write it like 1, 0.5 or 1/2") from None
    if not 0 < value <= 1000:
        raise CannotRun(f"a batch factor of {text} is out of range; write it like 1, 0.5 or 1/2")
    return int(value) if value.denominator == 1 else float(f"{float(value):.4g}")


def readings(words: Sequence[str]) -> dict[str, str]:
    """Readings by name, in the order of the schema. Raises CannotRun."""
    known = [asked.key for asked in lines_of("measured")]
    found: dict[str, str] = {}
    for word in words:
        match = _NAMED_VALUE.fullmatch(word)
        name = match[1].strip() if match else word.strip()
        if match is None or not match[2].strip():
            raise CannotRun(f"'{tidy(word)}' is no reading; write it like core=97 °C")
        if name not in known:
            raise CannotRun(f"'{name}' is none of the readings; write one of {', '.join(known)}")
        found[name] = tidy(match[2])
    return {name: found[name] for name in known if name in found}


def taster_scores(words: str) -> dict[str, Any]:
    """``A: crumb=7, flavour=8`` as a row of scores. Raises CannotRun."""
    taster, colon, listed = words.partition(":")
    if not colon or not taster.strip():
        raise CannotRun(f"'{tidy(words)}' names no taster; write it like A: crumb=7, flavour=8")
    row: dict[str, Any] = {"taster": tidy(taster)}
    for part in filter(str.strip, listed.split(",")):
        match = _SCORE.fullmatch(part.strip())
        name = tidy(match["name"]) if match else ""
        if match is None or name in row:
            why = "is given twice" if match else "is no score"
            raise CannotRun(f"'{part.strip()}' {why}; write it like crumb=7")
        row[name] = _on_scale(float(match["value"]), part.strip())
    if len(row) == 1:
        raise CannotRun(f"'{tidy(words)}' has no scores; write it like A: crumb=7, flavour=8")
    return row


def _on_scale(value: float, said: str) -> int | float:
    if not LOWEST <= value <= HIGHEST:
        raise CannotRun(
            f"'{said}' is off the 9-point scale; write 1 (dislike extremely) to 9 (like extremely)"
        )
    return int(value) if value == int(value) else value


def _next(said: BakeSaid) -> dict[str, str]:
    told = {"try": tidy(said.next_try), "because": tidy(said.next_because)}
    if any(told.values()) and not all(told.values()):
        raise CannotRun("what to try next needs its reason, and a reason what to try; give both")
    return told if all(told.values()) else {}
