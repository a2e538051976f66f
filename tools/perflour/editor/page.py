"""One version of one file, read: its document and formula as far as they can be read, weighed, and what lint says."""

from typing import NamedTuple

from perflour.balance.balance import Balance, balance
from perflour.documents.reader import Document, read_document
from perflour.documents.schema import check_schema
from perflour.editor.text import Span, Text
from perflour.formula.file import InvalidFormula, formula_of
from perflour.kitchen.house import Kitchen, Kitchens, kitchen_from
from perflour.lint.check import check_balance, check_inputs, check_other
from perflour.lint.places import ends_of
from perflour.plain import control
from perflour.result import FileProblem, Place, Result
from perflour.system.file_kinds import BY_FILE, BY_FOLDER, kind_of
from perflour.system.files import InputFile
from perflour.system.paths import display_path


class Page(NamedTuple):
    """One version of a file. ``document`` is None where it is no YAML, ``balance`` where it is no formula.

    ``problems`` say why the formula cannot be read.
    """

    text: Text
    path: str
    kind: str
    kitchen: Kitchen
    document: Document | None = None
    balance: Balance | None = None
    problems: tuple[Result, ...] = ()

    @property
    def shown(self) -> str:
        return display_path(self.path)


class Marked(NamedTuple):
    """A result of lint, and the stretch of the text that it is about."""

    span: Span
    result: Result


def kind_here(path: str) -> str:
    """Which kind of our files a path holds; empty for one of somebody else's."""
    folder, _, name = path.replace("\\", "/").rpartition("/")
    ours = name in BY_FILE or (name.endswith(".yaml") and folder.rpartition("/")[2] in BY_FOLDER)
    return kind_of(path) if ours else ""


def read_page(text: Text, path: str, kind: str, kitchen: Kitchen) -> Page:
    """A version of a file read as far as it can be. Never raises for what is in it."""
    page = Page(text, path, kind, kitchen)
    shown = page.shown
    try:
        document = read_document(text.encoded(), shown)
    except FileProblem as problem:
        return page._replace(problems=(problem.result(),))
    page = page._replace(document=document)
    if kind != "formula":
        return page
    if problems := check_schema(document, "formula"):
        return page._replace(problems=problems)
    try:
        formula = formula_of(document, kitchen.catalogue.said.customs)
    except InvalidFormula as invalid:
        return page._replace(problems=invalid.results)
    except FileProblem as problem:
        return page._replace(problems=(problem.result(),))
    return page._replace(balance=balance(formula, kitchen.catalogue))


def marked(page: Page) -> tuple[Marked, ...]:
    """All that lint says of a version, each where it stands; first of house files that cannot be used."""
    found = [result for result in _results(page) if result.place.path == page.shown]
    spans = _spans(page) if found else {}
    about = tuple([Marked(_span(page, result, spans), result) for result in found])
    return (*_of_the_house(page), *about)


def _results(page: Page) -> tuple[Result, ...]:
    if page.kind == "formula":
        if page.balance is None:
            return page.problems
        return check_balance(page.balance, page.shown, page.kitchen)
    content = page.text.encoded()
    if page.kind in ("house", "catalogue"):
        found = check_other(content, page.shown, page.kind)
        return tuple(dict.fromkeys((*found, *_own_units(page, content))))
    (found,) = check_inputs([InputFile(page.shown, page.path, content)], _Settled(page.kitchen))
    return found


def _own_units(page: Page, content: bytes) -> tuple[Result, ...]:
    """What is wrong with the kitchen that a house file makes, beyond its schema."""
    folder = page.path.rpartition("/")[0]
    return kitchen_from(folder, content, None).results if page.kind == "house" else ()


class _Settled(Kitchens):
    """The one kitchen of a file that is typed, whatever stands on the disk."""

    def __init__(self, kitchen: Kitchen) -> None:
        super().__init__()
        self.kitchen = kitchen

    def of(self, path: str) -> Kitchen:
        return self.kitchen


def _of_the_house(page: Page) -> tuple[Marked, ...]:
    """What is wrong with the files that this one is judged by, said at its start."""
    others = [result for result in page.kitchen.results if result.place.path != page.shown]
    return tuple(
        Marked(Span(0, page.text.line_end(0)), one._replace(message=f"{one.place}: {one.message}"))
        for one in others
    )


def _spans(page: Page) -> dict[Place, tuple[int, int]]:
    return dict(ends_of(page.document)) if page.document else {}


def _span(page: Page, result: Result, ends: dict[Place, tuple[int, int]]) -> Span:
    """From where a result stands to the end of its entry, else of its line."""
    text = page.text
    if not page.document and (sign := control(text.content.removeprefix("\ufeff"))):
        at = sign.start() + text.has_mark
        return Span(at, at + 1)
    start = text.of_place(result.place.line, result.place.column)
    if end := ends.get(result.place):
        return Span(start, max(start, text.of_place(*end)))
    end_of_line = text.line_end(text.line_at(start))
    written = text.content[start:end_of_line].rstrip()
    return (
        Span(start, start + len(written)) if written else Span(min(start, end_of_line), end_of_line)
    )
