"""Portions in `uses`: how they are read, what counts in a revision, and what lint says of them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.diff.method_changes import method_changes, step_text
from perflour.formula.digests import digest
from perflour.formula.formula import canonical_use
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.lint.check import check_content
from tests.conftest import ROOT, formula_text, weigh_text

KITCHEN: Kitchen = kitchen_for(str(ROOT / "tests" / "rules" / "formula.yaml"))
TWO_PARTS = """\
formula: trial
title: Trial
class: loaf-cake
status: draft
parts:
  - part: topping
    ingredients:
      - {item: all-purpose flour, amount: 100 g}
      - {item: butter, amount: 60 g}
  - part: batter
    ingredients:
      - {item: all-purpose flour, amount: 300 g}
      - {item: whole milk, amount: 200 g}
method:
"""


def steps(*uses: str) -> str:
    """A method of one step for each list of `uses`, with `VERB: ` before it if it is no `mix`."""
    lines = []
    for text in uses:
        verb, colon, names = text.rpartition(": ")
        lines.append(f"  - {{do: {verb if colon else 'mix'}, uses: [{names}]}}\n")
    return "\n" + "".join(lines)


def told(text: str, rule: str) -> list[str]:
    """What one rule says of a formula's text."""
    return [
        r.message for r in check_content(text.encode(), "formula.yaml", KITCHEN) if r.rule == rule
    ]


def sums(line: str, *uses: str) -> list[str]:
    """What is said of the portions of a formula with one ingredient line."""
    return told(formula_text(line, method=steps(*uses)), "portions-do-not-add-up")


# What is written in `uses`, the name that rules see, and the portion in one spelling.
NOTATION = [
    ("60 g of granulated sugar", "granulated sugar", "60 g of granulated sugar"),
    ("60 g of the granulated sugar", "granulated sugar", "60 g of granulated sugar"),
    ("1/4 cup of milk", "milk", "1/4 cup of milk"),
    ("¼ cup of milk", "milk", "1/4 cup of milk"),
    ("0.25 cups of Milk", "Milk", "1/4 cup of milk"),
    ("3/4 cup plus 2 tbsp of milk", "milk", "3/4 cup + 2 tbsp of milk"),
    ("4-5 cup of flour", "flour", "4-5 cup of flour"),
    ("2 of egg", "egg", "2 each of egg"),
    ("2 large of egg", "egg", "2 large of egg"),
    ("1/3 of butter", "butter", "1/3 of butter"),
    ("½ of butter", "butter", "1/2 of butter"),
    (".5 of butter", "butter", "1/2 of butter"),
    ("40 % of butter", "butter", "2/5 of butter"),
    ("40% of the butter", "butter", "2/5 of butter"),
    ("1 1/2 of egg", "egg", "3/2 each of egg"),
    ("2 tsp of cream of tartar", "cream of tartar", "2 tsp of cream of tartar"),
    ("1 can of peaches", "peaches", "1 can of peaches"),
    ("rest of milk", "milk", "milk"),
    ("half of the milk", "milk", "milk"),
    # no portions: names as they are
    ("cream of tartar", "cream of tartar", "cream of tartar"),
    ("1% milk", "1% milk", "1% milk"),
    ("00 flour", "00 flour", "00 flour"),
    ("5 spice of the house", "5 spice of the house", "5 spice of the house"),
    ("60 gg of sugar", "60 gg of sugar", "60 gg of sugar"),
    ("0 g of sugar", "0 g of sugar", "0 g of sugar"),
    ("140 % of butter", "140 % of butter", "140 % of butter"),
]


@pytest.mark.parametrize(("said", "name", "counted"), NOTATION)
def test_a_portion_is_told_from_the_name(said: str, name: str, counted: str) -> None:
    text = formula_text("{item: salt, amount: 3 g}", method=steps(f'"{said}"'))
    use = weigh_text(text).formula.method[0].uses[0]
    assert (use.name, use.said, canonical_use(use)) == (name, said, counted)


@pytest.mark.parametrize("name", ["12 g of saffron", "1/2 of a pear", "Half of a pear"])
def test_a_listed_name_is_not_cut(name: str) -> None:
    text = formula_text(f"{{item: {name.lower()}, amount: 3 g}}", method=steps(name))
    assert weigh_text(text).formula.method[0].uses[0].name == name
    assert told(text, "used-never-listed") == []


