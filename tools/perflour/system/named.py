"""Formulas as people name them: by a path, or by the id, which is the name of the folder."""

from __future__ import annotations

import os
from collections.abc import Sequence

from perflour.result import CannotRun
from perflour.system.files import STDIN, Listed, default_names, misnamed, named_paths
from perflour.system.nearest import advice, nearest
from perflour.system.paths import FORMULA_FILE, display_path, kitchen_above

CHECK_PATH = "check the path"


def path_named(word: str) -> str:
    """A path that is there as it is, else the folder of the formula of that id. Raises CannotRun."""
    return word if word == STDIN or os.path.exists(word) else folder_of(word) or _refuse(word)


def revision_named(words: str) -> str:
    """``FORMULA`` or ``FORMULA@REVISION`` with the path of the formula. Raises CannotRun."""
    name, at, revision = words.rpartition("@")
    return f"{path_named(name)}@{revision}" if at and not os.path.exists(words) else path_named(words)  # fmt: skip


def folder_of(word: str) -> str | None:
    """The folder of the kitchen's formula of that id, as seen from here; None where none has it.

    Raises CannotRun where several have it.
    """
    found = [folder for folder in _formula_folders(word) if os.path.basename(folder) == word]
    if len(found) > 1:
        raise CannotRun(f"'{word}' is the id of several formulas; name one of {', '.join(found)}")
    return found[0] if found else None


def _formula_folders(word: str) -> list[str]:
    """The folders of the kitchen's formulas; none for a word that can be no id, and where no kitchen is."""
    if not word or os.path.basename(word) != word or kitchen_above(".") is None:
        return []
    files = named_paths(default_names())
    return [os.path.relpath(os.path.dirname(f)) for f in files if os.path.basename(f) == FORMULA_FILE]  # fmt: skip


def _refuse(word: str) -> str:
    """Raises CannotRun, with the path or id that is nearest."""
    if folders := _formula_folders(word):
        ids = map(os.path.basename, folders)
        what = "no such file or folder, and no formula of that id"
        raise CannotRun(f"{word!r}: {what}; {advice(word, ids, CHECK_PATH)}")
    raise CannotRun(f"{word!r}: no such file or folder; {_near_path(word)}")


def _near_path(word: str) -> str:
    """The path beside the one that is not there whose name is nearest."""
    folder, name = os.path.split(word)
    try:
        near = nearest(name, os.listdir(folder or ".")) if name else ""
    except (OSError, ValueError):
        near = ""
    return f"did you mean {os.path.join(folder, near)}?" if near else CHECK_PATH


def no_formula_in(names: Sequence[str], what: str = "a formula file or its folder") -> CannotRun:
    """That names stand for no formula: because of how a file is called, or because none is there."""
    listed: Listed = {}
    for _ in named_paths((name for name in names if os.path.isdir(name)), listed):
        pass
    for path, right in misnamed(listed):
        shown = display_path(path)
        return CannotRun(f"no formula in {', '.join(names)}: {shown} is not read; rename it {right}")  # fmt: skip
    return CannotRun(f"no formula in {', '.join(names)}; name {what}")
