"""The formulas to set side by side: read, weighed, and what was left out with the reason."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_inputs
from perflour.kitchen.house import ProductClass
from perflour.lint.rules.ratios import no_basis
from perflour.result import CannotRun, Result, request_field
from perflour.system.files import input_files


@dataclass(frozen=True)
class Compared:
    """A formula to compare: its path as shown, its absolute path, its balance (with a basis), its class in the house."""

    shown: str
    path: str
    balance: Balance
    product: ProductClass | None = None


@dataclass(frozen=True)
class Collected:
    """Formulas in the order they were named, and the results of files left out or in doubt.

    ``paths`` are those of all formula files read. ``target`` is the position of the formula that
    the first one is to be turned into.
    """

    formulas: tuple[Compared, ...]
    results: tuple[Result, ...]
    paths: frozenset[str]
    target: int | None = None


def collect(names: Iterable[str], to: str | None = None) -> Collected:
    """The formulas that files and folders hold; ``to`` names the target.

    Raises CannotRun where a name is not there, or the two formulas of a turn are not.
    """
    read = list(_read(names))
    collected = Collected(
        tuple(one.compared for one in read if one.compared),
        tuple(dict.fromkeys(result for one in read for result in one.results)),
        frozenset(one.path for one in read),
    )
    if to is None:
        return collected
    if read and read[0].compared is None:
        raise CannotRun(f"the first formula cannot be turned into another: {_said(read[0])}")
    return _with_target(collected, _target(to))


class _Read(NamedTuple):
    """A formula file read: what can be compared of it, or what is wrong with it."""

    path: str
    compared: Compared | None
    results: tuple[Result, ...]


def _read(names: Iterable[str]) -> Iterator[_Read]:
    for source, kitchen, outcome in weigh_inputs(input_files(names)):
        told = kitchen.results
        if not isinstance(outcome, Balance):
            yield _Read(source.path, None, told + outcome)
        elif outcome.basis_g <= 0:
            yield _Read(source.path, None, (*told, without_basis(outcome)))
        else:
            product = kitchen.house.classes.get(outcome.formula.product_class)
            yield _Read(source.path, Compared(source.shown, source.path, outcome, product), told)


def without_basis(balance: Balance) -> Result:
    """Why a formula has no percentages: nothing known that counts, or nothing of it weighed."""
    strangers = [w.name for w in balance.ingredient_lines if w.ingredient is None]
    if not balance.basis_is_whole:
        message = "what is 100 % cannot be weighed, so there are no percentages; write its mass"
    elif strangers and not balance.formula.basis:
        message = (
            f"no flour that is known, and '{strangers[0]}' is not in the catalogue; "
            "add it to ingredients.yaml, or add `basis` with the items that are 100 %"
        )
    else:
        message = no_basis.NO_FLOUR
    return Result(no_basis.RULE.id, "error", message, balance.formula.place("parts"))


def _target(name: str) -> Compared:
    found = list(_read([name]))
    if len(found) != 1:
        raise CannotRun(
            f"{name}: {len(found)} formulas there; name one formula with {request_field('to')}"
        )
    if found[0].compared is None:
        raise CannotRun(_said(found[0]))
    return found[0].compared


def _with_target(collected: Collected, target: Compared) -> Collected:
    """The same with the target in it, once."""
    known = [one.path for one in collected.formulas]
    if known and known[0] == target.path:
        raise CannotRun(
            f"{target.shown}: cannot be turned into itself; name another with {request_field('to')}"
        )
    if target.path in known:
        return replace(collected, target=known.index(target.path))
    formulas = (*collected.formulas, target)
    return replace(
        collected,
        formulas=formulas,
        paths=collected.paths | {target.path},
        target=len(known),
    )


def _said(read: _Read) -> str:
    return f"{read.results[-1].place}: {read.results[-1].message}"
