"""What a page prints, before and now: amounts in the units of the book, yield, oven, pans, steps, texts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from itertools import zip_longest

from perflour.cookbook.page import Page
from perflour.diff.change import BlendChange, Change, LineChange, MassChange, Scaling, StepChange
from perflour.kitchen.names import fold
from perflour.release.for_readers import Breaking
from perflour.release.printed import AmountMove, Corrected, PrintedAmount, amounts_moved
from perflour.release.release import Released
from perflour.report.cookbook.printed.page import yield_words
from perflour.report.form.moves import Moves, Row, words
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
    name = _named(move, several_parts)
    if move.before is None or move.after is None:
        left = move.after or move.before
        amount = amount_words(left) if left else ""
        return (
            f"{name}: {f'{amount}, was not printed' if move.after else f'left out, {was} {amount}'}"
        )
    return f"{name}: {amount_words(move.after)}, {was} {amount_words(move.before)}"


def _named(move: AmountMove, several_parts: bool) -> str:
    return f"{move.item} in the {move.part}" if several_parts else move.item


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
    """A pan or an oven that is another, as the pages say it."""
    name, before, after = _fact_sides(fact, formula)
    return typeset(f"{name}: {after}, {was} {before}")


def _fact_sides(fact: Breaking, formula: Released) -> tuple[str, str, str]:
    before, after = fact.before, fact.after
    if fact.kind == "temperature" and formula.page and formula.page_before:
        before, after = _oven(formula.page_before), _oven(formula.page)
    name = "pan" if fact.kind == "pan" else "oven"
    return name, before or "not said", after or "what is not said"


def _oven(page: Page) -> str:
    return "; ".join(page.oven)


def yield_lines(formula: Released) -> Iterator[str]:
    """``makes 48 cookies … (was 24 cookies …)``; nothing where that is as before, or was a misprint."""
    if not _is_whole(formula.corrected):
        yield from _yield_lines(formula, "was")


def _yield_lines(formula: Released, was: str) -> Iterator[str]:
    """Both yields where they differ; that pieces are weighed before baking is said once."""
    if sides := _yields(formula):
        before, after = sides
        yield typeset(f"makes {after} ({was} {before.partition(', weighed')[0]})")


def _yields(formula: Released) -> tuple[str, str] | None:
    """What a page says that it makes, before and now, where these differ."""
    if formula.page is None or formula.page_before is None:
        return None
    before, after = yield_words(formula.page_before), yield_words(formula.page)
    return (before or "not said", after or "what is not said") if before != after else None


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


def page_moves(formula: Released) -> Moves:
    """What must be set anew on a page: title, facts, amounts, steps and texts, corrections apart."""
    old, new = formula.page_before, formula.page
    if old is None or new is None:
        return Moves()
    texts = [name for name, was, now in _texts(old, new) if was != now]
    remarks = [f"also changed: {', '.join(texts)}"] if texts else []
    if set(old.steps) == set(new.steps) and old.steps != new.steps:
        remarks.append("the steps stand in another order")
    rows = [*_fact_rows(formula, old, new), *_amount_rows(formula, old, new), *_step_rows(old, new)]
    return Moves(("on the page", "printed before", "to be set"), rows, remarks)


def _fact_rows(formula: Released, old: Page, new: Page) -> Iterator[Row]:
    if new.title != old.title:
        yield words("title", old.title, new.title)
    sides = None if _is_whole(formula.corrected) else _yields(formula)
    if sides:
        yield words("makes", *map(typeset, sides))
    for fact in () if _is_whole(formula.corrected) else formula.breaking:
        if fact.kind in ("pan", "temperature"):
            yield words(*map(typeset, _fact_sides(fact, formula)))


def _amount_rows(formula: Released, old: Page, new: Page) -> Iterator[Row]:
    """The printed amounts that are others and no correction."""
    corrected = {move for one in formula.corrected for move in one.amounts}
    for move in amounts_moved(old, new):
        if move not in corrected:
            before = amount_words(move.before) if move.before else "not printed"
            after = amount_words(move.after) if move.after else "left out"
            yield words(_named(move, len(new.parts) > 1), typeset(before), typeset(after))


def _step_rows(old: Page, new: Page) -> Iterator[Row]:
    """The sentences of the method that are others, each beside the one whose place it takes."""
    matcher = SequenceMatcher(None, old.steps, new.steps, autojunk=False)
    for how, old_from, old_to, new_from, new_to in matcher.get_opcodes():
        pairs = zip_longest(range(old_from, old_to), range(new_from, new_to))
        for was, now in pairs if how != "equal" else ():
            before = "" if was is None or old.steps[was] in new.steps else old.steps[was]
            after = "" if now is None or new.steps[now] in old.steps else new.steps[now]
            if before or after:
                yield words(_step_name(was if before else None, now if after else None), *map(typeset, (before or "not printed", after or "left out")))  # fmt: skip


def _step_name(was: int | None, now: int | None) -> str:
    if now is None:
        return f"step {(was or 0) + 1} as printed before"
    return f"step {now + 1}" + ("" if was is None or was == now else f", was {was + 1}")


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
