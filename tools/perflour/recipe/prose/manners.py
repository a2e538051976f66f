"""The manners in which running text says a food with its amount, but for the plain one: amount, then food."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from operator import attrgetter

from perflour.kitchen.numerals import PART_WORDS, in_figures
from perflour.kitchen.quantity import PORTION_WORDS
from perflour.recipe.method.mentions import stem
from perflour.recipe.names import is_state, named
from perflour.recipe.prose.amounts import MANNERS, VAGUE
from perflour.recipe.prose.names import LONGEST_SHORT, NameScan
from perflour.recipe.prose.said import FoodSaid
from perflour.recipe.words import is_short_form, kitchen_unit, word_set

_MANNER = "level|heaped|scant|good|generous|rounded"
_AND_A_PART = re.compile(rf"(?:(?P<filled>{_MANNER}) )?(?P<number>[^\W_]+) (?:(?P<filled_too>{_MANNER}) )?(?P<unit>[^\W\d_]+) and (?:a|one) (?P<part>half|quarter|third)\b", re.IGNORECASE)  # fmt: skip
#: "Half a cup to two thirds of a cup", in figures.
_TO = re.compile(r"^([0-9/ ]+) ([^\W\d_]+?)s? to ([0-9/ ]+)(?: of a)? \2s?\b", re.IGNORECASE)
#: "1 440 g tin" as a list says it.
_TIN = re.compile(
    r"^([0-9]+) ([0-9.]+ ?(?:g|kg|ml|oz|ounces?)) (tins?|cans?|jars?|packets?)\b", re.IGNORECASE
)
TAKEN = frozenset(
    ("zest", "juice", "rind", "peel", "yolk", "yolks", "white", "whites", "pulp", "flesh", "seeds")
)
#: What opens an amount that is the one before, or is told by another thing.
SAME, SIZE = frozenset(("same", "equal")), "size"


_START = attrgetter("start")
#: What stands behind a number whose food is left out.
_ELIDED = frozenset((",", ";", ".", ")", "and", "well", "beaten", "into", "in", "to"))
#: So many words before "of it" may name what it is.
MOST_BEFORE = 20
#: What may stand between a food and its amount.
_BETWEEN = frozenset((",", "-", "–", "—", ":", "is", "are"))
#: What may stand behind an amount that is of the food before it.
_BEHIND_AMOUNT = frozenset(
    (
        "",
        ",",
        ".",
        ";",
        ":",
        ")",
        "(",
        "and",
        "or",
        "in",
        "into",
        "with",
        "for",
        "to",
        "then",
        "that",
        "well",
        "—",
        "–",
        "-",
        "if",
        "but",
        "plus",
        "goes",
        "go",
        "maybe",
    )
)
#: What closes an amount that stands behind its food without a sign between: "flour 225 g, sugar 100 g".
_CLOSES = frozenset(("", ",", ".", ";", ")"))
#: Words before a name that say it was listed before.
_LISTED_BEFORE = word_set("listed-before").union(PORTION_WORDS)


class MannerScan(NameScan):
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
            while self._low(first) in (",", "and", "&"):
                first += 1
            if first == end:
                break
        return (foods, end) if len(foods) > 1 else None

    def both_of(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "Two lemons, zest and juice": a line for what is taken of them each."""
        first = None if TAKEN.isdisjoint(self._words) else self._one_number(at)
        if first is None:
            return None
        end, name = self._known_name(first, self._name_end(first), is_measured=False)
        words = [self._low(end + n) for n in range(4)]
        if not name or words[0] != "," or words[2] != "and" or not {words[1], words[3]} <= TAKEN:
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

    def of_it(self, at: int, found: Sequence[FoodSaid]) -> tuple[list[FoodSaid], int] | None:
        """ "Flour to make a soft dough, about four cups of it": the amount of a food that was named before."""
        behind = self._amount(at)
        if behind is None or not behind[1] or self._low(behind[0]) != "of" or self._low(behind[0] + 1) not in ("it", "this", "that"):  # fmt: skip
            return None
        if self._low(behind[0] + 2).isalpha() and self._is_known_food(behind[0] + 2):
            return None  # a portion: "100 g of this sugar"
        for first in range(at - 1, max(at - MOST_BEFORE, -1), -1):
            if (
                self.tokens[first].text[-1] in ".!?;"
                and len(self.tokens[first].low) > LONGEST_SHORT
            ):
                return None
            _, name = self._known_name(first, min(first + 3, at), is_measured=False)
            if name and any(one.name.endswith(name) for one in found):
                return None  # it has its amount; this is some of it
            if name:
                amount = self.text[self.tokens[at].start : self.tokens[behind[0] - 1].end]
                stop = self.tokens[behind[0] + 1].end
                return self._said(at, stop, f"{amount} {name}", name, amount)
        return None

    def one_of(self, at: int, found: Sequence[FoodSaid]) -> tuple[list[FoodSaid], int] | None:
        """ "Two teaspoons of ginger, one of cinnamon": the unit of what stands before."""
        behind = self._one_number(at)
        if behind is None or self._low(behind) != "of" or not found or self._low(behind + 1) in ("a", "them", "these"):  # fmt: skip
            return None
        number, _, unit = found[-1].amount.rpartition(" ")
        first = behind + 1
        if self._low(first) == "the":
            first += 1
            unit = unit if not any(self._low(first) in one.name for one in found) else ""
        end, name = self._known_name(first, self._name_end(first), is_measured=False)
        if not name or not number or kitchen_unit(unit) is None:
            return None
        said = in_figures(self.text[self.tokens[at].start : self.tokens[behind - 1].end])
        line = f"{said} {unit} {name}"
        food = FoodSaid(self.tokens[at].start, self.tokens[end - 1].end, line, name, True, f"{said} {unit}")  # fmt: skip
        return [food], end

    def same_weight(self, at: int, found: Sequence[FoodSaid]) -> tuple[list[FoodSaid], int] | None:
        """ "The same weight of sugar" as what stands before."""
        if self._low(at) not in SAME:
            return None
        words = [self._low(at + n) for n in range(3)]
        if words[0] == "same" and words[1] == "of":
            words, at = ["same", "amount", "of"], at - 1  # "and the same of salt"
        if words[1] not in ("weight", "amount", "quantity") or words[2] != "of" or not found or not found[-1].amount:  # fmt: skip
            return None
        end, name = self._known_name(at + 3, self._name_end(at + 3), is_measured=False)
        if not name:
            return None
        line = f"{found[-1].amount} {name}"
        stop = self.tokens[end - 1].end
        while self.text[stop - 1] == ".":
            stop -= 1
        return [FoodSaid(self.tokens[at].start, stop, line, name)], end

    def _said(
        self, at: int, stop: int, line: str, name: str, amount: str = ""
    ) -> tuple[list[FoodSaid], int]:
        behind = bisect_left(self.tokens, stop, at, key=_START)
        bare = line.rstrip(" ,")
        bare = bare if is_short_form(bare.split()[-1]) else bare.rstrip(" ,.")
        if halved := _AND_A_PART.match(bare):
            number = "one" if halved["number"].lower() in ("a", "an") else halved["number"]
            manner = " ".join(filter(None, (halved["filled"] or halved["filled_too"], halved["unit"])))  # fmt: skip
            line = bare = f"{number} and a {halved['part']} {manner}{bare[halved.end() :]}"
        while stop and self.text[stop - 1] in " ,.":
            stop -= 1
        bare = _TIN.sub(r"\1 (\2) \3", in_figures(bare))
        line = _TO.sub(r"\1 to \3 \2", in_figures(bare.strip()))
        return [FoodSaid(self.tokens[at].start, stop, line, name, True, in_figures(amount))], behind

    def food_first(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "Flour, two cups", "butter, half a stick, soft", "milk is two cups", "eggs, two of them"."""
        if not self._amount_behind(at) or not self._may_name(at):
            return None
        if self._low(at - 1) in _LISTED_BEFORE or self._low(at - 1) == "of":
            return None
        end, name = self._known_name(at, min(at + 4, self._name_end(at)), is_measured=False)
        if not name:
            return None
        before = self._with_states(end)
        is_bracket = self._low(before) == "("  # "the bicarb (1/2 teaspoon)"
        is_parted = self._low(before) in _BETWEEN or is_bracket
        first = before + 1 if is_parted else before
        while self._low(first) in ("about", "maybe", "say", "just", "well", "roughly", "only"):
            first += 2 if self._low(first + 1) == "," else 1
        amount = self._amount(first)
        if amount is None:
            return None
        behind, is_measured = amount
        if self._ends_sentence(first - 1) and not is_measured:
            return None
        words = [self._low(first + n) for n in range(behind - first)]
        if words[-1] in PART_WORDS or (not is_measured and words[0] == "some"):
            return None
        has_unit = is_measured or kitchen_unit(words[-1]) is not None or words[-1] in VAGUE
        if not has_unit and not (is_parted and self._counts(behind, name)):
            return None
        stop = behind
        if self._low(behind) == "of" and self._low(behind + 1) in ("them", "those", "it"):
            stop = behind + 2
        elif self._low(behind) in ("ones", "whole"):
            stop = behind + 1 + (self._low(behind + 1) == "ones")
        if is_bracket:
            if not is_measured or self._low(stop) != ")":
                return None
            stop += 1
        closes = self.tokens[stop - 1].text[-1] == "."
        if not closes and self._low(stop) not in (_BEHIND_AMOUNT if is_parted else _CLOSES):
            return None
        last = stop if closes else self._with_states(stop)
        said = self.text[self.tokens[first].start : self.tokens[behind - 1].end]
        states = [self.text[self.tokens[a].start : self.tokens[b - 1].end].strip(" ,.") for a, b in ((end, before), (stop, last)) if b > a]  # fmt: skip
        line = ", ".join((f"{said} {name}", *(state for state in states if state)))
        return self._said(at, self.tokens[last - 1].end, line, name, said)

    def _counts(self, behind: int, name: str) -> bool:
        """Whether a bare number behind a food counts it: it has pieces, or "of them" follows."""
        known = named(name, self.catalogue).known
        has_pieces = known is not None and any(one.per == "each" for one in known.measures)
        return (
            has_pieces or self._low(behind + 1) in ("them", "those") or self._low(behind) == "ones"
        )

    def _taken_of(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "The zest of two oranges", "the juice of half a lime", "grated rind of a lemon"."""
        if self._low(at) not in TAKEN or self._low(at + 1) not in ("of", "and"):
            return None
        of = at + 1
        if self._low(of) == "and" and self._low(of + 1) in TAKEN and self._low(of + 2) == "of":
            of += 2
        if self._low(of) != "of":
            return None
        behind = self._number(of + 1)
        first = behind if behind is not None else of + 1
        if behind is not None and (behind >= len(self.tokens) or self._low(behind) in _ELIDED or self._ends_sentence(behind - 1)):  # fmt: skip
            return self._taken_of_the_same(at, of + 1, behind)
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
        name = f"{stem(self._low(first))} {self._low(at)}"
        if (last := self._with_states(end)) > end:
            stated = self.text[self.tokens[end - 1].end : self.tokens[last - 1].end].strip(" ,.")
            line, end = f"{line}, {stated}", last
        foods, ahead = self._said(start, self.tokens[end - 1].end, line, name)
        more, ahead = self._and_of_another(at, end) or ([], ahead)
        return [*foods, *more], ahead

    def _and_of_another(self, at: int, end: int) -> tuple[list[FoodSaid], int] | None:
        """The lemon in "the juice of two oranges and one lemon"."""
        behind = self._number(end + 1) if self._low(end) == "and" else None
        if behind is None:
            return None
        whole, taken = self._low(behind), self._low(at)
        if not named(f"{whole.rstrip('s')} {taken}", self.catalogue).known:
            return None
        number = self.text[self.tokens[end + 1].start : self.tokens[behind - 1].end]
        stop = self.tokens[behind].end
        return self._said(end + 1, stop, f"{taken} of {number} {whole}", f"{whole} {taken}")

    def _taken_of_the_same(
        self, at: int, number: int, behind: int
    ) -> tuple[list[FoodSaid], int] | None:
        """ "The yolks of four eggs and the whites of two": the whole is the one that was named before."""
        for first in range(at - 1, max(at - MOST_BEFORE, -1), -1):
            word = self._low(first)
            one = word.rstrip("s")
            if (
                len(one) > LONGEST_SHORT - 1
                and named(f"{one} {self._low(at)}", self.catalogue).known
            ):
                said = self.text[self.tokens[number].start : self.tokens[behind - 1].end].rstrip(
                    "."
                )
                line = f"{self._low(at)} of {said} {word}"
                end = self._with_states(behind)
                if end > behind:
                    line += ", " + self.text[
                        self.tokens[behind].start : self.tokens[end - 1].end
                    ].strip(" ,.")
                return self._said(at, self.tokens[end - 1].end, line, f"{one} {self._low(at)}")
        return None

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
        if SIZE not in self._words:
            return None
        first = at
        if self._low(at) in ("a", "one") and self._low(at + 2) == "of":
            first = at + 3
        end, name = self._known_name(first, min(first + 2, len(self.tokens)), is_measured=False)
        words = [self._low(end + n) for n in range(4)]
        if not name or words[:3] != ["the", "size", "of"] or words[3] not in ("a", "an", "one"):
            return None
        thing = end + 4
        while self._low(thing) in MANNERS:
            thing += 1
        stop = min(thing + 1, len(self.tokens))
        line = self.text[self.tokens[at].start : self.tokens[stop - 1].end]
        return self._said(at, self.tokens[stop - 1].end, line, name)
