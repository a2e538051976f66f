"""Where the parts of a formula go: into its base, or beside it, which is on it, in it or around it.

The base is the dough or batter with everything that is mixed into it. A topping, a filling, an icing, a
glaze and a layer stand beside it and have a 100 % of their own. `kind` says it; where it is missing, what
the method does with the part and what it is called settle it. Common practice, no source.
"""

from perflour.formula.formula import Formula, Part
from perflour.formula.verbs import (
    BAKES,
    DEPOSITS,
    MINDS_FAT,
    MIXES,
    MIXES_DRY,
    MIXES_IN,
    PORTIONS,
    PUTS_IN,
    PUTS_ON,
    STREWS,
    words_of,
)
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple
from perflour.typed import Literal

Place = Literal["base", "beside"]

KINDS: dict[str, Place] = {
    "dough": "base", "batter": "base", "preferment": "base", "starter": "base", "soaker": "base",
    "scald": "base", "topping": "beside", "filling": "beside", "icing": "beside", "glaze": "beside",
    "layer": "beside",
}  # fmt: skip
#: The kinds whose flour counts as prefermented.
PREFERMENTS = ("preferment", "starter")

# What a part is by a word of its name; of several the last one says it: `topping for the cake batter` aside.
_BESIDE_WORDS = frozenset((
    "topping", "streusel", "crumble", "crumbs", "crumb", "icing", "frosting", "glaze", "filling", "syrup",
    "drizzle", "ganache", "coating", "wash", "buttercream", "sauce", "jam", "compote", "finish", "decoration",
))  # fmt: skip
_BASE_WORDS = frozenset((
    "dough", "batter", "sponge", "cake", "base", "poolish", "biga", "levain", "leaven", "starter", "soaker",
    "scald", "tangzhong", "preferment", "dry", "wet", "mix", "mixture", "bread",
))  # fmt: skip
_MIXED_IN = MIXES | MIXES_IN | MIXES_DRY | PUTS_IN | MINDS_FAT
# These put into something else even where nothing else is named: fold the nuts, add the soaker.
_INTO = MIXES_IN | PUTS_IN
_LAID_DOWN = DEPOSITS | PORTIONS | BAKES
_LAID_ON = PUTS_ON | STREWS


class Places(NamedTuple):
    """The parts on top, which no other part uses, by folded name; ``unclear`` are those nothing settles.

    Those count as base, as do all parts where none would.
    """

    base: frozenset[str]
    beside: frozenset[str]
    unclear: tuple[Part, ...] = ()


def places_of(formula: Formula, on_top: frozenset[str]) -> Places:
    """Where the parts on top go; ``on_top`` are folded names."""
    if len(on_top) < 2:
        return Places(on_top, frozenset())
    parts = {fold(part.name): part for part in formula.parts}
    found = {name: _place(formula, parts[name]) for name in parts if name in on_top}
    beside = frozenset(name for name, place in found.items() if place == "beside")
    unclear = tuple(parts[name] for name, place in found.items() if place is None)
    if (
        beside == on_top
    ):  # an icing in two colours is all there is; a crust under a filling is not clear
        kinds = {parts[name].kind for name in on_top}
        open_ = () if len(kinds) == 1 else tuple(parts[name] for name in found)
        return Places(on_top, frozenset(), open_)
    if len(on_top - beside) == 1:
        unclear = ()  # all the rest stands on or in it
    return Places(on_top - beside, beside, unclear)


def _place(formula: Formula, part: Part) -> Place | None:
    """Where a part goes; None where nothing says it, or the method and the name say two things."""
    if part.kind in KINDS:
        return KINDS[part.kind]
    by_method, by_name = _by_method(formula, fold(part.name)), _by_name(part.name)
    if by_method and by_name and by_method != by_name:
        return None
    return by_method or by_name


def _by_method(formula: Formula, name: str) -> Place | None:
    """What the first step does with a part that does more than wait, but for the step that makes it.

    Laid down after another part was, it lies on that one.
    """
    is_carried = False
    for step in formula.method:
        verbs = words_of(step.do)
        is_used = any(fold(use.name) == name for use in step.uses)
        makes_it = fold(step.said.get("makes", "")) == name
        if is_used and not makes_it:
            goes_in = not _INTO.isdisjoint(verbs) or len(step.uses) > 1
            if goes_in and not _MIXED_IN.isdisjoint(verbs):
                return "base"
            if not _LAID_ON.isdisjoint(verbs):
                return "beside"
            if not _LAID_DOWN.isdisjoint(verbs):
                return "beside" if is_carried else "base"
        is_carried = is_carried or not _LAID_DOWN.isdisjoint(verbs)
    return None


def _by_name(name: str) -> Place | None:
    for word in reversed(fold(name).split()):
        if word in _BESIDE_WORDS:
            return "beside"
        if word in _BASE_WORDS:
            return "base"
    return None
