"""A grammar of names: a food of the catalogue with words around it that leave it the food that it is.

Only for what the catalogue does not hold by name. A word that no class knows makes the name unknown: it is
never another food. Loaded when such a name is met, so kept light.
"""

import unicodedata
from collections.abc import Callable, Iterable, Iterator
from itertools import combinations

from perflour.kitchen.catalogue import Ingredient, Said
from perflour.kitchen.name_words import ADVERBS, CLASSES, SYNONYMS, WordClass
from perflour.kitchen.names import normal_name
from perflour.tuples import NamedTuple

#: Longer names, and names with more words to take off, are unknown: the search doubles with each.
MOST_WORDS = 12
MOST_TAKEN = 8
#: How like a noun and a whole name must be to be suggested, of 100.
NEAR_NOUN = 70.0
NEAR_NAME = 78.0
#: How far behind the nearest another may be.
AS_NEAR = 8.0
Find = Callable[[str], Ingredient | None]

_CLASSES_OF: dict[str, tuple[WordClass, ...]] = {}
for _class in CLASSES:
    for _word in _class.words:
        _CLASSES_OF[_word] = (*_CLASSES_OF.get(_word, ()), _class)
_LONGEST = max(word.count(" ") for word in (*_CLASSES_OF, *SYNONYMS)) + 1
_JOINING = ("and", "&", "then")
#: Words of doing: what an adverb stands before.
_DOING = frozenset(
    word
    for word in _CLASSES_OF
    if word.endswith(("ed", "en")) or word in ("ground", "cut", "ripe", "soft")
)


class _Word(NamedTuple):
    """A word or phrase of a name, and whether it may be taken off.

    ``leads`` for an adverb before a word of doing, ``joins`` for an "and" between two words that may go.
    """

    text: str
    may_go: bool
    leads: bool = False
    joins: bool = False


def understand(name: str, find: Find) -> Said | None:
    """The food a name means with the words taken off it; None where it is unknown.

    ``find`` knows foods by their exact names.
    """
    plain = _plain(name)
    if len(plain.split()) > MOST_WORDS:
        return None
    outer, bracketed = _without_brackets(plain)
    if bracketed is None:
        return None
    said = _of_either(outer, find) if "/" in outer else _one(outer, find)
    for text in bracketed:
        said = _agreed(said, text, outer, find)
    return said


def make_another(text: str, food: Ingredient) -> bool:
    """Whether words would make another food of it: "minced" of ground ginger, "fresh" of dry breadcrumbs.

    Words that no class knows are not judged.
    """
    known = (_CLASSES_OF.get(word.text, ()) for word in _split(_plain(text)))
    return any(classes and not any(c.fits(food) for c in classes) for classes in known)


def near_names(name: str, known: Iterable[tuple[str, bool]]) -> list[str]:
    """Known names that end on the same noun, or one spelled nearly so, the nearest first.

    ``known`` says of each name whether it is a main one: where the name says no more than the noun, all main
    names that end on it are as near.
    """
    from rapidfuzz import fuzz  # only on the way to an error

    wanted = " ".join(word.text for word in _kept(name))
    noun = wanted.rpartition(" ")[2]
    scored: list[tuple[float, str]] = []
    for other, is_main in known:
        last = other.rpartition(" ")[2]
        same = noun.rstrip("s") == last.rstrip("s")
        if _is_free(wanted) and not _is_free(other):
            continue  # gluten is not near "gluten-free"
        if not noun or not (same or fuzz.ratio(noun, last) >= NEAR_NOUN):
            continue
        if same and wanted == noun:
            score = 100.0 if is_main else 0.0
        else:
            score = (fuzz.ratio(wanted, other) + fuzz.token_set_ratio(wanted, other)) / 2
        scored.append((-score, other))
    scored.sort()
    least = max(NEAR_NAME, -scored[0][0] - AS_NEAR) if scored else NEAR_NAME
    return [other for score, other in scored if -score >= least]


def _is_free(name: str) -> bool:
    return "free" in name.split()


def _kept(name: str) -> list[_Word]:
    """The words of a name in the order of speech, those that may go at its end taken off."""
    plain = _plain(name).partition("(")[0].partition("/")[0]
    words = _split(next(_orders(plain), ""))
    while len(words) > 1 and words[-1].may_go:
        words.pop()
    return [word for word in words if word is words[-1] or not word.may_go]


def _plain(name: str) -> str:
    """In small letters without accents and hyphens; commas, brackets and strokes stay."""
    letters = unicodedata.normalize("NFKD", name)
    bare = "".join(sign for sign in letters if not unicodedata.combining(sign))
    return normal_name(bare).replace(" %", "%")


