"""A sentence as people say it, in the order of an instruction: "in go the eggs" as "add the eggs".

Only the order and the form of the verb change: what a baker reads in "you cream the butter", "the butter is
creamed", "the butter goes in" and "40 minutes at 180" is an instruction all the same. Ordinary English:
common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from perflour.formula.verbs import bakes, heats_oven
from perflour.recipe.words import phrases, word_map, word_set

JOINTS = frozenset((",", ";", ":", "and", "then", "or", ")"))
_PRONOUNS = frozenset(("you", "we", "i", "she", "he", "they", "one", "mother", "gran"))
_WITH_AUX = ("'ll", "’ll", "'d", "’d", "'ve", "’ve")
_AUX = frozenset(("will", "can", "must", "should", "may", "might", "could", "would", "shall", "want", "need", "have", "has", "had", "got", "like", "are", "going", "to", "just", "always", "simply", "usually", "only", "do", "did", "also", "then", "then,", "now", "gently", "slowly", "quickly", "first", "all", "best", "better"))  # fmt: skip
_OPENING_FILLERS = frozenset(
    ("ok", "okay", "so", "oh", "well", "right", "and", "but", "anyway", "mind")
)
_FILLERS = frozenset(("so", "then", "now", "next", "well", "ok", "okay", "right", "and", "but", "after", "once", "finally", "meanwhile", "again", "just", "please", "there"))  # fmt: skip
_BE = frozenset(("is", "are", "gets", "get", "be", "being", "was", "were"))
_GO = frozenset(("go", "goes", "went", "come", "comes"))
_ADVERBS_BETWEEN = frozenset(("then", "now", "also", "all", "both", "next", "first", "well", "just", "to", "be", "straight", "right"))  # fmt: skip
_IN, _ON = frozenset(("in", "into")), frozenset(("on", "over", "onto", "ontop"))
#: What is put in an oven, when it "goes" there.
_THINGS = frozenset(("it", "they", "them", "this", "these", "cake", "cakes", "loaf", "loaves", "tin", "tins", "pan", "tray", "trays", "buns", "rolls", "bread", "tart", "pie", "scones", "biscuits", "cookies", "everything", "lot", "slice"))  # fmt: skip
#: Nouns that only look like a verb's participle: "the remaining", "a baking tin", "baking powder".
_NO_VERB_BEHIND = frozenset(
    ("the", "a", "an", "its", "their", "your", "this", "of", "each", "some", "more", "any")
)

#: What "then" is followed by where no food comes.
_NO_FOOD = frozenset(
    (
        "at",
        "for",
        "again",
        "more",
        "another",
        "until",
        "when",
        "if",
        "on",
        "into",
        "to",
        "with",
        "gas",
        "by",
        ";",
        ",",
        "and",
    )
)
_HEAT = re.compile(r"[1-5][0-9]{2}(?:c|f|°)?")
_TELL_OVEN = frozenset(("°", "degrees", "degree", "f", "c", "mark"))


class Piece(NamedTuple):
    """A word or sign: in the form of an instruction, and where it stands in the sentence."""

    word: str
    start: int
    end: int


def base_form(word: str) -> str:
    """The verb that a word is a form of: "creamed" and "creams" are cream; empty for none."""
    verbs = phrases("verbs").firsts()
    if word in verbs:
        return word
    if word in word_map("irregular-verbs"):
        return str(word_map("irregular-verbs")[word])
    for ending in ("ing", "ed", "es", "s"):
        if not word.endswith(ending) or len(word) < len(ending) + 3:
            continue
        stem = word[: -len(ending)]
        for form in (stem, f"{stem}e", stem[:-1] if stem[-1] == stem[-2] else "", f"{stem[:-1]}y" if stem.endswith("i") else ""):  # fmt: skip
            if form in verbs:
                return form
    return ""


def in_plain_order(pieces: Sequence[Piece]) -> list[Piece]:
    """The pieces of a sentence with every clause that speaks of what is done put as an instruction."""
    first = 0
    while first < len(pieces) - 1 and (
        pieces[first].word in _OPENING_FILLERS or (first and pieces[first].word == ",")
    ):
        first += 1
    pieces = pieces[first:]
    plain = [
        piece._replace(word="then")
        if n and piece.word in ("so", "but") and _leads(pieces, n)
        else piece
        for n, piece in enumerate(pieces)
    ]
    _part_led(plain)
    plain = _let(plain)
    said = _inverted(_passive(_led(_with_gerunds(plain))))
    return _timed(_staged(_with_verb(said)))


def _leads(pieces: Sequence[Piece], at: int) -> bool:
    """Whether "so" or "but" leads to another thing to do: "so you whisk", and not "but springs back"."""
    follower = pieces[at + 1].word if at + 1 < len(pieces) else ""
    until = any(piece.word in ("until", "till") for piece in pieces[max(0, at - 12) : at])
    return (
        follower in _PRONOUNS
        or follower.endswith(_WITH_AUX)
        or (bool(base_form(follower)) and not until)
    )


def _part_led(pieces: list[Piece]) -> None:
    """A comma behind "for the sauce" where its verb follows at once."""
    for start in reversed(_starts(pieces)):
        if pieces[start].word in word_set("openings"):
            _comma_behind_lead(pieces, start)


def _comma_behind_lead(pieces: list[Piece], start: int) -> None:
    words = [piece.word for piece in pieces[start:]]
    for at in range(2, min(8, len(words) - 1)):
        if words[at] in JOINTS or words[at] in ("until", "till", "to"):
            return
        before = words[at - 1]
        led = words[0] == "for" or before in word_set("vessels") | word_set("tools") | word_set(
            "states"
        )
        if not led:
            continue
        if phrases("verbs").at(words, at) and words[at - 1] not in _NO_VERB_BEHIND:
            where = pieces[start + at].start
            pieces.insert(start + at, Piece(",", where, where))
            return


def _let(pieces: list[Piece]) -> list[Piece]:
    """ "Let it cool", "leave the dough to rise" as what is let be done."""
    for at in range(len(pieces) - 2, -1, -1):
        if pieces[at].word not in ("let", "leave") or (at and pieces[at - 1].word not in JOINTS):
            continue
        if phrases("verbs").at([piece.word for piece in pieces[at : at + 4]]) > 1:
            continue  # "let rise" is a verb by itself
        for behind in range(at + 1, min(at + 6, len(pieces))):
            word = pieces[behind].word
            if word in JOINTS:
                break
            verb = {"go": "cool", "come": "rise"}.get(word) or base_form(word)
            if verb in word_set("verbs-of-waiting") and pieces[behind - 1].word not in _NO_VERB_BEHIND:  # fmt: skip
                between = [p for p in pieces[at + 1 : behind] if p.word != "to"]
                pieces[at : behind + 1] = [pieces[behind]._replace(word=verb), *between]
                break
    return pieces


def _timed(pieces: list[Piece]) -> list[Piece]:
    """ "Scrape; 30 s more" as "scrape; mix 30 s more"."""
    for at in range(len(pieces) - 1, 0, -1):
        behind = [piece.word for piece in pieces[at : at + 4]]
        only = [w for w in behind[:3] if w not in (";", "more", ".")]
        if pieces[at - 1].word == ";" and len(only) == 2 and only[0][0].isdigit() and only[1] in ("s", "min", "minutes", "minute", "seconds", "h"):  # fmt: skip
            pieces.insert(at, Piece("mix", pieces[at].start, pieces[at].start))
    return pieces


def _says_bake(words: Sequence[str]) -> bool:
    """ "Turn it down to 350 for another twenty" goes on baking; "turn the oven to 350" does not."""
    heated = any(_HEAT.fullmatch(word) for word in words[:8])
    timed = bool({"for", "minutes", "min", "another"} & set(words))
    return heated and timed and not heats_oven(" ".join(words[:3]))


def _staged(pieces: list[Piece]) -> list[Piece]:
    """ "Bake at 220, then at 180 for an hour" as two bakes."""
    words = [piece.word for piece in pieces]
    for at, word in enumerate(words):
        opens = at == 0 or words[at - 1] in JOINTS
        if opens and word in word_set("verbs-of-turning-down") and _says_bake(words[at : at + 14]):
            pieces[at] = pieces[at]._replace(word="bake")
            words[at] = "bake"
    for at in range(len(pieces) - 1, 1, -1):
        if words[at - 1] == "then" and words[at] not in _NO_FOOD and not words[at][0].isdigit() and not _is_adverb(words[at]) and not _has_verb(pieces[at : at + 5]):  # fmt: skip
            before = [
                w
                for n, w in enumerate(words[: at - 1])
                if w in word_set("verbs-that-add") and (n == 0 or words[n - 1] in JOINTS)
            ]
            if before:  # "add the sugar, then the eggs"
                pieces.insert(at, Piece(before[-1], pieces[at].start, pieces[at].start))
                words.insert(at, before[-1])
    bake = next((n for n, word in enumerate(words) if bakes(word)), None)
    if bake is None:
        return pieces
    for at in range(len(pieces) - 1, bake + 1, -1):
        opens = words[at - 1] == "then" and (words[at] in ("at", "for", "another", "a") or words[at][0].isdigit() or words[at] == "gas")  # fmt: skip
        if opens and not _has_verb(pieces[at : at + 6]) and any(w[0].isdigit() or w in ("hour", "half") for w in words[at : at + 6]):  # fmt: skip
            pieces.insert(at, Piece("bake", pieces[at].start, pieces[at].start))
            words.insert(at, "bake")
    return pieces


def _with_gerunds(pieces: list[Piece]) -> list[Piece]:
    """ "..., adding the sugar" as an instruction of its own; "beating well" stays."""
    for at in range(1, len(pieces) - 1):
        piece = pieces[at]
        follower = pieces[at + 1].word
        if piece.word in word_set("gerunds-of-steps") and pieces[at - 1].word in JOINTS and (follower in ("the", "a", "an", "in", "one", "two", "half") or follower[0].isdigit()):  # fmt: skip
            pieces[at] = piece._replace(word=base_form(piece.word))
    return pieces


def _with_verb(pieces: list[Piece]) -> list[Piece]:
    """ "Gas mark 4 for an hour", "it wants forty minutes at 180", "oven at 190": what is meant goes in front."""
    words = [piece.word for piece in pieces]
    if words and (words[0] in word_set("words-of-ovens") or _HEAT.fullmatch(words[0])) and not _has_verb(pieces[:4]):  # fmt: skip
        timed = _has_time(words[:12])
        if any(_HEAT.fullmatch(w) for w in words[:4]) and (timed or words[0] == "oven"):
            verb = "bake" if timed else "preheat"
            return [Piece(verb, pieces[0].start, pieces[0].start), *pieces]
    if not words or _has_verb(pieces) or phrases("verbs").at(words) or words[0] in word_set("openings-of-sentences"):  # fmt: skip
        return pieces
    if (
        words[0][0].isdigit()
        and {"in", "into", "per"} & set(words)
        and word_set("vessels") & set(words)
    ):
        return [Piece("scale", pieces[0].start, pieces[0].start), *pieces]
    has_number = "mark" in words or any(_HEAT.fullmatch(w) for w in words)
    has_time = _has_time(words)
    if has_time and words[0] == "back":
        return [Piece("bake", pieces[0].start, pieces[0].start), *pieces]
    if has_time and word_set("places-to-cool") & set(words) and "oven" not in words:
        return [Piece("leave", pieces[0].start, pieces[0].start), *pieces]
    is_oven = (
        "oven" in words or ("mark" in words and "gas" in words) or bool(_TELL_OVEN & set(words))
    )
    if not has_number or not (is_oven or (has_time and "at" in words)):
        return pieces
    verb = "bake" if has_time else "preheat" if "oven" in words[:4] or is_oven else ""
    return [Piece(verb, pieces[0].start, pieces[0].start), *pieces] if verb else pieces


def _has_time(words: Sequence[str]) -> bool:
    return any(word.startswith(("min", "hour", "hr")) for word in words)


def _starts(pieces: Sequence[Piece]) -> list[int]:
    """Where clauses may open: at the start and behind joints."""
    return [n for n in range(len(pieces)) if n == 0 or pieces[n - 1].word in JOINTS]


def _led(pieces: list[Piece]) -> list[Piece]:
    """Without "so you", "then we'll", "you want to" before a verb, which then stands in its base form."""
    led = pieces and pieces[0].word in word_set("openings-of-sentences")
    inner = [
        n for n, piece in enumerate(pieces) if led and n > 1 and piece.word in ("i", "we", "you")
    ]
    for start in sorted({*_starts(pieces), *inner}, reverse=True):
        at = start
        while at < len(pieces) and pieces[at].word in _FILLERS:
            at += 1
        if at >= len(pieces):
            continue
        word = pieces[at].word
        if word not in _PRONOUNS and not word.endswith(_WITH_AUX):
            continue
        at += 1
        while at < len(pieces) and (pieces[at].word in _AUX or _is_adverb(pieces[at].word)):
            at += 1
        if at < len(pieces) and (verb := base_form(pieces[at].word)):
            comma = [pieces[start]._replace(word=",")] if start in inner else []
            pieces[start : at + 1] = [*comma, pieces[at]._replace(word=verb)]
    return pieces


def _is_adverb(word: str) -> bool:
    return word.endswith("ly") and len(word) > 4


def _passive(pieces: list[Piece]) -> list[Piece]:
    """ "The butter is creamed with the sugar" as "cream the butter with the sugar"."""
    begun = 0  # behind the clause before
    at = 0
    while at < len(pieces):
        if pieces[at].word in _BE and at > begun:
            verb_at = at + 1
            while verb_at < len(pieces) and (pieces[verb_at].word in _ADVERBS_BETWEEN or _is_adverb(pieces[verb_at].word)):  # fmt: skip
                verb_at += 1
            word = pieces[verb_at].word if verb_at < len(pieces) else ""
            verb = (
                base_form(word)
                if word.endswith(("ed", "en")) or word in word_map("irregular-verbs")
                else ""
            )
            first = _subject(pieces, begun, at)
            if verb and first is not None:
                pieces[first : verb_at + 1] = [pieces[verb_at]._replace(word=verb), *pieces[first:at]]  # fmt: skip
                begun = at = first + 1 + (at - first)
                continue
        at += 1
    return pieces


def _subject(pieces: Sequence[Piece], begun: int, end: int) -> int | None:
    """Where the subject before a verb starts; None where a verb or a condition stands before it."""
    first = begun
    if (
        not begun and pieces and pieces[0].word in word_set("openings")
    ):  # "when cool, the glaze is poured"
        comma = next((n for n in range(end) if pieces[n].word == ","), None)
        return None if comma is None or comma + 1 >= end else comma + 1
    joints = [n for n in range(begun, end) if pieces[n].word in JOINTS]
    if begun and joints:
        commas = [n for n in joints if pieces[n].word not in ("and", "or")]
        first = (commas or joints)[-1] + 1
    elif joints and any(pieces[n].word in (";", ":") for n in joints):
        first = max(n for n in joints if pieces[n].word in (";", ":")) + 1
    while first < end and pieces[first].word in (*_FILLERS, *JOINTS):
        first += 1
    if first >= end or pieces[first].word in word_set("openings-of-sentences") | {"until", "till", "which", "that", "who", "it"}:  # fmt: skip
        return None
    said = {piece.word for piece in pieces[first:end]}
    return None if said & {"until", "till", "which", "when", "that", "if"} or end - first > 24 else first  # fmt: skip


def _inverted(pieces: list[Piece]) -> list[Piece]:
    """ "In go the eggs", "on goes the topping", "the eggs go in", "into the oven with it"."""
    for start in reversed(_starts(pieces)):
        at = start
        while at < len(pieces) and pieces[at].word in _FILLERS:
            at += 1
        if at + 1 >= len(pieces):
            continue
        word = pieces[at].word
        behind = at + 2 if word == "on" and pieces[at + 1].word in ("top", "there") else at + 1
        if word in _IN | _ON and behind < len(pieces) and pieces[behind].word in _GO | {"with"}:
            verb = "add" if word in _IN else "top"
            first = pieces[at]._replace(word=verb)
            with_it = [pieces[behind]._replace(word="with")] if verb == "top" else []
            pieces[start : behind + 1] = [first, *with_it]
        elif word in _IN and any(p.word in ("oven", "ovens") for p in pieces[at + 1 : at + 6]) and not _has_verb(pieces[at + 1 :]):  # fmt: skip
            pieces[start:start] = [pieces[at]._replace(word="bake", end=pieces[at].start)]
        else:
            _goes(pieces, start, at)
    return pieces


def _goes(pieces: list[Piece], start: int, at: int) -> None:
    """ "The eggs go in", "the cake goes into a moderate oven", "the crumbs go on top"."""
    ends = JOINTS - {"and", ","} if start == 0 else JOINTS - {"and"}
    end = next((n for n in range(at + 1, min(at + 20, len(pieces))) if pieces[n].word in ends), min(at + 20, len(pieces)))  # fmt: skip
    go = next((n for n in range(at + 1, end) if pieces[n].word in _GO), None)
    if go is None or go + 1 >= len(pieces) or _has_verb(pieces[at:go]):
        return
    rest = [piece.word for piece in pieces[go + 1 : go + 7]]
    if "oven" in rest and {p.word for p in pieces[at:go]} & _THINGS:
        verb = "bake"
    elif set(rest[:3]) & _ON and "oven" not in rest:
        verb = "top"
    elif set(rest[:3]) & (_IN | {"through"}):
        verb = "add"
    else:
        return
    subject = pieces[at:go]
    with_it = [subject[0]._replace(word="with", end=subject[0].start)] if verb == "top" else []
    behind = go + 2 if pieces[go + 1].word in ("in", "on") and go + 2 <= len(pieces) else go + 1
    if verb == "bake":
        behind = go + 1
    pieces[start:behind] = [pieces[go]._replace(word=verb), *with_it, *subject]


def _has_verb(pieces: Sequence[Piece]) -> bool:
    words = [piece.word for piece in pieces]
    return any(
        phrases("verbs").at(words, n)
        and words[n] not in word_set("verbs-that-are-nouns")
        and (n == 0 or words[n - 1] not in _NO_VERB_BEHIND)
        for n in range(len(words))
    )
