"""How many things differ: the pairs of versions that a head baker judged, and cases of our own."""

from __future__ import annotations

import re

import pytest

from perflour.balance.files import weigh_file
from perflour.diff.difference import added_or_removed, difference_between
from perflour.diff.kinds import KINDS
from perflour.evidence.thing import Thing
from perflour.evidence.things import SORTS, things
from perflour.kitchen.house import kitchen_for
from tests.conftest import ROOT, git, weigh_text
from tests.diff.test_scenarios import SCENARIOS, TOLD

#: By pair of tests/diff/scenarios the sorts of things in it, by its words of a head baker (``expected.txt``).
IN_SCENARIOS = {
    "01-one-up": "amount",
    "03-flour-up-only": "amount",
    "05-batch-doubled": "",
    "07-doubled-plus-one-change": "amount",
    "09-x1-3-in-cups-and-spoons": "amount",  # the vanilla: its spoon was not divided
    "11-batter-halved-topping-kept": "amount",
    "13-unit-same-volume": "",
    "15-unit-outside-the-spread": "amount",
    "17-spoons-table-to-kosher": "exchange",
    "19-sugar-split": "exchange",
    "21-butter-to-oil-corrected": "exchange amount",
    "23-flour-partly-replaced": "exchange",
    "25-ap-to-gf-blend-basis-forgotten": "exchange added",
    "27-powder-to-soda-buttermilk": "exchange",
    "29-instant-to-fresh-yeast": "exchange",
    "31-preferment-introduced": "preferment",
    "33-poolish-share-total-constant": "preferment",
    "35-part-renamed": "",
    "37-moved-from-part-to-part": "moved",
    "39-line-divided-in-one-part": "setting",  # the sugar goes in twice
    "41-topping-added": "part",
    "43-ingredient-order": "",
    "45-step-split": "order",
    "47-step-reordered": "order",
    "49-oven-changed": "setting",
    "51-time-in-another-unit": "",
    "53-pan-and-speed-changed": "setting setting",
    "55-pieces-only": "",
    "57-salt-forgotten": "removed",
    "59-can-not-drained": "amount",
    "61-comment-only": "",
    "63-key-order": "",
    "65-waiver": "",
    "67-basis-changed": "",
    "69-unknown-mass-added": "added",
    "71-salt-to-taste": "amount",
    "73-three-edits-of-different-weight": "amount amount amount",
    "75-egg-up-milk-down": "amount amount",
}


def sides(before: str, after: str) -> tuple[Thing, ...]:
    return things(difference_between(weigh_text(before), weigh_text(after)))


@pytest.mark.parametrize("pair", sorted(TOLD))
def test_pairs_that_a_head_baker_judged(pair: str) -> None:
    texts = [(SCENARIOS / pair / f"{s}.yaml").read_text(encoding="utf-8") for s in ("before", "after")]  # fmt: skip
    assert " ".join(thing.sort for thing in sides(*texts)) == IN_SCENARIOS[pair]
    assert len(sides(*reversed(texts))) == len(IN_SCENARIOS[pair].split())


