"""How wide a text is on a terminal, in cells, and its lines where it must be no wider."""

from __future__ import annotations

import re
import textwrap

from perflour.plain import one_line

# One cell each, beside all letters below the combining marks: what our own reports write.
_NARROW = frozenset("–—‘’“”…−≤≥≈→↑↓⅓⅔⅛⅜⅝⅞")
_BELOW_MARKS = "\u0300"


def cells(text: str) -> int:
    """The cells a text takes: two for wide signs and emoji, none for marks that join another."""
    if _is_plain(text):
        return len(text)
    from wcwidth import width  # for what few texts hold: docs/performance.md

    return width(text)


def _is_plain(text: str) -> bool:
    """Whether every sign is known to take one cell."""
    return text.isascii() or all(sign < _BELOW_MARKS or sign in _NARROW for sign in text)


def padded(text: str, to: int, side: str = "<") -> str:
    """A text with blanks, left (``<``) or right (``>``) of its column."""
    room = " " * (to - cells(text))
    return text + room if side == "<" else room + text


def bound(text: str) -> str:
    """Text in which a number stays with its unit."""
    return re.sub(r"(?<=\d) (?=(?:k?g|m?l|min|h|s|[cm]m)\b|%|°)", "\u00a0", text)


def longest_word(text: str, at_hyphens: bool = False, further: int = 0) -> int:
    """The cells of the widest piece that is never parted; ids are, ``at_hyphens``, where need be.

    All but the first may stand in another line, so many cells ``further`` in.
    """
    text = bound(text)
    if at_hyphens:
        text = re.sub(r"(?<=[^\W\d]-)(?=[^\W\d])", " ", text)
    first, *others = map(cells, text.split(" "))
    return max(first, *(piece + further for piece in others), 0)


def wrap(
    text: str,
    width: int,
    initial_indent: str = "",
    subsequent_indent: str = "",
    break_on_hyphens: bool = True,
    break_long_words: bool = True,
) -> list[str]:
    """The lines of a text, no wider than ``width`` cells."""
    text = one_line(text)
    if _is_plain(text):
        into = textwrap.wrap
    else:
        from wcwidth import wrap as into
    return into(
        text,
        width,
        initial_indent=initial_indent,
        subsequent_indent=subsequent_indent,
        break_on_hyphens=break_on_hyphens,
        break_long_words=break_long_words,
    )
