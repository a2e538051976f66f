"""Numbers that know their standard spread, to first order, and what they share with one another.

The arithmetic is that of the library ``uncertainties`` for four operations, sum by sum in its order, so that both
give the same bits (a property test holds them together). A comparison makes hundreds of such numbers, for which the
library's general way, any function of any arguments, takes five times as long: docs/performance.md.
"""

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
            return Linear(x / y, [(1 / y, self), (_by_divisor(x, y), other)])
        return Linear(x / other, [(1 / other, self)])

    def __rtruediv__(self, other: float) -> "Linear":
        y = self.nominal_value
        return Linear(other / y, [(_by_divisor(other, y), self)])

    @property
    def std_dev(self) -> float:
        """The standard spread: its deviates' shares of it, none of which knows of another."""
        shares = [
            abs(by * deviate.spread) for deviate, by in self._by_deviate().items() if deviate.spread
        ]
        return sqrt(sum([share**2 for share in shares]))

    def _by_deviate(self) -> dict["Deviate", float]:
        """How it moves with each deviate: its terms taken apart from the last one on, and kept so."""
        terms = self._terms
        if isinstance(terms, dict):
            return terms
        found: dict[Deviate, float] = {}
        while terms:
            factor, number = terms.pop()
            inner = number._terms
            if isinstance(inner, dict):
                for deviate, by in inner.items():
                    found[deviate] = found.get(deviate, 0.0) + factor * by
            else:  # a term or two: a comprehension would be a call more
                for by, one in inner:
                    terms.append((factor * by, one))
        self._terms = found
        return found


class Deviate(Linear):
    """A number of its own that moves with no other."""

    __slots__ = ("spread",)

    def __init__(self, nominal_value: float, spread: float) -> None:
        super().__init__(nominal_value, {self: 1.0})
        self.spread = spread


def _by_divisor(x: float, y: float) -> float:
    """How x / y moves with y; not known where y is next to nothing."""
    try:
        return -x / y**2
    except (ZeroDivisionError, OverflowError):
        return nan
