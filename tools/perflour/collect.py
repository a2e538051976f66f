"""The formulas to set side by side: read, weighed, and what was left out with the reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from perflour.balance import Balance
from perflour.check import weigh_sources
from perflour.files import sources
from perflour.result import CannotRun, Result


@dataclass(frozen=True)
class Compared:
    """A formula to compare: its path as shown, its absolute path, its balance (with a basis)."""

    shown: str
    path: str
    balance: Balance


@dataclass(frozen=True)
class Collected:
    """Formulas in the order they were named, and the results of files left out or in doubt.

    ``target`` is the position of the formula that the first one is to be turned into.
    """

    formulas: tuple[Compared, ...]
    results: tuple[Result, ...]
    target: int | None = None


def collect(names: Iterable[str], to: str | None = None) -> Collected:
    """The formulas that files and folders hold; ``to`` names the target.

    Raises CannotRun where a name is not there, or the two formulas of a turn are not.
    """
    read = list(_read(names))
    formulas = [one for one, _ in read if one]
    results = tuple(dict.fromkeys(result for _, told in read for result in told))
    if to is None:
        return Collected(tuple(formulas), results)
    if read and read[0][0] is None:
        raise CannotRun(f"the first formula cannot be turned into another: {_said(read[0][1])}")
    target = _target(to)
    paths = [one.path for one in formulas]
    if target.path not in paths:
        formulas.append(target)
        paths.append(target.path)
    at = paths.index(target.path)
    if at == 0:
        raise CannotRun(f"{target.shown}: cannot be turned into itself; name another with --to")
    return Collected(tuple(formulas), results, at)


def _read(names: Iterable[str]) -> Iterator[tuple[Compared | None, tuple[Result, ...]]]:
    """Each formula file weighed, or None, with what there is to tell about it."""
    for source, kitchen, outcome in weigh_sources(sources(names)):
        if not isinstance(outcome, Balance):
            yield None, kitchen.results + outcome
        elif outcome.basis_g <= 0:
            yield None, (*kitchen.results, _without_basis(outcome))
        else:
            yield Compared(source.shown, source.path, outcome), kitchen.results


def _without_basis(balance: Balance) -> Result:
    """Why a formula has no percentages: nothing that counts, or nothing of it weighed."""
    message = (
        "no flour to take percentages of; add `basis` with the items that are 100 %"
        if balance.basis_is_whole
        else "what is 100 % cannot be weighed, so there are no percentages; write its mass"
    )
    return Result("no-basis", "error", message, balance.formula.place("parts"))


def _target(name: str) -> Compared:
    found = list(_read([name]))
    if len(found) != 1:
        raise CannotRun(f"{name}: {len(found)} formulas there; name one formula with --to")
    target, results = found[0]
    if target is None:
        raise CannotRun(_said(results))
    return target


def _said(results: tuple[Result, ...]) -> str:
    return f"{results[-1].place}: {results[-1].message}"
