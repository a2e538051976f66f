"""How the derived ratios and the pieces of a balance move with what its lines are measured by.

It is what ``spread.uncertain_base`` says of them, term by term and bit by bit (a law holds them together), without
a number for every sum on the way: a changelog asks thousands of revisions for it (docs/performance.md).
"""

from perflour.balance.balance import Balance
from perflour.balance.linear import Deviate, Term, by_divisor
from perflour.balance.parts import PartBalance
from perflour.balance.ratios import PREFERMENTED, MassesOf
from perflour.balance.spread import Measures
from perflour.kitchen.names import fold

# A deviate, how much of the line that it moves counts, and that line's spread in g.
_Moves = tuple[Deviate, float, float]


class RatioTerms:
    """The ratios of a balance that has a basis; ``side`` tells it from others of the same measures.

    ``masses`` says what counts in each, as ratio_masses_by_name has it.
    """

    def __init__(self, balance: Balance, masses: MassesOf, measures: Measures, side: str) -> None:
        self._measures, self._side = measures, side
        self._masses = masses
        self._total_g: dict[str, float] = {}
        self._basis_g = 0.0
        self._in_basis: list[_Moves] = []
        self._in_total: dict[str, list[_Moves]] = {}
        # by part what moves a line of it, with its spread in g; or the part that is the line, and its share
        self._in_part: dict[str, list[tuple[Deviate | str, float]]] = {}
        parts = {fold(p.part.name): p for p in balance.parts}
        for name, part in parts.items():
            self._add(name, part, parts)
        self._tops = [name for name, part in parts.items() if not part.used_by_parts]

    def _add(self, name: str, part: PartBalance, parts: dict[str, PartBalance]) -> None:
        """Count the lines of a part in the totals and in the basis."""
        basis_g, in_base = 0.0, part.in_base
        within = self._in_part[name] = []
        for at, line in enumerate(part.lines):
            mass = line.mass
            if mass is None:
                continue
            if line.line.is_part:
                inner = fold(line.line.name)
                if whole_g := parts[inner].mass_g:
                    within.append((inner, mass.grams / whole_g))
                continue
            if line.in_basis:
                basis_g += mass.grams
            if in_base:
                self._total_g[line.name] = self._total_g.get(line.name, 0.0) + mass.grams * in_base
            if not mass.spread_g:
                continue
            deviate = self._measures.deviate(line, (name, at), self._side)
            within.append((deviate, mass.spread_g))
            if line.in_basis:
                self._in_basis.append((deviate, in_base, mass.spread_g))
            if in_base:
                self._in_total.setdefault(line.name, []).append((deviate, in_base, mass.spread_g))
        self._basis_g += basis_g * in_base

    def of(self, name: str) -> list[Term]:
        """How a ratio moves with each deviate: with those of its basis first, and from the last line on."""
        if name == PREFERMENTED:  # which is told as a plain number
            return []
        basis_g, counting, in_total = self._basis_g, self._masses(name), self._in_total
        mass_g = 0.0
        for line, part in counting:
            mass_g += self._total_g[line.name] * part
        by = 100 * by_divisor(mass_g, basis_g)
        found = [(one, by * share * spread_g) for one, share, spread_g in reversed(self._in_basis)]
        for line, part in reversed(counting):
            if line.name in in_total:
                by = 100 * (1 / basis_g) * part
                moves = reversed(in_total[line.name])
                found += [(one, by * share * spread_g) for one, share, spread_g in moves]
        return found

    def of_piece(self, pieces: int) -> list[Term]:
        """How what one of so many pieces weighs moves with each deviate, by every way that a part goes into it."""
        found: list[Term] = []
        waiting = [(1 / pieces, line) for name in self._tops for line in self._in_part[name]]
        while waiting:
            factor, (moved_by, by) = waiting.pop()
            if isinstance(moved_by, str):
                waiting += [(factor * by, line) for line in self._in_part[moved_by]]
            else:
                found.append((moved_by, factor * by))
        return found
