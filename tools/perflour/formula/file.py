"""A formula file's text to Formula: read and validate."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.documents.reader import Document, read_document
from perflour.documents.schema import check_schema
from perflour.formula.formula import Formula, build_formula
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import USUAL, Customs
from perflour.result import FileProblem, Result


class InvalidFormula(FileProblem):
    """A formula file that breaks its schema; ``results`` say where, the first is the problem."""

    def __init__(self, results: tuple[Result, ...]) -> None:
        super().__init__(results[0].rule, results[0].place, results[0].message)
        self.results = results


def read_formula(content: bytes, path: str, customs: Customs = USUAL) -> Formula:
    """The formula in a file's bytes, its amounts in the customs of a house. Raises FileProblem or InvalidFormula."""
    return formula_of(document_of(content, path), customs)


def formula_of(document: Document, customs: Customs = USUAL) -> Formula:
    """The formula in a document that is valid against the schema. Raises FileProblem or InvalidFormula."""
    formula = build_formula(document, customs)
    if len(formula.parts) > 1 and (twice := tuple(_named_twice(formula))):
        raise InvalidFormula(twice)
    return formula


def _named_twice(formula: Formula) -> Iterator[Result]:
    """Parts that nobody could tell apart: weighed by name, the second would stand for the first."""
    seen: set[str] = set()
    for part in formula.parts:
        if fold(part.name) in seen:
            message = f"a second part is called '{part.name}'; give each its own name"
            yield Result("part-named-twice", "error", message, part.place, part.name)
        seen.add(fold(part.name))


def document_of(content: bytes, path: str) -> Document:
    """The document in a formula file's bytes. Raises FileProblem or InvalidFormula."""
    document = read_document(content, path)
    if results := check_schema(document, "formula"):
        raise InvalidFormula(results)
    return document


def read_or_tell(
    content: bytes, path: str, customs: Customs = USUAL
) -> Formula | tuple[Result, ...]:
    """The formula in a file's bytes, or the results that say why it cannot be read."""
    try:
        return read_formula(content, path, customs)
    except InvalidFormula as invalid:
        return invalid.results
    except FileProblem as problem:
        return (problem.result(),)
