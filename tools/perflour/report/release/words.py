"""A release in sentences: for readers who bake from the book, and as evidence for the kitchen."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.kitchen.figures import percent
from perflour.release.for_readers import Breaking, IngredientMove
from perflour.release.release import OUT, Evidence, Prepared, Release, Released, is_blocked
from perflour.report.diff.text import change_text, worth_saying
from perflour.report.history.changelogs import bake_lines, count

# How a move is called, by the larger percentage over the smaller one. House choice.
LITTLE, MUCH = 1.1, 1.5
# Salt and leavening are told to 0.01.
SMALL_PERCENT = 5.0
NOTHING_APPROVED = "no formula is approved, so there is nothing to release"


class LogItem(NamedTuple):
    """A formula with what is said of it; an indented line belongs to the one before it."""

    title: str
    lines: list[str]


class LogSection(NamedTuple):
    title: str
    entries: list[LogItem]


def release_title(release: Release) -> str:
    return f"Release log {release.end}"


def release_summary(release: Release) -> str:
    """Since when, and how many formulas of each kind."""
    since = f"Since {release.start}" if release.start else "The first release"
    turns = [f.turn for f in release.formulas]
    kinds = ("new", "changed", "unchanged", "retired", "withdrawn")
    counts = [f"{turns.count(kind)} {kind}" for kind in kinds if kind in turns]
    approved = count(sum(f.status == "approved" for f in release.formulas), "approved formula")
    return f"{since}, {release.day}. {approved}; {', '.join(counts) or 'nothing for readers'}."


def sections(release: Release) -> list[LogSection]:
    """Readers' sections first, then the evidence, then what is not in the release; none empty."""
    by_turn = {turn: [f for f in release.formulas if f.turn == turn] for turn in _TURNS}
    warned = [f for f in by_turn["changed"] if f.breaking]
    found = [
        LogSection("Before you bake again", [LogItem(f.title, list(_warnings(f))) for f in warned]),
        LogSection("New", [LogItem(f.title, list(_new(f))) for f in by_turn["new"]]),
        LogSection("Changed", [LogItem(f.title, list(_changed(f))) for f in by_turn["changed"]]),
        LogSection("Retired", [LogItem(f.title, ["is not in the book any more"]) for f in by_turn["retired"] if f.status_before == "approved"]),
        LogSection("Withdrawn for now", [LogItem(f.title, ["is being worked on again"]) for f in by_turn["withdrawn"]]),
        LogSection("Unchanged", [LogItem(f.title, []) for f in by_turn["unchanged"]]),
        LogSection("Cautions", [LogItem(text, []) for text in _cautions(release)]),
        LogSection("Evidence", [LogItem(_name(f), list(_evidence(f))) for f in release.formulas if f.status == "approved"]),
        LogSection("Not in this release", [LogItem(_name(f), list(_waiting(f))) for f in release.formulas if f.status not in ("approved", *OUT, "")]),
    ]  # fmt: skip
    return [section for section in found if section.entries]


_TURNS = ("new", "changed", "unchanged", "retired", "withdrawn", "waiting")


def _name(formula: Released) -> str:
    return f"{formula.title} ({formula.id}, {formula.status})"


def _warnings(formula: Released) -> Iterator[str]:
    yield from map(_breaking, formula.breaking)


def _breaking(change: Breaking) -> str:
    """One line that a reader cannot misunderstand."""
    before, after = change.before, change.after
    if change.kind == "allergen":
        return f"ALLERGEN: now contains {after}" if after else f"no longer contains {before}"
    if change.kind == "yield":
        return f"makes {after or 'what is not said'}, was {before or 'not said'}"
    if change.kind == "pan":
        return f"pan: {after or 'none said'}, was {before or 'none said'}"
    return f"oven: {after or 'not heated'}, was {before or 'not heated'}"


def _new(formula: Released) -> Iterator[str]:
    evidence = formula.evidence
    if evidence and evidence.makes:
        yield f"makes {evidence.makes}"
    if evidence:
        yield from _contains(evidence)


def _changed(formula: Released) -> Iterator[str]:
    """Breaking changes, then ingredients in words, then all of it in ratios."""
    yield from _warnings(formula)
    difference = formula.difference
    yield from (move_words(move) for move in formula.moves)
    changes = worth_saying(difference.changes) if difference else []
    if changes:
        yield "in ratios:"
        yield from (f"  {change_text(change)}" for change in changes)
    elif not formula.breaking and not formula.moves:
        yield "only the wording of the method"


