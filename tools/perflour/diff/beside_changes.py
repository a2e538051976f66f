"""How much of a topping, a filling or a glaze stands beside 100 g of what carries it."""

from collections.abc import Iterator, Mapping
from math import sqrt

from perflour.balance.parts import PartBalance
from perflour.balance.spread import measuring_key
from perflour.diff.change import MassChange
from perflour.diff.importance import BESIDE_MASS, by_factor
from perflour.diff.line_changes import Scene
from perflour.diff.placed_lines import Side
from perflour.diff.residual import SPREADS_THAT_COUNT, measuring_spread_g, reading_spread_g, same
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple

# Nearer than this, it is the same to the hand that spreads it: common practice, no source.
TOLERANCE = 0.01


class _Carried(NamedTuple):
    """One side: the parts that stand beside the rest, by folded name on the newer side, and the rest."""

    side: Side
    beside: dict[str, PartBalance]
    rest: tuple[PartBalance, ...]

    @property
    def rest_g(self) -> float:
        return sum(part.mass_g for part in self.rest)


def beside_changes(scene: Scene) -> Iterator[MassChange]:
    """Every part beside the rest of which there is more or less for the same rest."""
    before, after = _carried(scene.before, scene.parts.names), _carried(scene.after, {})
    if before is None or after is None:
        return
    names = [fold(now.part.name) for _, now in scene.parts.pairs]
    if any((name in before.beside) != (name in after.beside) for name in names):
        return  # of another kind now, or mixed in
    for name in names:
        if name in after.beside:
            yield from _beside(scene, before, after, name)


def _carried(side: Side, renamed: Mapping[str, str]) -> _Carried | None:
    """What carries what; None where nothing does, nobody can tell, or a line has no mass."""
    balance = side.balance
    beside = {fold(one.part.part.name): one.part for one in balance.beside}
    rest = tuple(
        part
        for part in balance.parts
        if not part.used_by_parts and fold(part.part.name) not in beside
    )
    if not beside or balance.unclear or balance.unweighed or balance.loops:
        return None
    carried = _Carried(side, {renamed.get(name, name): part for name, part in beside.items()}, rest)
    return carried if carried.rest_g else None


def _beside(scene: Scene, before: _Carried, after: _Carried, root: str) -> Iterator[MassChange]:
    old, now = before.beside[root], after.beside[root]
    was_g, is_g = old.mass_g / before.rest_g * 100, now.mass_g / after.rest_g * 100
    if not was_g or not is_g or _is_near(was_g, is_g):
        return
    if _is_told(scene, before, after, root):
        return
    spread_g = _spread_g(scene, (before, after), root, (was_g, is_g))
    renamed = old.part.name if fold(old.part.name) != root else ""
    yield MassChange(
        "part-beside",
        now.part.name,
        now.part.name,
        was_g,
        is_g,
        is_g - was_g,
        spread_g,
        abs(is_g - was_g) > SPREADS_THAT_COUNT * spread_g,
        by_factor(was_g, is_g, BESIDE_MASS),
        part_before=renamed,
        subject_before=renamed,
        per=tuple(part.part.name for part in after.rest),
    )


def _is_told(scene: Scene, before: _Carried, after: _Carried, root: str) -> bool:
    """Whether the same is said where the rest stayed: by the part's only line, or by its factor.

    Beside a scaled batch the factor of the part is another figure.
    """
    factor = scene.scale.factor
    if not _is_near(before.rest_g * factor, after.rest_g):
        return False
    is_scaled = not same(scene.scale.root_factors.get(root, factor), factor)
    has_one_line = all(len(carried.beside[root].lines) == 1 for carried in (before, after))
    return has_one_line or (is_scaled and factor == 1.0)


def _is_near(one: float, other: float) -> bool:
    return abs(other - one) <= TOLERANCE * max(one, other)


def _spread_g(
    scene: Scene, sides: tuple[_Carried, _Carried], root: str, per_100_g: tuple[float, float]
) -> float:
    """The spread of the move, for 100 g of the rest. Lines measured alike are off together.

    A gram more of the part moves it by 100 over the rest, a gram more of the rest takes from it.
    """
    shared: dict[tuple[object, ...], float] = {}
    square = 0.0
    for carried, beside_g, sign in zip(sides, per_100_g, (-1.0, 1.0), strict=True):
        others = set(carried.beside) - {root}
        for entry in carried.side.placed:
            if entry.is_part or not entry.grams or entry.root in others:
                continue
            moves = (100.0 if entry.root == root else -beside_g) / carried.rest_g
            moves *= sign * carried.side.portions[entry.part_key]
            if spread_g := measuring_spread_g(entry):
                key = measuring_key(entry.weighed, entry.key, entry.side)
                shared[key] = shared.get(key, 0.0) + moves * spread_g
            square += (moves * reading_spread_g(entry, scene.scale.resolution_g)) ** 2
    return sqrt(square + sum(s * s for s in shared.values()))
