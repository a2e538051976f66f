"""Derived ratios before and after, and the class windows that they enter or leave."""

from collections.abc import Collection, Iterator, Mapping
from math import hypot, sqrt

from perflour.balance.balance import Balance
from perflour.balance.linear import spread_between
from perflour.balance.ratios import FINE_RATIOS, PREFERMENTED, Ratio, ratio_masses
from perflour.diff.change import Crossing, MassChange, RatioChange, TextChange, WindowChange
from perflour.diff.importance import PIECE_MASS, Widths, by_factor
from perflour.diff.placed_lines import Side
from perflour.diff.residual import SPREADS_THAT_COUNT, reading_spread_g, same
from perflour.diff.standing import Standing
from perflour.kitchen.house import House, Window

# Pieces nearer than this in mass are the same to the hand that scales them.
PIECE_TOLERANCE = 0.01
# Less than this share of a ratio is not missed in it: house choice.
LEAST_PART = 0.02


def ratio_changes(
    one: Standing, other: Standing, house: House | None, widths: Widths
) -> Iterator[RatioChange | WindowChange | MassChange | TextChange]:
    """Every derived ratio that moved, then those that a new class judges otherwise."""
    before, after, old, now = one.side, other.side, one.ratios, other.ratios
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
        measuring = spread_between(one.measured(name), other.measured(name))
        spread = hypot(measuring, one.reading(name), other.reading(name))
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
    yield from _piece_change(one, other)


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


def _piece_change(one: Standing, other: Standing) -> Iterator[MassChange | TextChange]:
    """What a piece weighs before it is baked, where the same lines of both sides can be weighed."""
    before, after = one.side, other.side
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
    measuring = spread_between(
        one.measured_piece(yields[0].pieces), other.measured_piece(yields[1].pieces)
    )
    reading = [
        _batch_reading(side, one.resolution_g) / made.pieces
        for side, made in ((before, yields[0]), (after, yields[1]))
    ]
    spread = hypot(measuring, *reading)
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
