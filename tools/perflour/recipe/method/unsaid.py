"""What a sentence leaves unsaid: the verb of a list ("then two eggs"), what was done to a name that it hangs on.

"Sugar mixed with mace is strewn over" mixes before it strews; "in a buttered tin" butters a tin. Ordinary
English: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import NamedTuple

from perflour.formula.verbs import GREASES, MIXES, MIXES_IN
from perflour.kitchen.numerals import in_figures
from perflour.kitchen.quantity import PORTION_WORDS
from perflour.recipe.method.pieces import JOINTS, Piece, base_form
from perflour.recipe.words import phrases, word_map, word_set

#: The places in a row of folded words where something listed is named.
Foods = Callable[[Sequence[str]], Collection[int]]

_ENDS = frozenset((";", ":"))
_ARE = frozenset(("is", "are", "was", "were", "be", "been", "being", "has", "have", "had", "gets"))
_BEHIND_PARTICIPLES = frozenset(("together", "in", "into", "with", "over", "on", "by", "through", "until", "till", "to", "and", ",", ";", ""))  # fmt: skip
_LED = frozenset(("the", "a", "an", "then", "now", "your", "more", "about", *PORTION_WORDS))
_WITH = frozenset(("in", "with", "together", "into", "to"))
#: How far before a list its first food may stand, and how much of it is looked at for a verb.
_MOST_BEFORE_FOOD, _MOST_OF_LIST = 4, 16
#: So many words stand at most between a participle and the food or pan that it hangs on.
_MOST_BETWEEN = 5
#: What was done to a tin before it is filled: "on sheets lined with paper", "two tins, papered and well greased".
_READIED = (GREASES - {"spray", "flour"}) | {"line"}
_THAT = frozenset(("it", "them", "that", "those", "these", "this", "until", "till", "which"))
_NEXT = frozenset(("then", "finally", "lastly", "next", "last"))
_NEXT_BEHIND = frozenset(("next", "after", "last", "afterwards", "too"))


def with_passives(pieces: list[Piece], foods: Foods) -> list[Piece]:
    """ "Flour and salt sifted together, folded in by hand" with the "are" that it goes without."""
    words = [piece.word for piece in pieces]
    named = foods(words)
    if (told := _made_of(words, named)) is not None:
        pieces[told] = pieces[told]._replace(word=":")
        words[told] = ":"
    starts = [n for n in range(len(words)) if n == 0 or words[n - 1] in _ENDS]
    for start in reversed(starts):
        end = next((n for n in range(start, len(words)) if words[n] in _ENDS), len(words))
        if not _opens_with_food(words, start, end, named):
            continue
        if words[start] in word_map("names-of-verbs") and words[start + 1 : start + 2] == ["with"]:
            continue  # "glaze with sugar stirred to a paste"
        if _ARE & set(words[start:end]) or {"go", "goes", "i", "you", "we"} & set(words[start:end]):
            continue
        first = _participle(words, start, end, named)
        if first is None or _verb_before(words, start, first, named):
            continue
        for at in range(first + 1, end):
            verb = _done(words[at])
            is_state = words[at] in word_set("states") and (words[at + 1 : at + 2] == [","] or at + 1 in named)  # fmt: skip
            if verb and words[at - 1] in JOINTS and at not in named and not is_state:
                pieces[at] = pieces[at]._replace(word=verb)
        for at in range(end - 1, first, -1):
            if _done(words[at]) and at - 1 in named and _begins(words, at):
                pieces.insert(at, Piece("are", pieces[at].start, pieces[at].start))
        pieces.insert(first, Piece("are", pieces[first].start, pieces[first].start))
    return pieces


def _made_of(words: Sequence[str], named: Collection[int]) -> int | None:
    """Where "is" stands in "the glaze is syrup warmed with the juice", which tells what is done; None for nowhere."""
    at = next((n for n in range(1, min(4, len(words))) if words[n] in ("is", "are")), None)
    if at is None or words[0] not in ("the", "your") or not _is_part(words[at - 1]):
        return None
    done = any(_done(words[n]) and words[n - 1] not in _ARE for n in range(at + 2, len(words)))
    return at if done and _opens_with_food(words, at + 1, len(words), named) else None


def _is_part(word: str) -> bool:
    return word in word_map("part-kinds") or word in word_set("more-part-names")


def without_unused(pieces: list[Piece]) -> list[Piece]:
    """Without an "are" that was put in and that no clause took."""
    return [piece for piece in pieces if piece.word != "are" or piece.start != piece.end]


def _opens_with_food(words: Sequence[str], start: int, end: int, named: Collection[int]) -> bool:
    """Whether a list starts there: a food behind at most an article and words like "warm"."""
    for at in range(start, min(start + _MOST_BEFORE_FOOD, end)):
        if at in named or words[at] == "everything":
            return True
        if not (words[at] in _LED or words[at] in word_set("states") or _is_amount(words[at])):
            return False
    return False


def _is_amount(word: str) -> bool:
    return in_figures(word)[:1].isdigit() or word in ("more", "another", "of", "little")


def _participle(words: Sequence[str], start: int, end: int, named: Collection[int]) -> int | None:
    for at in range(start + 1, end):
        follower = words[at + 1] if at + 1 < len(words) else ""
        if _done(words[at]) and follower in _BEHIND_PARTICIPLES and (follower not in (",", "") or (at - 1 in named and "," in words[start:end])):  # fmt: skip
            return at
        if words[at - 1 : at] == [","] and at - 2 in named and words[at + 1 : at + 3] == [",", "then"] and _done(words[at]) in MIXES:  # fmt: skip
            return at  # "flour, yeast and salt, mixed, then the milk"
    return None


def _begins(words: Sequence[str], at: int) -> bool:
    """Whether a food right behind a comma stands before a participle: ", flour folded through"."""
    return "," in words[max(0, at - 4) : at]


def _done(word: str) -> str:
    """The verb of a participle that says what was done; empty for other words."""
    if word.endswith("ed") or word in word_map("irregular-verbs"):
        verb = base_form(word)
        return verb if verb != word else ""
    return ""


def _verb_before(words: Sequence[str], start: int, end: int, named: Collection[int]) -> bool:
    return any(
        phrases("verbs").at(words, at)
        and at not in named
        and (at == start or words[at - 1] in JOINTS)
        for at in range(start, end)
    )


def with_lists(pieces: list[Piece], foods: Foods) -> list[Piece]:
    """ "Cream the butter; two eggs, one at a time; then the flour" with "add" before each list."""
    words = [piece.word for piece in pieces]
    named = foods(words)
    if _lists_first(words, named):
        pieces.insert(0, Piece("add", pieces[0].start, pieces[0].start))
        words.insert(0, "add")
        named = foods(words)
    elif (told := _list_behind_if(words, named)) is not None:
        pieces.insert(told, Piece("add", pieces[told].start, pieces[told].start))
        words.insert(told, "add")
        named = foods(words)
    mixing = _mixing(words)
    if mixing is None:
        return pieces
    for at in range(len(words) - 1, mixing + 1, -1):
        is_last = words[max(0, at - 3) : at] == ["last", "of", "all"]
        goes_on = words[at - 2 : at] == [",", "and"] and _worked_on_that(words, at - 2, named)
        if not (is_last or goes_on or words[at - 1] in (*_NEXT, ",", ";")) or words[at] in JOINTS:
            continue
        end = next((n for n in range(at, min(at + _MOST_OF_LIST, len(words))) if words[n] == ";" or (n > at and words[n] in _NEXT)), min(at + _MOST_OF_LIST, len(words)))  # fmt: skip
        if not _opens_with_food(words, at, end, named) or not _is_next(words, at, end):
            continue
        first = at
        while first - 1 > mixing and words[first - 1] in _NEXT and words[first - 2] in (*_NEXT, *JOINTS):  # fmt: skip
            first -= 1
        if _says_verb(words, at, end, named) or _goes_on_adding(words, at, mixing):
            continue
        pieces.insert(at, Piece("add", pieces[at].start, pieces[at].start))
        if is_last:
            pieces[at - 3 : at] = [pieces[at - 3]._replace(word="then")]
        elif words[at - 1] in _NEXT:
            pieces[at - 1] = pieces[at - 1]._replace(word="then")
    return pieces


def _goes_on_adding(words: Sequence[str], at: int, mixing: int) -> bool:
    """ "Add the yolks; a cup of sugar; a wineglass of brandy": one list, told apart by its signs."""
    adds = words[mixing] == "add" and words[at - 1] == ";"
    return adds and "then" not in words[mixing:at] and not any(_in_turns(words, n) for n in range(mixing, at))  # fmt: skip


def _lists_first(words: Sequence[str], named: Collection[int]) -> bool:
    """ "Flour and salt into the mixer, pour in the milk": a list that goes in before another thing is done."""
    end = next((n for n in range(1, min(_MOST_OF_LIST, len(words))) if words[n - 1] in JOINTS and n not in named and phrases("verbs").at(words, n) and words[n] not in word_set("verbs-that-are-nouns") - word_set("verbs-of-waiting")), 0)  # fmt: skip
    front = words[:end]
    return (
        end > 1
        and (words[0] in ("flour", "butter", "oil") or not phrases("verbs").at(words))
        and _opens_with_food(words, 0, end, named)
        and bool(set(front) & {"in", "into", "together"})
        and not set(front) & (_ARE | word_set("finite-verbs") | word_set("verbs-that-add") | _THAT)
        and not set(words[end : end + 3]) & _THAT
    )


def _list_behind_if(words: Sequence[str], named: Collection[int]) -> int | None:
    """Where a list stands behind a condition, "if it is too dry, a spoon of water"; None for nowhere."""
    if not words or words[0] not in word_set("openings-of-sentences") or "," not in words:
        return None
    first = len(words) - words[::-1].index(",")
    has_verb = any((n == 0 or words[n - 1] in JOINTS) and n not in named and phrases("verbs").at(words, n) for n in range(len(words)))  # fmt: skip
    tells = set(words[first:]) & (_ARE | word_set("finite-verbs"))
    is_list = _opens_with_food(words, first, len(words), named) and not phrases("verbs").at(words, first)  # fmt: skip
    return first if is_list and not has_verb and not tells else None


def _mixing(words: Sequence[str]) -> int | None:
    """Where the first verb stands that makes a mixture, which what follows may be added to."""
    makes = (
        MIXES
        | MIXES_IN
        | word_set("verbs-that-make-mixtures")
        | word_set("verbs-that-take")
        | word_set("verbs-that-bring-on")
    )
    for at, word in enumerate(words):
        if word in makes and (
            at == 0 or words[at - 1] in JOINTS or words[0] in word_set("openings")
        ):
            return at
    return None


def _is_next(words: Sequence[str], at: int, end: int) -> bool:
    """Whether a list comes after another thing: behind "then" or ";", or "in four goes", "one at a time"."""
    if words[at - 1] != ",":
        return True
    comma = next((n for n in range(at, end) if words[n] == ","), end)
    if any(_in_turns(words, n) for n in range(at, min(comma + 2, end))):
        return True
    comma = next((n for n in range(at, end) if words[n] in (",", "and")), end)
    return comma > at and words[comma - 1] in _NEXT_BEHIND


def _worked_on_that(words: Sequence[str], end: int, named: Collection[int]) -> bool:
    """Whether a clause before a place only works on what was named: "whisk that up, and yogurt"."""
    first = next((n for n in range(end - 1, -1, -1) if words[n] in (*JOINTS, *_NEXT)), -1) + 1
    said = words[first:end]
    if any(n in named for n in range(first, end)) or not 2 <= len(said) <= 4:
        return False
    return said[0] in MIXES | MIXES_IN and not _THAT.isdisjoint(said[1:3]) and {"until", "till"}.isdisjoint(said)  # fmt: skip


def _in_turns(words: Sequence[str], at: int) -> bool:
    """ "In four goes", "one at a time", "a little at a time"."""
    said = words[at : at + 4]
    return (
        said[:1] == ["in"] and said[2:3] != [] and said[2] in ("goes", "lots", "batches", "turns")
    ) or (
        said[0:1] in (["one"], ["a"], ["little"], ["bit"])
        and "at" in said
        and "time" in words[at : at + 5]
    )


def _says_verb(words: Sequence[str], at: int, end: int, named: Collection[int]) -> bool:
    """Whether a list has a verb of its own, so that none is missing."""
    return any(
        (n == at or words[n - 1] in (*JOINTS, "you"))
        and n not in named
        and phrases("verbs").at(words, n)
        and words[n] not in word_set("verbs-that-are-nouns")
        and (n == at or words[n - 1] not in (",", "and"))
        for n in range(at, end)
    ) or bool(_ARE & set(words[at:end]))


class Hung(NamedTuple):
    """What was done before: the verb, where its participle stands, where its things do; ``spent`` is what only it takes."""

    verb: str
    at: int
    things: tuple[range, ...] = ()
    spent: range = range(0)


def hung_on(words: Sequence[str], foods: Foods) -> list[Hung]:
    """What was done before to what a clause names.

    "Add the yeast dissolved in the water" dissolves; "lay in a dish rubbed with butter" takes its butter there.
    """
    named = foods(words)
    found: list[Hung] = []
    for at in range(1, len(words)):
        verb = _done(words[at])
        if not verb:
            continue
        before = words[max(0, at - _MOST_BETWEEN) : at]
        behind = _run_behind(words, at, named)
        if (
            verb in word_set("verbs-hung-on-names")
            and not (_ARE & set(before[-2:]))
            and words[at + 1 : at + 2]
            and words[at + 1] in _WITH
        ):
            subject = _run_before(words, at, named)
            if subject and behind:
                found.append(Hung(verb, at, (subject, behind)))
        elif (
            verb in word_set("verbs-hung-on-names")
            and words[at - 1] == "been"
            and (which := _which(words, at))
        ):
            thing = _run_before(words, which, named)
            if thing:
                found.append(Hung(verb, at, (range(which + 2, at - 2), thing)))
        elif (
            verb in GREASES | {"rub"}
            and words[at + 1 : at + 2] == ["with"]
            and behind
            and set(before) & word_set("vessels")
        ):
            found.append(Hung(verb, at, (behind,), range(at, behind.stop)))
        elif verb == "butter" and (
            set(words[at : at + _MOST_BETWEEN]) | set(before[-2:])
        ) & word_set("vessels"):
            found.append(Hung(verb, at))
            if words[at + 1 : at + 3] == ["and", "floured"]:
                found.append(Hung("flour", at + 2))
        elif (
            verb in _READIED
            and words[at - 1] != "been"
            and set(before[_of_pan(words[at - 1]) :]) & word_set("baking-tins")
        ):
            found.append(Hung(verb, at))
        elif list_of := _made_ready(words, at, named):
            found.append(list_of)
    beaten = [Hung("beat", at, (thing,)) for at in range(1, len(words) - 1) if words[at : at + 2] == ["beaten", "until"] and (thing := _run_before(words, at, named))]  # fmt: skip
    # two foods of a list beaten each until it is as it should be stand in two bowls
    return sorted([*found, *(beaten if len(beaten) > 1 else ())], key=lambda one: one.at)


def _made_ready(words: Sequence[str], at: int, named: Collection[int]) -> Hung | None:
    """ "Flour, baking powder and salt, mixed and sifted": what closes a list was done to all of it."""
    done = {"mixed": "mix", "sifted": "sift"}
    if words[at] not in done or words[at - 1] != ",":
        return None
    also = words[at + 2] if words[at + 1 : at + 2] == ["and"] and at + 2 < len(words) else ""
    end = at + (3 if also in done else 1)
    end += words[end : end + 1] == ["together"]
    first = at - 1
    while first and (first - 1 in named or words[first - 1] in (",", "and")):
        first -= 1
    is_list = first in named and "," in words[first : at - 1]
    if not is_list or (end < len(words) and words[end] not in JOINTS):
        return None
    verb = f"{done[words[at]]} and {done[also]}" if also in done else done[words[at]]
    return Hung(verb, at, (range(first, at - 1),))


def _of_pan(before: str) -> int:
    """How far before a participle its pan stands: "tins, papered and well greased" speaks of both."""
    return -4 if before in ("and", "well", "you've", "you’ve", "have") else -2


def _which(words: Sequence[str], at: int) -> int | None:
    """Where "in which" opens what a participle closes."""
    return next(
        (n for n in range(at - 1, max(0, at - 8), -1) if words[n : n + 2] == ["in", "which"]), None
    )


def _run_before(words: Sequence[str], at: int, named: Collection[int]) -> range | None:
    """The food right before a place, from the joint before it."""
    last = next((n for n in range(at - 1, max(-1, at - _MOST_BETWEEN), -1) if n in named), None)
    if last is None or any(w in JOINTS and w != "," for w in words[last + 1 : at]):
        return None
    first = last
    while first - 1 in named or (first > 0 and words[first - 1] in _LED):
        first -= 1
    return range(first, last + 1)


def _run_behind(words: Sequence[str], at: int, named: Collection[int]) -> range | None:
    """The foods behind a participle, as far as "and" joins them."""
    most = _MOST_BETWEEN + 2 if words[at + 1 : at + 3] == ["to", "a"] else _MOST_BETWEEN
    first = next((n for n in range(at + 1, min(at + 1 + most, len(words))) if n in named), None)
    if first is None or any(w in JOINTS for w in words[at + 1 : first]):
        return None
    last = first
    while last + 1 in named:
        last += 1
    while words[last + 1 : last + 2] == ["and"] and (
        nxt := next((n for n in range(last + 2, min(last + 5, len(words))) if n in named), None)
    ):
        if any(w in JOINTS for w in words[last + 2 : nxt]):
            break
        last = nxt
        while last + 1 in named:
            last += 1
    return range(at + 1, last + 1)
