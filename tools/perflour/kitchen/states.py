"""The state of an ingredient in a cup: which of its published measures is meant, or that none is.

What a state means is read first ("not packed" is no packing, "sifted after measuring" is measured
unsifted), then looked for among the measures of the food. A word is never passed over: it names a
measure, it changes nothing (INERT says why), or the choice comes with a doubt.
"""

import re
from collections.abc import Sequence
from functools import lru_cache

from perflour.kitchen.catalogue import Ingredient, Measure
from perflour.kitchen.units import find_unit
from perflour.kitchen.weighing import Choice, Sized, nearest

# Phrases to the words that measures are named by; the first that fits counts.
_PHRASES = tuple(
    (re.compile(rf"\b(?:{pattern})(?!\w)"), word)
    for pattern, word in (
        (r"[0-9.]+(?: ?[-–] ?[0-9.]+)? ?(?:°|degrees?)? ?[cf]", ""),
        (r"yields?\b.*", ""),
        (r"(?:with|all)? ?(?:the )?(?:pits?|stones?) (?:removed|taken out|out)|without (?:pits|stones)|stoned", "pitted"),
        (r"with (?:the )?(?:pits|stones)|un-?pitted|not (?:pitted|stoned)", "withpits"),
        (r"with (?:the )?(?:hulls|shells)|in[ -](?:the[ -])?shells?|un-?shelled|not shelled", "inshell"),
        (r"(?:lightly|loosely|gently|barely) packed|packed (?:lightly|loosely)|(?:not|never) (?:firmly |tightly )?packed|un-packed", "unpacked"),
        (r"(?:firmly|tightly|well|hard|solidly) packed|packed (?:firmly|tightly|down|solidly)", "packed"),
        (r"not (?:yet )?sifted|un-sifted", "unsifted"),
        (r"not (?:yet )?thawed|still frozen|un-thawed", "unthawed"),
        (r"not drained|un-drained|with (?:(?:its|their|the) )?(?:juice|juices|syrup|liquid)", "undrained"),
        (r"(?:in|into|cut in|cut into) ?(?:small |large )?(?:cubes|dice)", "diced"),
        (r"(?:cut )?in(?:to)? halves|cut in half", "halves"),
        (r"(?:cut )?in(?:to)? quarters", "quartered"),
        (r"for whipping|before whipping|not (?:yet )?whipped|unwhipped", "undone:whipped"),
        (r"(?:to be|before being|measured[, ]*(?:and )?(?:then|before)) (?:\w+ly )?(\w+)", r"undone:\1"),
        (r"(\w+) (?:after|once) (?:measuring|measured|weighing)", r"undone:\1"),
        (r"then (?:\w+ly )?(\w+)", r"undone:\1"),
        (r"(\w+) before (?:measuring|being measured)", r"\1"),
        (r"(?:not|never|without being) (?:yet )?(?:\w+ly )?(\w+)", r"undone:\1"),
    )
)  # fmt: skip
# Words that say the same; and those of which one stands in for another with a remark.
_SAME = {
    "slices": "sliced", "slice": "sliced", "cubes": "diced", "cubed": "diced", "dice": "diced",
    "halved": "halves", "half": "halves", "puree": "pureed", "purée": "pureed", "puréed": "pureed",
    "quarters": "quartered", "sift": "sifted", "segments": "sections", "heaping": "heaped", "milled": "ground",
    "powdered": "ground", "piece": "pieces", "chunk": "chunks",
    "flakes": "flaked", "strip": "strips", "bits": "pieces", "crumbs": "crumbled",
}  # fmt: skip
# The nearest first. They are cut or worked alike, and USDA SR28 itself prints several of them in one row
# ("quartered or chopped", "strips or slices", "pieces or chips"); common practice, no source, for the rest.
NEIGHBOURS = {
    "diced": ("chopped", "chunks", "pieces", "sliced"),
    "chopped": ("diced", "pieces", "chunks"),
    "minced": ("chopped",),
    "cut": ("chopped", "diced", "pieces", "sliced"),
    "pieces": ("chopped", "chunks", "diced"),
    "chunks": ("pieces", "diced", "chopped"),
    "broken": ("pieces", "chopped"),
    "quartered": ("chopped", "pieces", "halves"),
    "strips": ("sliced",),
    "flaked": ("sliced",),
    "grated": ("shredded",),
    "shredded": ("grated",),
    "mashed": ("pureed",),
    "pureed": ("mashed",),
}
_HEAT = "warmth changes a volume by less than two people differ with one cup"
_CLEANED = "what is taken off is not in the cup"
_KIND = "which one it is, not how it lies in the cup"
_AS_SOLD = "as it is sold and as its plain measure is taken"
_BEFORE = "eggs and liquids are measured before they are worked"
_FAT = "fat is pressed into a cup and leaves no gaps"
_FILLER = "holds other words together, or says how fine, which no published measure tells apart"
#: Words that change nothing in a cup of any food, with the reason.
INERT = {
    **dict.fromkeys(("cold", "ice-cold", "ice", "cool", "cooled", "hot", "warm", "warmed", "lukewarm", "tepid", "boiling", "scalded", "simmering", "chilled", "room", "temperature", "straight", "fridge"), _HEAT),
    **dict.fromkeys(("washed", "rinsed", "peeled", "cored", "seeded", "strained", "shelled", "hulled", "trimmed"), _CLEANED),
    **dict.fromkeys(("fresh", "freshly", "ripe", "overripe", "strong", "stale", "plump", "bubbly", "unsalted", "fine", "browning", "unsweetened", "uncooked", "medium", "large", "small", "extra", "jumbo", "mini", "active", "pasteurised", "pasteurized", "fluid", "liquid"), _KIND),
    **dict.fromkeys(("toasted", "roasted", "browned"), "toasting takes a few percent of water out"),
    **dict.fromkeys(("undrained", "level", "squeezed", "unblanched"), _AS_SOLD),
    **dict.fromkeys(("softened", "soft"), "softened butter fills the cup it filled before; others are meant as sold"),
    **dict.fromkeys(("and", "or", "but", "very", "well", "lightly", "finely", "coarsely", "roughly", "thinly", "thickly", "firmly", "slightly", "until", "into", "in", "from", "about", "then", "of", "by", "a", "an", "the", "to", "at", "smooth", "hand", "inch", "cm", "mm", "lengthwise", "crosswise", "equal", "parts", "not", "with", "without", "just", "if", "for", "measuring", "before", "after", "thirds", "twice", "together", "softly", "stiffly", "stiff", "peaks", "partially", "dia", "long", "high", "sq", "oz", "fl"), _FILLER),
}  # fmt: skip
#: Words that change nothing in some groups of food, with the reason.
INERT_IN = {
    **dict.fromkeys(("melted", "diced", "cut", "pieces", "crumbled", "torn", "broken", "sliced"), (("fat", "oil"), _FAT)),
    **dict.fromkeys(("beaten", "whisked", "separated"), (("egg", "dairy", "liquid"), _BEFORE)),
    **dict.fromkeys(("ground", "grated", "dried"), (("spice", "flavouring"), _AS_SOLD)),
    "creamed": (("fat", "oil", "sugar"), "it is measured before it is creamed"),
    "stirred": (("dairy", "egg", "liquid", "syrup", "oil"), "stirring leaves a liquid as it is"),
    "pitted": (("fruit",), "fruit is measured without its stones where none are said"),
    "whole": (("fruit", "nut", "dairy", "egg", "spice"), _AS_SOLD),
    "dissolved": (("leavening", "yeast", "sugar", "salt", "liquid"), _BEFORE),
    "unsifted": (("flour", "starch", "sugar", "leavening", "chocolate", "salt", "spice", "dairy", "egg", "other"), _AS_SOLD),
    "unpacked": (("flour", "starch", "fruit", "nut", "sugar", "other", "dairy", "spice", "chocolate"), _AS_SOLD),
    "unthawed": (("fruit",), _AS_SOLD),
    "frozen": (("egg",), _AS_SOLD),
    "thawed": (("egg", "dairy", "liquid"), "thawed it is the liquid that its plain measure is of"),
}  # fmt: skip
_WORD = re.compile(r"(?:undone:)?[^\W\d_]+(?:-[^\W\d_]+)*")


