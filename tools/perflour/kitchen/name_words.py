"""Words that stand around the name of a food, by class, and the foods that each class goes with.

Ordinary kitchen English: common practice, no source. A word stands here only where the food stays the
food that it is: "salted", "brown", "strong", "dried", "sweetened" make another food and never stand here.
"""

from collections.abc import Callable

from perflour.kitchen.catalogue import Ingredient
from perflour.kitchen.names import normal_name
from perflour.tuples import NamedTuple


def _words(text: str) -> frozenset[str]:
    return frozenset(word.strip().replace("-", " ") for word in text.split(","))


class WordClass(NamedTuple):
    """Words of one class, and whether they may be taken off a food's name.

    ``is_state``: they say how the food is measured or used, and are kept as a state; else they say nothing
    that a formula is weighed by.
    """

    name: str
    words: frozenset[str]
    fits: Callable[[Ingredient], bool]
    is_state: bool = True


_CHEESE = ("cheese", "cheddar", "parmesan", "mozzarella")
#: Food that was put up: "fresh" would make another food of it.
_PUT_UP = ("canned", "tinned", "frozen", "dried", "puree", "mashed", "candied", "powder", "evaporated", "condensed", "concentrate", "mozzarella", "cheddar")  # fmt: skip
_NO_PIECES = ("puree", "mashed", "powder", "jam", "marmalade", "applesauce", "juice")
_FRESH_WATER = 50.0
_LITTLE_SODIUM_MG = 50.0


def _in(*groups: str) -> Callable[[Ingredient], bool]:
    return lambda food: food.group in groups


def _called(food: Ingredient, *words: str) -> bool:
    """Whether one of the food's names holds one of the words."""
    said = {word for name in (food.name, *food.aliases) for word in normal_name(name).split()}
    return not said.isdisjoint(words)


def _but(fits: Callable[[Ingredient], bool], *words: str) -> Callable[[Ingredient], bool]:
    return lambda food: fits(food) and not _called(food, *words)


def _unless(fits: Callable[[Ingredient], bool], *words: str) -> Callable[[Ingredient], bool]:
    """As ``_but``, by the main name alone: pumpkin in cubes is not the puree that "pumpkin" means."""
    return lambda food: fits(food) and set(normal_name(food.name).split()).isdisjoint(words)


def _only(*words: str) -> Callable[[Ingredient], bool]:
    return lambda food: _called(food, *words)


def _is(*names: str) -> Callable[[Ingredient], bool]:
    return lambda food: food.name in names


def _is_fresh(food: Ingredient) -> bool:
    """Fresh by its water: "fresh currants" are not the dried ones, "fresh breadcrumbs" not the dry ones."""
    wet = food.composition.get("water", 0.0) >= _FRESH_WATER
    return wet and food.group != "yeast" and not _called(food, *_PUT_UP)


def _has_little_salt(food: Ingredient) -> bool:
    return food.group == "nut" and food.composition.get("sodium-mg", 1e9) < _LITTLE_SODIUM_MG


def _is_sized(food: Ingredient) -> bool:
    """Whether it comes in pieces of a size: eggs and fruit, or what has a weight by that size."""
    in_pieces = _unless(_in("egg", "fruit"), *_NO_PIECES)
    return in_pieces(food) or any(measure.per in SIZES for measure in food.measures)


SIZES = _words("large, medium, small, extra large, extra small, jumbo")
#: How well something was done: only before a word of doing.
ADVERBS = _words(
    "finely, coarsely, roughly, thinly, thickly, lightly, firmly, tightly, loosely, well, freshly, "
    "slightly, gently, just, very, fully, partly, neatly"
)
_COOL = "cold, chilled, ice cold, cool, cooled, fridge cold, straight from the fridge, room temperature, at room temperature, at cool room temperature"
_CUT = "chopped, sliced, diced, cubed, halved, quartered, crushed, crumbled, broken, minced, cut, torn, in cubes, in pieces, cut into cubes, cut into small cubes, cut into pieces, cut into small pieces"
_LIQUIDS = ("liquid", "dairy", "oil", "syrup", "fat", "egg")

