"""Derived ratios before and after, and the class windows that they enter or leave."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from math import hypot, sqrt

from perflour.balance.balance import Balance, TotalLine
from perflour.balance.ratios import FINE_RATIOS, Ratio, ratio_masses, ratio_masses_by_name, ratios
from perflour.balance.spread import Measures, Number, spread_of, uncertain_base
from perflour.diff.change import Crossing, MassChange, RatioChange, TextChange, WindowChange
from perflour.diff.importance import PIECE_MASS, Widths, by_factor
from perflour.diff.placed_lines import PlacedLine, Side
from perflour.diff.residual import SPREADS_THAT_COUNT, reading_spread_g, same
from perflour.formula.places import PREFERMENTS
from perflour.kitchen.house import House, Window
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple

PREFERMENTED = "prefermented-flour"
# Pieces nearer than this in mass are the same to the hand that scales them.
PIECE_TOLERANCE = 0.01
# Less than this share of a ratio is not missed in it: house choice.
LEAST_PART = 0.02


class _Numbers(NamedTuple):
    """Ratios and batch of one side as numbers that know their spread."""

    ratios: Mapping[str, Number]
    batch_g: Number


def ratio_changes(
    before: Side, after: Side, house: House | None, widths: Widths, resolution_g: float
) -> Iterator[RatioChange | WindowChange | MassChange | TextChange]:
    """Every derived ratio that moved, then those that a new class judges otherwise."""
    old, now = ratios(before.balance), ratios(after.balance)
    numbers = _Both(before.balance, after.balance, old, now)
    readings = _Readings(before, resolution_g), _Readings(after, resolution_g)
    windows = _windows(house, before.balance), _windows(house, after.balance)
    lost = _lost(before, after), _lost(after, before)
    for name, is_now in now.items():
        if (was := old.get(name)) is None:
            continue
        if any(lost):  # as in few comparisons
            gone, come = (
                missed & set(_named_in(name, side))
                for missed, side in zip(lost, (before, after), strict=True)
            )
            if gone or come:
                yield _unknown(name, was, is_now, gone, come, widths, after.of[""])
                continue
        if same(was.percent, is_now.percent):
            if crossing := _crossing(name, was, is_now, windows):
                yield WindowChange("window", name, is_now.percent, name in FINE_RATIOS, crossing)
            continue
        one, other = numbers.sides()
        measuring = spread_of(other.ratios[name] - one.ratios[name])
        spread = hypot(measuring, readings[0].spread(name, was), readings[1].spread(name, is_now))
        delta = is_now.percent - was.percent
        yield RatioChange(
            "ratio",
            name,
            was.percent,
            is_now.percent,
            delta,
            spread,
            abs(delta) > SPREADS_THAT_COUNT * spread,
            name in FINE_RATIOS,
            abs(delta) / widths.of_ratio(name),
            lacking_before=_named(was.lacking),
            lacking_after=_named(is_now.lacking),
            crossing=_crossing(name, was, is_now, (windows[1], windows[1])),
            of=after.of[""],
        )
    yield from _piece_change(before, after, numbers, resolution_g)


def _lost(here: Side, there: Side) -> set[str]:
    """What has a mass in the base here and none there, though it is listed."""
    unweighed = {w.name for w in there.balance.unweighed_in_base if not w.line.is_part}
    return {line.name for line in here.balance.total} & unweighed


def _lost_in_batch(here: Side, there: Side) -> set[str]:
    """What has a mass here and none there, though it is listed, in the base or beside it."""
    unweighed = {w.name for w in there.balance.unweighed if not w.line.is_part}
    return {line.name for line in here.balance.everything} & unweighed


def _named(names: Collection[str]) -> str:
    return ", ".join(sorted(names)) if names else ""


def _named_in(name: str, here: Side) -> Iterator[str]:
    """The ingredients that make up a share worth speaking of in a ratio here."""
    if name == PREFERMENTED:
        return
    masses = [
        (line.name, line.mass_g * part) for line, part in ratio_masses(here.balance.total, name)
    ]
    whole_g = sum(mass for _, mass in masses)
    yield from (name for name, mass in masses if mass > LEAST_PART * whole_g)


def _unknown(
    name: str, old: Ratio, now: Ratio, gone: set[str], come: set[str], widths: Widths, of: str
) -> RatioChange:
    """A ratio that is not known any more, or is now."""
    moved = abs(now.percent - old.percent)
    return RatioChange(
        "ratio-unknown",
        name,
        old.percent,
        now.percent,
        now.percent - old.percent,
        0.0,
        True,
        name in FINE_RATIOS,
        moved / widths.of_ratio(name),
        lacking_before=_named(come),
        lacking_after=_named(gone),
        of=of,
    )


class _Both:
    """Both sides as numbers with shared measuring, worked out when something moved."""

    def __init__(
        self,
        before: Balance,
        after: Balance,
        old: Mapping[str, Ratio],
        now: Mapping[str, Ratio],
    ) -> None:
        self.before, self.after, self.old, self.now = before, after, old, now
        self._sides: tuple[_Numbers, _Numbers] | None = None

    def sides(self) -> tuple[_Numbers, _Numbers]:
        """Before and after, made once."""
        self._sides = self._sides or self._made()
        return self._sides

    def _made(self) -> tuple[_Numbers, _Numbers]:
        """Plain floats where everything is weighed."""
        before, after = self.before, self.after
        if not any(w.mass and w.mass.spread_g for w in (*before.lines, *after.lines)):
            was, is_now = (
                {name: ratio.percent for name, ratio in found.items()}
                for found in (self.old, self.now)
            )
            return _Numbers(was, before.batch_g), _Numbers(is_now, after.batch_g)
        measures = Measures()
        one, other = (
            uncertain_base(balance, measures, side)
            for balance, side in ((before, "before"), (after, "after"))
        )
        return _Numbers(one.ratios, one.batch_g), _Numbers(other.ratios, other.batch_g)


class _Readings:
    """What scale and spoon add to the spreads of a side's ratios."""

    def __init__(self, side: Side, resolution_g: float) -> None:
        self.side, self.resolution_g = side, resolution_g
        self._lines: list[tuple[PlacedLine, bool, float, float]] | None = None
        self._masses: Callable[[str], Sequence[tuple[TotalLine, float]]] | None = None

    def _read(self) -> list[tuple[PlacedLine, bool, float, float]]:
        """Lines, whether each is flour, its part's share in the base, and how far off it is read."""
        in_base, resolution_g = self.side.in_base, self.resolution_g
        return [
            (e, e.weighed.in_basis, in_base[e.part_key], reading_spread_g(e, resolution_g))
            for e in self.side.placed
            if e.grams and not e.is_part
        ]

    def spread(self, name: str, ratio: Ratio) -> float:
        """What they add to a ratio's spread, line by line.

        A gram more of a line moves a ratio by its share that counts, less the ratio itself where the
        line is flour.
        """
        if self._lines is None:
            self._lines = self._read()
        counting = self._counting(name, self._lines)
        square, of_flour = 0.0, ratio.percent / 100
        for moves, (_, is_flour, in_base, reading_g) in zip(counting, self._lines, strict=True):
            if is_flour:
                moves -= of_flour
            if moves:
                square += (moves * in_base * reading_g) ** 2
        return sqrt(square) / self.side.balance.basis_g * 100

    def _counting(
        self, name: str, lines: Sequence[tuple[PlacedLine, bool, float, float]]
    ) -> list[float]:
        """The share of each line that counts in a ratio."""
        balance = self.side.balance
        if name == PREFERMENTED:
            preferments = {fold(p.part.name) for p in balance.parts if p.part.kind in PREFERMENTS}
            return [float(is_flour and e.key[0] in preferments) for e, is_flour, *_ in lines]
        self._masses = self._masses or ratio_masses_by_name(balance.total)
        shares = {line.name: share for line, share in self._masses(name)}
        return [shares.get(line[0].weighed.name, 0.0) for line in lines]