# Owner: the process; texts alone. Bound: 1024. Pays: the same few dozen states stand in all formulas.
@lru_cache(maxsize=1024)
def words_of(state: str) -> frozenset[str]:
    """The words of a state as measures are named; ``undone:`` before what was not done yet."""
    text = " ".join(state.lower().replace("(", " ").replace(")", " ").split())
    for pattern, word in _PHRASES:
        text = pattern.sub(word, text)
    words = (match[0] for match in _WORD.finditer(text))
    return frozenset(_undone(w) if w.startswith("undone:") else _SAME.get(w, w) for w in words)


def _undone(word: str) -> str:
    plain = word.removeprefix("undone:")
    return f"undone:{_SAME.get(plain, plain)}"


def choose(ingredient: Ingredient, sized: Sequence[Sized], ml: float, state: str) -> Choice:
    """The measure of a state among those by volume, with what has to be said of it."""
    said = words_of(state)
    found = _named(sized, said)
    if found:
        named = nearest(found, ml)
        left = _left(said - words_of(named.state), ingredient)
        return Choice(named, _unknown(left, named.state) if left else "", bool(left))
    plain = nearest([pair for pair in sized if not pair[0].state] or sized, ml)
    left = _left(said, ingredient)
    if not left and (odd := _only_as(plain, sized, said)):
        left = (f"not {odd}",)
    if not left:
        return Choice(plain)
    if len(left) == 1 and (near := _neighbour(sized, left[0])):
        measure = nearest(near, ml)
        return Choice(measure, f"no published mass '{left[0]}', taken as {measure.state}")
    return Choice(plain, _unknown(left, ""), True)


