"""What is known of the food, the measure and the state of one ingredient line."""

from collections.abc import Iterable, Iterator

from perflour.balance.parts import Weighed
from perflour.kitchen.catalogue import Catalogue, Ingredient, Measure
from perflour.kitchen.cautions import texts
from perflour.kitchen.figures import grams, spread_text
from perflour.kitchen.quantity import Amount
from perflour.kitchen.states import INERT, INERT_IN, words_of
from perflour.kitchen.units import Unit
from perflour.kitchen.weighing import measure_behind

_OF_KIND = {"mass": "g", "volume": "ml", "pinch": "ml", "time": "s", "length": "mm"}


def food_line(weighed: Weighed, catalogue: Catalogue) -> str:
    """Which food a name was taken for, or that nobody knows it."""
    food = weighed.ingredient
    if food is None:
        near = ", ".join(catalogue.suggest(weighed.line.name))
        return f"not a known food{f'; near it: {near}' if near else ''}"
    is_said = food.counts_as in ("", food.group)
    counts = "" if is_said else f", counts as {food.counts_as}"
    return f"taken for {food.name} ({food.group}{counts})"


def figure_lines(weighed: Weighed) -> Iterator[str]:
    """Where each figure of the mass is from, and why it is only an estimate."""
    amount = weighed.line.amount.value
    if weighed.mass is None or not isinstance(amount, Amount):
        return
    if weighed.mass.doubt:
        yield f"an estimate: {weighed.mass.doubt}"
    found = [measure_behind(term, weighed.ingredient, weighed.state) for term in amount.terms]
    for measure in dict.fromkeys(filter(None, found)):
        yield f"figure: {measure_words(measure)}"
    if amount.kinds == {"mass"}:
        yield "a mass as written"


def measure_words(measure: Measure) -> str:
    """`1 cup packed is 220 g ± 7 (USDA SR28)`."""
    state = f" {measure.state}" if measure.state else ""
    spread = f" ± {spread_text(measure.spread_g)}" if measure.spread_g else ""
    return f"1 {measure.per}{state} is {grams(measure.grams, 0.1)} g{spread} ({measure.source})"


def unit_lines(weighed: Weighed) -> Iterator[str]:
    """What the units of an amount mean."""
    amount = weighed.line.amount.value
    if isinstance(amount, Amount):
        for unit in dict.fromkeys(term.unit for term in amount.terms):
            if said := unit_words(unit):
                yield said


def unit_words(unit: Unit) -> str:
    """`1 tsp is 4.93 ml`; empty for a unit that is told by itself, and for a count."""
    base = _OF_KIND.get(unit.kind)
    return f"1 {unit.name} is {unit.factor:.4g} {base}" if base and unit.name != base else ""


def state_lines(weighed: Weighed) -> Iterator[str]:
    """What each word of a state does to the mass."""
    amount = weighed.line.amount.value
    if isinstance(amount, Amount) and amount.kinds == {"mass"}:
        yield f"{weighed.line.state}: the amount is a mass, so no state changes it"
        return
    for word in sorted(words_of(weighed.line.state)):
        yield f"{word}: {state_words(word, weighed.ingredient)}"


def state_words(word: str, food: Ingredient | None) -> str:
    """What a word of a state means for what a cup of a food weighs."""
    if food is None:
        return "the food is not known"
    if named := [m for m in food.measures if m.state and words_of(m.state) == {word}]:
        return measure_words(named[0])
    if word in INERT:
        return f"changes nothing that is weighed: {INERT[word]}"
    groups, why = INERT_IN.get(word, ((), ""))
    if food.group in groups:
        return f"changes nothing that is weighed: {why}"
    return f"no published mass of {food.name} so"


def allergen_lines(weighed: Weighed) -> Iterator[str]:
    """What a food brings by the two lists, with the caution that always goes with that."""
    food, known = weighed.ingredient, texts()
    situations = {"allergens"}
    if food is None or not food.allergens_known:
        yield "allergens: not known; go by the label"
        situations.add("not-known")
    else:
        names = {name.id: name.name for name in (*known.us, *known.eu)}
        us, eu = _named(food.allergens_us, names), _named(food.allergens_eu, names)
        yield f"allergens: {f'US list {us}; EU list {eu}' if us or eu else 'none by what the food is'}"
    for caution in known.that_hold(frozenset(situations)):
        yield caution.short or caution.text


def _named(words: Iterable[str], names: dict[str, str]) -> str:
    return ", ".join(names.get(word, word) for word in words) or "none"
