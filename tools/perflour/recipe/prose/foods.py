"""Foods with their amounts inside running text: where each stands, and the line it would be on a list."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.numerals import in_figures
from perflour.recipe.names import is_state, named
from perflour.recipe.prose.among import settled_among
from perflour.recipe.prose.amounts import MANNERS, tokens_of
from perflour.recipe.prose.behind import REMARKS, goes_for, with_what_is_behind
from perflour.recipe.prose.names import LONGEST_SHORT, NameScan
from perflour.recipe.words import kitchen_unit, word_set

_OF_BOTH = re.compile(
    r"\s+and\s+(?:the\s+)?(?P<other>[^\W\d_]+(?: [^\W\d_]+)?)\s+(?:mixed|in equal parts|half and half)\b",
    re.IGNORECASE,
)
_MANNER = "level|heaped|scant|good|generous|rounded"
_AND_A_PART = re.compile(rf"(?:(?P<filled>{_MANNER}) )?(?P<number>[^\W_]+) (?:(?P<filled_too>{_MANNER}) )?(?P<unit>[^\W\d_]+) and (?:a|one) (?P<part>half|quarter|third)\b", re.IGNORECASE)  # fmt: skip
#: "Half a cup to two thirds of a cup", in figures.
_TO = re.compile(r"^([0-9/ ]+) ([^\W\d_]+?)s? to ([0-9/ ]+)(?: of a)? \2s?\b", re.IGNORECASE)
#: "1 440 g tin" as a list says it.
_TIN = re.compile(
    r"^([0-9]+) ([0-9.]+ ?(?:g|kg|ml|oz|ounces?)) (tins?|cans?|jars?|packets?)\b", re.IGNORECASE
)
_TAKEN = frozenset(
    ("zest", "juice", "rind", "peel", "yolk", "yolks", "white", "whites", "pulp", "flesh", "seeds")
)
#: What a tin or a pot leaves, which no list has: "half a cup of the juice".
_LEFT_OVER = frozenset(("juice", "syrup", "liquid", "liquor", "water"))
#: So many words before "of it" may name what it is.
MOST_BEFORE = 20
#: So much of the text behind a food is looked at.
MOST_AFTER = 80


class FoodSaid(NamedTuple):
    """A food inside a text from ``start`` to ``end``; ``line`` is what a list would say, ``name`` the food.

    ``goes`` is the part it belongs to where its own words say it: for the tin, for dusting.
    """

    start: int
    end: int
    line: str
    name: str
    has_amount: bool = True
    amount: str = ""
    goes: str = ""


def foods_in(text: str, catalogue: Catalogue, earlier: Sequence[FoodSaid] = ()) -> list[FoodSaid]:
    """Every food that is said with an amount, in order; ``earlier`` are those of the paragraphs before."""
    tokens = tokens_of(text)
    scan = _Scan(text, tokens, catalogue)
    found: list[FoodSaid] = []
    at = 0
    while at < len(tokens):
        said = (
            scan.same_weight(at, found)
            or scan.one_of(at, found)
            or scan.each_of(at)
            or scan.both_of(at)
            or scan.of_it(at)
            or scan.food(at)
        )
        if said is None:
            at += 1
            continue
        foods, at = said
        found += foods
    return settled_among(found, text, earlier)


class _Scan(NameScan):
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

    def both_of(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "Two lemons, zest and juice": a line for what is taken of them each."""
        first = self._one_number(at)
        if first is None:
            return None
        end, name = self._known_name(first, self._name_end(first), is_measured=False)
        words = [self._low(end + n) for n in range(4)]
        if not name or words[0] != "," or words[2] != "and" or not {words[1], words[3]} <= _TAKEN:
            return None
        number = in_figures(self.text[self.tokens[at].start : self.tokens[first - 1].end])
        stop = self.tokens[end + 3].end
        lines = (f"{word} of {number} {name}" for word in (words[1], words[3]))
        one = name.rstrip("s")
        first_line, second_line = lines
        return [
            FoodSaid(
                self.tokens[at].start, self.tokens[end + 1].end, first_line, f"{one} {words[1]}"
            ),
            FoodSaid(self.tokens[end + 3].start, stop, second_line, f"{one} {words[3]}"),
        ], end + 4

    def of_it(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "Flour to make a soft dough, about four cups of it": the amount of a food that was named before."""
        behind = self._amount(at)
        if behind is None or not behind[1] or self._low(behind[0]) != "of" or self._low(behind[0] + 1) not in ("it", "this", "that"):  # fmt: skip
            return None
        for first in range(at - 1, max(at - MOST_BEFORE, -1), -1):
            if (
                self.tokens[first].text[-1] in ".!?;"
                and len(self.tokens[first].low) > LONGEST_SHORT
            ):
                return None
            _, name = self._known_name(first, min(first + 3, at), is_measured=False)
            if name:
                amount = self.text[self.tokens[at].start : self.tokens[behind[0] - 1].end]
                stop = self.tokens[behind[0] + 1].end
                return self._said(at, stop, f"{amount} {name}", name, amount)
        return None

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
        if special := self._sized(at) or self._as_large_as(at):
            return special
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
            if self._low(first + 1) not in _LEFT_OVER or not is_measured:
                return None  # "half of the sugar" was listed before
            first += 1
        last = self._name_end(first)
        end, name = self._known_name(first, last, is_measured)
        if not name:
            name = self._food_in_unit(at, amount_end)
            stop = self.tokens[amount_end - 1].end
            return (
                self._said(at, stop, self.text[self.tokens[at].start : stop], name)
                if name
                else None
            )
        end = self._with_states(end)
        stop = self.tokens[end - 1].end
        if both := _OF_BOTH.match(self.text, stop):
            line = f"{self.text[self.tokens[at].start : stop]} and {both['other']} in equal parts"
            return self._said(at, both.end(), line, f"{name} and {both['other']}")
        amount = self.text[self.tokens[at].start : self.tokens[first - 1].end].removesuffix(" of")
        line = self.text[self.tokens[at].start : stop]
        if remark := REMARKS.match(self.text, stop):
            foods, ahead = self._said(at, remark.end(), line + remark[0], name, amount)
            return [food._replace(goes=goes_for(remark[0])) for food in foods], ahead
        after = self.text[stop : stop + MOST_AFTER]
        more = with_what_is_behind(in_figures(line), name, after, self.catalogue)
        return self._said(at, stop + more.length, more.line if more.length else line, name, amount)

    def _food_in_unit(self, at: int, behind: int) -> str:
        """ "Half a yeast cake": what looked like a unit is the food; empty where it is none."""
        words = [self._low(n) for n in range(at, behind)]
        kinds = word_set("foods-of-several-kinds")
        return next((name for n in (2, 1) if (name := " ".join(words[-n:])) in kinds), "")

    def _said(
        self, at: int, stop: int, line: str, name: str, amount: str = ""
    ) -> tuple[list[FoodSaid], int]:
        behind = next((n for n in range(at, len(self.tokens)) if self.tokens[n].start >= stop), len(self.tokens))  # fmt: skip
        bare = line.rstrip(" ,.")
        if halved := _AND_A_PART.match(bare):
            number = "one" if halved["number"].lower() in ("a", "an") else halved["number"]
            manner = " ".join(filter(None, (halved["filled"] or halved["filled_too"], halved["unit"])))  # fmt: skip
            line = bare = f"{number} and a {halved['part']} {manner}{bare[halved.end() :]}"
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
        if (last := self._with_states(end)) > end:
            stated = self.text[self.tokens[end - 1].end : self.tokens[last - 1].end].strip(" ,.")
            line, end = f"{line}, {stated}", last
        return self._said(start, self.tokens[end - 1].end, line, name)

    def _sized(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "Two 59 g eggs": pieces with what each weighs."""
        size = self._number(at)
        measure = self._number(size) if size is not None else None
        unit = self._unit(measure) if measure is not None else None
        if size is None or measure is None or unit is None or unit[0] != "mass":
            return None
        first = measure + unit[1]
        end, name = self._known_name(first, self._name_end(first), is_measured=False)
        known = named(name, self.catalogue).known if name else None
        if known is None or not any(one.per == "each" for one in known.measures):
            return None
        count = self.text[self.tokens[at].start : self.tokens[size - 1].end]
        each = self.text[self.tokens[size].start : self.tokens[first - 1].end]
        stop = self.tokens[end - 1].end
        return self._said(at, stop, f"{count} {name} ({each} each)", name, count)

    def _as_large_as(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "Butter the size of an egg", "a piece of butter the size of a walnut"."""
        first = at
        if self._low(at) in ("a", "one") and self._low(at + 2) == "of":
            first = at + 3
        end, name = self._known_name(first, min(first + 2, len(self.tokens)), is_measured=False)
        words = [self._low(end + n) for n in range(4)]
        if not name or words[:3] != ["the", "size", "of"] or words[3] not in ("a", "an", "one"):
            return None
        stop = min(end + 5, len(self.tokens))
        line = self.text[self.tokens[at].start : self.tokens[stop - 1].end]
        return self._said(at, self.tokens[stop - 1].end, line, name)
