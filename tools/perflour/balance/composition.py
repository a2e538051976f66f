"""What a formula holds: water, fat by kind, sugars, egg solids, protein, salt and energy.

Of the batch as it is mixed, before the oven. Composition is of the catalogue's foods (USDA SR27 where
it says so), not of the bag in use: flour moisture, egg size and the fat of nuts move by some per cent.
An ingredient whose figure is not known is named, never taken as zero.
"""

from collections.abc import Callable

from perflour.balance.balance import Balance
from perflour.balance.spread import Number, Uncertain, spread_of
from perflour.kitchen.catalogue import Ingredient
from perflour.tuples import NamedTuple

# Molar masses in g/mol (IUPAC standard atomic weights): sodium chloride over sodium, 2.542.
SALT_PER_SODIUM = 58.44 / 22.99
FAT_TYPES = ("dairy", "vegetable", "animal", "cocoa", "nut", "egg")
# Fat of an ingredient that does not say which kind it is.
UNSORTED = "unsorted"
ENERGY = "energy"


class Figure(NamedTuple):
    """One figure in ``unit`` (g or kcal): of the batch, of a piece, of 100 g of batch.

    ``percent`` is of the base alone, in percent of its basis. ``lacking`` names the ingredients that are
    not counted: every value is too low by them.
    """

    name: str
    unit: str
    batch: float
    per_piece: float | None
    per_100_g: float | None
    percent: float | None
    lacking: tuple[str, ...] = ()


class FigureSpread(NamedTuple):
    """Standard spreads of a figure's values from measuring alone; the composition's own is not in."""

    batch: float
    per_piece: float | None
    per_100_g: float | None
    percent: float | None


# What one gram of an ingredient brings, in the unit of the figure; None where it is not known.
PerGram = Callable[[Ingredient], float | None]


def _composed(figure: str, in_unit: float = 1.0) -> PerGram:
    def per_gram(ingredient: Ingredient) -> float | None:
        value = ingredient.composition.get(figure)
        return None if value is None else value * in_unit / 100

    return per_gram


def _fat_of(kind: str) -> PerGram:
    def per_gram(ingredient: Ingredient) -> float | None:
        fat = ingredient.composition.get("fat")
        if (ingredient.fat_type or UNSORTED) == kind:
            return None if fat is None else fat / 100
        # Fat of another kind, or none at all, is none of this kind; nothing known may be any.
        return None if fat is None and not ingredient.fat_type else 0.0

    return per_gram


def _may_hold(ingredient: Ingredient, allergen: str) -> bool:
    return not ingredient.allergens_known or allergen in ingredient.allergens_eu


def _lactose(ingredient: Ingredient) -> float | None:
    if ingredient.lactose_g is not None:
        return ingredient.lactose_g / 100
    return None if _may_hold(ingredient, "milk") else 0.0


def _sweetening_sugar(ingredient: Ingredient) -> float | None:
    """All sugar but lactose, which hardly sweetens."""
    sugar, lactose = ingredient.composition.get("sugar"), _lactose(ingredient)
    return None if sugar is None or lactose is None else max(sugar / 100 - lactose, 0.0)


def _egg_white_solids(ingredient: Ingredient) -> float | None:
    if ingredient.egg_solids:
        return ingredient.egg_solids.white_g / 100
    return None if _may_hold(ingredient, "egg") else 0.0


def _egg_yolk_solids(ingredient: Ingredient) -> float | None:
    if ingredient.egg_solids:
        return ingredient.egg_solids.yolk_g / 100
    return None if _may_hold(ingredient, "egg") else 0.0


def _salt_weighed(ingredient: Ingredient) -> float | None:
    return 1.0 if ingredient.group == "salt" else 0.0


_PER_GRAM: dict[str, PerGram] = {
    "total-water": _composed("water"),
    "total-fat": _composed("fat"),
    **{f"fat-{kind}": _fat_of(kind) for kind in (*FAT_TYPES, UNSORTED)},
    "total-sugar": _composed("sugar"),
    "lactose": _lactose,
    "sweetening-sugar": _sweetening_sugar,
    "egg-white-solids": _egg_white_solids,
    "egg-yolk-solids": _egg_yolk_solids,
    "protein": _composed("protein"),
    "salt-weighed": _salt_weighed,
    "salt-equivalent": _composed("sodium-mg", SALT_PER_SODIUM / 1000),
    ENERGY: _composed("energy-kcal"),
}
FIGURES = tuple(_PER_GRAM)


def composition(balance: Balance) -> tuple[Figure, ...]:
    """Every figure of a formula, in the order of ``FIGURES``."""
    return tuple(_figure(balance, name) for name in FIGURES)


def _figure(balance: Balance, name: str) -> Figure:
    lacking = [w.name for w in balance.unweighed if _brings(w.ingredient, name) != 0]
    lacking += [line.name for line in balance.everything if _brings(line.ingredient, name) is None]
    amount, in_base = (
        sum(line.mass_g * (_brings(line.ingredient, name) or 0.0) for line in lines)
        for lines in (balance.everything, balance.total)
    )
    unit = "kcal" if name == ENERGY else "g"
    ways = _ways(amount, in_base, balance, balance.basis_g, balance.batch_g, name)
    return Figure(name, unit, *ways, lacking=tuple(dict.fromkeys(lacking)))


def _brings(ingredient: Ingredient | None, name: str) -> float | None:
    return None if ingredient is None else _PER_GRAM[name](ingredient)


def _ways(
    amount: Number, in_base: Number, balance: Balance, basis_g: Number, batch_g: Number, name: str
) -> tuple[Number, Number | None, Number | None, Number | None]:
    """An amount of the batch as it stands, by the piece, in 100 g; and that of the base in percent."""
    pieces = balance.formula.yields.pieces if balance.formula.yields else None
    return (
        amount,
        amount / pieces if pieces else None,
        amount / batch_g * 100 if balance.batch_g else None,
        in_base / basis_g * 100 if balance.basis_g and name != ENERGY else None,
    )


def composition_spreads(balance: Balance, numbers: Uncertain) -> dict[str, FigureSpread]:
    """The spread of every figure by its name, from the masses with their spreads."""
    return {name: _figure_spread(balance, numbers, name) for name in FIGURES}


def _figure_spread(balance: Balance, numbers: Uncertain, name: str) -> FigureSpread:
    amount, in_base = (
        sum(masses[line.name] * (_brings(line.ingredient, name) or 0.0) for line in lines)
        for lines, masses in (
            (balance.everything, numbers.everything),
            (balance.total, numbers.totals),
        )
    )
    ways = _ways(amount, in_base, balance, numbers.basis_g, numbers.batch_g, name)
    return FigureSpread(
        spread_of(ways[0]), *(None if way is None else spread_of(way) for way in ways[1:])
    )
