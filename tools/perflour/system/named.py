"""Formulas as people name them: by a path, or by the id, which is the name of the folder."""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Sequence
from pathlib import Path

from perflour.result import CannotRun, request_field
from perflour.system.file_kinds import kind_of
from perflour.system.files import STDIN, Listed, default_names, misnamed, named_paths
from perflour.system.nearest import advice, nearest
from perflour.system.opening import names_in
from perflour.system.paths import FORMULA_FILE, display_path, kitchen_above

CHECK_PATH = "check the path"
#: As the schema of formulas has it, but for capitals: whoever types them is told what is meant.
_ID = "[A-Za-z0-9]+(-[A-Za-z0-9]+)*"


def path_named(word: str) -> str:
    """A path that is there as it is, else the folder of the formula of that id. Raises CannotRun."""
    return word if word == STDIN or os.path.exists(word) else folder_of(word) or _refuse(word)


def formula_file(name: str) -> Path:
    """The formula file that a path or an id names: itself, or that of its folder. Raises CannotRun."""
    path = Path(os.path.abspath(path_named(name)))
    path = path / FORMULA_FILE if os.path.isdir(path) else path
    if not os.path.isfile(path):
        raise no_formula_in([name])
    return path


def folder_of(word: str) -> str | None:
    """The folder of the kitchen's formula of that id, as seen from here; None where none has it.

    Raises CannotRun where several have it.
    """
    folders = _formula_folders() if re.fullmatch(_ID, word) else []
    found = [folder for folder in folders if os.path.basename(folder) == word]
    if len(found) > 1:
        raise CannotRun(f"'{word}' is the id of several formulas; name one of {', '.join(found)}")
    return found[0] if found else None


def ids() -> list[str]:
    """The ids of the kitchen's formulas."""
    return [os.path.basename(folder) for folder in _formula_folders()]


def _formula_folders() -> list[str]:
    """The folders of the kitchen's formulas, as seen from here; none where no kitchen is."""
    if kitchen_above(".") is None:
        return []
    files = named_paths(default_names())
    return [os.path.relpath(os.path.dirname(f)) for f in files if os.path.basename(f) == FORMULA_FILE]  # fmt: skip


def _refuse(word: str) -> str:
    """Raises CannotRun, with the path or id that is nearest."""
    if re.fullmatch(_ID, word) and (known := ids()):
        what = "no such file or folder, and no formula of that id"
        raise CannotRun(f"{word!r}: {what}; {advice(word, known, CHECK_PATH)}")
    raise CannotRun(f"{word!r}: no such file or folder; {_near_path(word)}")


def _near_path(word: str) -> str:
    """The path beside the one that is not there whose name is nearest."""
    folder, name = os.path.split(word)
    try:
        near = nearest(name, names_in(folder or ".")) if name else ""
    except (OSError, ValueError):
        near = ""
    return f"did you mean {os.path.join(folder, near)}?" if near else CHECK_PATH


def no_formula_in(names: Sequence[str], what: str = "a formula file or its folder") -> CannotRun:
    """That names stand for no formula: because of how a file is called, or because none is there."""
    return CannotRun(
        f"no formula in {', '.join(names)}{_otherwise_called(names) or f'; name {what}'}"
    )


def nothing_checked(names: Sequence[str], what: str) -> CannotRun:
    """That a gate had nothing to judge, and is not passed by that."""
    what = f"nothing was checked: no {what} in {', '.join(names)}"
    what_to_do = f"; name what to check, or add {request_field('if_any')} where none is fine"
    return CannotRun(what + (_otherwise_called(names) or what_to_do))


def hold_any(names: Sequence[str], kinds: Collection[str]) -> bool:
    """Whether folders hold a file of one of the kinds.

    So they do where a file is named: hooks name all that changed, and what is none of a gate's business passes.
    """
    if not all(map(os.path.isdir, names)):
        return True
    return any(kind_of(path) in kinds for path in named_paths(names, variants=True))


def _otherwise_called(names: Sequence[str]) -> str:
    """What to do about a file in folders that is passed by for its name; empty where there is none."""
    listed: Listed = {}
    for _ in named_paths(filter(os.path.isdir, names), listed):
        pass
    for path, right in misnamed(listed):
        return f": {display_path(path)} is not read; rename it {right}"
    return ""