def _windows(house: House | None, balance: Balance) -> Mapping[str, Window]:
    known = house.classes.get(balance.formula.product_class) if house else None
    return known.windows if known else {}


def _crossing(
    name: str, old: Ratio, now: Ratio, windows: tuple[Mapping[str, Window], Mapping[str, Window]]
) -> Crossing | None:
    """Whether a ratio enters or leaves the usual range of its class, and that range."""
    if name not in windows[1] or name not in windows[0]:
        return None
    inside = [
        w.low <= ratio.percent <= w.high
        for ratio, w in ((old, windows[0][name]), (now, windows[1][name]))
    ]
    if inside[0] == inside[1]:
        return None
    window = windows[1][name]
    return Crossing("enters" if inside[1] else "leaves", window.low, window.high)


def _piece_change(
    before: Side, after: Side, numbers: _Both, resolution_g: float
) -> Iterator[MassChange | TextChange]:
    """What a piece weighs before it is baked, where the same lines of both sides can be weighed."""
    old, now = before.balance.mass_per_piece_g, after.balance.mass_per_piece_g
    yields = before.balance.formula.yields, after.balance.formula.yields
    if not old or not now or not yields[0] or not yields[1]:
        return
    if abs(now - old) <= PIECE_TOLERANCE * max(old, now):
        return
    gone, come = (_named(_lost_in_batch(*sides)) for sides in ((before, after), (after, before)))
    if gone or come:
        yield TextChange(
            "piece-unknown", "mass per piece", come, gone, by_factor(old, now, PIECE_MASS)
        )
        return
    was, is_now = numbers.sides()
    moved = is_now.batch_g / yields[1].pieces - was.batch_g / yields[0].pieces
    reading = [
        _batch_reading(side, resolution_g) / made.pieces
        for side, made in ((before, yields[0]), (after, yields[1]))
    ]
    spread = hypot(spread_of(moved), *reading)
    yield MassChange(
        "mass-per-piece",
        "mass per piece",
        "",
        old,
        now,
        now - old,
        spread,
        abs(now - old) > SPREADS_THAT_COUNT * spread,
        by_factor(old, now, PIECE_MASS),
    )


def _batch_reading(side: Side, resolution_g: float) -> float:
    spreads = (reading_spread_g(e, resolution_g) for e in side.placed if not e.is_part)
    return sqrt(sum(s * s for s in spreads))
