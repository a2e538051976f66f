"""Changes of the header: what is neither ingredient nor step."""

from __future__ import annotations

from collections.abc import Iterator
from operator import attrgetter

from perflour.balance.balance import Balance
from perflour.diff.change import MassChange, TextChange
from perflour.diff.importance import PIECE_MASS, YIELD_SAID, by_factor
from perflour.diff.residual import same
from perflour.formula.formula import Formula, Yield, canonical_amount
from perflour.kitchen.quantity import Amount
from perflour.kitchen.weighing import Mass, weigh

# Nearer than this, relative, the batch comes to the pieces: what stays on bowl and bench. House choice.
YIELD_TOLERANCE = 0.02


def header_changes(before: Formula, after: Formula) -> Iterator[TextChange]:
    """Id, title, class, status, origin, citation, notes, allergens, basis, waivers and corrections."""
    if _as_written(before) == _as_written(after):
        return  # as in most revisions
    old, new = _header(before), _header(after)
    for key in old:
        gone, come = _differing(old[key], new[key])
        if gone or come:
            yield TextChange("header", key, gone, come)


def yield_changes(before: Balance, after: Balance, factor: float) -> Iterator[TextChange]:
    """How many pieces of what a batch makes; as important as what other pieces do to their mass.

    As many pieces more as the batch is larger only follow from that.
    """
    old, new = before.formula.yields, after.formula.yields
    if _yield_in_one_spelling(old) != _yield_in_one_spelling(new):
        each = before.mass_per_piece_g or 0.0, after.mass_per_piece_g or 0.0
        pieces = bool(old and new and not same(old.pieces * factor, new.pieces))
        importance = by_factor(*each, PIECE_MASS) if pieces else YIELD_SAID
        yield TextChange("yield", "yield", _yield_said(old), _yield_said(new), importance)


def yield_off(before: Balance, after: Balance) -> Iterator[MassChange]:
    """Pieces that the batch does not come to any more, or is too much for, since it changed."""
    was, is_now = _stated_g(before), _stated_g(after)
    if is_now is None or before.batch_g <= 0 or after.batch_g <= 0:
        return
    off_g = is_now.grams - after.batch_g
    was_off = abs(was.grams / before.batch_g - 1) if was else 0.0
    if abs(off_g) <= YIELD_TOLERANCE * after.batch_g or was_off > YIELD_TOLERANCE:
        return
    yields = after.formula.yields
    assert yields
    yield MassChange(
        "yield-off",
        _yield_said(yields),
        "",
        is_now.grams,
        after.batch_g,
        -off_g,
        is_now.spread_g,
        True,
        by_factor(is_now.grams, after.batch_g, PIECE_MASS),
    )


def _stated_g(balance: Balance) -> Mass | None:
    """What the stated pieces come to together; None where that is not said, or a line has no mass."""
    yields = balance.formula.yields
    value = yields.scaling_weight.value if yields and yields.scaling_weight else None
    if not yields or not isinstance(value, Amount) or balance.unweighed:
        return None
    each = weigh(value, None, "")
    if not isinstance(each, Mass):
        return None
    return Mass(each.grams * yields.pieces, each.spread_g * yields.pieces)


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


# What a header is told by, and the field of a formula that holds it.
_FIELDS = {
    "formula": "id",
    "title": "title",
    "class": "product_class",
    "status": "status",
    "origin": "origin",
    "citation": "citation",
    "notes": "notes",
    "allergens": "allergens",
    "basis": "basis",
    "waivers": "waivers",
    "corrections": "corrections",
}
_as_written = attrgetter(*_FIELDS.values())


def _header(formula: Formula) -> dict[str, str | tuple[str, ...]]:
    return {
        **dict(zip(_FIELDS, _as_written(formula), strict=True)),
        "waivers": tuple(
            f"{w.rule}{f' for {w.item}' if w.item else ''}: {w.because}" for w in formula.waivers
        ),
        "corrections": tuple(
            f"{c.item}: {c.because}" if c.item else c.because for c in formula.corrections
        ),
    }
