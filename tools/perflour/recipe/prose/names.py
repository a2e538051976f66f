"""Names of foods inside running text: where one ends, which is known, the states behind it."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.recipe.method.pieces import base_form
from perflour.recipe.names import is_state, named
from perflour.recipe.prose.amounts import AmountScan
from perflour.recipe.words import is_short_form, kitchen_unit, phrases, word_map, word_set

#: Words that end a name.
_ENDS = frozenset(("and", "with", "to", "into", "in", "until", "till", "then", "for", "over", "on", "plus", "which", "that", "from", "by", "if", "as", "at", "so", "but", "when", "each", "is", "are", "was", "were", "go", "goes", "gets", "get", "onto", "it", "per", "before", "after", "till", "them", "through", "like", "together", "has", "have", "will", "being", "along", "between", "round", "around", "you", "we", "i", "too", "also", "now", "again", "instead", "more", "off", "up", "down", "out", "enough", "because", "where", "while", "well", "come", "comes", "want", "wants", "need", "needs", "melted-in"))  # fmt: skip
#: What may stand behind states that stand behind a name.
_BEHIND_STATES = frozenset((",", ".", ";", "(", ")", "", "and", "for", "to", "in", "into", "then", "until", "with", "—", "-", ":", "–"))  # fmt: skip
#: Words that end a state and are none alone.
_LAST_OF_STATES = frozenset(("fine", "small", "fresh", "stiff", "light", "thick", "frothy", "foamy", "pale", "fluffy", "dry", "down"))  # fmt: skip
#: The last words of foods that are of several kinds.
_LAST_OF_KINDS = frozenset(name.split()[-1] for name in word_set("foods-of-several-kinds"))
#: A word with a point that is longer is no short form: it ends a sentence.
LONGEST_SHORT = 3
#: Units of more signs that are short forms for all that.
_SHORT_UNITS = frozenset(("tbsp", "tbsps", "tbls", "tblsp", "tsps", "pkgs"))
#: No name is longer.
MOST_NAME = 7
MOST_STATE = 6


class NameScan(AmountScan):
    """Reads a name from a place on; a class because every step asks the same tokens."""

    def _ends_sentence(self, at: int) -> bool:
        """Whether a word has the point of a sentence behind it, not that of a short form."""
        token = self.tokens[at]
        if token.text[-1] != "." or len(token.low) <= LONGEST_SHORT:
            return False
        if not is_short_form(token.text):
            return True
        following = self.tokens[at + 1].text if at + 1 < len(self.tokens) else ""
        return token.low not in _SHORT_UNITS and following[:1].isupper()  # "four cups. It's ..."

    def _may_name(self, at: int) -> bool:
        """Whether a name may start at a token."""
        low = self._lows[at]
        return low not in _ENDS and (self.tokens[at].text[0].isalpha() or low == "00")

    def _name_end(self, first: int) -> int:
        """The token at which a name ends at the latest."""
        at = first
        most = min(len(self.tokens), first + MOST_NAME)
        while at < most:
            low, token = self._lows[at], self.tokens[at]
            if low == "," and at > first and all(n_low == "," or is_state(n_low) for n_low in map(self._low, range(first, at))):  # fmt: skip
                at += 1  # "cold, diced, salted butter"
                continue
            if not (token.text[0].isalpha() or low == "00") or low in _ENDS:
                break
            verb = base_form(low) if at > first else ""
            if verb and not is_state(low) and low not in word_set("verbs-that-are-ingredients") and not self._goes_on(at) and not self.catalogue.find(low):  # fmt: skip
                break
            at += 1
            if self._ends_sentence(at - 1):
                break
        return at

    def _goes_on(self, at: int) -> bool:
        """Whether a word that may be a verb is of a food here: the brown of brown sugar, the peel of candied peel."""
        pairs = (f"{self._low(at + n)} {self._low(at + n + 1)}" for n in (0, -1))
        return any(self.catalogue.named(pair) for pair in pairs)

    def _known_name(self, first: int, last: int, is_measured: bool) -> tuple[int, str]:
        """The longest known food from a token on, and where it ends; any name where it is measured."""
        for end in range(last, first, -1):
            if not self.tokens[end - 1].text[0].isalnum():
                continue  # the dash of "sugar - keep a spoonful of it"
            words = " ".join([low for low in self._lows[first:end] if low != ","])
            if named(words, self.catalogue).known and self._low(end) not in word_set("vessels"):
                return end, words
        said = self._lows[first:last]
        if is_measured and said and not is_state(" ".join(said)) and not _is_thing(said):
            return last, " ".join(said)
        for end in range(last, first, -1):
            if self._is_of_several_kinds(first, end):
                return end, " ".join(self._lows[first:end])
        return first, ""

    def _is_of_several_kinds(self, first: int, end: int) -> bool:
        """Whether words end in a food that the catalogue has no row for: "half a yeast", "one big potato"."""
        if self._lows[end - 1] not in _LAST_OF_KINDS:
            return False
        words, kinds = self._lows[first:end], word_set("foods-of-several-kinds")
        return any(" ".join(words[n:]) in kinds for n in range(max(0, len(words) - 3), len(words)))

    def _with_states(self, end: int) -> int:
        """Past states behind a name: "butter, melted and cooled", "nuts chopped small"."""
        if end and self._ends_sentence(end - 1):
            return end
        at = end + 1 if self._low(end) == "," else end
        words = [self._low(n) for n in range(at, min(at + MOST_STATE, len(self.tokens)))]
        for length in range(len(words), 0, -1):
            behind = self._low(at + length)
            closes = (
                at + length <= len(self.tokens) and self.tokens[at + length - 1].text[-1] == "."
            )
            ends = at == end or closes or behind in _BEHIND_STATES
            if ends and words[length - 1] != "," and _is_state_run(words[:length]):
                more = self._with_states(at + length) if behind == "," else at + length
                return max(more, at + length)
        return end


def _is_thing(said: Sequence[str]) -> bool:
    """Whether words name a part, a vessel or a unit, which is no food however it is measured."""
    return (
        said[-1] == "mixture"
        or said[-1] in word_map("part-kinds")
        or not word_set("vessels").isdisjoint(said)
        or said[0] in word_set("no-names")
        or kitchen_unit(said[0]) is not None
    )


def _is_state_run(words: Sequence[str]) -> bool:
    """Whether words tell only how a food is, and end in a word that does."""
    lasts = bool(phrases("states").at(words, len(words) - 1)) or words[-1] in _LAST_OF_STATES  # fmt: skip
    if words[0] in ("and", "or", "to") or (words[0] == "in" and words[1:2] in (["a"], ["the"])):
        return False
    opens = is_state(words[0]) or words[0] in word_set("state-fillers") or words[0].endswith("ly")
    plain = not {"to", "into", "in", "then", "until"} & set(words) or len(words) > 2
    return lasts and opens and plain and is_state(" ".join(w for w in words if not w.endswith("ly")))  # fmt: skip
