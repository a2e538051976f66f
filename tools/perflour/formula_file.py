"""A formula file's text to Formula and Balance: read, validate, weigh."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator

from perflour.balance import Balance, balance
from perflour.files import Source
from perflour.formula import Formula, build_formula
from perflour.house import Kitchen, kitchen_for
from perflour.paths import (
    BAKES,
    FORMULA_FILE,
    HOUSE_FILE,
    INGREDIENTS_FILE,
    PRICES_FILE,
    SESSIONS,
)
from perflour.result import FileProblem, Result
from perflour.schema import Kind, check_schema
from perflour.source import read_document


class InvalidFormula(Exception):
    """A formula file that breaks its schema; ``results`` say where."""

    def __init__(self, results: tuple[Result, ...]) -> None:
        super().__init__(f"{results[0].place}: {results[0].message}")
        self.results = results


def read_formula(content: bytes, path: str) -> Formula:
    """The formula in a file's bytes. Raises FileProblem or InvalidFormula."""
    document = read_document(content, path)
    if results := check_schema(document, "formula"):
        raise InvalidFormula(results)
    return build_formula(document)


def weigh_file(content: bytes, path: str, kitchen: Kitchen) -> Balance:
    """A file's bytes weighed. Raises FileProblem or InvalidFormula."""
    return balance(read_formula(content, path), kitchen.catalogue)


def weigh_or_tell(content: bytes, path: str, kitchen: Kitchen) -> Balance | tuple[Result, ...]:
    """A file's bytes weighed, or the results that say why they cannot be."""
    read = read_or_tell(content, path)
    return balance(read, kitchen.catalogue) if isinstance(read, Formula) else read


def read_or_tell(content: bytes, path: str) -> Formula | tuple[Result, ...]:
    """The formula in a file's bytes, or the results that say why it cannot be read."""
    try:
        return read_formula(content, path)
    except FileProblem as problem:
        return (problem.result(),)
    except InvalidFormula as invalid:
        return invalid.results


def kind_of(path: str) -> Kind:
    """Which kind of file a path holds, by its name and folder."""
    folder, name = os.path.split(path)
    if os.path.basename(folder) == BAKES:
        return "bake"
    if os.path.basename(folder) == SESSIONS and name != FORMULA_FILE:
        return "session"
    return _KINDS.get(name, "formula")


_KINDS: dict[str, Kind] = {
    HOUSE_FILE: "house",
    INGREDIENTS_FILE: "catalogue",
    PRICES_FILE: "prices",
}


def weigh_sources(
    sources: Iterable[Source],
) -> Iterator[tuple[Source, Kitchen, Balance | tuple[Result, ...]]]:
    """Each formula file weighed, or the results that say why it cannot be."""
    for source in sources:
        if kind_of(source.path) != "formula":
            continue
        kitchen = kitchen_for(source.path)
        yield source, kitchen, weigh_or_tell(source.content, source.shown, kitchen)
