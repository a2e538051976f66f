"""Names as people write them: the food that is meant, with the words around it, or unknown; never another."""

from __future__ import annotations

import os
import subprocess
import sys
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.balance.balance import balance
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import Ingredient, built_in
from perflour.kitchen.name_words import ADVERBS, CLASSES, SYNONYMS
from perflour.kitchen.names import normal_name
from perflour.kitchen.quantity import parse_amount
from perflour.kitchen.weighing import weigh
from tests.conftest import ROOT, examples, formula_text
from tests.kitchen.usda_tables import table

AS_WRITTEN = table("names_as_written")
NAMES = [(name, food.name) for food in map(built_in().named, built_in().names()) if food for name in (food.name, *food.aliases)]  # fmt: skip
AROUND = sorted({word for kind in CLASSES for word in kind.words} | ADVERBS | {"and"})


def own_words(food: Ingredient) -> set[str]:
    return {w for name in (food.name, *food.aliases) for w in normal_name(name).split()}


def found(written: str) -> str | None:
    food = built_in().find(written)
    return food.name if food else None


@pytest.mark.parametrize("row", AS_WRITTEN, ids=[row["written"] for row in AS_WRITTEN])
def test_names_as_written(row: dict[str, str]) -> None:
    """An empty cell is no food of the catalogue when the list was made: unknown, or since then itself."""
    own = {normal_name(name) for name in built_in().names()}
    is_now_there = not row["food"] and normal_name(row["written"]) in own
    wanted = row["written"] if is_now_there else row["food"] or None
    assert found(row["written"]) == wanted


@pytest.mark.parametrize(
    ("written", "not_taken_for"),
    [
        ("white flour, wheat", "whole wheat flour"),
        ("gluten-free flour", "all-purpose flour"),
        ("gluten-free plain flour", "all-purpose flour"),
        ("wheat flour", "all-purpose flour"),
        ("unbleached plain flour", "all-purpose flour"),
        ("strong flour", "all-purpose flour"),
        ("self-raising wholemeal flour", "whole wheat flour"),
        ("slightly salted butter", "unsalted butter"),
        ("butter (salted)", "unsalted butter"),
        ("butter, salted", "unsalted butter"),
        ("brown butter", "unsalted butter"),
        ("browned butter", "unsalted butter"),
        ("buttercream", "unsalted butter"),
        ("butter/margarine", "unsalted butter"),
        ("sweetened coconut", "desiccated coconut"),
        ("unsweetened shredded coconut", "sweetened shredded coconut"),
        ("baking powder/soda", "baking powder"),
        ("baking powder (soda)", "baking powder"),
        ("fresh cream", "heavy cream"),
        ("cream", "cream cheese"),
        ("oil", "soybean oil"),
        ("toasted sesame oil", "sesame oil"),
        ("milk, chocolate", "milk chocolate"),
        ("chocolate/milk", "milk chocolate"),
        ("fresh currants", "currants"),
        ("fresh breadcrumbs", "dry bread crumbs"),
        ("fresh pumpkin", "pumpkin puree"),
        ("diced pumpkin", "pumpkin puree"),
        ("fresh mozzarella", "part-skim mozzarella"),
        ("fresh coconut milk", "coconut milk"),
        ("minced ginger", "ground ginger"),
        ("whole cloves", "ground cloves"),
        ("ground garlic", "garlic"),
        ("stoneground cornmeal", "cornmeal"),
        ("Irish oatmeal", "rolled oats"),
        ("medium oatmeal", "rolled oats"),
        ("French vanilla", "vanilla extract"),
        ("salted peanuts", "peanuts"),
        ("roasted peanuts", "peanuts"),
        ("frozen orange juice", "orange juice"),
        ("frozen currants", "currants"),
        ("egg noodles", "egg"),
        ("salt and pepper", "table salt"),
        ("banana chips", "banana"),
        ("lightly sweetened applesauce", "sweetened applesauce"),
    ],
)
def test_never_taken_for_another(written: str, not_taken_for: str) -> None:
    assert found(written) != not_taken_for


@pytest.mark.parametrize(
    ("written", "food", "states", "others"),
    [
        ("butter (unsalted, softened)", "unsalted butter", ("softened",), ()),
        ("cold, cubed butter", "unsalted butter", ("cubed", "cold"), ()),
        ("large free-range eggs, at room temperature", "egg", ("at room temperature",), ("free range",)),
        ("almonds, toasted and finely chopped", "almonds", ("toasted", "finely chopped"), ()),
        ("finely ground almonds", "almond meal", ("finely",), ()),
        ("plain/all-purpose flour", "all-purpose flour", (), ()),
        ("caster (superfine) sugar", "caster sugar", (), ()),
        ("dark chocolate (70% cocoa solids)", "dark chocolate", (), ("70% cocoa solids",)),
        ("firmly packed dark soft brown sugar", "dark brown sugar", ("firmly packed",), ("soft",)),
        ("Greek yoghurt, full-fat", "whole-milk Greek yogurt", (), ("full fat",)),
        ("unsalted pistachios", "pistachios", (), ("unsalted",)),
    ],
)  # fmt: skip
def test_words_taken_off_are_kept(
    written: str, food: str, states: tuple[str, ...], others: tuple[str, ...]
) -> None:
    said = built_in().understood(written)
    assert said and (said.food.name, said.states, said.others) == (food, states, others)


