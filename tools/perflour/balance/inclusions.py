"""What is folded into a dough or batter in pieces: fruit, nuts, chips. It is in the base and is none of its crumb.

A house choice by group and words: what is mashed, ground, melted or a paste is one with the batter.
"""

from perflour.balance.balance import Balance
from perflour.formula.formula import Formula
from perflour.formula.verbs import COOKS, HEATS, words_of
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple

_GROUPS = frozenset(("fruit", "nut", "chocolate"))
# By one of these words of its name or state it is no piece any more.
_SMOOTH = frozenset((
    "mashed", "puree", "pureed", "purée", "puréed", "applesauce", "sauce", "jam", "marmalade", "paste", "butter",
    "powder", "ground", "melted", "juice", "meal", "tahini", "cocoa",
))  # fmt: skip


class Inclusions(NamedTuple):
    """The pieces in the base: their names, mass in g and percent of the base's basis (None without one)."""

    items: tuple[str, ...]
    mass_g: float
    percent: float | None


def inclusions(balance: Balance) -> Inclusions:
    """The pieces that the base holds; of no mass where there are none."""
    melted = _melted(balance.formula)
    masses: dict[str, float] = {}
    for part in balance.parts:
        for weighed in part.lines if part.in_base else ():
            line = weighed.line
            words = {
                *fold(weighed.name).split(),
                *fold(line.name).split(),
                *fold(line.state).split(),
            }
            if (
                weighed.group in _GROUPS
                and not weighed.in_basis
                and not words & _SMOOTH
                and fold(line.name) not in melted
            ):
                masses[weighed.name] = masses.get(weighed.name, 0.0) + weighed.grams * part.in_base
    mass_g = sum(masses.values())
    share = mass_g / balance.basis_g * 100 if balance.basis_g else None
    return Inclusions(tuple(masses), mass_g, share)


def _melted(formula: Formula) -> set[str]:
    """What a step melts or cooks by itself before it goes in."""
    return {
        fold(use.name)
        for step in formula.method
        if not step.bakes and not (HEATS | COOKS).isdisjoint(words_of(step.do))
        for use in step.uses
    }