CAKE = """\
formula: quay-cake
title: Quay cake
class: loaf-cake
status: testing
yield: {pieces: 1, piece: cake, scaling-weight: 1100 g}
parts:
  - part: batter
    kind: batter
    ingredients:
      - {item: all-purpose flour, amount: 300 g}
      - {item: granulated sugar, amount: 200 g}
      - {item: butter, amount: 150 g, state: softened}
      - {item: egg, amount: 150 g}
      - {item: whole milk, amount: 200 g}
      - {item: baking powder, amount: 9 g}
      - {item: salt, amount: 3 g}
  - part: crumb
    kind: topping
    ingredients:
      - {item: all-purpose flour, amount: 50 g}
      - {item: butter, amount: 30 g}
method:
  - {do: preheat, to: 180 °C}
  - {do: cream, uses: [butter, 150 g of granulated sugar], for: 4 min, until: pale}
  - {do: beat in, uses: [egg, rest of granulated sugar]}
  - {do: fold, uses: [all-purpose flour, baking powder, salt, whole milk]}
  - {do: rest, for: 20 min}
  - {do: bake, at: 180 °C, for: 50 min, until: golden}
"""
SUGAR = ("granulated sugar, amount: 200 g", "granulated sugar, amount: 240 g")
HONEY = ("{item: granulated sugar, amount: 200 g}", "{item: honey, amount: 180 g}")
HONEY_IN_STEPS = (
    ("150 g of granulated sugar", "150 g of honey"),
    ("rest of granulated sugar", "rest of honey"),
)
DOUBLED = tuple((f"amount: {g} g", f"amount: {2 * g} g") for g in (300, 200, 150, 9, 3, 50, 30))
DOUBLED_STEPS = (*DOUBLED, ("pieces: 1", "pieces: 2"), ("150 g of gran", "300 g of gran"))
CASES: dict[str, tuple[tuple[tuple[str, str], ...], str]] = {
    "nothing": ((), ""),
    "sugar only": ((SUGAR,), "amount granulated sugar"),
    "sugar and its portion": ((SUGAR, ("150 g of", "180 g of")), "amount granulated sugar"),
    "sugar and another share of it creamed": (
        (SUGAR, ("150 g of", "100 g of")),
        "amount granulated sugar, setting granulated sugar uses",
    ),
    "sugar for honey": ((HONEY, *HONEY_IN_STEPS), "exchange honey for granulated sugar"),
    "butter and its state": (
        (("butter, amount: 150 g, state: softened", "butter, amount: 120 g, state: melted"),),
        "amount butter, state butter",
    ),
    "butter melted, with the step that melts it": (
        (("state: softened", "state: melted"), ("  - {do: cream", "  - {do: melt, uses: [butter]}\n  - {do: cream")),
        "state butter",
    ),
    "oven, heated and baked": (
        (("to: 180 °C", "to: 170 °C"), ("at: 180 °C", "at: 170 °C")),
        "setting bake oven",
    ),
    "oven and time": (
        (("at: 180 °C", "at: 170 °C"), ("for: 50 min", "for: 60 min")),
        "setting bake oven, setting bake for",
    ),
    "scaled": (DOUBLED_STEPS, ""),
    "scaled and sugar": (
        (*DOUBLED_STEPS, ("granulated sugar, amount: 400 g", "granulated sugar, amount: 300 g"), ("300 g of gran", "225 g of gran")),
        "amount granulated sugar",
    ),
    "re-measured from grams to spoons": ((("salt, amount: 3 g", "salt, amount: 1/2 tsp"),), ""),
    "yield only": ((("pieces: 1, piece: cake, scaling-weight: 1100 g", "pieces: 2, piece: cake, scaling-weight: 550 g"),), ""),
    "two steps reordered": (
        (("  - {do: rest, for: 20 min}\n", ""), ("  - {do: fold", "  - {do: rest, for: 20 min}\n  - {do: fold")),
        "order rest for 20 min",
    ),
    "a topping's amount": (
        (("flour, amount: 50 g", "flour, amount: 75 g"), ("butter, amount: 30 g", "butter, amount: 45 g")),
        "amount crumb part",
    ),
    "raisins, with the steps that take them": (
        (
            ("      - {item: salt", "      - {item: raisins, amount: 90 g}\n      - {item: salt"),
            ("salt, whole milk]", "salt, whole milk, raisins]"),
            ("  - {do: rest", "  - {do: soak, uses: [raisins]}\n  - {do: rest"),
        ),
        "added raisins",
    ),
    "a step more": (
        (("  - {do: bake", "  - {do: chill, for: 2 h}\n  - {do: bake"),),
        "step chill for 2 h came",
    ),
    "milk goes in with the eggs": (
        ((", whole milk]", "]"), ("[egg, ", "[egg, whole milk, ")),
        "setting whole milk uses",
    ),
    "a sign": ((("until: golden", "until: deep golden"),), "sign bake until"),
    "words": ((("title: Quay", "title: Old quay"), ("status: testing", "status: draft")), ""),
    "whole wheat for some of the flour": (
        (("      - {item: all-purpose flour, amount: 300 g}", "      - {item: all-purpose flour, amount: 200 g}\n      - {item: whole wheat flour, amount: 100 g}"),
         ("[all-purpose flour, baking", "[all-purpose flour, whole wheat flour, baking")),
        "exchange whole wheat flour for all-purpose flour",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_things_of_a_cake(case: str) -> None:
    edits, expected = CASES[case]
    after = CAKE
    for old, new in edits:
        assert old in after, old
        after = after.replace(old, new) if "amount" in old and "item" not in old else after.replace(old, new, 1)  # fmt: skip
    assert ", ".join(said(thing) for thing in sides(CAKE, after)) == expected
    assert len(sides(after, CAKE)) == len(expected.split(", ") if expected else ())


def said(thing: Thing) -> str:
    """A thing in a few words for this table."""
    instead = f"for {thing.subject_before}" if thing.subject_before else ""
    return " ".join(word for word in (thing.sort, thing.subject, instead, thing.field) if word)


def test_things_have_their_figures() -> None:
    oven = sides(CAKE, CAKE.replace("180 °C", "170 °C"))
    assert oven == (Thing("setting", "bake", field="oven", before=180, after=170, unit="°C"),)
    (flour,) = sides(CAKE, CAKE.replace("flour, amount: 300 g", "flour, amount: 330 g"))
    assert (flour.before, flour.after, flour.unit) == (300, 330, "g")
    (sugar,) = sides(CAKE, CAKE.replace(*SUGAR))
    assert sugar.unit == "%"
    assert [sugar.before, sugar.after] == pytest.approx([200 / 3, 80])


#: Commits of the demo that are more than one thing, or none: "one change, one commit" is how it was baked.
NOT_ONE = {
    "Weigh the flour of the loaf": 0,
    "Weigh the rye flour and brown sugar of the cookie": 0,
    "Chill the cookie dough 2 h and bake at 175 °C": 3,  # and the time in the oven
    "Double the batch of the cookie": 0,
}


def test_a_commit_of_the_demo_is_one_thing() -> None:
    """The bakers' own commits, by their subjects: those that cut, raise, give, put back, soak, move, chill, weigh, double."""
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    kitchen = kitchen_for(str(ROOT / "formulas" / "house.yaml"))
    counted = 0
    for path in sorted(ROOT.glob("formulas/*/formula.yaml")):
        name = path.relative_to(ROOT).as_posix()
        rows = git(ROOT, "log", "--format=%H %s", "--", name).splitlines()
        for commit, subject in (row.split(" ", 1) for row in rows):
            if re.match("Cut|Raise|Give|Put|Soak|Move|Chill|Weigh|Double", subject):
                texts = [git(ROOT, "show", f"{at}:{name}") for at in (f"{commit}^", commit)]
                weighed = [weigh_file(text.encode(), name, kitchen) for text in texts]
                found = things(difference_between(*weighed, house=kitchen.house))
                assert len(found) == NOT_ONE.get(subject, 1), subject
                counted += 1
    assert counted >= 15


def test_a_formula_that_came_is_no_change_of_one() -> None:
    assert things(added_or_removed(None, weigh_text(CAKE), "quay-cake.yaml")) == ()


def test_every_kind_of_change_is_a_thing_or_none() -> None:
    assert set(SORTS) == set(KINDS)
