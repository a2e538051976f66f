"""What may stand against a branch in a review, and how much: the written policy, which a house can tighten.

Apart so that the command line need not load more. docs/review.md has these rows as a table.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from perflour.tuples import NamedTuple

#: How much a reason weighs: only told, to be looked at before merging, or in the way of merging.
WEIGHTS = ("told", "look", "stop")
#: The verdicts that the weights lead to.
MAY_BE_MERGED, LOOK_FIRST, NOT_YET = "may be merged", "look first", "not yet"
VERDICTS = dict(zip(WEIGHTS, (MAY_BE_MERGED, LOOK_FIRST, NOT_YET), strict=True))
#: From which verdict on a review fails: `never` reports only.
FAIL_AT = ("not-yet", "look-first", "never")


class Reason(NamedTuple):
    """Something that may stand against a branch; ``weight`` is the usual one, a house choice of ours."""

    id: str
    weight: str
    holds_when: str


#: Gravest first.
REASONS = (
    Reason("cannot-be-read", "stop", "a formula or record cannot be read on the branch"),
    Reason("formula-deleted", "stop", "an approved formula is deleted"),
    Reason("record-deleted", "stop", "a test bake or tasting is deleted that an approved or kept revision rests on"),
    Reason("record-rewritten", "stop", "what a test bake or tasting says is changed, and the record does not say why (`amended`)"),
    Reason("trial-rewritten", "stop", "a trial that led to a revision is deleted or says otherwise what was planned or what it led to, or a variant or a test bake of it is changed or gone"),
    Reason("error", "stop", "lint says something new of level error"),
    Reason("rejected", "stop", "an approved formula whose newest record of this revision is a reject"),
    Reason("not-kept", "stop", "a formula is approved, or an approved one changed, and no record of this revision says keep"),
    Reason("untested", "stop", "a formula in testing or approved has a new revision that nobody has baked"),
    Reason("merge-conflict", "stop", "merging into the tip of the base ends in a conflict"),
    Reason("changelog", "stop", "a changelog does not tell of a new revision"),
    Reason("demoted", "look", "an approved formula is so no longer"),
    Reason("changes-hands", "look", "a formula of the house becomes a reference, or a reference one of the house"),
    Reason("formula-removed", "look", "a formula that was not approved is deleted"),
    Reason("record-removed", "look", "a record is deleted that no approval rests on"),
    Reason("record-amended", "look", "a record is changed and says why"),
    Reason("trial-changed", "look", "a trial that was baked and led to nothing yet says otherwise what was planned, or a variant of it that was baked is changed or gone"),
    Reason("led-nowhere", "look", "a trial says that it led to a revision that the history of its formula does not have"),
    Reason("keep-after-reject", "look", "a revision is kept that another record of it rejects"),
    Reason("backdated", "look", "a record is added that is dated before the newest one of its formula"),
    Reason("allergen", "look", "an allergen is newly there"),
    Reason("window", "look", "an approved formula leaves the usual range of its class"),
    Reason("scaled", "told", "a kept revision is made up larger or smaller, its ratios unchanged"),
    Reason("waiver", "look", "a waiver is added, or the reason of one is changed"),
    Reason("waived-with-its-cause", "look", "a waiver is added in the branch that brings what it waives"),
    Reason("baseline", "look", "the list of known results grows"),
    Reason("house", "look", "a house or ingredients file changes"),
    Reason("both-changed", "look", "both sides changed one formula: the merged revision is one that nobody has baked"),
    Reason("warning", "look", "lint says something new of level warning"),
    Reason("approved", "look", "a formula is newly approved"),
    Reason("prices", "told", "prices change"),
    Reason("note", "told", "lint says something new of level note"),
)  # fmt: skip
IDS = tuple(reason.id for reason in REASONS)
USUAL = {reason.id: reason.weight for reason in REASONS}
#: What a house may tighten, and to what.
TIGHTER = {r.id: WEIGHTS[WEIGHTS.index(r.weight) + 1 :] for r in REASONS if r.weight != WEIGHTS[-1]}


def tightened(houses: Iterable[Mapping[str, str]], stops: Iterable[str] = ()) -> dict[str, str]:
    """The weight of every reason: the usual one, or the gravest of what houses say; ``stops`` stop."""
    weights = dict(USUAL)
    for said in (*houses, dict.fromkeys(stops, WEIGHTS[-1])):
        for reason, weight in said.items():
            if reason in weights and WEIGHTS.index(weight) > WEIGHTS.index(weights[reason]):
                weights[reason] = weight
    return weights


def verdict_of(reasons: Iterable[str], weights: Mapping[str, str]) -> str:
    """The gravest verdict of the reasons that hold."""
    gravest = max((WEIGHTS.index(weights[reason]) for reason in reasons), default=0)
    return VERDICTS[WEIGHTS[gravest]]


def fails(verdict: str, fail_at: str) -> bool:
    """Whether a verdict is grave enough to fail, of FAIL_AT."""
    grave = {"never": (), "look-first": (LOOK_FIRST, NOT_YET), "not-yet": (NOT_YET,)}
    return verdict in grave[fail_at]
