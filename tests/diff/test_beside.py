"""How much of a topping, filling or glaze stands beside the rest, and where that is not said.

The figures follow from the grams in the formulas: 300 g of crumb on 1,000 g of batter are 30 g for 100 g.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from perflour.diff.change import MassChange
from perflour.diff.difference import Difference, difference_between
from perflour.documents.schema import schema
from perflour.formula.places import KINDS
from perflour.report.diff.data import change_data
from perflour.report.diff.summary import summary_line
from perflour.report.diff.words import change_text
from tests.conftest import git, run_cli, weigh_text

Model = dict[str, Any]
Edit = Callable[[Model], object]

BATTER = {
    "all-purpose flour": 400, "granulated sugar": 200, "unsalted butter": 150, "whole milk": 135,
    "egg": 100, "baking powder": 10, "table salt": 5,
}  # fmt: skip
CRUMB = {"all-purpose flour": 120, "light brown sugar": 110, "unsalted butter": 70}


def part(name: str, kind: str, grams: dict[str, int]) -> Model:
    lines = [{"item": item, "amount": f"{mass} g"} for item, mass in grams.items()]
    return {"part": name, **({"kind": kind} if kind else {}), "ingredients": lines}


CAKE: Model = {
    "formula": "pier-cake",
    "title": "Pier crumb cake",
    "class": "crumb-cake",
    "status": "testing",
    "parts": [part("batter", "batter", BATTER), part("crumb topping", "topping", CRUMB)],
    "method": [],
}
BATTER_AT, CRUMB_AT, OTHER_AT = range(3)


def times(factor: float, *parts: int) -> Edit:
    def edit(model: Model) -> None:
        for at in parts:
            for line in model["parts"][at]["ingredients"]:
                if line["amount"].endswith(" g"):
                    line["amount"] = f"{float(line['amount'].split()[0]) * factor:g} g"

    return edit


def amount(at: int, item: str, said: str) -> Edit:
    def edit(model: Model) -> None:
        line = next(ln for ln in model["parts"][at]["ingredients"] if ln["item"] == item)
        line["amount"] = said

    return edit


def add(at: int, item: str, said: str) -> Edit:
    return lambda m: m["parts"][at]["ingredients"].append({"item": item, "amount": said})


def with_part(name: str, kind: str, grams: dict[str, int]) -> Edit:
    return lambda m: m["parts"].append(part(name, kind, grams))


def of_kind(at: int, kind: str) -> Edit:
    def edit(model: Model) -> None:
        model["parts"][at].pop("kind", None)
        model["parts"][at] |= {"kind": kind} if kind else {}

    return edit


def mixed_in(model: Model) -> None:
    model["parts"][BATTER_AT]["ingredients"].append({"part": "crumb topping", "amount": "all"})


def both(*edits: Edit) -> Edit:
    return lambda m: [edit(m) for edit in edits]


def nothing(_: Model) -> None:
    pass


def difference_of(at_first: Edit, edit: Edit) -> Difference:
    before = deepcopy(CAKE)
    at_first(before)
    after = deepcopy(before)
    edit(after)
    return difference_between(
        *(weigh_text(json.dumps(model)) for model in (before, after))
    )  # JSON is YAML


def said(difference: Difference) -> list[str]:
    return [change_text(c) for c in difference.changes if c.kind == "part-beside"]


GLAZE = {"powdered sugar": 90, "whole milk": 10}
SOAKER = {"rolled oats": 150, "water": 100}

TOLD: dict[str, tuple[Edit, Edit, list[str]]] = {
    "the batter halved, the topping kept": (
        nothing,
        times(0.5, BATTER_AT),
        ["crumb topping 30.0 g -> 60.0 g for 100 g of batter, +30.0 g"],
    ),
    "walnuts in the batter": (
        nothing,
        add(BATTER_AT, "walnuts", "200 g"),
        ["crumb topping 30.0 g -> 25.0 g for 100 g of batter, -5.0 g"],
    ),
    "more butter in the topping": (
        nothing,
        amount(CRUMB_AT, "unsalted butter", "100 g"),
        ["crumb topping 30.0 g -> 33.0 g for 100 g of batter, +3.0 g"],
    ),
    "the batch three times, the topping twice": (
        nothing,
        both(times(3, BATTER_AT), times(2, CRUMB_AT)),
        ["crumb topping 30.0 g -> 20.0 g for 100 g of batter, -10.0 g"],
    ),
    "the topping twice, on a batter with walnuts": (
        nothing,
        both(times(2, CRUMB_AT), add(BATTER_AT, "walnuts", "200 g")),
        ["crumb topping 30.0 g -> 50.0 g for 100 g of batter, +20.0 g"],
    ),
    "the only other part needs no kind": (
        of_kind(BATTER_AT, ""),
        times(0.5, BATTER_AT),
        ["crumb topping 30.0 g -> 60.0 g for 100 g of batter, +30.0 g"],
    ),
    "beside two parts": (
        with_part("oat soaker", "soaker", SOAKER),
        times(2, OTHER_AT),
        ["crumb topping 24.0 g -> 20.0 g for 100 g of batter and oat soaker, -4.0 g"],
    ),
    "a glaze is not held against the topping": (
        with_part("milk glaze", "glaze", GLAZE),
        amount(OTHER_AT, "powdered sugar", "140 g"),
        ["milk glaze 10.0 g -> 15.0 g for 100 g of batter, +5.0 g"],
    ),
    "a filling": (
        with_part("date filling", "filling", {"dates": 190, "water": 10}),
        amount(OTHER_AT, "dates", "240 g"),
        ["date filling 20.0 g -> 25.0 g for 100 g of batter, +5.0 g"],
    ),
    "one line on another batter": (
        with_part("sugar glaze", "glaze", {"powdered sugar": 100}),
        add(BATTER_AT, "walnuts", "600 g"),
        [
            "crumb topping 30.0 g -> 18.8 g for 100 g of batter, -11.2 g",
            "sugar glaze 10.0 g -> 6.2 g for 100 g of batter, -3.8 g",
        ],
    ),
    "a little more of hardly any": (
        with_part("dusting", "topping", {"powdered sugar": 2, "cocoa powder": 2}),
        amount(OTHER_AT, "cocoa powder", "2.4 g"),
        ["dusting 0.40 g -> 0.44 g for 100 g of batter, +0.04 g"],
    ),
    "as good as nothing more of hardly any": (
        both(
            times(100, BATTER_AT, CRUMB_AT),
            with_part("dusting", "topping", {"powdered sugar": 200, "cocoa powder": 200}),
        ),
        amount(OTHER_AT, "cocoa powder", "204.4 g"),
        ["dusting still 0.40 g for 100 g of batter"],
    ),
    "hardly any": (
        with_part("dusting", "topping", {"powdered sugar": 1, "cocoa powder": 1}),
        both(times(10, BATTER_AT, CRUMB_AT), amount(OTHER_AT, "cocoa powder", "1.5 g")),
        ["dusting 0.2 g -> 0.025 g for 100 g of batter, -0.2 g"],
    ),
}


@pytest.mark.parametrize("name", TOLD)
def test_more_or_less_for_the_same_rest_is_told(name: str) -> None:
    at_first, edit, expected = TOLD[name]
    assert said(difference_of(at_first, edit)) == expected


NOT_TOLD: dict[str, tuple[Edit, Edit]] = {
    "the whole batch scaled": (nothing, times(2, BATTER_AT, CRUMB_AT)),
    "the topping scaled, which is told as that": (nothing, times(2, CRUMB_AT)),
    "one of two other parts without a kind": (
        with_part("oats", "", SOAKER),
        times(0.5, BATTER_AT),
    ),
    "a topping that is mixed in": (mixed_in, times(0.5, BATTER_AT)),
    "a topping that is mixed in now": (nothing, both(mixed_in, times(0.5, BATTER_AT))),
    "a topping added": (
        lambda m: m["parts"].pop(CRUMB_AT),
        with_part("crumb topping", "topping", CRUMB),
    ),
    "a topping removed": (nothing, lambda m: m["parts"].pop(CRUMB_AT)),
    "one line, which is told as that": (
        with_part("sugar glaze", "glaze", {"powdered sugar": 100}),
        amount(OTHER_AT, "powdered sugar", "200 g"),
    ),
    "one line, beside a scaled batch": (
        with_part("sugar glaze", "glaze", {"powdered sugar": 100}),
        times(2, BATTER_AT, CRUMB_AT),
    ),
    "a line that has no mass": (
        add(BATTER_AT, "peaches", "some"),
        times(0.5, BATTER_AT),
    ),
    "less than a hand can tell": (nothing, amount(BATTER_AT, "table salt", "10 g")),
    "another method": (nothing, lambda m: m["method"].append({"do": "rest", "for": "20 min"})),
}


@pytest.mark.parametrize("name", NOT_TOLD)
def test_what_says_nothing_new_or_true_is_not_told(name: str) -> None:
    difference = difference_of(*NOT_TOLD[name])
    assert difference.changes
    assert said(difference) == []


def test_measuring_alone_is_not_told_and_doubted_beside_a_real_change() -> None:
    """A cup of flour is 125 g ± 10 (USDA SR28 and 12 more published values): 1 cup for 120 g is no news."""
    by_cup = amount(CRUMB_AT, "all-purpose flour", "1 cup")
    assert said(difference_of(nothing, by_cup)) == []
    (words,) = said(difference_of(nothing, both(by_cup, amount(BATTER_AT, "table salt", "8 g"))))
    assert words.startswith("crumb topping 30.0 g -> 30.4 g for 100 g of batter, +0.4 g (within")


def test_the_measuring_of_both_sides_is_shared() -> None:
    """Twice as many of the same cups are twice as much, however uncertain the cup."""
    in_cups = amount(CRUMB_AT, "all-purpose flour", "1 cup")
    halved = both(times(0.5, BATTER_AT), amount(CRUMB_AT, "light brown sugar", "120 g"))
    (change,) = (c for c in difference_of(in_cups, halved).changes if c.kind == "part-beside")
    assert isinstance(change, MassChange) and change.beyond_spread


def test_the_spread_is_that_of_weighing_both_masses() -> None:
    """Against the textbook: the relative variances of a quotient's two masses add up (JCGM 100:2008, 5.1.6).

    A scale of 1 g steps: half a step over the square root of 3, and a thousandth that stays behind.
    """
    difference = difference_of(nothing, times(0.5, BATTER_AT))
    (change,) = (c for c in difference.changes if c.kind == "part-beside")
    assert isinstance(change, MassChange)

    def variance(grams: dict[str, int], factor: float = 1.0) -> float:
        masses = [mass * factor for mass in grams.values()]
        steps = [0.1 if mass < 20 else 1.0 for mass in masses]
        return sum(
            step**2 / 12 + (mass / 1000) ** 2 for step, mass in zip(steps, masses, strict=True)
        )

    relative = [
        variance(CRUMB) / sum(CRUMB.values()) ** 2
        + variance(BATTER, factor) / (sum(BATTER.values()) * factor) ** 2
        for factor in (1.0, 0.5)
    ]
    expected = (30**2 * relative[0] + 60**2 * relative[1]) ** 0.5
    assert change.spread_g == pytest.approx(expected, rel=1e-6)


def test_a_cup_on_both_sides_is_off_by_one_hand() -> None:
    """1 cup of flour is 125 g ± 10.4, shared by both sides; how level it is (2 %, house choice) is new each time."""
    in_cups = amount(CRUMB_AT, "all-purpose flour", "1 cup")
    (change,) = (
        c for c in difference_of(in_cups, times(0.5, BATTER_AT)).changes if c.kind == "part-beside"
    )
    assert isinstance(change, MassChange)
    cup_g, level_g = 10.4, 0.02 * 125  # USDA SR28 and 12 more published values
    shared = (100 / 500 - 100 / 1000) * cup_g
    expected = (shared**2 + (0.2 * level_g) ** 2 + (0.1 * level_g) ** 2) ** 0.5
    assert change.spread_g == pytest.approx(expected, rel=0.01)


def test_twice_the_topping_is_said_early_and_a_little_more_is_only_a_consequence() -> None:
    halved = difference_of(nothing, times(0.5, BATTER_AT))
    assert summary_line(halved) == (
        "pier-cake: batter x0.5, crumb topping 30.0 -> 60.0 g for 100 g"
    )
    richer = difference_of(nothing, amount(CRUMB_AT, "unsalted butter", "100 g"))
    assert summary_line(richer) == "pier-cake: unsalted butter in crumb topping 58.3 -> 83.3 %"


def test_a_topping_renamed_is_one_topping() -> None:
    def rename(model: Model) -> None:
        model["parts"][CRUMB_AT]["part"] = "streusel"

    difference = difference_of(nothing, both(rename, times(0.5, BATTER_AT)))
    (data,) = (change_data(c) for c in difference.changes if c.kind == "part-beside")
    assert (data["subject"], data["subject_before"]) == ("streusel", "crumb topping")
    assert (data["before"], data["after"], data["delta"]) == pytest.approx((30, 60, 30))
    assert data["per"] == ["batter"]


def test_what_stands_beside_is_of_a_kind_of_the_schema() -> None:
    kinds = schema("formula")["$defs"]["part"]["properties"]["kind"]["enum"]
    assert {kind for kind, place in KINDS.items() if place == "beside"} < set(kinds)


def test_every_report_tells_it(repository: Path) -> None:
    path = repository / "formulas" / "pier-cake" / "formula.yaml"
    path.parent.mkdir(parents=True)
    after = deepcopy(CAKE)
    times(0.5, BATTER_AT)(after)
    for number, model in enumerate((CAKE, after)):
        path.write_text(json.dumps(model), encoding="utf-8")
        git(repository, "add", ".")
        git(repository, "commit", "-qm", f"Version {number}")
    sentence = "crumb topping 30.0 g -> 60.0 g for 100 g of batter, +30.0 g"
    for words in (
        ("diff", "HEAD~1", "HEAD"),
        ("diff", "HEAD~1", "HEAD", "--output", "markdown"),
        ("changelog",),
        ("changelog", "--output", "markdown"),
    ):
        assert sentence in run_cli(*words, cwd=repository).out.replace("\\", ""), words
    row = ["crumb topping, for 100 g of batter", "30.0 g", "60.0 g", "+30.0 g"]
    for words in (("release", "HEAD~1..HEAD", "--in-full"), ("review", "HEAD~1..HEAD")):
        told = run_cli(*words, cwd=repository).out.splitlines()
        assert row in [re.split(" {2,}", line.strip()) for line in told], words
    subject = run_cli("diff", "HEAD~1", "HEAD", "--output", "subject", cwd=repository).out
    assert "crumb topping 30.0 -> 60.0 g for 100 g" in subject
    data = json.loads(run_cli("diff", "HEAD~1", "HEAD", "--output", "json", cwd=repository).out)
    (change,) = (c for c in data["formulas"][0]["changes"] if c["kind"] == "part-beside")
    assert (change["before"], change["after"]) == pytest.approx((30, 60))
