"""Verbs of the trade and what they mean: one row a verb, read by all who ask what a step does.

To teach perflour a verb, give it a row; to ask something new of verbs, a word for the answer in the rows
and a set below. Common practice, no source.
"""

from collections.abc import Iterator
from functools import lru_cache

# By verb, in words parted by spaces:
#   bakes     puts something in the oven            heats      makes hotter without cooking
#   preheats  heats the oven, said alone            cooks      cooks on the stove, under a grill, in fat
#   fires     heats it with "the oven" behind it    brings     brings to a temperature ("to 26 °C")
#   chills    puts in the cold                      cools      lets cool down after the bake
#   waits     lets a dough or batter stand          stands     lets stand what may wait for the baker
#   mixes     brings together, wet or dry           mixes-dry  dry things only
#   mixes-in  puts into what is wet already         puts-in    takes "in" before what is put in a mixture
#   puts-on   takes "with" before what goes on top  minds-fat  may want its fat in one state
#   creams    beats air into fat with sugar         rubs       brings fat into flour dry
#   foams     beats air into what has egg           kneads     works a dough
#   pan       prepares a pan or mould               greases    takes something that must be listed
#   named     is the name of what it takes          strews     may name it behind: dusted with flour
#   deposits  fills pans                            portions   makes pieces
#   lays      puts in its place what was just made
#   readies   gets something ready that a later step may name again
#   dry-heat  cooks without the stove            fries, steams, griddles, freezes, proofs  may be done in a thing of that name
#   patient   leaves it so that it stands as long as you like
_MEANING = {
    "add": "mixes-in",
    "bake": "bakes",
    "beat": "mixes-in minds-fat foams",
    "blend": "mixes",
    "bloom": "readies",
    "boil": "cooks",
    "bring": "brings",
    "broil": "cooks dry-heat",
    "brown": "heats readies",
    "brush": "puts-on",
    "butter": "pan greases named",
    "caramelise": "cooks",
    "caramelize": "cooks",
    "chill": "chills cools waits",
    "chop": "readies patient",
    "coat": "puts-on",
    "combine": "mixes readies",
    "cook": "cooks",
    "cool": "cools stands brings",
    "cover": "puts-on",
    "crack": "readies patient",
    "cream": "minds-fat creams",
    "cut": "portions minds-fat rubs",
    "decorate": "puts-on",
    "deposit": "deposits portions",
    "dissolve": "readies",
    "divide": "portions",
    "drain": "stands",
    "dust": "puts-on pan greases strews",
    "ferment": "waits",
    "fill": "puts-on",
    "finish": "puts-on",
    "fire": "fires",
    "flour": "pan greases named",
    "fold": "mixes-in puts-in",
    "form": "portions",
    "freeze": "chills cools waits freezes",
    "fry": "cooks fries",
    "garnish": "puts-on",
    "get": "fires",
    "glaze": "puts-on",
    "grate": "readies patient",
    "grease": "pan greases",
    "griddle": "cooks griddles",
    "grill": "cooks dry-heat",
    "grind": "readies patient",
    "heap": "lays",
    "heat": "fires heats brings",
    "hold": "cools readies",
    "hydrate": "stands",
    "infuse": "stands",
    "keep": "readies",
    "knead": "puts-in brings kneads",
    "ladle": "deposits portions",
    "lay": "lays",
    "light": "fires",
    "line": "pan",
    "measure": "readies",
    "melt": "heats readies brings",
    "mix": "mixes brings",
    "oil": "pan greases named",
    "paper": "pan named",
    "pipe": "deposits portions lays",
    "poach": "cooks",
    "portion": "portions",
    "pour": "deposits portions",
    "preheat": "preheats brings",
    "prepare": "pan",
    "proof": "waits proofs",
    "prove": "waits proofs",
    "refrigerate": "chills cools waits",
    "reserve": "readies",
    "rest": "cools waits",
    "retard": "chills cools waits",
    "rise": "waits",
    "roast": "cooks readies patient dry-heat",
    "roll": "portions",
    "rub": "minds-fat rubs",
    "save": "readies",
    "scald": "cooks readies brings",
    "scale": "portions",
    "scatter": "puts-on",
    "scrape": "deposits portions",
    "set": "fires stands readies brings",
    "shape": "portions",
    "sift": "mixes-dry readies patient",
    "simmer": "cooks",
    "soak": "stands readies",
    "soften": "heats readies",
    "spoon": "deposits portions",
    "spread": "deposits portions lays",
    "sprinkle": "greases strews",
    "stand": "cools waits",
    "steam": "cooks steams",
    "steep": "stands",
    "stir": "mixes puts-in",
    "temper": "heats brings",
    "thaw": "stands",
    "thicken": "cooks",
    "toast": "readies patient",
    "top": "puts-on",
    "toss": "mixes-dry",
    "transfer": "deposits portions",
    "turn": "fires",
    "unmould": "cools",
    "warm": "heats readies brings",
    "water": "greases named",
    "weigh": "readies patient",
    "whip": "foams",
    "whisk": "mixes readies foams",
    "zest": "readies patient",
}
_VERBS: dict[str, set[str]] = {}
for _verb, _meaning in _MEANING.items():
    for _word in _meaning.split():
        _VERBS.setdefault(_word, set()).add(_verb)


