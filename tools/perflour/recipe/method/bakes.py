"""A bake that is said by its heat and time alone: "gas mark 4 for an hour", "then 20 minutes at 180".

Ordinary English of bakers: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from perflour.formula.verbs import WAITS, bakes, heats_oven
from perflour.recipe.method.pieces import INTO, JOINTS, Piece, has_verb, is_adverb
from perflour.recipe.words import phrases, word_set

#: What "then" is followed by where no food comes.
_NO_FOOD = frozenset(("at", "for", "again", "more", "another", "until", "when", "if", "on", "into", "to", "with", "gas", "by", ";", ",", "and"))  # fmt: skip
_HEAT = re.compile(r"[1-5][0-9]{2}(?:c|f|°)?")
_ABOUT = frozenset(("about", "approximately", "roughly"))
_MACHINE = frozenset(("hook", "paddle", "spiral", "mixer", "planetary"))
_PLACES = frozenset(("rack", "racks", "board", "plate", "tray"))
#: Before and behind the name of a rest: "the first prove is", "second rise takes".
_ORDINALS = frozenset(("the", "its", "first", "second", "third", "final", "last", "then", "next"))
_TELLS = frozenset(("is", "takes", "wants", "needs", "for", "about", ","))
_THEY = frozenset(("it", "they", "it'll", "they'll", "it’ll", "they’ll", "these", "this", "that"))
_TELL_OVEN = frozenset(("°", "degrees", "degree", "f", "c", "mark"))


def with_stages(pieces: list[Piece]) -> list[Piece]:
    """ "Scrape; 30 s more" as "scrape; mix 30 s more"."""
    for at in range(len(pieces) - 1, 0, -1):
        if pieces[at - 1].word != ";":
            continue
        behind = [piece.word for piece in pieces[at : at + 4]]
        only = [w for w in behind[:3] if w not in (";", "more", ".")]
        if len(only) == 2 and only[0][0].isdigit() and only[1] in ("s", "min", "minutes", "minute", "seconds", "h"):  # fmt: skip
            pieces.insert(at, Piece("mix", pieces[at].start, pieces[at].start))
    return pieces


def _says_bake(words: Sequence[str]) -> bool:
    """ "Turn it down to 350 for another twenty" goes on baking; "turn the oven to 350" does not."""
    heated = any(_HEAT.fullmatch(word) for word in words[:8])
    timed = bool({"for", "minutes", "min", "mins", "another"} & set(words))
    return heated and timed and not heats_oven(" ".join(words[:3]))


def _puts_in_oven(words: Sequence[str]) -> bool:
    """ "In the oven at 350", "into a hot oven for an hour", of some thing and not of the oven itself."""
    end = next(
        (n for n, word in enumerate(words) if word in (";", "then", "until", "till")), len(words)
    )
    oven = next((n for n in range(1, end) if words[n] == "oven"), 0)
    in_it = bool((INTO | {"back"}) & set(words[max(0, oven - 3) : oven]))
    return (
        bool(oven)
        and in_it
        and (_has_time(words[:end]) or any(_HEAT.fullmatch(w) for w in words[:end]))
    )


def with_bakes(pieces: list[Piece]) -> list[Piece]:
    """ "Bake at 220, then at 180 for an hour" as two bakes, "stick it in the oven for an hour" as one."""
    words = [piece.word for piece in pieces]
    for at in range(len(words) - 1, -1, -1):
        word, opens = words[at], at == 0 or words[at - 1] in JOINTS
        if (
            opens
            and word in word_set("verbs-of-putting")
            and _puts_in_oven(words[at + 1 : at + 14])
        ):
            pieces[at] = pieces[at]._replace(word="bake")
            words[at] = "bake"
        if opens and word in word_set("verbs-of-turning-down") and _says_bake(words[at : at + 14]):
            pieces[at] = pieces[at]._replace(word="bake")
            words[at] = "bake"
            if baked := _and_bake(words, at):  # "turn to 325 and bake 15 min" is one bake
                pieces[baked - 1 : baked + 1] = [pieces[baked - 1]._replace(word=",")]
                words[baked - 1 : baked + 1] = [","]
    adding = [""]  # the last verb of adding before each place
    for n, word in enumerate(words):
        is_one = word in word_set("verbs-that-add") and (n == 0 or words[n - 1] in JOINTS)
        adding.append(word if is_one else adding[-1])
    for at in range(len(pieces) - 1, 1, -1):
        verb = adding[at - 1] if words[at - 1] == "then" else ""  # "add the sugar, then the eggs"
        if verb and words[at] not in _NO_FOOD and not words[at][0].isdigit() and not is_adverb(words[at]) and not has_verb(pieces[at : at + 5]):  # fmt: skip
            pieces.insert(at, Piece(verb, pieces[at].start, pieces[at].start))
            words.insert(at, verb)
    _with_loads(pieces, words)
    bake = next((n for n, word in enumerate(words) if bakes(word)), None)
    if bake is None:
        return pieces
    for at in range(len(pieces) - 1, bake + 1, -1):
        opens = words[at - 1] == "then" and (words[at] in ("at", "for", "another", "a") or words[at][0].isdigit() or words[at] == "gas")  # fmt: skip
        if opens and not has_verb(pieces[at : at + 6]) and any(w[0].isdigit() or w in ("hour", "half") for w in words[at : at + 6]):  # fmt: skip
            pieces.insert(at, Piece("bake", pieces[at].start, pieces[at].start))
            words.insert(at, "bake")
    return pieces


def _and_bake(words: Sequence[str], at: int) -> int:
    """Where "and bake" follows an oven that is turned down, before any time; 0 for nowhere."""
    for n in range(at + 2, min(at + 9, len(words))):
        if words[n - 1] == "and" and bakes(words[n]):
            return n
        if words[n].startswith(("min", "hour", "hr")) or words[n] == ";":
            break
    return 0


def _with_loads(pieces: list[Piece], words: list[str]) -> None:
    """ "Load: first 10 min at 240", "scale into a tin, 160 fan, 45 min": what heat and time say is a bake."""
    for at in range(len(words) - 2, 0, -1):
        if words[at - 1] not in (":", ",", "then") or words[at] == "bake":
            continue
        behind = words[at : at + 8]
        is_first = behind[0] == "first" and behind[1][:1].isdigit() and "at" in behind
        hot = _HEAT.fullmatch(behind[0]) and (behind[1] in ("fan", "convection", "conventional", "°", "c", "f") or behind[0][-1:].isalpha())  # fmt: skip
        is_back = behind[0] == "back" and behind[1][:1].isdigit() and _has_time(behind[:4])
        is_hot = hot and _has_time(behind) and not _is_baked(words[max(0, at - 30) : at])
        if (is_first or is_back or is_hot) and not has_verb(pieces[at : at + 6]):
            pieces.insert(at, Piece("bake", pieces[at].start, pieces[at].start))
            words.insert(at, "bake")


def _is_baked(words: Sequence[str]) -> bool:
    return any(bakes(word) or heats_oven(word) or word in word_set("words-of-ovens") for word in words)  # fmt: skip


def _with_racks(pieces: list[Piece]) -> list[Piece]:
    """ "Five minutes in the tin, then out onto a rack": turned out; "then onto a rack": cooled."""
    for at in range(len(pieces) - 2, -1, -1):
        if at and pieces[at - 1].word not in (",", ";", "then", "and"):
            continue
        words = [piece.word for piece in pieces[at : at + 6]]
        if words[0] == "out" and words[1] in ("onto", "on", "of") and _PLACES & set(words[2:]):
            verb = "turn" if words[1] != "of" else ""
        elif words[0] in ("onto", "on") and at and {"rack", "racks"} & set(words[1:5]) and pieces[at - 1].word == "then":  # fmt: skip
            verb = "cool"
        else:
            continue
        if verb and not has_verb(pieces[at : at + 5]):
            pieces.insert(at, Piece(verb, pieces[at].start, pieces[at].start))
    return pieces


def with_verb(pieces: list[Piece]) -> list[Piece]:
    """ "Gas mark 4 for an hour", "it wants forty minutes at 180", "oven at 190": what is meant goes in front."""
    pieces = _rests(pieces)
    words = [piece.word for piece in pieces]
    verb = "bake" if _wants(words) else _unsaid_verb(pieces, words)
    said = [Piece(verb, pieces[0].start, pieces[0].start), *pieces] if verb else pieces
    return _with_racks(said)


def _unsaid_verb(pieces: Sequence[Piece], words: Sequence[str]) -> str:
    """What a sentence means that says a heat, a time or a place and no verb; empty where it has one."""
    if words and (words[0] in word_set("words-of-ovens") or _HEAT.fullmatch(words[0])) and not has_verb(pieces[:4]):  # fmt: skip
        timed = _has_time(words[:12])
        if any(_HEAT.fullmatch(w) for w in words[:4]) and (timed or words[0] == "oven"):
            return "bake" if timed else "preheat"
    if _runs_machine(words):
        return "mix"
    if not words or has_verb(pieces) or phrases("verbs").at(words) or words[0] in word_set("openings-of-sentences"):  # fmt: skip
        return ""
    first = words[words[0] in _ABOUT : 2][:1]  # "about 9 lb batter in each pan"
    if first and first[0][0].isdigit() and {"in", "into", "per"} & set(words) and word_set("vessels") & set(words):  # fmt: skip
        return "scale"
    has_number = "mark" in words or "gas" in words or any(_HEAT.fullmatch(w) for w in words)
    has_time = _has_time(words)
    if has_time and words[0] == "back":
        return "bake"
    if (
        has_time
        and not has_number
        and word_set("places-to-cool") & set(words)
        and "oven" not in words
    ):
        return "leave"
    is_oven = "oven" in words or "gas" in words or bool(_TELL_OVEN & set(words))
    if not has_number or not (is_oven or (has_time and "at" in words)):
        return ""
    return "bake" if has_time else "preheat" if "oven" in words[:4] or is_oven else ""


def _runs_machine(words: Sequence[str]) -> bool:
    """ "Dough hook, low 1 min", "medium, 10 min to a smooth dough": a tool or speed of the machine, and its time."""
    at = 2 if words[:2] == ["dough", "hook"] else 1 if words[:1] and words[0] in _MACHINE else 0
    at += words[at : at + 1] == [","]
    if _times_a_speed(words[2:] if words[1:2] == [":"] and words[0] in _MACHINE else words):
        return True
    speed = words[at : at + 1] and words[at] in word_set("speeds")
    behind = [word for word in words[at + bool(speed) : at + 4] if word != ","]
    return bool(speed) and _has_time(behind[1:2]) and behind[0][0].isdigit()


def _times_a_speed(words: Sequence[str]) -> bool:
    """ "4 min 1st, 3 min on 2nd": how long at which speed."""
    at = 3 if words[2:3] in (["on"], ["at"]) else 2
    return bool(words[:1]) and words[0][0].isdigit() and _has_time(words[1:2]) and words[at : at + 1] != [] and words[at] in word_set("speeds")  # fmt: skip


def _rests(pieces: list[Piece]) -> list[Piece]:
    """ "First prove is about an hour": the name of a rest or a bake and its time, as what is done."""
    words = [piece.word for piece in pieces[:10]]
    at = next((n for n, word in enumerate(words) if word not in _ORDINALS), len(words))
    if not 0 < at < len(words) - 1 or not (bakes(words[at]) or words[at] in WAITS | {"bulk"}):
        return pieces
    told = words[at + 1] in _TELLS and _has_time(words[at + 2 :])
    return [pieces[at], *pieces[at + 2 :]] if told else pieces


def _wants(words: Sequence[str]) -> bool:
    """ "They take about 12 minutes at 180", "20 minutes at gas 5 should do it"."""
    wanted = words[:1] and words[0] in _THEY and set(words[1:4]) & {"want", "wants", "take", "takes", "need", "needs", "get", "gets"}  # fmt: skip
    does = "should" in words and any(words[n : n + 3] == ["should", "do", "it"] for n in range(len(words)))  # fmt: skip
    if not (wanted or does) or not _has_time(words):
        return False
    return any(_HEAT.fullmatch(word) for word in words) or "gas" in words or "oven" in words


def _has_time(words: Sequence[str]) -> bool:
    return any(word.startswith(("min", "hour", "hr")) for word in words)
