"""A formula.yaml lies in a folder named after its id.

Bakes, changelog and history are found by the folder, so the id is a name that a folder can have on every system:
Windows keeps some for its devices, and a repository with such a folder cannot be checked out there."""

from __future__ import annotations

import os
from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule
from perflour.system.paths import FORMULA_FILE

#: Microsoft, "Naming Files, Paths, and Namespaces" (from memory).
KEPT_BY_WINDOWS = frozenset(
    ("con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10)))
)


def check(context: Context) -> Iterator[Finding]:
    path, name = os.path.split(context.path)
    folder = os.path.basename(path)
    if folder in ("", ".", ".."):
        folder = os.path.basename(os.path.dirname(os.path.abspath(context.path)))
    if name == FORMULA_FILE and folder != context.formula.id:
        yield Finding(
            context.formula.place("formula"),
            f"the id is '{context.formula.id}' but the folder is '{folder}'; rename one of them",
        )
    if name == FORMULA_FILE and context.formula.id in KEPT_BY_WINDOWS:
        yield Finding(
            context.formula.place("formula"),
            f"'{context.formula.id}' is kept by Windows for a device, so no folder can be called that there; add a word",
        )


RULE = Rule(
    id="id-not-folder",
    level="error",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
)
