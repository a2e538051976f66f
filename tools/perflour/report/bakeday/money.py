"""Money: exact until it is shown, rounded half up to the smallest coin."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

USUAL_DECIMALS = 2
# Currencies with another number of decimals (ISO 4217, from memory); all others have two.
DECIMALS = {
    "BHD": 3, "CLP": 0, "ISK": 0, "JOD": 3, "JPY": 0, "KRW": 0, "KWD": 3, "OMR": 3, "PYG": 0,
    "TND": 3, "UGX": 0, "VND": 0, "XAF": 0, "XOF": 0, "XPF": 0,
}  # fmt: skip
#: Digits of an exact amount in JSON: a fraction such as 1/3 has no last one.
EXACT_DECIMALS = 8


def money(value: Fraction, currency: str) -> str:
    """An amount as people write it: ``12.35``; half a cent goes up."""
    return f"{rounded(value, DECIMALS.get(currency, USUAL_DECIMALS)):,f}"


def exact(value: Fraction) -> str:
    """An amount for machines, to eight decimals, as text: JSON numbers would make floats of it."""
    text = f"{rounded(value, EXACT_DECIMALS):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def rounded(value: Fraction, decimals: int) -> Decimal:
    """A fraction as a decimal number, rounded half up (away from zero)."""
    with localcontext() as context:
        context.prec = 60
        number = Decimal(value.numerator) / Decimal(value.denominator)
        return number.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)
