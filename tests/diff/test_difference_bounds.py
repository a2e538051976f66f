"""How far each rule of the differ goes: on its bound, just beyond it, and with one line more."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from statistics import median

import pytest

from perflour.diff.batch_factor import batch_factor, pooled
from perflour.diff.change import BlendChange, Change, LineChange, MassChange, Scaling, TextChange
from perflour.diff.difference import difference_between
from perflour.diff.importance import (
    UNWEIGHED,
    WIDTHS,
    by_factor,
)
from perflour.diff.placed_lines import side_of
from perflour.diff.standing import held
from tests.conftest import ROOT, formula_text, weigh_text

WINDOWS = ROOT / "tests" / "published" / "reference" / "ratio_windows.csv"
Lines = dict[str, str]


def one_part(lines: Lines) -> str:
    return formula_text(*(f"{{item: {item}, amount: {amount}}}" for item, amount in lines.items()))


def parts(**named: Lines) -> str:
    """A formula of several parts."""
    text = "formula: trial\ntitle: Trial\nclass: loaf-cake\nstatus: draft\nparts:\n"
    for name, lines in named.items():
        text += f"  - part: {name}\n    ingredients:\n"
        text += "".join(
            f"      - {{item: {item}, amount: {amount}}}\n" for item, amount in lines.items()
        )
    return f"{text}method: []\n"


def changes(before: str, after: str) -> Sequence[Change]:
    return difference_between(weigh_text(before), weigh_text(after)).changes


def factor(before: Lines, after: Lines) -> float:
    sides = [
        side_of(weigh_text(one_part(lines)), side, {}, {})
        for lines, side in ((before, "before"), (after, "after"))
    ]
    return batch_factor(pooled(*(held(side.placed) for side in sides)), 1.0)


FIVE = {
    "flour": "300 g",
    "sugar": "200 g",
    "butter": "100 g",
    "whole milk": "80 g",
    "honey": "30 g",
}
SCALED = {
    "one ingredient alone": ({"flour": "100 g"}, {"flour": "200 g"}, 2.0),
    "three of five, exactly": (FIVE, {**FIVE, "flour": "600 g", "sugar": "400 g", "butter": "200 g"}, 2.0),
    "three of five, as a scale shows it": (FIVE, {**FIVE, "flour": "401 g", "sugar": "266 g", "butter": "134 g"}, 4 / 3),
    "three of five by less than any kitchen scales": (FIVE, {**FIVE, "flour": "301.5 g", "sugar": "201 g", "butter": "100.5 g"}, 1.005),
    "two of five": (FIVE, {**FIVE, "flour": "600 g", "sugar": "400 g"}, 1.0),
    "both of two, as a scale shows it": ({"flour": "300 g", "butter": "100 g"}, {"flour": "401 g", "butter": "133 g"}, 4 / 3),
}  # fmt: skip


@pytest.mark.parametrize("name", SCALED)
def test_a_batch_is_scaled_by_what_enough_ingredients_agree_on(name: str) -> None:
    before, after, expected = SCALED[name]
    assert factor(before, after) == pytest.approx(expected, rel=0.001)


# 29/20 is no factor a kitchen speaks of, and with every amount rounded to a gram no line has it: what
# is said to be made has it, or the whole flour, or the whole batch. Behind: pieces before and after.
FACTOR_OF_A_WHOLE = {
    "the pieces": ({"flour": (29, 42), "sugar": (82, 119), "butter": (82, 119), "whole milk": (32, 46)}, (20, 29)),
    "the flour: 100 g -> 145 g": ({"bread flour": (34, 49), "whole wheat flour": (66, 96), "butter": (41, 59), "whole milk": (35, 51)}, None),
    "the batch: 240 g -> 348 g": ({"flour": (51, 74), "sugar": (59, 86), "butter": (76, 110), "whole milk": (54, 78)}, None),
}  # fmt: skip


@pytest.mark.parametrize("name", FACTOR_OF_A_WHOLE)
def test_a_batch_of_rounded_amounts_is_scaled_as_its_whole_says(name: str) -> None:
    lines, pieces = FACTOR_OF_A_WHOLE[name]
    sides = (
        formula_text(
            *(f"{{item: {item}, amount: {grams[at]} g}}" for item, grams in lines.items()),
            extra=f"yield: {{pieces: {pieces[at]}, piece: bun}}\n" if pieces else "",
        )
        for at in (0, 1)
    )
    (scaled,) = (c for c in changes(*sides) if isinstance(c, Scaling))
    assert (scaled.kind, scaled.factor) == ("batch-scaled", pytest.approx(29 / 20))


DOUGH = {"bread flour": "500 g", "water": "300 g", "table salt": "10 g"}
CRUMB = {"bread flour": "100 g", "unsalted butter": "80 g", "sugar": "80 g"}


def test_what_is_moved_counts_by_what_it_weighs_and_a_new_name_counts_nothing() -> None:
    seeds = {"sesame seeds": "to taste"}
    found = changes(
        parts(dough={**DOUGH, "butter": "30 g"}, crumb={**CRUMB, **seeds, "honey": "12 g"}),
        parts(dough={**DOUGH, "unsalted butter": "30 g", **seeds, "honey": "12 g"}, crumb=CRUMB),
    )
    told = {(c.kind, c.subject): c.importance for c in found if isinstance(c, TextChange)}
    assert told["moved", "sesame seeds"] == UNWEIGHED
    assert told["moved", "honey"] == pytest.approx(12 / 500 * 100 / WIDTHS["sugar"])
    assert told["renamed", "unsalted butter"] == 0


def test_a_part_scaled_alone_counts_by_its_move_in_percent_of_the_bases_flour() -> None:
    twice = {item: f"{float(amount[:-2]) * 2:g} g" for item, amount in CRUMB.items()}
    found = changes(parts(dough=DOUGH, crumb=CRUMB), parts(dough=DOUGH, crumb=twice))
    scaled = next(c for c in found if isinstance(c, Scaling) and c.kind == "part-scaled")
    points = (520 - 260) / 500 * 100
    assert scaled.importance == pytest.approx(points / WIDTHS["blend"])


def test_flour_that_moved_is_that_of_its_part() -> None:
    more, less = {**DOUGH, "bread flour": "560 g"}, {**CRUMB, "bread flour": "80 g"}
    for before, after, of in (
        (parts(dough=DOUGH), parts(dough=more), ["the dough's flour"]),
        (parts(dough=DOUGH), parts(dough=more, crumb=CRUMB), ["the dough's flour"]),
        (parts(dough=DOUGH, crumb=CRUMB), parts(dough=more), ["the dough's flour"]),
        (parts(dough=DOUGH, crumb=CRUMB), parts(dough=DOUGH, crumb=less), ["the crumb's flour"]),
    ):
        found = changes(before, after)
        assert [c.of for c in found if isinstance(c, MassChange) and c.kind == "basis"] == of


def test_a_flour_for_another_is_one_shift_of_the_blend() -> None:
    before = {"bread flour": "400 g", "whole wheat flour": "100 g", "water": "300 g"}
    after = {"bread flour": "380 g", "medium rye flour": "120 g", "water": "300 g"}
    found = changes(parts(dough=before), parts(dough=after))
    blend = next(c for c in found if isinstance(c, BlendChange))
    assert [(s.name, round(s.before_percent), round(s.after_percent)) for s in blend.shifts] == [
        ("bread flour", 80, 76),
        ("medium rye flour for whole wheat flour", 20, 24),
    ]


@pytest.mark.parametrize("turned", [False, True])
def test_an_ingredient_of_two_parts_of_one_side_is_told_with_its_part(turned: bool) -> None:
    both = parts(dough={**DOUGH, "sugar": "40 g"}, crumb=CRUMB)
    one = parts(
        dough={**DOUGH, "sugar": "40 g"}, crumb={"bread flour": "100 g", "unsalted butter": "90 g"}
    )
    found = changes(*((one, both) if turned else (both, one)))
    told = {c.subject: c.in_several for c in found if isinstance(c, LineChange)}
    assert told == {"sugar": True, "unsalted butter": False}


def test_a_word_no_catalogue_knows_respelled_is_no_change_of_the_steps() -> None:
    before, after = (
        formula_text(
            "{item: flour, amount: 300 g}",
            f"{{item: {name}, amount: 30 g}}",
            method=f"[{{do: mix, uses: [flour, {name}]}}]",
        )
        for name in ("marsh samphire salt mix", "marsh samphire salt mixes")
    )
    assert [c.kind for c in changes(before, after)] == ["renamed"]


#: Parameters of the reference file under their own name; the others have ours.
CALLED = {
    "baking-powder": "baking powder", "baking-soda": "baking soda", "yeast-instant": "yeast instant",
    "blend": "cornmeal", "sourdough starter": "starter",
}  # fmt: skip
#: As wide as another figure, or common practice, no source.
OWN = {
    "leavening-gas",
    "guar gum",
    "nut",
    "prefermented-flour",
    "spice",
    "flavouring",
    "other",
}


def test_usual_widths_are_medians_of_the_reference_windows() -> None:
    """Bread formulas by type of baking notes (thefoxclick.com) and trade custom, row by row in the file."""
    with WINDOWS.open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["low_pct"] and row["high_pct"]]
    for figure in WIDTHS.keys() - OWN:
        wide = [
            float(row["high_pct"]) - float(row["low_pct"])
            for row in rows
            if row["parameter"] == CALLED.get(figure, figure)
        ]
        assert WIDTHS[figure] == pytest.approx(median(wide)), figure


def test_what_has_no_window_of_its_own_is_as_wide_as_its_like() -> None:
    """Common practice, no source."""
    assert WIDTHS["leavening-gas"] == pytest.approx(0.12 * WIDTHS["baking-powder"])
    assert WIDTHS["guar gum"] == WIDTHS["xanthan gum"]
    rest = [WIDTHS[n] for n in ("spice", "flavouring", "other", "prefermented-flour", "nut")]
    assert rest == [2, 3, 10, 20, 60]


def test_a_line_without_a_mass_that_is_divided_has_no_percentage() -> None:
    found = changes(
        formula_text("{item: flour, amount: 300 g}", "{item: salt, amount: to taste}"),
        formula_text(
            "{item: flour, amount: 300 g}",
            "{item: salt, amount: 3 g}",
            "{item: salt, amount: 2 g, note: on top}",
        ),
    )
    split = next(c for c in found if isinstance(c, LineChange) and c.kind == "split")
    assert (split.before_percent, split.after_percent, split.moved_percent) == (None, None, None)
    assert (split.text_before, split.text_after) == ("to taste", "2 g + 3 g")


@pytest.mark.parametrize(
    ("before", "after", "widths"),
    [(100, 125, 1), (125, 100, 1), (0, 5, 1), (5, 0, 1), (0, 0, 0), (0, -1, 1)],
)
def test_a_move_by_a_factor_counts_alike_both_ways(
    before: float, after: float, widths: float
) -> None:
    assert by_factor(before, after, 1.25) == pytest.approx(widths)


def test_a_state_is_told_with_the_name_that_the_line_had() -> None:
    before, after = (
        formula_text("{item: flour, amount: 300 g}", f"{{item: {line}}}")
        for line in ("butter, amount: 100 g", "unsalted butter, amount: 100 g, state: melted")
    )
    named = {c.kind: c.subject_before for c in changes(before, after) if isinstance(c, TextChange)}
    assert named == {"renamed": "butter", "state": "butter"}
    (state,) = changes(after, after.replace("melted", "softened"))
    assert isinstance(state, TextChange) and state.subject_before == ""


def test_what_moved_with_the_flour_and_what_only_the_cup_moved_weigh_nothing() -> None:
    """Salt stays 2 %; four cups of 125 g for 300 g are told of as flour."""
    before = {"flour": "500 g", "water": "325 g", "table salt": "10 g", "butter": "30 g"}
    after = {**before, "flour": "600 g", "table salt": "12 g"}
    found = {c.kind: c for c in changes(one_part(before), one_part(after))}
    assert (found["mass-only"].subject, found["mass-only"].importance) == ("table salt", 0.0)
    cups = {**before, "flour": "5 cup"}
    told = {c.kind: c for c in changes(one_part(before), one_part(cups))}
    assert (told["re-measured"].subject, told["re-measured"].importance) == ("flour", 0.0)


def test_a_substitute_is_told_with_the_figures_that_it_moves() -> None:
    """One oil is as fat as the other; butter of 60 g in 300 g of flour has 81.11 % of fat (USDA SR27, NDB 01145)."""
    rest = {"flour": "300 g", "sugar": "200 g"}
    for old, fat in (("olive oil", None), ("unsalted butter", 20 * 0.8111)):
        (found,) = (
            c
            for c in changes(
                one_part({**rest, old: "60 g"}), one_part({**rest, "sunflower oil": "60 g"})
            )
            if isinstance(c, LineChange) and c.kind == "substituted"
        )
        moved = {s.name: (s.before_percent, s.after_percent) for s in found.shifts}
        assert moved.get("fat") == (fat and (pytest.approx(fat), pytest.approx(20)))
        assert ("water" in moved) == (fat is not None)


# Masses in g, each with the step of its scale: under twenty steps of 1 g the small one is taken.
READINGS = [((40, 1), (80, 1)), ((20, 1), (25, 1)), ((19.9, 0.1), (25, 1)), ((12, 0.1), (15, 0.1))]


@pytest.mark.parametrize("read", READINGS)
def test_the_spread_of_a_weighed_line_is_that_of_two_readings(
    read: Sequence[tuple[float, float]],
) -> None:
    """Half a step over the root of 3 and a thousandth left behind, each time (JCGM 100:2008, 5.1.2)."""
    before, after = ({"flour": "1000 g", "honey": f"{mass} g"} for mass, _ in read)
    change = next(c for c in changes(one_part(before), one_part(after)) if c.kind == "amount")
    assert isinstance(change, LineChange)
    readings = [(step / 2) ** 2 / 3 + (mass * 0.001) ** 2 for mass, step in read]
    assert change.spread_percent == pytest.approx(sum(readings) ** 0.5 / 1000 * 100)


def test_one_thing_without_a_mass_for_another_is_as_open_as_any() -> None:
    before, after = (
        one_part({"flour": "300 g", name: "to taste"})
        for name in ("sesame seeds", "sunflower seeds")
    )
    (change,) = changes(before, after)
    assert (change.kind, change.importance) == ("substituted", UNWEIGHED)


def test_more_of_a_part_is_its_share_of_it() -> None:
    poolish = "[{item: bread flour, amount: 200 g}, {item: water, amount: 200 g}]"
    before, after = (
        "formula: trial\ntitle: Trial\nclass: bread\nstatus: draft\nparts:\n"
        f"  - {{part: poolish, kind: preferment, ingredients: {poolish}}}\n"
        f"  - {{part: dough, ingredients: [{{item: bread flour, amount: 500 g}}, {{part: poolish, amount: {amount}}}]}}\n"
        "method: []\n"
        for amount in ("100 g", "50 %")
    )
    change = next(c for c in changes(before, after) if c.kind == "part-share")
    assert change.importance == pytest.approx(0.25)


def test_a_part_taken_by_mass_is_as_sure_as_the_scale() -> None:
    """However its oats are measured: two readings of 1 g and a thousandth left behind, as above."""
    oats = "[{item: rolled oats, amount: 3 cup}, {item: water, amount: 300 g}]"
    before, after = (
        "formula: trial\ntitle: Trial\nclass: bread\nstatus: draft\nparts:\n"
        f"  - {{part: soaker, ingredients: {oats}}}\n"
        f"  - {{part: dough, ingredients: [{{item: bread flour, amount: 1000 g}}, {{part: soaker, amount: {grams} g}}]}}\n"
        "method: []\n"
        for grams in (40, 80)
    )
    change = next(c for c in changes(before, after) if c.kind == "amount")
    assert isinstance(change, LineChange) and change.subject == "soaker"
    readings = [0.5**2 / 3 + (mass * 0.001) ** 2 for mass in (40, 80)]
    assert change.spread_percent == pytest.approx(sum(readings) ** 0.5 / 1000 * 100)


def test_a_flour_followed_by_a_new_name_tells_the_old_one() -> None:
    before = {"flour": "300 g", "butter": "100 g", "sugar": "50 g"}
    after = {"flour": "400 g", "unsalted butter": "100 g", "sugar": "50 g"}
    followed = {
        c.subject: c.subject_before
        for c in changes(one_part(before), one_part(after))
        if isinstance(c, LineChange) and c.kind == "follows-basis"
    }
    assert followed == {"unsalted butter": "butter", "sugar": ""}


SPONGE = {"bread flour": "100 g", "water": "100 g", "instant yeast": "0.1 g"}


def fed(name: str, kind: str, water: str, butter: str) -> str:
    """A dough with a preferment, under its name."""
    dough = ", ".join(f"{{item: {n}, amount: {a}}}" for n, a in DOUGH.items())
    sponge = ", ".join(f"{{item: {n}, amount: {a}}}" for n, a in {**SPONGE, "water": water}.items())
    return (
        "formula: trial\ntitle: Trial\nclass: bread\nstatus: draft\nparts:\n"
        f"  - {{part: {name}, kind: {kind}, ingredients: [{sponge}]}}\n"
        f"  - {{part: dough, ingredients: [{dough}, {{item: {butter}}}, {{part: {name}, amount: all}}]}}\n"
        "method: []\n"
    )


def test_what_has_another_name_is_told_with_the_one_it_had() -> None:
    twice = {item: f"{float(amount[:-2]) * 2:g} g" for item, amount in CRUMB.items()}
    scaled = changes(parts(dough=DOUGH, crumb=CRUMB), parts(dough=DOUGH, streusel=twice))
    found = changes(
        fed("poolish", "preferment", "100 g", "butter, amount: 20 g"),
        fed("sponge", "starter", "80 g", "unsalted butter, amount: 40 g"),
    )
    told = {(c.kind, c.subject): getattr(c, "subject_before", "") for c in (*scaled, *found)}
    assert {key: told.get(key) for key in TOLD_WITH} == TOLD_WITH
    kept = changes(parts(dough=DOUGH, crumb=CRUMB), parts(dough=DOUGH, crumb=twice))
    assert {c.subject_before for c in kept if isinstance(c, Scaling)} == {""}


TOLD_WITH = {
    ("part-scaled", "streusel"): "crumb",
    ("part-renamed", "streusel"): "crumb",
    ("part-renamed", "sponge"): "poolish",
    ("part-kind", "sponge"): "poolish",
    ("preferment", "sponge"): "poolish",
    ("amount", "unsalted butter"): "butter",
}


def test_flour_of_a_part_is_told_with_the_name_that_the_part_had() -> None:
    less = {**CRUMB, "bread flour": "60 g"}
    for name, before in (("streusel", "crumb"), ("crumb", "")):
        found = changes(parts(dough=DOUGH, crumb=CRUMB), parts(dough=DOUGH, **{name: less}))
        (basis,) = (c for c in found if isinstance(c, MassChange) and c.kind == "basis" and c.part)
        assert (basis.part, basis.part_before) == (name, before)


@pytest.mark.parametrize(("flours", "told"), [(1, 0), (2, 1)])
def test_two_flours_are_a_blend_and_one_is_none(flours: int, told: int) -> None:
    before = {"bread flour": "400 g", "medium rye flour": "100 g"}
    after = {"bread flour": "350 g", "medium rye flour": "150 g"}
    sides = [dict(list(side.items())[:flours]) for side in (before, after)]
    assert sum(isinstance(c, BlendChange) for c in changes(*map(one_part, sides))) == told
