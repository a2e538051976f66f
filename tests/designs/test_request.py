"""Words to factors, holds and goals of a trial."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from perflour.designs.request import factors_from, goals_from, holds_from
from perflour.records.trial import Goal, Hold, TrialFactor
from perflour.result import CannotRun
from tests.conftest import weigh_text

TEXT = """\
formula: crumb-cake
title: Crumb cake
class: crumb-cake
status: testing
parts:
  - part: batter
    kind: batter
    ingredients:
      - {item: pastry flour, amount: 300 g}
      - {item: spelt flour, amount: 100 g}
      - {item: granulated sugar, amount: 200 g}
      - {item: honey, amount: 40 g}
      - {item: unsalted butter, amount: 150 g}
      - {item: egg, amount: 3 large}
      - {item: moonflower dust, amount: 2 spoonfuls}
  - part: crumb topping
    kind: topping
    ingredients:
      - {item: all-purpose flour, amount: 100 g}
      - {item: unsalted butter, amount: 80 g}
      - {item: cinnamon, amount: 2 g}
method:
  - {do: mix, uses: [batter], for: 3 min}
  - {do: chill, at: 4 °C, for: 30 min}
  - {do: preheat, to: 350 °F}
  - {do: top, uses: [crumb topping]}
  - {do: bake, at: 350 °F (175 °C), for: 20-25 min}
  - {do: chill}
  - {do: bake, at: 160 °C, for: 10 min, core: 96 °C}
