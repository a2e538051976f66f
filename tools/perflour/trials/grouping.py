"""Letters for samples: those that share one are not told apart."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_lowercase


def group_letters(values: Sequence[float], least: float) -> list[str]:
    """Letters by value, ``a`` for the first; values ``least`` or more apart share none.

    ``values`` are sorted, upwards or down, and every pair has the same ``least`` difference, so that each
    letter covers neighbours. The usual compact letter display: H.-P. Piepho, An algorithm for a
    letter-based representation of all-pairwise comparisons, Journal of Computational and Graphical
    Statistics 13 (2004) 456-466 (from memory).
    """
    letters = [""] * len(values)
    last, used = 0, 0
    for first, value in enumerate(values):
        end = first
        while end < len(values) and abs(values[end] - value) < least:
            end += 1
        if end > last:  # else the letter before covers all of these
            for at in range(first, end):
                letters[at] += ascii_lowercase[used]
            last, used = end, used + 1
    return letters
