"""The house format: one spelling, nothing lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perflour.check import read_formula
from perflour.formula import digest
from perflour.house_format import format_formula

from .conftest import ROOT, run_cli

UNTIDY = """\
# yaml-language-server: $schema=x
title: Trial   # the name
formula: trial
status: draft
class: loaf-cake

# what goes in
parts:
  - ingredients:
      - {amount: ½ cups, item: butter, state: melted}   # browned?
      - {item: flour, amount: 250 grams}
    part: batter
method:
  - {do: bake, at: 175C (350F), for: 20 min}
"""
TIDY = """\
# yaml-language-server: $schema=x
formula: trial
title: Trial   # the name
class: loaf-cake

# what goes in
status: draft
parts:
  - part: batter
    ingredients:
      - {item: butter, amount: 1/2 cup, state: melted}   # browned?
      - {item: flour, amount: 250 g}
method:
  - {do: bake, at: 175 °C (350 °F), for: 20 min}
"""


def test_formats_and_keeps_comments() -> None:
    formatted = format_formula(UNTIDY.encode(), "f").decode()
    for word in ("# yaml-language-server: $schema=x", "# the name", "# what goes in", "# browned?"):
        assert word in formatted
    assert "{item: butter, amount: 1/2 cup, state: melted}" in formatted
    assert "at: 175 °C (350 °F)" in formatted
    assert [
        line.split(":")[0] for line in formatted.splitlines() if line and line[0].isalpha()
    ] == ["formula", "title", "class", "status", "parts", "method"]
    assert format_formula(formatted.encode(), "f").decode() == formatted


SPELLINGS = [
    ("1½ cups", "1 1/2 cup"),
    ("1-1/2 cup", "1 1/2 cup"),
    ("0.5 tsp", "1/2 tsp"),
    ("3.5 oz", "3 1/2 oz"),
    ("12.5 g", "12.5 g"),
    ("4 to 5 cups", "4-5 cup"),
    ("3/4 cup plus 2 Tbsp", "3/4 cup plus 2 tbsp"),
    ("3 lbs 10 ounces", "3 lb plus 10 oz"),
    ("1 tin (425 g) drained 250 g", "1 can 425 g drained 250 g"),
    ("2", "2 each"),
    ("1/7 cup", "1/7 cup"),
    ("2 eggs", "2 eggs"),
]


@pytest.mark.parametrize(("said", "spelled"), SPELLINGS)
def test_spells_amounts_in_one_way(said: str, spelled: str) -> None:
    from perflour.house_format import spell_amount

    assert spell_amount(said) == spelled


published = st.sampled_from(sorted((ROOT / "tests/published").glob("*/*/formula.yaml")))


@given(published)
@settings(max_examples=25, deadline=None)
def test_formatting_is_idempotent_and_changes_no_formula(path: Path) -> None:
    content = path.read_bytes()
    once = format_formula(content, "f")
    assert format_formula(once, "f") == once
    assert digest(read_formula(once, "f")) == digest(read_formula(content, "f"))


names = st.text(
    alphabet=st.characters(min_codepoint=32, max_codepoint=0x2FFF, exclude_categories=("Cs", "Cc")),
    min_size=1,
    max_size=12,
).filter(str.strip)


@given(names, names, st.sampled_from(["2 cups", "½ tsp.", "300 grams", "what", "1 can 400 g"]))
@settings(max_examples=80, deadline=None)
def test_any_words_survive(item: str, note: str, amount: str) -> None:
    import json

    quoted = f"{{amount: {json.dumps(amount)}, note: {json.dumps(note)}, item: {json.dumps(item)}}}"
    text = f"title: T\nformula: t\nclass: c\nstatus: draft\nparts:\n  - {{part: p, ingredients: [{quoted}]}}\nmethod: []\n"
    before = read_formula(text.encode(), "f")
    once = format_formula(text.encode(), "f")
    after = read_formula(once, "f")
    assert [(ln.name, ln.note) for ln in after.parts[0].lines] == [
        (ln.name, ln.note) for ln in before.parts[0].lines
    ]
    assert format_formula(once, "f") == once


def test_check_names_and_format_writes(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_text(UNTIDY, encoding="utf-8")
    check = run_cli("format", "--check", "f.yaml", cwd=tmp_path)
    assert (check.code, check.out, path.read_text(encoding="utf-8")) == (1, "f.yaml\n", UNTIDY)
    shown = run_cli("format", "--diff", "f.yaml", cwd=tmp_path).out
    assert shown.startswith("--- f.yaml\n+++ f.yaml (house format)\n")
    assert "-  - {do: bake, at: 175C (350F), for: 20 min}\n" in shown
    assert "+  - {do: bake, at: 175 °C (350 °F), for: 20 min}\n" in shown
    assert path.read_text(encoding="utf-8") == UNTIDY
    assert run_cli("format", "f.yaml", cwd=tmp_path).code == 1
    assert path.read_text(encoding="utf-8") != UNTIDY
    done = run_cli("format", "f.yaml", cwd=tmp_path)
    assert (done.code, done.out) == (0, "")
    assert [p.name for p in tmp_path.iterdir()] == ["f.yaml"]


@pytest.mark.parametrize(
    ("said", "spelled"),
    [
        ("175C", "175 °C (345 °F)"),
        ("350 °F", "350 °F (175 °C)"),
        ("175 °C (350 °F)", "175 °C (350 °F)"),
        ("96 °C", "96 °C (205 °F)"),
        ("24-26 °C", "24-26 °C (75-79 °F)"),
        ("hot", "hot"),
    ],
)
def test_a_house_that_wants_both_scales_gets_them(said: str, spelled: str) -> None:
    """NIST Special Publication 811 (from memory): F = C x 9/5 + 32; 96 °C is 204.8 °F."""
    from perflour.house_format import spell_temperature

    assert spell_temperature(said, "both") == spelled
    assert spell_temperature(spelled, "both") == spelled


def test_a_second_scale_is_no_new_revision() -> None:
    text = UNTIDY.replace("175C (350F)", "175 °C")
    both = format_formula(text.encode(), "f", "both")
    assert b"at: 175 \xc2\xb0C (345 \xc2\xb0F)" in both
    assert digest(read_formula(both, "f")) == digest(read_formula(text.encode(), "f"))
