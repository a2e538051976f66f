"""Write the tables of docs/how-right.md: published weights against our conversion of the published measures.

What stands outside the two marks of the page is written by hand.

tests/published/weight and tests/published/measure hold the same published recipes, once with the
printed weight and once with the printed measure of each line. The mean masses of the catalogue come
from USDA SR28, not from these recipes, so the error is out of sample where the catalogue says
"USDA SR28"; lines marked * take their mass from pairs of this kind. A spread "of n published values" was drawn
from these very pairs among others: what the spread covers is told first with each pair taken out of its own.

    python tools/maintain/write_accuracy.py
"""

from __future__ import annotations

import re
from math import hypot, sqrt
from pathlib import Path
from statistics import median
from typing import NamedTuple

from perflour.balance.balance import Balance, balance
from perflour.balance.parts import Weighed
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.quantity import Amount
from perflour.kitchen.units import unit_named
from perflour.kitchen.weighing import nearest_volume_measure

ROOT = Path(__file__).parents[2]
PUBLISHED = ROOT / "tests" / "published"
PAGE = ROOT / "docs" / "how-right.md"
START = "<!-- masses: written by tools/maintain/write_accuracy.py -->\n"
END = "<!-- end of masses -->\n"
NEEDS_EXPLAINING_PERCENT = 15.0

# Every line beyond 15 %, and why. A new one without an explanation fails tests/whole/test_accuracy.py.
EXPLANATIONS: dict[tuple[str, str], str] = {
    ("cacfp-baking-powder-biscuits", "instant nonfat dry milk"): (
        "the published pair is wrong: it implies 227 g a cup, three times the 68 g of USDA SR28; 5 oz is"
        " right for about 2 cups"
    ),
    ("cacfp-baking-powder-biscuits", "baking powder"): (
        "the published pair is low: 3/4 oz for 7 tsp is 3.0 g a tsp against 4.6 g in USDA SR28; so the"
        " source prints it"
    ),
    ("military-d036-sweet-dough", "bread flour"): (
        "the card sells flour at 113 g a cup, sifted or spooned as in early charts; USDA SR28 has 137 g,"
        " a cup dipped and levelled. The catalogue's spread of a cup of bread flour (17 %) says so"
    ),
    ("military-h002-brownies", "cocoa powder"): (
        "published cups of cocoa run from 85 to 113 g; this card is the top end, the catalogue's mean 89 g"
    ),
    ("military-h015-crisp-drop-cookies", "all-purpose flour"): (
        "the card prints 102 g a cup, the lowest published figure (its neighbours print 113 g); USDA SR28"
        " has 125 g"
    ),
    ("military-h015-crisp-drop-cookies", "table salt"): (
        "1 oz for 2 tbsp is 14.2 g a tbsp, rounded to the ounce; USDA SR28 has 18 g, and the sweet dough"
        " card of the same set prints 18.2 g"
    ),
    ("military-h015-crisp-drop-cookies", "nonfat dry milk"): (
        "3 oz for half a cup is 170 g a cup, against 120 g in USDA SR28 and 126 g on the sweet dough card:"
        " rounded to the ounce, or a slip"
    ),
    ("usda-1988-spice-icing", "nonfat dry milk"): (
        "the published pair is wrong: 1 oz for 2 tbsp is 227 g a cup, three times the pairs elsewhere in"
        " the same book"
    ),
    ("usfa-1918-corn-buckwheat", "buckwheat flour"): (
        "the 1918 book weighs a cup at 142 g and says its measures are rounded to a usual fraction; USDA"
        " SR28 has 120 g. Published cups of buckwheat flour differ by a fifth"
    ),
}

# Pairs that cannot be right: the README of the reference figures names them as outliers.
WRONG_IN_PRINT = frozenset(
    (
        ("cacfp-baking-powder-biscuits", "instant nonfat dry milk"),
        ("usda-1988-spice-icing", "nonfat dry milk"),
        ("usda-2004-sugar-cookies", "granulated sugar"),
    )
)


class Conversion(NamedTuple):
    """One line with both a printed weight and a printed measure."""

    recipe: str
    item: str
    measure: str
    published_g: float
    computed_g: float
    spread_g: float
    rounding_g: float
    source: str

    @property
    def error_percent(self) -> float:
        return (self.computed_g - self.published_g) / self.published_g * 100

    @property
    def spreads(self) -> float:
        """The error in standard spreads of the computed mass and the printed weight's rounding."""
        return abs(self.computed_g - self.published_g) / hypot(self.spread_g, self.rounding_g)

    @property
    def spreads_of_others(self) -> float | None:
        """The error in spreads that the other published values have; None where there is none.

        A catalogue's spread of n values is the root of their squared deviations over n - 1: this pair's is taken
        out. Where this pair was no value of them, that makes the spread too small, and the share told too low.
        """
        if in_sample(self):
            return None
        drawn = re.search(r"spread of (\d+) published values", self.source)
        if not drawn:
            return self.spreads
        values, error = int(drawn[1]), self.computed_g - self.published_g
        if values < 3:
            return None
        others = max(0.0, self.spread_g**2 * (values - 1) - error**2) / (values - 2)
        return abs(error) / hypot(sqrt(others), self.rounding_g)


def conversions() -> list[Conversion]:
    """Every line of every published recipe that prints both."""
    found: list[Conversion] = []
    for folder in sorted((PUBLISHED / "weight").iterdir()):
        by_weight = _weighed(folder / "formula.yaml")
        by_measure = _weighed(PUBLISHED / "measure" / folder.name / "formula.yaml")
        for weighed, measured in zip(_lines(by_weight), _lines(by_measure), strict=True):
            if weighed.line.amount.text != measured.line.amount.text:
                found.append(_conversion(folder.name, weighed, measured))
    return found


