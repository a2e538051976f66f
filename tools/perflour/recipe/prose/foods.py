"""Foods with their amounts inside running text: where each stands, and the line it would be on a list."""

from __future__ import annotations

import re
from collections.abc import Sequence

from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.numerals import in_figures
from perflour.recipe.prose.among import settled_among
from perflour.recipe.prose.amounts import Token, starts_in, tokens_of
from perflour.recipe.prose.behind import REMARKS, goes_for, with_what_is_behind
from perflour.recipe.prose.elided import SHARING, ElidedScan
from perflour.recipe.prose.prepared import with_states_told
from perflour.recipe.prose.said import FoodSaid
from perflour.recipe.words import word_set

_OF_BOTH = re.compile(
    r"\s+and\s+(?:the\s+)?(?P<other>[^\W\d_]+(?: [^\W\d_]+)?)\s+(?:mixed|in equal parts|half and half)\b",
    re.IGNORECASE,
)
_OF_THAT = frozenset(("this", "that", "these", "those", "its", "your"))
#: What a tin or a pot leaves, which no list has: "half a cup of the juice".
_LEFT_OVER = frozenset(("juice", "syrup", "liquid", "liquor", "water"))
#: So much of the text behind a food is looked at.
MOST_AFTER = 80


def may_say_several(text: str) -> bool:
    """Whether a line of a list may say more than one food: most have one amount, in front, and no word that shares it."""
    lows = [token.low for token in tokens_of(text)]
    front = next((at for at, low in enumerate(lows) if low[:1].isalpha()), len(lows))
    return any(at > front for at in starts_in(lows)) or not SHARING.isdisjoint(lows)


def foods_in(text: str, catalogue: Catalogue, earlier: Sequence[FoodSaid] = ()) -> list[FoodSaid]:
    """Every food that is said with an amount, in order; ``earlier`` are those of the paragraphs before."""
    tokens = tokens_of(text)
    scan = _Scan(text, tokens, catalogue, earlier)
    found = scan.found
    at = 0
    while at < len(tokens):
        if scan.starts_amount(at):
            said = (
                scan.same_weight(at, found)
                or scan.one_of(at, found)
                or scan.one_more(at, found)
                or scan.changed(at, found)
                or scan.each_of(at)
                or scan.both_of(at)
                or scan.of_it(at, found)
                or scan.food(at)
                or scan.food_first(at)
            )
        elif scan.needs_no_amount(at):
            said = (
                scan.same_weight(at, found)
                or scan.changed(at, found)
                or scan.without_amount(at)
                or scan.food_first(at)
            )
        else:  # as most words
            said = scan.food_first(at)
        if said is None:
            at += 1
            continue
        foods, at = said
        found += foods
    return with_states_told(settled_among(found, text, earlier), text)


class _Scan(ElidedScan):
    """Reads one food from a place on; a class because every step asks the same tokens and what was found."""

    def __init__(
        self, text: str, tokens: Sequence[Token], catalogue: Catalogue, earlier: Sequence[FoodSaid]
    ) -> None:
        super().__init__(text, tokens, catalogue)
        self.earlier = earlier
        self.found: list[FoodSaid] = []

    def food(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """The food whose amount starts at a token, and the token behind it."""
        special = self._taken_of(at) or self._sized(at) or self._as_large_as(at) or self.brown(at)
        if special:
            return special
        behind = self._amount(at)
        if behind is None:
            return None
        amount_end, is_measured = behind
        first = self._past_size(amount_end)
        if first is None:
            return None
        if self._low(first) in ("of", "the"):
            first += 1
        if self._low(first) in _OF_THAT:
            return None  # a portion of what was listed
        if self._low(first) == "more" and self._is_known_food(first + 1):
            first += 1  # "4 1/2 c. more flour"
        if self._low(first) == "the" and self._low(first + 1) == "same":
            first += 2
        elif self._low(first) == "the" and self._low(first - 1) == "of":
            name = self._low(first + 1)
            if is_measured and (whole := self.whole_said(at, amount_end, first + 1)):
                return whole  # "a teaspoon of the powder"
            _, longer = self._known_name(first + 1, self._name_end(first + 1), is_measured=False)
            name = longer or name  # "a spoon of the orange juice", where the zest was listed
            is_new = bool(self.catalogue.named(name)) and not self._was_said(name)
            if not is_measured or not (name in _LEFT_OVER or is_new):
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
        if amount_end == first and not is_measured and self.is_said_again(name):
            return None  # "two milk, one cream"
        return self._closed(at, (amount_end, first, self._with_states(end)), name)

    def without_amount(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """All that ``food`` finds at a token where no amount starts."""
        return self._taken_of(at) or self._as_large_as(at)

    def _past_size(self, first: int) -> int | None:
        """Past the size in brackets behind an amount, "(15 oz)"; None where no food can follow."""
        if self._ends_sentence(first - 1):
            return None
        if self._low(first) != "(":
            return first
        close = self._closing(first)
        if close is None or not any(self.tokens[n].text[0].isdigit() for n in range(first, close)):
            return None
        return close + 1

    def _closed(self, at: int, ends: tuple[int, int, int], name: str) -> tuple[list[FoodSaid], int]:
        """A food with what is said of it behind its name; ``ends`` of its amount, what is before its name, and it."""
        amount_end, first, end = ends
        stop = self.tokens[end - 1].end
        if both := _OF_BOTH.match(self.text, stop):
            line = f"{self.text[self.tokens[at].start : stop]} and {both['other']} in equal parts"
            return self._said(at, both.end(), line, f"{name} and {both['other']}")
        amount = (
            self.text[self.tokens[at].start : self.tokens[first - 1].end]
            .removesuffix(" the")
            .removesuffix(" of")
        )
        line = self.without_more(at, amount_end, first, stop)
        if remark := REMARKS.match(self.text, stop):
            foods, ahead = self._said(at, remark.end(), line + remark[0], name, amount)
            return [food._replace(goes=goes_for(remark[0])) for food in foods], ahead
        after = self.text[stop : stop + MOST_AFTER]
        more = with_what_is_behind(in_figures(line), name, after, self.catalogue)
        if not more.length:
            return self._said(at, stop, line, name, amount)
        stop += more.length
        behind = next((n for n, one in enumerate(self.tokens[first:], first) if one.start >= stop), len(self.tokens))  # fmt: skip
        figures, last = in_figures(line), self._with_states(behind)
        line = line + more.line[len(figures) :] if more.line.startswith(figures) else more.line
        if last > behind:  # "sugar, the brown kind, packed down"
            line = f"{line}, {self.text[stop : self.tokens[last - 1].end].strip(' ,.').removesuffix(' down')}"
            stop = self.tokens[last - 1].end
        return self._said(at, stop, line, f"{more.kind} {name}".strip(), amount)

    def _was_said(self, name: str) -> bool:
        """Whether a food was named before in this text or in those before it."""
        head = name.split()[-1].rstrip("s")
        return any(head in one.name.lower() for one in (*self.earlier, *self.found))

    def _food_in_unit(self, at: int, behind: int) -> str:
        """ "Half a yeast cake": what looked like a unit is the food; empty where it is none."""
        words = [self._low(n) for n in range(at, behind)]
        kinds = word_set("foods-of-several-kinds")
        return next((name for n in (2, 1) if (name := " ".join(words[-n:])) in kinds), "")
