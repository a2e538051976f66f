"""Records of tasting sessions: samples side by side under blind codes, and what tasters said."""

import os
from collections.abc import Iterable
from contextlib import suppress

from perflour.kitchen.house import read_valid
from perflour.records.serving import Served
from perflour.system.opening import names_in, read
from perflour.system.paths import SESSIONS
from perflour.tuples import NamedTuple
from perflour.typed import Any

#: What is asked: the hedonic scale, which of two, more of something, the odd one of three, all in order, which of
#: two is the reference.
ASKS = ("scores", "preference", "difference", "triangle", "ranking", "duo-trio")


class Sample(NamedTuple):
    """One revision of a formula in a session, with its blind codes."""

    formula: str
    of: str
    codes: tuple[str, ...]
    bake: str = ""


class Score(NamedTuple):
    """What one taster gave one sample, by attribute, 1 to 9."""

    taster: str
    code: str
    scores: tuple[tuple[str, float], ...]


class Rank(NamedTuple):
    """The place one taster gave one sample, 1 for the most; those said to be alike have the same."""

    taster: str
    code: str
    rank: float


class Choice(NamedTuple):
    """The code one taster chose; in a triangle the one said to be odd, in a duo-trio to be the reference."""

    taster: str
    code: str


class Session(NamedTuple):
    """One session as it is recorded; ``name`` is its file's without the ending."""

    name: str
    date: str
    ask: str
    question: str
    attributes: tuple[str, ...]
    samples: tuple[Sample, ...]
    order: tuple[Served, ...]
    absent: tuple[str, ...]
    scores: tuple[Score, ...]
    choices: tuple[Choice, ...]
    expect: str
    seed: int
    notes: str = ""
    decided: str = ""
    ranks: tuple[Rank, ...] = ()
    expect_order: tuple[str, ...] = ()

    @property
    def present(self) -> tuple[Served, ...]:
        """The orders of those who tasted."""
        return tuple(served for served in self.order if served.taster not in self.absent)

    @property
    def sample_by_code(self) -> dict[str, Sample]:
        """Which sample a code stands for."""
        return {code: sample for sample in self.samples for code in sample.codes}

    @property
    def is_tasted(self) -> bool:
        """Whether anybody has said anything yet."""
        return bool(self.scores or self.choices or self.ranks)


def session_files(folder: str) -> list[tuple[str, bytes]]:
    """The tastings beside the formulas of a folder with their content, by name; those that can be read."""
    beside = os.path.join(folder, SESSIONS)
    try:
        names = sorted(name for name in names_in(beside) if name.endswith(".yaml"))
    except OSError:
        return []
    found = []
    for path in (os.path.join(beside, name) for name in names):
        with suppress(OSError, ValueError):
            found.append((path, read(path)))
    return found


def sessions_of(formula: str, paths: Iterable[str]) -> tuple[Session, ...]:
    """Those tastings that have a sample of a formula; what is wrong with others is told by lint."""
    found = []
    for path in paths:
        document, _ = read_valid(path, "session")
        if document and any(row["formula"] == formula for row in document.data["samples"]):
            found.append(session_from(document.data, path))
    return tuple(found)


def session_from(data: dict[str, Any], path: str) -> Session:
    """The session in a document that is valid against schema/session.schema.json."""
    return Session(
        name=os.path.splitext(os.path.basename(path))[0],
        date=data["date"],
        ask=data["ask"],
        question=data.get("question", ""),
        attributes=tuple(data.get("attributes", ())),
        samples=tuple(map(_sample, data["samples"])),
        order=tuple(Served(row["taster"], tuple(row["serve"])) for row in data["order"]),
        absent=tuple(data.get("absent", ())),
        scores=tuple(map(_score, data.get("scores", ()))),
        choices=tuple(Choice(row["taster"], row["code"]) for row in data.get("choices", ())),
        expect=data.get("expect", ""),
        seed=data["seed"],
        notes=data.get("notes", ""),
        decided=data.get("decided", ""),
        ranks=tuple(Rank(row["taster"], row["code"], row["rank"]) for row in data.get("ranks", ())),
        expect_order=tuple(data.get("expect-order", ())),
    )


def _sample(row: dict[str, Any]) -> Sample:
    return Sample(row["formula"], row["of"], tuple(row["codes"]), row.get("bake", ""))


def _score(row: dict[str, Any]) -> Score:
    scores = tuple((name, value) for name, value in row.items() if name not in ("taster", "code"))
    return Score(row["taster"], row["code"], scores)
