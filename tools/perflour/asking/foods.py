"""Whether a formula holds a food: by its name, by the kind of food, by the allergen that something brings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.asking.figures import near
from perflour.balance.balance import Balance
from perflour.balance.parts import Weighed
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.cautions import AllergenName, texts
from perflour.kitchen.names import fold
from perflour.result import CannotRun

#: Kinds of food of the catalogue that a baker asks for by name.
GROUPS = ("flour", "starch", "sugar", "syrup", "fat", "oil", "egg", "dairy", "leavening", "yeast", "salt", "fruit", "nut", "chocolate", "spice")  # fmt: skip
#: What people say for a name of the lists; the others are called as the lists call them.
ALLERGENS_SAID = {
    "nuts": "tree-nut",
    "nut": "tree-nut",
    "tree nuts": "tree-nut",
    "peanuts": "peanut",
    "gluten": "cereals-gluten",
    "soya": "soy",
    "soybean": "soy",
    "sulfites": "sulphites",
}


class Food(NamedTuple):
    """A food asked for: ingredients by their names, a kind of food, an allergen.

    ``allergens`` are all words for it, ids and names of both lists; ``in_print`` its name on the first. ``others`` are
    ingredients of the formulas that have the word in their names and are none of it.
    """

    said: str
    names: frozenset[str]
    group: str
    allergens: frozenset[str]
    in_print: str
    others: tuple[str, ...] = ()

    @property
    def meanings(self) -> str:
        """What was understood, in words."""
        found = [*sorted(self.names), *([f"every {self.group}"] if self.group else [])]
        if self.allergens:
            found.append(f"what brings the allergen {self.in_print}")
        return "; ".join(found)


class Holds(NamedTuple):
    """The ingredients of a formula that are the food, as it names them, and those of which nobody knows."""

    items: tuple[str, ...]
    not_known: tuple[str, ...]


def food_named(word: str, catalogues: Sequence[Catalogue], balances: Sequence[Balance]) -> Food:
    """What a word means. Raises CannotRun, with what is near, for one that means no food."""
    folded = fold(word)
    foods = (c.find(word) for c in catalogues)
    names = {fold(food.name) for food in foods if food}
    names |= {fold(w.name) for b in balances for w in b.ingredient_lines if fold(w.line.name) == folded}  # fmt: skip
    group = folded if folded in GROUPS else folded.removesuffix("s")
    group = group if group in GROUPS else ""
    allergens = list(_allergens(folded))
    if not (names or group or allergens):
        raise CannotRun(f"'{word}' is no food, kind of food or allergen that is known; {near(folded, catalogues, balances)}")  # fmt: skip
    words = frozenset(word for one in allergens for word in (one.id, one.name))
    food = Food(word, frozenset(names), group, words, allergens[0].name if allergens else "")
    lines = (w for b in balances for w in b.ingredient_lines if not _is(food, w))
    asked = set(folded.split())
    others = {w.name for w in lines if asked <= set(fold(w.name).split())}
    return food._replace(others=tuple(sorted(others)))


def _allergens(folded: str) -> Iterator[AllergenName]:
    """An allergen on both lists, by any word for it."""
    meant = ALLERGENS_SAID.get(folded, folded)
    for one in (*texts().us, *texts().eu):
        words = {one.id, one.id.replace("-", " "), fold(one.name)}
        words |= {f"{word}s" for word in words}
        if folded in words or meant in words:
            yield one


def holds(food: Food, balance: Balance) -> Holds:
    """What of a formula is the food, in all its parts, with a mass or without."""
    lines = balance.ingredient_lines
    items = [line.line.name for line in lines if _is(food, line)]
    not_known = [line.line.name for line in lines if not _is(food, line) and _may_be(food, line)]
    not_known += [
        line.name
        for part in balance.formula.parts
        for line in part.lines
        if line.is_part and balance.formula.part(line.name) is None
    ]
    return Holds(tuple(dict.fromkeys(items)), tuple(dict.fromkeys(not_known)))


def _is(food: Food, line: Weighed) -> bool:
    if fold(line.name) in food.names or (food.group and line.group == food.group):
        return True
    known = line.ingredient
    return bool(known and food.allergens.intersection((*known.allergens_us, *known.allergens_eu)))


def _may_be(food: Food, line: Weighed) -> bool:
    """Whether nobody knows: no catalogue has it, or says nothing of what it brings."""
    if line.ingredient is None:
        return bool(food.group or food.allergens)
    return bool(food.allergens) and not line.ingredient.allergens_known
