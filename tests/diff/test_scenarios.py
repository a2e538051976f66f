"""Pairs of versions, each with what a head baker says of it (``expected.txt`` beside them): told so, in JSON too.

The pairs and the words are this project's own, as is what is common practice in them.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from functools import cache
from typing import Any

import jsonschema
import pytest

from perflour.balance.balance import Balance
from perflour.balance.parts import Weighed
from perflour.diff.difference import difference_between
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.names import fold
from perflour.report.diff.text import differences_json, differences_text
from tests.conftest import ROOT, weigh_text

SCENARIOS = ROOT / "tests" / "diff" / "scenarios"
#: Kinds that only follow from others, and are held by their laws.
FOLLOW = ("ratio", "follows-basis", "mass-per-piece")

#: By folder the headline, then what the JSON tells: kind, subject, figure before and after.
TOLD: dict[str, tuple[str, list[str]]] = {
    "01-one-up": (
        "quay-loaf: granulated sugar 70.0 -> 80.0 %",
        ["amount granulated sugar 70 80", "yield-off 1 x loaf of 977 g 977 1007"],
    ),
    "03-flour-up-only": (
        "quay-loaf: the batter's flour 300 g -> 330 g",
        ["basis 300 330", "yield-off 1 x loaf of 977 g 977 1007"],
    ),
    "05-batch-doubled": (
        "quay-loaf: batch x2",
        ["batch-scaled 977 1955", "yield yield"],
    ),
    "07-doubled-plus-one-change": (
        "quay-loaf: batch x2, granulated sugar 70.0 -> 60.0 %",
        [
            "batch-scaled 977 1895",
            "amount granulated sugar 70 60",
            "yield yield",
            "yield-off 2 x loaf of 977 g 1954 1895",
        ],
    ),
    "09-x1-3-in-cups-and-spoons": (
        "groyne-cookie: batch x1/3, vanilla extract 1.5 -> 1.2 %, egg re-measured",
        [
            "batch-scaled 938 312",
            "amount vanilla extract 1.54 1.16",
            "yield yield",
            "re-measured egg 35.6 35.2",
        ],
    ),
    "11-batter-halved-topping-kept": (
        "pier-cake: batter x0.5, crumb topping 28.2 -> 56.4 g for 100 g, 2 more",
        [
            "part-scaled batter 1057 528",
            "part-beside crumb topping 28.2 56.4",
            "yield yield",
            "yield-off 8 x square of 111 g 888 826",
            "amount unsalted butter 50 49.6",
        ],
    ),
    "13-unit-same-volume": (
        "quay-loaf: whole milk re-measured",
        ["re-measured whole milk 40.7 40.7"],
    ),
    "15-unit-outside-the-spread": (
        "quay-loaf: the batter's flour 300 g -> 375 g",
        [
            "basis 300 375",
            "re-measured all-purpose flour 100 100",
            "yield-off 1 x loaf of 977 g 977 1052",
        ],
    ),
    "17-spoons-table-to-kosher": (
        "quay-loaf: kosher salt for table salt",
        ["substituted kosher salt 2 1", "step-uses fold: uses"],
    ),
    "19-sugar-split": (
        "quay-loaf: light brown sugar for part of the granulated sugar",
        ["exchanged sugar 70 70", "step-uses cream: uses"],
    ),
    "21-butter-to-oil-corrected": (
        "quay-loaf: canola oil for unsalted butter, whole milk 40.0 -> 49.7 %",
        ["substituted canola oil 60 48.7", "step-uses cream: uses", "amount whole milk 40 49.7"],
    ),
    "23-flour-partly-replaced": (
        "quay-loaf: whole wheat flour 0.0 -> 20.0 %",
        ["blend", "step-uses fold: uses"],
    ),
    "25-ap-to-gf-blend-basis-forgotten": (
        "quay-loaf: 100 % now only white rice flour (180 g), 3 more",
        [
            "basis-short white rice flour, tapioca starch, potato starch and all-purpose flour",
            "substituted white rice flour 100 60",
            "blend",
            "added xanthan gum",
            "step-uses fold: uses",
        ],
    ),
    "27-powder-to-soda-buttermilk": (
        "quay-loaf: baking soda for baking powder",
        ["leavening leavening 0.36 0.299", "step-uses fold: uses"],
    ),
    "29-instant-to-fresh-yeast": (
        "mole-bread: fresh yeast for instant yeast",
        ["substituted fresh yeast 0.6 1.8", "step-uses mix: uses"],
    ),
    "31-preferment-introduced": (
        "mole-bread: poolish 0.0 -> 20.0 % of the flour, mix added, 1 more",
        [
            "preferment poolish",
            "shared-out water 65 65",
            "step-added mix 200 g of bread flour, 200 g of water, 0.2 g of instant yeast makes poolish with spoon",
            "step-added ferment poolish at 20 °C (68 °F) for 12 h until domed",
            "shared-out bread flour 100 100",
            "part-added poolish",
            "step-uses mix: uses",
            "shared-out instant yeast 0.6 0.6",
        ],
    ),
    "33-poolish-share-total-constant": (
        "mole-bread: poolish 20.0 -> 30.0 % of the flour",
        [
            "preferment poolish",
            "shared-out water 65 65",
            "shared-out bread flour 100 100",
            "step-uses mix: uses",
            "shared-out instant yeast 0.6 0.6",
        ],
    ),
    "35-part-renamed": (
        "pier-cake: batter now called cake",
        ["part-renamed cake"],
    ),
    "37-moved-from-part-to-part": (
        "pier-cake: cinnamon moved to batter",
        [
            "moved cinnamon",
            "step-uses rub in: uses",
            "step-uses fold: uses",
            "part-beside crumb topping 28.2 27.8",
        ],
    ),
    "39-line-divided-in-one-part": (
        "quay-loaf: granulated sugar split",
        ["split granulated sugar 70 70", "step-uses cream: uses", "step-uses beat in: uses"],
    ),
    "41-topping-added": (
        "pier-cake: crumb topping added, rub in added",
        [
            "part-added crumb topping",
            "step-added rub in 120 g of all-purpose flour, light brown sugar, cinnamon, 65 g of unsalted butter makes crumb topping until pea-sized crumbs",
            "step-uses top: uses",
        ],
    ),
    "43-ingredient-order": (
        "",
        [],
    ),
    "45-step-split": (
        "quay-loaf: fold in two steps",
        ["step-split fold -> fold + stir in"],
    ),
    "47-step-reordered": (
        "quay-loaf: preheat to 175 °C (350 °F) as step 5",
        ["step-moved preheat to 175 °C (350 °F)"],
    ),
    "49-oven-changed": (
        "quay-loaf: oven 175 -> 165 °C",
        ["step-temperature preheat: to 175 165", "bake bake: at 175 165"],
    ),
    "51-time-in-another-unit": (
        "",
        [],
    ),
    "53-pan-and-speed-changed": (
        "quay-loaf: 1 loaf pan 23 x 13 cm -> 1 loaf pan 20 x 10 cm, 1 more",
        ["step-reworded line: into", "step-reworded deposit: into", "step-speed cream: speed"],
    ),
    "55-pieces-only": (
        "mole-bread: yield 3 x loaf of 559 g",
        ["yield yield"],
    ),
    "57-salt-forgotten": (
        "mole-bread: table salt 2.00 % removed",
        ["removed table salt", "step-uses knead: uses"],
    ),
    "59-can-not-drained": (
        "pier-cake: drain removed, canned peaches 100.0 -> 170.0 %",
        [
            "step-removed drain canned peaches with sieve",
            "amount canned peaches 100 170",
            "yield-off 12 x square of 111 g 1332 1530",
            "part-beside crumb topping 28.2 24.2",
        ],
    ),
    "61-comment-only": (
        "",
        [],
    ),
    "63-key-order": (
        "",
        [],
    ),
    "65-waiver": (
        "quay-loaf: waiver of no-core-temperature added",
        ["header waivers"],
    ),
    "67-basis-changed": (
        "quay-loaf: 100 % now means all-purpose flour and almond meal",
        ["basis-named 100 %"],
    ),
    "69-unknown-mass-added": (
        "quay-loaf: candied angelica 1 handful added",
        ["added candied angelica", "step-uses fold: uses"],
    ),
    "71-salt-to-taste": (
        "quay-loaf: salt not known any more, table salt 4 g -> to taste",
        ["ratio-unknown salt", "amount-as-written table salt"],
    ),
    "73-three-edits-of-different-weight": (
        "quay-loaf: table salt 1.33 -> 2.00 %, whole milk 40.0 -> 50.0 %, 1 more",
        [
            "amount table salt 1.33 2",
            "amount whole milk 40 50",
            "amount granulated sugar 70 72",
            "yield-off 1 x loaf of 977 g 977 1015",
        ],
    ),
    "75-egg-up-milk-down": (
        "quay-loaf: egg 50.0 -> 66.7 %, whole milk 40.0 -> 26.7 %",
        ["amount egg 50 66.7", "amount whole milk 40 26.7"],
    ),
}

#: What must not be read in the report.
NEVER = {
    "01-one-up": ("egg", "salt", "fat"),
    "03-flour-up-only": ("removed", "sugar 210 g"),
    "05-batch-doubled": ("sugar", "butter"),
    "11-batter-halved-topping-kept": ("hydration", "egg", "table salt"),
    "15-unit-outside-the-spread": ("100.0 -> 100.0", "re-measured only"),
    "19-sugar-split": ("36.7",),
    "25-ap-to-gf-blend-basis-forgotten": ("116.7", "granulated sugar"),
    "31-preferment-introduced": ("650", "450", "48.0"),
    "33-poolish-share-total-constant": ("removed", "hydration"),
    "35-part-renamed": ("%",),
    "41-topping-added": ("hydration", "egg", "total"),
    "49-oven-changed": ("…",),
    "67-basis-changed": ("sugar", "butter"),
    "71-salt-to-taste": ("0.00", "removed"),
}


@cache
def sides(name: str) -> tuple[Balance, Balance]:
    one, other = (
        weigh_text((SCENARIOS / name / f"{side}.yaml").read_text(encoding="utf-8"))
        for side in ("before", "after")
    )
    return one, other


@cache
def printed(name: str) -> dict[str, Any]:
    """What `diff --output json` says of a pair."""
    data: dict[str, Any] = json.loads(differences_json([difference_between(*sides(name))]))
    return data


def test_every_pair_is_held() -> None:
    assert {path.name for path in SCENARIOS.iterdir()} == set(TOLD)
    assert len(TOLD) == 38


@pytest.mark.parametrize("name", TOLD)
def test_is_told_as_a_head_baker_would(name: str) -> None:
    headline, expected = TOLD[name]
    formula = printed(name)["formulas"][0]
    assert [_said(c) for c in formula["changes"] if c["kind"] not in FOLLOW] == expected
    assert formula["summary"] == (headline or f"{formula['formula']}: nothing changed")


def test_the_way_back_joins_what_was_split() -> None:
    before, after = sides("45-step-split")
    (change,) = difference_between(after, before).changes
    assert change.kind == "steps-joined"


@pytest.mark.parametrize("name", NEVER)
def test_says_nothing_that_misleads(name: str) -> None:
    text = differences_text([difference_between(*sides(name))])
    assert [word for word in NEVER[name] if word in text] == []


def _said(change: dict[str, Any]) -> str:
    figures = [change.get("before"), change.get("after")]
    words = [change["kind"], change.get("subject", "")]
    if None not in figures:
        words += [f"{figure:.3g}" if figure < 100 else f"{figure:.0f}" for figure in figures]
    return " ".join(filter(None, words))


@pytest.mark.parametrize("name", TOLD)
def test_the_json_is_what_its_schema_says(name: str) -> None:
    schema = json.loads((ROOT / "schema" / "diff.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(printed(name))


# --- the new ingredient list from the old one and the JSON alone ---

Masses = dict[tuple[str, str], float]


@pytest.mark.parametrize("name", TOLD)
def test_the_json_leads_from_one_list_to_the_other(name: str) -> None:
    before, after = sides(name)
    expected: Masses = defaultdict(float)
    for part, line in _lines(after):
        expected[part, _main(line.line.name)] += line.grams
    found = _applied(before, printed(name)["formulas"][0])
    assert {key for key, grams in found.items() if grams} == {k for k, g in expected.items() if g}
    for key, grams in expected.items():
        assert found[key] == pytest.approx(grams, rel=2.5e-4), key


def _lines(balance: Balance) -> list[tuple[str, Weighed]]:
    return [
        (fold(part.part.name), line)
        for part in balance.parts
        for line in part.lines
        if not line.line.is_part
    ]


def _applied(before: Balance, told: dict[str, Any]) -> Masses:
    """Lines that a change takes away go, those it puts there come, the rest is multiplied."""
    changes = told["changes"]
    renamed = {
        fold(c["part_before"]): fold(c["part"]) for c in changes if c["kind"] == "part-renamed"
    }
    factors = {fold(c["part"]): c["delta"] for c in changes if c["kind"] == "part-scaled"}
    gone, come = (
        Counter({_line(line): 1 for change in changes for line in change.get(side, ())})
        for side in ("lines_before", "lines_after")
    )
    masses: Masses = defaultdict(float)
    for part in before.parts:
        name = renamed.get(fold(part.part.name), fold(part.part.name))
        for place, line in enumerate(part.lines, start=1):
            key = (part.part.name, place, line.line.name, line.line.amount.text)
            if not line.line.is_part and key not in {known[:4] for known in gone}:
                factor = factors.get(name, told["factor"])
                masses[name, _main(line.line.name)] += line.grams * factor
    for part_name, _, item, _, grams in come:
        masses[fold(part_name), _main(item)] += grams or 0.0
    parts = {fold(part.part.name) for part in before.parts} | {
        fold(c.get("subject", "")) for c in changes if c["kind"] == "part-added"
    }
    return {key: grams for key, grams in masses.items() if key[1] not in parts}


def _line(line: dict[str, Any]) -> tuple[str, int, str, str, float | None]:
    return line["part"], line["place"], line["item"], line["amount"], line["grams"]


def _main(name: str) -> str:
    known = built_in().find(name)
    return fold(known.name if known else name)
