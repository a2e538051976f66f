"""Two balances to changes: what really moved between them, in ratios.

The order says what matters: the batch first, then what the baker did, then what that does to the
derived ratios, then what lies within the measuring spread, then words; within each the largest
importance first (see ``importance``).
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import partial

from perflour.balance.balance import Balance
from perflour.balance.gas import GAS
from perflour.balance.ratios import PREFERMENTED
from perflour.diff.basis_changes import basis_changes, batch_changes, blend_changes
from perflour.diff.batch_factor import Pools, batch_factor, pooled
from perflour.diff.beside_changes import beside_changes
from perflour.diff.change import (
    Change,
    LineChange,
    MassChange,
    Measured,
    PartChange,
    RatioChange,
    has_figure,
    is_doubted,
)
from perflour.diff.common_basis import on_common_basis, placed_alike
from perflour.diff.exchanges import with_exchanges
from perflour.diff.header_changes import header_changes, yield_changes, yield_off
from perflour.diff.importance import WORDS, widths_for
from perflour.diff.kinds import Tier, kind_of
from perflour.diff.line_changes import Scene, line_changes
from perflour.diff.matching import Scale, match_lines
from perflour.diff.method_changes import Names, method_changes
from perflour.diff.part_changes import part_changes
from perflour.diff.part_matching import PartMatches, match_parts
from perflour.diff.placed_lines import Side, hundreds
from perflour.diff.preferments import preferment_changes
from perflour.diff.ratio_changes import ratio_changes
from perflour.diff.residual import same
from perflour.diff.standing import Standing, Standings, held
from perflour.kitchen.house import House
from perflour.kitchen.names import fold
from perflour.result import Result
from perflour.tuples import NamedTuple

# Where in these a change is told hangs on how much it weighs.
_BY_WEIGHT = (Tier.DONE, Tier.FOLLOWS)
# The ratios that a change of the leavening as a whole says.
LIFTING = (GAS, "baking-powder", "baking-soda")


class Difference(NamedTuple):
    """All changes of one formula between two revisions.

    ``before`` or ``after`` is None where the formula was not there; ``unreadable`` says why one
    side could not be weighed at all. ``basis_items`` name what 100 % is.
    """

    id: str
    title: str
    path: str
    before: Balance | None
    after: Balance | None
    changes: tuple[Change, ...]
    basis_items: tuple[str, ...] = ()
    unreadable: tuple[Result, ...] = ()

    @property
    def is_empty(self) -> bool:
        return not self.changes and not self.unreadable and bool(self.before) == bool(self.after)


def difference_between(
    before: Balance, after: Balance, path: str = "", house: House | None = None
) -> Difference:
    """What changed from one balance to another, what changes the bake most first.

    ``house`` gives the class windows and the step of the scale.
    """
    return difference_of(before, after, path, changes_between(before, after, house))


def changes_between(before: Balance, after: Balance, house: House | None) -> tuple[Change, ...]:
    """The changes of a difference."""
    return Comparing(house).changes(before, after)


class Comparing:
    """One comparison after another by the rules of a house, as those of a changelog.

    What was asked of a side is kept for the next one.
    """

    def __init__(self, house: House | None) -> None:
        self.house = house
        self._standings = Standings((house or House()).scale_resolution_g)

    def changes(self, before: Balance, after: Balance) -> tuple[Change, ...]:
        """The changes of the difference of two balances."""
        common = on_common_basis(*placed_alike(before, after))
        said = [common.said] if common.said else []
        scene = _scene(common.before, common.after, self.house, self._standings)
        return tuple(sorted((*said, *_changes(scene, self.house)), key=_order))


def difference_of(
    before: Balance, after: Balance, path: str, changes: tuple[Change, ...]
) -> Difference:
    """A difference of which the changes are known."""
    formula = after.formula
    basis = tuple(line.name for line in after.total if line.in_basis)
    return Difference(formula.id, formula.title, path, before, after, changes, basis)


def added_or_removed(before: Balance | None, after: Balance | None, path: str) -> Difference:
    """A formula that is only on one side."""
    there = after or before
    assert there is not None
    return Difference(there.formula.id, there.formula.title, path, before, after, ())


def is_consequence(change: Change) -> bool:
    """Whether it only follows from other changes; how much flour is prefermented is said only once."""
    kind = kind_of(change)
    follows = kind.tier is Tier.FOLLOWS and change.importance < kind.news_from
    return follows and change.subject != PREFERMENTED


def _order(change: Change) -> tuple[Tier, float]:
    tier = kind_of(change).tier
    if tier in _BY_WEIGHT:
        if change.importance <= WORDS and not has_figure(change):
            tier = Tier.WORDS
        elif is_doubted(change):
            tier = Tier.DOUBTED
        elif not is_consequence(change):
            tier = Tier.DONE
    return tier, -change.importance


def _changes(scene: Scene, house: House | None) -> Iterator[Change]:
    before, after = scene.before.balance, scene.after.balance
    lines = list(_ingredient_changes(scene))
    moved = any(_moves_ratios(c) or kind_of(c).moves == "parts" for c in lines)
    batch = list(batch_changes(scene, ratios_moved=moved))
    yield from batch
    yield from lines
    ratios_moved = any(map(_moves_ratios, _but_parts(lines)))
    preferments = list(preferment_changes(scene, not ratios_moved))
    yield from preferments
    consequences = ratio_changes(*scene.standings, house, scene.widths)
    if len(preferments) == 1:  # it says as much itself
        consequences = (c for c in consequences if c.subject != PREFERMENTED)
    if any(change.kind == "leavening" for change in lines):
        consequences = (c for c in consequences if c.subject not in LIFTING)
    real = any(map(_is_real, (*batch, *lines)))
    yield from consequences if real else map(partial(_doubted, scene), consequences)
    yield from beside_changes(scene) if real else ()
    yield from method_changes(before.formula, after.formula, _names(scene))
    yield from yield_changes(before, after, scene.scale.factor)
    yield from yield_off(before, after)
    yield from header_changes(before.formula, after.formula)


def _but_parts(changes: Sequence[Change]) -> Iterator[Change]:
    """Changes but for a preferment that came or went: what it holds is told of as moved."""
    yield from (c for c in changes if not (isinstance(c, PartChange) and not c.shifts))


def _doubted(scene: Scene, change: Change) -> Change:
    """A consequence of moves that all lie within their spread: errors that add up are no news."""
    sides = scene.before.balance, scene.after.balance
    scaled = scene.scale.factor != 1.0 or len({_pieces(side) for side in sides}) > 1
    if isinstance(change, RatioChange) or (isinstance(change, MassChange) and not scaled):
        return change._replace(beyond_spread=False)
    return change


def _is_real(change: Change) -> bool:
    """Whether a change of the batch or of a line may move ratios by more than measuring does."""
    if isinstance(change, Measured) and change.beyond_spread is not None:
        return change.beyond_spread
    return _moves_ratios(change) or kind_of(change).moves == "parts"


def _moves_ratios(change: Change) -> bool:
    moves = kind_of(change).moves
    if moves == "ratios with its percentage" and isinstance(change, LineChange):
        before, after = change.before_percent, change.after_percent
        return before is None or after is None or not same(before, after)
    return moves == "ratios"


def _ingredient_changes(scene: Scene) -> Iterator[Change]:
    flour = [*basis_changes(scene), *blend_changes(scene)]
    yield from flour
    told = (
        frozenset(line for change in flour for line in change.lines_before),
        frozenset(line for change in flour for line in change.lines_after),
    )
    yield from with_exchanges(scene, list(line_changes(scene, told)))
    yield from part_changes(scene)


def _scene(before: Balance, after: Balance, house: House | None, standings: Standings) -> Scene:
    parts = match_parts(before, after)
    pair = standings.pair(before, after, parts.names, hundreds(before, after, parts.names))
    sides = pair[0].side, pair[1].side
    scale = _scale(pair, parts, standings.resolution_g)
    matches = match_lines(*pair, scale, parts)
    widths = widths_for(house, after.formula.product_class)
    return Scene(*sides, parts, matches, scale, widths, _in_several(sides), pair)


def _in_several(sides: tuple[Side, Side]) -> frozenset[str]:
    """The ingredients that stand in more than one part of either side."""
    several: set[str] = set()
    for side in sides:
        names = [e.name for e in side.placed]
        if len(names) > len(set(names)):
            counted = Counter(name for name, _ in {(e.name, e.part_key) for e in side.placed})
            several.update(name for name, number in counted.items() if number > 1)
    return frozenset(several)


def _scale(pair: tuple[Standing, Standing], parts: PartMatches, resolution_g: float) -> Scale:
    """The batch factor, and that of each part on top which was scaled otherwise."""
    before, after = pair[0].side, pair[1].side
    hints = [
        is_now / was
        for was, is_now in (
            (before.balance.basis_g, after.balance.basis_g),
            (before.balance.batch_g, after.balance.batch_g),
            (_pieces(before.balance), _pieces(after.balance)),
        )
        if was and is_now
    ]
    # what came or went beside the base says nothing of the size of the batch
    lone = {fold(part.part.name) for part in (*parts.gone, *parts.new)}
    old, now = (
        held([e for e in one.side.placed if not (e.is_beside and e.root in lone)]) if lone else one.held
        for one in pair
    )  # fmt: skip
    roots = _roots(*pair) if len(parts.pairs) > 1 else {}
    # a part on top that stayed as it was says that the others were scaled, not the batch
    stayed = any(lines.unchanged for lines in roots.values())
    factor = 1.0 if stayed else batch_factor(pooled(old, now), resolution_g, hints)
    factors = {
        root: batch_factor(lines, resolution_g, neutral=factor) for root, lines in roots.items()
    }
    return Scale(factor, factors, resolution_g, {})


def _roots(before: Standing, after: Standing) -> dict[str, Pools]:
    """The lines below each part on top that has several ingredients on both sides."""
    old, now = before.roots, after.roots
    return {
        name: pooled(old[name].held, now[name].held)
        for name in sorted(old.keys() & now.keys())
        if min(old[name].names, now[name].names) > 1
    }


def _pieces(balance: Balance) -> int:
    return balance.formula.yields.pieces if balance.formula.yields else 0


def _names(scene: Scene) -> Names:
    """Names as steps may use them to the one name that they are compared by."""
    old, now = (one.names for one in scene.standings)
    renamed = {m.before[0].name: m.after[0].name for m in scene.matches.found if m.how == "substituted" and m.after[0].weighed.ingredient is None}  # fmt: skip
    if renamed:
        old = {item: renamed.get(name, name) for item, name in old.items()}
    names = {a: b for a, b in scene.parts.names.items() if old.get(a, a) != b}
    return ({**old, **names} if names else old), now
