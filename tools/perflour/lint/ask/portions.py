"""Portions of listed ingredients: which steps take how much of what, loaded only where some do."""

from collections.abc import Container, Iterator

from perflour.balance.parts import Weighed
from perflour.formula.formula import Line, Step, Use
from perflour.formula.portions import IN_TURNS
from perflour.formula.verbs import READIES
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import HALF, REST, SHARES, SOME, Amount, Share
from perflour.kitchen.units import Unit, unit_named
from perflour.kitchen.weighing import Mass, weigh
from perflour.lint.ask.method import main_name
from perflour.lint.ask.steps import verb, words
from perflour.lint.rule import Context
from perflour.tuples import NamedTuple

# Sums of fractions, in floats.
TINY = 1e-9
# Two standard spreads: what a measure and a hand may be off.
SPREADS = 2


class Taking(NamedTuple):
    """A step that takes from an ingredient; without ``use`` it takes a whole part that holds it."""

    step: Step
    use: Use | None


class Bounded(NamedTuple):
    """A quantity and the least and most that it may be."""

    low: float
    mean: float
    high: float

    def of(self, whole: "Bounded") -> "Bounded":
        """This as a share of a whole."""
        return Bounded(self.low / whole.high, self.mean / whole.mean, self.high / whole.low)


class Listed(NamedTuple):
    """What is listed of one name; ``size`` None where no amount can be held against it.

    ``unit`` None: in g. ``smallest`` is the least share of the whole that one of its lines makes up.
    A part has no lines.
    """

    lines: tuple[Weighed, ...]
    unit: Unit | None
    size: Bounded | None
    smallest: float


def takings(context: Context, names: Container[str]) -> dict[str, list[Taking]]:
    """Who takes from some listed ingredients or parts, by main name, in order of the method.

    A part that an earlier step `makes` is a product: using it takes nothing from the list.
    """
    parts = {fold(part.name) for part in context.formula.parts}
    found: dict[str, list[Taking]] = {}
    made: set[str] = set()
    for step in context.formula.method:
        for use in step.uses:
            if (main := main_name(context, use.name)) in names:
                found.setdefault(main, []).append(Taking(step, use))
            if (name := fold(use.name)) in parts and name not in made:
                for held in _held(context, name):
                    if held in names:
                        found.setdefault(held, []).append(Taking(step, None))
        made.add(fold(step.text("makes")))
    return found


def _held(context: Context, part: str) -> set[str]:
    """Main names of the ingredients in a part and in the parts in it."""
    lines = {fold(p.part.name): p.lines for p in context.balance.parts}
    held: set[str] = set()
    inner = [part]
    for name in inner:
        for weighed in lines.get(name, ()):
            if not weighed.line.is_part:
                held.add(fold(weighed.name))
            elif fold(weighed.line.name) not in inner:
                inner.append(fold(weighed.line.name))
    return held


def stated(use: Use | None) -> Amount | Share | None:
    """The portion that a use states; half of something is a share."""
    if use is None:
        return None
    if use.takes == HALF:
        return Share(use.said, SHARES[HALF])
    return use.portion


def prepares(step: Step) -> bool:
    """Whether a step gets things ready for one that may name them again."""
    return verb(step) in READIES or "together" in words(step.do)


def listed(context: Context, name: str, portions: list[Amount | Share]) -> Listed | None:
    """What is listed of one name, measured so that the portions can be held against it."""
    if any(fold(part.name) == name for part in context.formula.parts):
        return Listed((), None, None, 1.0)
    lines = tuple(w for w in context.balance.ingredient_lines if fold(w.name) == name)
    amounts = [w.line.amount.value for w in lines]
    known = [amount for amount in amounts if isinstance(amount, Amount)]
    unit = _common_unit(known + [p for p in portions if isinstance(p, Amount)])
    spans = [_size(amount, unit, w) for amount, w in zip(known, lines, strict=False)]
    sizes = [span for span in spans if span]
    states = {fold(w.state) for w in lines}
    if not sizes or len(sizes) < len(lines) or (unit is None and len(states) > 1):
        return Listed(lines, None, None, 0.0) if lines else None
    size = Bounded(*map(sum, zip(*sizes, strict=True)))
    return Listed(lines, unit, size, min(span.mean for span in sizes) / size.mean)


def share_of(portion: Amount | Share, of: Listed) -> Bounded | None:
    """A portion as a share of all that is listed; None where they cannot be compared.

    With several lines of one name a share may mean any of them: at least of the smallest.
    """
    if isinstance(portion, Share):
        fraction = float(portion.fraction)
        return Bounded(fraction * (of.smallest if len(of.lines) > 1 else 1.0), fraction, fraction)
    if of.size is None:
        return None
    size = _size(portion, of.unit, of.lines[0])
    return size.of(of.size) if size else None