def move_words(move: IngredientMove) -> str:
    """An ingredient in words, with its percentages."""
    only_in = f" in the {move.only_in}" if move.only_in else ""
    if move.before is None:
        return f"{move.name} is new{only_in} ({percent(move.after or 0)} % of {move.of})"
    if move.after is None:
        return f"no {move.name}{only_in} any more (was {percent(move.before)} % of {move.of})"
    low, high = sorted((move.before, move.after))
    more = "more" if move.after > move.before else "less"
    times = high / low if low else MUCH
    how = "a little " if times < LITTLE else "much " if times >= MUCH else ""
    fine = high < SMALL_PERCENT
    return f"{how}{more} {move.name} ({percent(move.before, fine)} % -> {percent(move.after, fine)} % of {move.of})"


def _contains(evidence: Evidence) -> Iterator[str]:
    known = evidence.allergens
    if known is None:
        return
    for law, found in (("US", known.us), ("EU", known.eu)):
        yield f"allergens, {law} list: {', '.join(b.allergen for b in found) or 'none that is known'}"
    if known.not_known:
        yield f"allergens not known of: {', '.join(known.not_known)}"


def _cautions(release: Release) -> list[str]:
    """The usual cautions of everything that goes out, each once."""
    told = (
        caution.text
        for formula in release.formulas
        if formula.status == "approved" and formula.evidence and formula.evidence.allergens
        for caution in formula.evidence.allergens.cautions
    )
    return list(dict.fromkeys(told))


def _evidence(formula: Released) -> Iterator[str]:
    evidence = formula.evidence
    if evidence is None:
        return
    if evidence.revision:
        yield f"revision {evidence.revision}, {_turn_words(formula)}"
    if is_blocked(formula):
        yield "BLOCKED:"
        yield from (f"  {line}" for line in blocks(evidence))
    for bake in evidence.bakes:
        yield from bake_lines(bake)
    if not evidence.bakes:
        yield "no test bake of exactly this revision"
    notes = [result for result in evidence.results if result.level == "note"]
    if not evidence.blocking:
        told = f", {count(len(notes), 'note')}" if notes else ""
        yield f"lint: no error and no warning{told}"
    yield from (f"  {result.place}: {result.message} ({result.rule})" for result in notes)
    yield from _contains(evidence)
    for waiver in evidence.waivers:
        about = f" for {waiver.item}" if waiver.item else ""
        yield f"waived: {waiver.rule}{about}, because {waiver.because}"


def _turn_words(formula: Released) -> str:
    before = formula.status_before
    words = {
        "new": f"approved since, was {before}" if before else "new here",
        "changed": "approved before and changed",
        "unchanged": "approved before, unchanged",
    }
    return words.get(formula.turn, formula.turn)


def blocks(evidence: Evidence) -> Iterator[str]:
    """What keeps a revision out, one line each."""
    for result in evidence.blocking:
        yield f"{result.place}: {result.message} ({result.rule})"
    for bake in evidence.rejecting:
        yield f"test bake {bake.name} rejects this revision; bake it again, or change it"


def _waiting(formula: Released) -> Iterator[str]:
    """What stands between a formula and its approval, and what moved meanwhile."""
    evidence = formula.evidence
    if not formula.was_there:
        yield "new in the repository"
    lines = list(blocks(evidence)) if evidence else []
    if lines:
        yield "before it can be approved:"
        yield from (f"  {line}" for line in lines)
    else:
        yield "nothing blocks it: set its status to approved"
    difference = formula.difference
    changes = worth_saying(difference.changes) if difference else []
    if difference and changes:
        yield "changed:"
        yield from (f"  {change_text(change)}" for change in changes)


def gate_lines(prepared: Prepared) -> Iterator[str]:
    """What blocks a release that is being prepared; nothing where it is ready."""
    for path in prepared.uncommitted:
        yield f"{path}: is not committed; commit it, or take the change back"
    for formula in prepared.release.blocked:
        if formula.evidence:
            yield from blocks(formula.evidence)
    if not any(prepared.approved):
        yield NOTHING_APPROVED


def next_commands(prepared: Prepared, shown: str) -> Sequence[str]:
    """What to run once the log is written."""
    version = prepared.version
    return (
        f"git add {shown}",
        f'git commit -m "Release {version}"',
        f'git tag -a {version} -m "Release {version}"',
    )
