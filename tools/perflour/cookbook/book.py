"""Formulas to a cookbook: which are in it, in which chapters, and the index by ingredient."""

import os
import unicodedata
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_inputs
from perflour.cookbook.book_file import BookFile, read_book
from perflour.cookbook.english import inverted
from perflour.cookbook.page import USUAL, Page, Story, page_of
from perflour.cookbook.proofreading import Proofreader
from perflour.formula.formula import APPROVED, REFERENCE, Formula
from perflour.kitchen.house import Kitchen
from perflour.kitchen.language import ENGLISH, language
from perflour.kitchen.names import fold
from perflour.lint.check import errors_of
from perflour.lint.rules.all_rules import RULES
from perflour.lint.rules.reading import READING
from perflour.plain import one_line
from perflour.records.bake import bakes_in
from perflour.result import CannotRun, Result, request_field
from perflour.system.files import InputFile, input_files
from perflour.system.nearest import advice
from perflour.system.opening import STANDARD_INPUT
from perflour.system.paths import BOOK_FILE, nearest_file

if TYPE_CHECKING:
    from perflour.cookbook.translated.speaker import Speaker

UNTITLED = "Cookbook"


class Selection(NamedTuple):
    """Which formulas are in: of these statuses (None: of any) and classes (empty: of any).

    References are somebody else's and never in.
    """

    statuses: frozenset[str] | None = frozenset((APPROVED,))
    classes: frozenset[str] = frozenset()

    def holds(self, formula: Formula) -> bool:
        of_status = self.statuses is None or formula.status in self.statuses
        is_own = formula.status != REFERENCE
        return is_own and of_status and (not self.classes or formula.product_class in self.classes)


class Chapter(NamedTuple):
    """The pages of one kind of product, by title; ``text`` opens it."""

    title: str
    pages: tuple[Page, ...]
    text: str = ""


class IndexEntry(NamedTuple):
    """An ingredient with the numbers (from 0) of the pages that use it; or ``see`` another name."""

    name: str
    pages: tuple[int, ...]
    see: str = ""

    @property
    def letter(self) -> str:
        """What it stands under: its first letter, plain and capital; empty for figures and signs."""
        first = _key(self.name)[0][:1].upper()
        return first if first.isalpha() else ""


class Cookbook(NamedTuple):
    """Pages count from 0 through all chapters; ``house`` is empty where no kitchen is named.

    ``changed`` is when the formulas last were, by their commits, for the form that must say it.
    """

    title: str
    house: str
    chapters: tuple[Chapter, ...]
    index: tuple[IndexEntry, ...]  # type: ignore[assignment]  # the book's, no tuple's
    settled: BookFile = USUAL
    changed: str = ""

    @property
    def pages(self) -> tuple[Page, ...]:
        return tuple(page for chapter in self.chapters for page in chapter.pages)


class Drafted(NamedTuple):
    """A cookbook and what its maker must know: results of files, remarks on texts, all paths read."""

    book: Cookbook
    results: tuple[Result, ...]
    remarks: tuple[str, ...]
    paths: frozenset[str]


_Chosen = list[tuple[InputFile, Kitchen, Balance]]


#: Tells by path how the formulas of some files came about, as far as they have a history.
Teller = Callable[[Sequence[str]], Mapping[str, Story]]


def draft(
    names: Iterable[str],
    selection: Selection,
    title: str = "",
    settle: Callable[[BookFile], BookFile] = lambda settled: settled,
    tell: Teller = lambda paths: {},
) -> Drafted:
    """The cookbook of the formulas that files and folders hold, as far as they are selected.

    Chapters come in the order of the house's classes. Errors that lint finds in a selected formula
    are among the results. Settings are those of the nearest book.yaml, as ``settle`` changes them.
    Raises CannotRun where nothing is selected, a name is not there or the book.yaml is wrong.
    """
    chosen: _Chosen = []
    results: list[Result] = []
    paths: set[str] = set()
    read, references = 0, 0
    classes: set[str] = set()
    for source, kitchen, outcome in weigh_inputs(_noted(input_files(names), paths)):
        read += 1
        results += kitchen.results
        classes.update(kitchen.house.classes)
        if not isinstance(outcome, Balance):
            results += outcome
            continue
        classes.add(outcome.formula.product_class)
        references += outcome.formula.status == REFERENCE
        if selection.holds(outcome.formula):
            chosen.append((source, kitchen, outcome))
            results += errors_of(outcome, source.shown, kitchen)
    _refuse_strangers(selection.classes, classes)
    if not chosen:
        raise CannotRun(_nothing(selection, read, references, results))
    proof = proofreader(balance.formula.id for *_, balance in chosen)
    named = nearest_file(BOOK_FILE, chosen[0][0].path)
    settled = settle(read_book(named) if named else USUAL)
    speaker = None if settled.language == ENGLISH else _speaker(settled)
    pages, problems = _pages(chosen, proof, settled, tell, speaker)
    book = _book(chosen, pages, title, settled, speaker)
    paths.update([named] if named else [])
    told = tuple(dict.fromkeys((*results, *problems)))
    remarks = (*proof.remarks, *(speaker.remarks if speaker else ()))
    return Drafted(book, told, remarks, frozenset(paths))


def _speaker(settled: BookFile) -> "Speaker":
    """Who speaks the language of a book that is not English."""
    from perflour.cookbook.translated.speaker import Speaker  # English books go without

    return Speaker(language(settled.language), settled.words.get(settled.language, {}))


