"""One side scaled the batch, the other put something in by weight: no line of the two fits the other's batch."""

from collections import Counter
from collections.abc import Sequence

from perflour.balance.balance import Balance
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.figures import factor as factor_text
from perflour.kitchen.names import fold
from perflour.merge.contradictions import MOST_NAMED, Name, line_name
from perflour.merge.ratios import SIDES, Ratios

# Where no more of the ingredients moved than these, the batch was not scaled; one that moved by less may be one that
# stayed.
MOST_MOVED, UNSURE = 0.1, 0.001
# How often an ingredient stands in a part with a weight in mg: no scale of a kitchen tells less apart.
_Weights = Counter[tuple[Name, str, int]]


def scaled_apart(weighed: Sequence[Balance | None], catalogue: Catalogue, ratios: Ratios) -> str:
    """What is said where one side scaled the batch and the other changed a weight in it; else empty."""
    base, *sides = weighed
    if base is None:
        return ""
    factors = [_scaled_by(base, side) for side in sides if side]
    if factors[0] == factors[1]:
        return ""
    from perflour.diff.residual import same

    if same(*factors):
        return ""
    was, *weights = [_weights(base, side, catalogue) for side in weighed if side]
    for at, other in ((0, 1), (1, 0)):
        if factors[at] != 1.0 and (new := list((weights[other] - was).elements())):
            names = list(dict.fromkeys(name for name, *_ in new))
            said = "; ".join(_ratios_of(name, ratios) for name in names[:MOST_NAMED])
            more = f"; {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
            return f"{_advice(at + 1, other + 1, factors)}: {said}{more}"
    return ""


def _scaled_by(base: Balance, side: Balance) -> float:
    """The factor that a side scaled the batch of the base by; 1 where it did not."""
    return 1.0 if stayed_as_it_was(base, side) else scaled_by(base, side)


def stayed_as_it_was(base: Balance, side: Balance) -> bool:
    """Whether nearly every ingredient weighs what it weighed, which is seen without comparing the two.

    No share of them large enough can then agree on a factor: ``batch_factor`` finds 1.
    """
    was, is_now = _masses(base), _masses(side)
    ratios = [is_now[name] / was[name] for name in was if name in is_now]
    moved = [ratio for ratio in ratios if ratio != 1.0]
    return len(moved) <= MOST_MOVED * len(ratios) and all(abs(r - 1) > UNSURE for r in moved)


def _masses(weighed: Balance) -> dict[str, float]:
    masses: dict[str, float] = {}
    for line in weighed.ingredient_lines:
        if line.mass and line.grams:
            name = fold(line.name)
            masses[name] = masses.get(name, 0.0) + line.grams
    return masses


def scaled_by(base: Balance, side: Balance) -> float:
    """The same by comparing them."""
    from perflour.diff.batch_factor import batch_factor, pooled  # the differ takes long to load
    from perflour.diff.placed_lines import side_of
    from perflour.diff.standing import held

    old, new = held(side_of(base, "old", {}, {}).placed), held(side_of(side, "new", {}, {}).placed)
    return batch_factor(pooled(old, new), 1.0)


def _weights(base: Balance, side: Balance, catalogue: Catalogue) -> _Weights:
    """What stands there by weight, under the names that the base has for the parts."""
    from perflour.diff.part_matching import match_parts

    renamed = {now: was for was, now in match_parts(base, side).names.items()}
    return Counter(
        (
            line_name(line.line, catalogue),
            renamed.get(name, name),
            round(line.grams * 1000),
        )
        for part in side.parts
        for name in [fold(part.part.name)]
        for line in part.lines
        if line.mass and not line.line.is_part
    )


def _advice(scaled: int, other: int, factors: Sequence[float]) -> str:
    """What was done, and the two ways out of it."""
    times = factors[scaled - 1]
    here, there = SIDES[scaled], SIDES[other]
    said = f"{here} scaled the batch {factor_text(times)}"
    if factors[other - 1] != 1.0:
        return f"{said}, {there} {factor_text(factors[other - 1])}; keep one of them"
    return (
        f"{said}, {there} changed weights of the batch as it was; take {here} and write what {there} "
        f"changed {factor_text(times)}, or take {there} and `perflour scale --times {times:.3g}` it"
    )


def _ratios_of(name: Name, ratios: Ratios) -> str:
    shares = [ratios.of_item(side, name[1]) or "without it" for side in (1, 2, 0)]
    first = next((at for at, share in enumerate(shares) if "%" in share), -1)
    ours, theirs, before = (
        f"{share} of {ratios.basis}" if at == first else share for at, share in enumerate(shares)
    )
    return f"{ratios.called(name[1])}: ours {ours}, theirs {theirs}, before {before}"
