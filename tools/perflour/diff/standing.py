"""A side of comparisons with what they ask of it, kept from one comparison to the next."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from math import sqrt

from perflour.balance.balance import Balance
from perflour.balance.linear import Term
from perflour.balance.ratio_terms import RatioTerms
from perflour.balance.ratios import PREFERMENTED, MassesOf, ratio_masses_by_name, ratios
from perflour.balance.spread import Measures
from perflour.diff.placed_lines import PlacedLine, Side, side_of
from perflour.diff.residual import reading_spread_g, weight_g
from perflour.formula.places import PREFERMENTS
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple, of_fields

# Sides kept for the next comparison: that of a revision, and those of the ends of a few branches.
KEPT = 4


class Held(NamedTuple):
    """One ingredient's lines on a side that have a mass, and what they weigh in all, in g."""

    lines: list[PlacedLine]
    grams: float


def held(placed: Iterable[PlacedLine]) -> dict[str, Held]:
    """Lines by their ingredients."""
    found: dict[str, list[PlacedLine]] = {}
    for entry in placed:
        if not entry.is_part and entry.grams:
            found.setdefault(entry.name, []).append(entry)
    return {name: of_fields(Held, (lines, weight_g(lines))) for name, lines in found.items()}


class Root(NamedTuple):
    """What is below one part on top: by ingredient, and how many names there are, of parts too."""

    held: dict[str, Held]
    names: int


# A line with a mass: its ingredient, its part, whether it is flour, its part's share in the base, how far off it is read in g.
_Read = tuple[str, str, bool, float, float]


class Standing:
    """A side with its ratios and its lines by what they are compared by; the rest when it is asked for."""

    def __init__(self, side: Side, measures: Measures, resolution_g: float) -> None:
        self.side, self.resolution_g = side, resolution_g
        self._name = side.placed[0].side if side.placed else ""
        self.ratios = ratios(side.balance)
        self.held = held(side.placed)
        self.names: dict[str, str] = {}
        self.groups: dict[tuple[str, str, bool], list[PlacedLine]] = defaultdict(list)
        for entry in side.placed:
            name = entry.name
            self.names[fold(entry.weighed.line.name)] = name
            self.groups[(entry.part_key, name, entry.is_part)].append(entry)
        self._measures = measures
        self._roots: dict[str, Root] | None = None
        self._terms: RatioTerms | None = None
        self._measured: dict[str, Sequence[Term]] = {}
        self._readings: dict[str, float] = {}
        self._lines: list[_Read] = []
        self._masses: MassesOf | None = None

    @property
    def roots(self) -> dict[str, Root]:
        """What is below each part on top, by its name."""
        if self._roots is None:
            lines: dict[str, list[PlacedLine]] = defaultdict(list)
            for entry in self.side.placed:
                lines[entry.root].append(entry)
            self._roots = {
                root: Root(held(below), len({entry.name for entry in below}))
                for root, below in lines.items()
                if root
            }
        return self._roots

    def measured(self, name: str) -> Sequence[Term]:
        """How a ratio moves with what its lines are measured by."""
        if name not in self._measured:
            self._measured[name] = self._moves().of(name)
        return self._measured[name]

    def measured_piece(self, pieces: int) -> Sequence[Term]:
        """How what one of so many pieces weighs moves with what its lines are measured by."""
        return self._moves().of_piece(pieces)

    def _moves(self) -> RatioTerms:
        if self._terms is None:
            balance = self.side.balance
            self._terms = RatioTerms(balance, self._counting(), self._measures, self._name)
        return self._terms

    def _counting(self) -> MassesOf:
        """What counts in each ratio."""
        self._masses = self._masses or ratio_masses_by_name(self.side.balance.total)
        return self._masses

    def reading(self, name: str) -> float:
        """What scale and spoon add to the spread of a ratio."""
        if name not in self._readings:
            self._readings[name] = self._reading(name)
        return self._readings[name]

    def _reading(self, name: str) -> float:
        """Line by line: a gram more moves a ratio by its share that counts, less the ratio itself where it is flour."""
        balance = self.side.balance
        self._lines = self._lines or self._read()
        preferments: set[str] = set()
        shares: dict[str, float] = {}
        if name == PREFERMENTED:
            preferments = {fold(p.part.name) for p in balance.parts if p.part.kind in PREFERMENTS}
        else:
            shares = {line.name: share for line, share in self._counting()(name)}
        square, of_flour = 0.0, self.ratios[name].percent / 100
        for item, part, is_flour, in_base, reading_g in self._lines:
            moves = shares.get(item, 0.0)
            if is_flour:
                moves += (part in preferments) - of_flour
            if moves:
                square += (moves * in_base * reading_g) ** 2
        return sqrt(square) / balance.basis_g * 100

    def _read(self) -> list[_Read]:
        in_base, resolution_g = self.side.in_base, self.resolution_g
        return [
            (e.weighed.name, e.key[0], e.weighed.in_basis, in_base[e.part_key], reading_spread_g(e, resolution_g))
            for e in self.side.placed
            if e.grams and not e.is_part
        ]  # fmt: skip


class Standings:
    """The sides of one comparison after another: the later one of one is mostly the earlier one of the next.

    All of them share what is measured alike.
    """

    def __init__(self, resolution_g: float) -> None:
        self.resolution_g = resolution_g
        self._measures = Measures()
        self._kept: list[Standing] = []
        self._made = 0

    def pair(
        self,
        before: Balance,
        after: Balance,
        renamed: Mapping[str, str],
        hundred: Mapping[str, str],
    ) -> tuple[Standing, Standing]:
        """Both sides of a comparison; the names are as in ``side_of``."""
        one = self._standing(before, {a: b for a, b in renamed.items() if a != b}, hundred)
        return one, self._standing(after, {}, hundred, one)

    def _standing(
        self,
        balance: Balance,
        renamed: Mapping[str, str],
        hundred: Mapping[str, str],
        other: Standing | None = None,
    ) -> Standing:
        as_it_is = not renamed and not hundred
        for one in self._kept if as_it_is else ():
            if one.side.balance is balance and one is not other:
                return one
        self._made += 1  # no two of them share the width of a range
        side = side_of(balance, str(self._made), renamed, hundred)
        made = Standing(side, self._measures, self.resolution_g)
        if as_it_is:
            self._kept = [made, *self._kept[: KEPT - 1]]
        return made