def _conversion(recipe: str, weighed: Weighed, measured: Weighed) -> Conversion:
    assert weighed.mass is not None
    assert measured.mass is not None, f"{recipe}: {measured.line.name} cannot be weighed"
    said = f"{measured.line.amount.text} {measured.line.state}".strip()
    return Conversion(
        recipe,
        measured.line.name,
        said,
        weighed.grams,
        measured.grams,
        measured.mass.spread_g,
        _rounding_g(weighed),
        _source(measured),
    )


def _rounding_g(weighed: Weighed) -> float:
    """Spread of a printed weight by its rounding: to the ounce, or to the fraction it shows."""
    amount = weighed.line.amount.value
    assert isinstance(amount, Amount)
    last = amount.terms[-1]
    step = unit_named("oz").factor / (last.low.denominator if last.unit.name == "oz" else 1)
    return step / 2 / sqrt(3)


def _source(measured: Weighed) -> str:
    """Where the catalogue has the mass from."""
    assert measured.ingredient is not None
    amount = measured.line.amount.value
    assert isinstance(amount, Amount)
    unit = amount.terms[0].unit
    if unit.kind == "volume":
        measure = nearest_volume_measure(
            measured.ingredient, unit_named(unit.name).factor, measured.line.state
        )
        return measure.source if measure else ""
    return next(m.source for m in measured.ingredient.measures if m.per == unit.name)


def _weighed(path: Path) -> Balance:
    return balance(read_formula(path.read_bytes(), str(path)), built_in())


def _lines(weighed: Balance) -> list[Weighed]:
    return [line for part in weighed.parts for line in part.lines]


def in_sample(conversion: Conversion) -> bool:
    """Whether the catalogue's mean is itself from published pairs, not from USDA SR28."""
    return (
        "USDA SR28" not in conversion.source.split(";")[0]
        or "pairs" in conversion.source.split(";")[0]
    )


def page() -> str:
    """docs/how-right.md with the tables as they should be."""
    before, rest = PAGE.read_text(encoding="utf-8").split(START)
    return before + START + as_text() + END + rest.split(END)[1]


def as_text() -> str:
    """What stands between the marks."""
    found = conversions()
    errors = [abs(c.error_percent) for c in found]
    right = [c for c in found if (c.recipe, c.item) not in WRONG_IN_PRINT]
    own, right_own = [c.spreads for c in found], [c.spreads for c in right]
    fair = [error for c in found if (error := c.spreads_of_others) is not None]
    fresh = [abs(c.error_percent) for c in found if not in_sample(c)]
    lines = [
        f"- {len(found)} pairs in {len({c.recipe for c in found})} recipes",
        f"- median absolute error {median(errors):.1f} %; {median(fresh):.1f} % over the {len(fresh)} pairs whose catalogue mass is USDA SR28's (the rest, marked \\*, have no USDA figure of that measure)",
        f"- within one standard spread, out of sample: {_share(fair, 1)}; within two: {_share(fair, 2)}",
        f"- beyond {NEEDS_EXPLAINING_PERCENT:.0f} %: {sum(e > NEEDS_EXPLAINING_PERCENT for e in errors)}, each explained below",
        "",
        "| recipe | ingredient | measure | published g | computed g | ± g | error % |",
        "| --- | --- | --- | ---: | ---: | ---: | ---: |",
        *(_row(c) for c in found),
        "",
        "### What the spread covers",
        "",
        "A spread is one standard uncertainty: were it perfect and were errors normal, 68 % of the"
        " published weights would lie within one and 95 % within two. The printed weight's own rounding"
        " (to the ounce, or to the fraction it shows) is counted in.",
        "",
        f"- out of sample, {len(fair)} pairs, each against the spread of the other published values: {_share(fair, 1)} within one, {_share(fair, 2)} within two",
        f"- left out of that: {len(found) - len(fair)} pairs on which the catalogue's mass itself rests, or beside which there is no second value to draw a spread from",
        f"- all {len(found)} pairs against the catalogue's spread, which rests partly on them: {_share(own, 1)} within one, {_share(own, 2)} within two",
        f"- without the {len(found) - len(right)} pairs that are wrong in print ({', '.join(sorted({c.item for c in found if c not in right}))}): {_share(right_own, 1)} and {_share(right_own, 2)}",
        "",
        "More than 68 % lie within one spread, since the spreads of flour, sugar and cocoa hold a century of"
        " charts (spooned, dipped, coarser sugar), while these recipes come from few kitchens that agree"
        " with each other. Fewer than 95 % lie within two where a card rounds hard or uses another cup; each"
        " is named below or lies between two and three spreads.",
        "",
        f"### Beyond {NEEDS_EXPLAINING_PERCENT:.0f} %",
        "",
        *(
            f"- {c.recipe}, {c.item} ({c.measure}, {c.error_percent:+.0f} %): {EXPLANATIONS.get((c.recipe, c.item), 'NOT EXPLAINED')}"
            for c in found
            if abs(c.error_percent) > NEEDS_EXPLAINING_PERCENT
        ),
    ]
    return "\n".join(lines) + "\n"


def _share(errors: list[float], spreads: float) -> str:
    """How many of these errors, each in its own spreads, are within so many."""
    return f"{sum(error <= spreads for error in errors) / len(errors) * 100:.0f} %"


def _row(c: Conversion) -> str:
    mark = " \\*" if in_sample(c) else ""
    return f"| {c.recipe} | {c.item}{mark} | {c.measure} | {c.published_g:.0f} | {c.computed_g:.0f} | {c.spread_g:.0f} | {c.error_percent:+.1f} |"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
