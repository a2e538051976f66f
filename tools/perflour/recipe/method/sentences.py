"""A method's text to sentences, and a sentence to clauses that each do one thing."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from perflour.kitchen.numerals import in_figures
from perflour.recipe.method.pieces import Piece, readies_pan, says_pieces
from perflour.recipe.method.unsaid import (
    Foods,
    Hung,
    hung_on,
    with_lists,
    with_passives,
    without_unused,
)
from perflour.recipe.method.wording import in_plain_order
from perflour.recipe.words import WORD, phrases, word_map, word_set

_END = re.compile(r"[.!?]+[\"'”’)]*(?=\s|$)")
_LAST_WORD = re.compile(r"[\w.]+$")
_SMALL_START = re.compile(r"[a-z]{3}[.!?] [a-z]")
_LARGE_START = re.compile(r"[.!?] [A-Z]")
_ABBREVIATIONS = frozenset(
    ("no", "nr", "approx", "ca", "e.g", "i.e", "in", "min", "mins", "hr", "hrs", "tsp", "tbsp", "tb", "oz", "lb", "c", "f", "temp", "pt", "qt", "diam", "sec")
)  # fmt: skip
_BEFORE_NOUNS = frozenset(("a", "an", "the", "its", "their", "your", "this", "of", "each"))
_JOINTS = frozenset(("", "and", "then"))
_THESE = frozenset(("these", "this", "it", "them", "those", "both", "everything"))
#: A heading before a dash: "SAUCE.- Rub the butter".
_HEADING = re.compile(r"([A-Z][\w ]{2,30})\.?\s?[-–—]+\s+(?=[A-Z])")
#: Where a food of a list that is worked on by the verb behind it stands at the latest.
_MOST_BEFORE_FOOD = 5
#: What a sentence that tells something of a cake starts with, and no instruction.
_SUBJECTS = frozenset(("it", "they", "this", "these", "that", "those", "there", "he", "she", "we", "i", "the", "a", "an", "some", "any", "if", "not", "no", "do", "don't", "don’t", "never", "my", "our", "what", "which", "who", "for", "makes", "serves", "keeps"))  # fmt: skip
#: What a remark before an instruction starts with: "they're fragile, so leave them".
_TELLING = frozenset(("they're", "they’re", "it's", "it’s", "they", "it"))
_SAYS_HOW_IT_IS = frozenset(("is", "are", "was", "were", "has", "have", "until", "till"))
#: "Five minutes before they are done, draw the pan".
_LEAD_TIME = re.compile(r"[^\W_]+ (?:min(?:ute)?s?|hours?) (?:before|after)\b", re.IGNORECASE)
#: What is done with what stands before a dash: "oats and raisins - stir those in".
_DASH = re.compile(r"(?<=\w) [-–—] (?=(?P<verb>[a-z]+) (?:those|them|that|these)\b)")
_SIGNS_BEHIND = re.compile(r"[^\s\w,;:()]*")
_PIECE = re.compile(r"[^\W_]+(?:[-'’./][^\W_]+)*%?|[,;:()]")


class Clause(NamedTuple):
    """Part of a sentence: ``do`` the verb, empty for a remark; ``rest`` what follows it; ``text`` all.

    ``condition`` says that a "when ...", an "if ..." or a heading stands before the verb, which is not
    in ``rest``. ``before`` says that it was done before to what the next clause names.
    """

    do: str
    rest: str
    text: str
    condition: bool = False
    before: bool = False


# Owner: the process; paragraphs and their sentences. Bound: 64. Pays: who looks for foods, for parts, for steps and for
# lost numbers asks for those of a method.
@lru_cache(maxsize=64)
def sentences(text: str) -> tuple[tuple[int, str], ...]:
    """The sentences of a paragraph with their offsets."""
    found: list[tuple[int, str]] = []
    start = 0
    in_small: bool | None = None  # looked at where a point may end none
    for match in _END.finditer(text):
        if not _ends(text, match):
            in_small = _is_in_small(text) if in_small is None else in_small
            if not (in_small and _ends_small(text, match)):
                continue
        if text[start : match.end()].strip():
            found.append(_trimmed(text, start, match.end()))
        start = match.end()
    if text[start:].strip():
        found.append(_trimmed(text, start, len(text)))
    return tuple(found)


def _is_in_small(text: str) -> bool:
    """Whether somebody writes without capitals."""
    return len(_SMALL_START.findall(text)) > 2 * len(_LARGE_START.findall(text))


def _ends_small(text: str, match: re.Match[str]) -> bool:
    """Whether a point ends a sentence of somebody who writes without capitals."""
    before = re.search(r"(?P<count>[0-9] )?\b(?P<word>[\w.]+)$", text[max(0, match.start() - 12) : match.start()])  # fmt: skip
    if before is None:
        return False
    word = before["word"].lower()
    return (word == "in" and not before["count"]) or word not in _ABBREVIATIONS


def _trimmed(text: str, start: int, end: int) -> tuple[int, str]:
    piece = text[start:end]
    return start + len(piece) - len(piece.lstrip()), piece.strip()


def _ends(text: str, match: re.Match[str]) -> bool:
    """Whether a point ends a sentence: not the one of "375 F. (moderate oven)" or "No. 40"."""
    after = text[match.end() : match.end() + 40].lstrip()
    before = _LAST_WORD.search(text[max(0, match.start() - 12) : match.start()])
    word = before[0].lower() if before else ""
    if not after:
        return True
    if word in ("no", "nr", "e.g", "i.e"):
        return False
    if word in _ABBREVIATIONS or f"{word}." in word_map("short-forms"):
        return after[0].isupper()
    return after[0].isupper() or after[0].isdigit() or after[0] in "\"'“‘" or match[0] != "."


class _Opening(NamedTuple):
    """A verb where a clause opens: pieces ``start`` to ``verb`` stand before it, ``end`` after it."""

    start: int
    verb: int
    end: int


def _no_foods(words: Sequence[str]) -> Collection[int]:
    return ()


def clauses(sentence: str, foods: Foods = _no_foods) -> list[Clause]:
    """The things a sentence says to do, in order; one without a verb is a remark as a whole.

    ``foods`` says where a row of words names something listed.
    """
    if heading := _HEADING.match(sentence):  # as long as before, so that places stay
        blanks = " " * (heading.end() - heading.end(1) - 1)
        sentence = f"{heading[1]}:{blanks}{sentence[heading.end() :]}"
    sentence = sentence.replace(" -- ", " ;  ")  # cards part what is done so
    sentence = _DASH.sub(lambda m: " ; " if m["verb"] in word_set("verbs") else m[0], sentence)
    said = [Piece(m[0].lower(), m.start(), m.end()) for m in _PIECE.finditer(sentence)]
    in_order = in_plain_order(with_passives(said, foods))
    pieces = with_lists(without_unused(in_order), foods)
    words = [piece.word for piece in pieces]
    openings = _openings(words, foods(words))
    if not openings:
        return [Clause("", sentence, sentence)]
    found: list[Clause] = []
    for number, opening in enumerate(openings, 1):
        first = 0 if number == 1 else opening.start
        end = openings[number].start if number < len(openings) else len(words)
        text = _as_it_stands(sentence, pieces[first:end])
        front = _between(sentence, pieces, first, opening.verb)
        hung = hung_on(words[first:end], foods)
        spent = {n + first for one in hung for n in one.spent}
        kept = [pieces[n] for n in range(opening.end, end) if n not in spent]
        unspent = [*pieces[: opening.end], *kept, *pieces[end:]]
        behind = _between(sentence, unspent, opening.end, opening.end + len(kept))
        do = " ".join(words[opening.verb : opening.end])
        condition = front.endswith(":") or (
            front.split(" ")[0].lower() in word_set("openings-of-sentences") | _TELLING
            or _LEAD_TIME.match(front) is not None
        )
        rest = f"{behind}, {front}" if _worth_keeping(front) and not condition else behind
        is_pared = bool(found) and {found[-1].do, do} <= word_set("verbs-of-paring")
        if found and not found[-1].rest and words[opening.start] == "and" and not is_pared:
            last = found.pop()  # "Mix and sift the flour" is one thing done
            do, text = f"{last.do} and {do}", f"{last.text} and {text}"
        found += _before(sentence, pieces[first:end], hung)
        found.append(Clause(do, rest, text, condition))
    return _of_the_same(found)


def _of_the_same(found: list[Clause]) -> list[Clause]:
    """ "Peel, core and slice the apples": what is pared last was pared before."""
    for at in range(len(found) - 2, -1, -1):
        one, behind = found[at], found[at + 1]
        if not one.rest and {one.do, *behind.do.split(" and ")} <= word_set("verbs-of-paring"):
            found[at] = one._replace(rest=re.split(r"[,;]", behind.rest)[0])
    return found


def _before(sentence: str, pieces: Sequence[Piece], hung: Sequence[Hung]) -> Iterator[Clause]:
    """What was done before to the things that a clause names, as clauses of their own."""
    for verb, at, things, _ in hung:
        names = (
            " with ".join(_between(sentence, pieces, one.start, one.stop) for one in things) or verb
        )
        first, last = (
            min((at, *(one.start for one in things))),
            max((at + 1, *(one.stop for one in things))),
        )
        yield Clause(verb, names, _as_it_stands(sentence, pieces[first:last]), before=True)


def _between(sentence: str, pieces: Sequence[Piece], first: int, last: int) -> str:
    """What the pieces from one to another say, as it is spelled where it is, without joints at its ends."""
    said: list[str] = []
    for at in range(first, last):
        piece = pieces[at]
        end = pieces[at + 1].start if at + 1 < len(pieces) else len(sentence)
        gap = sentence[piece.end : end]  # a blank as a rule
        if end < piece.end or (gap != " " and WORD.search(gap)):
            end = _end_of(sentence, piece)
        spelled = sentence[piece.start : end]
        is_spelled = spelled[: piece.end - piece.start].lower() == piece.word
        said.append(spelled if is_spelled else f"{piece.word} ")
        if not said[-1].endswith((" ", "(")) and at + 1 < last and pieces[at + 1].start != end:
            said[-1] += " "
    return _without_joints("".join(said))


def _as_it_stands(sentence: str, pieces: Sequence[Piece]) -> str:
    """The part of a sentence that pieces were taken from."""
    if not pieces:
        return ""
    end = max(pieces, key=lambda piece: piece.end)
    return _without_joints(sentence[min(p.start for p in pieces) : _end_of(sentence, end)])


def _without_joints(text: str) -> str:
    words = text.strip().rstrip(".").split()
    said = [n for n, word in enumerate(words) if word.lower().strip(",;") not in _JOINTS]
    return " ".join(words[said[0] : said[-1] + 1]).strip(",; ") if said else ""


def _end_of(sentence: str, piece: Piece) -> int:
    """Behind a piece and the signs that hang on it, as the degree of 180°."""
    following = _SIGNS_BEHIND.match(sentence, piece.end)
    return following.end() if following else piece.end


def _worth_keeping(front: str) -> bool:
    return any(w.lower() not in word_set("before-verbs") for w in WORD.findall(front))


def _openings(words: Sequence[str], named: Collection[int]) -> list[_Opening]:
    """Where verbs open clauses: at the start, after a sign, `and`, `then`; after an opening phrase."""
    found: list[_Opening] = []
    depth = 0
    in_until = False
    for at, word in enumerate(words):
        depth = max(0, depth + (word == "(") - (word == ")"))
        in_until = (in_until or word in ("until", "till")) and word != ";"
        starts = at == 0 or words[at - 1] in (";", ":")
        if depth or not (starts or word in (",", "and", "then") or words[at - 1] == ")"):
            continue
        first = at + 1 if word in (",", "and", "then", ";") else at
        first = _past_fillers(words, first)
        certain = starts or "then" in words[at:first]
        in_series = (
            bool(found) and found[-1].end == at and words[first + 1 : first + 2] in ([","], ["and"])
        )
        in_series = in_series or (bool(found) and found[-1].end == at and {*words[first : first + 1], words[found[-1].verb]} <= word_set("verbs-of-paring"))  # fmt: skip
        length = (
            _verb_at(words, first, certain or in_series, in_until)
            or _noun_before_food(words, first, named)
            or (bool(found) and not in_until and _noun_alone(words, first, named))
        )
        if length and (not found or found[-1].verb != first):
            found.append(_Opening(at, first, first + length))
            in_until = False
    headed = bool(found) and words[found[0].start - 1] == ":"  # "Glaze: whisk ..."
    timed = bool(found) and words[found[0].start] == "," and _LEAD_TIME.match(" ".join(words[:3]))
    if (
        not headed
        and not timed
        and not (found and (found[0].start == 0 or words[0] in word_set("openings")))
    ):
        found = (
            _listed_first(words, found, named)
            or _without_lead(words, found)
            or _behind_unknown(words, found)
        )
    return found


def _behind_unknown(words: Sequence[str], found: list[_Opening]) -> list[_Opening]:
    """What is told behind something that no list of verbs has: "Run a knife round it and turn it out"."""
    if found and words[0] in _SUBJECTS:
        return [one for one in found if "then" in words[one.start : one.verb]][:1]
    if not found or words[0] in word_set("openings"):
        return []
    front = set(words[1 : found[0].start])
    tells = front & word_set("finite-verbs") or front & _SAYS_HOW_IT_IS
    return [] if tells or words[1:2] == [","] else found


def _listed_first(
    words: Sequence[str], found: list[_Opening], named: Collection[int]
) -> list[_Opening]:
    """ "Brown sugar, flour and butter, pinch it together": what a verb takes stands in a list before it."""
    if not found or not any(n in named for n in range(min(_MOST_BEFORE_FOOD, found[0].start))):
        return []
    points = set(words[found[0].end : found[0].end + 2]) & (_THESE | {"that"})
    return found if points and not set(words[: found[0].start]) & _SAYS_HOW_IT_IS else []


def _without_lead(words: Sequence[str], found: list[_Opening]) -> list[_Opening]:
    """A sentence that does not open with a verb is an instruction only behind an opening phrase."""
    if not words or words[0] not in word_set("openings"):
        return []
    if words[0] in word_set("openings-of-sentences"):
        return found
    for at in range(1, len(words)):
        if words[at] in word_set("verbs-that-are-nouns") or words[at - 1] in _BEFORE_NOUNS:
            continue
        if length := phrases("verbs").at(words, at):
            return [_Opening(0, at, at + length)]
    return found


def _past_fillers(words: Sequence[str], at: int) -> int:
    """Past "and", "then", adverbs and "to these" before a verb."""
    while at < len(words):
        word, follower = words[at], words[at + 1] if at + 1 < len(words) else ""
        if word in word_set("before-verbs") or (word.endswith("ly") and len(word) > 4):
            at += 1
        elif word == "to" and follower in _THESE:
            at += 2
        elif words[at : at + 3] == ["off", "the", "heat"]:
            at += 3
        else:
            break
    return at


def _noun_alone(words: Sequence[str], at: int, named: Collection[int]) -> int:
    """ "Flatten, film, retard overnight": between two commas and before another verb a noun is one too."""
    if (
        at in named
        or at >= len(words)
        or words[at] not in word_set("verbs-that-are-nouns")
        or words[at - 1] != ","
    ):
        return 0
    end = at + 1
    while end < len(words) and (words[end] in word_set("states") or words[end].endswith("ly")):
        end += 1
    if end >= len(words) or words[end] not in (",", "and"):
        return 0
    behind = end + 1
    while behind < len(words) and words[behind] in ("and", "then"):
        behind += 1
    return 1 if behind < len(words) and _verb_at(words, behind, False, False) else 0


def _noun_before_food(words: Sequence[str], at: int, named: Collection[int]) -> int:
    """Whether a word that is a noun as well is a verb: "slice apples", "stone six ripe plums"."""
    if (
        at in named
        or at >= len(words)
        or words[at]
        not in word_set("verbs-that-are-nouns") - word_set("verbs-that-are-ingredients")
    ):
        return 0
    if words[at] == "brown":
        return 0  # it is the sugar or the flour that is brown
    behind = at + 1
    while behind < len(words) and words[behind] in word_set("states"):
        behind += 1
    return phrases("verbs").at(words, at) if behind in named else 0


def _verb_at(words: Sequence[str], at: int, certain: bool, in_until: bool) -> int:
    """The length of the verb at a place; words that are nouns too need to look like verbs there."""
    length = phrases("verbs").at(words, at)
    if words[at : at + 2] == ["cut", "in"] and says_pieces(words[at + 2 : at + 4]):
        return 1
    if words[at + 1 : at + 2] == ["and"] and readies_pan(words, at):
        return 1
    if words[at + length : at + length + 1] == [":"]:
        return 0  # a heading
    if not length or length > 1:
        return length
    follower = words[at + 1] if at + 1 < len(words) else ""
    if words[at] == "brown" and follower in ("sugar", "flour", "rice", "bread"):
        return 0
    if words[at] == "get" and (
        follower in ("about", "around") or in_figures(follower)[:1].isdigit()
    ):
        return 0  # "you get three dozen"
    if words[at] == "dry" and follower in ("things", "ingredients", "goods", "stuff", "mix"):
        return 0
    if words[at] == "continue" and follower.endswith("ing"):
        return 2
    if follower in ("is", "are", "was", "were") or (words[at] == "core" and follower[:1].isdigit()):
        return 0
    if words[at] in word_set("verbs-that-are-ingredients") and certain and words[at] != "cream":
        behind = next((n for n in range(at + 1, min(at + 5, len(words))) if words[n] in (",", ";", ":", "and", "in", "into")), at + 5)  # fmt: skip
        is_pan = bool(word_set("vessels") & set(words[at + 1 : behind]))
        return 1 if follower in (*_BEFORE_NOUNS, "well", "lightly", "and") or is_pan else 0
    if words[at] not in word_set("verbs-that-are-nouns") or certain:
        return 1 if follower != "of" else 0
    if follower in _THESE and follower:
        return 1
    if words[at] in word_set("verbs-that-are-ingredients"):
        is_of_pan = words[at - 1] == "and" and follower in word_set("vessels")  # "and flour pan"
        return 1 if is_of_pan or follower in _BEFORE_NOUNS or follower in _THESE else 0
    is_last = follower == "" and not in_until and words[at] in word_set("verbs-said-alone")
    is_counted = in_figures(follower)[:1].isdigit() and follower not in ("a", "an", "one")
    return 1 if is_last or is_counted or follower in word_set("after-verbs") else 0
