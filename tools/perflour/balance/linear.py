"""Numbers that know their standard spread, to first order, and what they share with one another.

The arithmetic is that of the library ``uncertainties`` for four operations, sum by sum in its order, so that both
give the same bits (a property test holds them together). A comparison makes hundreds of such numbers, for which the
library's general way, any function of any arguments, takes five times as long: docs/performance.md.
"""

from collections.abc import Iterable, Sequence
from math import nan, sqrt


class Linear:
    """A value and how it moves with others: while nobody asked for its spread with the numbers that it was made of,
    after that with deviates. It is compared with nothing: ask for its value.
    """

    __slots__ = ("_terms", "nominal_value")

    def __init__(
        self, nominal_value: float, terms: "list[tuple[float, Linear]] | dict[Deviate, float]"
    ) -> None:
        self.nominal_value = nominal_value
        self._terms = terms

    def __bool__(self) -> bool:
        raise TypeError("a number with a spread is neither true nor false; ask for its value")

    def __add__(self, other: "Linear | float") -> "Linear":
        if isinstance(other, Linear):
            value = self.nominal_value + other.nominal_value
            return Linear(value, [(1.0, self), (1.0, other)])
        return Linear(self.nominal_value + other, [(1.0, self)])

    def __radd__(self, other: float) -> "Linear":
        return Linear(other + self.nominal_value, [(1.0, self)])

    def __sub__(self, other: "Linear | float") -> "Linear":
        if isinstance(other, Linear):
            value = self.nominal_value - other.nominal_value
            return Linear(value, [(1.0, self), (-1.0, other)])
        return Linear(self.nominal_value - other, [(1.0, self)])

    def __rsub__(self, other: float) -> "Linear":
        return Linear(other - self.nominal_value, [(-1.0, self)])

    def __mul__(self, other: "Linear | float") -> "Linear":
        if isinstance(other, Linear):
            x, y = self.nominal_value, other.nominal_value
            return Linear(x * y, [(y, self), (x, other)])
        return Linear(self.nominal_value * other, [(other, self)])

    def __rmul__(self, other: float) -> "Linear":
        return Linear(other * self.nominal_value, [(other, self)])

    def __truediv__(self, other: "Linear | float") -> "Linear":
        x = self.nominal_value
        if isinstance(other, Linear):
            y = other.nominal_value
            return Linear(x / y, [(1 / y, self), (by_divisor(x, y), other)])
        return Linear(x / other, [(1 / other, self)])

    def __rtruediv__(self, other: float) -> "Linear":
        y = self.nominal_value
        return Linear(other / y, [(by_divisor(other, y), self)])

    @property
    def std_dev(self) -> float:
        """The standard spread: its deviates' shares of it, none of which knows of another."""
        if not isinstance(self._terms, dict):
            self._terms = _summed({}, self._taken_apart())
        return _spread(self._terms)

    def _taken_apart(self) -> "list[Term]":
        """How it moves with deviates, term by term, from its last one on."""
        if isinstance(self._terms, dict):
            return list(self._terms.items())
        found: list[Term] = []
        waiting = self._terms.copy()
        while waiting:
            factor, number = waiting.pop()
            inner = number._terms
            if isinstance(inner, dict):
                for deviate, by in inner.items():
                    found.append((deviate, factor * by))
            else:  # a term or two: a comprehension would be a call more
                for by, one in inner:
                    waiting.append((factor * by, one))
        return found


class Deviate(Linear):
    """A number of its own that moves with no other."""

    __slots__ = ("spread",)

    def __init__(self, nominal_value: float, spread: float) -> None:
        super().__init__(nominal_value, {self: 1.0})
        self.spread = spread


#: A deviate, and how a number moves with it.
Term = tuple[Deviate, float]


def terms_of(number: "Linear | float") -> Sequence[Term]:
    """How a number moves with its deviates, to be kept for ``spread_between``; a plain one moves with none."""
    return number._taken_apart() if isinstance(number, Linear) else ()


def spread_between(one: Iterable[Term], other: Iterable[Term]) -> float:
    """The standard spread of the second number less the first: the same bits as ``(other - one).std_dev``."""
    return _spread(_summed(_summed({}, one, -1.0), other))


def _summed(
    found: dict[Deviate, float], terms: Iterable[Term], sign: float = 1.0
) -> dict[Deviate, float]:
    for deviate, by in terms:
        found[deviate] = found.get(deviate, 0.0) + sign * by
    return found


def _spread(by_deviate: dict[Deviate, float]) -> float:
    shares = [abs(by * deviate.spread) for deviate, by in by_deviate.items() if deviate.spread]
    return sqrt(sum([share**2 for share in shares]))


def by_divisor(x: float, y: float) -> float:
    """How x / y moves with y; not known where y is next to nothing."""
    try:
        return -x / y**2
    except (ZeroDivisionError, OverflowError):
        return nan
