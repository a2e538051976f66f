"""One formula of a review: its heading, and what stands beside the table of what moved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.formula.formula import Waiver
from perflour.kitchen.figures import counted
from perflour.records.bake import Bake
from perflour.release.reviewed import Reviewed
from perflour.report.diff.summary import summary_line
from perflour.report.history.changelogs import scores_said
from perflour.report.history.trials import baked_as_said, led_here_line
from perflour.report.release.cautions import by_what_brings
from perflour.result import LEVELS, Result

#: A digest is shown so long where nobody has to type it.
SHORT = 7


def heading(formula: Reviewed) -> str:
    """Title and path, then how it stands."""
    return ", ".join([f"{formula.title} ({formula.path})", *_standing(formula)])


def standing(formula: Reviewed) -> str:
    """The same without the title."""
    return ", ".join([formula.path, *_standing(formula)])


def _standing(formula: Reviewed) -> list[str]:
    """Status and revision from what to what; what it was renamed from."""
    said = []
    if formula.is_gone:
        said.append(f"deleted, was {formula.status_before}")
    elif formula.status != formula.status_before:
        said.append(f"{formula.status_before or 'new'} -> {formula.status}")
    else:
        said.append(formula.status)
    before, after = formula.revision_before[:SHORT], formula.revision[:SHORT]
    if before != after and before and after:
        said.append(f"revision {before} -> {after}")
    elif after or before:
        said.append(f"revision {after or before}")
    if formula.was:
        said.append(f"was {formula.was}")
    if formula.copied_from:
        said.append(f"copied from {formula.copied_from}")
    return said


def beside(formula: Reviewed) -> Iterator[tuple[str, list[str]]]:
    """What stands beside the table, a heading with its lines; groups with nothing are left out."""
    difference = formula.difference
    groups = (
        ("cannot be compared", [f"{r.place}: {r.message}" for r in difference.unreadable] if difference else []),
        ("allergens", list(_allergens(formula))),
        ("test bakes", list(_bakes(formula))),
        ("trials", [led_here_line(told) for told in formula.trials] if _is_judged(formula) else []),
        ("changelog", ["does not tell of this revision; run perflour changelog --write"] if formula.changelog_behind else []),
        ("new from lint", list(map(_result, formula.new))),
        ("no longer said by lint", list(map(_result, formula.gone))),
        ("waivers", [_waiver(formula, waiver) for waiver in formula.waivers]),
    )  # fmt: skip
    yield from ((title, said) for title, said in groups if said)


def shortly(formula: Reviewed) -> Iterator[str]:
    """A formula in two lines: what changed, and what stands beside it."""
    if formula.difference:
        yield summary_line(formula.difference).removeprefix(f"{formula.id}: ")
    said = [f"{title}: {lines[-1]}" for title, lines in beside(formula) if title in ("test bakes", "trials", "changelog")]  # fmt: skip
    if formula.allergens and formula.status_before:
        said.append(f"allergens newly there: {', '.join(name for name, _ in formula.allergens)}")
    levels = [result.level for result in formula.new]
    said += [counted(levels.count(level), f"new {level}") for level in LEVELS if level in levels]
    if formula.waivers:
        said.append(counted(len(formula.waivers), "new waiver"))
    if said:
        yield "; ".join(said)


def _waiver(formula: Reviewed, waiver: Waiver) -> str:
    about = f" of {waiver.item}" if waiver.item else ""
    own = "; what it waives came with this branch" if waiver in formula.caused else ""
    return f"{waiver.rule}{about} is waived: {waiver.because}{own}"


def _bakes(formula: Reviewed) -> Iterator[str]:
    """The records of both revisions, side by side."""
    if not _is_judged(formula):
        return
    before, after = formula.revision_before[:SHORT], formula.revision[:SHORT]
    if formula.revision_before and before != after:
        yield f"before, {before}: {_told(formula.bakes_before)}"
    if after:
        said = [*map(_bake_in_short, formula.bakes), *map(baked_as_said, formula.baked_as)]
        yield f"now, {after}: {'; '.join(said) or 'none'}"


def _is_judged(formula: Reviewed) -> bool:
    """Whether what speaks for its revision is to be looked at: the revision is new, its status or a record."""
    return formula.is_new_revision or bool(formula.records) or formula.status != formula.status_before  # fmt: skip


def _told(bakes: Sequence[Bake]) -> str:
    return "; ".join(map(_bake_in_short, bakes)) or "none"


def _bake_in_short(bake: Bake) -> str:
    """A record in a few words: its day, who baked, the verdict, the means."""
    tasted = f" ({said})" if (said := scores_said(bake)) else ""
    return f"{bake.verdict} {bake.name} by {bake.baker}{tasted}"


def _allergens(formula: Reviewed) -> Iterator[str]:
    """By what brings them; of both lists, each allergen once."""
    for names, ingredients in by_what_brings(formula.allergens):
        yield f"newly there: {names}, from {ingredients}"
    if formula.allergens_gone:
        yield f"not there any more: {', '.join(formula.allergens_gone)}"


def _result(result: Result) -> str:
    return f"line {result.place.line}, {result.level}: {result.message} [{result.rule}]"
