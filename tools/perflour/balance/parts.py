"""The parts of a formula weighed, inner ones first, and how much of each goes where."""

from math import hypot

from perflour.formula.formula import Formula, Line, Part
from perflour.kitchen.catalogue import Catalogue, Ingredient
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount, Share
from perflour.kitchen.weighing import Mass, Unweighable, weigh
from perflour.tuples import NamedTuple, of_fields


class Weighed(NamedTuple):
    """One line with its mass. ``mass`` None with the ``reason`` where it cannot be weighed.

    ``name`` is the ingredient's main name where it is known, else the name as written; ``group`` is
    the catalogue's, empty where it is not known. ``percent`` is of what its part says: PartBalance. ``state`` is
    what the line states, after the states said in its name ("melted butter").
    """

    line: Line
    ingredient: Ingredient | None
    name: str
    group: str
    mass: Mass | None
    reason: Unweighable | None
    in_basis: bool
    state: str
    percent: float | None = None

    @property
    def grams(self) -> float:
        return self.mass.grams if self.mass else 0.0


class PartBalance(NamedTuple):
    """A part weighed.

    ``portion`` is how much of it ends in the product (1 all, 0.5 half), ``in_base`` how much of it in
    the base; ``beside`` is the folded name of the part beside the base that all of it ends in, if any.
    Its percentages are of its own basis where it has one, else of that of the part ``beside`` that it
    ends in, else of the base's.
    """

    part: Part
    lines: tuple[Weighed, ...]
    mass_g: float
    basis_g: float
    portion: float
    used_by_parts: bool
    in_base: float = 1.0
    beside: str = ""

    @property
    def own_basis(self) -> bool:
        return self.basis_g > 0


def weigh_parts(
    formula: Formula, catalogue: Catalogue
) -> tuple[dict[str, PartBalance], tuple[str, ...]]:
    """Every part with the masses of its lines, inner parts first; and the parts in loops."""
    by_name = {fold(part.name): part for part in formula.parts}
    basis = _basis_names(formula, catalogue)
    if True not in [line.is_part for part in formula.parts for line in part.lines]:
        return {n: _weigh_part(p, catalogue, basis, {}, False) for n, p in by_name.items()}, ()
    order, cut = inner_first(formula)
    used = {
        inner
        for part in formula.parts
        for line in part.lines
        if line.is_part and (fold(part.name), inner := fold(line.name)) not in cut
    }
    done: dict[str, PartBalance] = {}
    for name in order:
        done[name] = _weigh_part(by_name[name], catalogue, basis, done, name in used)
    return done, tuple(dict.fromkeys(by_name[outer].name for outer, _ in cut))


def inner_first(formula: Formula) -> tuple[list[str], set[tuple[str, str]]]:
    """Folded part names so that every part follows the parts it uses, and the uses cut for that.

    A cut is a pair (outer, inner): the outer part uses the inner one, which contains it.
    """
    names = {fold(part.name) for part in formula.parts}
    inner = {
        fold(part.name): [i for ln in part.lines if ln.is_part and (i := fold(ln.name)) in names]
        for part in formula.parts
    }
    order: dict[str, None] = {}
    cut: set[tuple[str, str]] = set()
    for start in inner:
        _visit(start, inner, order, cut)
    return list(order), cut


def _visit(
    start: str, inner: dict[str, list[str]], order: dict[str, None], cut: set[tuple[str, str]]
) -> None:
    """Depth first without recursion: thousands of parts may use one another in a row."""
    trail = {start: iter(inner[start])} if start not in order else {}
    while trail:
        name, uses = next(reversed(trail.items()))
        for used in uses:
            if used in trail:
                cut.add((name, used))
            elif used not in order:
                trail[used] = iter(inner[used])
                break
        else:
            order[name] = None
            del trail[name]


def _basis_names(formula: Formula, catalogue: Catalogue) -> frozenset[str] | None:
    """Main names of the stated basis; None when the flours are the basis."""
    if not formula.basis:
        return None
    found = ((name, catalogue.find(name)) for name in formula.basis)
    return frozenset(fold(ingredient.name if ingredient else name) for name, ingredient in found)


