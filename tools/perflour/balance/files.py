"""Formula files weighed, or what is wrong with them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from perflour.balance.balance import Balance, balance
from perflour.formula.file import read_formula, read_or_tell
from perflour.formula.formula import Formula
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.result import Result
from perflour.system.file_kinds import kind_of
from perflour.system.files import InputFile, read_or_refused, refusal


def weigh_file(content: bytes, path: str, kitchen: Kitchen) -> Balance:
    """A file's bytes weighed. Raises FileProblem or InvalidFormula."""
    return balance(read_formula(content, path, kitchen.catalogue.said.customs), kitchen.catalogue)


def weigh_or_tell(content: bytes, path: str, kitchen: Kitchen) -> Balance | tuple[Result, ...]:
    """A file's bytes weighed, or the results that say why they cannot be."""
    read = read_or_tell(content, path, kitchen.catalogue.said.customs)
    return balance(read, kitchen.catalogue) if isinstance(read, Formula) else read


def weigh_at(file: str, path: str, kitchen: Kitchen) -> Balance | tuple[Result, ...]:
    """The file of a formula weighed, of which is told as of ``path``, or why it cannot be."""
    source = read_or_refused(file)
    if source.refused:
        return (refusal(source._replace(shown=path)),)
    return weigh_or_tell(source.content, path, kitchen)


def weigh_inputs(
    sources: Iterable[InputFile],
) -> Iterator[tuple[InputFile, Kitchen, Balance | tuple[Result, ...]]]:
    """Each formula file weighed, or the results that say why it cannot be."""
    for source in sources:
        if kind_of(source.path) != "formula":
            continue
        kitchen = kitchen_for(source.path)
        yield source, kitchen, weigh_or_tell(source.content, source.shown, kitchen)
