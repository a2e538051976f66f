"""An amount in one spelling: our unit names and plain numbers."""

from __future__ import annotations

from fractions import Fraction

from perflour.kitchen.numbers import mixed
from perflour.kitchen.quantity import Amount, Term

KITCHEN_DENOMINATORS = frozenset((2, 3, 4, 6, 8, 16))
DECIMAL_UNITS = frozenset(("mg", "g", "kg", "ml", "cl", "dl", "l"))


def spelled(amount: Amount) -> str:
    """An amount as ``1 1/2 cup plus 2 tbsp``; it reads as the same amount."""
    text = " plus ".join(map(_spelled, amount.terms))
    for word, term in (("", amount.content), (" drained", amount.drained)):
        text += f"{word} {_spelled(term)}" if term else ""
    return text


def _spelled(term: Term) -> str:
    numbers = dict.fromkeys(_number(value, term.unit.name) for value in (term.low, term.high))
    filling = f" {term.filling}" if term.filling else ""
    return f"{'-'.join(numbers)}{filling} {term.unit.name}"


def _number(value: Fraction, unit: str) -> str:
    """Kitchen fractions for spoons, cups, counts and ounces; decimals for metric and the rest."""
    in_fractions = value.denominator in KITCHEN_DENOMINATORS and unit not in DECIMAL_UNITS
    if value.denominator == 1 or in_fractions or 10**6 % value.denominator:
        return mixed(value)
    return f"{float(value):.6f}".rstrip("0")