def revision(*uses: str) -> str:
    text = formula_text("{item: milk, amount: 1 cup}", method=steps(*uses))
    return digest(weigh_text(text).formula)


def test_only_portions_in_figures_count_in_a_revision() -> None:
    plain = revision("milk")
    assert revision("half of milk") == revision("rest of the milk") == plain
    portions = ["1/4 cup of milk", "1/2 cup of milk", "60 g of milk", "1/4 of milk", "1 of milk"]
    assert len({plain, *map(revision, portions)}) == len(portions) + 1
    assert revision("1/4 cup of milk") == revision("0.25 cups of the Milk")


def test_a_listed_name_is_not_cut_in_a_revision_either() -> None:
    """Half of a pear and a pear are two things on one list."""
    lines = ("{item: half of a pear, amount: 80 g}", "{item: a pear, amount: 160 g}")
    half, whole = (
        formula_text(*lines, method=steps(name)) for name in ("half of a pear", "a pear")
    )
    assert digest(weigh_text(half).formula) != digest(weigh_text(whole).formula)


def test_a_difference_shows_a_changed_portion() -> None:
    before, after = (
        weigh_text(formula_text("{item: milk, amount: 1 cup}", method=steps(f"{n} cup of milk")))
        for n in ("1/4", "1/2")
    )
    (change,) = method_changes(before.formula, after.formula)
    shown = (change.subject, change.text_before, change.text_after)
    assert shown == ("mix: uses", "1/4 cup of milk", "1/2 cup of milk")
    assert step_text(after.formula.method[0]) == "mix 1/2 cup of milk"


SUGAR = "{item: granulated sugar, amount: 300 g}"
MILK = "{item: whole milk, amount: 1 cup}"

# Each with the line, the uses step by step, and what is said.
OFF = [
    ("masses over", SUGAR, ("200 g of granulated sugar", "120 g of granulated sugar"),
     "with '120 g of granulated sugar' the portions of granulated sugar come to 320 g, but all of it is 300 g; take less or list more"),
    ("masses left", SUGAR, ("200 g of granulated sugar", "40 g of granulated sugar"),
     "the steps take 240 g of the 300 g of granulated sugar listed, and none takes the other 60 g; write `rest of granulated sugar` where it goes, or list less"),
    ("rest of nothing", SUGAR, ("200 g of granulated sugar", "100 g of granulated sugar", "rest of granulated sugar"),
     "'rest of granulated sugar', but the portions before it take all 300 g of it; mend the portions or leave this out"),
    ("halves", SUGAR, ("half of granulated sugar", "1/2 of granulated sugar", "remaining granulated sugar"),
     "'remaining granulated sugar', but the portions before it take all 300 g of it; mend the portions or leave this out"),
    ("a half alone", SUGAR, ("half of granulated sugar",),
     "the steps take 150 g of the 300 g of granulated sugar listed, and none takes the other 150 g; write `rest of granulated sugar` where it goes, or list less"),
    ("shares over", SUGAR, ("1/2 of granulated sugar", "60 % of granulated sugar"),
     "with '60 % of granulated sugar' the portions of granulated sugar come to 330 g, but all of it is 300 g; take less or list more"),
    ("another name", SUGAR, ("200 g of white sugar", "120 g of sugar"),
     "with '120 g of sugar' the portions of sugar come to 320 g, but all of it is 300 g; take less or list more"),
    ("volumes", MILK, ("1/2 cup of whole milk", "9 tbsp of whole milk"),
     "with '9 tbsp of whole milk' the portions of whole milk come to 1.06 cup, but all of it is 1 cup; take less or list more"),
    ("pieces", "{item: egg, amount: 3 large}", ("2 of egg", "2 of egg"),
     "with '2 of egg' the portions of egg come to 4 large, but all of it is 3 large; take less or list more"),
    # a cup of whole milk weighs 244 g: USDA SR28, NDB 01077
    ("weighed", MILK, ("150 g of whole milk", "150 g of whole milk"),
     "with '150 g of whole milk' the portions of whole milk come to about 300 g, but all of it is about 244 g; take less or list more"),
    ("no mass", "{item: chocolate sprinkles, amount: 1 handful}", ("1/2 of chocolate sprinkles", "2/3 of chocolate sprinkles"),
     "with '2/3 of chocolate sprinkles' the portions of chocolate sprinkles come to 117 %, but all of it is 100 %; take less or list more"),
    ("a part", SUGAR, ("granulated sugar", "deposit: 2/3 of batter", "deposit: 1/2 of batter"),
     "with '1/2 of batter' the portions of batter come to 117 %, but all of it is 100 %; take less or list more"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "uses", "message"), [c[1:] for c in OFF], ids=[c[0] for c in OFF])
