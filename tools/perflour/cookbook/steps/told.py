"""What a step tells beyond its words, whatever the language: what is meant, and how far the work is by then."""

from collections.abc import Iterator
from typing import NamedTuple, Self

from perflour.formula.formula import Formula, Line, Step, Use
from perflour.formula.verbs import (
    BAKES,
    CHILLS,
    COOLS,
    DEPOSITS,
    MIXES,
    MIXES_DRY,
    MIXES_IN,
    PORTIONS,
    PUTS_IN,
    WAITS,
    words_of,
)
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import FIGURES, REST, SOME, Amount

BASES = ("dough", "batter")
#: What a step that names nothing does with all that was mixed.
_OF_ALL = CHILLS | WAITS | PORTIONS | {"pat", "knead", "laminate", "flatten", "press"}
_OF_PIECES = WAITS | BAKES | COOLS | {"shape", "slash", "score"}
_MADE_PIECES = PORTIONS - DEPOSITS
_POWDERS = frozenset(("flour", "starch", "meal"))
_MIXING = MIXES | MIXES_DRY | MIXES_IN | PUTS_IN


class Stand(NamedTuple):
    """How far the work is when a step begins.

    ``floured`` is what was mixed once flour came to it: before that it is no dough or batter. ``powders`` are the names last mixed with flour, whole, of which a later step may name one for all;
    ``named`` are pans that were spoken of.
    """

    mixed: bool = False
    floured: bool = False
    in_pieces: bool = False
    baked: bool = False
    powders: frozenset[str] = frozenset()
    named: frozenset[str] = frozenset()

    def after(self, step: Step, formula: Formula) -> "Stand":
        verbs, makes = set(words_of(step.do)), bool(step.text("makes"))
        powders = frozenset(fold(use.name) for use in step.uses if _is_whole(use, formula))
        is_mixture = not makes and verbs & (MIXES | MIXES_DRY) and len(step.uses) > 1
        return Stand(
            mixed=(self.mixed or len(step.uses) > 1) and not makes,
            floured=(self.floured or _brings_flour(step, formula)) and not makes,
            in_pieces=(self.in_pieces and not makes)
            or bool(verbs & _MADE_PIECES and not step.uses and self.mixed),
            baked=self.baked or step.bakes,
            powders=powders if is_mixture and any(map(_is_powder, powders)) else self.powders,
            named=self.named | {step.text("into")},
        )


def _is_whole(use: Use, formula: Formula) -> bool:
    """Whether a step takes all that there is, or all that is left."""
    return use.takes == REST or (not use.takes and len(_lines_of(use, formula)) == 1)


def _lines_of(use: Use, formula: Formula) -> list[Line]:
    return [line for part in formula.parts for line in part.lines if line.name == use.name]


def _brings_flour(step: Step, formula: Formula) -> bool:
    """Whether flour is among what a step uses; where a formula has none, or a name is of neither, whatever it uses."""
    lines = [fold(line.name) for part in formula.parts for line in part.lines]
    if not any(map(_is_powder, lines)):
        return bool(step.uses)
    return any(_holds_flour(use.name, formula) for use in step.uses)


def _holds_flour(name: str, formula: Formula) -> bool:
    if part := formula.part(name):
        return any(_holds_flour(line.name, formula) for line in part.lines)
    return _is_powder(fold(name)) or not any(
        line.name == name for part in formula.parts for line in part.lines
    )


def _is_powder(name: str) -> bool:
    return not _POWDERS.isdisjoint(name.split())


class Told(NamedTuple):
    """A step with what was done before it."""

    step: Step
    formula: Formula
    baked: bool
    base: str
    stand: Stand

    @classmethod
    def steps_of(cls, formula: Formula, baked: bool, base: str) -> Iterator[Self]:
        """Every step of a formula, in order."""
        stand = Stand()
        for step in formula.method:
            yield cls(step, formula, baked, base if base in BASES else "", stand)
            stand = stand.after(step, formula)

    def object_meant(self) -> str:
        """What is meant where nothing is named: ``pieces`` once there are some, else the ``base`` that was mixed."""
        verbs = set(words_of(self.step.do))
        if not self.base or not self.stand.mixed or self.step.heats_oven or self._is_done(verbs):
            return ""
        if self.stand.in_pieces and self.formula.yields and verbs & _OF_PIECES:
            return "pieces"
        is_base = self.stand.floured and not self.stand.in_pieces
        return "base" if verbs & _OF_ALL and is_base else ""

    def _is_done(self, verbs: set[str]) -> bool:
        """Whether the dough or batter is none any more: it has been in the oven."""
        return self.stand.baked and not (self.stand.in_pieces and verbs & _OF_PIECES)

    def is_put_in(self) -> bool:
        """Whether what is used goes into what is mixed already."""
        verb = self.step.do.lower()
        put_in = verb in PUTS_IN or (verb == "mix" and any(map(self.is_mixture, self.step.uses)))
        return put_in and self.stand.mixed and not self._makes_a_dough()

    def is_together(self) -> bool:
        """Whether what goes ``in`` has nothing to go into yet: rub in, at the start."""
        is_first = not self.stand.mixed and len(self.step.uses) > 1
        return self.step.do.lower().endswith(" in") and is_first

    def _makes_a_dough(self) -> bool:
        """Whether a step starts a mixture: a part of its own, or a dough that is kneaded."""
        step = self.step
        if step.text("makes"):
            return not any(use.said != use.name for use in step.uses)
        names = [use.name for use in step.uses]
        return step.do.lower() == "knead" and any(
            self.formula.part(name) or "flour" in fold(name).split() for name in names
        )

    def is_mixture(self, use: Use) -> bool:
        """Whether a name stands for flour that was mixed with other things: it is all that is left of them."""
        mixed, verbs = self.stand.powders, set(words_of(self.step.do))
        named = [fold(u.name) for u in self.step.uses if fold(u.name) in mixed]
        if not verbs & _MIXING or not any(map(_is_powder, named)) or use.takes in (SOME, FIGURES):
            return False
        return fold(use.name) in mixed and (not use.takes or _is_powder(fold(use.name)))

    def is_counted(self, use: Use) -> bool:
        """Whether all of several whole ones is used: the eggs."""
        counts = [is_several(line.amount.value) for line in _lines_of(use, self.formula)]
        return bool(counts) and all(counts) and not use.takes


def is_several(amount: object) -> bool:
    """Whether an amount is more than one piece."""
    return isinstance(amount, Amount) and amount.kinds == {"count"} and amount.terms[0].low > 1
