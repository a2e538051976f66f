"""Pans: shape, size and number in words to a volume."""

import re
from fractions import Fraction
from math import pi

from perflour.kitchen.quantity import AmountProblem, parse_amount
from perflour.kitchen.units import find_unit
from perflour.tuples import NamedTuple

# Words for straight-sided pans; the first of each row is how a volume is worked out.
SHAPES = {
    "round": "round", "springform": "round", "cake ring": "round",
    "rectangular": "rectangular", "square": "rectangular", "loaf": "rectangular",
    "sheet": "rectangular", "tray": "rectangular", "tin": "rectangular",
}  # fmt: skip
# No pan for cakes is deeper than this share of its side: 20 x 20 cm are two sides of a base.
# Common practice, no source.
MOST_DEPTH = 0.8
ADVICE = (
    "write it like `2 round 20 x 5 cm`, `loaf 22 x 12 x 7 cm`, `square 8 x 2 in` or `volume 1.2 l`"
)
_PAN = re.compile(
    r"(?:(?P<count>[0-9]{1,4}) (?:x )?)?(?P<shape>[a-z ]+?) (?P<sides>[0-9. x/]+?) ?(?P<unit>[a-z]+)"
)


class Pans(NamedTuple):
    """Pans of one kind, or several kinds together; ``volume_ml`` is to the brim, all of them."""

    text: str
    number: int
    volume_ml: float


def parse_pans(text: str) -> Pans:
    """Read pans, kinds separated by commas. Straight sides are assumed: slanted ones hold less.

    Published volumes are 3 to 30 % under the geometry of the printed size (household pan tables: common
    practice, no source): fill a new pan with water once. Raises AmountProblem.
    """
    kinds = [_one_kind(" ".join(piece.lower().split())) for piece in text.split(",")]
    return Pans(text, sum(k.number for k in kinds), sum(k.volume_ml for k in kinds))


def _one_kind(text: str) -> Pans:
    count, _, rest = text.partition(" volume ") if " volume " in text else ("1", "", text)
    if rest.startswith("volume ") or count != "1":
        return _by_volume(text, count, rest.removeprefix("volume "))
    match = _PAN.fullmatch(text)
    shape = SHAPES.get(match["shape"].removesuffix(" pans").removesuffix(" pan")) if match else None
    unit = find_unit(match["unit"]) if match else None
    if match is None or shape is None or unit is None or unit.kind != "length":
        raise AmountProblem("unreadable", f"'{text}' is no pan; {ADVICE}")
    sides_mm = [_side(side, text) * unit.factor for side in match["sides"].split("x")]
    number = int(match["count"] or 1)
    if _lacks_height(match["shape"], shape, sides_mm):
        raise AmountProblem(
            "unreadable",
            f"the height of '{text}' is not written, and a pan of its base may hold any volume; measure it and {ADVICE}",
        )
    return Pans(text, number, number * _geometry_mm3(shape, sides_mm, text) / 1000)


def _lacks_height(said: str, shape: str, sides: list[float]) -> bool:
    """Whether the sides are those of the base alone: `loaf 22 x 12 cm`, `square 20 x 20 cm`, `round 20 cm`."""
    if "square" in said:
        return len(sides) == 1 or (len(sides) == 2 and sides[1] > sides[0] * MOST_DEPTH)
    return len(sides) < (2 if shape == "round" else 3)


def _by_volume(text: str, count: str, volume: str) -> Pans:
    amount = parse_amount(volume)
    if amount.kinds != {"volume"} or not count.isdigit():
        raise AmountProblem("unreadable", f"'{text}' is no volume; {ADVICE}")
    return Pans(text, int(count), int(count) * amount.in_base_units)


def _side(text: str, pan: str) -> float:
    try:
        side = float(sum(Fraction(piece) for piece in text.split()))
    except (ValueError, ZeroDivisionError):
        side = 0.0
    if not 0 < side < 10_000:
        raise AmountProblem("unreadable", f"'{text.strip()}' in '{pan}' is no length; {ADVICE}")
    return side


def _geometry_mm3(shape: str, sides: list[float], text: str) -> float:
    """A cylinder by diameter and height, a box by its sides; a side and a height are of a square."""
    if shape == "round" and len(sides) == 2:
        return pi * (sides[0] / 2) ** 2 * sides[1]
    if shape == "rectangular" and len(sides) == 2:
        return sides[0] ** 2 * sides[1]
    if shape == "rectangular" and len(sides) == 3:
        return sides[0] * sides[1] * sides[2]
    raise AmountProblem("unreadable", f"'{text}' has the wrong number of sides; {ADVICE}")
