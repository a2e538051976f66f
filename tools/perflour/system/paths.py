"""How the files of a repository are called, and paths as people type them."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator

FORMULA_FILE = "formula.yaml"
HOUSE_FILE = "house.yaml"
#: The folder of a kitchen's formulas, as `perflour new kitchen` calls it.
FORMULAS = "formulas"
INGREDIENTS_FILE = "ingredients.yaml"
PRICES_FILE = "prices.yaml"
BOOK_FILE = "book.yaml"
CHANGELOG_FILE = "CHANGELOG.md"
TRIAL_FILE = "trial.yaml"
#: The folder of a formula's test bakes, and that of tasting sessions.
BAKES, SESSIONS = "bakes", "sessions"
#: The folder of planned trials: TRIALS/<trial-id>/ holds the record, and a folder for each variant.
TRIALS = "trials"
#: Below it lie the commits that are held in memory, in folders that no file system has: it is a device.
NOWHERE_ON_DISK = os.path.abspath(os.devnull) + os.sep
#: Folders of which something is remembered at once: those of a run come one after another.
FOLDERS_KEPT = 1024


def under(path: str, limits: Iterable[str]) -> bool:
    """Whether a path in a repository lies at or below one of the limits; ``.`` is everything."""
    return any(limit in (".", path) or path.startswith(f"{limit}/") for limit in limits)


def is_set_aside(folder: str) -> bool:
    """Whether a folder, named from where formulas are asked for, is a variant's of a planned trial, or below it.

    Variants are bakes to be tried, not formulas of the book: what goes over all formulas passes them by, and reads
    them where a trial or a variant is named. A folder of somebody's own called `trials` that holds formulas
    stays as it was: a variant lies one folder deeper.
    """
    parts = folder.split("/")
    below = (parts[n + 2] for n in range(len(parts) - 2) if parts[n] == TRIALS)
    return any(name != BAKES for name in below)


def asked_for(path: str, limits: Iterable[str]) -> bool:
    """Whether a formula file of a repository is meant by the limits: below one, and no variant set aside there."""
    for limit in limits:
        inner = path if limit == "." else path[len(limit) + 1 :]
        if under(path, (limit,)) and not is_set_aside(os.path.dirname(inner)):
            return True
    return False


def absolute(path: str) -> str:
    """As os.path.abspath; at once for what is absolute and plain already, as the paths of a long run are."""
    if os.sep == "/" == path[:1] and not ("/." in path or "//" in path or path[-1:] == "/"):
        return path
    return os.path.abspath(path)


def display_path(path: str) -> str:
    """The path as people type it: relative to the working folder where both lie in one repository, or it below."""
    if path.startswith(NOWHERE_ON_DISK):
        return path.replace(os.sep, "/")
    at = os.getcwd()
    here = at + os.sep
    path = absolute(path)
    if path.startswith(here):
        path = path[len(here) :]
    elif path.startswith(repository_top(at).rstrip(os.sep) + os.sep):
        path = os.path.relpath(path, at)
    return path.replace(os.sep, "/")


def nearest_file(name: str, path: str) -> str | None:
    """The file of that name in the nearest folder above ``path`` (a file), within its repository."""
    for folder in folders_up(os.path.dirname(os.path.abspath(path))):
        if os.path.isfile(found := os.path.join(folder, name)):
            return found
    return None


def folders_up(folder: str) -> Iterator[str]:
    """A folder and those above it, up to the top of its repository."""
    while True:
        yield folder
        above = os.path.dirname(folder)
        if above == folder or os.path.exists(os.path.join(folder, ".git")):
            return
        folder = above


def kitchen_above(folder: str) -> str | None:
    """The nearest folder of a kitchen's formulas, looked for in ``folder`` and upwards; None where there is none.

    That is `formulas`, or the folder that holds a house file. It is looked for up to the top of the git
    repository; outside of one up to the home folder, and above ``folder`` only where a house file says that it
    is a kitchen's: nobody's other formulas are judged, or written, by accident.
    """
    here = at = os.path.abspath(folder)
    top = repository_top(here)
    in_repository = os.path.exists(os.path.join(top, ".git"))
    last = top if in_repository else os.path.expanduser("~")
    while True:
        inner = os.path.join(at, FORMULAS)
        has_house = os.path.isfile(os.path.join(at, HOUSE_FILE))
        is_sure = in_repository or at == here or has_house
        if os.path.isdir(inner) and (is_sure or os.path.isfile(os.path.join(inner, HOUSE_FILE))):
            return inner
        if has_house:
            return at
        if at in (last, os.path.dirname(at)):
            return None
        at = os.path.dirname(at)


def repository_top(folder: str) -> str:
    """The nearest folder at or above that holds a `.git`; the folder itself where none does. Runs no git."""
    at = folder
    while not os.path.exists(os.path.join(at, ".git")):
        at, below = os.path.dirname(at), at
        if at == below:
            return folder
    return at
