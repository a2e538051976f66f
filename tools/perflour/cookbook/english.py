"""The little English that sentences from formulas need: plurals, lists, articles."""

from __future__ import annotations

from collections.abc import Sequence

# Things a method sets something on or into, one of which takes an article.
COUNTABLE = frozenset(("baguette", "basket", "bench", "board", "bowl", "cloth", "dish", "griddle", "mat", "oven", "pan", "plate", "rack", "ring", "springform", "stone", "surface", "table", "tin", "tray"))  # fmt: skip
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


def listed(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return " and ".join([*([", ".join(words[:-1])] if words[1:] else []), *words[-1:]])


def with_article(phrase: str) -> str:
    """``wire rack`` to ``a wire rack`` where one such thing is meant; else as it is."""
    words = phrase.split()
    head = phrase.partition(",")[0].split()
    if not words or not words[0][0].isalpha() or words[0].lower() in _ARTICLES:
        return phrase
    if head[-1].lower() not in COUNTABLE:
        return phrase
    return f"{'an' if words[0][0].lower() in 'aeiou' else 'a'} {phrase}"


def sentence(text: str) -> str:
    """A capital letter at the start and a full stop at the end; nothing stays nothing."""
    text = " ".join(text.split())
    if not text:
        return ""
    return f"{text[0].upper()}{text[1:]}{'' if text[-1] in '.!?…' else '.'}"
