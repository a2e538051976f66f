"""A formula.yaml lies in a folder named after its id.

Bakes, changelog and history are found by the folder."""

from __future__ import annotations

import os
from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule
from perflour.system.paths import FORMULA_FILE


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


RULE = Rule(
    id="id-not-folder",
    level="error",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
)