def _weigh_part(
    part: Part,
    catalogue: Catalogue,
    basis: frozenset[str] | None,
    done: dict[str, PartBalance],
    used_by_parts: bool,
) -> PartBalance:
    known = [
        _weigh_part_line(line, done) if line.is_part else _weigh_line(line, catalogue, basis)
        for line in part.lines
    ]
    mass_g = basis_g = 0.0
    for found in known:
        if mass := found[3]:
            mass_g += mass.grams
            if found[5]:
                basis_g += mass.grams
    lines = []
    for line, found in zip(part.lines, known, strict=True):
        mass = found[3]
        percent = mass.grams / basis_g * 100 if mass and basis_g > 0 else None
        lines.append(of_fields(Weighed, (line, *found, percent)))
    return PartBalance(part, tuple(lines), mass_g, basis_g, 1.0, used_by_parts)


def with_basis(part: PartBalance, names: frozenset[str]) -> PartBalance:
    """A part as it was weighed, in percent of other ingredients by folded main names."""
    lines = [w._replace(in_basis=not w.line.is_part and fold(w.name) in names) for w in part.lines]
    return alone(part._replace(lines=tuple(lines)))


def alone(part: PartBalance) -> PartBalance:
    """A part as it was weighed, before it is known how much of it goes where."""
    basis_g = sum(w.grams for w in part.lines if w.in_basis)
    lines = tuple([w._replace(percent=_percent(w.mass, basis_g)) for w in part.lines])
    return part._replace(lines=lines, basis_g=basis_g, portion=1.0, in_base=1.0, beside="")


def _percent(mass: Mass | None, basis_g: float) -> float | None:
    return mass.grams / basis_g * 100 if mass and basis_g > 0 else None


# What follows the line in a Weighed, as far as it is known before the percentages are; the last but one says
# whether it counts as flour.
_Known = tuple[Ingredient | None, str, str, Mass | None, Unweighable | None, bool, str]


def _weigh_line(line: Line, catalogue: Catalogue, basis: frozenset[str] | None) -> _Known:
    words = line.name, line.amount.text, line.state
    known: _Known = catalogue.weighed.get(words) or catalogue.keep_weighed(
        words, _as_said(catalogue, line.name, line.amount.value, line.state)
    )
    return known if basis is None else (*known[:5], fold(known[1]) in basis, known[6])


def _as_said(catalogue: Catalogue, said: str, amount: Amount | Share | None, state: str) -> _Known:
    """A line by its words alone, which weigh the same in every file of a kitchen."""
    understood = catalogue.understood(said)
    ingredient = understood.food if understood else None
    name, group = (ingredient.name, ingredient.group) if ingredient else (said, "")
    if understood and understood.states:
        state = ", ".join(filter(None, (*understood.states, state)))
    if not isinstance(amount, Amount):  # the line's reading tells it
        return ingredient, name, group, None, None, _is_flour(ingredient), state
    outcome = weigh(amount, ingredient, state)
    mass, reason = (None, outcome) if isinstance(outcome, Unweighable) else (outcome, None)
    return ingredient, name, group, mass, reason, _is_flour(ingredient), state


def _is_flour(ingredient: Ingredient | None) -> bool:
    return ingredient is not None and ingredient.counts_as == "flour"


def _weigh_part_line(line: Line, done: dict[str, PartBalance]) -> _Known:
    inner = done.get(fold(line.name))
    fraction = _fraction_used(line, inner)
    mass = None
    if inner is not None and fraction is not None:
        spread = hypot(*(w.mass.spread_g for w in inner.lines if w.mass))
        mass = Mass(inner.mass_g * fraction, spread * fraction)
    return None, line.name, "", mass, None, False, line.state


def _fraction_used(line: Line, inner: PartBalance | None) -> float | None:
    """Which share of a part a line takes; None where that is not known."""
    amount = line.amount.value
    if isinstance(amount, Share):
        return float(amount.fraction)
    if not isinstance(amount, Amount) or inner is None or inner.mass_g == 0:
        return None
    taken = weigh(amount, None, "")
    return taken.grams / inner.mass_g if isinstance(taken, Mass) else None


def portions_of(parts: dict[str, PartBalance], tops: frozenset[str]) -> dict[str, float]:
    """How much of each part ends in these parts on top, which are whole.

    ``parts`` come inner first, so reversed every part's portion is known before it is handed on.
    """
    portions = {name: 1.0 if name in tops else 0.0 for name in parts}
    if not any(part.used_by_parts for part in parts.values()):
        return portions
    handed_on: set[str] = set()
    for name in reversed(parts):
        handed_on.add(name)
        for weighed in parts[name].lines:
            if not weighed.line.is_part:
                continue
            inner = fold(weighed.line.name)
            if inner in parts and inner not in handed_on:
                portions[inner] += portions[name] * (
                    _fraction_used(weighed.line, parts[inner]) or 0
                )
    return portions
