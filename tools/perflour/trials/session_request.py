"""A tasting session to be held: samples, tasters and a seed to a new record, never over another."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, NamedTuple

from perflour.documents.layout import as_scalar
from perflour.documents.reader import read_document
from perflour.documents.writer import record_text, tidy
from perflour.history.revisions import Revision, kitchen_folder, named_revision
from perflour.records.serving import draw_servings
from perflour.records.session_check import ANSWERS, figures_asked
from perflour.records.tasting import ASKS
from perflour.result import CannotRun, FileProblem, request_field
from perflour.system.files import read_bytes
from perflour.system.paths import SESSIONS
from perflour.system.writing import clear_unfinished
from perflour.trials.bake_request import checked_day, names_of, write_record

MOST_SEED = 999_999_999
MOST_SAMPLES = 12
TO_FILL_IN = (
    "# What tasters say: take each # away and fill in; who does not come goes into `absent: []`."
)
#: Over what is left once some answers are in.
STILL_TO_COME = (
    "# Still to come: take each # away and fill in, or name the taster under `absent: []`."
)
#: Samples by what is asked; two where nothing is said here.
FEWEST_AND_MOST = {"scores": (2, MOST_SAMPLES), "ranking": (3, MOST_SAMPLES)}
MOST_TASTERS = 500


@dataclass(frozen=True)
class SessionSaid:
    """What is said of a session. ``samples`` are ``PATH`` or ``PATH@REVISION``.

    ``tasters`` are names with commas, or their number; ``expect`` is the number of a sample, counted
    from 1, ``expect_order`` all of these numbers with commas, first the sample that is to come first;
    ``seed`` None draws one.
    """

    samples: Sequence[str]
    tasters: str
    ask: str = "scores"
    attributes: str = ""
    expect: int | None = None
    question: str = ""
    date: str = ""
    seed: int | None = None
    expect_order: str = ""


class Recorded(NamedTuple):
    """The record of a session; whether it was written now, or by a run before that did not come to its end."""

    path: Path
    is_new: bool


def record_session(said: SessionSaid) -> Recorded:
    """Draw codes and orders and write the record into the kitchen's sessions folder.

    Whoever asks again before anything is tasted gets the session that is there: the run before may have been
    stopped between its record and its sheets. Raises CannotRun.
    """
    _check(said)
    revisions = [named_revision(words) for words in said.samples]
    folder = kitchen_folder(revisions[0].path) / SESSIONS
    for revision in revisions:
        if kitchen_folder(revision.path) != folder.parent:
            raise CannotRun(
                "the samples are of formulas in different kitchens; put their formulas under one"
            )
    day = checked_day(said.date)
    if there := _drawn_before(folder, revisions, said, day):
        clear_unfinished(folder)
        return Recorded(there, False)
    data = session_data(revisions, said, day)
    text = record_text("session", data, folder / f"{day}.yaml", _to_fill_in(data))
    return Recorded(write_record(folder, day, text), True)


def _drawn_before(
    folder: Path, revisions: Sequence[Revision], said: SessionSaid, day: str
) -> Path | None:
    """The session of the day that says what would be drawn now with its seed, and nothing more."""
    for path in (folder / name for name in names_of(day)):
        try:
            there = (
                read_document(read_bytes(str(path)), str(path)).data if os.path.exists(path) else {}
            )
        except FileProblem:
            continue  # lint tells it
        seed = there.get("seed")
        if type(seed) is not int or not 0 <= seed <= MOST_SEED or said.seed not in (None, seed):
            continue
        if there == session_data(revisions, replace(said, seed=seed), day):
            return path
    return None


def _to_fill_in(data: dict[str, Any]) -> tuple[str, ...]:
    """What tasters will say, as comments that need nothing but the figures."""
    heads, blanks = blank_answers(data)
    return (*heads, *(line for _, line in blanks))


def blank_answers(
    data: dict[str, Any],
) -> tuple[tuple[str, ...], list[tuple[tuple[str, str], str]]]:
    """The comments over all, and a comment to fill in by taster and code; the code is empty where one is chosen."""
    heads = (TO_FILL_IN, f"# {ANSWERS[data['ask']]}:")
    names = figures_asked(data["ask"], data.get("attributes", ()))
    blanks = "".join(f", {name}: " for name in names)
    return heads, [
        ((row["taster"], code), f'#   - {{taster: {as_scalar(row["taster"]).text}, code: "{code}"{blanks}}}')
        for row in data["order"]
        for code in (row["serve"] if names else [""])
    ]  # fmt: skip


def _check(said: SessionSaid) -> None:
    if said.ask not in ASKS:
        raise CannotRun(f"'{said.ask}' cannot be asked; write one of {', '.join(ASKS)}")
    least, most = FEWEST_AND_MOST.get(said.ask, (2, 2))
    if not least <= len(said.samples) <= most:
        wanted = f"{least} to {most}" if most > least else "2"
        raise CannotRun(f"{said.ask} takes {wanted} samples, not {len(said.samples)}")
    if said.ask in ("preference", "triangle", "duo-trio") and said.attributes:
        raise CannotRun(f"{said.ask} asks for no attributes; leave them out")
    if said.ask == "ranking" and len(_names(said.attributes)) > 1:
        raise CannotRun(
            f"a ranking is by one attribute; name one with {request_field('attributes')}, or none for what is liked"
        )
    if said.ask == "difference" and len(_names(said.attributes)) != 1:
        raise CannotRun(
            f"a difference is of one attribute; name it with {request_field('attributes')}"
        )
    if said.expect is not None and (said.ask != "difference" or said.expect not in (1, 2)):
        raise CannotRun(
            f"{request_field('expect')} is the number of a sample, 1 or 2, and goes with difference"
        )
    if said.expect_order and (
        said.ask != "ranking"
        or sorted(_numbers(said.expect_order)) != list(range(1, len(said.samples) + 1))
    ):
        raise CannotRun(
            f"{request_field('expect_order')} has the number of each sample once, like 3,1,2, and goes with ranking"
        )
    if said.seed is not None and not 0 <= said.seed <= MOST_SEED:
        raise CannotRun(f"a seed is a whole number from 0 to {MOST_SEED}")


def session_data(revisions: Sequence[Revision], said: SessionSaid, day: str) -> dict[str, Any]:
    """The record as data in the order of the schema. Raises CannotRun for unreadable tasters."""
    seed = drawn_seed() if said.seed is None else said.seed
    servings = draw_servings(len(revisions), tasters(said.tasters), said.ask, seed)
    samples = [
        {"formula": r.weighed.formula.id, "of": r.digest, "codes": list(codes)}
        for r, codes in zip(revisions, servings.codes, strict=True)
    ]
    attributes = _names(said.attributes) or (["overall"] if said.ask == "scores" else [])
    data = {
        "date": day,
        "question": tidy(said.question),
        "ask": said.ask,
        "attributes": attributes,
        "expect": servings.codes[said.expect - 1][0] if said.expect else "",
        "expect-order": [servings.codes[n - 1][0] for n in _numbers(said.expect_order)],
        "seed": seed,
        "samples": samples,
        "order": [{"taster": s.taster, "serve": list(s.codes)} for s in servings.served],
    }
    return {key: value for key, value in data.items() if value or key == "seed"}


def tasters(words: str) -> list[str]:
    """Tasters by name, or numbered where their number is said. Raises CannotRun."""
    if words.strip().isdecimal():
        count = int(words)
        names = [f"T{n}" for n in range(1, min(count, MOST_TASTERS + 1) + 1)]
    else:
        names = _names(words)
    if not 1 <= len(names) <= MOST_TASTERS:
        raise CannotRun(f"a session takes 1 to {MOST_TASTERS} tasters; name them, or their number")
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise CannotRun(f"taster {twice[0]} is named twice; give each a name of their own")
    return names


def _names(words: str) -> list[str]:
    return [tidy(name) for name in words.split(",") if name.strip()]


def _numbers(words: str) -> list[int]:
    """Whole numbers with commas; 0 for what is none, which no sample has."""
    pieces = (piece.strip() for piece in words.split(",") if piece.strip())
    return [int(piece) if piece.isdecimal() else 0 for piece in pieces]


def drawn_seed() -> int:
    """A seed by chance, where none is said."""
    import secrets

    return secrets.randbelow(MOST_SEED + 1)
