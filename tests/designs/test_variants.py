"""Variants: a formula with some ratios and settings at other levels, and nothing else moved."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.balance.ratios import ratios
from perflour.designs.request import factors_from, holds_from
from perflour.designs.variants import MOST_OFF, Head, Variant, variant
from perflour.diff.change import LineChange, StepChange
from perflour.diff.difference import difference_between
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.result import CannotRun
from tests.conftest import examples, weigh_text

KITCHEN = Kitchen(House(), built_in())
TEXT = """\
# yaml-language-server: $schema=../../schema/formula.schema.json
formula: oat-biscuit  # the old one
title: Oat biscuit
class: drop-cookie
status: approved
notes: Contains wheat and milk.
yield: {pieces: 20, piece: biscuit, scaling-weight: 60 g}
parts:
  - part: dough
    ingredients:
      - {item: all-purpose flour, amount: 400 g}
      - {item: medium rye flour, amount: 100 g}
      - {item: table salt, amount: 9 g}
      # cold from the fridge
      - {item: unsalted butter, amount: 250 g}
      - {item: granulated sugar, amount: 200 g}
      - {item: dark brown sugar, amount: 150 g}
      - {item: milk, amount: 6 tbsp}
method:
  - {do: rub in, uses: [all-purpose flour, 200 g of unsalted butter]}
  - {do: mix, uses: [medium rye flour, table salt, rest of unsalted butter, milk], for: 2 min}
  - {do: knead in, uses: [granulated sugar, dark brown sugar]}
  - {do: chill, at: 4 °C, for: 1-3 h}
  - {do: preheat, to: 180 °C (355 °F)}
  - {do: bake, at: 180 °C (355 °F), for: 12 min, until: brown}
corrections:
  - {because: a line was lost}
"""
BALANCE = weigh_text(TEXT)


def made(
    vary: Sequence[str], levels: Sequence[float], hold: Sequence[str] = (), gives_way: str = ""
) -> Variant:
    factors = factors_from(vary, BALANCE, gives_way)
    holds = holds_from(hold, BALANCE, factors)
    at = {f.name: level for f, level in zip(factors, levels, strict=True)}
    return variant(TEXT.encode(), BALANCE, KITCHEN, factors, at, holds)


def lines(made: Variant) -> set[str]:
    """The lines that a variant's file has and its formula's has not, without their indent."""
    before = set(TEXT.splitlines())
    return {line.strip() for line in made.content.decode().splitlines() if line not in before}


RUB = "- {do: rub in, uses: [all-purpose flour, 192 g of unsalted butter]}"
HEAT = {"- {do: preheat, to: 165 °C (330 °F)}", "- {do: bake, at: 165 °C (330 °F), for: 12 min, until: brown}"}  # fmt: skip
WRITTEN: list[tuple[list[str], list[float], set[str]]] = [
    (["unsalted butter=45..60"], [50], set()),
    (["unsalted butter=45..60"], [48], {"- {item: unsalted butter, amount: 240 g}", RUB}),
    (["table salt=1..2.5"], [2.14], {"- {item: table salt, amount: 10.7 g}"}),
    # still on the small scale; 16.3 g more in 1,201 g
    (["table salt=1..6"], [5.068], {"- {item: table salt, amount: 25.3 g}", "yield: {pieces: 20, piece: biscuit, scaling-weight: 61 g}"}),
    (["medium rye flour=10..50"], [30], {"- {item: all-purpose flour, amount: 350 g}", "- {item: medium rye flour, amount: 150 g}"}),
    (["sugar=60..80"], [77], {"- {item: granulated sugar, amount: 220 g}", "- {item: dark brown sugar, amount: 165 g}", "yield: {pieces: 20, piece: biscuit, scaling-weight: 62 g}"}),
    (["chill for=1 h..24 h"], [120], set()),
    (["chill for=1 h..24 h"], [750], {"- {do: chill, at: 4 °C, for: 12 h 30 min}"}),
    (["mix for=30 s..4 min"], [0.75], {"- {do: mix, uses: [medium rye flour, table salt, rest of unsalted butter, milk], for: 45 s}"}),
    (["bake at=160..190 °C"], [165], HEAT),
]  # fmt: skip


@pytest.mark.parametrize(("vary", "levels", "written"), WRITTEN, ids=[str(w[:2]) for w in WRITTEN])
def test_only_what_moves_is_written_anew(
    vary: list[str], levels: list[float], written: set[str]
) -> None:
    assert lines(made(vary, levels)) == written


HELD: list[tuple[list[str], list[float], list[str], str]] = [
    (["unsalted butter=40..60"], [60], ["batch"], ""),
    (["dark brown sugar=20..40"], [40], ["total sugar=granulated sugar"], "total-sugar"),
    (["unsalted butter=40..60"], [42], ["total water=milk"], "total-water"),
    (["unsalted butter=45..55"], [55], ["total-water=milk", "batch"], "total-water"),
]


@pytest.mark.parametrize(("vary", "levels", "hold", "ratio"), HELD, ids=[str(h[2]) for h in HELD])  # fmt: skip
def test_what_is_held_stays(
    vary: list[str], levels: list[float], hold: list[str], ratio: str
) -> None:
    after = made(vary, levels, hold).balance
    if ratio:
        assert ratios(after)[ratio].percent == pytest.approx(ratios(BALANCE)[ratio].percent, abs=0.2)  # fmt: skip
    if "batch" in hold:
        assert after.batch_g == pytest.approx(BALANCE.batch_g, abs=3)
        assert "scaling-weight: 60 g" in made(vary, levels, hold).content.decode()


@examples(60)
@given(st.floats(40, 60), st.floats(20, 40), st.floats(10, 60), st.sampled_from([(), ("batch",)]))
def test_a_variant_differs_in_its_factors_and_in_nothing_else(
    butter: float, sugar: float, rye: float, hold: tuple[str, ...]
) -> None:
    """A law: the difference to the formula names the factors' lines, and each is at its level."""
    vary = ["unsalted butter=40..60", "dark brown sugar=20..40", "medium rye flour=10..60"]
    found = made(vary, [butter, sugar, rye], hold)
    for name, level, width in zip(found.levels, (butter, sugar, rye), (20, 20, 50), strict=True):
        assert found.levels[name] == pytest.approx(level, abs=MOST_OFF * width)
    difference = difference_between(BALANCE, found.balance, "variant", KITCHEN.house)
    moved = {c.subject for c in difference.changes if isinstance(c, LineChange) and abs(c.moved_percent or 0) > 0.25}  # fmt: skip
    assert moved <= {"unsalted butter", "dark brown sugar"}
    assert not [c for c in difference.changes if isinstance(c, StepChange) and c.field != "uses"]


