"""The changelog of an approved formula tells of exactly this revision.

CHANGELOG.md is what readers are shown of how a formula came about; one that ends before the approved
revision says nothing of what is printed. It tells of commits only: commit a new revision as testing, write
the changelog, then approve. Looked for beside a formula.yaml; a formula without one, standard input and
files with other names are left alone. Whether all the rest of it is up to date, `perflour changelog
--check` says, from git."""

from __future__ import annotations

import os
from collections.abc import Iterator

from perflour.lint.ask.method import approved_folder, revision, revision_marks
from perflour.lint.rule import Context, Finding, Rule
from perflour.system.opening import read
from perflour.system.paths import CHANGELOG_FILE


def check(context: Context) -> Iterator[Finding]:
    folder = approved_folder(context)
    told = None if folder is None else _read(os.path.join(folder, CHANGELOG_FILE))
    if told is not None and not any(mark in told for mark in revision_marks(context)):
        yield Finding(
            context.formula.place("status"),
            f"approved, but {CHANGELOG_FILE} does not tell of revision {revision(context)}; commit this revision (as testing if it is new), then run perflour changelog --write",
        )


def _read(path: str) -> str | None:
    """The text of a file, None where there is none or it cannot be read."""
    try:
        return read(path).decode("utf-8", "replace")
    except (OSError, ValueError):
        return None


RULE = Rule(
    id="changelog-behind",
    level="warning",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