def _common_unit(amounts: list[Amount]) -> Unit | None:
    """The unit that all amounts can be counted in without weighing, or None.

    Masses compare with masses, volumes with volumes, pieces with pieces of their size; a bare number
    counts pieces of the size that is listed.
    """
    units = [term.unit for amount in amounts for term in amount.terms]
    kinds = {unit.kind for unit in units}
    if kinds in ({"mass"}, {"volume"}):
        return units[0]
    sizes = {unit.name for unit in units if unit.name != "each"} or {"each"}
    return unit_named(sizes.pop()) if len(kinds) == len(sizes) == 1 else None


def _size(amount: Amount, unit: Unit | None, weighed: Weighed) -> Bounded | None:
    """An amount in a unit, else in g with two spreads either way."""
    if unit:
        return Bounded(*(sum(_in(unit, amount, end)) for end in ("low", "mean", "high")))
    mass = weigh(amount, weighed.ingredient, weighed.state)
    if not isinstance(mass, Mass) or mass.grams <= SPREADS * mass.spread_g:
        return None
    off_g = SPREADS * mass.spread_g
    return Bounded(mass.grams - off_g, mass.grams, mass.grams + off_g)


def _in(unit: Unit, amount: Amount, end: str) -> Iterator[float]:
    return (float(getattr(t, end)) * t.unit.factor / unit.factor for t in amount.terms)


class Fault(NamedTuple):
    """What does not add up: at a ``use``, or without one that something is left over at the end.

    ``taken`` is the share of what is listed; ``nothing_left`` where a rest of nothing is used.
    """

    taken: float
    use: Use | None = None
    nothing_left: bool = False


def fault(takes: list[Taking], of: Listed, off_most: float, rest_least: float) -> Fault | None:
    """The first thing that does not add up in the portions of one name, or None.

    ``least`` and ``taken`` count since the last use of what is there; ``every`` holds all portions.
    """
    least = taken = 0.0
    ready: list[Bounded] = []
    every: list[Bounded] = []
    open_end = not of.lines
    for step, use in takes:
        portion = stated(use)
        if use is None or portion is None:
            kind = use.takes if use else ""
            if kind == REST and 1 - least < rest_least:
                return Fault(taken, use, nothing_left=True)
            open_end = True
            if kind != SOME:
                least, taken, ready = 0.0, 0.0, []
            continue
        share = share_of(portion, of)
        if share is None:
            return None
        every.append(share)
        if share in ready:
            ready.remove(share)
            continue
        least, taken = least + share.low, taken + share.mean
        if least > 1 + off_most + TINY:
            return Fault(taken, use)
        if prepares(step):
            ready.append(share)
    some_left = sum(share.high for share in every) < 1 - off_most - TINY
    return Fault(sum(share.mean for share in every)) if some_left and not open_end else None


def figure(share: float, of: Listed) -> str:
    """A share of what is listed as a baker reads it: in the unit listed, else in per cent."""
    if of.size is None:
        return f"{share * 100:.0f} %"
    number = share * of.size.mean
    shown = f"{number:,.0f}" if number >= 100 else f"{number:.3g}"
    return f"{shown} {of.unit.name}" if of.unit else f"about {shown} g"


def only_step(context: Context, line: Line, mark: str) -> Step | None:
    """The only step that uses a line so marked; None where there are more, or none.

    "Divided into 8 pieces" is no mark. A step that names the ingredient in words may use it too, and one
    that takes it in turns uses it more than once.
    """
    if not any(_is_marked(words(text), mark) for text in (line.note, line.state)):
        return None
    name = main_name(context, line.name)
    takes = takings(context, (name,)).get(name, [])
    first = takes[0].step if takes else None
    if first is None or any(take.step is not first for take in takes) or IN_TURNS & _stems(first):
        return None
    noun = (words(line.name) or ("",))[-1].rstrip("s")
    others = (step for step in context.formula.method if step is not first)
    return None if any(noun in _stems(step) for step in others) else first


def _is_marked(said: tuple[str, ...], mark: str) -> bool:
    if mark not in said:
        return False
    at = said.index(mark)
    return said[at + 1 : at + 2] != ("into",) and said[max(at - 1, 0) : at] != ("not",)


def _stems(step: Step) -> set[str]:
    """The words of a step without its `uses`, each without a plural s."""
    said = " ".join((step.do, *step.said.values()))
    return {word.rstrip("s") for word in words(said)}
