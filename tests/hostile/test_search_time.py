"""Searches end: in their time with the best that was found, said to be unproven, or before they begin."""

from __future__ import annotations

import time
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from perflour.bakeday import shopping
from perflour.bakeday.packs import cheapest_packs
from perflour.kitchen.prices import Pack, Price, PriceList
from perflour.report.bakeday.shopping import shopping_section
from tests.conftest import formula_text, run_cli, weigh_text

# Forty odd sizes at one price by weight: only the number of packs parts them, and no solver proves the least in minutes.
CHANCE = Random(1)
HARD = [
    Pack(f"{size}", Fraction(size, 1000), Fraction(size, 100))
    for size in (CHANCE.randint(10**6, 2 * 10**6) for _ in range(40))
]


def test_packs_that_cannot_be_proven_are_the_best_that_was_found() -> None:
    start = time.monotonic()
    found = cheapest_packs(HARD, Fraction(999_999), seconds=0.5)
    assert time.monotonic() - start < 20
    assert found is not None and not found.proven
    held = sum(pack.grams * number for pack, number in zip(HARD, found.numbers, strict=True))
    assert held >= 999_999


def test_a_shopping_list_says_what_is_not_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shopping, "SECONDS", 0.5)
    flour = Price("all-purpose flour", tuple(HARD))
    prices = PriceList("prices.yaml", "EUR", "2026-01-01", {flour.item: flour})
    weighed = weigh_text(formula_text("{item: all-purpose flour, amount: 999.999 kg}"))
    listed = shopping.shopping_list([(weighed, 1.0)], prices)
    told = " ".join(shopping_section(listed).after)
    assert "Best found in 10 s, not proven the cheapest: all-purpose flour." in told


def test_more_loads_than_a_plan_can_order_are_refused_before_the_search(tmp_path: Path) -> None:
    words = []
    for name in "abcdefgh":
        (tmp_path / name).mkdir()
        (tmp_path / name / "formula.yaml").write_text(
            formula_text(
                "{item: all-purpose flour, amount: 9 kg}",
                method="[{do: bake, at: 180 °C, for: 40 min}]",
                extra="yield: {pieces: 40, piece: loaf}\n",
            ).replace("formula: trial", f"formula: {name}")
        )
        words += ["--load", f"{name}=1"]
    done = run_cli("plan", ".", *words, cwd=tmp_path)
    said = (
        "perflour: 320 loads in one oven are more than one plan can put in order; split the day\n"
    )
    assert (done.code, done.err) == (2, said)
