"""What kind of line a line of plain text is: an ingredient, an instruction, a sentence."""

from __future__ import annotations

import re
from functools import lru_cache

from perflour.formula.portions import taken
from perflour.kitchen.quantity import ALL, HALF, REST
from perflour.recipe.grammar import take_apart
from perflour.recipe.lexemes import tidy
from perflour.recipe.words import phrases, word_set
from perflour.recipe.yields import opens_yield

NUMBERED = re.compile(r"^\s*(?:step\s+)?[0-9]{1,2}(?:[.)]|:)\s+(?=\S)", re.IGNORECASE)
BULLET = re.compile(r"^\s*(?:[-*•–·▢☐□]|\[ ?\])\s+")
#: What headings are set off by, with every sign that is a blank to a pattern.
MARKS = "#*_= \t\n\x0b\x0c\r\x1c\x1d\x1e\x1f\x85\xa0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u2028\u2029\u202f\u205f\u3000"
#: Longer lines without an amount are sentences.
LONGEST_LINE, MOST_WORDS_OF_HEADING = 70, 6
#: A name and two columns of figures.
_ROW = re.compile(r"[^\W\d_][^0-9.;:]{1,40} [0-9]+(?:[.,][0-9]+)? [0-9]+(?:[.,][0-9]+)?")
_DOUGH_TEMPERATURE = re.compile(
    r"(?:ddt|(?:desired |final |target )*dough temp(?:erature)?)\b\.?:?\s*[0-9].{0,12}",
    re.IGNORECASE,
)


# Owner: the process; lines and what they are. Bound: 256. Pays: who cuts a text into recipes, sorts it and looks for
# running text asks the same of each line.
@lru_cache(maxsize=256)
def is_ingredient(text: str) -> bool:
    """Whether a line reads as an ingredient: an amount in front, or behind a short name."""
    bare = BULLET.sub("", text)
    if opens_yield(bare) or is_dough_temperature(bare):
        return False
    if NUMBERED.match(bare) and is_instruction(NUMBERED.sub("", bare)):
        return False
    if _ROW.fullmatch(bare):
        return True
    said = take_apart(tidy(bare)) if len(bare) <= 4 * LONGEST_LINE else None
    if said is None:
        return bare[:1].isdigit() and len(bare) <= LONGEST_LINE and not is_instruction(bare)
    if said.amounts:
        moved = not bare[:1].isdigit() and bare[-1:] == "." and is_instruction(bare)
        return not moved and bool(said.name or said.clauses or said.amounts[0].terms)
    if _is_portion(bare) and len(bare.split()) <= MOST_WORDS_OF_HEADING:
        return True
    return (
        bool(said.late)
        and len(bare) <= LONGEST_LINE
        and not is_instruction(bare)
        and not bare.endswith(".")
    )


def _is_portion(text: str) -> bool:
    """Whether a line takes a portion of something; on a list "of" may be left out ("half poolish")."""
    first, _, rest = text.removeprefix("the ").partition(" ")
    return bool(taken(text).takes or taken(f"{first} of {rest}").takes in (ALL, HALF, REST))


def is_instruction(text: str) -> bool:
    """Whether a line opens like a step: a verb in front, or an opening phrase and a verb."""
    words = [word.strip(",;:.").lower() for word in text.split()[:12]]
    at = 0
    while at < len(words) - 1 and words[at] in word_set("before-verbs"):
        at += 1
    if not words or not (length := phrases("verbs").at(words, at)):
        return bool(words) and words[0] in word_set("openings") and is_sentence(text)
    if words[at] in word_set("verbs-that-are-nouns") and length == 1:
        follower = words[at + 1] if at + 1 < len(words) else ""
        return follower in word_set("after-verbs") or is_sentence(text)
    return True


def is_sentence(text: str) -> bool:
    """Whether a line is longer than a list's, or ends like a sentence."""
    return len(text) > LONGEST_LINE or (text.endswith(".") and len(text.split()) > 3)


def has_unit(text: str) -> bool:
    """Whether a line says an amount with a unit in front."""
    said = take_apart(tidy(text)) if len(text) <= LONGEST_LINE else None
    return bool(said and said.amounts and said.amounts[0].terms)


def is_dough_temperature(text: str) -> bool:
    """Whether a line says how warm the dough is to be: "DDT 25 C"."""
    return bool(_DOUGH_TEMPERATURE.fullmatch(text))
