"""Many files with recipes at once, on all cores: what is made of each, and where it is written."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from perflour.recipe.request import Import, ImportRequest, import_recipes, write_import
from perflour.recipe.sources import ENDINGS
from perflour.result import CannotRun, request_field
from perflour.system.files import STDIN
from perflour.system.opening import names_in
from perflour.system.parallel import spread_out

#: From so many files another process pays: each takes some milliseconds.
ENOUGH_FILES = 8
MOST_FILES = 20_000
_KNOWN = tuple(ending for endings in ENDINGS.values() for ending in endings)
#: A browser saves what belongs to a page in a folder of its name.
_BESIDE_A_PAGE = "_files"


class Sources(NamedTuple):
    """The files that names stand for; what in their folders is no kind that holds recipes was left alone."""

    names: tuple[str, ...]
    left_alone: tuple[str, ...] = ()


class Outcome(NamedTuple):
    """What became of a file: formulas, or why there are none.

    ``written`` has for each formula its path, or why it was not written.
    """

    name: str
    made: tuple[Import, ...] = ()
    problem: CannotRun | None = None
    written: tuple[str | CannotRun, ...] = ()


def sources(names: Iterable[str]) -> Sources:
    """The files that names of files and folders stand for, each once, in order. Raises CannotRun for too many."""
    found: dict[str, str] = {}
    left: list[str] = []
    for name in names:
        inner = _in_folder(name, left) if name != STDIN and os.path.isdir(name) else (name,)
        for path in inner:
            found.setdefault(path if path == STDIN else os.path.abspath(path), path)
            if len(found) > MOST_FILES:
                raise CannotRun(f"{name}: more than {MOST_FILES} files; name fewer at a time")
    return Sources(tuple(found.values()), tuple(left))


def _in_folder(folder: str, left: list[str]) -> Iterator[str]:
    """The files below a folder that may hold recipes, by name; hidden ones and links to folders are left out."""
    try:
        names = sorted(name for name in names_in(folder) if not name.startswith("."))
    except OSError:
        yield folder  # whoever reads it says what is wrong
        return
    pages = {os.path.splitext(name)[0] for name in names if name.lower().endswith(ENDINGS["page"])}
    for name in names:
        path = os.path.join(folder, name)
        if os.path.isdir(path):
            if os.path.islink(path) or name.removesuffix(_BESIDE_A_PAGE) in pages - {name}:
                left.append(path)
            else:
                yield from _in_folder(path, left)
        elif name.lower().endswith(_KNOWN):
            yield path
        else:
            left.append(path)


def _one(name: str, asked: ImportRequest) -> Outcome:
    try:
        return Outcome(name, import_recipes(name, asked))
    except CannotRun as problem:
        return Outcome(name, problem=problem)


def import_all(names: Sequence[str], asked: ImportRequest, jobs: int = 0) -> list[Outcome]:
    """What becomes of each file, in their order; one that cannot be read does not stop the others.

    Raises CannotRun where a request is for one recipe and there are several files.
    """
    if len(names) > 1 and (asked.title or asked.recipe):
        field = request_field("title" if asked.title else "recipe")
        raise CannotRun(f"{len(names)} files, and a {field} of one; leave it out, or name one file")

    return spread_out(partial(_one, asked=asked), names, jobs, ENOUGH_FILES)


def write_all(outcomes: Iterable[Outcome], folder: str, overwrite: bool) -> list[Outcome]:
    """Write each formula into a folder of its own; of two with one id, the second is refused."""
    made_of: dict[str, str] = {}
    done = []
    for outcome in outcomes:
        written: list[str | CannotRun] = []
        for made in outcome.made:
            if made.id in made_of:
                written.append(_second(made, outcome.name, made_of[made.id]))
                continue
            made_of[made.id] = outcome.name
            try:
                written.append(write_import(made, folder, overwrite))
            except CannotRun as problem:
                written.append(problem)
        done.append(outcome._replace(written=tuple(written)))
    return done


def _second(made: Import, name: str, first: str) -> CannotRun:
    where = "twice in it" if name == first else f"made of {first} already"
    return CannotRun(
        f"{name}: {made.title!r} not written: the id {made.id} is {where}; import it alone with another {request_field('title')}"
    )
