"""What somebody may have meant by a word that is none of those known."""

from __future__ import annotations

from collections.abc import Iterable

#: How alike two words are at least: `nwe` is new, `brew` is not review.
ALIKE = 0.65


def nearest(word: str, known: Iterable[str]) -> str:
    """The one of the known words that is most like another; empty where none is. Capitals do not count."""
    from difflib import get_close_matches  # only on the way to an error

    by_lower = {name.lower(): name for name in known}
    near = get_close_matches(word.lower(), by_lower, n=1, cutoff=ALIKE)
    return by_lower[near[0]] if near else ""


def advice(word: str, known: Iterable[str], otherwise: str) -> str:
    """``did you mean lint?``, or what else to do."""
    near = nearest(word, known)
    return f"did you mean {near}?" if near else otherwise