"""
BALANCE = weigh_text(TEXT)


def seen(factor: TrialFactor) -> tuple[object, ...]:
    """What of a factor is filled in."""
    moved = (factor.ingredient, factor.part, factor.ratio, factor.step, factor.field, factor.along, factor.gives_way)  # fmt: skip
    return (factor.low, factor.high, factor.unit, *filter(None, moved))


READ: list[tuple[str, tuple[object, ...]]] = [
    ("granulated sugar=40..60", (40, 60, "%", "granulated sugar")),
    ("granulated  sugar = 40 % .. 60 %", (40, 60, "%", "granulated sugar")),
    ("granulated sugar=60..40 % of the flour", (40, 60, "%", "granulated sugar")),
    ("sugar=50..70", (50, 70, "%", "sugar")),
    ("egg=30..45 %", (30, 45, "%", "egg")),
    ("unsalted butter in crumb topping=60..90 %", (60, 90, "%", "unsalted butter", "crumb topping")),
    ("cinnamon=1..3", (1, 3, "%", "cinnamon")),
    ("spelt flour in batter=10..40", (10, 40, "%", "spelt flour", "batter", "pastry flour")),
    ("spelt flour=10..40 % of flour", (10, 40, "%", "spelt flour", "pastry flour")),
    ("mix for=90 s..4 min", (1.5, 4, "min", 1, "for")),
    ("chill for=30 min..2 h", (30, 120, "min", 2, "for")),
    ("bake 1 at=165..180 °C", (165, 180, "°C", 5, "at", (3,))),
    ("bake 1 at=325 °F..350 °F", (163, 177, "°C", 5, "at", (3,))),
    ("bake 2 at=150..170 °C", (150, 170, "°C", 7, "at")),
    ("bake core=92..98 °C", (92, 98, "°C", 7, "core")),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), READ, ids=[r[0] for r in READ])
def test_words_name_what_moves(text: str, expected: tuple[object, ...]) -> None:
    (factor,) = factors_from([text], BALANCE)
    assert seen(factor) == expected


REFUSED: list[tuple[list[str], str]] = [
    ([], "a trial varies one to five things, not 0; name each with vary"),
    (["egg"], "'egg' is not NAME=LOW..HIGH; write it like 'unsalted butter=50..62 %' or 'chill for=2 h..24 h'"),
    (["hony=5..10"], "'hony' is no ingredient, ratio or step setting of crumb-cake; did you mean 'honey'?"),
    (["butter in batter=5..10"], "'butter in batter' is no ingredient, ratio or step setting of crumb-cake; name one as the formula does"),
    (["sugars=5..10"], "did you mean 'sugar'?"),
    (["spelt=5..10"], "did you mean 'spelt flour'?"),
    (["xyz=5..10"], "name one as the formula does, like 'unsalted butter', 'sugar' or 'bake at'"),
    (["salt=1..2"], "there is no salt in this formula that could be moved; name what it has"),
    (["honey=10..10"], "honey runs from 10 % to the same; give two different ends"),
    (["honey=0..10"], "'honey=0..10': nothing is left of honey at 0; begin a little above, or plan a formula without it by itself"),
    (["honey=20 g..40 g"], "'honey=20 g..40 g': honey is varied in percent of the flour; write both ends like 50..62 %"),
    (["mix for=2..4"], "'mix for=2..4': mix for is varied in time; write both ends with their unit, like 2 h..24 h"),
    (["mix for=170..180 °C"], "mix for is varied in time"),
    (["bake 1 at=20..30 min"], "bake 1 at is varied in degrees; write both ends like 165..180 °C"),
    (["bake at=165..180 °C"], "'bake at': 2 steps say so; say which, like 'bake 2 at'"),
    (["bake 3 at=165..180 °C"], "'bake 3 at': the method has 2 steps called bake; count them from 1"),
    (["proof for=1 h..2 h"], "'proof for': no step of the method is called proof; name one as the method does"),
    (["mix at=20..30 °C"], "'mix at': that step says no `at`; write one into the formula, or vary another"),
    (["chill 2 for=1 h..2 h"], "step 6 (chill) has no `for` that can be read; write one, or name another step"),
    (["unsalted butter=30..40"], "'unsalted butter' stands in several parts; say which, like 'unsalted butter in batter'"),
    (["honey in crumb topping=1..2"], "'honey' does not stand in crumb topping; name the part that lists it"),
    (["honey=5..10", "sugar=50..60"], "'honey' and 'sugar' both move honey; vary one of the two"),
    (["bake 1 at=165..180 °C", "preheat to=165..180 °C"], "'bake 1 at' and 'preheat to' both move one setting; vary one of the two"),
    (["spelt flour=10..20", "pastry flour=70..90"], "all flours are varied, and none is left to give way: together they are 100 %; leave one out"),
    (["all-purpose flour in crumb topping=80..120"], "all-purpose flour is the 100 % of crumb topping, which stands beside the base; vary what goes with it there"),
    (["moonflower dust=1..2"], "'moonflower dust' has no mass in this formula; run lint to see why"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "told"), REFUSED, ids=[str(r[0]) for r in REFUSED])
def test_what_cannot_be_varied_is_refused(words: list[str], told: str) -> None:
    with pytest.raises(CannotRun) as problem:
        factors_from(words, BALANCE)
    assert told in str(problem.value)
    assert "\n" not in str(problem.value)


def test_the_flour_that_gives_way_is_named_or_the_heaviest() -> None:
    three = weigh_text(TEXT.replace("- {item: spelt", "- {item: whole wheat flour, amount: 50 g}\n      - {item: spelt"))  # fmt: skip
    assert factors_from(["spelt flour=10..30"], three)[0].gives_way == "pastry flour"
    named = factors_from(["spelt flour=10..15", "honey=5..9"], three, "whole wheat flour")
    assert [factor.gives_way for factor in named] == ["whole wheat flour", ""]
    for vary, giving, told in (
        ("honey=5..10", "spelt flour", "no flour is varied, so nothing gives way for one; leave gives way out"),
        ("spelt flour=10..20", "honey", "'honey' is no flour of the formula that stays free to give way; name one that is not varied"),
        ("spelt flour=10..20", "spelt flour", "'spelt flour' is no flour of the formula that stays free"),
    ):  # fmt: skip
        with pytest.raises(CannotRun) as problem:
            factors_from([vary], three, giving)
        assert told in str(problem.value)


def test_holds_are_what_can_be_kept_exactly() -> None:
    factors = factors_from(["honey=5..15"], BALANCE)
    assert holds_from(["batch", "total sugar=granulated sugar"], BALANCE, factors) == (
        Hold("batch"),
        Hold("total-sugar", "granulated sugar"),
    )
    for words, told in (
        (["crumb"], "'crumb' cannot be held; hold batch, or total water, total sugar or total fat, or vary fewer things"),
        (["total sugar"], "say what gives way so that total sugar stays, like 'total sugar=granulated sugar'"),
        (["batch=egg"], "the batch is held by all ingredients together; write batch alone"),
        (["total sugar=honey"], "'honey' is varied and cannot give way for total sugar; name another ingredient"),
        (["total sugar=cinnamon"], "'cinnamon' is no ingredient of the base, so it cannot give way for total sugar; name one that is"),
        (["total water=spelt flour"], "spelt flour is part of the 100 % and cannot give way for total water; name another ingredient"),
        (["total water=egg", "total fat=unsalted butter in batter"], "'unsalted butter in batter' is no ingredient of the base"),
        (["total water=egg", "total sugar=granulated sugar"], "one total can be held beside the batch: two that give way would pull at each other; hold one"),
    ):  # fmt: skip
        with pytest.raises(CannotRun) as problem:
            holds_from(words, BALANCE, factors)
        assert told in str(problem.value)


GOALS: list[tuple[str, Goal | str]] = [
    ("chew=most", Goal("chew", "most")),
    ("off flavour=least weight 0.5", Goal("off flavour", "least", weight=0.5)),
    ("spread=80..90", Goal("spread", "within", None, 80, 90)),
    ("Height = target 65.5 weight 2", Goal("height", "target", 65.5, weight=2)),
    ("chew=lots", "'chew=lots' is no goal; write it like chew=most, spread=80..90 or 'height=target 65 weight 2'"),
    ("chew", "'chew' is no goal"),
    ("spread=90..80", "'spread=90..80' ends before it begins; write the lower end first"),
    ("chew=most weight 0", "'chew=most weight 0': a weight is above 0 and at most 100; write one like 2"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), GOALS, ids=[g[0] for g in GOALS])
def test_goals_are_read_or_refused(text: str, expected: Goal | str) -> None:
    read: Callable[[list[str]], tuple[Goal, ...]] = goals_from
    if isinstance(expected, Goal):
        assert read([text]) == (expected,)
        return
    with pytest.raises(CannotRun) as problem:
        read([text])
    assert expected in str(problem.value)


def test_an_attribute_has_one_goal() -> None:
    with pytest.raises(CannotRun, match="chew has two goals; keep one"):
        goals_from(["chew=most", "chew=least"])
