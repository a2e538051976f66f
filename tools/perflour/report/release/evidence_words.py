"""What speaks for the formulas of a release and against them, what is left out of it, and its cautions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from perflour.balance.allergens import Brought
from perflour.cookbook.page import Page
from perflour.kitchen.figures import counted
from perflour.kitchen.names import fold
from perflour.records.bake import Bake
from perflour.records.tasting import Session
from perflour.release.at_a_commit import Evidence
from perflour.release.release import Release, Released, is_blocked
from perflour.release.statuses import is_ever_released
from perflour.report.diff.rows import moves_of
from perflour.report.diff.text import worth_saying
from perflour.report.form.moves import Moves
from perflour.report.history.changelogs import bake_lines
from perflour.report.history.trials import baked_as_said, came_of_line
from perflour.report.release.cautions import by_what_brings
from perflour.result import Result


def result_line(result: Result, said: str = "") -> str:
    return f"{result.place}: {said or result.message} ({result.rule})"


def blocks(evidence: Evidence) -> Iterator[str]:
    """What keeps a revision out, one line each."""
    yield from (result_line(result) for result in evidence.blocking)
    yield from map(_rejects, evidence.rejecting)


def _rejects(bake: Bake) -> str:
    return f"test bake {bake.name} rejects this revision; bake it again, or change it"


def evidence_lines(formula: Released) -> Iterator[str]:
    """All the evidence of one formula."""
    evidence = formula.evidence
    if evidence is None:
        return
    if evidence.revision:
        yield f"revision {evidence.revision}, {_turn_words(formula)}"
    for bake in evidence.bakes:
        yield from bake_lines(bake)
    yield from map(baked_as_said, evidence.baked_as)
    if not evidence.bakes and not evidence.baked_as:
        yield "no test bake of exactly this revision"
    yield from map(came_of_line, evidence.trials)
    for session in evidence.sessions:
        yield from _session_lines(session)
    notes = [result for result in evidence.results if result.level == "note"]
    if not evidence.blocking:
        told = f", {counted(len(notes), 'note')}" if notes else ""
        yield f"lint: no error and no warning{told}"
    yield from (f"  {result_line(result)}" for result in notes)
    for waiver in evidence.waivers:
        about = f" for {waiver.item}" if waiver.item else ""
        yield f"waived: {waiver.rule}{about}, because {waiver.because}"


def _session_lines(session: Session) -> Iterator[str]:
    tasters = counted(len(session.present), "taster")
    asked = f": {' '.join(session.question.split())}" if session.question else ""
    yield f"tasting session {session.name}, {session.ask} asked of {tasters}{asked}"
    if session.decided:
        yield f"  decided: {' '.join(session.decided.split())}"


def _turn_words(formula: Released) -> str:
    before = formula.status_before
    words = {
        "new": f"approved since, was {before}" if before else "new here",
        "changed": "approved before and changed",
        "unchanged": "approved before, unchanged",
    }
    return words.get(formula.turn, formula.turn)


def evidence_in_short(formula: Released) -> str:
    """One line: bakes by verdict, sessions, waivers, or what blocks it."""
    evidence = formula.evidence
    if evidence is None:
        return ""
    verdicts = [bake.verdict for bake in evidence.bakes]
    counts = [
        f"{verdicts.count(v)} {v}" if len(set(verdicts)) > 1 else v
        for v in ("keep", "change", "reject")
        if v in verdicts
    ]
    told = f"{counted(len(verdicts), 'test bake')} ({', '.join(counts)})"
    as_variants = [f"baked in trial {one.trial} as {one.letter}" for one in evidence.baked_as]
    said = [told] if counts else [] if as_variants else ["no test bake of exactly this revision"]
    said += [*as_variants, *map(came_of_line, evidence.trials)]
    if evidence.sessions:
        said.append(counted(len(evidence.sessions), "tasting session"))
    if evidence.waivers:
        said.append(counted(len(evidence.waivers), "waiver"))
    if is_blocked(formula):
        said.append("BLOCKED")
    return ", ".join(said)


# --- what is not in it ---


def waiting_lines(release: Release, in_full: bool) -> Iterator[tuple[str, list[str], Moves]]:
    """What is on its way, a line each, or all against it and what moved; then what never goes out."""
    gone = ("retired", "withdrawn")  # from the book, which is told of apart
    waiting = [
        f
        for f in release.formulas
        if f.status and not f.is_released and not (f.turn in gone and f.was_released)
    ]
    for formula in waiting:
        if not is_ever_released(formula.status):
            continue
        if in_full:
            yield _name(formula), list(_all_against(formula)), moves_of_formula(formula)
        else:
            yield f"{_name(formula)}: {_first_against(formula)}", [], Moves()
    for status in dict.fromkeys(f.status for f in waiting if not is_ever_released(f.status)):
        titles = [f.title for f in waiting if f.status == status]
        yield f"{status}, never released: {_titles(titles, in_full)}", [], Moves()


# More titles than this are counted.
MOST_TITLES = 5


def _titles(titles: Sequence[str], in_full: bool) -> str:
    if in_full or len(titles) <= MOST_TITLES:
        return "; ".join(titles)
    return f"{'; '.join(titles[:MOST_TITLES])}; and {len(titles) - MOST_TITLES} more"


def _name(formula: Released) -> str:
    news = "" if formula.was_there else ", new in the repository"
    moved = formula.difference and worth_saying(formula.difference.changes)
    return f"{formula.title} ({formula.status}{', changed' if moved else news})"


def _first_against(formula: Released) -> str:
    evidence = formula.evidence
    if evidence is None or not evidence.is_blocked:
        return "nothing blocks it: set its status to approved"
    if evidence.blocking:
        # errors first, as who mends it would
        first = _not_approved_yet(min(evidence.blocking, key=lambda r: r.level != "error").message)
    else:
        first = _rejects(evidence.rejecting[0])
    more = len(evidence.blocking) + len(evidence.rejecting) - 1
    return f"{first}{f' (and {more} more)' if more else ''}"


def _not_approved_yet(message: str) -> str:
    """What lint says of it as an approved formula, said of one that is not."""
    return message.removeprefix("approved, but ").removesuffix(", or set the status to testing")


def _all_against(formula: Released) -> Iterator[str]:
    evidence = formula.evidence
    lines = [result_line(r, _not_approved_yet(r.message)) for r in evidence.blocking] if evidence else []  # fmt: skip
    lines += map(_rejects, evidence.rejecting if evidence else ())
    if lines:
        yield "before it can be approved:"
        yield from (f"  {line}" for line in lines)
    else:
        yield "nothing blocks it: set its status to approved"


def moves_of_formula(formula: Released) -> Moves:
    """What moved in ratios and method; a correction is told apart, with amounts."""
    changes = formula.difference.changes if formula.difference else []
    return moves_of([change for change in changes if change.subject != "corrections"])


# --- allergens ---


def contains(formula: Released) -> str:
    """The allergens of a formula by both lists, what is not known, and what the kitchen declares."""
    known = formula.evidence.allergens if formula.evidence else None
    if known is None:
        return ""
    said = [f"{law} list: {_listed(found)}" for law, found in (("US", known.us), ("EU", known.eu))]
    if known.not_known:
        said.append(f"not known of: {', '.join(known.not_known)}")
    if formula.page and formula.page.declared_allergens:
        said.append(f"declared by the kitchen: {', '.join(formula.page.declared_allergens)}")
    return "; ".join(said)


def _listed(found: Iterable[Brought]) -> str:
    return ", ".join(brought.allergen for brought in found) or "none that is known"


def allergen_news(formula: Released) -> Iterator[str]:
    """Allergens that came and went since the book before, each once, by the ingredients that bring them."""
    old, new = formula.page_before, formula.page
    if old is None or new is None:
        return
    laws = ((old.allergens.us, new.allergens.us), (old.allergens.eu, new.allergens.eu))
    for come, (was, now) in (("ALLERGEN: now contains", (0, 1)), ("no longer contains", (1, 0))):
        brought = (one for law in laws for one in _only_in(law[now], law[was]))
        for names, ingredients in by_what_brings((one.allergen, one.by) for one in brought):
            yield f"{come} {names} (from {ingredients})"
    if declared := [one for one in new.declared_allergens if fold(one) not in _known_of(old)]:
        yield f"ALLERGEN: the kitchen now declares {', '.join(declared)}"
    if declared := [one for one in old.declared_allergens if fold(one) not in _known_of(new)]:
        yield f"the kitchen no longer declares {', '.join(declared)}"


def _only_in(some: Sequence[Brought], others: Sequence[Brought]) -> Iterator[Brought]:
    """What stands in one list and not in the other."""
    known = {brought.allergen for brought in others}
    return (brought for brought in some if brought.allergen not in known)


def _known_of(page: Page) -> set[str]:
    """The allergens that a page names, declared or brought."""
    brought = (one.allergen for one in (*page.allergens.us, *page.allergens.eu))
    return {fold(name) for name in (*page.declared_allergens, *brought)}
