"""What stands against a branch, in words: a phrase for each reason, and the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from perflour.kitchen.figures import counted
from perflour.release.evidence import RecordChange
from perflour.release.policy import LOOK_FIRST, MAY_BE_MERGED, NOT_YET
from perflour.release.review import Review
from perflour.release.reviewed import Reviewed, merge_reasons, record_reasons
from perflour.result import LEVELS

#: More names than this are counted.
MOST_NAMED = 3
#: What is said of the formulas of a reason, and what of the records.
_OF_FORMULAS = {
    "cannot-be-read": "cannot be read: {names}",
    "formula-deleted": "approved and deleted: {names}",
    "formula-removed": "deleted: {names}",
    "rejected": "approved, and its newest test bake rejects it: {names}",
    "not-kept": "approved, and no test bake of this revision says keep: {names}",
    "untested": "no test bake of {number} ({names})",
    "scaled": "scaled from a kept revision, ratios unchanged: {names}",
    "changelog": "changelog behind: {names}",
    "changes-hands": "of the house and a reference by turns: {names}",
    "demoted": "approved no longer: {names}",
    "approved": "newly approved: {names}",
    "keep-after-reject": "one revision kept and rejected: {names}",
    "allergen": "allergens newly there: {names}",
    "window": "approved and out of the usual range: {names}",
    "waiver": "waivers added: {names}",
    "waived-with-its-cause": "waived in the branch that brings it: {names}",
}
_OF_RECORDS = {
    "record-deleted": "records deleted that an approved or kept revision rests on: {names}",
    "record-removed": "records deleted: {names}",
    "record-rewritten": "records changed without saying why: {names}",
    "trial-rewritten": "trials that led to a revision are not as they were: {names}",
    "trial-changed": "trials that were baked are not as they were planned: {names}",
    "led-nowhere": "trials that led to a revision which is not in the history: {names}",
    "record-amended": "records changed, with the reason in them: {names}",
    "backdated": "records dated before others that were there: {names}",
    "baseline": "more results are taken as known: {names}",
    "prices": "prices changed: {names}",
}
_OF_MERGES = {
    "merge-conflict": "conflicts when merged into {base}: {names}",
    "both-changed": "changed on both sides, the merged revision is one that nobody has baked: {names}",
}  # fmt: skip
_SAID = {MAY_BE_MERGED: "May be merged", LOOK_FIRST: "Look first", NOT_YET: "Not yet"}


def verdict_lines(review: Review) -> list[str]:
    """The verdict with what stops, then what is to be looked at, then what is only told."""
    if not (review.formulas or review.house or review.others or review.records or review.merges):
        return ["May be merged: no formula, record or house file changed."]
    stops, looks, told = (
        [phrase(review, reason) for reason in review.weighing(weight)]
        for weight in ("stop", "look", "told")
    )
    changed = f"{counted(len(review.formulas), 'formula')} changed"
    first = "; ".join(stops or looks) or f"{changed}, nothing stands against it"
    lines = [f"{_SAID[review.verdict]}: {first}."]
    if stops and looks:
        lines.append(f"Look at: {'; '.join(looks)}.")
    if told:
        lines.append(f"Also: {'; '.join(told)}.")
    return lines


def phrase(review: Review, reason: str) -> str:
    """A reason with what it is about."""
    held = [formula for formula in review.formulas if reason in formula.reasons]
    if reason in LEVELS:
        results = [*review.others, *(r for formula in held for r in formula.new)]
        number = len([result for result in results if result.level == reason])
        names = _names(formula.id for formula in held)
        return counted(number, f"new {reason}") + (f" ({names})" if names else "")
    if reason == "house":
        return f"house files changed: {_names(dict.fromkeys(change.path for change in review.house))}"  # fmt: skip
    if reason in _OF_RECORDS:
        held_by = [record for record in review.records if reason in record_reasons(record)]
        return _OF_RECORDS[reason].format(names=_names(map(_record_name, held_by)))
    if reason in _OF_MERGES:
        paths = [merge.path for merge in review.merges if reason in merge_reasons(merge)]
        return _OF_MERGES[reason].format(names=_names(paths), base=review.base)
    names = _names(_named(formula, reason) for formula in held)
    return _OF_FORMULAS[reason].format(names=names, number=counted(len(held), "new revision"))


def _named(formula: Reviewed, reason: str) -> str:
    if reason == "allergen":
        return f"{', '.join(name for name, _ in formula.allergens)} ({formula.id})"
    if reason == "demoted":
        return f"{formula.id}, now {formula.status}"
    return formula.id


def _record_name(record: RecordChange) -> str:
    """A record by its formula and its file; the table has its path."""
    folder, _, name = record.path.rpartition("/")
    if record.is_of_trial:
        return folder.rpartition("/")[2]
    of = f"{record.formulas[0]} " if len(record.formulas) == 1 else f"{folder}/" if folder else ""
    return f"{of}{name.removesuffix('.yaml')}"


def _names(names: Iterable[str]) -> str:
    all_names: Sequence[str] = list(names)
    more = len(all_names) - MOST_NAMED
    return ", ".join(all_names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
