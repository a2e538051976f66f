"""One formula of a review, and what of the policy holds of it, of records and of merges."""

from __future__ import annotations

from collections.abc import Callable

from perflour.diff.change import is_only_scaled
from perflour.diff.difference import Difference
from perflour.formula.formula import APPROVED, REFERENCE, Waiver
from perflour.history.trials import BakedAs, TrialTold
from perflour.records.bake import Bake
from perflour.release.evidence import BASELINE, KINDS, RecordChange
from perflour.release.policy import IDS
from perflour.release.preview import MergePreview
from perflour.release.statuses import UNREADABLE
from perflour.result import Result
from perflour.tuples import NamedTuple

# A draft is not asked for a test bake yet, a retired formula not any more.
TO_BE_BAKED = ("testing", APPROVED)
#: Said by lint when a formula leaves the usual range of its class.
_WINDOW_RULE = "ratio-outside-window"


class Reviewed(NamedTuple):
    """One formula that differs, of which lint says something else than before, or of which records changed.

    ``revision`` is its digest, empty where it is gone or cannot be read; ``is_new_revision`` whether
    it must be baked again, ``bakes`` those of exactly this revision, ``bakes_before`` those of the revision
    on the base. ``new`` and ``gone`` are lint's results on one side only, ``kept`` counts those on both.
    ``allergens`` are newly there, each with what brings it; ``allergens_gone`` are not there any more.
    ``waivers`` are new, ``caused`` those of them that waive what the branch itself brought.
    ``was`` is the path it was renamed from, ``copied_from`` that of the formula a new one was copied from.
    ``trials`` are those that led to this revision, ``baked_as`` the variants of trials that are exactly it.
    ``reasons`` stand against it, of policy.REASONS: see ``with_reasons``.
    """

    path: str
    id: str
    title: str
    status: str
    difference: Difference | None = None
    revision: str = ""
    is_new_revision: bool = False
    bakes: tuple[Bake, ...] = ()
    changelog_behind: bool = False
    new: tuple[Result, ...] = ()
    gone: tuple[Result, ...] = ()
    kept: int = 0
    allergens: tuple[tuple[str, tuple[str, ...]], ...] = ()
    allergens_gone: tuple[str, ...] = ()
    status_before: str = ""
    revision_before: str = ""
    bakes_before: tuple[Bake, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    caused: tuple[Waiver, ...] = ()
    was: str = ""
    copied_from: str = ""
    records: tuple[RecordChange, ...] = ()
    trials: tuple[TrialTold, ...] = ()
    baked_as: tuple[BakedAs, ...] = ()
    reasons: tuple[str, ...] = ()

    @property
    def is_gone(self) -> bool:
        """Whether the branch deletes it."""
        return not self.status

    @property
    def is_scaled(self) -> bool:
        """Whether it is a kept revision made up larger or smaller, its ratios unchanged."""
        changes = self.difference.changes if self.difference else ()
        kept = any(bake.verdict == "keep" for bake in self.bakes_before)
        return kept and is_only_scaled(changes)

    @property
    def is_approved(self) -> bool:
        return self.status == APPROVED

    @property
    def is_newly_judged(self) -> bool:
        """Whether an approval rests on this branch: the status or the revision is new."""
        return self.is_approved and (self.is_new_revision or self.status_before != APPROVED)

    def verdicts(self) -> list[str]:
        """The verdicts on this revision, oldest first."""
        return [bake.verdict for bake in sorted(self.all_bakes, key=lambda b: (b.date, b.name))]

    @property
    def all_bakes(self) -> tuple[Bake, ...]:
        """The test bakes of exactly this revision, those of variants that are the same too."""
        return (*self.bakes, *(bake for baked in self.baked_as for bake in baked.bakes))


def with_reasons(formula: Reviewed, copied_from: str) -> Reviewed:
    """A formula of which all else is known, with what stands against it, which a report asks for again and again."""
    held = tuple([reason for reason in IDS if _HOLDS.get(reason, _never)(formula)])
    return formula._replace(copied_from=copied_from, reasons=held)


def _never(_: Reviewed) -> bool:
    return False


def _says(level: str, formula: Reviewed) -> bool:
    return any(result.level == level for result in formula.new)


_HOLDS: dict[str, Callable[[Reviewed], bool]] = {
    "cannot-be-read": lambda f: f.status == UNREADABLE,
    "formula-deleted": lambda f: f.is_gone and f.status_before == APPROVED,
    "formula-removed": lambda f: f.is_gone and f.status_before != APPROVED,
    "error": lambda f: _says("error", f),
    "warning": lambda f: _says("warning", f),
    "note": lambda f: _says("note", f),
    "rejected": lambda f: f.is_approved and f.verdicts()[-1:] == ["reject"],
    "not-kept": lambda f: f.is_newly_judged and not f.is_scaled and "keep" not in f.verdicts() and (bool(f.all_bakes) or not f.is_new_revision),
    "untested": lambda f: f.is_new_revision and not f.all_bakes and f.status in TO_BE_BAKED and not f.is_scaled,
    "scaled": lambda f: f.is_new_revision and not f.all_bakes and f.status in TO_BE_BAKED and f.is_scaled,
    "changelog": lambda f: f.changelog_behind,
    "changes-hands": lambda f: bool(f.status and f.status_before) and (REFERENCE in (f.status, f.status_before)) and f.status != f.status_before,
    "demoted": lambda f: f.status_before == APPROVED and not f.is_approved and f.status not in ("", UNREADABLE),
    "approved": lambda f: f.is_approved and f.status_before not in ("", APPROVED),
    "keep-after-reject": lambda f: {"keep", "reject"} <= set(f.verdicts()),
    "allergen": lambda f: bool(f.allergens and f.status_before),
    "window": lambda f: f.is_approved and any(result.rule == _WINDOW_RULE for result in f.new),
    "waiver": lambda f: bool(f.waivers),
    "waived-with-its-cause": lambda f: bool(f.caused),
}  # fmt: skip


def record_reasons(record: RecordChange) -> tuple[str, ...]:
    """What a changed record says against a branch, of policy.REASONS."""
    if record.kind == BASELINE:
        return ("baseline",) if record.is_evidence else ()
    if record.kind == KINDS["prices"]:
        return ("prices",)
    if record.is_of_trial:
        changed = ("trial-rewritten" if record.rests else "trial-changed",) if record.is_evidence else ()  # fmt: skip
        return (*changed, *(("led-nowhere",) if record.leads_nowhere else ()))
    if not record.is_record:
        return ()
    if record.how == "deleted":
        if record.is_of_led and not record.rests:
            return ("trial-rewritten",)
        return ("record-deleted" if record.rests else "record-removed",)
    if record.how == "added":
        return ("backdated",) if record.is_backdated else ()
    if record.is_evidence:
        return ("record-amended" if record.amended else "record-rewritten",)
    return ()


def merge_reasons(merge: MergePreview) -> tuple[str, ...]:
    """What a merge ahead says against a branch, of policy.REASONS."""
    if merge.conflicts:
        return ("merge-conflict",)
    return ("both-changed",) if merge.is_nobodys else ()
