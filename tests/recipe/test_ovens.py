"""Temperatures as recipes say them.

Marks of gas ovens: mark 1 is 275 °F and each mark 25 °F more, the half mark 250 °F, the quarter mark 225 °F
(common practice, no source). Conversions: F = 1.8 C + 32, by definition.
"""

from __future__ import annotations

import pytest

from perflour.kitchen.quantity import parse_temperature
from perflour.recipe.method.ovens import Scale, heat_in


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


@pytest.mark.parametrize("said", ["at 450 g each", "to 12 pieces", "at 150 minutes", "into 200 g flour", "at gas mark 0", "at gas mark 1/0"])  # fmt: skip
def test_what_is_no_heat(said: str) -> None:
    assert heat_in(said, "bake") is None
