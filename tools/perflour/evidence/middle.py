"""The middle of several formulas: by median, or as a blend with weights, of their bases in percent of the flour."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import fmean, median
from typing import Literal

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.balance.ratios import RATIOS, ratios
from perflour.compare.bake_figures import Ends, bake_time, oven
from perflour.compare.collect import Compared
from perflour.compare.table import labels
from perflour.documents.writer import record_text
from perflour.evidence.apart import apart, has_own_basis
from perflour.evidence.beside import BesideMiddle, beside_middles
from perflour.evidence.middle_percents import (
    BASIS,
    KindMissing,
    LeftOut,
    MiddlePercent,
    kinds_missing,
    percents_of,
    quartiles,
)
from perflour.formula.digests import digest
from perflour.formula.formula import Formula
from perflour.kitchen.house import Kitchen
from perflour.result import CannotRun

# The ratio that hangs on how a dough is parted: a middle has no parts, a file of it takes those of the nearest.
OF_PARTS = "prefermented-flour"
# Less is nothing on any scale.
LEAST_PERCENT = 1e-6


@dataclass(frozen=True)
class Parent:
    """A formula that the middle is made of; its ``weight`` is its share of all weights, equal ones for a median."""

    label: str
    title: str
    path: str
    revision: str
    weight: float


@dataclass(frozen=True)
class RatioSpread:
    """A ratio over the formulas in percent of the basis, and of the middle itself, None where it hangs on parts.

    ``low``, ``median`` and ``high`` are quartiles over the ``known`` formulas. ``ours`` is that of the house, None
    where it is not known or none was named; so many of the others are ``below``, ``equal`` to and ``above`` it. The
    middle's own is too low by what ``lacking`` carry.
    """

    ratio: str
    percent: float | None
    low: float
    median: float
    high: float
    known: int
    ours: float | None = None
    below: int = 0
    equal: int = 0
    above: int = 0
    lacking: tuple[str, ...] = ()


@dataclass(frozen=True)
class BakeMiddle:
    """The oven in °C or the time in it in minutes: the median where every formula says one, else of the nearest."""

    value: float
    of: Literal["all", "nearest"]
    said: int


@dataclass(frozen=True)
class NotCounted:
    """A formula set aside: it has no percentages, or they are of something else than those of most."""

    label: str
    why: Literal["basis not whole", "another basis"]


@dataclass(frozen=True)
class Middle:
    """The middle of formulas. ``balance`` is its base at 100 g of basis; ``distance`` that of the nearest, in widths.

    ``not_counted`` are formulas set aside. ``basis`` names what is 100 % where that is not all flours.
    """

    way: Literal["median", "blend"]
    parents: tuple[Parent, ...]
    percents: tuple[MiddlePercent, ...]
    left_out: tuple[LeftOut, ...]
    ratios: tuple[RatioSpread, ...]
    beside: tuple[BesideMiddle, ...]
    nearest: Compared
    nearest_label: str
    distance: float
    oven: BakeMiddle | None
    bake_time: BakeMiddle | None
    balance: Balance
    basis: tuple[str, ...] = ()
    classes: tuple[str, ...] = ()
    not_counted: tuple[NotCounted, ...] = ()
    ours_label: str = ""
    kinds_missing: tuple[KindMissing, ...] = ()


def middle(
    formulas: Sequence[Compared],
    kitchen: Kitchen,
    weights: Mapping[str, float] | None = None,
    ours: Compared | None = None,
) -> Middle:
    """The middle by median, or by mean with ``weights`` by path, of one formula or more.

    A formula of weight 0 counts for nothing. ``ours`` is held against the others, whether it is one of them or not.
    Of formulas in percent of all flours and others the more numerous count. Raises CannotRun where none is left.
    """
    _refuse_wrong_weights(formulas, weights)
    chosen = [one for one in formulas if weights is None or weights.get(one.path, 0.0) > 0]
    names = dict(zip((one.path for one in chosen), labels(chosen), strict=True))
    whole, aside, own_basis = _counted(chosen, names)
    if not whole:
        raise CannotRun(
            "no formula is left to make a middle of; name one whose flour can be weighed"
        )
    given = [1.0 if weights is None else weights[one.path] for one in whole]
    shares = [weight / sum(given) for weight in given]
    balances = [one.balance for one in whole]
    percents, left_out = percents_of(balances, shares, weights is None)
    basis = tuple(p.name for p in percents if p.kind == BASIS) if own_basis else ()
    made = _weighed(percents, basis, kitchen)
    nearest, distance = _nearest(whole, made, kitchen, [names[one.path] for one in whole])
    said = _bake_middle(oven, whole, nearest), _bake_middle(bake_time, whole, nearest)
    return Middle(
        "median" if weights is None else "blend",
        tuple(
            Parent(names[one.path], one.balance.formula.title, one.shown, digest(one.balance.formula), share)
            for one, share in zip(whole, shares, strict=True)
        ),
        percents,
        left_out,
        tuple(_spreads(whole, made, ours)),
        beside_middles(balances),
        nearest,
        names[nearest.path],
        distance,
        *said,
        made,
        basis,
        tuple(sorted({one.balance.formula.product_class for one in whole})),
        tuple(aside),
        "" if ours is None else names.get(ours.path, ours.balance.formula.id),
        kinds_missing(balances, shares, percents),
    )  # fmt: skip


def _refuse_wrong_weights(
    formulas: Sequence[Compared], weights: Mapping[str, float] | None
) -> None:
    for one in formulas if weights is not None else ():
        weight = (weights or {}).get(one.path, 0.0)
        if not 0 <= weight < float("inf"):
            raise CannotRun(f"{one.shown}: {weight:g} is no weight; give a number of 0 or more")


def _counted(
    chosen: Sequence[Compared], names: Mapping[str, str]
) -> tuple[list[Compared], list[NotCounted], bool]:
    """The formulas with percentages of one thing, those set aside, and whether that thing is not all flours."""
    whole = [one for one in chosen if one.balance.basis_is_whole]
    own = [one for one in whole if has_own_basis(one.balance)]
    of_own = len(own) * 2 > len(whole)
    counted = [one for one in whole if (one in own) == of_own]
    aside = [
        NotCounted(names[one.path], "another basis" if one in whole else "basis not whole")
        for one in chosen
        if one not in counted
    ]
    return counted, aside, of_own


def _weighed(
    percents: Sequence[MiddlePercent], basis: tuple[str, ...], kitchen: Kitchen
) -> Balance:
    """The base of the middle at 100 g of its basis."""
    lines = [
        {"item": p.name, "amount": f"{p.percent:.6f} g"}
        for p in percents
        if p.percent >= LEAST_PERCENT
    ]
    data = {
        "formula": "middle",
        "title": "Middle",
        "class": "middle",
        "status": "draft",
        **({"basis": list(basis)} if basis else {}),
        "parts": [{"part": "base", "kind": "batter", "ingredients": lines}],
        "method": [],
    }
    return weigh_file(record_text("formula", data, Path("middle.yaml")).encode(), "middle", kitchen)


def _nearest(
    formulas: Sequence[Compared], made: Balance, kitchen: Kitchen, names: Sequence[str]
) -> tuple[Compared, float]:
    """The formula nearest to the middle, one with a method where any has one; of equals the first label."""
    told = Compared("the middle", "/the middle/formula.yaml", made)
    found = apart((*formulas, told), kitchen.house, but=(OF_PARTS,))
    matrix = dict(zip((one.path for one in found.formulas), found.matrix, strict=True))
    away = dict(zip((one.path for one in found.formulas), matrix.get(told.path, ()), strict=False))
    best = min(
        zip(formulas, names, strict=True),
        key=lambda one: (
            not one[0].balance.formula.method,
            round(away.get(one[0].path, float("inf")), 9),
            one[1],
        ),
    )[0]
    return best, away.get(best.path, 0.0)


def _bake_middle(
    ends_of: Callable[[Formula], Ends | None], formulas: Sequence[Compared], nearest: Compared
) -> BakeMiddle | None:
    said: list[Ends] = [e for one in formulas if (e := ends_of(one.balance.formula))]
    if len(said) == len(formulas):
        return BakeMiddle(median(map(fmean, said)), "all", len(said))
    ends = ends_of(nearest.balance.formula)
    return BakeMiddle(fmean(ends), "nearest", len(said)) if ends else None


def _spreads(
    formulas: Sequence[Compared], made: Balance, ours: Compared | None
) -> Iterator[RatioSpread]:
    """Every ratio that some formula has, as far as it is known."""
    found = [(one, ratios(one.balance)) for one in formulas]
    own = ratios(made)
    held = ratios(ours.balance) if ours else {}
    for name in RATIOS:
        known = [(one, of[name].percent) for one, of in found if not of[name].lacking]
        values = [percent for _, percent in known]
        percent = None if name == OF_PARTS else own[name].percent
        if not values or (max(values) <= 0 and (percent or 0.0) <= 0):
            continue
        low, high = quartiles(values)
        spread = RatioSpread(
            name,
            percent,
            low,
            median(values),
            high,
            len(values),
            lacking=own[name].lacking,
        )
        if name in held and not held[name].lacking and ours:
            others = [percent for one, percent in known if one.path != ours.path]
            yield _standing(spread, held[name].percent, others)
        else:
            yield spread


def _standing(spread: RatioSpread, ours: float, others: Sequence[float]) -> RatioSpread:
    equal = [abs(other - ours) <= 1e-6 for other in others]
    below = sum(other < ours for other, same in zip(others, equal, strict=True) if not same)
    return replace(
        spread, ours=ours, below=below, equal=sum(equal), above=len(others) - below - sum(equal)
    )