def _noted(files: Iterable[InputFile], paths: set[str]) -> Iterator[InputFile]:
    """The files as they come, each path kept: nothing is written over them."""
    for source in files:
        paths.add(source.path)
        yield source


def _refuse_strangers(asked: Iterable[str], known: Collection[str]) -> None:
    """A class that nobody knows is a slip of the pen. Raises CannotRun."""
    for name in sorted(set(asked).difference(known)) if known else ():
        choose = f"choose one of {', '.join(sorted(known))}"
        raise CannotRun(f"there is no class '{name}'; {advice(name, known, choose)}")


def _nothing(selection: Selection, read: int, references: int, results: Sequence[Result]) -> str:
    if results:
        return f"{results[0].place}: {results[0].message}"
    if not read:
        return "no formula there; name a formula file or its folder"
    statuses = "" if selection.statuses is None else f" {' or '.join(sorted(selection.statuses))}"
    classes = f" of class {' or '.join(sorted(selection.classes))}" if selection.classes else ""
    beside = " (a reference is never in a cookbook)" if references else ""
    return f"no{statuses} formula{classes} among the {read} read{beside}; choose others with {request_field('status')}, {request_field('class')} or {request_field('all')}"


def proofreader(ids: Iterable[str]) -> Proofreader:
    """Who keeps ids of formulas, names of rules and digests out of what readers see."""
    return Proofreader([*ids, *READING, *(rule.id for rule in RULES)])


def _pages(
    chosen: _Chosen, proof: Proofreader, settled: BookFile, tell: Teller, speaker: "Speaker | None"
) -> tuple[list[Page], list[Result]]:
    """The page of every formula, in order, and what is wrong with test bakes."""
    pages: list[Page] = []
    problems: list[Result] = []
    asking = [s.path for s, _, b in chosen if settled.tells_story(b.formula.id)]
    stories = tell(asking) if asking else {}
    for source, kitchen, balance in chosen:
        folder = os.path.dirname(source.path)
        bakes, wrong = ((), ()) if source.shown == STANDARD_INPUT else bakes_in(folder)
        problems += wrong
        story = stories.get(source.path)
        if speaker is None:
            pages.append(page_of(balance, bakes, kitchen, proof, settled, story))
        else:
            from perflour.cookbook.translated.translator import Translator

            said = Translator(balance, kitchen.catalogue, speaker)
            made = page_of(balance, bakes, kitchen, proof, settled, story, said.sentences)
            pages.append(said.page(made))
    return pages, problems


def _book(
    chosen: _Chosen, pages: Sequence[Page], title: str, settled: BookFile, speaker: "Speaker | None"
) -> Cookbook:
    say = speaker.free if speaker else one_line
    houses = dict.fromkeys(kitchen.house.name for _, kitchen, _ in chosen if kitchen.house.name)
    house = one_line(next(iter(houses))) if len(houses) == 1 else ""
    order = {
        say(kitchen.house.classes[name].title): (at, settled.chapters.get(name, ""))
        for _, kitchen, _ in chosen
        for at, name in enumerate(kitchen.house.classes)
    }
    last = (len(order), "")
    kinds = sorted({page.kind for page in pages}, key=lambda k: (order.get(k, last)[0], _key(k)))
    chapters = tuple(
        Chapter(
            kind,
            tuple(sorted((p for p in pages if p.kind == kind), key=lambda p: _key(p.title))),
            one_line(order.get(kind, last)[1]),
        )
        for kind in kinds
    )
    in_order = [page for chapter in chapters for page in chapter.pages]
    named = one_line(title or settled.title) or house or UNTITLED
    turned: Callable[[str], str] = inverted
    without = set(map(fold, settled.index_without))
    if speaker:
        from perflour.cookbook.translated.grammars import GRAMMARS

        turned = GRAMMARS[settled.language].in_index
        said = (speaker.known_food(name, chosen[0][1].catalogue) for name in settled.index_without)
        without |= {fold(noun.several or noun.name) for noun in said if noun}
    index = _index(in_order, turned, without, with_other_names=speaker is None)
    return Cookbook(named, house, chapters, index, settled)


def _index(
    pages: Sequence[Page], turned: Callable[[str], str], without: set[str], with_other_names: bool
) -> tuple[IndexEntry, ...]:
    """Every ingredient by its main name, its noun first; other names that formulas use lead to it.

    A translated page calls a food by one name only.
    """
    at: dict[str, dict[int, None]] = {}
    see: dict[str, str] = {}
    for number, page in enumerate(pages):
        for line in (line for part in page.parts for line in part.lines if not line.is_part):
            if fold(line.main_name) in without:
                continue
            main = turned(one_line(line.main_name))
            at.setdefault(main, {})[number] = None
            if with_other_names and fold(line.name) != fold(line.main_name):
                see[turned(one_line(line.name))] = main
    entries = [IndexEntry(name, tuple(numbers)) for name, numbers in at.items()]
    entries += [IndexEntry(name, (), main) for name, main in see.items() if name not in at]
    return tuple(sorted(entries, key=lambda e: (e.letter.isalpha(), _key(e.name))))


def _key(text: str) -> tuple[str, str]:
    """The order of a register: by letter, without regard to accents and capitals."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in plain if not unicodedata.combining(c)), text
