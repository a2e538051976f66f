"""Changes of the header: what is neither ingredient nor step."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.balance.balance import Balance
from perflour.diff.change import TextChange
from perflour.diff.importance import PIECE_MASS, YIELD_SAID, by_factor
from perflour.formula.formula import Formula, Yield, canonical_amount


def header_changes(before: Formula, after: Formula) -> Iterator[TextChange]:
    """Title, class, status, origin, citation, notes, allergens, basis and waivers."""
    old, new = _header(before), _header(after)
    for key in old:
        gone, come = _differing(old[key], new[key])
        if gone or come:
            yield TextChange("header", key, gone, come)


def yield_changes(before: Balance, after: Balance) -> Iterator[TextChange]:
    """How many pieces of what a batch makes; as important as what other pieces do to their mass."""
    old, new = before.formula.yields, after.formula.yields
    if _yield_in_one_spelling(old) != _yield_in_one_spelling(new):
        each = before.mass_per_piece_g or 0.0, after.mass_per_piece_g or 0.0
        pieces = bool(old and new and old.pieces != new.pieces)
        importance = by_factor(*each, PIECE_MASS) if pieces else YIELD_SAID
        yield TextChange("yield", "yield", _yield_said(old), _yield_said(new), importance)


def _yield_in_one_spelling(yields: Yield | None) -> tuple[object, ...]:
    if yields is None:
        return ()
    weight = yields.scaling_weight
    return (yields.pieces, yields.piece, canonical_amount(weight) if weight else "")


def _yield_said(yields: Yield | None) -> str:
    if yields is None:
        return ""
    weight = f" of {yields.scaling_weight.text}" if yields.scaling_weight else ""
    return f"{yields.pieces} x {yields.piece}{weight}"


def _differing(old: str | tuple[str, ...], new: str | tuple[str, ...]) -> tuple[str, str]:
    """What went and what came of a list; of a text, all of it."""
    if isinstance(old, str) or isinstance(new, str):
        return ("", "") if old == new else (str(old), str(new))
    sides = set(old), set(new)
    gone, come = [v for v in old if v not in sides[1]], [v for v in new if v not in sides[0]]
    return ", ".join(gone), ", ".join(come)


def _header(formula: Formula) -> dict[str, str | tuple[str, ...]]:
    return {
        "title": formula.title,
        "class": formula.product_class,
        "status": formula.status,
        "origin": formula.origin,
        "citation": formula.citation,
        "notes": formula.notes,
        "allergens": formula.allergens,
        "basis": formula.basis,
        "waivers": tuple(
            f"{w.rule}{f' for {w.item}' if w.item else ''}: {w.because}" for w in formula.waivers
        ),
    }
