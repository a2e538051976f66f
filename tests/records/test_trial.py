"""Records of planned trials: read, and what they contradict themselves in."""

from __future__ import annotations

import pytest

from perflour.documents.reader import read_document
from perflour.documents.schema import check_schema
from perflour.records.trial import Level, level_of, trial_from
from perflour.records.trial_check import trial_faults

TEXT = """\
trial: oat-loaf-1
date: 2026-03-10
formula: oat-loaf
of: "0f3a9c21b7de"
design: {kind: factorial, model: linear, seed: 7, days: 1, ovens: 2}
factors:
  - {factor: butter, ingredient: butter, low: 20 %, high: 30 %}
  - {factor: chill for, step: 2, field: for, low: 30 min, high: 2 h}
goals:
  - {attribute: chew, aim: most}
tastings:
  - {bakes: [a, b], seed: 7}
bakes:
  - {bake: a, code: "418", formula: oat-loaf-1-a, of: "9b1e44d07a2c", levels: {butter: 20 %, chill for: 2 h}, day: 1, oven: 1, place: 1}
  - {bake: b, code: "730", formula: oat-loaf-1-b, of: "5d3c90aa41f7", levels: {butter: 30.2 %, chill for: 30 min}, day: 1, oven: 2, place: 1}
"""

#: By what is wrong: what of the record is written otherwise, the line it is told at, and the words.
WRONG = {
    "factor twice": ("factor: chill for,", "factor: butter,", 7, "two factors are called butter; give each its own name"),
    "moves two": ("ingredient: butter,", "ingredient: butter, ratio: fat,", 7, "butter says ingredient and ratio; write one of ingredient, ratio and step"),
    "moves nothing": ("ingredient: butter, ", "", 7, "butter says not what moves; write one of ingredient, ratio and step"),
    "no field": ("field: for, ", "", 8, "chill for needs a step with its field; write both"),
    "another unit": ("low: 20 %", "low: 20 min", 7, "'20 min' is no figure in %; write it like 62 %"),
    "a range of its own": ("high: 2 h", "high: 1-2 h", 8, "'1-2 h' is no figure in min; write it like 90 min or 2 h"),
    "upside down": ("low: 20 %, high: 30 %", "low: 30 %, high: 20 %", 7, "butter goes from 30 % to 20 %; write the lower end first"),
    "outside": ("butter: 30.2 %", "butter: 31 %", 15, "butter is 31 %, outside its range in `factors`; mend one of the two"),
    "no factor": ("butter: 30.2 %", "butter: 30 %, lard: 4 %", 15, "'lard' is no factor of this trial; check its name"),
    "not said": ("butter: 30.2 %, ", "", 15, "butter is not said of this bake; write what it is"),
    "letter twice": ("bake: b", "bake: a", 14, "2 bakes are called a; give each its own"),
    "code twice": ("730", "418", 14, "2 bakes have the code 418; give each its own"),
    "variant twice": ("oat-loaf-1-b", "oat-loaf-1-a", 14, "2 bakes are of oat-loaf-1-a; give each its own"),
    "an oven more": ("oven: 2", "oven: 3", 15, "oven 3, but the design has 2; mend one of the two"),
    "place twice": ("oven: 2", "oven: 1", 14, "two bakes stand at place 1 of oven 1 on day 1; give each its own"),
    "an unknown letter": ("[a, b]", "[a, c]", 12, "c is no bake of this trial; check its letter"),
    "tasted twice": ("  - {bakes: [a, b], seed: 7}", "  - {bakes: [a, b], seed: 7}\n  - {bakes: [b, a], seed: 8}", 13, "a is in two tastings; keep one"),
    "a figure too few": ("aim: most", "aim: target", 10, "the aim target takes `at`; mend it"),
    "a figure too many": ("aim: most", "aim: most, at: 7", 10, "the aim most takes no figure; mend it"),
    "range of a goal": ("aim: most", "aim: within, low: 9, high: 7", 10, "the range ends before it begins; write the lower end first"),
}  # fmt: skip


def test_a_record_is_read_in_the_units_of_its_factors() -> None:
    document = read_document(TEXT.encode(), "trial.yaml")
    assert (check_schema(document, "trial"), trial_faults(document)) == ((), [])
    trial = trial_from(document.data)
    assert [(f.low, f.high, f.unit) for f in trial.factors] == [(20, 30, "%"), (30, 120, "min")]
    bake = trial.bake("b")
    assert bake and bake.levels == {"butter": 30.2, "chill for": 30}
    assert (bake.said["butter"], bake.oven, trial.bake("c")) == ("30.2 %", 2, None)


@pytest.mark.parametrize("case", WRONG)
def test_what_contradicts_itself_is_told_at_its_line(case: str) -> None:
    was, now, line, words = WRONG[case]
    assert was in TEXT
    document = read_document(TEXT.replace(was, now).encode(), "trial.yaml")
    assert check_schema(document, "trial") == ()
    told = [(r.place.line, r.message) for r in trial_faults(document)]
    assert (line, words) in told


@pytest.mark.parametrize(
    ("text", "level"),
    [
        ("62 %", Level(62, "%")),
        ("61.5%", Level(61.5, "%")),
        ("2 h", Level(120, "min")),
        ("1 h 30 min", Level(90, "min")),
        ("175 °C (345 °F)", Level(175, "°C")),
        ("12-14 min", None),
        ("170-180 °C", None),
        ("some %", None),
        ("62 g", None),
    ],
)
def test_a_level_is_one_figure_in_one_of_three_units(text: str, level: Level | None) -> None:
    assert level_of(text) == level
