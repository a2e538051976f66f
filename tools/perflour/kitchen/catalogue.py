"""The ingredient catalogue: names to ingredients, and the house's own entries laid over it.

data/catalogue/*.yaml is what people read and change; tools/maintain/write_catalogue.py compiles it
to data/catalogue.jsonl, one ingredient a line behind an index of names and of the words that may stand
around one, so that a run decodes only the ingredients it meets.
"""

import json
import os
from collections.abc import Iterator

from perflour.documents.shipped import DATA, shipped
from perflour.kitchen.habits import CUP_HABITS, CupHabit
from perflour.kitchen.names import fold, normal_name, spellings_of
from perflour.kitchen.quantity import USUAL, Customs
from perflour.system.terminal import tell
from perflour.tuples import NamedTuple
from perflour.typed import Any, TypeVar

FILE = "catalogue.jsonl"
COMPILED = os.path.join(DATA, FILE)
#: Names and lines that a catalogue remembers; one that meets more begins anew.
MOST_KEPT = 8192
#: Names that a message offers.
MOST_SUGGESTED = 3
#: Signs that part a name: "butter, unsalted", "flour (plain)", "plain/all-purpose flour".
_SIGNS = ",(/"

K = TypeVar("K")
T = TypeVar("T")


class Measure(NamedTuple):
    """What one ``per`` (cup, tsp, large, stick) weighs; ``spread_g`` None where none is known.

    ``settled`` says that one kitchen measured or fixed it: its spread is taken as it stands.
    """

    per: str
    state: str
    grams: float
    spread_g: float | None
    source: str
    settled: bool = False


_CUP_SIZES = ("cup", "pint", "qt", "quart")


class Neutralises(NamedTuple):
    """Grams of baking soda that 100 g of an acid ingredient use up: usual, lowest, highest figure."""

    soda_g: float
    low_g: float
    high_g: float


class EggSolids(NamedTuple):
    """Dry matter of egg white and of egg yolk, in g per 100 g."""

    white_g: float
    yolk_g: float


class Ingredient(NamedTuple):
    """One ingredient. Composition is in g (sodium mg, energy kcal) per 100 g; absent is unknown.

    ``allergens_known`` is False for a house's own ingredient that says nothing of allergens.
    """

    name: str
    group: str
    counts_as: str
    reacts: str
    composition: dict[str, float]
    measures: tuple[Measure, ...]
    aliases: tuple[str, ...] = ()
    allergens_us: tuple[str, ...] = ()
    allergens_eu: tuple[str, ...] = ()
    allergens_known: bool = True
    fat_type: str = ""
    lactose_g: float | None = None
    egg_solids: EggSolids | None = None
    neutralises: Neutralises | None = None
    #: carbon dioxide that 100 g of a powder give off, in g, where it is declared
    gas_percent: float | None = None
    #: whose cups and spoons its amounts are in, as in kitchen/whose.py; empty for the US
    measured_in: str = ""

    def __hash__(self) -> int:
        return hash(self.name)


class Said(NamedTuple):
    """What a name says: the food, and the words around it.

    ``states`` change how it weighs or is used ("melted", "finely chopped") and count like those that a line
    states; ``others`` change nothing that is weighed ("organic").
    """

    food: Ingredient
    states: tuple[str, ...] = ()
    others: tuple[str, ...] = ()


class HouseSays(NamedTuple):
    """Whose measures and eggs are meant (empty: US), and how amounts are written."""

    measures: str = ""
    eggs: str = ""
    customs: Customs = USUAL


NOTHING_SAID = HouseSays()