CLASSES = (
    WordClass(
        "temperature",
        _words(_COOL),
        _in(*_LIQUIDS, "fruit", "flour", "yeast", "chocolate", "other", "nut"),
    ),
    WordClass(
        "heat",
        _words(
            "hot, warm, lukewarm, tepid, boiling, just boiled, hand hot, blood warm, warmed, scalded, simmering, heated"
        ),
        _but(_in("liquid", "dairy", "oil", "syrup", "fat"), *_CHEESE),
    ),
    WordClass("ice", _words("ice, iced"), _is("water")),
    WordClass(
        "frozen", _words("frozen, thawed, defrosted, unthawed"), _but(_in("fat", "fruit"), *_PUT_UP)
    ),
    WordClass(
        "thawed", _words("thawed, unthawed, defrosted"), lambda f: "frozen" in f.name.split()
    ),
    WordClass("size", SIZES | _words("medium sized, large sized, small sized"), _is_sized),
    WordClass(
        "origin",
        _words(
            "organic, free range, cage free, pasture raised, barn, good quality, best quality, high quality, "
            "good, best, quality, local, fair trade, fairtrade, store bought, shop bought, bought, "
            "your favourite, your favorite, regular, ordinary, standard, filtered, pure, real"
        ),
        lambda food: True,
        is_state=False,
    ),
    WordClass("freshness", _words("fresh"), _is_fresh, is_state=False),
    # not of flour, oats or vanilla, where a country makes another food
    WordClass(
        "country",
        _words(
            "european style, european, french, irish, danish, english, british, american, cultured"
        ),
        _in("fat"),
        is_state=False,
    ),
    WordClass("no salt", _words("unsalted, raw, natural, shelled"), _has_little_salt, False),
    WordClass(
        "cut", _words(_CUT), _unless(_in("nut", "fruit", "chocolate", "fat", "other"), *_NO_PIECES)
    ),
    WordClass(
        "cut cheese", _words(_CUT + ", grated, shredded"), _but(_only(*_CHEESE), "cream", "cottage")
    ),
    WordClass(
        "cut spice",
        _words(_CUT + ", grated, peeled"),
        lambda f: f.group == "spice" and _is_fresh(f),
    ),
    WordClass(
        "nut pieces",
        _words("ground, flaked, slivered, whole, halves, pieces, kernels, nibbed"),
        _but(_in("nut"), "coconut", "butter", "paste", "tahini", "meal", "ground"),
    ),
    WordClass(
        "toasting",
        _words("toasted, roasted, peeled, untoasted, unroasted, skinned, skin on"),
        _but(_in("nut"), "butter", "paste", "tahini", "peanuts", "chestnuts"),
    ),
    WordClass("toasted seeds", _words("toasted"), _is("poppy seeds", "fennel seed", "anise seed")),
    WordClass(
        "of fruit",
        _words(
            "ripe, very ripe, overripe, unripe, peeled, unpeeled, cored, pitted, stoned, seeded, deseeded, seedless, "
            "washed, hulled, trimmed, mashed, pureed, grated, shredded, whole, halves, pieces, chunks, slices, cubes, "
            "drained, well drained, undrained, rinsed, soaked, plumped, stemmed"
        ),
        _unless(_in("fruit"), *_NO_PIECES),
    ),
    WordClass("packed fruit", _words("packed, unpacked"), _is("raisins", "golden raisins")),
    WordClass(
        "cheddar", _words("mature, extra mature, sharp, mild, strong"), _is("cheddar"), False
    ),
    WordClass("drained", _words("drained, rinsed, well drained"), _is("ricotta", "cottage cheese")),
    WordClass(
        "soft fat",
        _words("softened, soft, melted, creamed, firm, hard, pliable, grated"),
        _but(_in("fat"), "whipped"),
    ),
    WordClass(
        "melted",
        _words("melted, softened"),
        lambda f: (
            (f.group == "chocolate" and _called(f, "chocolate"))
            or f.name in ("coconut oil", "cream cheese")
        ),
    ),
    WordClass(
        "chocolate pieces",
        _words(
            "grated, chips, mini chips, large chips, chunks, buttons, callets, pieces, squares, pistoles, finely grated"
        ),
        lambda f: f.group == "chocolate" and _called(f, "chocolate"),
    ),
    WordClass("beaten", _words("beaten, whisked, separated, whipped, stiffly beaten"), _in("egg")),
    WordClass(
        "whipped",
        _words("whipped"),
        lambda f: f.name.split()[-1] == "cream" or f.name == "cream cheese",
    ),
    WordClass(
        "filling of cups",
        _words("sifted, unsifted, spooned, levelled, leveled, packed, aerated"),
        lambda f: (
            f.group in ("flour", "starch", "sugar", "leavening")
            or _is("cocoa powder", "Dutch-process cocoa powder")(f)
        ),
    ),
    WordClass("unpacked", _words("unpacked"), _is("light brown sugar", "dark brown sugar")),
    WordClass(
        "grind",
        _words("fine, medium, coarse, ground"),
        _is("cornmeal", "whole-grain cornmeal", "semolina", "almond meal", "blanched almond flour"),
    ),
    WordClass(
        "ground spice",
        _words("ground, grated"),
        lambda f: f.group == "spice" and not _is_fresh(f),
    ),
    WordClass("zest", _words("grated, finely grated"), _only("zest")),
    WordClass("juice", _words("squeezed, freshly squeezed, strained"), _only("juice")),
    WordClass("yeast", _words("crumbled"), _is("fresh yeast")),
    WordClass(
        "starter",
        _words("active, bubbly, ripe, mature, fed, refreshed, lively"),
        _is("sourdough starter"),
    ),
    WordClass(
        "full fat",
        _words("full fat, full cream"),
        _is(
            "cream cheese",
            "coconut milk",
            "sour cream",
            "ricotta",
            "mascarpone",
            "whole-milk Greek yogurt",
            "plain yogurt",
            "whole milk",
            "cheddar",
        ),
        is_state=False,
    ),
    WordClass(
        "plain yogurt",
        _words("plain, natural, unsweetened, unflavoured, unflavored, thick, set"),
        lambda f: f.name.split()[-1] == "yogurt",
        is_state=False,
    ),
    WordClass(
        "white sugar",
        _words("white, fine, refined"),
        _is("granulated sugar", "caster sugar", "powdered sugar"),
        is_state=False,
    ),
    WordClass(
        "soft sugar",
        _words("soft"),
        _is("light brown sugar", "dark brown sugar"),
        is_state=False,
    ),
    WordClass(
        "white flour",
        _words("white, enriched"),
        _is(
            "all-purpose flour", "unbleached all-purpose flour", "bread flour", "self-rising flour"
        ),
        is_state=False,
    ),
    WordClass("unbleached", _words("unbleached"), _is("bread flour", "self-rising flour"), False),
    WordClass("bread whole wheat", _words("bread, strong"), _is("whole wheat flour"), False),
    WordClass(
        "stone ground",
        _words("stone ground"),
        _is("whole wheat flour", "dark rye flour", "spelt flour", "buckwheat flour"),
        is_state=False,
    ),
    WordClass("cocoa", _words("natural, unsweetened"), _is("cocoa powder"), False),
    WordClass("Dutch cocoa", _words("unsweetened"), _is("Dutch-process cocoa powder"), False),
    WordClass(
        "share of cocoa",  # USDA SR27, NDB 19904 is chocolate of 70 to 85 % cocoa
        frozenset(
            f"{n}%{of}" for n in range(70, 86) for of in ("", " cocoa", " cocoa solids", " cacao")
        ),
        _is("dark chocolate"),
        is_state=False,
    ),
    WordClass("shaken", _words("shaken, well shaken"), _only("buttermilk", "milk")),
    WordClass("curd", _words("large curd, small curd"), _is("cottage cheese")),
    WordClass("pressed", _words("cold pressed"), _in("oil"), False),
    WordClass(
        "honey",
        _words("clear, runny, raw, set, liquid, wildflower, clover, acacia, heather"),
        _is("honey"),
        is_state=False,
    ),
    WordClass(
        "olive oil", _words("extra virgin, virgin, light, mild, fruity"), _is("olive oil"), False
    ),
    WordClass("coconut oil", _words("virgin, extra virgin, refined"), _is("coconut oil"), False),
    WordClass("dates", _words("medjool, deglet noor"), _is("dates"), False),
    WordClass(
        "apples",
        _words(
            "bramley, granny smith, cox, braeburn, gala, golden delicious, cooking, eating, tart, crisp, dessert"
        ),
        _is("apple", "peeled apple"),
        is_state=False,
    ),
    WordClass("pears", _words("conference, williams, bartlett, bosc"), _is("pear"), False),
    WordClass("citrus", _words("unwaxed, juicy"), _only("lemon", "orange", "lime"), False),
)

