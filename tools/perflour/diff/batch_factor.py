"""The factor that a whole batch, or all of one part, was multiplied by."""

from collections.abc import Mapping, Sequence
from math import log, sqrt

from perflour.diff.placed_lines import PlacedLine
from perflour.diff.residual import SAME_RELATIVE, is_same_mass, residual, same
from perflour.diff.standing import Held
from perflour.tuples import NamedTuple, of_fields

# The batch counts as scaled when this share of its ingredients moved by one factor.
SCALED_SHARE = 0.6
# A batch nearer than this to the old one is not scaled, unless exactly.
LEAST_SCALING = 0.01
# Factors a kitchen speaks of: p/q with both up to this.
LARGEST_TERM = 12
# Of the factors that fit equally many ingredients, the plainest within this of the best fit, as a
# difference of squared spreads: two spreads.
PLAIN_ENOUGH = 4.0
# As many of the heaviest ingredients are asked for a factor that is no plain one.
ASKED = 25


class Pool(NamedTuple):
    """One ingredient's lines on both sides, with their masses in g."""

    before: list[PlacedLine]
    after: list[PlacedLine]
    was_g: float
    is_g: float

    @property
    def ratio(self) -> float:
        return self.is_g / self.was_g


class Pools(NamedTuple):
    """The ingredients with a mass on both sides, heaviest first; and how many names there are on either."""

    found: list[Pool]
    names: int

    @property
    def unchanged(self) -> bool:
        """Whether there are the same masses of the same ingredients."""
        return len(self.found) == self.names and all(same(pool.ratio, 1.0) for pool in self.found)


def batch_factor(
    pooled: Pools,
    resolution_g: float,
    hints: Sequence[float] = (),
    neutral: float | None = None,
) -> float:
    """The factor that most ingredients agree on; ``neutral`` (else 1) where they do not, or on that.

    Ingredients agree with a factor as far as they can be measured. First an exact agreement
    counts, so that any true scaling is found whatever the spreads; else the plainest factor that
    fits (amounts rounded to what a kitchen can measure). ``hints`` are factors to try as well. A stated
    ``neutral`` comes before all where everything agrees with it.
    """
    pools, names = pooled
    stated, neutral = neutral is not None, neutral or 1.0
    if neutral == 1.0 and _untouched(pools) >= SCALED_SHARE * len(pools):
        return 1.0  # as below, and as in most revisions
    if not pools or (len(pools) == 1 and (names > 1 or not _is_one_scaling(pools[0]))):
        return neutral
    if stated and _agreeing(pools, neutral, resolution_g) == len(pools):
        return neutral
    exact = _exact(pools)
    if exact is not None:
        return exact
    if len(pools) < 2 or _agreeing(pools, neutral, resolution_g) >= SCALED_SHARE * len(pools):
        return neutral
    best = _plainest(pools, _candidates(pools, hints), resolution_g)
    if best is None or abs(log(best / neutral)) < LEAST_SCALING:
        return neutral
    return best


def _untouched(pools: list[Pool]) -> int:
    """How many ingredients weigh just what they did."""
    return sum([pool.was_g == pool.is_g for pool in pools])


def pooled(before: Mapping[str, Held], after: Mapping[str, Held]) -> Pools:
    """What two sides hold of each ingredient."""
    found = [
        (-a.grams * b.grams, name, of_fields(Pool, (a.lines, b.lines, a.grams, b.grams)))
        for name, a in before.items()
        if (b := after.get(name))
    ]
    found.sort()
    return Pools([pool for *_, pool in found], len(before.keys() | after.keys()))


def _is_one_scaling(pool: Pool) -> bool:
    """Whether what each part holds of it moved by one factor."""
    held: dict[str, list[float]] = {}
    for at, placed in enumerate((pool.before, pool.after)):
        for entry in placed:
            held.setdefault(entry.part_key, [0.0, 0.0])[at] += entry.grams or 0.0
    return all(same(was_g * pool.ratio, is_g) for was_g, is_g in held.values())


def _exact(pools: list[Pool]) -> float | None:
    """The one factor that enough ingredients were multiplied by exactly."""
    ratios = sorted(pool.ratio for pool in pools)
    first, best = 0, (0, 0)
    for last, ratio in enumerate(ratios):
        while not same(ratios[first], ratio):
            first += 1
        best = max(best, (last - first + 1, -first))
    if best[0] < SCALED_SHARE * len(pools):
        return None
    low, high = ratios[-best[1]], ratios[-best[1] + best[0] - 1]
    heaviest = next(p.ratio for p in pools if low <= p.ratio <= high)
    plain = nearest_plain(heaviest)
    return plain if same(plain, heaviest) else heaviest


def nearest_plain(ratio: float) -> float:
    """The nearest p/q with both terms up to twelve."""
    return ratio if ratio in _PLAIN else min(_PLAIN, key=lambda plain: abs(log(plain / ratio)))


_TERMS = range(1, LARGEST_TERM + 1)
_PLAIN = {p / q: p + q for q in reversed(_TERMS) for p in reversed(_TERMS)}


def _candidates(pools: list[Pool], hints: Sequence[float]) -> set[float]:
    own = [pool.ratio for pool in pools[:ASKED]] + [h for h in hints if h > 0]
    low, high = min(own), max(own)
    return {*own, *(plain for plain in _PLAIN if low * 0.9 <= plain <= high * 1.1)}


def _agreeing(pools: list[Pool], factor: float, resolution_g: float) -> int:
    """How many ingredients agree with a factor."""
    asked = (p for p in pools if same(factor, 1.0) or not same(p.ratio, 1.0))
    return sum(
        is_same_mass(p.before, p.after, factor)
        or not residual(p.before, p.after, factor, resolution_g).beyond
        for p in asked
    )


def _support(pools: list[Pool], factor: float, resolution_g: float) -> tuple[int, float]:
    """How many ingredients agree with a factor, and the sum of their squared distances in spreads."""
    number, squares = 0, 0.0
    for pool in pools:
        if same(pool.ratio, 1.0) and not same(factor, 1.0):
            continue  # nobody touched it
        moved = residual(pool.before, pool.after, factor, resolution_g)
        if not moved.beyond:
            number += 1
            least_g = SAME_RELATIVE * sqrt(pool.was_g * factor * pool.is_g)
            squares += (moved.grams / max(moved.spread_g, least_g)) ** 2
    return number, squares


def _plainest(pools: list[Pool], factors: set[float], resolution_g: float) -> float | None:
    """The plainest of the factors that most ingredients agree with; None where too few do."""
    scored = [(*_support(pools, factor, resolution_g), factor) for factor in sorted(factors)]
    most = max(number for number, _, _ in scored)
    if most < SCALED_SHARE * len(pools):
        return None
    fitting = [(squares, factor) for number, squares, factor in scored if number == most]
    least = min(squares for squares, _ in fitting)
    near = [(s, factor) for s, factor in fitting if s <= least + PLAIN_ENOUGH]
    return min(near, key=lambda one: (_PLAIN.get(one[1], 10**6), one[0]))[1]
