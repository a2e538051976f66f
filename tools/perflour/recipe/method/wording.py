"""A sentence as people say it, in the order of an instruction: "in go the eggs" as "add the eggs".

Only the order and the form of the verb change: what a baker reads in "you cream the butter", "the butter is
creamed", "the butter goes in" and "40 minutes at 180" is an instruction all the same. Ordinary English:
common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from perflour.formula.verbs import BAKES, CHILLS
from perflour.recipe.method.bakes import with_bakes, with_stages, with_verb
from perflour.recipe.method.pieces import (
    FILLERS,
    INTO,
    JOINTS,
    NO_VERB_BEHIND,
    ONTO,
    Piece,
    base_form,
    has_verb,
    is_adverb,
    starts_of,
)
from perflour.recipe.method.set_phrases import with_set_phrases
from perflour.recipe.words import phrases, word_map, word_set

_PRONOUNS = frozenset(("you", "we", "i", "she", "he", "they", "one", "mother", "gran"))
_WITH_AUX = ("'ll", "’ll", "'d", "’d", "'ve", "’ve")
_AUX = frozenset(("will", "can", "must", "should", "may", "might", "could", "would", "shall", "want", "need", "have", "has", "had", "got", "like", "are", "going", "to", "just", "always", "simply", "usually", "only", "do", "did", "also", "then", "then,", "now", "gently", "slowly", "quickly", "first", "all", "best", "better"))  # fmt: skip
_OPENING_FILLERS = frozenset(
    ("ok", "okay", "so", "oh", "well", "right", "and", "but", "anyway", "mind")
)
_BE = frozenset(("is", "are", "gets", "get", "be", "being", "was", "were"))
#: Behind a verb of "they" that is done to something, and not what "they" do: "they freeze well".
_TAKEN = frozenset(("the", "it", "them", "their", "all"))
#: What opens a condition that no comma need close: "if it browns too fast lay foil on it".
_ASKED = frozenset(("if", "when", "once"))
_DAYS = frozenset(("day", "morning", "evening", "night"))
_BEGIN = frozenset(("start", "begin", "finish", "started", "starting", "starts"))
#: What a verb of two words may have between them, and its second.
_THEM = frozenset(("it", "them", "this", "that", "these", "those"))
_OBJECTS = _THEM | {"the", "your"}
_APART = frozenset(("back", "aside", "out", "up", "down", "together"))
_THEY = frozenset(("it", "they", "this", "that", "these"))
_HAS = frozenset(("has", "have", "needs", "need", "wants", "want", "ought"))
_GO = frozenset(("go", "goes", "went", "come", "comes"))
_ADVERBS_BETWEEN = frozenset(("then", "now", "also", "all", "both", "next", "first", "well", "just", "to", "be", "straight", "right"))  # fmt: skip
#: What is put in an oven, when it "goes" there.
_THINGS = frozenset(("it", "they", "them", "this", "these", "cake", "cakes", "loaf", "loaves", "tin", "tins", "pan", "tray", "trays", "buns", "rolls", "bread", "tart", "pie", "scones", "biscuits", "cookies", "everything", "lot", "slice"))  # fmt: skip


def in_plain_order(pieces: Sequence[Piece]) -> list[Piece]:
    """The pieces of a sentence with every clause that speaks of what is done put as an instruction."""
    first = 0
    while first < len(pieces) - 1 and (
        pieces[first].word in _OPENING_FILLERS or (first and pieces[first].word == ",")
    ):
        first += 1
    if [piece.word for piece in pieces[first : first + 1]] == ["then"] and len(pieces) > first + 2 and pieces[first + 1].word in word_set("openings-of-sentences"):  # fmt: skip
        first += 1  # "then while they're hot you brush on butter"
    pieces = with_set_phrases(pieces[first:])
    plain = [
        piece._replace(word="then")
        if n and piece.word in ("so", "but") and _leads(pieces, n)
        else piece
        for n, piece in enumerate(pieces)
    ]
    _part_led(plain)
    plain = _given(_let(plain))
    said = _inverted(_passive(_led(_with_gerunds(plain))))
    return with_stages(with_bakes(with_verb(_together(said))))


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
    for start in reversed(starts_of(pieces)):
        if pieces[start].word in word_set("openings"):
            _comma_behind_lead(pieces, start)


def _comma_behind_lead(pieces: list[Piece], start: int) -> None:
    words = [piece.word for piece in pieces[start:]]
    asked = words[0] in _ASKED
    for at in range(2, min(12 if asked else 8, len(words) - 1)):
        if words[at] in JOINTS or words[at] in ("until", "till", "to"):
            return
        before = words[at - 1]
        made = words[:2] == ["to", "make"] and at > 3
        taken = asked and at > 2 and words[at] not in word_set("verbs-that-are-nouns") and words[at + 1] in _TAKEN | {"foil", "a", "with", ","} and before not in _AUX | _PRONOUNS | NO_VERB_BEHIND  # fmt: skip
        led = taken or (
            made
            or words[0] == "for"
            or before
            in word_set("vessels") | word_set("tools") | word_set("states") - word_set("sizes")
            or before in _DAYS
            or (words[0] == "after" and before.startswith(("min", "hour")))
        )
        if not led:
            continue
        if phrases("verbs").at(words, at) and words[at - 1] not in NO_VERB_BEHIND:
            where = pieces[start + at].start
            pieces.insert(start + at, Piece(",", where, where))
            return


def _let(pieces: list[Piece]) -> list[Piece]:
    """ "Let it cool", "leave the dough to rise" as what is let be done."""
    for at in range(len(pieces) - 2, -1, -1):
        if pieces[at].word not in ("let", "leave") or (
            at and pieces[at - 1].word not in JOINTS | _PRONOUNS
        ):
            continue
        if phrases("verbs").at([piece.word for piece in pieces[at : at + 4]]) > 1:
            continue  # "let rise" is a verb by itself
        for behind in range(at + 1, min(at + 6, len(pieces))):
            word = pieces[behind].word
            if word in JOINTS:
                break
            verb = {"go": "cool", "come": "rise"}.get(word) or base_form(word)
            if verb in word_set("verbs-of-waiting") and pieces[behind - 1].word not in NO_VERB_BEHIND:  # fmt: skip
                between = [p for p in pieces[at + 1 : behind] if p.word != "to"]
                pieces[at : behind + 1] = [pieces[behind]._replace(word=verb), *between]
                break
    return pieces


def _given(pieces: list[Piece]) -> list[Piece]:
    """ "Give it a good stir" as "stir it", "start by rubbing in the butter" as "rub in the butter"."""
    for start in reversed(starts_of(pieces)):
        words = [piece.word for piece in pieces[start : start + 8]]
        at = next((n for n, word in enumerate(words) if word not in FILLERS), len(words))
        if words[at : at + 1] and words[at] in _BEGIN and words[at + 1 : at + 2] == ["by"] and (verb := base_form((words[at + 2 :] or [""])[0])):  # fmt: skip
            pieces[start : start + at + 3] = [pieces[start + at + 2]._replace(word=verb)]
        elif words[at : at + 1] == ["give"]:
            article = next(
                (n for n in range(at + 1, len(words)) if words[n] in ("a", "another")), None
            )
            given = next((n for n in range(article + 1, len(words)) if words[n] in word_set("given-as-nouns")), None) if article else None  # fmt: skip
            if article and given and not JOINTS & set(words[at:given]):
                pieces[start + at : start + given + 1] = [pieces[start + given], *pieces[start + at + 1 : start + article]]  # fmt: skip
    return pieces


def _becomes(words: Sequence[str]) -> bool:
    """ "(Mixing) to a soft dough", "with a knife to a soft dough": what is made of it."""
    at = (
        0 if words[0] == "to" else words.index("to") if words[0] == "with" and "to" in words else -1
    )
    return at >= 0 and words[at + 1 : at + 2] == ["a"]


def _with_gerunds(pieces: list[Piece]) -> list[Piece]:
    """ "..., adding the sugar" as an instruction of its own; "beating well" stays."""
    for at in range(1, len(pieces) - 1):
        piece = pieces[at]
        follower = pieces[at + 1].word
        if follower == "the" and pieces[at + 2 : at + 3] and pieces[at + 2].word == "while":
            continue  # "add the sugar, beating the while"
        if piece.word in word_set("gerunds-of-steps") and pieces[at - 1].word in JOINTS and (_becomes([p.word for p in pieces[at + 1 : at + 6]]) or follower in ("the", "a", "an", "in", "one", "two", "half", "them") or follower[0].isdigit()):  # fmt: skip
            pieces[at] = piece._replace(word=base_form(piece.word))
    return pieces


def _led(pieces: list[Piece]) -> list[Piece]:
    """Without "so you", "then we'll", "you want to" before a verb, which then stands in its base form."""
    led = pieces and pieces[0].word in word_set("openings-of-sentences")
    inner = [
        n for n, piece in enumerate(pieces) if led and n > 1 and piece.word in ("i", "we", "you")
    ]
    for start in sorted({*starts_of(pieces), *inner}, reverse=True):
        at = start
        while at < len(pieces) and pieces[at].word in FILLERS:
            at += 1
        if at >= len(pieces):
            continue
        word = pieces[at].word
        if word in _THEY and (waits := _must(pieces[at + 1 : at + 4])):
            pieces[start : at + waits + 1] = [pieces[at + waits]]  # "it has to soak" soaks it
            continue
        if word in _THEY and _bakes_so_long([piece.word for piece in pieces[at + 1 : at + 3]]):
            pieces[start : at + 2] = [pieces[at + 1]._replace(word=base_form(pieces[at + 1].word))]
            continue  # "and it bakes for an hour"
        if word not in _PRONOUNS and not word.endswith(_WITH_AUX):
            continue
        at += 1
        while at < len(pieces) and (pieces[at].word in _AUX or is_adverb(pieces[at].word)):
            at += 1
        if word == "they" and (pieces[at + 1].word if at + 1 < len(pieces) else "") not in _TAKEN:
            continue
        if at < len(pieces) and (verb := base_form(pieces[at].word)):
            comma = [pieces[start]._replace(word=",")] if start in inner else []
            pieces[start : at + 1] = [*comma, pieces[at]._replace(word=verb)]
    return pieces


def _bakes_so_long(words: Sequence[str]) -> bool:
    """ "(It) bakes for an hour"; not "it bakes well in a loaf tin too"."""
    if len(words) < 2 or base_form(words[0]) not in BAKES or not words[0].endswith("s"):
        return False
    return words[1] in ("for", "at", "about", "until", "till") or words[1][0].isdigit()


def _must(pieces: Sequence[Piece]) -> int:
    """Where a verb of waiting stands behind "has to", "needs to", "must"; 0 for nowhere."""
    words = [piece.word for piece in pieces]
    at = 2 if words[:1] and words[0] in _HAS and words[1:2] == ["to"] else 1 if words[:1] == ["must"] else 0  # fmt: skip
    return at + 1 if at and words[at : at + 1] and words[at] in word_set("verbs-of-waiting") else 0


def _passive(pieces: list[Piece]) -> list[Piece]:
    """ "The butter is creamed with the sugar" as "cream the butter with the sugar"."""
    begun = 0  # behind the clause before
    at = 0
    while at < len(pieces):
        if pieces[at].word in _BE and at > begun:
            verb_at = at + 1
            while verb_at < len(pieces) and (pieces[verb_at].word in _ADVERBS_BETWEEN or is_adverb(pieces[verb_at].word)):  # fmt: skip
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
    while first < end and pieces[first].word in (*FILLERS, *JOINTS):
        first += 1
    if first >= end or pieces[first].word in word_set("openings-of-sentences") | {"until", "till", "which", "that", "who", "it"}:  # fmt: skip
        return None
    said = {piece.word for piece in pieces[first:end]}
    return None if said & {"until", "till", "which", "when", "while", "that", "if"} or end - first > 24 else first  # fmt: skip


def _inverted(pieces: list[Piece]) -> list[Piece]:
    """ "In go the eggs", "on goes the topping", "the eggs go in", "into the oven with it"."""
    tells_going = not _GO.isdisjoint([piece.word for piece in pieces])
    for start in reversed(starts_of(pieces)):
        at = start
        while at < len(pieces) and pieces[at].word in FILLERS:
            at += 1
        if at + 1 >= len(pieces) or pieces[at].word in JOINTS:
            continue
        word = pieces[at].word
        behind = at + 2 if word == "on" and pieces[at + 1].word in ("top", "there") else at + 1
        if word in INTO and pieces[behind].word in ("it", "they", "them") and behind + 1 < len(pieces) and pieces[behind + 1].word in _GO:  # fmt: skip
            pieces[start : behind + 2] = [pieces[at]._replace(word="add"), pieces[behind]]
        elif word in INTO and (go := _goes_into(pieces, at)):
            pieces[start : go + 1] = [
                pieces[go]._replace(word="add", end=pieces[go].start),
                *pieces[at:go],
                pieces[go]._replace(word=","),
            ]
        elif word in INTO | ONTO and behind < len(pieces) and pieces[behind].word in _GO | {"with"}:
            verb = "add" if word in INTO else "top"
            first = pieces[at]._replace(word=verb)
            with_it = [pieces[behind]._replace(word="with")] if verb == "top" else []
            pieces[start : behind + 1] = [first, *with_it]
        elif word in INTO and any(p.word in ("oven", "ovens") for p in pieces[at + 1 : at + 6]) and not has_verb(pieces[at + 1 :]):  # fmt: skip
            pieces[start:start] = [pieces[at]._replace(word="bake", end=pieces[at].start)]
        elif tells_going:
            _goes(pieces, start, at)
    return pieces


def _goes_into(pieces: Sequence[Piece], at: int) -> int:
    """Where "goes" stands in "in a big bowl goes the flour"; 0 where there is none."""
    words = [piece.word for piece in pieces[at : at + 7]]
    go = next((n for n in range(2, len(words)) if words[n] in _GO), 0)
    return at + go if go and set(words[1:go]) & word_set("vessels") and not JOINTS & set(words[:go]) else 0  # fmt: skip


def _together(pieces: list[Piece]) -> list[Piece]:
    """ "Knock it back", "set the dough aside" as "knock back it", "set aside the dough"."""
    for at in range(len(pieces) - 2):
        if at and pieces[at - 1].word not in JOINTS:
            continue
        for behind in range(at + 2, min(at + 5, len(pieces))):
            words = [piece.word for piece in pieces[at : behind + 1]]
            if words[-1] in JOINTS or words[1] not in _OBJECTS or (behind > at + 2 and words[1] in _THEM):  # fmt: skip
                break
            if words[-1] in _APART and f"{words[0]} {words[-1]}" in word_set("verbs"):
                pieces[at + 1 : behind + 1] = [pieces[behind], *pieces[at + 1 : behind]]
                break
    return pieces


def _aside(pieces: Sequence[Piece]) -> range:
    """Where the first remark in brackets stands: "the pineapple (keep the juice) goes in"."""
    words = [piece.word for piece in pieces]
    if "(" not in words or ")" not in words[words.index("(") :]:
        return range(0)
    return range(words.index("("), words.index(")", words.index("(")))


def _goes(pieces: list[Piece], start: int, at: int) -> None:
    """ "The eggs go in", "the cake goes into a moderate oven", "the crumbs go on top"."""
    ends = JOINTS - {"and", ","} if start == 0 else JOINTS - {"and"}
    aside = _aside(pieces) if start == 0 else range(0)
    ends -= {")"} if aside else set()
    end = next((n for n in range(at + 1, min(at + 20, len(pieces))) if pieces[n].word in ends), min(at + 20, len(pieces)))  # fmt: skip
    go = next((n for n in range(at + 1, end) if pieces[n].word in _GO), None)
    if go is None or go + 1 >= len(pieces) or has_verb([p for n, p in enumerate(pieces[at:go], at) if n not in aside]):  # fmt: skip
        return
    rest = [piece.word for piece in pieces[go + 1 : go + 7]]
    if cold := {"fridge", "refrigerator", "freezer"} & set(rest):
        verb = "freeze" if "freezer" in cold else "chill"
    elif "oven" in rest and {p.word for p in pieces[at:go]} & _THINGS:
        verb = "bake"
    elif set(rest[:3]) & ONTO and "oven" not in rest:
        verb = "top"
    elif set(rest[:3]) & (INTO | {"through"}):
        is_in_tin = pieces[at].word in _THEY and bool(word_set("baking-tins") & set(rest))
        verb = "put" if is_in_tin else "add"
    else:
        return
    subject = pieces[at:go]
    with_it = [subject[0]._replace(word="with", end=subject[0].start)] if verb == "top" else []
    behind = go + 2 if pieces[go + 1].word in ("in", "on") and go + 2 <= len(pieces) else go + 1
    if verb in BAKES | CHILLS:
        behind = go + 1
    pieces[start:behind] = [pieces[go]._replace(word=verb), *with_it, *subject]
