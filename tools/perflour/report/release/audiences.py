"""The sections of a release log for each of those who read it: readers of the book, the team, its editor."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Literal, NamedTuple, get_args

from perflour.kitchen.figures import counted
from perflour.release.release import Release, Released, is_blocked
from perflour.report.cookbook.printed.page import yield_words
from perflour.report.form.moves import Moves
from perflour.report.form.signs import typeset
from perflour.report.release.cautions import cautions_of
from perflour.report.release.evidence_words import (
    allergen_news,
    blocks,
    contains,
    evidence_in_short,
    evidence_lines,
    moves_of_formula,
    waiting_lines,
)
from perflour.report.release.printed_words import (
    correction_lines,
    empty_corrections,
    page_moves,
    reader_lines,
)

Audience = Literal["team", "readers", "editor"]
AUDIENCES: tuple[Audience, ...] = get_args(Audience)
#: The section that stands out in print: what a reader must know before the next bake.
FIRST = "Before you bake again"
ALLERGENS, CAUTIONS = "Allergens", "Cautions"


class LogItem(NamedTuple):
    """A formula with what is said of it, then what moved; an indented line belongs to the one before it."""

    title: str
    lines: Sequence[str] = ()
    moves: Moves = Moves()


class LogSection(NamedTuple):
    title: str
    entries: list[LogItem]


class Telling(NamedTuple):
    """Whom a log is for, and whether all that keeps a formula out is told."""

    audience: Audience = "team"
    in_full: bool = False


def title_of(release: Release, telling: Telling) -> str:
    if telling.audience == "readers":
        return f"What is new in {release.end}"
    of = ", for the editor" if telling.audience == "editor" else ""
    return f"Release log {release.end}{of}"


def summary_of(release: Release, telling: Telling) -> str:
    """Since when, and how many formulas of each kind."""
    since = f"since {release.start}" if release.start else "the first release"
    turns = [f.turn for f in release.formulas if f.turn != "retired" or f.was_released]
    kinds = ("new", "changed", "unchanged", "retired", "withdrawn")
    counts = [f"{turns.count(kind)} {kind}" for kind in kinds if kind in turns]
    if retitled := sum(f.is_retitled for f in release.formulas):
        counts.append(f"{retitled} with a new title")
    if corrected := sum(bool(f.corrected) for f in release.formulas):
        counts.append(f"{corrected} corrected")
    number = sum(f.is_released for f in release.formulas)
    what = f"{number} in the book" if telling.audience == "readers" else counted(number, "approved formula")  # fmt: skip
    said = f"{release.day}, {since}: {what}; {', '.join(counts) or 'nothing for readers'}."
    return " ".join(filter(None, (said, _gate(release, telling))))


def _gate(release: Release, telling: Telling) -> str:
    """Whether it may go out, where no section says so."""
    if telling.audience == "readers" and release.blocked:
        return f"Not to be sent out: of {counted(len(release.blocked), 'formula')} the kitchen has something to mend first."
    if telling.audience == "editor" and not release.blocked:
        return "No approved formula is blocked."
    return ""


def sections(release: Release, telling: Telling) -> list[LogSection]:
    """The sections of a log, those with nothing in them left out."""
    told = _TOLD[telling.audience](release, telling)
    return [section for section in told if section.entries]


def _of(release: Release, *turns: str) -> list[Released]:
    return [f for f in release.formulas if f.turn in turns]


def _each(
    formulas: Iterable[Released], lines: Callable[[Released], Iterable[str]], name: Callable[[Released], str]
) -> list[LogItem]:  # fmt: skip
    """Those of which there is something to say."""
    told = ((formula, list(lines(formula))) for formula in formulas)
    return [LogItem(name(formula), said) for formula, said in told if said]


def _title(formula: Released) -> str:
    return formula.title


def _title_and_id(formula: Released) -> str:
    return f"{formula.title} ({formula.id})"


def _in_one_line(formulas: Iterable[Released]) -> list[LogItem]:
    titles = "; ".join(formula.title for formula in formulas)
    return [LogItem(titles)] if titles else []


def _retitled(release: Release) -> list[LogItem]:
    return [LogItem(f"{f.title}, was {f.page_before.title}") for f in release.formulas if f.is_retitled and f.page_before]  # fmt: skip


def _gone(release: Release) -> Iterator[LogItem]:
    """What was in the book and is not: for good, or while it is worked on again."""
    for formula in _of(release, "retired"):
        if formula.was_released:
            yield LogItem(formula.title)
    for formula in _of(release, "withdrawn"):
        yield LogItem(f"{formula.title}, for now")


def _unchanged_evidence(release: Release) -> Iterator[LogItem]:
    """Those whose evidence reads the same, together."""
    for said, titles in _alike(_of(release, "unchanged"), evidence_in_short):
        yield LogItem(f"{titles}: unchanged, {said}")


def _alike(
    formulas: Iterable[Released], said: Callable[[Released], str]
) -> Iterator[tuple[str, str]]:
    """What is said of formulas, with the titles of all of which it is."""
    alike: dict[str, list[str]] = {}
    for formula in formulas:
        alike.setdefault(said(formula), []).append(formula.title)
    return ((words, "; ".join(titles)) for words, titles in alike.items() if words)


def _allergens(release: Release) -> list[LogItem]:
    """Of what is new or changed, formulas with the same allergens together."""
    news = _of(release, "new", "changed")
    return [LogItem(f"{titles}: {words}") for words, titles in _alike(news, contains)]


# --- readers ---


def _for_readers(release: Release, _: Telling) -> Iterator[LogSection]:
    """No ids, revisions, verdicts or percentages: what is on the pages, and what is not there any more."""
    kept = _of(release, "changed", "unchanged")
    yield LogSection(FIRST, _each(kept, allergen_news, _title))
    yield LogSection("Corrections: please mend your copy", _each(kept, lambda f: correction_lines(f, True), _title))  # fmt: skip
    yield LogSection("New", [LogItem(f.title, _new_line(f)) for f in _of(release, "new")])
    yield LogSection("Changed", _each(_of(release, "changed"), _changed_for_readers, _title))
    yield LogSection("New titles", _retitled(release))
    yield LogSection("Not in the book any more", list(_gone(release)))
    same = [f for f in _of(release, "unchanged") if not f.is_retitled]
    yield LogSection("As before", _in_one_line(same))
    yield LogSection(ALLERGENS, _allergens(release))
    yield _cautions(release, in_short=False)


def _new_line(formula: Released) -> list[str]:
    makes = yield_words(formula.page) if formula.page else ""
    return [*([typeset(f"makes {makes}")] if makes else []), *_baked(formula)]


def _baked(formula: Released) -> Iterator[str]:
    evidence = formula.evidence
    if evidence:
        bakes = (*evidence.bakes, *(bake for one in evidence.baked_as for bake in one.bakes))
        kept = sum(bake.verdict == "keep" for bake in bakes)
        yield f"baked {_times(kept)} in our kitchen just as it is printed" if kept else "not yet baked in our kitchen just as it is printed"  # fmt: skip


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def _changed_for_readers(formula: Released) -> list[str]:
    said = reader_lines(formula)
    if said:
        return [*said, *_baked(formula)]
    # an amount that was a misprint is told above
    return [] if formula.corrected else ["nothing that changes how you bake it"]


# --- the team ---


def _for_team(release: Release, telling: Telling) -> Iterator[LogSection]:
    """Ratios, and all the evidence of what is new or changed."""
    kept, news = _of(release, "changed", "unchanged"), _of(release, "new", "changed")
    yield LogSection("Blocked", _blocked(release))
    yield LogSection(FIRST, _each(kept, allergen_news, _title_and_id))
    yield LogSection("Corrections", _each(kept, _corrections, _title_and_id))
    yield LogSection("New", [LogItem(_title_and_id(f), _makes(f)) for f in _of(release, "new")])
    yield LogSection("Changed", list(map(_moved, _of(release, "changed"))))
    yield LogSection("Retitled", _retitled(release))
    yield LogSection("Not in the book any more", list(_gone(release)))
    unchanged = _unchanged_evidence(release)
    yield LogSection("Evidence", [*_each(news, evidence_lines, _title_and_id), *unchanged])
    yield _not_in(release, telling)
    yield LogSection(ALLERGENS, _allergens(release))
    yield _cautions(release, in_short=True)


def _blocked(release: Release) -> list[LogItem]:
    return [LogItem(_title_and_id(f), list(blocks(f.evidence))) for f in release.blocked if f.evidence]  # fmt: skip


def _corrections(formula: Released) -> Iterator[str]:
    yield from correction_lines(formula, False)
    yield from empty_corrections(formula)


def _makes(formula: Released) -> list[str]:
    return [f"makes {formula.evidence.makes}"] if formula.evidence and formula.evidence.makes else []  # fmt: skip


def _moved(formula: Released) -> LogItem:
    """In ratios; what is corrected is told above too, with amounts."""
    moves = moves_of_formula(formula)
    nothing = ["nothing that moves a ratio or a step"] if moves.is_empty else []
    return LogItem(_title_and_id(formula), nothing, moves)


def _not_in(release: Release, telling: Telling) -> LogSection:
    waiting = waiting_lines(release, telling.in_full)
    return LogSection("Not in this release", [LogItem(*told) for told in waiting])


def _cautions(release: Release, in_short: bool) -> LogSection:
    """Each once, with the formulas it holds for."""
    released = [formula for formula in release.formulas if formula.is_released]
    said = [LogItem(*told) for told in cautions_of(released, in_short)]
    if said and in_short:
        said.append(LogItem("In full on each page of the book."))
    return LogSection(CAUTIONS, said)


# --- the editor ---


def _for_editor(release: Release, telling: Telling) -> Iterator[LogSection]:
    """What is to be set, in the words and amounts of the pages, and whether it may go to print."""
    kept = _of(release, "changed", "unchanged")
    pages = [(formula, page_moves(formula)) for formula in kept]
    to_set = [_page_to_set(formula, moves) for formula, moves in pages if not moves.is_empty]
    as_they_are = [f for f, moves in pages if moves.is_empty and not f.corrected]
    news = [f for f in _of(release, "new", "changed") if not is_blocked(f)]
    yield LogSection("May not go to print yet", _blocked(release))
    yield LogSection("Corrections: set anew, and tell readers", _each(kept, _corrections, _title))
    yield LogSection("New pages", [LogItem(f.title, _new_page(f)) for f in _of(release, "new")])
    yield LogSection("Pages to set anew", to_set)
    yield LogSection("Pages to take out", list(_gone(release)))
    yield LogSection("Pages as they are", _in_one_line(as_they_are))
    short = [LogItem(f"{f.title}: {evidence_in_short(f)}") for f in news]
    yield LogSection("Evidence", [*short, *_unchanged_evidence(release)])
    yield _not_in(release, telling)
    yield LogSection(ALLERGENS, _allergens(release))
    yield _cautions(release, in_short=True)


def _new_page(formula: Released) -> list[str]:
    page = formula.page
    if page is None:
        return []
    makes = yield_words(page)
    return [f"chapter: {page.kind}", *([typeset(f"makes {makes}")] if makes else [])]


def _page_to_set(formula: Released, moves: Moves) -> LogItem:
    return LogItem(formula.title, list(allergen_news(formula)), moves)


_TOLD: dict[Audience, Callable[[Release, Telling], Iterator[LogSection]]] = {
    "team": _for_team,
    "readers": _for_readers,
    "editor": _for_editor,
}