class Catalogue:
    """Ingredients by every spelling of their names; a house's own come first.

    A catalogue is never changed, and is equal only to itself: what it has looked up goes with it.
    """

    __slots__ = ("_decoded", "_looked_up", "_named", "around", "by_name", "cup_habit", "house", "rows", "said", "said_in_recipes", "weighed")  # fmt: skip

    def __init__(
        self,
        by_name: dict[str, int],
        around: frozenset[str],
        rows: tuple[str, ...],
        house: dict[str, Ingredient],
        cup_habit: str = "",
        said: HouseSays = NOTHING_SAID,
    ) -> None:
        self.by_name, self.around, self.rows = by_name, around, rows
        self.house, self.cup_habit, self.said = house, cup_habit, said
        # Owner: this catalogue. Bound: MOST_KEPT each, and its rows. Pays: the same few hundred names and
        # lines stand in all files of a kitchen and in all revisions of a formula.
        self._looked_up: dict[str, tuple[Said | None, str]] = {}
        self._named: dict[str, Ingredient | None] = {}
        self._decoded: dict[int, Ingredient] = {}
        #: Names and lines as recipes write them, by which of the two they are, with what they were read as.
        self.said_in_recipes: dict[tuple[str, str], Any] = {}
        #: Lines by name, amount and state, as they were weighed.
        self.weighed: dict[tuple[str, str, str], Any] = {}

    def find(self, name: str) -> Ingredient | None:
        """The ingredient a name means: its name or alias, in any spelling, with words around it.

        Never a near match: that is what ``suggest`` is for.
        """
        said = self.understood(name)
        return said.food if said else None

    def understood(self, name: str) -> Said | None:
        """The ingredient a name means with the words around it; None where it is unknown."""
        known = self._looked_up.get(name)
        return known[0] if known else self._look_up(name)[0]

    def main_name(self, name: str) -> str:
        """A name as names are compared: the ingredient's main name where it is known."""
        known = self._looked_up.get(name)
        return known[1] if known else self._look_up(name)[1]

    def _look_up(self, name: str) -> tuple[Said | None, str]:
        found = self.named(name)
        said = Said(found) if found else self._with_words_around(name)
        answer = said, fold(said.food.name if said else name)
        keep(self._looked_up, name, answer)
        return answer

    def _with_words_around(self, name: str) -> Said | None:
        words = normal_name(name).split()
        plain = name.isascii() and not any(sign in name for sign in _SIGNS)
        # "poolish", "prune paste": nothing around a name; saves loading the grammar
        if plain and (len(words) < 2 or self.around.isdisjoint(words)):
            return None
        from perflour.kitchen.name_grammar import understand  # only for names not held

        return understand(name, self.named)

    def named(self, name: str) -> Ingredient | None:
        """The ingredient of that name or alias, singular or plural, hyphen or space; nothing around it."""
        if name not in self._named:
            keep(self._named, name, self._find_named(name))
        return self._named[name]

    def _find_named(self, name: str) -> Ingredient | None:
        for spelling in spellings_of(name):
            found = self.house.get(spelling)
            if found is None and (row := self.by_name.get(spelling)) is not None:
                found = self._row(row)
            if found is not None:
                return self._as_here(found)
        return None

    def _as_here(self, found: Ingredient) -> Ingredient:
        """An ingredient with the cups and eggs of this kitchen."""
        if self.cup_habit:
            found = _in_habit(found, self.cup_habit)
        if self.said.measures or self.said.eggs:
            from perflour.kitchen.whose import as_meant  # it imports this module

            return as_meant(found, self.said.measures, self.said.eggs)
        return found

    def _row(self, number: int) -> Ingredient:
        if number not in self._decoded:
            self._decoded[number] = ingredient_from(json.loads(self.rows[number]))
        return self._decoded[number]

    def keep_weighed(self, words: tuple[str, str, str], answer: T) -> T:
        """Remember how a line weighs; the answer."""
        kept: T = keep(self.weighed, words, answer)
        return kept

    def suggest(self, name: str) -> tuple[str, ...]:
        """Near names for a message, by main name: foods that share the noun; none where nothing is near."""
        from perflour.kitchen.name_grammar import near_names  # only on the way to an error

        main = {normal_name(food) for food in self.names()}
        near = near_names(name, [(known, known in main) for known in (*self.house, *self.by_name)])
        foods = (self.named(known) for known in near)
        return tuple(dict.fromkeys(food.name for food in foods if food))[:MOST_SUGGESTED]

    def names(self) -> Iterator[str]:
        """The main name of every ingredient, house entries included."""
        yield from dict.fromkeys(i.name for i in self.house.values())
        yield from (self._row(number).name for number in range(len(self.rows)))

    def in_habit(self, cup_habit: str) -> "Catalogue":
        """This catalogue for a kitchen that fills its cups so."""
        return self.but_with(cup_habit=cup_habit)

    def saying(self, said: HouseSays) -> "Catalogue":
        """This catalogue for a kitchen, or a formula, that means those cups and writes amounts so."""
        return self.but_with(said=said)

    def but_with(
        self,
        house: dict[str, Ingredient] | None = None,
        cup_habit: str | None = None,
        said: HouseSays | None = None,
    ) -> "Catalogue":
        """This catalogue but for what is given; a row that one has decoded serves the other too."""
        made = Catalogue(
            self.by_name,
            self.around,
            self.rows,
            self.house if house is None else house,
            self.cup_habit if cup_habit is None else cup_habit,
            self.said if said is None else said,
        )
        made._decoded = self._decoded
        return made


def keep(known: dict[K, T], key: K, answer: T) -> T:
    """Remember what was looked up; the answer."""
    if len(known) >= MOST_KEPT:
        known.clear()
    known[key] = answer
    return answer


def _in_habit(ingredient: Ingredient, habit: str) -> Ingredient:
    """Flour by the cup as one kitchen fills it; its own measures and stated states stay."""
    if ingredient.counts_as != "flour":
        return ingredient
    measures = tuple(
        _filled_so(m, CUP_HABITS[habit])
        if m.per in _CUP_SIZES and not m.state and not m.settled
        else m
        for m in ingredient.measures
    )
    return ingredient._replace(measures=measures)