def _named(sized: Sequence[Sized], said: frozenset[str]) -> list[Sized]:
    """The measures whose state the words hold; of those the ones that say most."""
    held = [(m, f, words_of(m.state)) for m, f in sized if m.state]
    held = [row for row in held if row[2] <= said]
    most = max((len(words) for *_, words in held), default=0)
    return [(m, f) for m, f, words in held if len(words) == most]


def _neighbour(sized: Sequence[Sized], word: str) -> list[Sized]:
    for near in NEIGHBOURS.get(word, ()):
        if found := [(m, f) for m, f in sized if words_of(m.state) == {near}]:
            return found
    return []


def _only_as(plain: Measure, sized: Sequence[Sized], said: frozenset[str]) -> str:
    """What was not done, where the plain measure is published with that done."""
    for word in said:
        undone = word.removeprefix("undone:")
        if undone != word and plain.state and words_of(plain.state) == {undone}:
            return undone
        if undone != word and _same_figure(plain, sized, undone):
            return undone
    return ""


def _same_figure(plain: Measure, sized: Sequence[Sized], word: str) -> bool:
    return any(
        words_of(m.state) == {word} and m.per == plain.per and m.grams == plain.grams
        for m, _ in sized
        if m.state
    )


def _left(said: frozenset[str], ingredient: Ingredient) -> tuple[str, ...]:
    """The words of which it is not known what they do to a cup of the food."""
    own = words_of(ingredient.name)
    return tuple(
        sorted(word for word in said if not _is_inert(word, ingredient.group) and word not in own)
    )


def _is_inert(word: str, group: str) -> bool:
    if word in INERT or word.startswith("undone:"):
        return True
    return word in INERT_IN and group in INERT_IN[word][0]


def _unknown(left: Sequence[str], known: str) -> str:
    words = ", ".join({"withpits": "with pits", "inshell": "in shell"}.get(w, w) for w in left)
    return f"no published mass '{words}', taken as {known or 'plain'} with a wide spread"


def range_of_states(ingredient: Ingredient, grams_per_ml: float) -> float:
    """How far the densest or loosest known state of a food is from a figure, as a share of it."""
    known = [
        m.grams / unit.factor
        for m in ingredient.measures
        if (unit := find_unit(m.per)) and unit.kind == "volume"
    ]
    return max(abs(one / grams_per_ml - 1) for one in known) if known else 0.0
