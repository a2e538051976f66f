"""Conditions on figures, as they are asked for, and whether a formula meets them.

The grammar, one condition a text:

    condition = side sign side | side LOW..HIGH
    side      = a number | a figure, by its name
    sign      = > | >= | < | <=

``sugar > 60``, ``hydration 65..75``, ``butter >= sugar``. Percentages are of the flour of each formula's base; a `%`
or a unit behind a number is that of the figure beside it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Literal, NamedTuple

from perflour.asking.figures import Figure, Measured
from perflour.balance.spread import spread_of, value_of
from perflour.diff.residual import SPREADS_THAT_COUNT
from perflour.plain import visible
from perflour.result import CannotRun

#: Whether something holds: the measuring leaves it open, or what is not known does.
Verdict = Literal["yes", "may be", "no", "not known"]
Sign = Literal[">", ">=", "<", "<="]
Side = Figure | float
#: Nearer than this, relative to their size, two figures are one: what adding up leaves.
EQUAL_RELATIVE = 1e-9

_SIGN = re.compile(r"(>=|<=|>|<)")
_NUMBER = r"(-?\d+(?:\.\d+)?)\s*(%|g|°C|min|pieces)?"
_RANGE = re.compile(rf"(.+?)\s*{_NUMBER}\s*\.\.\s*{_NUMBER}")
_PLAIN = {"≥": ">=", "≤": "<="}
HOW = "write one like 'sugar > 60', 'hydration 65..75' or 'butter >= sugar', in quotes: without them the shell takes > for itself and makes a file"


class Comparison(NamedTuple):
    """Two sides and what is asked of them."""

    left: Side
    sign: Sign
    right: Side


class Condition(NamedTuple):
    """What was asked, as it was written; all of its comparisons must hold."""

    text: str
    comparisons: tuple[Comparison, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        sides = (side for c in self.comparisons for side in (c.left, c.right))
        return tuple(dict.fromkeys(side for side in sides if isinstance(side, Figure)))


def condition_of(text: str, named: Callable[[str], Figure]) -> Condition:
    """A condition from its text; ``named`` finds figures. Raises CannotRun for what is not understood."""
    plain = " ".join(text.split())
    for sign, written in _PLAIN.items():
        plain = plain.replace(sign, written)
    if between := _RANGE.fullmatch(plain):
        name, low, low_unit, high, high_unit = between.groups()
        figure = named(name)
        _check_units(text, figure, low_unit, high_unit)
        if float(low) > float(high):
            raise CannotRun(f"'{visible(text)}': {low} is more than {high}; write the lower one first")  # fmt: skip
        ends = Comparison(figure, ">=", float(low)), Comparison(figure, "<=", float(high))
        return Condition(plain, ends)
    pieces = _SIGN.split(plain)
    if len(pieces) != 3 or not (pieces[0].strip() and pieces[2].strip()):
        raise CannotRun(f"'{visible(text)}' is no condition; {HOW}")
    left, right = (_side(piece.strip(), named) for piece in (pieces[0], pieces[2]))
    for one, other, piece in ((left, right, pieces[2]), (right, left, pieces[0])):
        if isinstance(one, Figure) and isinstance(other, Figure) and one.unit != other.unit:
            raise CannotRun(f"'{visible(text)}': {one.said} is in {one.unit} and {other.said} in {other.unit}; compare figures of one unit")  # fmt: skip
        if isinstance(one, Figure) and isinstance(other, float):
            _check_units(text, one, _number(piece.strip())[1])
    if not isinstance(left, Figure) and not isinstance(right, Figure):
        raise CannotRun(f"'{visible(text)}' names no figure; {HOW}")
    return Condition(plain, (Comparison(left, _sign(pieces[1]), right),))


def _sign(text: str) -> Sign:
    assert text in (">", ">=", "<", "<=")
    return text  # type: ignore[return-value]


def _side(text: str, named: Callable[[str], Figure]) -> Side:
    number, _ = _number(text)
    return named(text) if number is None else number


def _number(text: str) -> tuple[float | None, str]:
    """A number with its unit, both empty where the text is none."""
    found = re.fullmatch(_NUMBER, text)
    return (float(found[1]), found[2] or "") if found else (None, "")


def _check_units(text: str, figure: Figure, *units: str | None) -> None:
    for unit in filter(None, units):
        if unit != figure.unit:
            raise CannotRun(f"'{visible(text)}': {figure.said} is in {figure.unit}, not in {unit}")


class Answer(NamedTuple):
    """Whether a condition holds; of ``not known`` the reason."""

    verdict: Verdict
    why_not: str = ""


YES = Answer("yes")


def answer(condition: Condition, values: Mapping[Figure, Measured]) -> Answer:
    """Whether a formula with these figures meets a condition."""
    return together([_compared(one, values) for one in condition.comparisons])


def together(answers: Sequence[Answer]) -> Answer:
    """Several that must all hold: what fails for sure decides, then what nobody knows."""
    for verdict in ("no", "not known", "may be"):
        for one in answers:
            if one.verdict == verdict:
                return one
    return YES


def _compared(asked: Comparison, values: Mapping[Figure, Measured]) -> Answer:
    """One comparison, turned so that the left side is to be the greater."""
    sides = [asked.left, asked.right]
    if asked.sign[0] == "<":
        sides.reverse()
    read = [_read(side, values) for side in sides]
    for side, one in zip(sides, read, strict=True):
        if one.number is None:
            assert isinstance(side, Figure)
            return Answer("not known", one.why_not or f"no {side.said} is known")
    greater, lesser = read
    if not any(isinstance(side, float) or _is_in(one) for side, one in zip(sides, read, strict=True)):  # fmt: skip
        return Answer("no")  # neither is in it, so that nothing is more than something
    apart = greater.number - lesser.number  # type: ignore[operator]  # both are there
    spread, difference = spread_of(apart), value_of(apart)
    if spread and abs(difference) <= SPREADS_THAT_COUNT * spread:
        return Answer("may be")
    size, or_equal = value_of(greater.number), asked.sign.endswith("=")
    # what was not counted in would lift a side
    lowest = difference - (lesser.lift if lesser.lacking else 0.0)
    highest = difference + (greater.lift if greater.lacking else 0.0)
    if _is_above(lowest, size, or_equal):
        return YES
    if not _is_above(highest, size, or_equal):
        return Answer("no")
    return Answer("not known", f"{', '.join((*greater.lacking, *lesser.lacking))} not counted")


def _read(side: Side, values: Mapping[Figure, Measured]) -> Measured:
    return values[side] if isinstance(side, Figure) else Measured(side)


def _is_in(one: Measured) -> bool:
    return bool(value_of(one.number) or one.lacking)


def _is_above(difference: float, size: float, or_equal: bool) -> bool:
    """Whether a difference is above 0; what adding up leaves is 0."""
    if abs(difference) <= EQUAL_RELATIVE * max(1.0, abs(size)):
        return or_equal
    return difference > 0
