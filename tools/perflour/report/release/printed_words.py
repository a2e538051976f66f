"""What a page prints, before and now: amounts in the units of the book, yield, oven, pans, steps, texts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.cookbook.english import counted
from perflour.cookbook.page import Page
from perflour.diff.change import BlendChange, Change, LineChange, MassChange, Scaling, StepChange
from perflour.kitchen.names import fold
from perflour.release.for_readers import Breaking
from perflour.release.printed import AmountMove, Corrected, PrintedAmount, amounts_moved
from perflour.release.release import Released
from perflour.report.cookbook.printed import yield_words
from perflour.report.form.signs import measure, typeset
from perflour.report.release.baking_words import baking_words, items_of


def amount_words(amount: PrintedAmount) -> str:
    """``6 g (1¼ tsp)``, as a page has them in two columns."""
    said = measure(amount.measure)
    if not amount.grams:
        return said or "no amount"
    return f"{amount.grams} g ({said})" if said else f"{amount.grams} g"


def move_words(move: AmountMove, several_parts: bool, was: str = "was") -> str:
    """``baking soda: 6 g (1¼ tsp), was 18 g (1¼ tbsp)``; the part is named where there are several."""
    name = f"{move.item} in the {move.part}" if several_parts else move.item
    if move.before is None or move.after is None:
        left = move.after or move.before
        amount = amount_words(left) if left else ""
        return (
            f"{name}: {f'{amount}, was not printed' if move.after else f'left out, {was} {amount}'}"
        )
    return f"{name}: {amount_words(move.after)}, {was} {amount_words(move.before)}"


def amount_lines(formula: Released) -> Iterator[str]:
    """The printed amounts that are others and no correction."""
    if formula.page is None or formula.page_before is None:
        return
    corrected = {move for one in formula.corrected for move in one.amounts}
    for move in amounts_moved(formula.page_before, formula.page):
        if move not in corrected:
            yield move_words(move, len(formula.page.parts) > 1)


def correction_lines(formula: Released, for_readers: bool) -> Iterator[str]:
    """What was printed and what is right, then why; readers get no word that only the kitchen knows."""
    several = formula.page is not None and len(formula.page.parts) > 1
    for one in formula.corrected:
        yield from (typeset(move_words(move, several, "printed as")) for move in one.amounts)
        if not one.item:
            yield from _yield_lines(formula, "printed as")
        yield from (fact_words(f, formula, "printed as") for f in one.facts if f.kind != "yield")
        if because := one.for_readers if for_readers else one.because:
            yield f"  because {because}"
    if for_readers and formula.corrected and not other_words(formula):
        yield from yield_lines(formula)


def empty_corrections(formula: Released) -> Iterator[str]:
    """Corrections that are recorded and moved nothing on the page."""
    for one in formula.corrections:
        if one.is_empty:
            of = one.item or "the page"
            yield f"a correction of {of} is recorded, but what is printed is the same; look at the entry"


def fact_words(fact: Breaking, formula: Released, was: str = "was") -> str:
    """The oven or the pans, as the page says it."""
    before, after = fact.before, fact.after
    if fact.kind == "temperature" and formula.page and formula.page_before:
        before, after = _oven(formula.page_before), _oven(formula.page)
    name = "pan" if fact.kind == "pan" else "oven"
    return typeset(f"{name}: {after or 'what is not said'}, {was} {before or 'not said'}")


def _oven(page: Page) -> str:
    return "; ".join(page.oven)


def yield_lines(formula: Released) -> Iterator[str]:
    """``makes 48 cookies … (was 24 cookies …)``; nothing where that is as before, or was a misprint."""
    if not _is_whole(formula.corrected):
        yield from _yield_lines(formula, "was")


def _yield_lines(formula: Released, was: str) -> Iterator[str]:
    """Both yields where they differ; that pieces are weighed before baking is said once."""
    if formula.page is None or formula.page_before is None:
        return
    after, before = yield_words(formula.page), yield_words(formula.page_before)
    if after != before:
        before = before.partition(", weighed")[0]
        yield typeset(f"makes {after or 'what is not said'} ({was} {before or 'not said'})")


def reader_lines(formula: Released) -> list[str]:
    """What changed for who bakes from the book, corrections and what they bring along apart."""
    said = other_words(formula)
    return [*yield_lines(formula), *said] if said or not formula.corrected else []


def other_words(formula: Released) -> list[str]:
    """The changes that are no correction, in the words of who bakes at home."""
    difference, page = formula.difference, formula.page
    if difference is None or page is None:
        return []
    changes = [c for c in difference.changes if not _is_corrected(c, formula.corrected)]
    return baking_words(changes, page.scale_resolution_g)


def _is_whole(corrected: Sequence[Corrected]) -> bool:
    """Whether the page as a whole is corrected: yield, pans and oven with it."""
    return any(not one.item for one in corrected)


def _is_corrected(change: Change, corrected: Sequence[Corrected]) -> bool:
    """Whether a correction tells of all that a change does."""
    if not corrected:
        return False
    if _is_whole(corrected):
        if isinstance(change, StepChange):
            is_heat = change.is_of_oven and change.field in ("to", "at")
            return change.field == "into" or is_heat
        if isinstance(change, Scaling):
            return True
    items = set(map(fold, items_of(change)))
    amounts = isinstance(change, LineChange | MassChange | BlendChange)
    named = {fold(move.item) for one in corrected for move in one.amounts}
    return amounts and bool(items) and items <= named


def page_lines(formula: Released) -> list[str]:
    """What must be set anew on a page: title, facts, amounts, steps and texts, corrections apart."""
    old, new = formula.page_before, formula.page
    if old is None or new is None:
        return []
    texts = [name for name, was, now in _texts(old, new) if was != now]
    told = () if _is_whole(formula.corrected) else ("pan", "temperature")
    facts = [fact for fact in formula.breaking if fact.kind in told]
    return [
        *([f"title: {new.title}, was {old.title}"] if new.title != old.title else []),
        *yield_lines(formula),
        *(fact_words(fact, formula) for fact in facts),
        *map(typeset, amount_lines(formula)),
        *map(typeset, _step_lines(old, new)),
        *([f"also changed: {', '.join(texts)}"] if texts else []),
    ]


def _step_lines(old: Page, new: Page) -> Iterator[str]:
    """The sentences of the method that are others."""
    for number, sentence in enumerate(new.steps, 1):
        if sentence not in old.steps:
            yield f"step {number}: {sentence}"
    if gone := sum(sentence not in new.steps for sentence in old.steps):
        yield f"{counted(gone, 'sentence')} of the method printed before {'goes' if gone == 1 else 'go'}"
    if not set(old.steps) ^ set(new.steps) and old.steps != new.steps:
        yield "the steps stand in another order"


def _texts(old: Page, new: Page) -> Iterator[tuple[str, object, object]]:
    """The texts of a page by name, as they were and as they are."""
    for name, of in (
        ("the chapter", lambda p: p.kind),
        ("the note under the title", lambda p: p.headnote),
        ("the source", lambda p: p.citation),
        ("the notes from the test kitchen", lambda p: p.kitchen_notes),
        ("the remarks beside parts and ingredients", _remarks),
        ("the allergens declared", lambda p: p.declared_allergens),
        ("the allergens", lambda p: (p.allergens.us, p.allergens.eu)),
        ("the cautions", lambda p: p.cautions),
    ):
        yield name, of(old), of(new)


def _remarks(page: Page) -> tuple[object, ...]:
    return tuple((part.notes, *(line.remark for line in part.lines if line.remark)) for part in page.parts)  # fmt: skip