@examples(40)
@given(st.floats(0.5, 20), st.floats(0.5, 9), st.sampled_from([(), ("batch",)]))
def test_the_middle_of_ranges_around_the_formula_is_the_formula(
    butter: float, rye: float, hold: tuple[str, ...]
) -> None:
    vary = [f"unsalted butter={50 - butter}..{50 + butter}", f"medium rye flour={20 - rye}..{20 + rye}", "chill for=1 h..3 h"]  # fmt: skip
    assert made(vary, [50, 20, 120], hold).content.decode() == TEXT


def test_a_variant_has_a_name_and_place_of_its_own() -> None:
    factors = factors_from(["sugar=60..80"], BALANCE)
    kitchen = Path("/kitchen/formulas")
    head = Head(
        "oat-biscuit-1-a",
        "Oat biscuit: trial, bake a",
        kitchen / "trials/oat-biscuit-1/oat-biscuit-1-a/formula.yaml",
        kitchen / "oat-biscuit/formula.yaml",
    )
    found = variant(TEXT.encode(), BALANCE, KITCHEN, factors, {"sugar": 70}, head=head)
    wanted = (
        TEXT.replace("../../schema", "../../../../schema")
        .replace("formula: oat-biscuit ", "formula: oat-biscuit-1-a ")
        .replace("title: Oat biscuit", "title: 'Oat biscuit: trial, bake a'")
        .replace("status: approved", "status: testing")
        .replace("corrections:\n  - {because: a line was lost}\n", "")
    )
    assert found.content.decode() == wanted


CANNOT: list[tuple[list[str], list[float], list[str], str]] = [
    (["medium rye flour=20..110"], [105], [], "all-purpose flour cannot give way so far that the flour stays: there is not enough of it; narrow the ranges, or name another"),
    (["unsalted butter=10..200"], [190], ["total water=milk"], "milk cannot give way so far that total water stays"),
    (["table salt=1.8..1.85"], [1.8], [], ""),
    (["table salt=1.800..1.805"], [1.803], [], "table salt comes to 1.8 % where 1.803 % is wanted: 9 g is too little to weigh so finely; plan the trial of a larger batch (`perflour scale`), or widen vary"),
]  # fmt: skip


@pytest.mark.parametrize(("vary", "levels", "hold", "words"), CANNOT, ids=[str(c[:2]) for c in CANNOT])  # fmt: skip
def test_a_level_that_cannot_be_met_is_refused(
    vary: list[str], levels: list[float], hold: list[str], words: str
) -> None:
    if not words:
        made(vary, levels, hold)
        return
    with pytest.raises(CannotRun) as problem:
        made(vary, levels, hold)
    assert words in str(problem.value)


POOLISH = """\
formula: rye-loaf
title: Rye loaf
class: lean-bread
status: testing
parts:
  - part: poolish
    kind: preferment
    ingredients:
      - {item: bread flour, amount: 200 g}
      - {item: water, amount: 200 g}
  - part: dough
    kind: dough
    ingredients:
      - {item: bread flour, amount: 700 g}
      - {item: rye flour, amount: 100 g}
      - {item: water, amount: 450 g}
      - {part: poolish, amount: all}
method: []
"""


@pytest.mark.parametrize(
    ("vary", "level", "amounts"),
    [
        ("bread flour in poolish=10..40", 30, ["300 g", "200 g", "600 g", "100 g", "450 g"]),
        ("water in poolish=80..120", 120, ["200 g", "240 g", "700 g", "100 g", "450 g"]),
        ("water in dough=40..70", 60, ["200 g", "200 g", "700 g", "100 g", "480 g"]),
        ("water=60..70", 70, ["200 g", "215 g", "700 g", "100 g", "485 g"]),
        ("rye flour=5..20", 20, ["178 g", "200 g", "622 g", "200 g", "450 g"]),
    ],
)
def test_a_part_moves_by_itself_or_with_the_others(
    vary: str, level: float, amounts: list[str]
) -> None:
    balance = weigh_text(POOLISH)
    factors = factors_from([vary], balance)
    made = variant(POOLISH.encode(), balance, KITCHEN, factors, {factors[0].name: level})
    lines = [w.line for w in made.balance.lines if not w.line.is_part]
    assert [line.amount.text for line in lines] == amounts


def test_a_part_that_is_taken_by_weight_is_refused() -> None:
    text = POOLISH.replace("{part: poolish, amount: all}", "{part: poolish, amount: 300 g}")
    balance = weigh_text(text)
    factors = factors_from(["water in poolish=80..120"], balance)
    with pytest.raises(CannotRun, match="so many grams are taken of poolish, in which something"):
        variant(text.encode(), balance, KITCHEN, factors, {factors[0].name: 90})
