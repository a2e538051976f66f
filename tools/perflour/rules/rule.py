"""What a rule is, and what it is given."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from perflour.balance import Balance
from perflour.catalogue import Catalogue
from perflour.formula import Formula
from perflour.house import House
from perflour.ratios import Ratio
from perflour.result import Level, Place


class Context(NamedTuple):
    """One formula with everything computed from it; ``ratios`` is empty without a basis."""

    path: str
    formula: Formula
    balance: Balance
    ratios: dict[str, Ratio]
    house: House
    catalogue: Catalogue


class Finding(NamedTuple):
    """What a rule found, before its level is settled. ``subject`` is what a waiver can name."""

    place: Place
    message: str
    subject: str = ""


class Rule(NamedTuple):
    """Identity, default level, family and source of a rule; ``text`` is its module's docstring."""

    id: str
    level: Level
    family: str
    source: str
    text: str
    check: Callable[[Context], Iterator[Finding]]

    @property
    def headline(self) -> str:
        return self.text.strip().split("\n", 1)[0]
