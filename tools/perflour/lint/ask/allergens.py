"""What the rules on declared allergens ask: what each line brings, and the words that declare it."""

from collections.abc import Iterator

from perflour.balance.balance import Balance
from perflour.balance.parts import Weighed
from perflour.kitchen.cautions import texts
from perflour.tuples import NamedTuple

# Words of the US list that stand for one of the EU list, and common words besides both lists.
SAME = {"tree-nut": "nuts", "shellfish": "crustaceans"}
COMMON = {
    "cereals-gluten": ("gluten",),
    "soy": ("soya",),
    "sulphites": ("sulphite", "sulfite", "sulphur dioxide"),
    "sesame": ("sesame",),
}
# Words of an ingredient's name that say nothing of what it is.
PLAIN = frozenset(("flour", "meal", "powder", "oil", "white", "whole", "dry", "dark", "light", "medium", "sour", "bread", "cake", "pastry", "paste", "seed", "bran", "nut"))  # fmt: skip
# Words that declare milk alone: the butter of peanut butter and the milk of almonds are none.
MILK = frozenset(("butter", "milk", "cream", "cheese"))
# What the label of bought goods often adds.
BY_LABEL = {"chocolate": ("soy", "milk", "nuts"), "margarine": ("soy", "milk")}


class Brings(NamedTuple):
    """One allergen of one line: its name in print, and every word that declares it."""

    name: str
    ingredient: str
    words: frozenset[str]


def as_word(text: str) -> str:
    """A word as it is compared: lower case, no hyphens, singular."""
    return " ".join(word.rstrip("s") for word in text.lower().replace("-", " ").split())


def brought(balance: Balance) -> Iterator[Brings]:
    """Every allergen of every line."""
    for line in balance.ingredient_lines:
        if line.ingredient is None:
            continue
        us = dict.fromkeys(SAME.get(word, word) for word in line.ingredient.allergens_us)
        eu = dict.fromkeys(line.ingredient.allergens_eu)
        if "wheat" in us and "cereals-gluten" in eu:  # one thing by two names
            del eu["cereals-gluten"]
            yield _brings("wheat", line, "cereals-gluten")
            del us["wheat"]
        for allergen in {**us, **eu}:
            yield _brings(allergen, line)


def all_known(balance: Balance) -> bool:
    """Whether the allergens of every line are known."""
    return all(w.ingredient and w.ingredient.allergens_known for w in balance.ingredient_lines)


def by_label(balance: Balance) -> set[str]:
    """Words of allergens that the label of something bought may add."""
    names = {
        name
        for line in balance.ingredient_lines
        for key, added in BY_LABEL.items()
        if line.ingredient and (line.ingredient.group == key or key in line.name)
        for name in added
    }
    return {word for name in names for word in _list_words(name)}


def _brings(allergen: str, line: Weighed, also: str = "") -> Brings:
    words = _list_words(allergen) | (_list_words(also) if also else set())
    no_sign = PLAIN if allergen == "milk" else PLAIN | MILK
    for name in map(as_word, (line.line.name, line.name)):
        words |= {name, *name.split()} - no_sign
    in_print = {entry.id: entry.name for entry in (*texts().us, *texts().eu)}
    return Brings(in_print.get(allergen, allergen), line.line.name, frozenset(words))


def _list_words(allergen: str) -> set[str]:
    """The words for one allergen on both lists, and the common ones."""
    ids = {allergen, *(us for us, eu in SAME.items() if eu == allergen)}
    names = {e.name for e in (*texts().us, *texts().eu) if e.id in ids}
    return {as_word(word) for word in (*ids, *names, *COMMON.get(allergen, ()))}
