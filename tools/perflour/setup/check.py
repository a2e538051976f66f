"""Is a clone set up for the work: git, house file, schemas, hooks, drivers? One finding for each."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from perflour.documents.schema import SCHEMAS
from perflour.kitchen.house import read_valid
from perflour.result import CannotRun
from perflour.setup.git import Setup, missing, setup_for
from perflour.setup.kitchen import schema_names
from perflour.system import git
from perflour.system.extras import EXTRAS, present
from perflour.system.file_kinds import FILE_KINDS
from perflour.system.opening import read
from perflour.system.paths import HOUSE_FILE

#: `git rev-parse --path-format`, with which the top of a work tree is found, came with this version.
OLDEST_GIT = (2, 31)
HOOKS = ".pre-commit-config.yaml"


@dataclass(frozen=True)
class Check:
    """One thing that was looked at. ``found`` says how it is; ``to_do`` is empty where it is well."""

    name: str
    found: str
    to_do: str = ""

    @property
    def is_well(self) -> bool:
        return not self.to_do


def check_setup(folder: Path) -> tuple[Check, ...]:
    """Everything that can be looked at in a folder; without git or a repository no more than that."""
    try:
        version = git.version()
    except CannotRun:
        return (Check("git", "not on the PATH", "install git, 2.31 or newer"),)
    shown = ".".join(map(str, version))
    if version < OLDEST_GIT:
        return (Check("git", f"version {shown}", "install git 2.31 or newer"),)
    checks = [Check("git", f"version {shown}")]
    if not git.in_repository(folder):
        return (
            *checks,
            Check("repository", "none here", "run perflour new kitchen, or go to the repository"),
        )
    setup = setup_for(folder)
    checks.append(Check("repository", str(setup.repository.top)))
    looks: tuple[Callable[[Setup], Iterator[Check]], ...] = (
        _history,
        _house,
        _schemas,
        _drivers,
        _hooks,
        _extras,
    )
    return (*checks, *(check for look in looks for check in look(setup)))


def _history(setup: Setup) -> Iterator[Check]:
    if git.is_shallow(setup.repository):
        to_do = "run git fetch --unshallow: changelogs and releases are read from all of it"
        yield Check("history", "a part of it only", to_do)
    else:
        yield Check("history", "whole")


def _house(setup: Setup) -> Iterator[Check]:
    if not setup.house:
        yield Check("house file", f"no {HOUSE_FILE}", "run perflour new kitchen, which writes one")
        return
    for kind in FILE_KINDS:
        path = setup.repository.top / setup.house / kind.file
        if not kind.of_kitchen or (kind.file != HOUSE_FILE and not os.path.exists(path)):
            continue
        shown = os.path.normpath(f"{setup.house}/{kind.file}")
        _, wrong = read_valid(str(path), kind.name)
        if wrong:
            found = f"{shown} has {len(wrong)} error{'s' if len(wrong) > 1 else ''}"
            yield Check("house file", found, f"run perflour lint {shown}")
        else:
            yield Check("house file", shown)


def _schemas(setup: Setup) -> Iterator[Check]:
    """Editors read the copies in the repository; they should be those of the perflour that runs."""
    copies = {name: setup.repository.top / "schema" / name for name in schema_names()}
    absent = [name for name, path in copies.items() if not os.path.isfile(path)]
    if absent:
        found = f"not there: {', '.join(absent)}"
        yield Check("schemas", found, "run perflour new kitchen, which writes what is missing")
    other = [
        name
        for name, path in copies.items()
        if name not in absent and not _is_same(path, Path(SCHEMAS) / name)
    ]
    if other:
        found = f"not those of this perflour: {', '.join(other)}"
        yield Check("schemas", found, "delete these and run perflour new kitchen")
    if not absent and not other:
        yield Check("schemas", "those of this perflour")


def _is_same(copy: Path, ours: Path) -> bool:
    """Whether a copy holds the same text, whatever ends its lines."""
    try:
        return read(str(copy)).replace(b"\r\n", b"\n") == ours.read_bytes()
    except OSError:
        return False


def _text(path: Path) -> str:
    """The text of a file, empty where there is none that can be read."""
    try:
        return read(str(path)).decode("utf-8", "replace")
    except OSError:
        return ""


def _drivers(setup: Setup) -> Iterator[Check]:
    lacking = missing(setup)
    for line in lacking:
        yield Check("git drivers", line.partition(";")[0], "run perflour git-setup")
    if not lacking:
        yield Check("git drivers", "registered")


def _hooks(setup: Setup) -> Iterator[Check]:
    config = setup.repository.top / HOOKS
    text = _text(config)
    if "perflour" not in text:
        yield Check(
            "hooks", f"no perflour in {HOOKS}", f"name our hooks in {HOOKS}, see docs/team.md"
        )
    hook = git.hook_file(setup.repository, "pre-commit")
    if os.path.isfile(hook):
        yield (
            Check("hooks", "installed") if "perflour" in text else Check("hooks", "a hook is there")
        )
    else:
        yield Check(
            "hooks",
            "not installed in this clone",
            "run pre-commit install (pip install pre-commit brings it)",
        )


def _extras(_: Setup) -> Iterator[Check]:
    """Which groups of libraries are installed; a clone needs none of them."""
    here = present()
    absent = ", ".join(extra for extra in EXTRAS if extra not in here)
    yield Check("extras", (", ".join(here) or "none") + f"; not installed: {absent}" * bool(absent))
