"""What a trial showed, put into its formula: the levels that are best, promise most, or were baked, as a change of the file.

The formula must be the revision that the variants were made of. Its status goes back to testing where it was
approved: what is adopted was not baked as such, and a test bake comes next. The record says what was decided and
which revision came of it.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.designs.levels import level_text, rounded_level
from perflour.designs.showed import Showed, what_it_showed
from perflour.designs.variants import variant
from perflour.diff.difference import Difference, difference_between
from perflour.documents.layout import as_scalar, write_commented
from perflour.documents.line_endings import bytes_of, text_of
from perflour.documents.nodes import Entry, Scalar, changed, read_commented
from perflour.documents.writer import tidy
from perflour.formula.digests import digest
from perflour.formula.formula import APPROVED
from perflour.history.revisions import kitchen_folder
from perflour.kitchen.house import kitchen_for
from perflour.result import CannotRun, FileProblem, request_field
from perflour.system.files import read_bytes
from perflour.system.paths import FORMULA_FILE, display_path
from perflour.system.writing import write_file
from perflour.tidy.house_format import format_formula

#: Where to take the levels from, beside the letter of a bake.
BEST, NEXT = "best", "next"
LONGEST_DECIDED = 1000


@dataclass(frozen=True)
class Adopted:
    """A formula as it will be, with the record that says so; nothing of it is written.

    ``said`` are the levels in words, by factor; ``bakes`` letters of variants with exactly these levels, which were
    baked; ``was_approved`` whether its status goes back to testing.
    """

    showed: Showed
    path: Path
    content: bytes
    record: bytes
    difference: Difference
    after: Balance
    said: Mapping[str, str]
    bakes: tuple[str, ...]
    decided: str
    was_approved: bool

    @property
    def revision(self) -> str:
        """The digest of the formula as it will be."""
        return digest(self.after.formula)


def adopt(name: str, take: str = BEST, decided: str = "") -> Adopted:
    """What a trial's formula becomes by the levels of ``take``: best, next, or the letter of a bake.

    Raises CannotRun where these cannot be told, the formula has moved on, or the trial led to something already.
    """
    found = what_it_showed(name)
    trial = found.trial
    path = kitchen_folder(Path(found.path)) / trial.formula / FORMULA_FILE
    if not path.is_file():
        raise CannotRun(f"{display_path(str(path))}: not there, and the trial is of it; put it back from git")  # fmt: skip
    content, kitchen = read_bytes(str(path)), kitchen_for(str(path))
    try:
        before = weigh_file(content, display_path(str(path)), kitchen)
    except FileProblem as problem:
        raise CannotRun(str(problem)) from None
    if digest(before.formula) != trial.of:
        raise CannotRun(
            f"{trial.formula} is revision {digest(before.formula)} now and the trial was of {trial.of}; "
            "put what it showed in by hand, or go back to that revision first"
        )
    factors = trial.factors
    levels = {f.name: rounded_level(v, f.unit) for f, v in zip(factors, _levels(found, take), strict=True)}  # fmt: skip
    made = variant(content, before, kitchen, factors, levels, trial.holds)
    was_approved = before.formula.status == APPROVED
    written = _testing(made.content) if was_approved else made.content
    written = format_formula(written, display_path(str(path)), kitchen)
    after = weigh_file(written, display_path(str(path)), kitchen)
    if digest(after.formula) == trial.of:
        raise CannotRun("these levels are those of the formula as it is; there is nothing to adopt")
    said = {f.name: level_text(made.levels[f.name], f) for f in factors}
    why = tidy(decided)[:LONGEST_DECIDED] or _why(found, take, said)
    record = _record(found.path, why, digest(after.formula))
    return Adopted(
        showed=found,
        path=path,
        content=written,
        record=record,
        difference=difference_between(before, after, house=kitchen.house),
        after=after,
        said=said,
        bakes=tuple(bake.letter for bake in trial.bakes if bake.of == digest(after.formula)),
        decided=why,
        was_approved=was_approved,
    )


def write_adopted(adopted: Adopted) -> None:
    """Write the formula, then the record. Raises CannotRun."""
    for path, content in (
        (adopted.path, adopted.content),
        (Path(adopted.showed.path), adopted.record),
    ):
        try:
            write_file(path, content)
        except OSError as error:
            raise CannotRun(
                f"{display_path(str(path))}: cannot be written ({error.strerror}); check the folder and its rights"
            ) from None


def _levels(found: Showed, take: str) -> tuple[float, ...]:
    """In the factors' units."""
    if take == BEST:
        if found.best is None or found.best.levels is None:
            raise CannotRun(f"no best point can be told; take the letter of a bake with {request_field('take')}")  # fmt: skip
        return found.actual(found.best.levels)
    if take == NEXT:
        if found.proposal is None:
            raise CannotRun(f"no next bake can be told; take the letter of a bake with {request_field('take')}")  # fmt: skip
        return found.actual(found.proposal.levels)
    bake = found.trial.bake(take)
    if bake is None:
        letters = ", ".join(bake.letter for bake in found.trial.bakes)
        raise CannotRun(f"{request_field('take')}: no bake '{take}' in this trial; write {BEST}, {NEXT} or one of {letters}")  # fmt: skip
    return tuple(bake.levels[factor.name] for factor in found.trial.factors)


def _why(found: Showed, take: str, said: Mapping[str, str]) -> str:
    levels = ", ".join(f"{name} {text}" for name, text in said.items())
    of = {BEST: "the best point by what was baked", NEXT: "the bake that promises most"}.get(take, f"bake {take}")  # fmt: skip
    return f"{levels}: {of}, of {len(found.trial.bakes)} bakes."


def _testing(content: bytes) -> bytes:
    page = read_commented(text_of(content))
    root = changed(page.root, {"status": lambda _: as_scalar("testing")})
    return bytes_of(write_commented(page._replace(root=root)), like=content)


def _record(path: str, decided: str, led_to: str) -> bytes:
    """The record with what was decided and the revision that came of it, its comments kept."""
    content = read_bytes(path)
    page = read_commented(text_of(content))
    told = {"decided": as_scalar(decided), "led-to": Scalar(led_to, f'"{led_to}"')}
    there = {entry.key for entry in page.root.entries}
    if "led-to" in there:
        raise CannotRun(
            f"{display_path(path)}: it led to a revision already; plan another trial from there, or take `led-to` out of the record"
        )
    root = changed(page.root, {"decided": lambda _: told["decided"]})
    added = tuple(Entry(node, key) for key, node in told.items() if key not in there)
    root = root._replace(entries=(*root.entries, *added))
    return bytes_of(write_commented(page._replace(root=root)), like=content)


def folder_of(adopted: Adopted) -> str:
    """The formula's folder as people type it."""
    return display_path(os.path.dirname(adopted.path))