def _without_brackets(plain: str) -> tuple[str, list[str] | None]:
    """A name without what stands in brackets, and that; None where they do not close."""
    outer, inner = "", []
    rest = plain
    while "(" in rest:
        before, _, rest = rest.partition("(")
        text, closed, rest = rest.partition(")")
        if not closed or not text.strip() or "(" in text:
            return plain, None
        outer += f"{before} "
        inner.append(text.strip())
    outer = " ".join(f"{outer}{rest}".replace(" ,", ",").split())
    return outer, None if ")" in outer else inner


def _of_either(plain: str, find: Find) -> Said | None:
    """ "plain/all-purpose flour": each side must be a name of one and the same food."""
    first, *others = (side.strip() for side in plain.split("/"))
    if not all(others):
        return None
    said = _one(first, find) or _one(f"{first} {others[-1].split()[-1]}", find)
    for text in others:
        said = _also_called(said, text, first, find)
    return said


def _agreed(said: Said | None, text: str, outer: str, find: Find) -> Said | None:
    """With what stands in brackets: words around the food, or another name of the same food.

    "butter (salted)" is salted butter, though "butter" alone is not.
    """
    return _one(f"{outer}, {text}", find) or _also_called(said, text, outer, find)


def _also_called(said: Said | None, text: str, outer: str, find: Find) -> Said | None:
    if said is None:
        return None
    noun = outer.partition(",")[0].split()[-1:]
    for also in (text, " ".join((text, *noun))):
        other = _one(also, find)
        if other and other.food.name == said.food.name:
            states, others = said.states + other.states, said.others + other.others
            return Said(said.food, states, others)
    return None


def _one(plain: str, find: Find) -> Said | None:
    """A name without brackets, in every order of its pieces that a reader would try."""
    for order in _orders(plain):
        for text in dict.fromkeys((order, _in_our_words(order))):
            if said := _taken_apart(text, find):
                return said
    return None


def _orders(plain: str) -> Iterator[str]:
    """ "butter, unsalted" is "unsalted butter"; "sugar, brown, light" is "light brown sugar"."""
    head, *behind = (" ".join(piece.split()) for piece in plain.split(","))
    behind = [piece for piece in behind if piece]
    if not head:
        return
    yield " ".join((*behind, head))
    if len(behind) > 1:
        yield " ".join((*reversed(behind), head))


def _in_our_words(text: str) -> str:
    words, out, at = text.split(), [], 0
    while at < len(words):
        for length in range(min(_LONGEST, len(words) - at), 0, -1):
            phrase = " ".join(words[at : at + length])
            if phrase in SYNONYMS or length == 1:
                out.append(SYNONYMS.get(phrase, phrase))
                at += length
                break
    return " ".join(out)


def _split(text: str) -> list[_Word]:
    """Words and known phrases, the longest first."""
    words = text.replace(",", " ").split()
    found: list[_Word] = []
    at = 0
    while at < len(words):
        for length in range(min(_LONGEST, len(words) - at), 0, -1):
            phrase = " ".join(words[at : at + length])
            if phrase in _CLASSES_OF or length == 1:
                break
        at += length
        follows = words[at] if at < len(words) else ""
        if phrase in _JOINING:
            joins = (
                bool(found) and found[-1].may_go and (follows in _CLASSES_OF or follows in ADVERBS)
            )
            found.append(_Word(phrase, joins, joins=joins))
        else:
            leads = phrase in ADVERBS and follows in _DOING
            found.append(_Word(phrase, leads or phrase in _CLASSES_OF, leads))
    return found


def _taken_apart(text: str, find: Find) -> Said | None:
    """The food left when the fewest words are taken off.

    None where none is left, two are, or the words do not go with it: less of the name might then be
    another food.
    """
    words = _split(text)
    loose = [at for at, word in enumerate(words) if word.may_go]
    if len(loose) > MOST_TAKEN:
        return None
    for count in range(len(loose) + 1):
        found: dict[str, Said | None] = {}
        for off in combinations(loose, count):
            core = " ".join(word.text for at, word in enumerate(words) if at not in off)
            food = find(core) if core else None
            if food:
                around = _around([words[at] for at in off], food)
                found[food.name] = found.get(food.name) or around
        if found:
            fitting = [said for said in found.values() if said]
            return fitting[0] if len(fitting) == 1 else None
    return None


def _around(words: list[_Word], food: Ingredient) -> Said | None:
    """The words sorted into states and those that say nothing; None where one does not go with the food."""
    states: list[str] = []
    others: list[str] = []
    adverb = ""
    for word in words:
        fitting = [c for c in _CLASSES_OF.get(word.text, ()) if c.fits(food)]
        if fitting:
            kept = states if all(c.is_state for c in fitting) else others
            kept.append(f"{adverb} {word.text}".strip())
            adverb = ""
        elif word.leads and not adverb:
            adverb = word.text
        elif not word.joins:
            return None
    if adverb:  # what it stood before is part of the name: "finely" of "finely ground almonds"
        states.append(adverb)
    return Said(food, tuple(states), tuple(others))
