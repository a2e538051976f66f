"""`perflour find`: the grammar, what is held against it, and that the figures are those of `compare` and `show`."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from perflour.asking.conditions import answer, condition_of
from perflour.asking.figures import SAID, figure_named, measured
from perflour.balance.ratios import RATIOS
from perflour.balance.spread import Measures, uncertain
from perflour.compare.apart import WINDOW_OF
from perflour.kitchen.catalogue import built_in
from perflour.report.diff.figures import ratio_name
from perflour.result import CannotRun
from tests.conftest import ROOT, formula_text, run_cli, weigh_text

#: 200 g of flour: sugar 70 %, butter 60 %, milk 50 %. A cup of sugar in the second, so that there is a spread.
WEIGHED = formula_text("{item: plain flour, amount: 200 g}", "{item: sugar, amount: 140 g}", "{item: unsalted butter, amount: 120 g}", "{item: whole milk, amount: 100 g}", method="[{do: bake, at: 180 °C, for: 20-30 min}]")  # fmt: skip
BY_CUP = WEIGHED.replace("140 g", "1 cup")
LACKING = WEIGHED.replace("140 g", "some")
STRANGER = WEIGHED.replace("120 g", "120 g}\n      - {item: zorblax, amount: 10 g")
NOT_WHOLE = WEIGHED.replace("200 g", "some")


def verdict(text: str, formula: str) -> str:
    balance = weigh_text(formula)

    def named(name: str) -> Any:
        return figure_named(name, [built_in()], [balance])[0]

    condition = condition_of(text, named)
    numbers = uncertain(balance, Measures())
    values = {figure: measured(figure, balance, numbers) for figure in condition.figures}
    return answer(condition, values).verdict


@pytest.mark.parametrize(
    ("asked", "formula", "expected"),
    [
        ("sugar > 60", WEIGHED, "yes"),
        ("sugar > 70", WEIGHED, "no"),
        ("sugar >= 70", WEIGHED, "yes"),
        ("sugar≥70 %", WEIGHED, "yes"),
        ("sugar < 70", WEIGHED, "no"),
        ("60 < sugar", WEIGHED, "yes"),
        ("sugar 65..75", WEIGHED, "yes"),
        ("sugar 70..75", WEIGHED, "yes"),
        ("sugar 71..75", WEIGHED, "no"),
        ("unsalted butter >= sugar", WEIGHED, "no"),
        ("sugar>=unsalted butter", WEIGHED, "yes"),
        ("sugar and syrup > 60", WEIGHED, "yes"),
        ("fat and oil > 59", WEIGHED, "yes"),
        ("saffron > 0", WEIGHED, "no"),
        ("saffron >= nut", WEIGHED, "no"),  # neither is in it
        ("oven < 190", WEIGHED, "yes"),
        ("bake time 20..30", WEIGHED, "may be"),
        ("bake at 180..180", WEIGHED, "yes"),
        ("whole milk in batter > 49", WEIGHED, "yes"),
        ("batch < 561 g", WEIGHED, "yes"),
        ("sugar > 99", BY_CUP, "may be"),  # a cup of sugar is about 200 g
        ("sugar > 50", BY_CUP, "yes"),
        ("sugar > 10", LACKING, "not known"),
        ("sugar < 10", LACKING, "not known"),
        ("total-water > 68", STRANGER, "not known"),  # the known ones hold 66 %
        ("total-water > 90", STRANGER, "no"),  # were all of the stranger water
        ("total-water > 30", STRANGER, "yes"),
        ("salt > 10", LACKING, "no"),
        ("egg > 10", NOT_WHOLE, "not known"),
        ("pieces > 1", WEIGHED, "not known"),
        ("core > 90", WEIGHED, "not known"),
    ],
)
def test_what_holds(asked: str, formula: str, expected: str) -> None:
    assert verdict(asked, formula) == expected


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("sugar", "'sugar' is no condition; write one like 'sugar > 60'"),
        ("sugar > ", "is no condition"),
        ("1 < 2", "names no figure"),
        ("1 < sugar < 2", "is no condition"),
        ("hydration 75..65", "75 is more than 65; write the lower one first"),
        ("sugar > 60 g", "sugar is in %, not in g"),
        ("sugar > oven", "sugar is in % and oven in °C"),
        ("hydratoin > 60", "did you mean 'hydration'"),
        ("suger > 60", "did you mean 'sugar'"),
    ],
)
def test_what_is_not_understood(asked: str, said: str) -> None:
    with pytest.raises(CannotRun, match=said.replace("?", "[?]")):
        verdict(asked, WEIGHED)


def test_figures_are_those_of_compare_and_show() -> None:
    """Of every ratio and sum by kind of the demo, value and spread; names too."""
    told = json.loads(run_cli("compare", "formulas", "--output", "json", cwd=ROOT).out)
    labels = [formula["formula"] for formula in told["formulas"]]
    rows = {row["name"]: row for row in told["rows"] if row["section"] in ("kind", "ratio")}
    asked = [f"{name} < 99999" for name in rows]  # which all do of which it can be told
    found = json.loads(run_cli("find", *asked, "--output", "json", cwd=ROOT).out)
    for formula in found["found"]:
        at = labels.index(formula["formula"])
        figures = {figure["figure"]: figure for figure in formula["figures"]}
        for name, row in rows.items():
            figure = figures[WINDOW_OF.get(name, name)]
            assert figure["value"] == pytest.approx(row["values"][at] or 0.0), name
            assert figure["spread"] == pytest.approx(row["spreads"][at] or 0.0), name
        shown = json.loads(run_cli("show", formula["path"], "--output", "json", cwd=ROOT).out)
        assert figures["sugar"]["value"] == pytest.approx(shown["total"]["ratios"]["sugar"]["percent"])  # fmt: skip
        assert figures["sugar"]["of"] == shown["total"]["of"]
    assert len(found["found"]) > 3


def test_ratios_are_known_by_the_words_of_changelogs() -> None:
    for name in RATIOS:
        assert SAID.get(ratio_name(name), ratio_name(name).replace(" ", "-")) == name


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    for name, text in {
        "plain": WEIGHED,
        "cup": BY_CUP.replace("title: Trial", 'title: "=cmd, hot | x"'),
        "lacking": LACKING,
        "egg": WEIGHED.replace("120 g", "120 g}\n      - {item: egg white, amount: 30 g"),
        "stranger": WEIGHED.replace("120 g", "120 g}\n      - {item: zorblax, amount: 3 g"),
    }.items():
        folder = tmp_path / "formulas" / name
        folder.mkdir(parents=True)
        (folder / "formula.yaml").write_text(text.replace("formula: trial", f"formula: {name}"))
    return tmp_path


def found(kitchen: Path, *words: str) -> tuple[int, list[str], str]:
    done = run_cli("find", *words, "--output", "json", cwd=kitchen)
    return done.code, [row["formula"] for row in json.loads(done.out)["found"]], done.err


def test_what_cannot_be_told_is_told(kitchen: Path) -> None:
    code, names, said = found(kitchen, "sugar > 60")
    assert (code, names) == (1, ["cup", "egg", "plain", "stranger"])
    assert said == "formulas/lacking/formula.yaml: cannot be told: white sugar not counted\n" or (
        "lacking/formula.yaml: cannot be told: " in said
    )
    assert found(kitchen, "unsalted butter > 900") == (0, [], "")  # found nothing, told all


def test_an_allergen_is_looked_for_in_what_brings_it(kitchen: Path) -> None:
    code, names, said = found(kitchen, "--with", "egg")
    assert (code, names) == (1, ["egg"])
    assert "stranger/formula.yaml: cannot be told: nobody knows whether zorblax is or brings egg" in said  # fmt: skip
    assert found(kitchen, "--without", "egg")[1] == ["cup", "lacking", "plain"]
    assert found(kitchen, "--with", "zorblax")[:2] == (0, ["stranger"])
    assert found(kitchen, "--without", "gluten", "--without", "milk")[1] == []
    assert "This is no label and no promise." in run_cli("find", "--without", "egg", cwd=kitchen).out  # fmt: skip
    assert "clean" in run_cli("find", "--without", "gluten", cwd=kitchen).out
    assert "no food, kind of food or allergen" in run_cli("find", "--with", "gravel", cwd=kitchen).err  # fmt: skip


def test_words_class_and_status(kitchen: Path) -> None:
    bakes = kitchen / "formulas" / "plain" / "bakes"
    bakes.mkdir()
    (bakes / "2026-03-14.yaml").write_text("date: 2026-03-14\nformula: plain\nof: 0123456789ab\nbaker: N\nverdict: change\nnotes: A tunnel below the crust.\n")  # fmt: skip
    assert found(kitchen, "--words", "Tunnel  below")[:2] == (0, ["plain"])
    assert found(kitchen, "--words", "bake", "--words", "hot")[1] == ["cup"]
    assert len(found(kitchen, "--class", "loaf-cake", "--status", "draft")[1]) == 5
    wrong = run_cli("find", "--class", "loafcake", cwd=kitchen)
    assert (wrong.code, wrong.err) == (2, "perflour: 'loafcake' is no class of these formulas or their house; did you mean loaf-cake?\n")  # fmt: skip
    assert run_cli("find", cwd=kitchen).code == 2


def test_what_others_wrote_computes_nothing(kitchen: Path) -> None:
    done = run_cli("find", "unsalted butter > 50", "--output", "csv", cwd=kitchen)
    row = next(row for row in csv.DictReader(io.StringIO(done.out)) if row["formula"] == "cup")
    assert row["title"] == "'=cmd, hot | x"
    assert float(row["unsalted butter, %"]) == pytest.approx(60)
    page = run_cli("find", "unsalted butter > 50", "--output", "markdown", cwd=kitchen).out
    assert r"\| x" in page
