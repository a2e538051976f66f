"""Whose cups, spoons, pints and eggs a house and a formula mean, and units of a house's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from perflour import weigh as weigh_formula
from perflour.balance.files import weigh_file
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.kitchen.household import household_measure
from perflour.kitchen.own_units import own_units
from perflour.kitchen.quantity import parse_amount
from perflour.kitchen.weighing import Mass, weigh
from perflour.recipe.ingredient_line import read_line
from perflour.recipe.of_the_whole import measures_meant
from perflour.tidy.house_format import format_formula
from tests.conftest import formula_text, run_cli
from tests.whole.test_architecture import loaded_by


def kitchen(folder: Path, said: str) -> Kitchen:
    (folder / "house.yaml").write_text(f"house: Trial kitchen\n{said}\n", encoding="utf-8")
    return kitchen_for(str(folder / "formula.yaml"))


def grams(catalogue: Catalogue, item: str, amount: str) -> float:
    mass = weigh(parse_amount(amount), catalogue.find(item), "")
    assert isinstance(mass, Mass)
    return mass.grams


# published/reference/units.csv: metric cup 250 ml, spoons 15 and 5 ml, Australian tablespoon 20 ml, UK pint
# 568.26 ml, imperial fluid ounce 28.41 ml. Water is 237 g a US cup of 236.59 ml (USDA SR28, NDB 14411).
CUPS = [
    ("", "1 cup", 236.59), ("us", "1 pint", 473.18), ("metric", "1 cup", 250), ("uk", "1 cup", 250),
    ("uk", "1 pint", 568.26), ("uk", "1 fl oz", 28.41), ("australian", "1 tbsp", 20), ("metric", "1 tbsp", 15),
    ("australian", "1 tsp", 5), ("australian", "1 US tbsp", 14.787), ("metric", "1 US cup", 236.59),
    ("uk", "2 AU tbsp", 40), ("metric", "500 ml", 500), ("australian", "1 scant cup", 250 * 0.915),
]  # fmt: skip


@pytest.mark.parametrize(("measures", "amount", "ml"), CUPS)
def test_a_house_says_whose_cups_it_means(
    measures: str, amount: str, ml: float, tmp_path: Path
) -> None:
    said = f"measures: {measures}" if measures else ""
    water = grams(kitchen(tmp_path, said).catalogue, "water", amount)
    assert water / 237 * 236.5882 == pytest.approx(ml, rel=1e-3)


# US: USDA SR28, NDB 01123. EU: the middle of the class (Regulation (EC) 589/2008, from memory) less 12 % shell.
EGGS = [
    ("", "egg", "2 large", 100), ("eggs: eu", "egg", "2 large", 2 * 68 * 0.88), ("eggs: uk", "egg", "1 medium", 58 * 0.88),
    ("measures: australian", "egg", "1 large", 54 * 0.88), ("measures: uk\neggs: us", "egg", "1 large", 50),
    ("eggs: eu", "egg white", "1 large", 33 * 68 * 0.88 / 50), ("eggs: eu", "egg", "100 g", 100),
]  # fmt: skip


@pytest.mark.parametrize(("said", "item", "amount", "wanted"), EGGS)
def test_a_house_says_whose_eggs_it_means(
    said: str, item: str, amount: str, wanted: float, tmp_path: Path
) -> None:
    assert grams(kitchen(tmp_path, said).catalogue, item, amount) == pytest.approx(wanted)


def test_a_formula_may_mean_others_and_its_digest_says_so(tmp_path: Path) -> None:
    house = kitchen(tmp_path, "measures: australian")
    text = formula_text("{item: water, amount: 1 tbsp}", "{item: egg, amount: 1 large}")
    here = weigh_file(text.encode(), "formula.yaml", house)
    us = weigh_file(f"measures: us\n{text}".encode(), "formula.yaml", house)
    assert [w.grams for w in us.lines] == pytest.approx([237 / 16, 50], rel=1e-3)
    assert [w.grams for w in here.lines] == pytest.approx([237 * 20 / 236.588, 54 * 0.88], rel=1e-3)
    from perflour.formula.digests import digest

    assert digest(us.formula) != digest(here.formula)


def test_a_cup_of_the_house_is_its_own_cup(tmp_path: Path) -> None:
    """140 g written for a cup is for 250 ml, half a cup half of it, and what is said in cups comes back."""
    (tmp_path / "ingredients.yaml").write_text(
        "ingredients:\n  - {name: all-purpose flour, group: flour, measures: [{per: cup, grams: 140, source: weighed here}]}\n"
    )
    catalogue = kitchen(tmp_path, "measures: metric").catalogue
    assert grams(catalogue, "flour", "1/2 cup") == pytest.approx(70)
    assert household_measure(140, catalogue.find("flour"), "") == "1 cup"


def test_a_house_has_units_of_its_own(tmp_path: Path) -> None:
    said = 'units: ["scoop = 60 ml", "sugar_tin = 850 g = tin_of_sugar", "jug = 1.2 l"]\nnumbers: "1,234.5"'
    house = kitchen(tmp_path, said)
    assert house.results == ()
    text = formula_text(
        "{item: water, amount: 2 scoops}",
        "{item: granulated sugar, amount: 1/2 sugar tin}",
        '{item: flour, amount: "1,000 g"}',
    )
    weighed = weigh_file(text.encode(), "formula.yaml", house)
    assert [w.grams for w in weighed.lines] == pytest.approx(
        [2 * 60 * 237 / 236.588, 425, 1000], rel=1e-3
    )
    (line,) = read_line("2 scoops water", house.catalogue)
    assert (line.amount, line.item, line.unclear) == ("2 scoop", "water", "")


@pytest.mark.parametrize(
    ("numbers", "line", "grams"),
    [("1,234.5", "1,125 g flour", 1125), ("1.234,5", "1,125 kg flour", 1125), ("1.234,5", "1.125 g flour", 1125), ("1.234,5", "0,125 kg flour", 125)],
)  # fmt: skip
def test_what_import_writes_the_house_reads_back(
    numbers: str, line: str, grams: float, tmp_path: Path
) -> None:
    house = kitchen(tmp_path, f'numbers: "{numbers}"')
    (read,) = read_line(line, house.catalogue)
    text = formula_text(f'{{item: {read.item}, amount: "{read.amount}"}}').encode()
    for content in (text, format_formula(text, "formula.yaml", house)):
        assert weigh_file(content, "formula.yaml", house).lines[0].grams == pytest.approx(grams)


@pytest.mark.parametrize(
    ("definition", "why"),
    [
        ("cup = 250 ml", "'cup' is a unit already; choose another name, or say `measures` for cups and spoons"),
        ("nap = 20 min", "'nap = 20 min' is neither a volume nor a mass; give it ml or g"),
        ("scoop = 3 wombats", "'scoop = 3 wombats' cannot be read; write it like `scoop = 60 ml`"),
        ("scoop = 10**10**10 ml", "'scoop = 10**10**10 ml' is no definition; write it like `scoop = 60 ml`"),
        ("@import /etc/passwd", "'@import /etc/passwd' is no definition; write it like `scoop = 60 ml`"),
        ("scoop = 0 ml", "'scoop = 0 ml' is beyond any kitchen; check the figure"),
        ("scoop = 1e300 ml", "'scoop = 1e300 ml' is beyond any kitchen; check the figure"),
        ("scoop = 1/0 ml", "'scoop = 1/0 ml' cannot be read; write it like `scoop = 60 ml`"),
    ],
)  # fmt: skip
def test_a_unit_that_cannot_be_one_is_told_in_one_line(
    definition: str, why: str, tmp_path: Path
) -> None:
    with pytest.raises(ValueError) as caught:
        own_units([definition])
    assert str(caught.value) == why
    (result,) = kitchen(tmp_path, f'units: ["{definition}"]').results
    assert (result.rule, result.message, result.place.line) == ("own-unit-unreadable", why, 2)


@pytest.mark.parametrize(
    ("said", "loaded"), [("measures: uk", False), ('units: ["scoop = 60 ml"]', True)]
)
def test_pint_is_loaded_only_for_own_units(said: str, loaded: bool, tmp_path: Path) -> None:
    kitchen(tmp_path, said)
    (tmp_path / "formula.yaml").write_text(
        formula_text("{item: water, amount: 1 cup, state: warm}")
    )
    assert ("pint" in loaded_by("lint", str(tmp_path / "formula.yaml"))) == loaded


@pytest.mark.parametrize(
    ("line", "whose"),
    [
        ("1 cup (250 ml) milk", "metric"), ("1 1/2 cups (375 ml) milk", "metric"), ("2 tbsp (40 ml) oil", "australian"),
        ("1 pint (570 ml) milk", "uk"), ("1 cup (237 ml) milk", ""), ("1 cup (240 ml) milk", ""), ("250 ml milk", ""),
    ],
)  # fmt: skip
def test_import_learns_whose_cups_are_meant(line: str, whose: str) -> None:
    assert measures_meant([line]) == whose


def test_import_writes_whose_cups_are_meant(tmp_path: Path) -> None:
    (tmp_path / "house.yaml").write_text("house: Trial kitchen\n")
    (tmp_path / "recipe.txt").write_text(
        "Plain cake\n\n1 cup (250 ml) milk\n2 cups flour\n\nMix all.\n"
    )
    run_cli("import", "recipe.txt", "--into", ".", cwd=tmp_path)
    made = (tmp_path / "plain-cake" / "formula.yaml").read_text()
    assert "measures: metric\n" in made
    weighed = weigh_formula(tmp_path / "plain-cake" / "formula.yaml")
    assert weighed.lines[1].grams == pytest.approx(2 * 125 * 250 / 236.588, rel=1e-3)
