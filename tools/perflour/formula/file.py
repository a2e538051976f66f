"""A formula file's text to Formula: read and validate."""

from __future__ import annotations

from perflour.documents.reader import Document, read_document
from perflour.documents.schema import check_schema
from perflour.formula.formula import Formula, build_formula
from perflour.result import FileProblem, Result


class InvalidFormula(FileProblem):
    """A formula file that breaks its schema; ``results`` say where, the first is the problem."""

    def __init__(self, results: tuple[Result, ...]) -> None:
        super().__init__(results[0].rule, results[0].place, results[0].message)
        self.results = results


def read_formula(content: bytes, path: str) -> Formula:
    """The formula in a file's bytes. Raises FileProblem or InvalidFormula."""
    return build_formula(document_of(content, path))


def document_of(content: bytes, path: str) -> Document:
    """The document in a formula file's bytes. Raises FileProblem or InvalidFormula."""
    document = read_document(content, path)
    if results := check_schema(document, "formula"):
        raise InvalidFormula(results)
    return document


def read_or_tell(content: bytes, path: str) -> Formula | tuple[Result, ...]:
    """The formula in a file's bytes, or the results that say why it cannot be read."""
    try:
        return read_formula(content, path)
    except InvalidFormula as invalid:
        return invalid.results
    except FileProblem as problem:
        return (problem.result(),)
