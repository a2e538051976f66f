"""The name in an ingredient line: which ingredient of the catalogue it is, in which state."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue, Ingredient, keep
from perflour.kitchen.name_grammar import make_another
from perflour.kitchen.names import normal_name, spellings_of
from perflour.recipe.words import phrases, word_map, word_set

#: Names of the catalogue have at most this many words.
MOST_WORDS = 6
_IN_PIECES = ("egg", "fruit")


class Named(NamedTuple):
    """What a name says. ``known`` None where the catalogue has no such ingredient; ``item`` is kept then.

    ``qualifiers`` stand before the name and are not part of the catalogue's.
    """

    item: str
    known: Ingredient | None
    states: tuple[str, ...] = ()
    qualifiers: str = ""


def is_state(text: str) -> bool:
    """Whether a text says nothing but states: "softened", "peeled and cut into small cubes"."""
    words = text.lower().replace(",", " ").split()
    at, found = 0, False
    counted = any(word[0].isdigit() for word in words)  # "about 8 medium" is no state
    while at < len(words):
        if length := phrases("state-phrases").at(words, at) or phrases("states").at(words, at):
            found = found or not (counted and words[at] in word_set("sizes"))
            at += length
        elif words[at] in word_set("state-fillers") or words[at][0].isdigit():
            at += 1
        else:
            return False
    return found


def named(text: str, catalogue: Catalogue) -> Named:
    """The ingredient that a name means: the longest known name at its end, states around it."""
    known: Named | None = catalogue.said_in_recipes.get(("name", text))
    return known or keep(catalogue.said_in_recipes, ("name", text), _named(text, catalogue))


def _named(text: str, catalogue: Catalogue) -> Named:
    words = text.split()
    words, after = _without_states_behind(words)
    first, before = _states_in_front(words)
    bare = _known(words[first:], catalogue)
    for start in range(first):
        known = _known(words[start:], catalogue)
        if known and not (
            bare and bare.name == known.name and _is_handled(words[start:first], bare)
        ):
            states = [" ".join(words[:start])] if start else []
            return Named(_spelled(words[start:], known), known, (*states, *after))
    whole = catalogue.find(" ".join(words)) if bare else None
    if bare and bare != whole and make_another(" ".join((*before, *after)), bare):
        return Named(text, None)  # alone, the rest would name a food that is not meant
    if bare:
        return Named(_spelled(words[first:], bare), bare, (*before, *after))
    if said := catalogue.understood(" ".join(words)):
        states, others = ([_as_written(text, words) for text in of] for of in said[1:])
        return Named(said.food.name, said.food, (*states, *after), " ".join(others))
    for start in range(max(0, len(words) - MOST_WORDS), len(words)):
        left = words[first:start]
        known = _known(words[start:], catalogue)
        if (
            known
            and _change_nothing(left)
            and not make_another(" ".join((*words[:start], *after)), known)
        ):
            front = before if start >= first else ()
            return Named(_spelled(words[start:], known), known, (*front, *after), " ".join(left))
    if _known([*words, *after], catalogue):
        return named(" ".join(words), catalogue)
    if words and (whole := word_map("short-names").get(words[-1].lower())):
        return named(" ".join((*words[:-1], whole)), catalogue)
    return Named(" ".join(words[first:]) or text, None, (*before, *after))


def choice(text: str, catalogue: Catalogue) -> tuple[Named, str]:
    """The first name of "X or Y", with the rest as it stands; "all-purpose or bread flour" shares its noun."""
    first, found, others = text.partition(" or ")
    if not found or _known(text.split(), catalogue):
        return named(text, catalogue), ""
    one = named(first, catalogue)
    noun = others.split()[-1] if others.split() else ""
    if one.known is None and (known := named(f"{first} {noun}", catalogue)).known:
        one = known
    return one, f"or {others}"


def inverted(name: str, behind: Sequence[str], catalogue: Catalogue) -> Named | None:
    """A name with its adjectives behind commas ("milk, nonfat, dry"); None where that is no name."""
    joined = " ".join((*behind, name))
    plain = _known(name.split(), catalogue)
    known = _known(joined.split(), catalogue)
    handled = is_state(" ".join(behind))
    if known and (plain is None or known.name != plain.name or not handled):
        return Named(_spelled(joined.split(), known), known)
    if len(behind) == 1 and not is_state(behind[0]):
        last = behind[0].split()[-1:]
        known = _known([*last, *name.split()], catalogue)
        if known:
            left = behind[0].split()[:-1]
            if _change_nothing(left):
                return Named(_spelled([*last, *name.split()], known), known, (), " ".join(left))
    return None


def _known(words: Sequence[str], catalogue: Catalogue) -> Ingredient | None:
    if not 0 < len(words) <= MOST_WORDS:
        return None
    return catalogue.named(" ".join(words))


def _spelled(words: Sequence[str], known: Ingredient) -> str:
    """The catalogue's own spelling of the name that was written, alias or main name."""
    written = set(spellings_of(" ".join(words)))
    return next((n for n in (known.name, *known.aliases) if normal_name(n) in written), known.name)


def _change_nothing(words: Sequence[str]) -> bool:
    """Whether words before a name leave it that ingredient: "chocolate" before "milk" does not."""
    return word_set("qualifiers").issuperset(word.lower() for word in words)


def _as_written(phrase: str, words: Sequence[str]) -> str:
    """The words of the line that a phrase without hyphens stands for."""
    for start in range(len(words)):
        for end in range(start + 1, len(words) + 1):
            if normal_name(" ".join(words[start:end])).strip(",") == phrase:
                return " ".join(words[start:end]).strip(",")
    return phrase


def _states_in_front(words: Sequence[str]) -> tuple[int, tuple[str, ...]]:
    """How many words in front are states or fillers, and the states."""
    lower = [word.lower().strip(",") for word in words]
    at, start, found = 0, 0, False
    while at < len(words) - 1:
        if length := phrases("states").at(lower, at):
            at, found = at + length, True
        elif lower[at] in word_set("name-fillers") or (found and lower[at] in ("and", "or", "but")):
            at += 1
            start = start if found else at
        else:
            break
    at = min(at, len(words) - 1) if words else 0
    return at, (" ".join(words[start:at]).strip(","),) if found and at > start else ()


def _without_states_behind(words: Sequence[str]) -> tuple[list[str], tuple[str, ...]]:
    """The words before the first run of states that lasts to the end, and that run."""
    lower = [word.lower().strip(",") for word in words]
    for start in range(max(1, len(words) - MOST_WORDS), len(words)):
        opens = phrases("states").at(lower, start) or phrases("state-phrases").at(lower, start)
        if opens and is_state(" ".join(lower[start:])):
            return list(words[:start]), (" ".join(words[start:]),)
    return list(words), ()


def _is_handled(words: Sequence[str], known: Ingredient) -> bool:
    """Whether states tell what was done by hand (chopped, ground), not which kind it is (unsalted).

    A size is one of pieces: a medium egg, but not a medium rye flour.
    """
    last = words[-1].lower().strip(",") if words else ""
    if last in word_set("sizes"):
        return known.group in _IN_PIECES
    return last != "unsalted" and (last.endswith("ed") or last in ("ground", "fresh"))
