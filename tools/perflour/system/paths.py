"""How the files of a repository are called, and paths as people type them."""

from __future__ import annotations

import os

FORMULA_FILE = "formula.yaml"
HOUSE_FILE = "house.yaml"
INGREDIENTS_FILE = "ingredients.yaml"
PRICES_FILE = "prices.yaml"
CHANGELOG_FILE = "CHANGELOG.md"
#: The folder of a formula's test bakes, and that of tasting sessions.
BAKES, SESSIONS = "bakes", "sessions"
#: Folders of which something is remembered at once: those of a run come one after another.
FOLDERS_KEPT = 1024


def absolute(path: str) -> str:
    """As os.path.abspath, which costs more than all else here where there is nothing to do."""
    plain = path.startswith(os.sep) and f"{os.sep}." not in path and os.sep * 2 not in path
    return path if plain else os.path.abspath(path)


def display_path(path: str) -> str:
    """The path as people type it: relative to the working folder where it lies below."""
    here = os.getcwd() + os.sep
    path = absolute(path)
    return (path[len(here) :] if path.startswith(here) else path).replace(os.sep, "/")
