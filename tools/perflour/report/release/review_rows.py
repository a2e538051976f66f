"""One formula of a review as rows of a table: line, before, after, change; and what stands beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.balance.gas import GAS  # the one derived figure that is no percentage
from perflour.diff.change import (
    Change,
    LineChange,
    MassChange,
    RatioChange,
    StepChange,
    TextChange,
    is_doubted,
)
from perflour.diff.difference import Difference
from perflour.formula.formula import Waiver
from perflour.kitchen.figures import grams, percent, signed
from perflour.records.bake import Bake
from perflour.release.reviewed import Reviewed
from perflour.report.diff.figures import crossing_said, ratio_name, reads_the_same
from perflour.report.diff.line_words import item_of
from perflour.report.diff.summary import summary_line
from perflour.report.diff.text import change_text, sections
from perflour.report.history.changelogs import count, scores_said
from perflour.report.history.trials import baked_as_said, led_here_line
from perflour.result import LEVELS, Result

#: A digest is shown so long where nobody has to type it.
SHORT = 7
#: What is in the measuring, and no change that anybody made out.
DOUBTED = "within the measuring"
_NOTHING = "-"
#: Changes of a line that have two sides.
_COLUMNS = frozenset(("amount", "amount-as-written", "mass-only", "follows-basis", "re-measured", "leavening", "part-share", "added", "removed"))  # fmt: skip
#: Changes of a text that have two sides and a subject of few words.
_TEXTS = frozenset(("yield", "header", "state", "note", "part-kind"))
_SAID = {"re-measured": "re-measured only", "follows-basis": "only follows 100 %", "added": "added", "removed": "taken out"}  # fmt: skip


class Row(NamedTuple):
    """One line of the table; the last three are empty where ``line`` says it all."""

    line: str
    before: str = ""
    after: str = ""
    change: str = ""


def rows(difference: Difference | None) -> list[Row]:
    """The changes worth saying, those with two sides first."""
    if difference is None:
        return []
    changes = [change for _, said in sections(difference.changes) for change in said]
    basis = _basis(changes)
    found = [_row(change, basis) for change in changes]
    return sorted(found, key=lambda row: not row.after)  # stable: sentences go below the columns


def basis_of(difference: Difference | None) -> str:
    """What most percentages of a difference are of."""
    return _basis(difference.changes) if difference else ""


def _basis(changes: Sequence[Change]) -> str:
    named = [change.of for change in changes if isinstance(change, LineChange | RatioChange) and change.of]  # fmt: skip
    return max(dict.fromkeys(named), key=named.count, default="")


def _row(change: Change, basis: str) -> Row:
    moved = DOUBTED if is_doubted(change) else ""
    if isinstance(change, StepChange):
        return Row(f"{change.verb}, {change.field}", change.text_before or _NOTHING, change.text_after or _NOTHING, moved)  # fmt: skip
    if isinstance(change, RatioChange) and change.kind != "ratio-unknown" and not change.lacking_after:  # fmt: skip
        unit = "g for 100 g" if change.subject == GAS else "%"
        before, after = (f"{percent(side, change.fine)} {unit}" for side in (change.before_percent, change.after_percent))  # fmt: skip
        name = ratio_name(change.subject) + _of(change.of, basis)
        return Row(name, before, after, _moved(change, moved))
    if isinstance(change, LineChange) and change.kind in _COLUMNS:
        before = _side(change.text_before, change.before_percent, change.fine)
        after = _side(change.text_after, change.after_percent, change.fine)
        return Row(item_of(change) + _of(change.of, basis), before, after, _moved(change, moved))
    if isinstance(change, MassChange) and change.kind == "mass-per-piece":
        before, after, apart = f"{grams(change.before_g)} g", f"{grams(change.after_g)} g", change.after_g - change.before_g  # fmt: skip
        return Row("mass per piece", before, after, moved or f"{apart:+.0f} g")
    if isinstance(change, TextChange) and change.kind in _TEXTS:
        return Row(change.subject or change.kind, change.text_before or _NOTHING, change.text_after or _NOTHING)  # fmt: skip
    return Row(change_text(change))


def _of(named: str, basis: str) -> str:
    return f" (of {named})" if named and named != basis else ""


def _side(text: str, share: float | None, fine: bool) -> str:
    if share is None:
        return text or _NOTHING
    return f"{text}, {percent(share, fine)} %"


def _moved(change: LineChange | RatioChange, doubt: str) -> str:
    crossing = crossing_said(change.crossing) if isinstance(change, RatioChange) else ""
    said = _SAID.get(change.kind, "")
    if change.kind == "re-measured" and not doubt and not reads_the_same(change):
        said = ""  # another amount in another measure
    said = said or doubt
    if not said and change.moved_percent is not None:
        unit = "g" if change.subject == GAS else "%"
        said = f"{signed(change.moved_percent, change.fine)} {unit}"
    return said + crossing


def heading(formula: Reviewed) -> str:
    """Title and path; status and revision from what to what; what it was renamed from."""
    said = [f"{formula.title} ({formula.path})"]
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
    return ", ".join(said)


def beside(formula: Reviewed) -> Iterator[tuple[str, list[str]]]:
    """What stands beside the table, a heading with its lines; groups with nothing are left out."""
    difference = formula.difference
    groups = (
        ("cannot be compared", [f"{r.place}: {r.message}" for r in difference.unreadable] if difference else []),
        ("allergens, by what each food is: read the labels", list(_allergens(formula))),
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
    said += [count(levels.count(level), f"new {level}") for level in LEVELS if level in levels]
    if formula.waivers:
        said.append(count(len(formula.waivers), "new waiver"))
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
    for name, by in formula.allergens:
        yield f"newly there: {name}, from {', '.join(by)}"
    if formula.allergens_gone:
        yield f"not there any more: {', '.join(formula.allergens_gone)}"


def _result(result: Result) -> str:
    return f"line {result.place.line}, {result.level}: {result.message} [{result.rule}]"
