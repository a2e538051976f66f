"""Every kind of change, as the ratio diff names it, what changes the bake most first."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from typing import Any, get_args, get_type_hints

import pytest

from perflour.diff.change import (
    Change,
    Crossing,
    Degrees,
    LineChange,
    MassShift,
    Minutes,
    PercentShift,
)
from perflour.diff.difference import Difference, difference_between
from perflour.diff.kinds import KINDS
from perflour.kitchen.house import House, ProductClass, Window
from perflour.report.diff.summary import LONGEST, summary_line
from perflour.report.diff.text import worth_saying
from perflour.report.diff.words import WORDS, change_text
from tests.conftest import weigh_text
from tests.diff.test_scenarios import TOLD

Model = dict[str, Any]

LOAF: Model = {
    "formula": "trial",
    "title": "Trial",
    "class": "loaf",
    "status": "testing",
    "yield": {"pieces": 2, "piece": "loaf"},
    "parts": [
        {
            "part": "poolish",
            "kind": "preferment",
            "ingredients": [
                {"item": "bread flour", "amount": "200 g"},
                {"item": "water", "amount": "200 g"},
                {"item": "instant yeast", "amount": "0.4 g"},
            ],
        },
        {
            "part": "dough",
            "ingredients": [
                {"item": "bread flour", "amount": "700 g"},
                {"item": "medium rye flour", "amount": "100 g"},
                {"item": "water", "amount": "480 g"},
                {"item": "table salt", "amount": "20 g"},
                {"item": "instant yeast", "amount": "4 g"},
                {"item": "unsalted butter", "amount": "60 g"},
                {"item": "honey", "amount": "40 g"},
                {"part": "poolish", "amount": "all"},
            ],
        },
        {
            "part": "topping",
            "ingredients": [
                {"item": "rolled oats", "amount": "30 g"},
                {"item": "sunflower seeds", "amount": "20 g"},
            ],
        },
    ],
    "method": [
        {
            "do": "knead",
            "uses": ["bread flour", "water", "poolish"],
            "speed": "low",
            "for": "6 min",
        },
        {"do": "rest", "for": "60 min", "at": "26 °C"},
        {"do": "shape", "into": "2 rounds"},
        {"do": "proof", "for": "50 min", "until": "it springs back slowly"},
        {"do": "bake", "at": "230 °C", "for": "35-40 min", "until": "brown"},
        {"do": "cool", "on": "wire rack", "for": "60 min"},
    ],
}
POOLISH, DOUGH, TOPPING = range(3)
KNEAD, REST, SHAPE, PROOF, BAKE, COOL = range(6)
Edit = Callable[[Model], object]


def line(model: Model, part: int, item: str) -> dict[str, str]:
    found: dict[str, str] = next(
        ln for ln in model["parts"][part]["ingredients"] if item in (ln.get("item"), ln.get("part"))
    )
    return found


def amount(part: int, item: str, said: str) -> Edit:
    return lambda m: line(m, part, item).update(amount=said)


def item(part: int, name: str, **said: str) -> Edit:
    return lambda m: line(m, part, name).update(**said)


def add(part: int, **said: str) -> Edit:
    return lambda m: m["parts"][part]["ingredients"].append(said)


def drop(part: int, name: str) -> Edit:
    return lambda m: m["parts"][part]["ingredients"].remove(line(m, part, name))


def step(place: int, /, **said: object) -> Edit:
    return lambda m: m["method"][place].update(**said)


def head(**said: object) -> Edit:
    return lambda m: m.update(**said)


def both(*edits: Edit) -> Edit:
    return lambda m: [edit(m) for edit in edits]


def times(factor: float) -> Edit:
    def edit(model: Model) -> None:
        for part in model["parts"]:
            for said in part["ingredients"]:
                if "item" in said:
                    said["amount"] = f"{float(said['amount'].split()[0]) * factor:g} g"

    return edit


def changes(edit: Edit, house: House | None = None) -> tuple[Change, ...]:
    return difference_of(edit, house).changes


def difference_of(edit: Edit, house: House | None = None) -> Difference:
    after = deepcopy(LOAF)
    edit(after)
    sides = [weigh_text(json.dumps(model, ensure_ascii=False)) for model in (LOAF, after)]
    return difference_between(*sides, house=house)


def told(edit: Edit, house: House | None = None) -> tuple[list[str], str]:
    difference = difference_of(edit, house)
    said = [change_text(change) for change in worth_saying(difference.changes)]
    return said, summary_line(difference)


CASES: dict[str, tuple[Edit, list[str], str]] = {
    "amount": (
        amount(DOUGH, "honey", "80 g"),
        [
            "honey 40 g -> 80 g: 4.0 % -> 8.0 %, +4.0 % of the dough's flour",
            "mass per piece 927 g -> 947 g",
            "total sugar 3.7 % -> 7.0 %, +3.3 % of the dough's flour",
            "total water 82.8 % -> 83.5 %, +0.7 % of the dough's flour",
            "topping 2.8 g -> 2.7 g for 100 g of dough, -0.1 g (within the measuring, ± 0.064 g)",
        ],
        "trial: honey 4.0 -> 8.0 %",
    ),
    "added": (
        add(DOUGH, item="walnuts", amount="150 g"),
        [
            "walnuts added to dough: 150 g, 15.0 % of the dough's flour",
            "mass per piece 927 g -> 1,002 g",
            "topping 2.8 g -> 2.6 g for 100 g of dough, -0.2 g",
            "total fat 6.5 % -> 16.3 %, +9.8 % of the dough's flour",
            "total water 82.8 % -> 83.4 %, +0.6 % of the dough's flour",
        ],
        "trial: walnuts 15.0 % added",
    ),
    "removed": (
        drop(DOUGH, "honey"),
        [
            "honey removed from dough: 40 g, 4.0 % of the dough's flour",
            "mass per piece 927 g -> 907 g",
            "total sugar 3.7 % -> 0.4 %, -3.3 % of the dough's flour",
            "total water 82.8 % -> 82.1 %, -0.7 % of the dough's flour",
            "topping 2.77 g -> 2.83 g for 100 g of dough, +0.06 g (within the measuring, ± 0.065 g)",
        ],
        "trial: honey 4.0 % removed",
    ),
    "substituted": (
        item(DOUGH, "unsalted butter", item="olive oil", amount="50 g"),
        [
            "olive oil for unsalted butter in dough: 60 g -> 50 g, 6.0 % -> 5.0 %, -1.0 % of the dough's flour (water -1.1, fat +0.1 points)",
            "total water 82.8 % -> 81.7 %, -1.1 % of the dough's flour",
        ],
        "trial: olive oil for unsalted butter",
    ),
    "renamed": (
        item(DOUGH, "medium rye flour", item="rye flour"),
        ["medium rye flour now called rye flour"],
        "trial: medium rye flour now called rye flour",
    ),
    "moved": (
        both(drop(DOUGH, "honey"), add(POOLISH, item="honey", amount="40 g")),
        ["honey moved from dough to poolish"],
        "trial: honey moved to poolish",
    ),
    "split": (
        both(
            amount(DOUGH, "water", "400 g"), add(DOUGH, item="water", amount="80 g", state="warm")
        ),
        ["water split in dough: 480 g -> 400 g + 80 g, in all still 48.0 % of the dough's flour"],
        "trial: water split",
    ),
    "scaled": (
        both(times(1.5), head(**{"yield": {"pieces": 3, "piece": "loaf"}})),
        ["batch x1.5, ratios unchanged (1,854 g -> 2,782 g)", "yield: 2 x loaf -> 3 x loaf"],
        "trial: batch x1.5",
    ),
    "scaled and more": (
        both(times(2), amount(DOUGH, "table salt", "36 g")),
        [
            "batch x2 (1,854 g -> 3,705 g)",
            "table salt 20 g -> 36 g: 2.00 % -> 1.80 %, -0.20 % of the dough's flour",
            "mass per piece 927 g -> 1,852 g",
        ],
        "trial: batch x2, table salt 2.00 -> 1.80 %",
    ),
    "re-measured": (
        item(DOUGH, "honey", amount="2 tbsp"),
        [
            "honey re-measured only: 40 g -> 2 tbsp (40 g -> 42 g, 4.0 % -> 4.2 % of the dough's flour)"
        ],
        "trial: honey re-measured",
    ),
    "blend": (
        both(amount(DOUGH, "bread flour", "600 g"), amount(DOUGH, "medium rye flour", "200 g")),
        ["the dough's flour: bread flour 90.0 -> 80.0 %, medium rye flour 10.0 -> 20.0 %"],
        "trial: medium rye flour 10.0 -> 20.0 %",
    ),
    "part added": (
        lambda m: m["parts"].append(
            {
                "part": "glaze",
                "ingredients": [
                    {"item": "egg", "amount": "50 g"},
                    {"item": "whole milk", "amount": "20 g"},
                ],
            }
        ),
        [
            "part added: glaze (egg 100.0 %, whole milk 40.0 % of the glaze's egg)",
            "mass per piece 927 g -> 962 g",
        ],
        "trial: glaze added",
    ),
    "part removed": (
        lambda m: m["parts"].pop(TOPPING),
        [
            "part removed: topping (rolled oats 100.0 %, sunflower seeds 66.7 % of the topping's rolled oats)",
            "mass per piece 927 g -> 902 g",
        ],
        "trial: topping removed",
    ),
    "part renamed": (
        lambda m: m["parts"][TOPPING].update(part="crust"),
        ["part topping now called crust"],
        "trial: topping now called crust",
    ),
    "preferment share": (
        both(
            both(amount(POOLISH, "bread flour", "300 g"), amount(POOLISH, "water", "300 g")),
            both(amount(DOUGH, "bread flour", "600 g"), amount(DOUGH, "water", "380 g")),
        ),
        [
            "poolish takes 20.0 % -> 30.0 % of the dough's flour, with 0.20 % -> 0.13 % yeast (as instant) of its own flour; the whole as before",
            "water: 100 g moved from dough to poolish",
            "bread flour: 100 g moved from dough to poolish",
        ],
        "trial: poolish 20.0 -> 30.0 % of the flour",
    ),
    "part used by half": (
        amount(DOUGH, "poolish", "half"),
        [
            "poolish takes 20.0 % -> 11.1 % of the dough's flour",
            "the dough's flour 1,000 g -> 900 g: every percentage of it moves",
            "poolish used in dough: all -> half",
            "mass per piece 927 g -> 827 g",
            "water in poolish 20.0 % -> 11.1 %, -8.9 % of the dough's flour (its mass is the same)",
            "topping 2.8 g -> 3.1 g for 100 g of dough, +0.3 g",
            "water in dough 48.0 % -> 53.3 %, +5.3 % of the dough's flour (its mass is the same)",
            "hydration 68.0 % -> 64.4 %, -3.6 % of the dough's flour",
            "table salt 2.00 % -> 2.22 %, +0.22 % of the dough's flour (its mass is the same)",
            "total water 82.8 % -> 79.4 %, -3.4 % of the dough's flour",
            "instant yeast in dough 0.40 % -> 0.44 %, +0.04 % of the dough's flour (its mass is the same)",
            "unsalted butter 6.0 % -> 6.7 %, +0.7 % of the dough's flour (its mass is the same)",
            "yeast as instant 0.44 % -> 0.47 %, +0.03 % of the dough's flour",
            "total fat 6.5 % -> 7.1 %, +0.5 % of the dough's flour",
            "instant yeast in poolish 0.04 % -> 0.02 %, -0.02 % of the dough's flour (its mass is the same)",
            "honey 4.0 % -> 4.4 %, +0.4 % of the dough's flour (its mass is the same)",
            "the dough's flour: bread flour 90.0 -> 88.9 %, medium rye flour 10.0 -> 11.1 %",
        ],
        "trial: poolish 20.0 -> 11.1 % of the flour, 3 more",
    ),
    "step added": (
        lambda m: m["method"].insert(SHAPE, {"do": "fold", "for": "2 min"}),
        ["step added: fold for 2 min"],
        "trial: fold 2 min added",
    ),
    "step removed": (
        lambda m: m["method"].pop(SHAPE),
        ["step removed: shape into 2 rounds"],
        "trial: shape removed",
    ),
    "step moved": (
        lambda m: m["method"].insert(KNEAD, m["method"].pop(SHAPE)),
        ["step moved: shape into 2 rounds (step 3 -> step 1)"],
        "trial: shape into 2 rounds as step 1",
    ),
    "step reworded": (
        step(SHAPE, do="mould"),
        ["step now called mould: shape -> mould"],
        "trial: shape now mould",
    ),
    "time": (
        step(PROOF, **{"for": "90 min"}),
        ["proof for: 50 min -> 90 min"],
        "trial: proof for 50 min -> 90 min",
    ),
    "temperature": (
        step(REST, at="22 °C"),
        ["rest at: 26 °C -> 22 °C"],
        "trial: rest 26 -> 22 °C",
    ),
    "speed": (
        step(KNEAD, speed="medium"),
        ["knead speed: low -> medium"],
        "trial: knead speed low -> medium",
    ),
    "sign": (
        step(PROOF, until="a dent stays"),
        ["proof until: it springs back slowly -> a dent stays"],
        "trial: proof: until changed",
    ),
    "bake": (
        step(BAKE, at="215 °C", **{"for": "45-50 min"}),
        ["bake for: 35-40 min -> 45-50 min", "bake at: 230 °C -> 215 °C"],
        "trial: bake for 35-40 min -> 45-50 min, oven 230 -> 215 °C",
    ),
    "yield": (
        head(**{"yield": {"pieces": 3, "piece": "loaf"}}),
        ["yield: 2 x loaf -> 3 x loaf", "mass per piece 927 g -> 618 g"],
        "trial: yield 3 x loaf",
    ),
    "status": (
        head(status="approved"),
        ["status: testing -> approved"],
        "trial: status testing -> approved",
    ),
    "status of others": (
        head(status="reference", citation="A card"),
        [
            "status: testing -> reference (not the house's own any more)",
            "origin: own -> nothing",
            "citation: nothing -> A card",
        ],
        "trial: status testing -> reference, origin changed, citation changed",
    ),
    "waivers": (
        head(waivers=[{"rule": "no-cooling", "because": "eaten warm"}]),
        ["waivers: nothing -> no-cooling: eaten warm"],
        "trial: waiver of no-cooling added",
    ),
    "corrections": (
        head(corrections=[{"item": "salt", "because": "a tablespoon was printed"}]),
        ["corrections: nothing -> salt: a tablespoon was printed"],
        "trial: corrections changed",
    ),
    "notes": (
        head(notes="Keeps three days."),
        ["notes: nothing -> Keeps three days."],
        "trial: notes changed",
    ),
    "order": (
        both(
            both(amount(DOUGH, "table salt", "25 g"), amount(DOUGH, "honey", "45 g")),
            both(step(PROOF, **{"for": "55 min"}), head(notes="Keeps.")),
        ),
        [
            "table salt 20 g -> 25 g: 2.00 % -> 2.50 %, +0.50 % of the dough's flour",
            "proof for: 50 min -> 55 min",
            "honey 40 g -> 45 g: 4.0 % -> 4.5 %, +0.5 % of the dough's flour",
            "total sugar 3.7 % -> 4.1 %, +0.4 % of the dough's flour",
            "notes: nothing -> Keeps.",
        ],
        "trial: table salt 2.00 -> 2.50 %, proof for 50 min -> 55 min, 2 more",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_is_told_in_plain_words(name: str) -> None:
    edit, said, summary = CASES[name]
    assert told(edit) == (said, summary)
    assert len(summary) <= LONGEST


def test_every_kind_of_change_is_told_of_here_or_beside() -> None:
    """Those that this table never brings about: in test_difference.py, test_beside.py, test_scenarios.py,
    test_not_known.py, the laws and tests/hostile/."""
    kinds = {change.kind for edit, _, _ in CASES.values() for change in changes(edit)}
    rare = {"amount-as-written", "basis", "mass-only", "follows-basis", "state", "note", "merged"}
    rare |= {row.partition(" ")[0] for _, rows in TOLD.values() for row in rows}
    assert set(KINDS) - kinds - rare == {
        "part-kind", "basis-unknown", "piece-unknown", "window", "steps-joined", "lines-not-compared", "steps-not-compared",
    }  # fmt: skip


def test_a_step_left_out_comes_before_a_step_moved_and_a_sign_before_words() -> None:
    """Common practice, no source: what a head baker asks after first when a bake fails."""
    found = changes(
        both(
            head(notes="New words", **{"yield": {"pieces": 2, "piece": "tin"}}),
            step(PROOF, until="it is domed"),
            item(TOPPING, "rolled oats", state="toasted"),
            lambda m: m["method"].insert(0, m["method"].pop(REST)),
            lambda m: m["method"].pop(COOL),
        )
    )
    told = ["step-removed", "step-moved", "state", "step-sign", "yield", "header"]
    assert [change.kind for change in found] == told


def test_every_kind_of_change_has_its_words() -> None:
    assert set(WORDS) == set(KINDS)


def test_every_change_is_of_the_type_of_its_kind() -> None:
    found = [change for edit, _, _ in CASES.values() for change in changes(edit)]
    assert {c.kind: type(c) for c in found} == {c.kind: KINDS[c.kind].type for c in found}


UNITS = ("_percent", "_g", "_celsius", "_minutes")
WITHOUT_UNIT = {"factor", "importance"}


def test_every_figure_of_a_change_names_its_unit() -> None:
    """So that a sum of percentages and grams needs two names, which mypy finds on no one type."""
    figures = {
        (type_.__name__, name)
        for type_ in (*get_args(Change), Degrees, Minutes, PercentShift, MassShift, Crossing)
        for name, hint in get_type_hints(type_).items()
        if float in (hint, *get_args(hint)) and name not in WITHOUT_UNIT
    }
    assert len(figures) > 20
    assert {f for f in figures if not f[1].endswith(UNITS)} == {("WindowChange", "percent")}


def window(low: float, high: float) -> House:
    """A house whose loaves have one window, for salt."""
    windows = {"salt": Window(low, high, "common practice, no source")}
    return House(classes={"loaf": ProductClass("Loaf", True, windows)})


def test_a_ratio_enters_or_leaves_the_window_of_its_class() -> None:
    """Salt of 1.8 to 2.2 % of flour: common practice, no source."""
    less = amount(DOUGH, "table salt", "16 g")
    assert (
        "salt 2.00 % -> 1.60 %, -0.40 % of the dough's flour, leaves the usual 1.8-2.2 %"
        in told(less, window(1.8, 2.2))[0]
    )
    assert (
        "salt 2.00 % -> 1.60 %, -0.40 % of the dough's flour, enters the usual 1-1.8 %"
        in told(less, window(1.0, 1.8))[0]
    )


def test_a_ratio_that_moved_is_held_against_one_range_on_both_sides() -> None:
    """Salt 2.00 % was never in the 2.5 to 3 % of the new class, so it does not leave it."""
    classes = {
        name: ProductClass(name, True, {"salt": Window(low, high, "common practice, no source")})
        for name, low, high in (("loaf", 1.8, 2.2), ("tin", 2.5, 3.0))
    }
    edit = both(amount(DOUGH, "table salt", "16 g"), lambda m: m.update({"class": "tin"}))
    said = told(edit, House(classes=classes))[0]
    assert "table salt 20 g -> 16 g: 2.00 % -> 1.60 %, -0.40 % of the dough's flour" in said
    assert not any("the usual" in line for line in said)


def test_a_substitute_says_what_it_does_to_water_fat_and_sugar() -> None:
    """Olive oil is all fat; butter has 81.11 % fat and 17.94 % water (USDA SR27, 01145)."""
    edit = item(DOUGH, "unsalted butter", item="olive oil", amount="60 g")
    change = next(c for c in changes(edit) if c.kind == "substituted")
    assert isinstance(change, LineChange)
    moved = {s.name: s.after_percent - s.before_percent for s in change.shifts}
    assert moved == pytest.approx({"water": -6 * 0.1794, "fat": 6 * (1 - 0.8111)}, abs=0.01)


def test_an_ingredient_moves_and_does_not_stand_in_for_itself() -> None:
    """One of two lines of salt stays as it is, the other grows 25-fold, in a part of another name."""
    sides = []
    for name, salt in (("first dough", ("1 g", "1 g")), ("second dough", ("25 g", "1 g"))):
        model = deepcopy(LOAF)
        lines = [("bread flour", "5 g"), *(("table salt", amount) for amount in salt)]
        model["parts"][2] = {
            "part": name,
            "ingredients": [{"item": item, "amount": amount} for item, amount in lines],
        }
        sides.append(weigh_text(json.dumps(model)))
    found = [(c.kind, c.subject) for c in difference_between(*sides).changes if c.kind != "ratio"]
    assert sorted(found) == [
        ("mass-per-piece", "mass per piece"),
        ("moved", "bread flour"),
        ("moved", "table salt"),
        ("part-added", "second dough"),
        ("part-removed", "first dough"),
    ]


def test_what_changes_the_bake_most_comes_first() -> None:
    """Half a point of salt is half its usual width, the bake 15 °C one, a minute of rest nearly none."""
    edit = both(
        both(amount(DOUGH, "table salt", "25 g"), step(REST, **{"for": "61 min"})),
        both(step(BAKE, at="245 °C"), head(title="Trial loaf")),
    )
    said, _ = told(edit)
    assert [text.split(" ")[0] for text in said] == ["bake", "table", "rest", "title:"]


def test_a_time_of_the_same_figures_hides_no_ratio() -> None:
    """Hydration from 68 to 72 % is no repeat of a rest from 68 to 72 min."""
    before, after = deepcopy(LOAF), deepcopy(LOAF)
    step(REST, **{"for": "68 min"})(before)
    both(step(REST, **{"for": "72 min"}), amount(DOUGH, "water", "520 g"))(after)
    sides = [weigh_text(json.dumps(model)) for model in (before, after)]
    said = [change_text(c) for c in worth_saying(difference_between(*sides).changes)]
    assert "rest for: 68 min -> 72 min" in said
    assert "hydration 68.0 % -> 72.0 %, +4.0 % of the dough's flour" in said
