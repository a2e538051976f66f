"""Test-bake records: one baking of one exact revision."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from statistics import fmean
from typing import Any

from perflour.house import read_valid
from perflour.result import Result


@dataclass(frozen=True)
class Bake:
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


def bakes_in(folder: Path) -> tuple[tuple[Bake, ...], tuple[Result, ...]]:
    """The test bakes of a formula's folder, by file name, and what is wrong with the others."""
    bakes: list[Bake] = []
    problems: list[Result] = []
    for path in sorted((folder / "bakes").glob("*.yaml"), key=lambda p: p.stem):
        document, results = read_valid(str(path), "bake")
        problems += results
        if document:
            bakes.append(bake_from(document.data, path.stem))
    return tuple(bakes), tuple(problems)


def bake_from(data: dict[str, Any], name: str) -> Bake:
    """The bake in a document that is valid against schema/bake.schema.json."""
    rows = data.get("scores", [])
    attributes = dict.fromkeys(key for row in rows for key in row if key != "taster")
    means = tuple((key, fmean(row[key] for row in rows if key in row)) for key in attributes)
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
    )
