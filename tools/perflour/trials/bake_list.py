"""Test bakes by formula, each with its place among the iterations."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from perflour.history.changelog import changelogs
from perflour.history.revisions import place_in_history
from perflour.records.bake import Bake
from perflour.result import Result


@dataclass(frozen=True)
class ListedBake:
    """One test bake; ``iteration`` is the newest of its digest, None where the history has none."""

    bake: Bake
    iteration: int | None
    is_current: bool


@dataclass(frozen=True)
class FormulaBakes:
    """The test bakes of one formula, newest first, and what is wrong with other records."""

    formula: str
    title: str
    status: str
    iterations: int
    bakes: tuple[ListedBake, ...]
    problems: tuple[Result, ...]


def list_bakes(names: Sequence[str]) -> list[FormulaBakes]:
    """The test bakes of every formula under the named paths, by path. Raises CannotRun."""
    found = []
    for changelog in changelogs(names):
        told = dict.fromkeys(b for i in changelog.iterations for b in i.bakes)
        newest = changelog.iterations[-1].digest if changelog.iterations else ""
        listed = [
            ListedBake(bake, place_in_history(changelog, bake.of), bake.of == newest)
            for bake in (*told, *changelog.loose_bakes)
        ]
        listed.sort(key=lambda one: one.bake.name, reverse=True)
        found.append(
            FormulaBakes(
                changelog.id,
                changelog.title,
                changelog.status,
                len(changelog.iterations),
                tuple(listed),
                changelog.problems,
            )
        )
    return found
