"""What a clause does that says no verb of its own, or is one more thing done to the subject of its sentence."""

from __future__ import annotations

import re
from collections.abc import Sequence

from perflour.formula.verbs import MIXES, MIXES_DRY, MIXES_IN, PUTS_ON
from perflour.recipe.method.pieces import base_form
from perflour.recipe.method.sentences import Clause
from perflour.recipe.method.uses import words_of
from perflour.recipe.words import word_map, word_set

#: What a sentence does that only lists things, and what one that says how long and how fast.
ADDING = "add"
MIXING = "mix"
#: What a listed thing is for, and what says that a machine turns.
USE = re.compile(r"\bfor (dusting|sprinkling|brushing|greasing|rolling|decorating|scattering)\b", re.IGNORECASE)  # fmt: skip
MACHINE = re.compile(r"\b(?:on|in) (?:the |a )?(?:hook|dough hook|paddle|whisk|mixer)\b", re.IGNORECASE)  # fmt: skip


def is_done_too(clause: Clause) -> bool:
    """Whether a clause is one more thing done to the subject of its sentence: "..., folded in by hand"."""
    first, verb = clause.text.split(" ")[0].lower(), clause.do.split(" ")[0]
    puts = MIXES | MIXES_IN | MIXES_DRY | PUTS_ON
    goes_in = verb in puts or clause.do.endswith(" in")
    return goes_in and first.endswith("ed") and first != verb and base_form(first) == verb


def made_of_list(words: Sequence[str]) -> int:
    """Where "is" stands in "and the glaze is just sugar and lemon juice"; 0 where no part is made of a list."""
    at = next((n for n in range(1, min(5, len(words))) if words[n] in ("is", "are")), 0)
    is_part = words[at - 1] in word_map("part-kinds") if at else False
    return at if is_part and not word_set("finite-verbs") & set(words[at + 1 :]) else 0


def done_with(text: str) -> str:
    """What is done with things that are only listed: strewn where they are "for dusting", else put in."""
    if use := USE.search(text):
        return base_form(use[1].lower())
    is_mixed = MACHINE.search(text) or made_of_list(words_of(text))
    return MIXING if is_mixed else ADDING
