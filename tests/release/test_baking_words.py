"""A difference in the words of who bakes at home: what each kind of change says, and what none may say."""

from __future__ import annotations

import re

import pytest

from perflour.diff.difference import difference_between
from perflour.diff.kinds import KINDS
from perflour.report.release.baking_words import WORDS, baking_words
from tests.diff.test_difference_kinds import CASES, changes
from tests.diff.test_scenarios import TOLD, sides

SCALE_G = 1.0
#: By the name of a case of tests/diff; read aloud by who wrote them, no source.
SAID: dict[str, list[str]] = {
    "amount": ["much more honey: 80 g, was 40 g"],
    "added": ["added: walnuts, 150 g"],
    "removed": ["no honey any more"],
    "substituted": ["olive oil instead of unsalted butter: 50 g, was 60 g"],
    "renamed": ["medium rye flour is called rye flour"],
    "moved": ["honey goes into the poolish, no longer into the dough"],
    "split": ["water in 2 portions: 400 g + 80 g"],
    "scaled": ["a larger batch: 2,782 g in all, was 1,854 g"],
    "scaled and more": ["twice the batch: 3,705 g in all, was 1,854 g", "less table salt for the size of the batch"],
    "re-measured": ["as much honey, measured otherwise: 2 tbsp, was 40 g"],
    "blend": ["less bread flour: 600 g, was 700 g", "much more medium rye flour: 200 g, was 100 g"],
    "part added": ["added: glaze"],
    "part removed": ["no topping any more"],
    "step added": ["a new step: fold 2 min"],
    "step moved": ["earlier in the method: shape into 2 rounds"],
    "step reworded": ["the method in other words"],
    "time": ["proof longer: 90 min, was 50 min"],
    "sign": ["proof until: “a dent stays”, was “it springs back slowly”"],
    "bake": ["bake longer: 45–50 min, was 35–40 min", "a cooler oven: 215 °C (420 °F), was 230 °C (445 °F)"],
    "status": [],
    "03-flour-up-only": ["more all-purpose flour: 330 g, was 300 g"],
    "15-unit-outside-the-spread": ["more all-purpose flour: 375 g, was 300 g"],
    "19-sugar-split": ["much less granulated sugar: 110 g, was 210 g", "added: light brown sugar, 100 g"],
    "53-pan-and-speed-changed": ["pan: 1 loaf pan 20 × 10 cm, was 1 loaf pan 23 × 13 cm", "cream, speed: high, was medium"],
    "71-salt-to-taste": ["table salt: to taste, was 4 g"],
}  # fmt: skip


def said(name: str) -> list[str]:
    found = changes(CASES[name][0]) if name in CASES else difference_between(*sides(name)).changes
    return baking_words(found, SCALE_G)


@pytest.mark.parametrize("name", SAID)
def test_says_it_as_bakers_do(name: str) -> None:
    assert said(name) == SAID[name]


@pytest.mark.parametrize("name", [*CASES, *TOLD])
def test_no_ratio_no_praise_and_no_figure_that_contradicts_its_word(name: str) -> None:
    for line in said(name):
        assert "%" not in line
        assert not re.search(r"\b(better|tastes|tastier|sweeter|lighter|moister|softer)\b", line)
        if found := re.search(r"(more|less) [^:]*: ([\d,.]+) g, was ([\d,.]+) g$", line):
            now, was = (float(figure.replace(",", "")) for figure in found.groups()[1:])
            assert (now > was) is (found[1] == "more"), line


def test_every_kind_of_change_has_a_row() -> None:
    assert set(WORDS) == set(KINDS)
