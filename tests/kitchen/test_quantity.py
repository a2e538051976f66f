"""Amounts, temperatures and times; unit factors against their definitions."""

from __future__ import annotations

import json
import sys
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.kitchen.quantity import (
    Amount,
    AmountProblem,
    Share,
    as_other_scale,
    parse_amount,
    parse_duration,
    parse_share,
    parse_temperature,
)
from perflour.kitchen.units import celsius, fahrenheit, find_unit, unit_named
from perflour.tidy.house_format import spell_amount
from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))

READ = [
    ("240 g", [(240, 240, "g")]),
    ("1 1/2 cup", [(Fraction(3, 2), Fraction(3, 2), "cup")]),
    ("1-1/2 cup", [(Fraction(3, 2), Fraction(3, 2), "cup")]),
    ("½ cup", [(Fraction(1, 2), Fraction(1, 2), "cup")]),
    ("1½ cups", [(Fraction(3, 2), Fraction(3, 2), "cup")]),
    ("1 ½ cups", [(Fraction(3, 2), Fraction(3, 2), "cup")]),
    ("1⁄2 tsp.", [(Fraction(1, 2), Fraction(1, 2), "tsp")]),
    ("0.5 tsp", [(Fraction(1, 2), Fraction(1, 2), "tsp")]),
    (".5 tsp", [(Fraction(1, 2), Fraction(1, 2), "tsp")]),
    ("4-5 cup", [(4, 5, "cup")]),
    ("4–5 cups", [(4, 5, "cup")]),
    ("4 to 5 cups", [(4, 5, "cup")]),
    ("1 1/2-2 cup", [(Fraction(3, 2), 2, "cup")]),
    ("2 large", [(2, 2, "large")]),
    ("2 extra-large", [(2, 2, "extra large")]),
    ("2", [(2, 2, "each")]),
    ("1 stick", [(1, 1, "stick")]),
    ("3 pinch", [(3, 3, "pinch")]),
    ("2 fl oz", [(2, 2, "fl oz")]),
    ("3 lb 10 oz", [(3, 3, "lb"), (10, 10, "oz")]),
    ("3/4 cup plus 2 Tbsp", [(Fraction(3, 4), Fraction(3, 4), "cup"), (2, 2, "tbsp")]),
    ("1 qt 2 2/3 cups", [(1, 1, "qt"), (Fraction(8, 3), Fraction(8, 3), "cup")]),
]


@pytest.mark.parametrize(("text", "terms"), READ)
def test_reads_what_bakers_write(text: str, terms: list[tuple[object, ...]]) -> None:
    assert [(t.low, t.high, t.unit.name) for t in parse_amount(text).terms] == terms


def test_reads_cans_with_content_and_drained_mass() -> None:
    amount = parse_amount("1 can 425 g drained 250 g")
    assert amount.content and amount.drained
    assert (amount.content.mean, amount.drained.mean) == (425, 250)


REFUSED = [
    ("", "unreadable", "the amount is empty; write one, like `240 g`"),
    ("-3 g", "unreadable", "'-3 g' is negative; write an amount above zero"),
    ("−½ cup", "unreadable", "'−1/2 cup' is negative; write an amount above zero"),
    ("0 g", "unreadable", "'0 g' is zero; write an amount above zero, or remove the line"),
    ("1/0 cup", "unreadable", "'1/0' divides by zero; mend the fraction"),
    ("5-4 cup", "upside-down", "the range in '5-4 cup' is upside down; write the smaller number first"),
    ("9999999 g", "unreadable", "9999999 is beyond any kitchen; write a smaller number"),
    ("1" * 40 + " g", "unreadable", "the number 11111111111111111111… is beyond any kitchen; write a smaller one"),
    ("some", "unreadable", "'some' has no number that can be read; write it like `240 g`, `1 1/2 cup` or `4-5 cup`"),
    ("inf g", "unreadable", "'inf g' has no number that can be read; write it like `240 g`, `1 1/2 cup` or `4-5 cup`"),
    ("1,500 g", "unreadable", "'1,500 g' is 1500 g or 1.5 g; write which, or say in house.yaml how you write numbers (`numbers: \"1,234.5\"`)"),
    ("2 glasses", "unknown-unit", "'glasses' in '2 glasses' is no measure that two people share; write it in ml, g, tsp or cup"),
    ("100 g (8 oz)", "unreadable", "'100 g (8 oz)' says two amounts that are not the same; write one"),
    ("1 heaped kg", "unreadable", "a kg cannot be heaped in '1 heaped kg'; leave the word out"),
    ("3 cupps", "unknown-unit", "unknown unit 'cupps' in '3 cupps', did you mean 'cups'?; use a unit such as g, ml, tsp, cup, large or each"),
    ("1 T", "unknown-unit", "unknown unit 'T' in '1 T' (T and t are easily mixed up: write tbsp or tsp); use a unit such as g, ml, tsp, cup, large or each"),
    ("1e5 g", "unknown-unit", "unknown unit 'e5' in '1e5 g'; use a unit such as g, ml, tsp, cup, large or each"),
    ("1 can 425 g drained 500 g", "unreadable", "'425 g drained 500 g' drains to more than it holds; check the two masses"),
    ("1 can 2 cup", "unreadable", "'2 cup' must give the mass of one container, like `425 g drained 250 g`"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "message"), REFUSED)
