"""Foods with their amounts inside running text: where each stands, and the line it would be on a list."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.numerals import in_figures
from perflour.recipe.amounts_in_text import MANNERS, AmountScan, tokens_of
from perflour.recipe.method.wording import base_form
from perflour.recipe.names import is_state, named
from perflour.recipe.words import kitchen_unit, phrases, word_set

#: Words that end a name.
_ENDS = frozenset(("and", "with", "to", "into", "in", "until", "till", "then", "for", "over", "on", "plus", "which", "that", "from", "by", "if", "as", "at", "so", "but", "when", "each", "is", "are", "was", "were", "go", "goes", "gets", "get", "onto", "it", "per", "before", "after", "till", "them", "through", "like", "together", "has", "have", "will", "being", "along", "between", "round", "around", "you", "we", "i", "too", "also", "now", "again", "instead", "more", "off", "up", "down", "out", "enough", "because", "where", "while", "well", "come", "comes", "want", "wants", "need", "needs", "melted-in"))  # fmt: skip
_REMARKS = re.compile(
    r"\s+(?:for (?:the (?:tin|tins|pan|board|top|tops|bowl|dish|dusting|cases)|dusting|rolling|greasing|brushing|sprinkling|kneading|finishing|glazing|frying)(?: out)?|in equal parts|to taste|at room temperature|straight from the fridge)\b",
    re.IGNORECASE,
)
_OF_BOTH = re.compile(
    r"\s+and\s+(?:the\s+)?(?P<other>[^\W\d_]+(?: [^\W\d_]+)?)\s+(?:mixed|in equal parts|half and half)\b",
    re.IGNORECASE,
)
_MANNER = r"(?:(?:level|heaped|scant|good|generous|rounded) )?"
_AND_A_PART = re.compile(rf"{_MANNER}(?P<number>[^\W_]+) {_MANNER}(?P<unit>[^\W\d_]+) and (?:a|one) (?P<part>half|quarter|third)\b", re.IGNORECASE)  # fmt: skip
#: "Half a cup to two thirds of a cup", in figures.
_TO = re.compile(r"^([0-9/ ]+) ([^\W\d_]+?)s? to ([0-9/ ]+)(?: of a)? \2s?\b", re.IGNORECASE)
#: "1 440 g tin" as a list says it.
_TIN = re.compile(
    r"^([0-9]+) ([0-9.]+ ?(?:g|kg|ml|oz|ounces?)) (tins?|cans?|jars?|packets?)\b", re.IGNORECASE
)
_TAKEN = frozenset(
    ("zest", "juice", "rind", "peel", "yolk", "yolks", "white", "whites", "pulp", "flesh", "seeds")
)
#: No name is longer.
MOST_NAME = 7
MOST_STATE = 6


class FoodSaid(NamedTuple):
    """A food inside a text from ``start`` to ``end``; ``line`` is what a list would say, ``name`` the food."""

    start: int
    end: int
    line: str
    name: str
    has_amount: bool = True
    amount: str = ""


def foods_in(text: str, catalogue: Catalogue) -> list[FoodSaid]:
    """Every food that is said with an amount, in order."""
    tokens = tokens_of(text)
    scan = _Scan(text, tokens, catalogue)
    found: list[FoodSaid] = []
    at = 0
    while at < len(tokens):
        said = (
            scan.same_weight(at, found)
            or scan.one_of(at, found)
            or scan.each_of(at)
            or scan.food(at)
        )
        if said is None:
            at += 1
            continue
        foods, at = said
        found += foods
    return found


class _Scan(AmountScan):
    """Reads one food from a place on; a class because every step asks the same tokens."""

    def each_of(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "One teaspoonful each of ginger and cinnamon": a line for each name."""
        behind = self._amount(at)
        if behind is None or self._low(behind[0]) != "each":
            return None
        amount = self.text[self.tokens[at].start : self.tokens[behind[0] - 1].end]
        first = behind[0] + (2 if self._low(behind[0] + 1) == "of" else 1)
        foods: list[FoodSaid] = []
        end = first
        while True:
            last, name = self._known_name(first, self._name_end(first), is_measured=False)
            if not name:
                break
            end = last
            start = self.tokens[at if not foods else first].start
            foods.append(FoodSaid(start, self.tokens[end - 1].end, in_figures(f"{amount} {name}"), name))  # fmt: skip
            first = end
            while self._low(first) in (",", "and"):
                first += 1
            if first == end:
                break
        return (foods, end) if len(foods) > 1 else None

    def one_of(self, at: int, found: Sequence[FoodSaid]) -> tuple[list[FoodSaid], int] | None:
        """ "Two teaspoons of ginger, one of cinnamon": the unit of what stands before."""
        behind = self._one_number(at)
        if behind is None or self._low(behind) != "of" or not found or self._low(behind + 1) in ("the", "a", "them", "these"):  # fmt: skip
            return None
        number, _, unit = found[-1].amount.rpartition(" ")
        end, name = self._known_name(behind + 1, self._name_end(behind + 1), is_measured=False)
        if not name or not number or kitchen_unit(unit) is None:
            return None
        said = in_figures(self.text[self.tokens[at].start : self.tokens[behind - 1].end])
        line = f"{said} {unit} {name}"
        food = FoodSaid(self.tokens[at].start, self.tokens[end - 1].end, line, name, True, f"{said} {unit}")  # fmt: skip
        return [food], end

    def same_weight(self, at: int, found: Sequence[FoodSaid]) -> tuple[list[FoodSaid], int] | None:
        """ "The same weight of sugar" as what stands before."""
        words = [self._low(at + n) for n in range(3)]
        if words[0] not in ("same", "equal") or words[1] not in ("weight", "amount", "quantity") or words[2] != "of" or not found or not found[-1].amount:  # fmt: skip
            return None
        end, name = self._known_name(at + 3, self._name_end(at + 3), is_measured=False)
        if not name:
            return None
        line = f"{found[-1].amount} {name}"
        return [FoodSaid(self.tokens[at].start, self.tokens[end - 1].end, line, name)], end

    def food(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """The food whose amount starts at a token, and the token behind it."""
        if taken := self._taken_of(at):
            return taken
        behind = self._amount(at)
        if behind is None:
            return None
        amount_end, is_measured = behind
        first = amount_end
        if self._low(first) == "(":
            close = self._closing(first)
            if close is None or not any(self.tokens[n].text[0].isdigit() for n in range(first, close)):  # fmt: skip
                return None
            first = close + 1
        if self._low(first) in ("of", "the"):
            first += 1
        if self._low(first) == "the" and self._low(first + 1) == "same":
            first += 2
        elif self._low(first) == "the" and self._low(first - 1) == "of":
            return None  # "half of the sugar" was listed before
        last = self._name_end(first)
        end, name = self._known_name(first, last, is_measured)
        if not name:
            return None
        end = self._with_states(end)
        stop = self.tokens[end - 1].end
        if both := _OF_BOTH.match(self.text, stop):
            line = f"{self.text[self.tokens[at].start : stop]} and {both['other']} in equal parts"
            return self._said(at, both.end(), line, f"{name} and {both['other']}")
        if remark := _REMARKS.match(self.text, stop):
            stop = remark.end()
        amount = self.text[self.tokens[at].start : self.tokens[first - 1].end].removesuffix(" of")
        return self._said(at, stop, self.text[self.tokens[at].start : stop], name, amount)

    def _said(
        self, at: int, stop: int, line: str, name: str, amount: str = ""
    ) -> tuple[list[FoodSaid], int]:
        behind = next((n for n in range(at, len(self.tokens)) if self.tokens[n].start >= stop), len(self.tokens))  # fmt: skip
        bare = line.rstrip(" ,.")
        if halved := _AND_A_PART.match(bare):
            number = "one" if halved["number"].lower() in ("a", "an") else halved["number"]
            line = bare = f"{number} and a {halved['part']} {halved['unit']}{bare[halved.end() :]}"
        while stop and self.text[stop - 1] in " ,.":
            stop -= 1
        bare = _TIN.sub(r"\1 (\2) \3", in_figures(bare))
        line = _TO.sub(r"\1 to \3 \2", in_figures(bare.strip()))
        return [FoodSaid(self.tokens[at].start, stop, line, name, True, in_figures(amount))], behind

    def _taken_of(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "The zest of two oranges", "the juice of half a lime", "grated rind of a lemon"."""
        if self._low(at) not in _TAKEN or self._low(at + 1) not in ("of", "and"):
            return None
        of = at + 1
        if self._low(of) == "and" and self._low(of + 1) in _TAKEN and self._low(of + 2) == "of":
            of += 2
        if self._low(of) != "of":
            return None
        behind = self._number(of + 1)
        first = behind if behind is not None else of + 1
        while self._low(first) in ("a", "an", "the", *MANNERS, "unwaxed"):
            first += 1
        end = first + 1
        if end > len(self.tokens):
            return None
        if behind is None and not named(f"{self._low(first)} {self._low(at)}", self.catalogue).known and not named(self._low(first), self.catalogue).known:  # fmt: skip
            return None
        start = at
        while start and is_state(self._low(start - 1)):
            start -= 1
        line = self.text[self.tokens[start].start : self.tokens[end - 1].end]
        line = re.sub(r" of an? ", " of 1 ", line)
        name = f"{self._low(first)} {self._low(at)}"
        return self._said(start, self.tokens[end - 1].end, line, name)

    def _name_end(self, first: int) -> int:
        """The token at which a name ends at the latest."""
        at = first
        while at < min(len(self.tokens), first + MOST_NAME):
            low, token = self._low(at), self.tokens[at]
            if low == "," and at > first and all(n_low == "," or is_state(n_low) for n_low in map(self._low, range(first, at))):  # fmt: skip
                at += 1  # "cold, diced, salted butter"
                continue
            if not (token.text[0].isalpha() or low == "00") or low in _ENDS:
                break
            verb = base_form(low)
            if verb and at > first and not is_state(low) and low not in word_set("verbs-that-are-ingredients") and not self._goes_on(at) and not self.catalogue.find(low):  # fmt: skip
                break
            at += 1
            if token.text.endswith(".") and len(low) > 3:
                break
        return at

    def _goes_on(self, at: int) -> bool:
        """Whether a word that may be a verb starts a food here: the brown of brown sugar."""
        return bool(self.catalogue.named(f"{self._low(at)} {self._low(at + 1)}"))

    def _known_name(self, first: int, last: int, is_measured: bool) -> tuple[int, str]:
        """The longest known food from a token on, and where it ends; any name where it is measured."""
        for end in range(last, first, -1):
            words = " ".join(self.tokens[n].low for n in range(first, end) if self._low(n) != ",")
            if named(words, self.catalogue).known and self._low(end) not in word_set("vessels"):
                return end, words
        said = [self._low(n) for n in range(first, last)]
        is_thing = bool(said) and bool(
            {*said} & word_set("vessels")
            or said[0] in word_set("no-names")
            or kitchen_unit(said[0])
        )
        if is_measured and said and not is_state(said[0]) and not is_thing:
            return last, " ".join(said)
        return first, ""

    def _with_states(self, end: int) -> int:
        """Past states behind a name: "butter, melted and cooled", "nuts chopped small"."""
        at = end + 1 if self._low(end) == "," else end
        words = [self._low(n) for n in range(at, min(at + MOST_STATE, len(self.tokens)))]
        length = max((n for n in range(1, len(words) + 1) if _is_state_run(words[:n])), default=0)
        if not length:
            return end
        behind = self._low(at + length)
        ends = behind in (",", ".", ";", ")", "", "and", "for", "to", "in", "into", "then", "until", "with", "—", "-", ":") or at == end  # fmt: skip
        return at + length if ends else end


def _is_state_run(words: Sequence[str]) -> bool:
    """Whether words tell only how a food is, and end in a word that does."""
    lasts = bool(phrases("states").at(words, len(words) - 1)) or words[-1] in ("fine", "small", "fresh")  # fmt: skip
    if words[0] in ("and", "or", "to"):
        return False
    opens = is_state(words[0]) or words[0] in word_set("state-fillers") or words[0].endswith("ly")
    plain = not {"to", "into", "in", "then", "until"} & set(words) or len(words) > 2
    return lasts and opens and plain and is_state(" ".join(w for w in words if not w.endswith("ly")))  # fmt: skip
