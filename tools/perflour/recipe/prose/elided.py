"""Amounts that lean on what was said before: the unit of the last one, a name in short, an amount taken back."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.kitchen.numerals import in_figures
from perflour.recipe.names import is_state, named
from perflour.recipe.prose.behind import REMARKS, goes_for
from perflour.recipe.prose.manners import MOST_BEFORE, SAME, SIZE, TAKEN, MannerScan
from perflour.recipe.prose.said import FoodSaid
from perflour.recipe.words import kitchen_unit

#: So many words before "a teaspoon of the powder" may name baking powder.
MOST_BEFORE_SHORT = 40
#: So many foods before may be meant.
MOST_FOODS = 40
_ENDS_NAME = frozenset((",", ".", ";", "(", "and", ""))
_IT_IS = frozenset(("it's", "it’s", "that's", "that’s"))
#: What a food may be told by without an amount in front.
_WITHOUT_AMOUNT = SAME | TAKEN | _IT_IS
#: What more than one food may share, or a second one be told by, without an amount of its own.
SHARING = _WITHOUT_AMOUNT | {SIZE, "each"}


class ElidedScan(MannerScan):
    """Reads one food from a place on; a class because every step asks the same tokens."""

    found: list[FoodSaid]

    def needs_no_amount(self, at: int) -> bool:
        """Whether a food may be told at a token where no amount starts, but for one with its amount behind."""
        return self._lows[at] in _WITHOUT_AMOUNT or SIZE in self._words

    def one_more(self, at: int, found: Sequence[FoodSaid]) -> tuple[list[FoodSaid], int] | None:
        """ "Three tablespoons of butter go in and you want one more for the pan": the same again."""
        behind = self._one_number(at)
        if behind is None or self._low(behind) != "more" or not found:
            return None
        unit = _unit_of(found[-1])
        remark = REMARKS.match(self.text, self.tokens[behind].end)
        if not unit or not remark or not goes_for(remark[0]):
            return None
        said = f"{self._figures(at, behind)} {unit}"
        name = found[-1].name
        foods, ahead = self._said(at, remark.end(), f"{said} {name}{remark[0]}", name, said)
        return [food._replace(goes=goes_for(remark[0])) for food in foods], ahead

    def brown(self, at: int) -> tuple[list[FoodSaid], int] | None:
        """ "1 c. white sugar, 1/2 c. brown": the sugar that is brown."""
        behind = self._amount(at)
        if behind is None or not behind[1] or self._low(behind[0]) != "brown" or self._low(behind[0] + 1) not in _ENDS_NAME:  # fmt: skip
            return None
        if not any(one.name.endswith("sugar") for one in self.found[-2:]):
            return None
        amount, end = self._figures(at, behind[0]), behind[0] + 1
        close = self._closing(end) if self._low(end) == "(" else None
        inside = " ".join(self._low(n) for n in range(end + 1, close)) if close else ""
        state = f", {inside}" if inside and is_state(inside) else ""
        stop = self.tokens[close if close and state else behind[0]].end
        return self._said(at, stop, f"{amount} brown sugar{state}", "brown sugar", amount)

    def changed(self, at: int, found: list[FoodSaid]) -> tuple[list[FoodSaid], int] | None:
        """ "Flour, I used to do four cups. It's three and a half now, bread flour": the later amount is meant."""
        new = self._amount(at + 1) if self._low(at) in _IT_IS else None
        if new is None:
            return None
        started = next((n for n in range(at - 1, max(-1, at - MOST_BEFORE), -1) if self._low(n) == "used" and self._low(n + 1) == "to"), None)  # fmt: skip
        if started is None:
            return None
        old = next((one for n in range(started + 2, at) if (one := self._amount(n))), None)
        if old is None:
            return None
        unit = "" if new[1] else self._low(old[0] - 1)
        stop = end = new[0] + (self._low(new[0]) == "now")
        name = ""
        if self._low(end) == ",":
            stop, name = self._known_name(end + 1, self._name_end(end + 1), is_measured=False)
        if not name:
            stop, name = end, self._named_before(started)
        if not name or not (new[1] or kitchen_unit(unit)):
            return None
        while found and found[-1].start >= self.tokens[started].start:
            found.pop()
        said = " ".join(filter(None, (self._figures(at + 1, new[0]), unit)))
        return self._said(at + 1, self.tokens[stop - 1].end, f"{said} {name}", name, said)

    def _named_before(self, at: int) -> str:
        for first in range(max(0, at - 4), at):
            _, name = self._known_name(first, at, is_measured=False)
            if name:
                return name
        return ""

    def without_more(self, at: int, amount_end: int, first: int, stop: int) -> str:
        """The line of a food, without the "more" of "4 1/2 c. more flour"."""
        start = self.tokens[at].start
        if self._low(first - 1) != "more":
            return self.text[start:stop]
        amount = self.text[start : self.tokens[amount_end - 1].end]
        return f"{amount} {self.text[self.tokens[first].start : stop]}"

    def whole_said(self, at: int, amount_end: int, short: int) -> tuple[list[FoodSaid], int] | None:
        """ "One teaspoon of the powder", where baking powder was named before without an amount."""
        whole = self.whole_name(at, self._low(short))
        if not whole:
            return None
        amount = self.text[self.tokens[at].start : self.tokens[amount_end - 1].end]
        return self._said(at, self.tokens[short].end, f"{amount} {whole}", whole, amount)

    def whole_name(self, at: int, short: str) -> str:
        """The food of two words that was named before without an amount and ends so; empty for none."""
        if not short or self.catalogue.named(short):
            return ""
        for n in range(at - 1, max(0, at - MOST_BEFORE_SHORT), -1):
            whole = f"{self._low(n - 1)} {self._low(n)}"
            if self._low(n) == short and self.catalogue.named(whole):
                return "" if any(one.name == whole for one in self.found[-MOST_FOODS:]) else whole
        return ""

    def is_said_again(self, name: str) -> bool:
        """Whether a food that is measured and never counted has its amount already."""
        known = named(name, self.catalogue).known
        if known is not None and any(one.per == "each" for one in known.measures):
            return False
        return any(one.name == name and _unit_of(one) for one in self.found[-MOST_FOODS:])

    def _figures(self, first: int, behind: int) -> str:
        return in_figures(self.text[self.tokens[first].start : self.tokens[behind - 1].end])


def _unit_of(food: FoodSaid) -> str:
    """The unit of a food's amount, empty for one that is counted."""
    unit = food.amount.rpartition(" ")[2]
    found = kitchen_unit(unit) if unit else None
    return unit if found and found.kind in ("mass", "volume", "pinch") else ""
