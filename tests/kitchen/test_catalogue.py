"""The ingredient catalogue: compiled as written, names that resolve, house entries on top."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from perflour.kitchen.catalogue import COMPILED, built_in, with_house
from perflour.kitchen.house import kitchen_for
from perflour.kitchen.quantity import parse_amount
from perflour.kitchen.units import find_unit
from perflour.kitchen.weighing import Mass, weigh
from tests.conftest import ROOT, formula_text, run_cli

sys.path.insert(0, str(ROOT / "tools" / "maintain"))


def test_compiled_catalogue_is_up_to_date() -> None:
    from write_catalogue import as_text

    assert Path(COMPILED).read_text(encoding="utf-8") == as_text()


def test_every_name_finds_its_ingredient_and_every_measure_has_a_unit() -> None:
    catalogue = built_in()
    names = list(catalogue.names())
    assert len(names) == len(set(names)) >= 200
    for name in names:
        ingredient = catalogue.find(name)
        assert ingredient and ingredient.name == name
        for measure in ingredient.measures:
            assert find_unit(measure.per), f"{name}: {measure.per}"
            assert measure.source
        if ingredient.composition:
            parts = [
                ingredient.composition.get(k, 0)
                for k in ("water", "fat", "protein", "carbohydrate", "ash")
            ]
            assert sum(parts) < 103, name


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("All-Purpose Flour", "all-purpose flour"),
        ("all purpose flour", "all-purpose flour"),
        ("plain flour", "all-purpose flour"),
        ("eggs", "egg"),
        ("bananas", "banana"),
        ("cherries, sour", "sour cherries"),
        ("walnut", "walnuts"),
        ("bicarbonate of soda", "baking soda"),
        ("confectioners’ sugar", "powdered sugar"),
        ("icing sugar", "powdered sugar"),
        ("flouur", None),
        ("", None),
    ],
)
def test_names_resolve_exactly_or_not_at_all(written: str, name: str | None) -> None:
    found = built_in().find(written)
    assert (found.name if found else None) == name


def test_a_near_name_is_only_suggested() -> None:
    assert built_in().suggest("dark browm sugar") == ("dark brown sugar",)
    assert built_in().suggest("zzzz") == ()


def test_a_house_entry_replaces_what_it_states() -> None:
    own = {
        "name": "all-purpose flour",
        "aliases": ["bench flour"],
        "group": "flour",
        "measures": [{"per": "cup", "grams": 140, "spread": 3, "source": "house choice"}],
    }
    catalogue = with_house(built_in(), [own])
    flour = catalogue.find("bench flour")
    assert flour == catalogue.find("plain flour")  # its old aliases mean the same ingredient
    assert flour and flour.name == "all-purpose flour"
    assert flour.counts_as == "flour"
    assert flour.composition["water"] == 11.92  # USDA SR27, NDB 20081
    assert weigh(parse_amount("2 cup"), flour, "") == Mass(280, 6)


# Published cups of flour: 113.4 g spooned (US Armed Forces card D-036; Woman's Institute, about 1918),
# 137 g dipped (USDA SR28, NDB 20084, cake flour "unsifted, dipped"), 125 g (USDA SR28, NDB 20081).
@pytest.mark.parametrize(("habit", "grams"), [("spooned", 113.4), ("dipped", 137), ("", 125)])
def test_a_house_fills_its_cups_in_one_way(habit: str, grams: float, tmp_path: Path) -> None:
    said = f"cup-habit: {habit}\n" if habit else ""
    (tmp_path / "house.yaml").write_text(f"house: Trial kitchen\n{said}", encoding="utf-8")
    catalogue = kitchen_for(str(tmp_path / "formula.yaml")).catalogue
    mass = weigh(parse_amount("1 cup"), catalogue.find("plain flour"), "")
    assert isinstance(mass, Mass)
    assert mass.grams == pytest.approx(grams)
    assert (mass.spread_g < 6) == bool(habit)  # one habit spreads less than a century of charts
    assert weigh(parse_amount("1 cup"), catalogue.find("sugar"), "") == weigh(
        parse_amount("1 cup"), built_in().find("sugar"), ""
    )


def test_the_house_cup_is_used_by_the_command_line(tmp_path: Path) -> None:
    (tmp_path / "house.yaml").write_text("house: Trial kitchen\n", encoding="utf-8")
    (tmp_path / "ingredients.yaml").write_text(
        "ingredients:\n  - {name: all-purpose flour, group: flour, measures: [{per: cup, grams: 140, source: house choice}]}\n",
        encoding="utf-8",
    )
    (tmp_path / "f.yaml").write_text(formula_text("{item: flour, amount: 2 cup}"), encoding="utf-8")
    assert "basis        280 g = 100 %" in run_cli("show", "f.yaml", cwd=tmp_path).out
