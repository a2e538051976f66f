"""What a batch contains, against USDA figures by hand, and the laws of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.balance.allergens import allergens
from perflour.balance.balance import Balance, balance
from perflour.balance.composition import FIGURES, Figure, composition
from perflour.balance.contents import contents
from perflour.balance.ratios import ratios
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import COMPILED, built_in, with_house
from perflour.kitchen.house import kitchen_for
from tests.conftest import ROOT, examples, formula_text, weigh_text

# By hand from USDA SR27: 500 g flour 20081, 300 g whole milk 01077, 100 g egg 01123, 100 g butter
# 01145, 100 g sugar 19335, 10 g salt 02047.
PLAIN = (
    "{item: all-purpose flour, amount: 500 g}",
    "{item: whole milk, amount: 300 g}",
    "{item: egg, amount: 100 g}",
    "{item: unsalted butter, amount: 100 g}",
    "{item: granulated sugar, amount: 100 g}",
    "{item: table salt, amount: 10 g}",
)
BY_HAND = {
    "total-water": 59.6 + 264.39 + 76.15 + 17.94 + 0.02 + 0.02,
    "total-fat": 4.9 + 9.75 + 9.51 + 81.11,
    "fat-dairy": 9.75 + 81.11,
    "fat-vegetable": 4.9,
    "fat-egg": 9.51,
    "fat-animal": 0,
    "fat-cocoa": 0,
    "fat-nut": 0,
    "fat-unsorted": 0,
    "total-sugar": 1.35 + 15.15 + 0.37 + 0.06 + 99.8,
    "lactose": 15.15 + 0.06,
    "sweetening-sugar": 1.35 + 0.37 + 99.8,
    # SR28: a large egg of 50 g is 33 g white and 17 g yolk; water 87.57 and 52.31 % (01124, 01125)
    "egg-white-solids": 2 * 33 * 0.1243,
    "egg-yolk-solids": 2 * 17 * 0.4769,
    "protein": 51.65 + 9.45 + 12.56 + 0.85,
    "salt-weighed": 10,
    # NaCl 35.45 + 22.99 g/mol
    "salt-equivalent": (10 + 129 + 142 + 11 + 1 + 3875.8) / 1000 * (35.45 + 22.99) / 22.99,
    "energy": 1820 + 183 + 143 + 717 + 387,
}


def figures(weighed: Balance) -> dict[str, Figure]:
    return {figure.name: figure for figure in composition(weighed)}


def demo(name: str) -> Balance:
    path = ROOT / "formulas" / name / "formula.yaml"
    return balance(read_formula(path.read_bytes(), path.name), kitchen_for(str(path)).catalogue)


@pytest.mark.parametrize("name", FIGURES)
def test_figures_by_hand_from_usda(name: str) -> None:
    found = figures(weigh_text(formula_text(*PLAIN, extra="yield: {pieces: 4}\n")))[name]
    expected = pytest.approx(BY_HAND[name], rel=5e-4)
    assert found.batch == expected
    assert found.lacking == ()
    assert found.per_piece == pytest.approx(found.batch / 4)
    assert found.per_100_g == pytest.approx(found.batch / 11.10)  # 1,110 g of batch
    if name == "energy":
        assert found.unit == "kcal" and found.percent is None
    else:
        assert found.percent == pytest.approx(found.batch / 5)  # 500 g of flour


def test_salt_equivalent_of_salt_is_salt() -> None:
    """Table salt is NaCl but for its moisture and a little else: USDA 02047 has 38,758 mg sodium."""
    found = figures(weigh_text(formula_text("{item: table salt, amount: 100 g}")))
    assert found["salt-equivalent"].batch == pytest.approx(98.5, abs=0.05)
    assert found["salt-weighed"].batch == 100


def test_what_is_not_known_is_named_and_not_zero() -> None:
    found = figures(
        weigh_text(
            formula_text(
                "{item: all-purpose flour, amount: 100 g}",
                "{item: moon dust, amount: 10 g}",
                "{item: psyllium husk, amount: 5 g}",
                "{item: evaporated milk, amount: 10 g}",
                "{item: sour cream, amount: 1 handful}",
            )
        )
    )
    assert found["total-water"].lacking == ("sour cream", "moon dust", "psyllium husk")
    assert found["lactose"].lacking == ("sour cream", "moon dust", "evaporated milk")
    assert found["salt-weighed"].lacking == ("moon dust",)
    assert found["egg-yolk-solids"].lacking == ("moon dust",)
    assert found["fat-nut"].lacking == ("moon dust", "psyllium husk")
    assert found["total-water"].batch == pytest.approx(11.92 + 7.404)  # NDB 20081, 01153


def test_a_house_ingredient_without_a_kind_of_fat_is_unsorted() -> None:
    own = {"name": "bench flour", "group": "flour", "composition": {"fat": 2.0}}
    text = formula_text("{item: bench flour, amount: 100 g}")
    weighed = balance(read_formula(text.encode(), "f"), with_house(built_in(), [own]))
    found = figures(weighed)
    assert found["fat-unsorted"].batch == 2
    assert found["lactose"].lacking == ("bench flour",)  # it says nothing of milk
    assert allergens(weighed).not_known == ("bench flour",)


def test_total_water_is_the_ratio_of_the_table() -> None:
    """Two ways to one number: true hydration here, total-water of the baker's table there."""
    for path in sorted((ROOT / "formulas").glob("*/formula.yaml")):
        weighed = demo(path.parent.name)
        for name in ("total-water", "total-fat", "total-sugar"):
            found, ratio = figures(weighed)[name], ratios(weighed)[name]
            assert found.percent == pytest.approx(ratio.percent)
            assert set(found.lacking) == set(ratio.lacking)


