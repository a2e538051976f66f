"""Derived ratios of a balance, all of its base, in percent of the base's basis (flour = 100 %)."""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache

from perflour.balance.balance import Balance, TotalLine
from perflour.balance.gas import GAS, SODA, UNCOUNTED, gas_lines, is_uncounted, may_lift
from perflour.balance.parts import Weighed
from perflour.kitchen.catalogue import Ingredient
from perflour.tuples import NamedTuple, of_fields

# Instant-yeast equivalents. Fresh: 0.33 g instant per g fresh (J. Hamelman, Bread, 2004, from
# memory). Active dry: 0.75 (USDA, Quantity Recipes for School Food Service,
# PA-1371, 1988, yeast rolls: 1/3 cup active dry or 1/4 cup instant).
INSTANT_EQUIVALENT = {"fresh yeast": 0.33, "active dry yeast": 0.75, "instant yeast": 1.0}
# Cultured and fresh dairy wet enough to mix a batter with counts as liquid: house choice.
LIQUID_DAIRY_WATER_PERCENT = 60.0

# Small percentages that matter, shown to two decimals: groups of ingredients, and ratios.
FINE_GROUPS = frozenset(("salt", "leavening", "yeast", "spice"))
FINE_RATIOS = frozenset(("salt", GAS, "baking-powder", "baking-soda", "yeast-instant"))

# The ratio that is no sum of shares of single lines.
PREFERMENTED = "prefermented-flour"
BY_INGREDIENT = ("hydration", "liquid", "sugar", "fat", "egg", "salt", GAS, "baking-powder", "baking-soda", "yeast-instant", "fruit", "nut", "chocolate", "cocoa", PREFERMENTED)  # fmt: skip
BY_COMPOSITION = ("total-water", "total-fat", "total-sugar")
RATIOS = BY_INGREDIENT + BY_COMPOSITION


class Ratio(NamedTuple):
    """A derived ratio in percent of the basis.

    ``lacking`` names ingredients whose mass or composition is not known: the value is too low by
    what they carry.
    """

    name: str
    percent: float
    lacking: tuple[str, ...] = ()


ShareOf = Callable[[TotalLine], float | None]


# Ratios that are the sum of whole groups of ingredients.
_GROUPS = {
    "sugar": ("sugar", "syrup"),
    "fat": ("fat", "oil"),
    "egg": ("egg",),
    "salt": ("salt",),
    "fruit": ("fruit",),
    "nut": ("nut",),
    "chocolate": ("chocolate",),
}


def _in_groups(groups: tuple[str, ...]) -> ShareOf:
    return lambda line: 1.0 if line.ingredient and line.ingredient.group in groups else 0.0


def _named(name: str) -> ShareOf:
    return lambda line: 1.0 if name in line.name else 0.0


def _water_type(line: TotalLine) -> float:
    return 1.0 if line.ingredient and line.ingredient.counts_as == "liquid" else 0.0


def _liquid(line: TotalLine) -> float:
    if _water_type(line):
        return 1.0
    known = line.ingredient
    wet = known is not None and known.composition.get("water", 0) >= LIQUID_DAIRY_WATER_PERCENT
    return 1.0 if known and known.group == "dairy" and wet else 0.0


def _contained(figure: str) -> ShareOf:
    """The share of a figure of the composition; None where it is unknown."""

    def share(line: TotalLine) -> float | None:
        if line.ingredient is None or figure not in line.ingredient.composition:
            return None
        return line.ingredient.composition[figure] / 100

    return share


_SHARE_OF: dict[str, ShareOf] = {
    **{name: _in_groups(groups) for name, groups in _GROUPS.items()},
    "hydration": _water_type,
    "liquid": _liquid,
    "baking-powder": _named("baking powder"),
    "baking-soda": _named("baking soda"),
    "yeast-instant": lambda line: INSTANT_EQUIVALENT.get(line.name, 0.0),
    "cocoa": _named("cocoa powder"),
    "total-water": _contained("water"),
    "total-fat": _contained("fat"),
    "total-sugar": _contained("sugar"),
}


def is_fine(ingredient: Ingredient | None) -> bool:
    """Whether the percentage of an ingredient is shown to two decimals."""
    return ingredient is not None and ingredient.group in FINE_GROUPS


def ratio_masses(total: Iterable[TotalLine], name: str) -> list[tuple[TotalLine, float]]:
    """The lines that count in a ratio, each with the share of its mass that counts."""
    if name == GAS:
        return gas_lines(tuple(total))
    share = _SHARE_OF[name]
    return [(line, part) for line in total if (part := share(line))]


