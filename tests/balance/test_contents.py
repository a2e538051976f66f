"""The contents report: it fits, holds what was computed, and reads as a baker talks."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from perflour.balance.contents import contents
from perflour.report.contents import contents_json, contents_text
from tests.balance.test_composition import PLAIN, demo
from tests.conftest import ROOT, formula_text, weigh_text

# --- reports -----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted((ROOT / "formulas").glob("*/formula.yaml")), ids=str)
def test_reports_fit_and_hold_what_was_computed(path: Path) -> None:
    found = contents(demo(path.parent.name), with_spreads=True)
    text, data = contents_text(found), json.loads(contents_json(found))
    assert max(map(len, text.splitlines())) <= 80
    assert "before the oven" in " ".join(text.split())
    assert "This is no label and no promise." in text
    for figure in found.figures:
        told = data["figures"][figure.name]
        assert (told["batch"], told["percent"]) == (figure.batch, figure.percent)
        assert told["not_counted"] == list(figure.lacking)
    assert data["leavening"]["verdict"] == found.leavening.verdict
    assert all(caution["source"] for caution in data["cautions"])


def words(*lines: str) -> str:
    """The leavening section on one line."""
    text = contents_text(contents(weigh_text(formula_text(*lines))))
    section = next(s for s in text.split("\n\n") if s.startswith("leavening"))
    return " ".join(section.split()).removeprefix("leavening ")


FLOUR, SODA = "{item: all-purpose flour, amount: 250 g}", "{item: baking soda, amount: 2.3 g}"


@pytest.mark.parametrize(("lines", "expected"), [
    ((FLOUR,), "No baking soda, and no acid counted. No baking powder."),
    ((FLOUR, SODA), "Carbon dioxide 0.6 g: 0.24 g for 100 g of the batter's flour, as 2.01 % of baking powder gives (12 % of its weight, the law's least). Baking soda 2.3 g, 0.92 % of the batter's flour, 0.25 tsp to a cup (125 g): no acid counted, so all 2.3 g are left over."),
    ((FLOUR, SODA, "{item: buttermilk, amount: 245 g}"), "Carbon dioxide 1.2 g: 0.48 g for 100 g of the batter's flour, as 4.02 % of baking powder gives (12 % of its weight, the law's least). Baking soda 2.3 g, 0.92 % of the batter's flour, 0.25 tsp to a cup (125 g): in balance with the acids, which use up 2.3 g (1.8 to 2.3 g). Soda used up by each acid: buttermilk 2.3 g."),
    ((SODA, "{item: lemon juice, amount: 100 g}"), "Baking soda 2.3 g: the acids could use up 6.6 g (5.9 to 7.9 g), so acid for 4.3 g more (3.6 to 5.6 g) stays and tastes. Soda used up by each acid: lemon juice 6.6 g."),
    ((SODA, "{item: sour cream, amount: 100 g}", "{item: dates, amount: 50 g}"), "Baking soda 2.3 g: the acids use up 0.84 g (0.75 to 0.93 g); 1.5 g of soda are left over (1.4 to 1.6 g). Soda used up by each acid: sour cream 0.84 g. Not counted, for want of a figure: dates; more soda may be used up than this says."),
    ((FLOUR, "{item: baking powder, amount: 11.5 g}", "{item: orange juice, amount: 100 g}"), "Carbon dioxide 1.4 g: 0.55 g for 100 g of the batter's flour, as 4.60 % of baking powder gives (12 % of its weight, the law's least). No baking soda; the acids could use up 1.2 g (0.79 to 1.6 g). They stay as taste. Soda used up by each acid: orange juice 1.2 g. Baking powder 11.5 g, 4.60 % of the batter's flour, 1.2 tsp to a cup (125 g): within the usual 1 to 1 1/2 tsp (common practice, no source). Its acid is spent on its own soda."),
])  # fmt: skip
def test_leavening_in_words(lines: tuple[str, ...], expected: str) -> None:
    assert words(*lines) == expected


def test_the_table_of_a_plain_dough() -> None:
    weighed = weigh_text(formula_text(*PLAIN, extra="yield: {pieces: 12, piece: bun}\n"))
    assert contents_text(contents(weighed)).split("\n\n")[1:3] == TABLE.strip().split("\n\n")


# Figures as in BY_HAND, rounded.
TABLE = """
g                              batch  a piece  in 100 g  % of base
-----------------------------  -----  -------  --------  ---------
water in all (true hydration)    418       35      37.7       83.6
fat in all                       105      8.8       9.5       21.1
  from milk                       91      7.6       8.2       18.2
  from plants                    4.9      0.4       0.4        1.0
  from egg                       9.5      0.8       0.9        1.9
sugar in all                     117      9.7      10.5       23.3
  lactose, hardly sweet         15.2      1.3       1.4       3.04
  sugar that sweetens            102      8.5       9.1       20.3
egg white solids                 8.2      0.7       0.7        1.6
egg yolk solids                 16.2      1.4       1.5        3.2
protein                           75      6.2       6.7       14.9
salt weighed in                 10.0      0.8       0.9       2.00
salt from all sodium            10.6      0.9       1.0       2.12
energy, kcal                   3,250      271       293

batch 1,110 g, 12 x bun of 93 g
basis 500 g = 100 %: the batter's flour (all-purpose flour)
% of base: what the batter alone holds, of the batter's flour
"""
