"""The text of a `uses` entry to what it takes, and of what: "rest of the milk", "1/3 of butter", "60 g sugar".

Everything that asks what a step takes asks here: formulas, rules, merging, import, scaling, cookbook.
"""

from collections.abc import Sequence
from functools import lru_cache

from perflour.kitchen.quantity import (
    ALL,
    FIGURES,
    HALF,
    PORTION_WORDS,
    REST,
    SOME,
    USUAL,
    Amount,
    AmountProblem,
    Customs,
    Share,
    parse_amount,
    parse_share,
)
from perflour.tuples import NamedTuple

_ARTICLES = ("the", "this", "that")
# These stand before an article without "of": half the milk.
_BEFORE_ARTICLES = (ALL, HALF)
# These stand right before a name; other flour may be flour of another kind, the other flour is the rest.
_BEFORE_NAMES = ("remaining", "other")
_ONLY_BEHIND_THE = ("other",)
# The longest amount that stands before a name without "of": 1 1/2 cup plus 2 tbsp.
_LONGEST = 6
# Words by which one step takes an ingredient several times, without their plural s.
IN_TURNS = frozenset((
    "turn", "addition", "alternate", "alternately", "alternating", "batche", "portion", "halve", "third", "time",
    "gradually", "little", "half", "part", "rest", "remaining",
))  # fmt: skip


class Taken(NamedTuple):
    """How much is taken of a name. ``takes`` is all, half, rest, some or figures; empty: no portion is said.

    ``portion`` is there where figures say how much; ``words`` say it as written ("60 g", "half"),
    without the "of" or "the" that joins them to the name.
    """

    name: str
    takes: str = ""
    portion: Amount | Share | None = None
    words: str = ""


class _Read(NamedTuple):
    """A portion in a row of words: its own end before ``end``, the name from ``name`` on."""

    takes: str
    portion: Amount | Share | None
    end: int
    name: int


# Owner: the process; texts alone. Bound: 8192. Pays: the same names stand in the steps of a thousand formulas.
@lru_cache(maxsize=8192)
def taken(said: str, customs: Customs = USUAL) -> Taken:
    """What the text of a use takes. A text that only looks like a portion is a name as a whole."""
    words = said.split()
    read = _read(words, 0, customs)
    if read is None:
        return Taken(said)
    first = 1 if words[0].lower() == "the" else 0
    return Taken(
        " ".join(words[read.name :]), read.takes, read.portion, " ".join(words[first : read.end])
    )


def joined(words: str, article: str = "") -> str:
    """The words of a portion as they stand before a name: `60 g of `, `remaining `."""
    if words.rpartition(" ")[2].lower() in _BEFORE_NAMES:
        return f"{words} "
    return f"{words} of {article} " if article else f"{words} of "


def _read(words: Sequence[str], at: int, customs: Customs) -> _Read | None:
    """The portion that words say from a place on, with a portion that it is taken of."""
    if len(words) - at < 2:
        return None
    is_word = words[at][0].isalpha()
    outer = _in_words(words, at) if is_word else _in_figures(words, at, customs)
    if outer is None or outer.name >= len(words):
        return None
    inner = _read(words, outer.name, customs)
    return _of_a_portion(outer, inner) if inner else outer


def _in_words(words: Sequence[str], at: int) -> _Read | None:
    """`rest of`, `half the`, `the remaining`."""
    first = at + 1 if words[at].lower() == "the" else at
    word = words[first].lower()
    takes = PORTION_WORDS.get(word)
    end = first + 1
    if takes is None or end >= len(words) or (word in _ONLY_BEHIND_THE and first == at):
        return None
    if _joins(words, end) or (takes in _BEFORE_ARTICLES and words[end].lower() in _ARTICLES):
        return _Read(takes, None, end, _name_from(words, end))
    return _Read(takes, None, end, end) if word in _BEFORE_NAMES else None


def _in_figures(words: Sequence[str], at: int, customs: Customs) -> _Read | None:
    """`60 g of`, `1/3 of`, `2 of`; without "of" what cannot be a name: `60 g`, `1/3 the`."""
    of = next((n for n in range(at + 1, len(words)) if _joins(words, n)), 0)
    if of and (portion := _portion(" ".join(words[at:of]), customs)):
        return _Read(FIGURES, portion, of, _name_from(words, of))
    for end in range(min(len(words) - 1, at + _LONGEST), at, -1):
        portion = _portion(" ".join(words[at:end]), customs)
        if isinstance(portion, Amount):
            is_measured = portion.kinds in ({"mass"}, {"volume"})
        else:
            is_measured = portion is not None and words[end].lower() in _ARTICLES
        if is_measured:
            return _Read(FIGURES, portion, end, _name_from(words, end))
    return None


def _joins(words: Sequence[str], at: int) -> bool:
    return words[at].lower() == "of"


def _name_from(words: Sequence[str], at: int) -> int:
    """Where the name begins behind "of" and an article."""
    at += _joins(words, at)
    return at + (at < len(words) and words[at].lower() in _ARTICLES)


def _of_a_portion(outer: _Read, inner: _Read) -> _Read | None:
    """A portion of a portion: `half of the remaining milk` is some of it, `the remaining 60 g` are 60 g."""
    if outer.takes == ALL or (outer.takes == REST and inner.takes in (REST, FIGURES)):
        return inner
    if inner.takes == FIGURES:
        return None  # no rule, and no scale, could tell how much that is
    if inner.takes == ALL or isinstance(outer.portion, Amount):
        return inner._replace(takes=outer.takes, portion=outer.portion)
    return inner._replace(takes=SOME, portion=None)


def _portion(text: str, customs: Customs) -> Amount | Share | None:
    """`60 g`, `1/4 cup` and `2` (pieces) as an amount, `1/3` and `40 %` as a share; None for others."""
    try:
        if text.endswith("%"):
            share = parse_share(text)
            return share if isinstance(share, Share) else None
        amount = parse_amount(text, customs)
    except AmountProblem:
        return None
    term = amount.terms[0]
    if term.low == term.high < 1 and not any(map(str.isalpha, text)):
        return Share(text, term.low)
    return amount