def test_refuses_with_one_line(text: str, kind: str, message: str) -> None:
    with pytest.raises(AmountProblem) as caught:
        parse_amount(text)
    assert (caught.value.kind, caught.value.message) == (kind, message)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    for parse in (parse_amount, parse_temperature, parse_duration, parse_share):
        try:
            parse(text)
        except AmountProblem as problem:
            assert "\n" not in problem.message


@given(
    st.fractions(min_value=Fraction(1, 16), max_value=5000, max_denominator=16),
    st.sampled_from(["g", "cup", "tsp", "lb", "large", "fl oz", "extra large"]),
)
def test_spelling_an_amount_keeps_its_value(value: Fraction, unit: str) -> None:
    said = parse_amount(f"{value} {unit}")
    spelled = spell_amount(said.text)
    assert parse_amount(spelled).terms == said.terms
    assert spell_amount(spelled) == spelled


@pytest.mark.parametrize(
    ("text", "fraction"),
    [("all", 1), ("half", Fraction(1, 2)), ("1/3", Fraction(1, 3)), ("40 %", Fraction(2, 5))],
)
def test_reads_shares_of_parts(text: str, fraction: Fraction) -> None:
    share = parse_share(text)
    assert isinstance(share, Share)
    assert share.fraction == fraction


def test_reads_a_mass_of_a_part() -> None:
    assert isinstance(parse_share("200 g"), Amount)


@pytest.mark.parametrize("text", ["0 %", "150 %", "3/2", "2", "1 cup"])
def test_refuses_impossible_shares(text: str) -> None:
    with pytest.raises(AmountProblem):
        parse_share(text)


# NIST Special Publication 811 (from memory): C = (F - 32) x 5/9. Fixed points: water freezes at
# 32 °F = 0 °C and boils at 212 °F = 100 °C; the scales meet at -40.
@pytest.mark.parametrize(
    ("f", "c"), [(32, 0), (212, 100), (-40, -40), (350, 176.67), (425, 218.33)]
)
def test_fahrenheit_and_celsius(f: float, c: float) -> None:
    assert celsius(f) == pytest.approx(c, abs=0.005)
    assert fahrenheit(celsius(f)) == pytest.approx(f)


def test_reads_temperatures() -> None:
    both = parse_temperature("175 °C (350 °F)")
    assert both.scales == {"°C", "°F"}
    assert both.disagreement_celsius == pytest.approx(1.67, abs=0.01)
    assert as_other_scale(parse_temperature("180 °C")) == "355 °F"
    assert as_other_scale(parse_temperature("350-375 °F")) == "175-190 °C"


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("45-50 min", 45, 50), ("1 h 30 min", 90, 90), ("12 h", 720, 720), ("30 s", 0.5, 0.5)],
)
def test_reads_times(text: str, low: float, high: float) -> None:
    time = parse_duration(text)
    assert (time.low_min, time.high_min) == (low, high)


# Exact definitions. US gallon = 231 cubic inches of 2.54 cm (NIST Handbook 44, Appendix C, from
# memory); avoirdupois pound = 453.59237 g; imperial gallon = 4.54609 L (UK Weights and Measures).
DEFINITIONS = [
    ("gal", 231 * 2.54**3),
    ("qt", 231 * 2.54**3 / 4),
    ("cup", 231 * 2.54**3 / 16),
    ("fl oz", 231 * 2.54**3 / 128),
    ("tbsp", 231 * 2.54**3 / 256),
    ("tsp", 231 * 2.54**3 / 768),
    ("lb", 453.59237),
    ("oz", 453.59237 / 16),
    ("imperial pint", 4546.09 / 8),
    ("imperial fl oz", 4546.09 / 160),
    ("gill", 4546.09 / 32),
    ("kg", 1000),
    ("l", 1000),
    ("inch", 25.4),
    ("h", 3600),
]


@pytest.mark.parametrize(("name", "factor"), DEFINITIONS)
def test_unit_factors_are_the_definitions(name: str, factor: float) -> None:
    assert unit_named(name).factor == pytest.approx(factor, rel=1e-9)


def test_packaged_units_are_what_pint_says() -> None:
    from write_units import as_text

    packaged = (ROOT / "tools/perflour/data/units.json").read_text(encoding="utf-8")
    assert packaged == as_text()
    assert json.loads(packaged)["cup"]["factor"] == pytest.approx(236.588, abs=0.001)


def test_no_spelling_names_two_units() -> None:
    seen: dict[str, str] = {}
    for name, entry in json.loads((ROOT / "tools/perflour/data/units.json").read_text()).items():
        for spelling in (name, *entry["spellings"]):
            assert seen.setdefault(spelling, name) == name
            found = find_unit(spelling)
            assert found and found.name == name
