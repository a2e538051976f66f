"""A food as running text says it."""

from __future__ import annotations

from typing import NamedTuple


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