def test_no_word_before_a_name_makes_another_food() -> None:
    """Every name with every word: the food, unknown, or a food that has the word in its own name."""
    wrong = []
    for (name, food), word in product(NAMES, AROUND):
        said = built_in().understood(f"{word} {name}")
        if said and said.food.name != food and own_words(said.food).isdisjoint(word.split()):
            wrong.append((word, name, said.food.name))
    assert not wrong


@st.composite
def names_with_words(draw: st.DrawFn) -> tuple[str, str, set[str]]:
    """A name of a food with words of the grammar around it, the food, and the words."""
    name, food = draw(st.sampled_from(NAMES))
    front, back = (draw(st.lists(st.sampled_from(AROUND), max_size=3)) for _ in range(2))
    comma = draw(st.sampled_from((" ", ", ", " (")))
    behind = f"{comma}{' '.join(back)}{')' if comma == ' (' else ''}" if back else ""
    return f"{' '.join((*front, name))}{behind}", food, set(" ".join((*front, *back)).split())


@examples(400)
@given(names_with_words())
def test_words_around_a_name_never_make_another_food(case: tuple[str, str, set[str]]) -> None:
    written, food, around = case
    said = built_in().understood(written)
    if said is None:
        return
    own = own_words(said.food)
    if said.food.name != food:  # "fresh" and "ginger" together name fresh ginger
        assert own & around
    kept = set(" ".join((*said.states, *said.others)).split())
    swapped = {w for a, b in SYNONYMS.items() for w in (*a.split(), *b.split())}
    lost = set(around) - kept - own - swapped - {"and"}
    assert not lost, "a word of the name is neither a state nor said to be taken off"


@pytest.mark.parametrize(
    ("amount", "written", "item", "state"),
    [
        ("1 cup", "sifted powdered sugar", "powdered sugar", "sifted"),
        ("1 cup", "chopped walnuts", "walnuts", "chopped"),
        ("1 cup", "brown sugar, unpacked", "brown sugar", "unpacked"),
        ("2 tbsp", "flaxseed, ground", "ground flaxseed", ""),
        ("1 cup", "apples, sliced", "apple", "sliced"),
        ("1 cup", "light whipping cream, whipped", "light whipping cream", "whipped"),
    ],
)
def test_a_state_in_the_name_weighs_like_one_beside_it(
    amount: str, written: str, item: str, state: str
) -> None:
    def line(**said: str) -> str:
        return "{" + ", ".join(f"{key}: '{text}'" for key, text in said.items() if text) + "}"

    texts = (line(item=written, amount=amount), line(item=item, amount=amount, state=state))
    balances = [
        balance(read_formula(formula_text(t).encode(), "f.yaml"), built_in()) for t in texts
    ]
    first, second = (b.lines[0] for b in balances)
    assert first.mass == second.mass == weigh(parse_amount(amount), built_in().find(item), state)
    assert first.state == second.state


@pytest.mark.parametrize(
    ("written", "suggested"),
    [
        ("dark browm sugar", ("dark brown sugar",)),
        ("oil", ("avocado oil", "canola oil", "coconut oil")),
        ("brown butter", ("unsalted butter",)),
        ("gluten-free flour", ()),
        ("salt flakes", ()),
        ("cinamon", ("cinnamon",)),
        ("almond flower", ("blanched almond flour",)),
        ("zzzz", ()),
        ("", ()),
    ],
)
def test_only_foods_of_the_same_noun_are_suggested(
    written: str, suggested: tuple[str, ...]
) -> None:
    assert built_in().suggest(written) == suggested


def test_known_names_and_those_of_parts_do_not_load_the_grammar() -> None:
    names = ["plain flour", "eggs", "poolish", "prune paste", "crumb topping", "Tang Zhong"]
    code = (
        "import sys; from perflour.kitchen.catalogue import built_in; "
        f"[built_in().find(name) for name in {names}]; "
        "assert not [m for m in sys.modules if 'kitchen.name_' in m]"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "tools")}
    subprocess.run([sys.executable, "-c", code], env=environment, check=True)