def test_portions_that_do_not_add_up(line: str, uses: tuple[str, ...], message: str) -> None:
    assert sums(line, *uses) == [message]


FINE = [
    ("they add up", SUGAR, ("200 g of granulated sugar", "100 g of granulated sugar")),
    ("thirds in per cent", SUGAR, ("33 % of sugar", "33 % of sugar", "33 % of sugar")),
    ("scale rounding", SUGAR, ("198 g of sugar", "99 g of sugar")),
    ("a rest", SUGAR, ("200 g of sugar", "rest of sugar")),
    ("some of it", SUGAR, ("200 g of sugar", "some of sugar")),
    ("a plain name after", SUGAR, ("200 g of sugar", "sugar")),
    ("the same mixture again", SUGAR, ("sugar", "200 g of sugar", "sugar")),
    ("halves of the rest", SUGAR, ("1/2 of sugar", "whisk: rest of sugar", "half of sugar", "rest of sugar")),
    ("kept back, then used", SUGAR, ("keep back: 200 g of sugar", "100 g of sugar", "200 g of sugar")),
    ("sifted, then folded in", SUGAR, ("sift: 1/2 of sugar", "1/2 of sugar", "rest of sugar")),
    ("yolks and whites", SUGAR, ("whisk: 1/2 of sugar", "whisk: 1/2 of sugar")),
    ("inside the spread", "{item: all-purpose flour, amount: 250 g}", ("1 cup of flour", "1 cup of flour")),
    ("a piece of it", "{item: fresh ginger, amount: 30 g}", ("2 cm of fresh ginger",)),
    ("unreadable", "{item: fresh ginger, amount: 30 gg}", ("2 tsp of fresh ginger", "3 tsp of fresh ginger")),
    ("a range", "{item: flour, amount: 3-4 cup}", ("3 cup of flour", "1/2 cup of flour")),
    ("a whole part", SUGAR, ("batter", "dust: 20 g of sugar")),
    ("what is left of a part", SUGAR, ("sugar", "deposit: 2/3 of batter")),
]  # fmt: skip


@pytest.mark.parametrize(("line", "uses"), [c[1:] for c in FINE], ids=[c[0] for c in FINE])
def test_nothing_is_said_where_they_may_add_up(line: str, uses: tuple[str, ...]) -> None:
    assert sums(line, *uses) == []


@pytest.mark.parametrize(
    ("uses", "said"),
    [
        (("1/2 of flour", "1/2 of flour", "1/2 of flour", "1/2 of flour"), 0),
        (("1/2 of flour", "1/2 of flour", "rest of flour"), 0),
        (("60 g of flour", "40 g of flour", "2/3 of flour", "1/3 of flour"), 0),
        (("250 g of flour", "200 g of flour"), 1),
        (("100 g of flour", "200 g of flour"), 1),
        (("topping", "200 g of flour"), 0),
    ],
)
def test_a_share_may_mean_any_line_of_a_name(uses: tuple[str, ...], said: int) -> None:
    method = steps(*uses, "rest of milk", "butter").removeprefix("\n")
    assert len(told(TWO_PARTS + method, "portions-do-not-add-up")) == said


def test_a_part_that_was_made_is_not_taken_from_the_list() -> None:
    made = "  - {do: mix, uses: [100 g of flour, butter, milk], makes: batter}\n"
    method = made + "  - {do: spread, uses: [batter]}\n"
    assert len(told(TWO_PARTS + method, "portions-do-not-add-up")) == 1


