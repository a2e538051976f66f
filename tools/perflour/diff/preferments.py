"""What a preferment is: how much of the flour it takes, how wet it is, how much yeast is in it."""

from collections.abc import Iterator

from perflour.balance.balance import Balance
from perflour.balance.parts import PartBalance
from perflour.balance.ratios import INSTANT_EQUIVALENT
from perflour.diff.change import PartChange, PercentShift
from perflour.diff.importance import WIDTHS
from perflour.diff.line_changes import Scene
from perflour.formula.places import PREFERMENTS
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple

FLOUR, WATER, YEAST = "prefermented flour", "hydration", "yeast as instant"
# Importance of a move of the hydration and the yeast of a preferment, in widths of their percentages.
_WIDTHS = {FLOUR: WIDTHS["prefermented-flour"], WATER: 50.0, YEAST: WIDTHS["yeast-instant"]}


# Nearer than this, relative, they are one: what rounding to a scale and to a spoon leaves. House choice.
NEARLY, NEARLY_YEAST = 0.01, 0.1


class _Figures(NamedTuple):
    """In percent: of the base's flour, then of the preferment's own."""

    flour: float
    water: float
    yeast: float


def preferment_changes(scene: Scene, rest_unchanged: bool) -> Iterator[PartChange]:
    """Preferments that came, went, or take more of the flour, more water, more yeast."""
    before, after = scene.before.balance, scene.after.balance
    pairs: list[tuple[PartBalance | None, PartBalance | None]] = [
        *scene.parts.pairs,
        *((part, None) for part in scene.parts.gone),
        *((None, part) for part in scene.parts.new),
    ]
    for old, now in pairs:
        part = now or old
        assert part
        was, is_now = _figures(before, old), _figures(after, now)
        if was is None and is_now is None:
            continue
        shifts = tuple(
            PercentShift(name, a, b)
            for name, a, b in zip(
                (FLOUR, WATER, YEAST), was or (0.0,) * 3, is_now or (0.0,) * 3, strict=True
            )
            if abs(b - a) > (NEARLY_YEAST if name == YEAST else NEARLY) * max(a, b)
        )
        if shifts:
            moved = [abs(s.after_percent - s.before_percent) / _WIDTHS[s.name] for s in shifts]
            yield PartChange(
                "preferment", part.part.name, part.mass_g, max(moved), (), (), shifts,
                of=scene.of(""), rest_unchanged=rest_unchanged,
                subject_before=old.part.name if old and now and fold(old.part.name) != fold(now.part.name) else "",
            )  # fmt: skip


def _figures(balance: Balance, part: PartBalance | None) -> _Figures | None:
    if part is None or part.part.kind not in PREFERMENTS or not part.basis_g or not balance.basis_g:
        return None
    lines = [w for w in part.lines if w.ingredient]
    water_g = sum(w.grams for w in lines if w.ingredient and w.ingredient.counts_as == "liquid")
    yeast_g = sum(w.grams * INSTANT_EQUIVALENT.get(w.name, 0.0) for w in lines)
    return _Figures(
        part.basis_g * part.in_base / balance.basis_g * 100,
        water_g / part.basis_g * 100,
        yeast_g / part.basis_g * 100,
    )
