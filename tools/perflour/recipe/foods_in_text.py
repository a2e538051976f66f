"""Foods with their amounts inside running text: where each stands, and the line it would be on a list."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.numerals import NUMBER_WORDS, PART_WORDS, in_figures
from perflour.recipe.names import is_state, named
from perflour.recipe.wording import base_form
from perflour.recipe.words import kitchen_unit, phrases, word_set

_TOKEN = re.compile(
    r"[0-9]+/[0-9]+|[0-9]+(?:[.,][0-9]+)?(?:[¼½¾⅓⅔⅛⅜⅝⅞])?|[¼½¾⅓⅔⅛⅜⅝⅞]|[^\W\d_]+(?:['’-][^\W\d_]+)*\.?|\S"
)
_VULGAR = frozenset("¼½¾⅓⅔⅛⅜⅝⅞")
_DASHES = frozenset("-–—")
_MANNERS = frozenset(("heaping", "heaped", "scant", "generous", "level", "rounded", "good", "full", "packed", "large", "small", "big", "whole", "extra", "medium"))  # fmt: skip
_VAGUE = frozenset(("knob", "splash", "handful", "drizzle", "glug", "squeeze", "dusting", "dash", "pinch", "sprinkling", "sprinkle", "lump", "grating", "scraping", "few drops", "little", "bit", "touch"))  # fmt: skip
_KINDS_OF_FOOD = frozenset(("mass", "volume", "pinch", "count", "container"))
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
_NO_NAME = frozenset(("one", "ones", "taken", "them", "it", "this", "that", "apart", "thick", "wide", "long", "deep", "square", "round", "high", "more", "less", "other", "others", "way", "time", "times", "side", "day", "days", "piece", "pieces", "half", "halves", "layers", "turns", "goes", "lots", "weight", "same", "little", "few", "thirds", "each", "or", "so", "such", "all", "both"))  # fmt: skip
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


class _Token(NamedTuple):
    text: str
    start: int
    end: int

    @property
    def low(self) -> str:
        return self.text.lower().rstrip(".")


def foods_in(text: str, catalogue: Catalogue) -> list[FoodSaid]:
    """Every food that is said with an amount, in order."""
    tokens = [_Token(m[0], m.start(), m.end()) for m in _TOKEN.finditer(text)]
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


class _Scan:
    """Reads one food from a place on; a class because every step asks the same tokens."""

    def __init__(self, text: str, tokens: Sequence[_Token], catalogue: Catalogue) -> None:
        self.text = text
        self.tokens = tokens
        self.catalogue = catalogue

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

    def _low(self, at: int) -> str:
        return self.tokens[at].low if 0 <= at < len(self.tokens) else ""

    def _closing(self, at: int) -> int | None:
        return next((n for n in range(at, min(at + 12, len(self.tokens))) if self._low(n) == ")"), None)  # fmt: skip

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
        while self._low(first) in ("a", "an", "the", *_MANNERS, "unwaxed"):
            first += 1
        end = first + 1
        if not named(f"{self._low(first)} {self._low(at)}", self.catalogue).known and not named(self._low(first), self.catalogue).known:  # fmt: skip
            return None
        start = at
        while start and is_state(self._low(start - 1)):
            start -= 1
        line = self.text[self.tokens[start].start : self.tokens[end - 1].end]
        line = re.sub(r" of an? ", " of 1 ", line)
        name = f"{self._low(first)} {self._low(at)}"
        return self._said(start, self.tokens[end - 1].end, line, name)

    def _amount(self, at: int) -> tuple[int, bool] | None:
        """Behind an amount with its unit, and whether it is measured; None where there is none."""
        behind = self._number(at)
        if behind is None:
            return self._vague(at)
        if self._low(behind) == "of" and self._low(behind + 1) in ("a", "an") and self._unit(behind + 2):  # fmt: skip
            behind += 2
        elif self._low(behind) in ("a", "an") and self._unit(behind + 1):
            behind += 1
        while self._low(behind) in _MANNERS and not self._unit(behind):
            behind += 1
        unit = self._unit(behind)
        if unit is None and (size := self._number(behind)) is not None:
            measure = self._unit(size)
            tin = self._unit_word(size + measure[1]) if measure else None
            if measure and measure[0] in ("mass", "volume") and tin == "container":
                return size + measure[1] + 1, True  # "one 440 g tin"
        if unit is None:
            return behind, False
        kind, length = unit
        if kind not in _KINDS_OF_FOOD:
            return None
        is_measured = kind != "count"
        behind += length
        if self._low(behind) == "and" and self._low(behind + 1) in ("a", "one") and self._is_part(behind + 2):  # fmt: skip
            behind += 3  # "a stick and a half of butter"
        more = behind + 1 if self._low(behind) in ("plus", "and", "+", "&") else behind
        if more != behind or self._is_digit(behind):
            again = self._number(more)
            if again is not None:
                while self._low(again) in (*_MANNERS, "a"):
                    again += 1
                second = self._unit(again)
                if second and second[0] in ("mass", "volume", "pinch"):
                    behind = again + second[1]
        if self._low(behind) == "to" and (again := self._number(behind + 1)) is not None:
            again += 2 if self._low(again) == "of" and self._low(again + 1) == "a" else 0
            if (second := self._unit(again)) and second[0] == kind:
                behind = again + second[1]
        if self._low(behind) == "/" or (self._low(behind) == "or" and self._is_digit(behind + 1)):
            again = self._number(behind + 1)
            second = self._unit(again) if again is not None else None
            if again is not None and second and second[0] in _KINDS_OF_FOOD:
                behind = again + second[1]
        return behind, is_measured

    def _vague(self, at: int) -> tuple[int, bool] | None:
        """ "A knob of butter", "a little milk", "some salt"."""
        first = at + 1 if self._low(at) in ("a", "some", "good", "small", "large") else at
        while self._low(first) in ("good", "small", "large", "generous", "big", "very", "wee"):
            first += 1
        if self._low(first) in _VAGUE and (
            first > at or self._low(first) in ("pinch", "dash", "little")
        ):
            return first + 1, False
        return (at + 1, False) if self._low(at) == "some" else None

    def _is_digit(self, at: int) -> bool:
        word = self._low(at)
        return bool(word) and (word[0].isdigit() or word[0] in _VULGAR)

    def _number(self, at: int) -> int | None:
        """Behind a number, a range or number words; None where none starts."""
        behind = self._one_number(at)
        if behind is None:
            return None
        if self._low(behind) in (*_DASHES, "to", "or") and (again := self._one_number(behind + 1)):
            return again
        return behind

    def _one_number(self, at: int) -> int | None:
        low = self._low(at)
        if self._is_digit(at):
            behind = at + 1
            if self._is_digit(behind) and "/" in self._low(behind):
                behind += 1
            elif low.isdecimal() and self._low(behind) == "-" and "/" in self._low(behind + 1):
                behind += 2
            elif (
                low.isdecimal()
                and self._low(behind) == "and"
                and ("/" in self._low(behind + 1) or self._low(behind + 1) in ("a", "half"))
            ):
                ahead = behind + 1 + (self._low(behind + 1) == "a")
                if "/" in self._low(behind + 1) or self._is_part(ahead):
                    behind = ahead + 1
            if self._is_part(behind):
                behind += 1
            return behind
        at_word = at + 1 if low in ("a", "an") else at
        word = self._low(at_word)
        whole = word.rsplit("-", 1)[-1].rstrip("s") if "-" in word else word
        whole = word.split("-")[0] if "-" in word and whole not in PART_WORDS else whole
        if low in ("a", "an") and word not in PART_WORDS and word not in ("dozen", "couple"):
            first = at + 1
            while self._low(first) in _MANNERS:
                first += 1
            return at + 1 if self._unit(at + 1) or self._unit(first) or self._is_piece(at + 1) else None  # fmt: skip
        if word == "dozen" or whole in NUMBER_WORDS or whole in PART_WORDS or word == "couple":
            behind = at_word + 1
            if word == "couple" and self._low(behind) == "of":
                behind += 1
            if self._low(behind) == "dozen":
                behind += 1
            if self._is_part(behind):
                behind += 1
            if self._low(behind) == "and":
                ahead = behind + 1 + (self._low(behind + 1) in ("a", "an", "one", "three"))
                ahead = behind + 1 if self._is_part(behind + 1) else ahead
                if self._is_part(ahead):
                    behind = ahead + 1
            return behind
        return None

    def _is_part(self, at: int) -> bool:
        """Whether a word is a part of one: half, quarter, three-fourths."""
        return self._low(at).rsplit("-", 1)[-1].rstrip("s") in PART_WORDS

    def _is_piece(self, at: int) -> bool:
        """Whether a word is a food that is counted, as in "an egg", "a large ripe banana"."""
        while self._low(at) in _MANNERS or is_state(self._low(at)):
            at += 1
        known = self.catalogue.find(self._low(at)) if self._low(at) else None
        return known is not None and known.group in ("egg", "fruit", "vegetable", "flavouring")

    def _unit_word(self, at: int) -> str:
        unit = kitchen_unit(self._low(at)) if self._low(at) else None
        return unit.kind if unit else ""

    def _unit(self, at: int) -> tuple[str, int] | None:
        for length in (2, 1):
            words = [self.tokens[n].text for n in range(at, min(at + length, len(self.tokens)))]
            if len(words) == length and (unit := kitchen_unit(" ".join(words).rstrip("."))):
                if words[0].lower() in ("c", "f") and words[0].isupper() and self._low(at - 1).isdecimal() and int(self._low(at - 1)) > 20:  # fmt: skip
                    return "temperature", length
                if unit.kind == "container" and self._low(at + length) not in ("of", "(", ","):
                    continue
                return unit.kind, length
        return None

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
            {*said} & word_set("vessels") or said[0] in _NO_NAME or kitchen_unit(said[0])
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
