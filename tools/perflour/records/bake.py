"""Test-bake records: one baking of one exact revision."""

import os
from collections.abc import Sequence

from perflour.kitchen.house import read_valid
from perflour.result import Result
from perflour.system.files import cannot_be_read, not_read
from perflour.system.opening import names_in, read
from perflour.system.paths import BAKES, display_path
from perflour.tuples import NamedTuple
from perflour.typed import Any

#: The ends of the hedonic scale.
SCALE = (1.0, 9.0)
# NIST Special Publication 811 (from memory): the international foot, exactly.
FOOT_IN_METRES = 0.3048
_NUMBER = r"([0-9]{1,3}(?:[ ,][0-9]{3})+|[0-9]+(?:\.[0-9]+)?)"
_HEIGHT = rf"(?:about )?{_NUMBER} ?(m|metres?|meters?|ft|feet)\.?(?: above .*| a\.?s\.?l\.?)?"


class TasterScores(NamedTuple):
    """What one taster gave, by attribute, on the 9-point hedonic scale."""

    taster: str
    scores: tuple[tuple[str, float], ...]


class Photo(NamedTuple):
    """A photo of a record: its path from the record's folder, its hash, and words to it; what is not said is empty.

    ``alt`` says what it shows for those who do not see it. `records.photos` reads it.
    """

    file: str
    sha256: str = ""
    caption: str = ""
    alt: str = ""


class Bake(NamedTuple):
    """One test bake. ``of`` is the digest it was baked from; ``scores`` are means by attribute."""

    name: str
    date: str
    of: str
    baker: str
    verdict: str
    notes: str
    measured: tuple[tuple[str, str], ...]
    scores: tuple[tuple[str, float], ...]
    tasters: int
    next_try: str
    next_because: str
    altitude: str = ""
    by_taster: tuple[TasterScores, ...] = ()
    amended: tuple[str, ...] = ()
    photos: tuple[Photo, ...] = ()
    oven: str = ""

    @property
    def height_m(self) -> float | None:
        """The height of the kitchen above the sea; None where it is not stated or cannot be read."""
        return height_m(self.altitude)


def bakes_in(folder: str, of: Sequence[str] = ()) -> tuple[tuple[Bake, ...], tuple[Result, ...]]:
    """The test bakes of a formula's folder, by file name, and what is wrong with the others.

    With ``of`` only files that hold one of these digests are looked into.
    """
    bakes: list[Bake] = []
    problems: list[Result] = []
    bakes_folder = os.path.join(folder, BAKES)
    try:
        paths = _bake_files(bakes_folder)
    except OSError as error:
        return (), (not_read(display_path(bakes_folder), cannot_be_read(error)),)
    for path in paths:
        if of and not any(_holds(path, mark) for mark in of):
            continue
        document, results = read_valid(path, "bake")
        problems += results
        if document:
            bakes.append(bake_from(document.data, os.path.splitext(os.path.basename(path))[0]))
    return tuple(bakes), tuple(problems)


def bakes_of(folder: str, marks: Sequence[str]) -> list[Bake]:
    """The test bakes of exactly one revision, by all that it is called; what is wrong is not told."""
    return [bake for bake in bakes_in(folder, of=marks)[0] if bake.of in marks]


def any_holds(folder: str, word: str) -> bool:
    """Whether a file of the test bakes of a formula's folder holds a word, or cannot be read."""
    try:
        return any(_holds(path, word) for path in _bake_files(os.path.join(folder, BAKES)))
    except OSError:
        return True


def _bake_files(folder: str) -> list[str]:
    """The records in a folder. Raises OSError where it cannot be listed."""
    names = names_in(folder)
    stems = sorted(name.removesuffix(".yaml") for name in names if name.endswith(".yaml"))
    return [os.path.join(folder, f"{stem}.yaml") for stem in stems]


def _holds(path: str, word: str) -> bool:
    try:
        return word.encode() in read(path)
    except (OSError, ValueError):
        return True  # reading it as a bake will say what is wrong


def bake_from(data: dict[str, Any], name: str) -> Bake:
    """The bake in a document that is valid against schema/bake.schema.json."""
    rows = data.get("scores", [])
    attributes = dict.fromkeys(key for row in rows for key in row if key != "taster")
    means = tuple((key, _mean([row[key] for row in rows if key in row])) for key in attributes)
    following = data.get("next", {})
    return Bake(
        name=name,
        date=data["date"],
        of=data["of"],
        baker=data["baker"],
        verdict=data["verdict"],
        notes=data.get("notes", ""),
        measured=tuple(data.get("measured", {}).items()),
        scores=means,
        tasters=len(rows),
        next_try=following.get("try", ""),
        next_because=following.get("because", ""),
        altitude=data.get("conditions", {}).get("altitude", ""),
        by_taster=tuple(_taster_scores(row) for row in rows),
        amended=tuple(f"{a['date']} by {a['by']}: {a['because']}" for a in data.get("amended", ())),
        photos=tuple(map(_photo, data.get("photos", ()))),
        oven=data.get("conditions", {}).get("oven", ""),
    )


def _photo(entry: dict[str, str]) -> Photo:
    # records written before captions had a field of their own say under `shows` what is to be seen
    said = [entry[key] for key in ("caption", "shows") if key in entry]
    return Photo(entry["file"], entry.get("sha256", ""), "; ".join(said), entry.get("alt", ""))


def _taster_scores(row: dict[str, Any]) -> TasterScores:
    return TasterScores(row["taster"], tuple((k, v) for k, v in row.items() if k != "taster"))


def height_m(text: str) -> float | None:
    """Read ``40 m``, ``5,200 ft`` or ``about 1 600 m above sea level`` in metres; None for other text."""
    import re

    found = re.fullmatch(_HEIGHT, text.strip().lower())
    if not found:
        return None
    metres = float(re.sub("[ ,]", "", found[1]))
    return metres * FOOT_IN_METRES if found[2].startswith("f") else metres


def _mean(values: list[float]) -> float:
    return sum(values) / len(values)