# WATCH Best Practice Menu and Recipes (about 2021), baking powder biscuits: 1 lb 15 oz of flour, 2 cups
# (about 9 oz) of it kept back. USDA PA-1371 (1988), banana bread: 5 lb 10 oz of batter is three loaf pans
# of 1 lb 14 oz. NIST Handbook 44, Appendix C: 1 cup = 16 tbsp = 48 tsp; 1 gallon = 4 quarts = 16 cups.
@pytest.mark.parametrize(
    ("listed", "portions"),
    [
        ("1 lb 15 oz", ("9 oz", "1 lb 6 oz")),
        ("5 lb 10 oz", ("1 lb 14 oz", "1 lb 14 oz", "1 lb 14 oz")),
        ("1 cup", ("8 tbsp", "24 tsp")),
        ("1 gallon", ("3 quart", "4 cup")),
    ],
)
def test_published_portions_add_up(listed: str, portions: tuple[str, ...]) -> None:
    line = f"{{item: whole wheat flour, amount: {listed}}}"
    uses = [f"{portion} of whole wheat flour" for portion in portions]
    assert sums(line, *uses) == []
    assert "and none takes the other" in sums(line, *uses[1:])[0]
    assert "take less or list more" in sums(line, *uses, uses[0])[0]
    assert "mend the portions" in sums(line, *uses, "rest of whole wheat flour")[0]


def test_a_published_recipe_that_keeps_flour_back() -> None:
    """The biscuits above with the printed figures instead of words; 2 cups of 9 oz are 128 g a cup."""
    path = ROOT / "tests/published/weight/cacfp-baking-powder-biscuits/formula.yaml"
    text = path.read_text(encoding="utf-8")
    for kept in ("9 oz", "2 cup"):
        printed = text.replace("part of whole", f"{kept} of whole")
        assert printed != text
        for mixed in ("rest of whole", "1 lb 6 oz of whole"):
            exact = printed.replace("rest of whole", mixed)
            assert told(exact, "portions-do-not-add-up") == []
    doubled = printed.replace("rest of whole", "1 lb 15 oz of whole")
    assert len(told(doubled, "portions-do-not-add-up")) == 1


@given(st.lists(st.integers(1, 30), min_size=2, max_size=6), st.integers(0, 5))
def test_any_split_adds_up_and_one_more_portion_does_not(pieces: list[int], again: int) -> None:
    whole = sum(pieces)
    line = f"{{item: whole milk, amount: {whole} g}}"
    shares = [f"{Fraction(piece, whole)} of whole milk" for piece in pieces]
    masses = [f"{piece} g of whole milk" for piece in pieces]
    for uses in (shares, masses):
        assert sums(line, *uses) == []
        more = uses[again % len(uses)]
        if pieces[again % len(uses)] / whole > 0.02:
            assert "take less" in sums(line, *uses, more)[0]


DIVIDED = "{item: demerara sugar, amount: 150 g, note: divided}"


@pytest.mark.parametrize(
    ("line", "uses", "said"),
    [
        (DIVIDED, ("demerara sugar",), 1),
        (DIVIDED.replace("note", "state"), ("120 g of demerara sugar",), 1),
        (DIVIDED, ("120 g of demerara sugar", "30 g of demerara sugar"), 0),
        (DIVIDED, ("demerara sugar", "sprinkle: rest of demerara sugar"), 0),
        (DIVIDED, (), 0),
        (DIVIDED, ("batter", "dust: rest of demerara sugar"), 0),
        (DIVIDED, ("beat in thirds: demerara sugar",), 0),
        (DIVIDED, ("demerara sugar", "dust with sugar: water"), 0),
        (DIVIDED.replace("note: divided", "note: not divided"), ("demerara sugar",), 0),
        (DIVIDED.replace("divided", "divided into 8 heaps"), ("demerara sugar",), 0),
        (DIVIDED.replace(", note: divided", ""), ("1/2 of demerara sugar", "rest of it"), 0),
    ],
)
def test_divided_means_two_steps(line: str, uses: tuple[str, ...], said: int) -> None:
    method = steps(*uses) if uses else "[]"
    messages = told(formula_text(line, method=method), "divided-used-once")
    assert len(messages) == said
    assert all("is marked 'divided', but only the step 'mix' uses it" in m for m in messages)
