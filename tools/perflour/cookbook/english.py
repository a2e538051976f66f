"""The little English that sentences from formulas need: plurals, lists, articles."""

from __future__ import annotations

import re
from collections.abc import Sequence

# Things a method sets something on or into, one of which takes an article.
COUNTABLE = frozenset(("baguette", "basket", "bath", "bench", "board", "bowl", "brush", "cloth", "cutter", "dish", "fork", "griddle", "knife", "mat", "oven", "pan", "pin", "plate", "processor", "rack", "ring", "scoop", "scraper", "sieve", "spatula", "spoon", "springform", "stone", "surface", "table", "tablespoon", "teaspoon", "thermometer", "tin", "tray", "whisk"))  # fmt: skip
# What hangs on a mixer: there is one of it.
_OF_MIXER = frozenset(("paddle", "hook", "beater"))
# What has its food in it, or on it.
_HOLDERS = {"sieve": "in", "bath": "in", "stone": "on", "blender": "in", "processor": "in"}
# What stands first in an index, whatever is said before it: flour, bread. Names of one thing stay whole.
_HEADS = frozenset(["butter", "cheese", "chocolate", "cream", "flour", "milk", "oil", "salt", "starch", "sugar", "syrup", "vinegar", "yeast"])  # fmt: skip
_WHOLE_NAMES = frozenset(("peanut butter", "almond butter", "cocoa butter", "nut butter", "cream cheese", "coconut milk", "coconut cream", "ice cream"))  # fmt: skip
# Words that only say of which sort it is, beside those that end in -ed.
_SORTS = frozenset(["black", "brown", "dark", "dry", "fresh", "green", "ground", "instant", "large", "light", "medium", "plain", "raw", "red", "semisweet", "small", "sour", "strong", "sweet", "thick", "thin", "unsalted", "white", "whole"])  # fmt: skip
# Verbs by which a remark or a sign is seen to be a clause and no mere phrase.
_FINITE = frozenset(["are", "is", "was", "has", "have", "can", "will", "wants", "needs", "comes", "goes", "holds", "gives", "gave", "fills", "falls", "springs", "leaves", "stands", "begins", "starts", "takes", "keeps", "sinks", "sticks", "makes", "runs"])  # fmt: skip
# Words with which a remark hangs on to what was said before it.
_HANGS_ON = frozenset(["after", "around", "at", "away", "before", "between", "covered", "from", "in", "off", "on", "out", "over", "straight", "through", "to", "turning", "twice", "uncovered", "under", "until", "while", "with", "without"])  # fmt: skip
_ARTICLES = frozenset(("a", "an", "the", "one", "two", "each", "its", "their"))


def plural(noun: str) -> str:
    """``loaf`` to ``loaves``, ``cookie`` to ``cookies``, ``dish`` to ``dishes``; a plural stays."""
    if noun.endswith(("s", "ves")) and not noun.endswith("ss"):
        return noun
    if noun.endswith(("loaf", "half", "leaf")):
        return f"{noun[:-1]}ves"
    if noun.endswith(("ss", "x", "ch", "sh")):
        return f"{noun}es"
    if noun.endswith("y") and noun[-2:-1] not in "aeiou":
        return f"{noun[:-1]}ies"
    return f"{noun}s"


def counted(number: int, noun: str) -> str:
    """``1 loaf``, ``2 loaves``."""
    return f"{number:,} {noun if number == 1 else plural(noun)}"


def listed(words: Sequence[str], joint: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``; ``joint`` is "and" in the language of the words."""
    return f" {joint} ".join([*([", ".join(words[:-1])] if words[1:] else []), *words[-1:]])


def inverted(name: str) -> str:
    """A name as an index lists it: ``unsalted butter`` as ``butter, unsalted``, ``baking powder`` as it is."""
    *sorts, head = name.split()
    if not sorts or " ".join((sorts[-1], head)) in _WHOLE_NAMES:
        return name
    at = len(sorts)
    if head not in _HEADS:
        at = next((n for n, word in enumerate(sorts) if not _is_sort(word)), at)
    return f"{' '.join((*sorts[at:], head))}, {' '.join(sorts[:at])}" if at else name


def _is_sort(word: str) -> bool:
    return word in _SORTS or word.endswith(("ed", "%"))


def with_article(phrase: str) -> str:
    """``wire rack`` to ``a wire rack`` where one such thing is meant; else as it is."""
    one = phrase.removeprefix("1 ")
    words = one.split()
    head = one.partition(",")[0].split()
    if not words or not words[0][0].isalpha():
        numbered = len(words) > 2 and words[-1].lower() in COUNTABLE and words[0].isdigit()
        return f"a {one}" if numbered and words[1] in ("cm", "mm", "inch") else phrase
    if words[0].lower() in _ARTICLES:
        return phrase
    named = head if one is phrase else [word for word in head if word.isalpha()]
    if COUNTABLE.isdisjoint(word.lower() for word in (named[-1:] if one is phrase else named)):
        return phrase
    return f"{'an' if words[0][0].lower() in 'aeiou' else 'a'} {one}"


def to_the(phrase: str) -> str:
    """What was spoken of before: ``1 loaf pan`` to ``the loaf pan``, ``2 loaf pans`` to ``the 2 loaf pans``."""
    one = phrase.removeprefix("1 ")
    first = one.split()[0].lower()
    return phrase if first in _ARTICLES else f"the {one}"


def with_tool(tool: str, is_mixer: bool, has_with: bool) -> str:
    """``with a spatula``, ``with the paddle``, ``in a sieve``; ``using`` behind another *with*."""
    head = tool.partition(",")[0].split()[-1].lower()
    of_mixer = head in _OF_MIXER or (is_mixer and head == "whisk")
    named = f"the {tool}" if of_mixer and tool.split()[0] not in _ARTICLES else with_article(tool)
    return f"{_HOLDERS.get(head) or ('using' if has_with else 'with')} {named}"


def is_clause(text: str) -> bool:
    """Whether a text says by a verb of its own what is or happens."""
    return not _FINITE.isdisjoint(word.strip(",;:.") for word in text.lower().split())


def in_turns(note: str) -> bool:
    """Whether a remark says that things go in one by one: one at a time."""
    first, *others = note.lower().split() or [""]
    return first in ("one", "two", "a") and others in (["at", "a", "time"], ["by", "one"], ["little", "at", "a", "time"])  # fmt: skip


def fragment(note: str, bare: bool) -> str:
    """A remark behind a sentence, with the sign that joins it; ``bare`` where the sentence is a mere verb."""
    first = note.lower().split()[0].strip(",")
    if bare and first in ("into", "to", "while", "with"):
        return f" {note}"
    if first in _HANGS_ON or re.search(r"\bfirst\b", note):
        return f", {note}"
    return f": {note}" if bare else f"; {note}"


def sentence(text: str) -> str:
    """A capital letter at the start and a full stop at the end; nothing stays nothing."""
    text = " ".join(text.split())
    if not text:
        return ""
    return f"{text[0].upper()}{text[1:]}{'' if text[-1] in '.!?…' else '.'}"
