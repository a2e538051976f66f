"""How the files of a repository are called, and paths as people type them."""

from __future__ import annotations

import os
from collections.abc import Iterable

FORMULA_FILE = "formula.yaml"
HOUSE_FILE = "house.yaml"
INGREDIENTS_FILE = "ingredients.yaml"
PRICES_FILE = "prices.yaml"
CHANGELOG_FILE = "CHANGELOG.md"
#: The folder of a formula's test bakes, and that of tasting sessions.
BAKES, SESSIONS = "bakes", "sessions"
#: Folders of which something is remembered at once: those of a run come one after another.
FOLDERS_KEPT = 1024


def under(path: str, limits: Iterable[str]) -> bool:
    """Whether a path in a repository lies at or below one of the limits; ``.`` is everything."""
    return any(limit in (".", path) or path.startswith(f"{limit}/") for limit in limits)


def display_path(path: str) -> str:
    """The path as people type it: relative to the working folder where it lies below."""
    here = os.getcwd() + os.sep
    path = os.path.abspath(path)
    return (path[len(here) :] if path.startswith(here) else path).replace(os.sep, "/")


def repository_top(folder: str) -> str:
    """The nearest folder at or above that holds a `.git`; the folder itself where none does. Runs no git."""
    at = folder
    while not os.path.exists(os.path.join(at, ".git")):
        at, below = os.path.dirname(at), at
        if at == below:
            return folder
    return at