#: By ratio the lines that count in it, each with the share of its mass that counts.
MassesOf = Callable[[str], Sequence[tuple[TotalLine, float]]]


def ratio_masses_by_name(total: Sequence[TotalLine]) -> MassesOf:
    """``ratio_masses`` of a total, for who asks for many ratios: the lines are gone through once for all of them."""
    found: dict[str, list[tuple[TotalLine, float]]] = {}
    for line in total:
        for name, share in _counting(line.name, line.ingredient)[0]:
            found.setdefault(name, []).append((line, share))
    return lambda name: ratio_masses(total, name) if name == GAS else found.get(name, ())


def ratios(balance: Balance) -> dict[str, Ratio]:
    """Every derived ratio by name; empty when there is no basis."""
    if balance.basis_g <= 0:
        return {}
    basis_g, sums, wanted = balance.basis_g, _sums(balance), RatiosOnDemand(balance)
    return {
        name: _counted(name, sums, basis_g) if name in sums.mass_g else wanted[name]
        for name in RATIOS
    }


class RatiosOnDemand(dict[str, Ratio]):
    """Derived ratios by name, worked out when they are asked for. Only where there is a basis."""

    def __init__(self, balance: Balance) -> None:
        super().__init__()
        self.balance = balance
        self.sums: _Sums | None = None

    def __missing__(self, name: str) -> Ratio:
        balance = self.balance
        if name == PREFERMENTED:
            ratio = Ratio(name, balance.prefermented_g / balance.basis_g * 100)
        elif name == GAS:
            ratio = _gas(balance)
        else:
            self.sums = self.sums or _sums(balance)
            ratio = _counted(name, self.sums, balance.basis_g)
        self[name] = ratio
        return ratio


def _gas(balance: Balance) -> Ratio:
    """The carbon dioxide for 100 g of the basis."""
    gas_g = sum(line.mass_g * share for line, share in gas_lines(balance.total))
    lacking = []
    if unweighed := balance.unweighed_in_base:
        soda = any(line.name == SODA for line in balance.total)
        lacking = [w.name for w in unweighed if may_lift(w.name, w.ingredient, soda)]
    lacking += [
        line.name for line in balance.total if line.name in UNCOUNTED and is_uncounted(line)
    ]
    return Ratio(GAS, gas_g / balance.basis_g * 100, tuple(dict.fromkeys(lacking)))


class _Sums(NamedTuple):
    """By ratio the mass in g that counts, and the names of what might count and is not known."""

    mass_g: dict[str, float]
    lacking: dict[str, dict[str, None]]


def _sums(balance: Balance) -> _Sums:
    """All of it in one walk over the lines."""
    mass_g = dict.fromkeys(_SHARE_OF, 0.0)
    lacking: dict[str, dict[str, None]] = {}
    for weighed in balance.unweighed_in_base:
        for name in _may_count(weighed):
            lacking.setdefault(name, {})[weighed.line.name] = None
    for line in balance.total:
        known, unknown = _counting(line.name, line.ingredient)
        for name, share in known:
            mass_g[name] += line.mass_g * share
        for name in unknown:
            lacking.setdefault(name, {})[line.name] = None
    return _Sums(mass_g, lacking)


def _counted(name: str, sums: _Sums, basis_g: float) -> Ratio:
    """A ratio of what counts in it."""
    lacking = tuple(sums.lacking.get(name, ()))
    return of_fields(Ratio, (name, sums.mass_g[name] / basis_g * 100, lacking))


# Owner: the process; it holds names and ingredients, no formula. Bound: 4096. Pays: thirty ratios are asked
# of each line, and all files hold the same few hundred ingredients.
@lru_cache(maxsize=4096)
def _counting(
    name: str, ingredient: Ingredient | None
) -> tuple[tuple[tuple[str, float], ...], tuple[str, ...]]:
    """The ratios that an ingredient counts in, each with its share; and those where that is unknown."""
    line = TotalLine(name, ingredient, 0.0, False, None)
    shares = {ratio: share(line) for ratio, share in _SHARE_OF.items()}
    known = tuple((ratio, share) for ratio, share in shares.items() if share)
    return known, tuple(ratio for ratio, share in shares.items() if share is None)


def _may_count(weighed: Weighed) -> Iterable[str]:
    """The ratios a line without a mass would move: unknown things might any, known ones theirs."""
    if weighed.ingredient is None or weighed.in_basis:
        return _SHARE_OF
    known, unknown = _counting(weighed.name, weighed.ingredient)
    return (*(ratio for ratio, _ in known), *unknown)