#: One word for another, wherever it stands: British, Australian and US words, and spellings.
SYNONYMS = {
    "bicarb soda": "bicarbonate of soda", "bicarb of soda": "bicarbonate of soda", "bi carb soda": "bicarbonate of soda",
    "sodium bicarb": "sodium bicarbonate",
    "wholemeal": "whole wheat", "wholewheat": "whole wheat", "wholegrain wheat": "whole wheat",
    "whole meal": "whole wheat", "wholegrain": "whole grain",
    "raising": "rising", "castor": "caster", "confectioner": "confectioners", "confectionary": "confectionery",
    "yoghurt": "yogurt", "yoghourt": "yogurt", "yogourt": "yogurt",
    "non fat": "nonfat", "fat free": "nonfat", "skimmed": "skim",
    "extra strong": "strong", "very strong": "strong",
    "dutch processed": "dutch process", "dutched": "dutch process", "alkalised": "dutch process",
    "moscovado": "muscovado", "tinned": "canned", "bittersweet": "dark", "semi sweet": "semisweet",
    "hazel nuts": "hazelnuts", "wal nuts": "walnuts", "superfine": "caster",
    "desiccated unsweetened": "desiccated", "unsweetened desiccated": "desiccated",
    "maize": "corn", "soya": "soy", "stoneground": "stone ground",
    "plain flour": "all purpose flour", "ap flour": "all purpose flour",
    "mini chocolate chips": "semisweet chocolate mini chips",
}  # fmt: skip


def words_around() -> list[str]:
    """Every single word of the classes and synonyms: a name without one, in one piece, is not for the grammar."""
    phrases = (*ADVERBS, *SYNONYMS, *(word for kind in CLASSES for word in kind.words))
    return sorted({word for phrase in phrases for word in phrase.split()})
