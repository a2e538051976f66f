"""Which allergens the named ingredients bring, by the US list of nine and the EU list of fourteen.

By what each food is. This is no label: cross-contact, lecithin, flavourings and the makings of bought
goods are not covered, and the cautions that say so always come with the list.
"""

from collections.abc import Callable, Sequence

from perflour.balance.balance import Balance
from perflour.balance.parts import Weighed
from perflour.formula.formula import Formula
from perflour.kitchen.cautions import AllergenName, Caution, texts
from perflour.tuples import NamedTuple

# Words by which a title or class claims to be without gluten, hyphens read as spaces.
GLUTEN_FREE_WORDS = ("gluten free", "glutenfree", "without gluten", "no gluten")
GLUTEN = "cereals-gluten"


class Brought(NamedTuple):
    """An allergen in print with the ingredients that bring it, as the formula names them."""

    allergen: str
    by: tuple[str, ...]


class Allergens(NamedTuple):
    """What is brought by either list, what is not known, and what must be said with it."""

    us: tuple[Brought, ...]
    eu: tuple[Brought, ...]
    not_known: tuple[str, ...]
    cautions: tuple[Caution, ...]
    us_source: str
    eu_source: str


def allergens(balance: Balance) -> Allergens:
    """The allergens of a formula; lines without a mass count like all others."""
    lines = balance.ingredient_lines
    known = texts()
    us, eu = brought(balance)
    return Allergens(
        us=us,
        eu=eu,
        not_known=_not_known(balance, lines),
        cautions=known.that_hold(_situations(balance, lines)),
        us_source=known.us_source,
        eu_source=known.eu_source,
    )


def brought(balance: Balance) -> tuple[tuple[Brought, ...], tuple[Brought, ...]]:
    """The allergens of a formula alone, by the lists of the US and of the EU."""
    lines, known = balance.ingredient_lines, texts()
    return (
        _brought(known.us, lines, lambda w: w.ingredient.allergens_us if w.ingredient else ()),
        _brought(known.eu, lines, lambda w: w.ingredient.allergens_eu if w.ingredient else ()),
    )


def _brought(
    names: tuple[AllergenName, ...],
    lines: Sequence[Weighed],
    listed: Callable[[Weighed], tuple[str, ...]],
) -> tuple[Brought, ...]:
    """In the order of the law's list; a house's own word that is not on it comes last, as written."""
    in_print = {word: name.name for name in names for word in (name.id, name.name)}
    by: dict[str, list[str]] = {name.name: [] for name in names}
    for line in lines:
        for word in listed(line):
            by.setdefault(in_print.get(word, word), []).append(line.line.name)
    return tuple(Brought(name, tuple(dict.fromkeys(found))) for name, found in by.items() if found)


def _not_known(balance: Balance, lines: Sequence[Weighed]) -> tuple[str, ...]:
    """Ingredients without known allergens, and parts that are named but not there."""
    unknown = [
        w.line.name for w in lines if w.ingredient is None or not w.ingredient.allergens_known
    ]
    absent = [
        line.name
        for part in balance.formula.parts
        for line in part.lines
        if line.is_part and balance.formula.part(line.name) is None
    ]
    return tuple(dict.fromkeys(unknown + absent))


def _is_raw_flour(line: Weighed) -> bool:
    if line.ingredient is None:
        return _says(line, "flour")
    return line.ingredient.counts_as == "flour"


def _is_egg(line: Weighed) -> bool:
    if line.ingredient is None:
        return _says(line, "egg") or _says(line, "eggs")
    return line.ingredient.group == "egg"


def _is_cereal_not_us(line: Weighed) -> bool:
    known = line.ingredient
    return bool(known and GLUTEN in known.allergens_eu and "wheat" not in known.allergens_us)


def _brings_us(allergen: str) -> Callable[[Weighed], bool]:
    return lambda w: bool(w.ingredient and allergen in w.ingredient.allergens_us)


def _brings_eu(allergen: str) -> Callable[[Weighed], bool]:
    return lambda w: bool(w.ingredient and allergen in w.ingredient.allergens_eu)


def _says(line: Weighed, word: str) -> bool:
    """Whether a word stands in the name as written, or in the ingredient's main name."""
    said = f"{line.line.name} {line.name}".lower()
    return word in said and word in said.replace("-", " ").split()


# What about a line makes a situation of data/cautions.yaml.
_LINE_SITUATIONS: dict[str, Callable[[Weighed], bool]] = {
    "flour": _is_raw_flour,
    "egg": _is_egg,
    "honey": lambda w: _says(w, "honey"),
    "cereal-not-us": _is_cereal_not_us,
    "tree-nut": _brings_us("tree-nut"),
    "pine-nut": lambda w: _says(w, "pine"),
    "coconut": lambda w: _says(w, "coconut"),
    "chestnut": lambda w: _says(w, "chestnut") or _says(w, "chestnuts"),
    "sulphites": _brings_eu("sulphites"),
    "soybean-oil": lambda w: w.name == "soybean oil",
}


def _situations(balance: Balance, lines: Sequence[Weighed]) -> frozenset[str]:
    found = {"allergens"}
    found |= {name for name, holds in _LINE_SITUATIONS.items() if any(map(holds, lines))}
    if _not_known(balance, lines):
        found.add("not-known")
    if claims_gluten_free(balance.formula):
        found.add("gluten-free")
        if any(map(_brings_eu(GLUTEN), lines)):
            found.add("gluten-claim-broken")
    return frozenset(found)


def claims_gluten_free(formula: Formula) -> bool:
    """Whether the class or the title says gluten-free."""
    said = f"{formula.product_class} | {formula.title}".lower().replace("-", " ")
    return any(words in " ".join(said.split()) for words in GLUTEN_FREE_WORDS)
