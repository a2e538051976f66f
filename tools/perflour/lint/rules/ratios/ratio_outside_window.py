"""The ratios lie inside the windows of the product class.

A window warns, it does not refuse: a new product may well lie outside. The message gives the value,
the window and where the window comes from. The base is judged, preferments included. Powder and soda stand in for
each other: a class with a window for baking powder alone is judged by the powder that gives as much carbon
dioxide, and neither is too little where the gas is not."""

from collections.abc import Container, Iterator, Mapping

from perflour.balance.gas import GAS, POWDER_GAS_PERCENT, SODA_GAS_BY_HEAT
from perflour.balance.ratios import Ratio
from perflour.kitchen.house import Window
from perflour.lint.rule import Context, Finding, Rule
from perflour.tuples import NamedTuple
from perflour.typed import Literal

POWDER, SODA = "baking-powder", "baking-soda"
#: Percent of carbon dioxide that each gives off at least.
LEAST_GAS = {POWDER: POWDER_GAS_PERCENT, SODA: SODA_GAS_BY_HEAT * 100}


class Judged(NamedTuple):
    """Where a ratio lies to its window: ``percent`` as it is judged.

    ``may-be-inside`` is a low one that something not known, or something that stands in for it, may make up for.
    """

    percent: float
    side: Literal["inside", "under", "over", "may-be-inside"]


class Outside(NamedTuple):
    """A ratio that lies outside its window: ``percent`` as it is judged, ``plain`` as it is."""

    name: str
    percent: float
    plain: float

    def said(self, of: str) -> str:
        """It in words, in percent ``of`` the base."""
        said = f"{self.name} is {self.plain:.1f} % of {of}"
        if round(self.plain, 2) == round(self.percent, 2):
            return said
        return (
            f"{said}, and all that lifts gives as much carbon dioxide as {self.percent:.1f} % of it"
        )


def check(context: Context) -> Iterator[Finding]:
    product = context.house.classes.get(context.formula.product_class)
    if product is None or not context.has_whole_basis:
        return
    for one in outside(context.ratios, product.windows):
        window = product.windows[one.name]
        side = "under" if one.percent < window.low else "over"
        message = f"{one.said(context.balance.of)}, {side} the window {window.low:g} to {window.high:g} % of {product.title} ({window.source})"
        yield Finding(context.formula.place("parts"), message, one.name)


def outside(ratios: Mapping[str, Ratio], windows: Mapping[str, Window]) -> Iterator[Outside]:
    """The ratios of a whole base that lie outside ``windows``."""
    for name, window in windows.items():
        percent = judged_percent(ratios, name, windows)
        if _holds(window, percent) or judged(ratios, name, windows).side == "may-be-inside":
            continue
        yield Outside(name, percent, ratios[name].percent)


def judged(ratios: Mapping[str, Ratio], name: str, windows: Mapping[str, Window]) -> Judged:
    """Where the ratio of ``name`` lies to its window."""
    window, percent = windows[name], judged_percent(ratios, name, windows)
    if _holds(window, percent):
        return Judged(percent, "inside")
    if percent < window.low and _may_be_inside(ratios, name, window):
        return Judged(percent, "may-be-inside")
    return Judged(percent, "under" if percent < window.low else "over")


def _holds(window: Window, percent: float) -> bool:
    return window.low <= round(percent, 2) <= window.high


def judged_percent(ratios: Mapping[str, Ratio], name: str, windows: Container[str]) -> float:
    """The percent that the window of ``name`` holds.

    Where a class has none for soda, of the powder of the usual strength that lifts as much."""
    if name == POWDER and SODA not in windows:
        return ratios[GAS].percent / POWDER_GAS_PERCENT * 100
    return ratios[name].percent


def _may_be_inside(ratios: Mapping[str, Ratio], name: str, window: Window) -> bool:
    """Whether what is not known, or what stands in for it, may bring a low ratio inside its window."""
    if ratios[name].lacking:
        return True
    if name not in LEAST_GAS:
        return False
    gas = ratios[GAS]
    return bool(gas.lacking) or gas.percent * 100 >= window.low * LEAST_GAS[name]


RULE = Rule(
    id="ratio-outside-window",
    level="warning",
    family="ratios",
    source="the windows of the product class in house.yaml, each with its own source; carbon dioxide as in leavening-out-of-proportion",
    text=__doc__ or "",
    check=check,
)