amounts = st.lists(st.integers(1, 5000), min_size=len(PLAIN), max_size=len(PLAIN))


def grams_of(amounts_g: list[int], pieces: int, times: int = 1) -> dict[str, Figure]:
    lines = [
        line[: line.index("amount:")] + f"amount: {grams * times} g}}"
        for line, grams in zip(PLAIN, amounts_g, strict=True)
    ]
    return figures(weigh_text(formula_text(*lines, extra=f"yield: {{pieces: {pieces}}}\n")))


@examples(25)
@given(amounts, st.integers(1, 60), st.integers(2, 50))
def test_scaling_keeps_what_100_g_hold(amounts_g: list[int], pieces: int, times: int) -> None:
    one, many = grams_of(amounts_g, pieces), grams_of(amounts_g, pieces, times)
    for name in FIGURES:
        assert many[name].per_100_g == pytest.approx(one[name].per_100_g)
        assert many[name].percent == pytest.approx(one[name].percent)
        assert many[name].batch == pytest.approx(one[name].batch * times)
        assert (one[name].per_piece or 0) * pieces == pytest.approx(one[name].batch)


@examples(25)
@given(amounts)
def test_the_kinds_of_fat_are_all_the_fat(amounts_g: list[int]) -> None:
    found = grams_of(amounts_g, 1)
    kinds = sum(f.batch for f in found.values() if f.name.startswith("fat-"))
    assert kinds == pytest.approx(found["total-fat"].batch)
    sugars = found["lactose"].batch + found["sweetening-sugar"].batch
    assert sugars == pytest.approx(found["total-sugar"].batch)


def test_spreads_only_where_asked_and_only_from_measures() -> None:
    by_cup = weigh_text(formula_text("{item: whole milk, amount: 1 cup}"))
    assert contents(by_cup).spreads == {}
    # 17.2 g of 244 g a cup: the spread in the catalogue, of 3 published values
    assert contents(by_cup, with_spreads=True).spreads["total-water"].batch == pytest.approx(
        17.2 * 0.8813
    )
    by_scale = contents(weigh_text(formula_text(*PLAIN)), with_spreads=True)
    assert all(spread.batch == 0 for spread in by_scale.spreads.values())


ENTRIES: dict[str, dict[str, Any]] = {
    entry["name"]: entry
    for entry in map(json.loads, Path(COMPILED).read_text(encoding="utf-8").splitlines()[1:])
}


KIND_OF_GROUP = {"dairy": "dairy", "egg": "egg", "chocolate": "cocoa", "nut": "nut"}
OTHER_KIND = {
    **dict.fromkeys(
        ("unsalted butter", "salted butter", "whipped butter", "clarified butter"), "dairy"
    ),
    **dict.fromkeys(("lard", "beef suet", "gelatin", "marshmallows"), "animal"),
    **dict.fromkeys(("almond meal", "blanched almond flour", "peanut flour"), "nut"),
    **dict.fromkeys(
        (
            "desiccated coconut", "sweetened shredded coconut", "sweetened flaked coconut", "tahini",
            "sesame seeds", "flaxseed", "ground flaxseed", "chia seeds", "sunflower seeds",
            "pumpkin seeds", "butterscotch chips", "hulled hemp seeds",
        ),
        "vegetable",
    ),
    "cocoa butter": "cocoa",
}  # fmt: skip


def test_everything_with_fat_says_which_kind() -> None:
    """By the group, and by name where that misleads; the rest is of plants."""
    for name, entry in ENTRIES.items():
        kind = OTHER_KIND.get(name, KIND_OF_GROUP.get(entry["group"], "vegetable"))
        fat = entry.get("composition", {}).get("fat", 0)
        assert entry.get("fat-type") == (kind if fat > 0 else None), name