def every_verb() -> Iterator[str]:
    """Every verb that has a row, in the order of the alphabet."""
    return iter(_MEANING)


def _that(meaning: str) -> frozenset[str]:
    return frozenset(_VERBS.pop(meaning))


BAKES, PREHEATS, FIRES = _that("bakes"), _that("preheats"), _that("fires")
COOKS, HEATS, BRINGS = _that("cooks"), _that("heats"), _that("brings")
CHILLS, COOLS = _that("chills"), _that("cools")
WAITS, STANDS = _that("waits"), _that("stands")
MIXES, MIXES_IN, MIXES_DRY = _that("mixes"), _that("mixes-in"), _that("mixes-dry")
PUTS_IN, PUTS_ON = _that("puts-in"), _that("puts-on")
MINDS_FAT = _that("minds-fat")
PAN, GREASES = _that("pan"), _that("greases")
NAMED, STREWS, LAYS = _that("named"), _that("strews"), _that("lays")
DEPOSITS, PORTIONS = _that("deposits"), _that("portions")
READIES, PATIENT = _that("readies"), _that("patient")
DRY_HEAT, FRIES, STEAMS, GRIDDLES = map(_that, ("dry-heat", "fries", "steams", "griddles"))
FREEZES, PROOFS = _that("freezes"), _that("proofs")
CREAMS, RUBS = _that("creams"), _that("rubs")
FOAMS, KNEADS = _that("foams"), _that("kneads")

# What may stand between a verb and the oven that it heats.
_BEFORE_OVEN = ("the", "your", "an", "a", "on", "up")
_OVENS = ("oven", "ovens")


# Owner: the process; the few verbs of kitchens alone. Bound: 1024. Pays: every rule of the method asks of every step.
@lru_cache(maxsize=1024)
def bakes(do: str) -> bool:
    """Whether a step that does this puts something in the oven: bake, blind bake, par-bake."""
    return not BAKES.isdisjoint(words_of(do))


# Owner: the process; the few verbs of kitchens alone. Bound: 1024. Pays: every rule of the method asks of every step.
@lru_cache(maxsize=1024)
def heats_oven(do: str) -> bool:
    """Whether a step that does this heats an oven: preheat, light the oven, turn the oven on."""
    verb, *behind = words_of(do.lower().replace("pre-heat", "preheat")) or [""]
    if verb.startswith(tuple(PREHEATS)):
        return True
    named = next((word for word in behind if word not in _BEFORE_OVEN), "")
    return verb in FIRES and named in _OVENS and (verb != "turn" or "on" in behind)


def words_of(do: str) -> list[str]:
    """The words of what a step does, folded and bare of marks."""
    return [word.strip(",;:.()") for word in do.lower().replace("-", " ").split()]


def oven_phrases() -> Iterator[str]:
    """What people write of an oven that is heated, to be looked for in a text."""
    yield "pre-heat"
    for verb in sorted(FIRES):
        for oven in ("oven", "the oven", "your oven"):
            yield from (
                (f"turn on {oven}", f"turn {oven} on") if verb == "turn" else (f"{verb} {oven}",)
            )


def past(verb: str) -> str:
    """What was done: greased, floured."""
    return f"{verb}d" if verb.endswith("e") else f"{verb}ed"