def _filled_so(measure: Measure, habit: CupHabit) -> Measure:
    # a cup published as dipped is no mean cup: it is that habit's own
    mean = CUP_HABITS["dipped"].factor if "dipped" in measure.source else 1.0
    grams = measure.grams / mean * habit.factor
    return measure._replace(
        grams=grams,
        spread_g=grams * habit.spread_percent / 100,
        source=habit.source,
        settled=True,
    )


def ingredient_from(data: dict[str, Any]) -> Ingredient:
    """An ingredient from an entry that is valid against schema/catalogue.schema.json."""
    measures = tuple(
        Measure(m["per"], m.get("state", ""), m["grams"], m.get("spread"), m["source"])
        for m in data.get("measures", ())
    )
    allergens = data.get("allergens", {})
    return Ingredient(
        name=data["name"],
        group=data["group"],
        counts_as=data.get("counts-as", ""),
        reacts=data.get("reacts", ""),
        composition=data.get("composition", {}),
        measures=measures,
        aliases=tuple(data.get("aliases", ())),
        allergens_us=tuple(allergens.get("us", ())),
        allergens_eu=tuple(allergens.get("eu", ())),
        fat_type=data.get("fat-type", ""),
        lactose_g=data["lactose"]["grams"] if "lactose" in data else None,
        egg_solids=_egg_solids(data),
        neutralises=_neutralises(data),
        gas_percent=data["gas"]["percent"] if "gas" in data else None,
    )


def _egg_solids(data: dict[str, Any]) -> EggSolids | None:
    solids = data.get("egg-solids")
    return EggSolids(solids["white"], solids["yolk"]) if solids else None


def _neutralises(data: dict[str, Any]) -> Neutralises | None:
    stated = data.get("neutralises")
    if stated is None:
        return None
    soda_g = stated["soda"]
    return Neutralises(soda_g, stated.get("low", soda_g), stated.get("high", soda_g))


def built_in() -> Catalogue:
    """The catalogue that ships with perflour."""
    tell(f"catalogue: {FILE}, as it ships")
    return shipped(FILE, _catalogue)


def _catalogue(content: bytes) -> Catalogue:
    index, *rows = content.decode("utf-8").splitlines()
    known = json.loads(index)
    return Catalogue(known["names"], frozenset(known["around"]), tuple(rows), {})


def with_house(catalogue: Catalogue, entries: list[dict[str, Any]]) -> Catalogue:
    """The catalogue with a house's entries laid over it.

    An entry whose name is known keeps what it does not state; its measures come before the
    built-in ones, so that the house's own cup wins.
    """
    house: dict[str, Ingredient] = dict(catalogue.house)
    for entry in entries:
        own = ingredient_from(entry)
        written = {(m.per, m.state) for m in own.measures}
        own = own._replace(measures=tuple(_settled(m, catalogue.said) for m in own.measures))
        if known := catalogue.named(own.name):
            own = _laid_over(known, own, entry, written)
        else:
            own = own._replace(allergens_known="allergens" in entry)
        for name in (own.name, *own.aliases):
            house[normal_name(name)] = own
    return catalogue.but_with(house=house)


def _settled(measure: Measure, said: HouseSays) -> Measure:
    """A measure of the house's own: weighed by one kitchen, with its own cup."""
    if said.measures:
        from perflour.kitchen.whose import own_measure

        measure = own_measure(measure, said.measures)
    return measure._replace(settled=True)


def _laid_over(
    known: Ingredient, own: Ingredient, entry: dict[str, Any], written: set[tuple[str, str]]
) -> Ingredient:
    stated = {(m.per, m.state) for m in own.measures} | written
    kept = tuple(m for m in known.measures if (m.per, m.state) not in stated)
    return Ingredient(
        name=known.name,
        group=own.group,
        counts_as=entry.get("counts-as", known.counts_as),
        reacts=entry.get("reacts", known.reacts),
        composition={**known.composition, **own.composition},
        measures=own.measures + kept,
        aliases=known.aliases + own.aliases,
        allergens_us=own.allergens_us if "allergens" in entry else known.allergens_us,
        allergens_eu=own.allergens_eu if "allergens" in entry else known.allergens_eu,
        allergens_known="allergens" in entry or known.allergens_known,
        fat_type=own.fat_type or known.fat_type,
        lactose_g=known.lactose_g if own.lactose_g is None else own.lactose_g,
        egg_solids=own.egg_solids or known.egg_solids,
        neutralises=own.neutralises or known.neutralises,
        gas_percent=own.gas_percent or known.gas_percent,
    )
