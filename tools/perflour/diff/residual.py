"""How far lines are from what they were times the batch factor, and how sure that is."""

from collections.abc import Sequence
from functools import lru_cache
from math import hypot, sqrt

from perflour.balance.spread import measuring_key
from perflour.diff.placed_lines import PlacedLine
from perflour.kitchen.quantity import Amount
from perflour.kitchen.units import unit_named
from perflour.tuples import NamedTuple

# A difference counts as news beyond two standard spreads of it (about 95 % of honest measuring).
SPREADS_THAT_COUNT = 2.0
# Nearer than this, relative to their size, two figures are one: what no scale shows.
SAME_RELATIVE = 2e-4
# Scales for ounces show quarters: common practice, no source.
OUNCE_STEP = 0.25
# Under twenty steps of the scale the small one is used, ten times finer: as `scale` rounds.
SMALL_SCALE_STEPS = 20
# The smallest spoons of a set, by the unit that names them: common practice, no source. Cups have no
# such step; a third of a cup is no rounded quarter.
SPOON_STEPS = {"tsp": 1 / 8, "tbsp": 1 / 2}
# What stays on bowl and scoop of a weighed amount, and what one hand levels a spoon or cup by from
# one time to the next, both relative to the mass: common practice, no source.
LEFT_BEHIND = 0.001
LEVELLED = 0.02


# Whatever its spread, no measure is taken for a mass that it misses by more than this share: published cups of
# flour and cocoa are a fifth off on cards that print both. House choice.
FURTHEST_OFF = 1 / 4


class Residual(NamedTuple):
    """Mass after less the scaled mass before, with its standard spread, both in g.

    By volume on both sides, ``grams`` is what the volumes differ by.
    """

    grams: float
    spread_g: float
    is_same: bool

    @property
    def beyond(self) -> bool:
        return not self.is_same and abs(self.grams) > SPREADS_THAT_COUNT * self.spread_g


def same(before: float, after: float) -> bool:
    """Whether two figures are one."""
    if before == after:  # as most are
        return True
    return abs(after - before) <= SAME_RELATIVE * max(abs(before), abs(after))


def is_same_mass(before: Sequence[PlacedLine], after: Sequence[PlacedLine], factor: float) -> bool:
    """Whether lines weigh what they did times the factor; most do, and their spread need not be known then."""
    return same(weight_g(before) * factor, weight_g(after))


def weight_g(placed: Sequence[PlacedLine]) -> float:
    """What lines weigh in all, those without a mass nothing."""
    if len(placed) == 1:  # as most are
        return placed[0].grams or 0.0
    return sum([e.grams or 0.0 for e in placed])


def residual(
    before: Sequence[PlacedLine], after: Sequence[PlacedLine], factor: float, resolution_g: float
) -> Residual:
    """What lines of one ingredient moved by, against the batch scaled by ``factor``.

    Measuring that both sides share (the same cup) cancels as far as the amounts are alike; the
    step of the scale, what stays in the bowl and how level a spoon is differ each time.
    """
    was_g, is_g = weight_g(before) * factor, weight_g(after)
    shared: dict[tuple[object, ...], float] = {}
    square = 0.0
    for placed, weight in ((before, -factor), (after, 1.0)):
        for entry in placed:
            if spread_g := measuring_spread_g(entry):
                key = measuring_key(entry.weighed, entry.key, entry.side)
                shared[key] = shared.get(key, 0.0) + weight * spread_g
            square += (weight * reading_spread_g(entry, resolution_g)) ** 2
    spread_g = sqrt(square + sum(s * s for s in shared.values()))
    was_ml, is_ml = _volume_ml(before), _volume_ml(after)
    moved_g = is_g - was_g
    if was_ml and is_ml and len({e.state for e in (*before, *after)}) == 1:
        # the same by the cup and by the spoon: published figures of the two may differ, the hand did not
        g_per_ml = (was_g + is_g) / (was_ml * factor + is_ml)
        moved_g = (is_ml - was_ml * factor) * g_per_ml
    return Residual(moved_g, spread_g, same(was_g, is_g))


def _volume_ml(placed: Sequence[PlacedLine]) -> float:
    """What lines measure in all; 0 where one is not measured by volume."""
    volume_ml = 0.0
    for entry in placed:
        amount = entry.weighed.line.amount.value
        if not isinstance(amount, Amount) or amount.kinds != {"volume"}:
            return 0.0
        volume_ml += _ml(amount)
    return volume_ml


def _ml(amount: Amount) -> float:
    return sum([float(t.mean if t.is_range else t.low) * t.unit.factor for t in amount.terms])


def measuring_spread_g(entry: PlacedLine) -> float:
    """How far off the measure itself may be; a part taken by mass is on the scale, whatever is in it."""
    mass = entry.weighed.mass
    return mass.spread_g if mass and not entry.is_part else 0.0


def reading_spread_g(entry: PlacedLine, resolution_g: float) -> float:
    """What one reading differs by from the next: half a step of the scale over sqrt(3), and the rest."""
    amount, grams = entry.weighed.line.amount.value, entry.grams
    return _reading_g(amount, grams, resolution_g) if isinstance(amount, Amount) and grams else 0.0


# Owner: the process; it holds amounts and figures, no formula. Bound: 8192. Pays: a comparison asks for
# each line dozens of times, a changelog for the same lines again in every revision.
@lru_cache(maxsize=8192)
def _reading_g(amount: Amount, grams: float, resolution_g: float) -> float:
    units = {term.unit.name for term in amount.terms if term.unit.kind == "mass"}
    if units:
        step_g = _step_g(units, grams, resolution_g)
        return hypot(step_g / 2 / sqrt(3), LEFT_BEHIND * grams)
    if "volume" in amount.kinds:
        return hypot(_spoon_step_g(amount, grams) / 2 / sqrt(3), LEVELLED * grams)
    return 0.0


def _spoon_step_g(amount: Amount, grams: float) -> float:
    """What the smallest spoon holds that could have been one more or less; 0 for cups."""
    steps = [SPOON_STEPS[t.unit.name] * t.unit.factor for t in amount.terms if t.unit.name in SPOON_STEPS]  # fmt: skip
    return min(steps, default=0.0) / _ml(amount) * grams


def _step_g(units: set[str], grams: float, resolution_g: float) -> float:
    if units & {"oz", "lb"}:
        return OUNCE_STEP * unit_named("oz").factor
    small = grams < SMALL_SCALE_STEPS * resolution_g
    return resolution_g / 10 if small else resolution_g
