"""What changed between two balances for somebody who bakes from the book."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from perflour.balance.allergens import allergens
from perflour.balance.balance import Balance, TotalLine
from perflour.formula.formula import Formula, Step
from perflour.kitchen.names import fold

# An ingredient moved for a reader when its percentage did by this share of itself: less is lost
# in the spoon. House choice.
LEAST_SHARE = 0.02

Kind = Literal["allergen", "yield", "pan", "temperature"]


@dataclass(frozen=True)
class Breaking:
    """Something a reader must know before the next bake; an empty side was not there."""

    kind: Kind
    before: str
    after: str


@dataclass(frozen=True)
class IngredientMove:
    """An ingredient of the base or of a part beside it, in percent ``of`` that; None where it is not there.

    ``only_in`` names what it is new to or gone from, where the rest of the formula had or has it.
    """

    name: str
    before: float | None
    after: float | None
    of: str
    only_in: str = ""


def breaking_changes(before: Balance, after: Balance) -> tuple[Breaking, ...]:
    """Allergens first, then yield, pans and oven temperatures, as far as they differ."""
    old, new = before.formula, after.formula
    found = [
        *_allergens(before, after),
        Breaking("yield", yield_said(old), yield_said(new)),
        Breaking("pan", _pans(old), _pans(new)),
        Breaking("temperature", _oven(old), _oven(new)),
    ]
    return tuple(change for change in found if change.before != change.after)


def ingredient_moves(before: Balance, after: Balance) -> tuple[IngredientMove, ...]:
    """The ingredients that are new, gone, or more or less, the largest move first.

    Of the base, and of each part beside it. Where one has another 100 % than before, nothing in it is more or less.
    """
    had, has = ({line.name for line in side.everything} for side in (before, after))
    moved = []
    for part, old, new, of, is_comparable in _sides(before, after):
        for name in {**old, **new}:
            was, now = old.get(name), new.get(name)
            elsewhere = (was is None and name in had) or (now is None and name in has)
            move = IngredientMove(name, was, now, of, part if elsewhere else "")
            if _moved(move) and (is_comparable or was is None or now is None):
                moved.append(move)
    return tuple(sorted(moved, key=lambda s: -abs((s.after or 0) - (s.before or 0))))


# A part, its percentages by name before and after, what they are of, whether of one thing.
_Side = tuple[str, dict[str, float], dict[str, float], str, bool]


def _sides(before: Balance, after: Balance) -> Iterator[_Side]:
    """The base, then each part beside it of either side."""
    yield after.base_name, _percents(before.total), _percents(after.total), after.of, True
    old, new = ({fold(one.part.part.name): one for one in b.beside} for b in (before, after))
    for name in {**old, **new}:
        was, now = old.get(name), new.get(name)
        told, formula = (now, after.formula) if now else (old[name], before.formula)
        yield (
            told.part.part.name,
            _percents(was.total if was else ()),
            _percents(now.total if now else ()),
            told.of(formula.basis),
            not (was and now) or was.basis_items == now.basis_items,
        )


def _percents(total: Iterable[TotalLine]) -> dict[str, float]:
    return {line.name: line.percent for line in total if line.percent is not None}


def _moved(move: IngredientMove) -> bool:
    before, after = move.before or 0.0, move.after or 0.0
    return abs(after - before) > LEAST_SHARE * max(before, after)


def _allergens(before: Balance, after: Balance) -> Iterator[Breaking]:
    """One for each allergen that came or went, by what the ingredients are or the file declares."""
    old, new = _allergen_names(before), _allergen_names(after)
    yield from (Breaking("allergen", "", name) for name in new if name not in old)
    yield from (Breaking("allergen", name, "") for name in old if name not in new)


def _allergen_names(balance: Balance) -> dict[str, None]:
    known = allergens(balance)
    return dict.fromkeys(
        [*(b.allergen for b in (*known.us, *known.eu)), *balance.formula.allergens]
    )


def yield_said(formula: Formula) -> str:
    """How many of what, and how heavy; empty where the formula does not say."""
    yields = formula.yields
    if yields is None:
        return ""
    weight = f" of {yields.scaling_weight.text}" if yields.scaling_weight else ""
    return f"{yields.pieces} x {yields.piece}{weight}"


def _pans(formula: Formula) -> str:
    """Where things are put to be baked, as the method says it."""
    return _told(step.text("into") for step in formula.method)


def _oven(formula: Formula) -> str:
    """The temperatures of the oven, in °C so that a second scale makes no difference."""
    return _told(map(_heat, formula.method))


def _heat(step: Step) -> str:
    reading = step.at if step.bakes else step.to or step.at if step.heats_oven else None
    if reading is None or reading.value is None:
        return ""
    low, high = reading.value.low_celsius, reading.value.high_celsius
    return f"{low:.0f} °C" if low == high else f"{low:.0f}-{high:.0f} °C"


def _told(words: Iterator[str]) -> str:
    return ", ".join(dict.fromkeys(" ".join(word.split()) for word in words if word))
