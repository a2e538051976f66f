"""Temperatures as recipes say them.

Marks of gas ovens: mark 1 is 275 °F and each mark 25 °F more, the half mark 250 °F, the quarter mark 225 °F
(common practice, no source). Conversions: F = 1.8 C + 32, by definition.
"""

from __future__ import annotations

import pytest

from perflour.documents.reader import read_document
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.kitchen.quantity import parse_temperature
from perflour.recipe.header import Header
from perflour.recipe.method.ovens import Scale, heat_in
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.to_formula import formula_file


@pytest.mark.parametrize(
    ("mark", "fahrenheit"), [("1/4", 225), ("1/2", 250), ("1", 275), ("4", 350), ("6", 400), ("9", 475)]
)  # fmt: skip
def test_a_gas_mark_is_what_its_dial_says(mark: str, fahrenheit: int) -> None:
    heat = heat_in(f"at gas mark {mark} for an hour", "bake")
    assert heat
    assert f"({fahrenheit} °F)" in heat.text
    assert heat.aside == f"gas mark {mark}"
    read = parse_temperature(heat.text)
    assert abs(read.low_celsius - (fahrenheit - 32) / 1.8) <= 5  # a dial shows tens


@pytest.mark.parametrize(
    ("said", "do", "key", "text", "aside", "doubted"),
    [
        ("at 375 for 12 minutes", "bake", "at", "375 °F", "", False),  # no oven has 375 °C
        ("at 190 for 12 minutes", "bake", "at", "190 °C", "", True),
        ("at 350 F conventional, 325 F convection", "bake", "at", "350 °F", "convection 325 °F", False),
        ("to 180C/160C fan/gas mark 4", "preheat", "to", "180 °C", "convection 160 °C; gas mark 4", False),
        ("in a conventional oven at 350 F or 325 F in a convection oven", "bake", "at", "350 °F", "convection 325 °F", False),
        ("in a 180 C oven or 160 C fan", "bake", "at", "180 °C", "convection 160 °C", False),
        ("in a 350 oven", "bake", "at", "350 °F", "", False),
        ("to 96 °C inside", "bake", "core", "96 °C", "", False),
        ("for 45 minutes at 27", "proof", "at", "27 °C", "", False),  # nothing rises at 27 °F
    ],
)  # fmt: skip
def test_what_is_said_of_heat(
    said: str, do: str, key: str, text: str, aside: str, doubted: bool
) -> None:
    heat = heat_in(said, do)
    assert heat
    assert (heat.key, heat.text, heat.aside, bool(heat.doubt)) == (key, text, aside, doubted)


def test_a_scale_is_that_of_the_other_ovens_else_the_houses_with_a_doubt() -> None:
    for usual, text, doubted in ((Scale("F"), "225 °F", False), (Scale("", "F"), "225 °F", True), (Scale(), "225 °C", True)):  # fmt: skip
        heat = heat_in("at 225", "bake", usual)
        assert heat
        assert (heat.text, bool(heat.doubt)) == (text, doubted)


@pytest.mark.parametrize(
    ("bake", "note"),
    [
        ("Bake at 350 F conventional, 325 F convection for 12 min.", "convection 325 °F"),
        ("Bake 350 F, 12 min (convection 325 F, 8-10 min).", "convection 325 F, 8-10 min"),
        ("Bake at 180C/160C fan/gas mark 4 for 12 min.", "convection 160 °C"),
    ],
)
def test_a_second_oven_stands_in_the_note_and_is_told_once(bake: str, note: str) -> None:
    text = f"Plain cake\n\n2 cups flour\n3 eggs\n\nMix all.\n{bake}\n{bake}\n"
    made = formula_file(sorted_text(text, "cake.txt"), Header(), Kitchen(House(), built_in()))
    wanted = f"a second oven stands in the note only ({note}); write the temperature of the one you bake in (90 % sure)"
    assert [(result.place.line, result.message) for result in made.unclear] == [(7, wanted)]
    method = read_document(made.text.encode(), "formula.yaml").data["method"]
    assert [note in step["note"] for step in method if step["do"] == "bake"] == [True, True]


def test_one_oven_of_whatever_kind_is_not_told() -> None:
    text = "Plain cake\n\n2 cups flour\n3 eggs\n\nMix all. Bake at 160 C in a fan oven for 12 min."
    made = formula_file(sorted_text(text, "cake.txt"), Header(), Kitchen(House(), built_in()))
    assert made.unclear == ()


@pytest.mark.parametrize("said", ["at 450 g each", "to 12 pieces", "at 150 minutes", "into 200 g flour", "at gas mark 0", "at gas mark 1/0"])  # fmt: skip
def test_what_is_no_heat(said: str) -> None:
    assert heat_in(said, "bake") is None
