"""Set phrases of kitchens that hide what is done: "put it in the freezer" as "freeze it", "get it onto the dry" as "add it".

Each is put in the form of an instruction before the order of its sentence is looked at. Ordinary English of
bakers: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from perflour.kitchen.numerals import in_figures
from perflour.recipe.method.pieces import FILLERS, INTO, JOINTS, ONTO, Piece, base_form, starts_of
from perflour.recipe.words import phrases, word_map, word_set

_THEM = frozenset(("it", "them", "this", "that", "these", "those"))
_PRONOUNS = frozenset(("you", "we", "they", "i"))
_MUST = frozenset(("should", "must", "wants", "needs", "ought", "has", "to", "be", "have", "need", "want"))  # fmt: skip
_MAY = frozenset(("should", "must", "may", "can", "might"))
#: So many words at most stand between a verb and the place or the word that belongs to it.
_MOST_BETWEEN = 6
#: What stands behind a speed that a machine goes on with: "then fast again", "then slow until it gathers".
_GOES_ON = frozenset(("again", "until", "till", "to", "for", ",", "speed"))


def with_set_phrases(pieces: Sequence[Piece]) -> list[Piece]:
    """The pieces of a sentence with its set phrases put as what is done."""
    plain = _served_with(list(pieces))
    _cooled_out(plain)
    for start in reversed(starts_of(plain)):
        at = start
        while at < len(plain) - 1 and (plain[at].word in FILLERS or plain[at].word in _PRONOUNS):
            at += 1
        _put_somewhere(plain, at)
        _back_on(plain, at)
    _before_it(plain)
    _which_is_done(plain)
    return _on_a_speed(plain)


def _words(pieces: Sequence[Piece], first: int = 0, last: int | None = None) -> list[str]:
    return [piece.word for piece in pieces[first:last]]


def _served_with(pieces: list[Piece]) -> list[Piece]:
    """ "Feeds six, with cream" serves with cream."""
    words = _words(pieces, 0, _MOST_BETWEEN)
    if words[:1] and words[0] in ("feeds", "serves") and "with" in words:
        return [pieces[0]._replace(word="serve"), *pieces[words.index("with") :]]
    return pieces


def _cooled_out(pieces: list[Piece]) -> None:
    """ "It should be 20 minutes out of the oven" leaves it so long, "rack to cool" cools it on a rack."""
    words = _words(pieces)
    if words[:3] == ["rack", "to", "cool"]:
        said = ("cool", "on", "rack")
        pieces[:3] = [piece._replace(word=word) for piece, word in zip(pieces, said, strict=False)]
        return
    at = next((n for n in range(1, len(words)) if words[n] not in _MUST), len(words))
    is_timed = in_figures(" ".join(words[at : at + 1]))[:1].isdigit() and words[at + 1 : at + 2] and words[at + 1].startswith(("min", "hour"))  # fmt: skip
    is_out = words[at + 2 : at + 6] == ["out", "of", "the", "oven"]
    if words[:1] and words[0] in ("it", "they") and at > 1 and is_timed and is_out:
        pieces[:at] = [pieces[0]._replace(word="leave")]


def _put_somewhere(pieces: list[Piece], at: int) -> None:
    """ "Put it in the freezer", "get it onto the dry", "put in the yeast"."""
    words = _words(pieces, at, at + _MOST_BETWEEN + 1)
    end = next((n for n, word in enumerate(words) if word in JOINTS), len(words))
    words = words[:end]
    if not words or words[0] not in word_set("verbs-of-putting") | {"put"}:
        return
    cold = word_map("cold-places")
    place = next((n for n in range(2, end) if words[n] in cold), 0)
    if place and INTO & set(words[max(0, place - 2) : place]):
        pieces[at] = pieces[at]._replace(word=cold[words[place]])
        return
    if set(words) & (word_set("vessels") | word_set("tools") | word_set("places-to-stand")):
        return
    behind = next((n for n in range(2, end) if words[n] in INTO | ONTO), 0)
    if words[0] == "get" and words[1:2] and words[1] in _THEM and 0 < behind <= 3 and words[behind + 1 : behind + 2] == ["the"]:  # fmt: skip
        pieces[at] = pieces[at]._replace(word="add")
    elif words[:2] == ["put", "in"] and end > 2:
        pieces[at : at + 2] = [pieces[at]._replace(word="add", end=pieces[at + 1].end)]


def _back_on(pieces: list[Piece], at: int) -> None:
    """ "Sit the lid back on" as "sit back on the lid", "set them in the oven" as "set in the oven them"."""
    words = _words(pieces, at, at + _MOST_BETWEEN + 1)
    for behind in range(2, len(words) - 1):
        if words[behind - 1] in JOINTS:
            return
        first = behind
        is_bare = first == 2 and words[1] in _THEM
        if not is_bare and words[first] != "back":
            continue
        length = phrases("verbs").at([words[0], *words[first:]])
        is_back = words[first] == "back" and length == 3
        if length > 2 and (is_back or is_bare):
            moved = pieces[at + first : at + first + length - 1]
            pieces[at + 1 : at + first + length - 1] = [*moved, *pieces[at + 1 : at + first]]
            return


def _before_it(pieces: list[Piece]) -> None:
    """ "Leave it ten minutes before you turn it out" leaves it, then turns it out."""
    words = _words(pieces)
    waits = word_set("verbs-of-waiting") | {"leave", "let"}
    at = next((n for n in range(2, len(words) - 1) if words[n] == "before"), 0)
    first = next((n for n, word in enumerate(words) if word not in FILLERS), 0)
    if not at or words[first] not in waits or ";" in words[first:at]:
        return
    verb_at = at + 2 if words[at + 1] in _PRONOUNS else at + 1
    verb = base_form(words[verb_at]) if verb_at < len(words) else ""
    is_said = verb_at == at + 2 or words[verb_at : verb_at + 1] == [f"{verb}ing"] or words[verb_at].endswith("ing")  # fmt: skip
    if verb and is_said and verb not in word_set("verbs-waited-for"):
        pieces[at : verb_at + 1] = [pieces[at]._replace(word="then"), pieces[verb_at]._replace(word=verb)]  # fmt: skip


def _which_is_done(pieces: list[Piece]) -> None:
    """ "..., which should be served at once" serves it."""
    for at in range(len(pieces) - 4, 0, -1):
        if pieces[at].word != "," or pieces[at + 1].word != "which":
            continue
        words = _words(pieces, at, at + 5)
        if words[2] not in _MAY or words[3] != "be":
            continue
        if (verb := base_form(words[4])) and verb != words[4]:
            pieces[at + 1 : at + 5] = [pieces[at + 4]._replace(word=verb)]


def _on_a_speed(pieces: list[Piece]) -> list[Piece]:
    """ "Add the salt, 5 min on 2nd" adds, then mixes; "then fast again" goes on mixing."""
    speeds = word_set("speeds")
    for at in range(len(pieces) - 1, 0, -1):
        before = pieces[at - 1].word
        if before not in (",", "then"):
            continue
        words = _words(pieces, at, at + 4)
        timed = before == "," and len(words) == 4 and words[0][0].isdigit() and words[1].startswith("min") and words[2] == "on" and words[3] in speeds  # fmt: skip
        again = before == "then" and words[0] in speeds and words[1:2] and words[1] in _GOES_ON
        if again or (timed and _verb_before(pieces, at) in word_set("verbs-of-putting-in")):
            pieces.insert(at, Piece("mix", pieces[at].start, pieces[at].start))
    return pieces


def _verb_before(pieces: Sequence[Piece], at: int) -> str:
    """The verb of the clause before a place."""
    words = _words(pieces, 0, at)
    return next((words[n] for n in range(at - 1, -1, -1) if (n == 0 or words[n - 1] in JOINTS) and phrases("verbs").at(words, n)), "")  # fmt: skip
