"""Whether two passages are the same, or say the same: what most of a merge comes to.

Nearly all of a file is the same in all three texts, so the answer is found without reading them where it can be.
"""

import re
from collections import Counter
from collections.abc import Sequence

from perflour.formula.portions import taken
from perflour.kitchen.names import fold
from perflour.merge.passages import Passage

_WORD = re.compile(r"\w+")
# Where this stands, a value may be written in other words than those it says: escapes, a stated indent.
_OTHER_WORDS = re.compile(r"\\|[|>][-+]?[0-9]")


def same_text(one: Passage, other: Passage) -> bool:
    """Whether two passages are one text, at whatever column."""
    alike = one.column == other.column and one.body == other.body
    return alike or one.text == other.text


def same_but_form(one: str, other: str) -> bool:
    """Whether two texts of a passage say the same in words and comments."""
    if not may_say_the_same(one, other):
        return False
    from perflour.merge.entries import says  # hardly ever met

    return says(one) == says(other)


def may_say_the_same(one: str, other: str) -> bool:
    """Whether two texts have the same words, in whatever order: else they cannot say the same.

    Quotes, brackets, breaks of lines and the order of fields are form; words are what is said.
    """
    if _OTHER_WORDS.search(one) or _OTHER_WORDS.search(other):
        return True
    lines, others = Counter(one.split("\n")), Counter(other.split("\n"))
    return _words(lines - others) == _words(others - lines)


def _words(lines: Counter[str]) -> list[str]:
    return sorted(_WORD.findall("\n".join(lines.elements())))


def is_untouched(base: Passage, there: Passage) -> bool:
    """Whether nothing would be lost with a passage that the other side removed."""
    known = {line.strip() for line in base.lead}
    return all(line.strip() in known for line in there.lead if line.strip()) and (
        same_text(base, there) or same_but_form(base.text, there.text)
    )


def merged_comments(
    base: Sequence[str], mine: Sequence[str], other: Sequence[str]
) -> tuple[str, ...]:
    """Comments over an entry: the changes of both; what both wrote instead of one stands twice."""
    if tuple(mine) == tuple(base):  # blank lines too
        return tuple(other)
    said = [[line.strip() for line in lines if line.strip()] for lines in (base, mine, other)]
    was, here, there = said
    if here == was and there != was:
        return tuple(other)
    gone = set(was) - set(there)
    kept = (line for line in mine if not line.strip() or line.strip() not in gone)
    new = (line for line in other if line.strip() and line.strip() not in {*was, *here})
    return (*kept, *new)


def named_use(text: str) -> str:
    """What a word of `uses` names, whatever portion of it."""
    return fold(taken(text).name)
