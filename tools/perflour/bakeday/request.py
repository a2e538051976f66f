"""What somebody asks `plan` and `cost` for: files and words to a plan or a costing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from perflour.bakeday.batches import Batch, read_batches
from perflour.bakeday.cost import Costing, costing
from perflour.bakeday.faults import Faults, reasons
from perflour.bakeday.plan import DayRequest, Plan, plan
from perflour.bakeday.search import Watch
from perflour.bakeday.shopping import ShoppingList, shopping_list
from perflour.kitchen.prices import PriceList, read_price_list, what_if
from perflour.result import CannotRun, Result, request_field
from perflour.system.paths import PRICES_FILE, nearest_file


@dataclass(frozen=True)
class CostRequest:
    """What is costed: how much of each formula, by which price list, and what if prices were others."""

    make: tuple[str, ...] = ()
    prices: str | None = None
    what_if: tuple[str, ...] = ()
    packs: bool = False


def planned(
    names: Sequence[str], asked: DayRequest, watch: Watch | None = None
) -> tuple[Plan | None, tuple[Result, ...]]:
    """The plan of a day, None where a file cannot be used; what is wrong with files.

    Raises Faults, with what is wrong with files besides.
    """
    read = read_batches(names, asked.make)
    if not read.batches:
        if read.problems:
            raise Faults(read.problems, read.results)
        return None, read.results
    prices = _price_list(read.batches, asked)
    if prices and prices.results:
        return None, read.results + prices.results
    try:
        return plan(read.batches, prices, asked, watch, read.problems), read.results
    except CannotRun as problem:
        raise Faults(reasons(problem), read.results) from None


def costed(
    names: Sequence[str], asked: CostRequest
) -> tuple[Costing | None, ShoppingList | None, tuple[Result, ...]]:
    """The costs, the packs where they are asked for, and what is wrong with files.

    Raises CannotRun where there is no price list.
    """
    read = read_batches(names, asked.make)
    if read.problems:
        raise Faults(read.problems, read.results)
    if not read.batches:
        return None, None, read.results
    prices = _price_list(read.batches, asked)
    if prices is None:
        raise CannotRun(
            f"no prices.yaml in the folders above {read.batches[0].source.shown}; write one, or name it with {request_field('prices')}"
        )
    if prices.results:
        return None, None, read.results + prices.results
    changes = asked.what_if
    now = what_if(prices, changes, read.batches[0].kitchen.catalogue)
    found = costing(read.batches, now, prices if changes else None, changes)
    needs = [(batch.balance, batch.factor) for batch in read.batches]
    shopping = shopping_list(needs, now) if asked.packs else None
    return found, shopping, read.results


def _price_list(batches: Sequence[Batch], asked: DayRequest | CostRequest) -> PriceList | None:
    """The list that is named, else the nearest one of the first formula."""
    first = batches[0]
    path = asked.prices or nearest_file(PRICES_FILE, first.source.path)
    return read_price_list(path, first.kitchen.catalogue) if path else None
