"""Which formulas hold what was asked: by ratio, by food, by class, by status, by words."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from perflour.asking.conditions import (
    YES,
    Answer,
    Condition,
    Verdict,
    answer,
    condition_of,
    together,
)
from perflour.asking.figures import MOST_SUGGESTED, Figure, Measured, figure_named, measured
from perflour.asking.foods import Food, food_named, holds
from perflour.balance.allergens import GLUTEN
from perflour.balance.balance import Balance
from perflour.balance.files import weigh_inputs
from perflour.balance.spread import Measures, uncertain
from perflour.formula.formula import Formula
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.cautions import Caution, texts
from perflour.kitchen.house import Kitchen
from perflour.kitchen.names import fold
from perflour.records.bake import bakes_in
from perflour.result import CannotRun, Result
from perflour.system.files import input_files


@dataclass(frozen=True)
class FindRequest:
    """What is asked; everything must hold. ``asked`` are conditions in text, ``words`` stand anywhere in the texts."""

    asked: tuple[str, ...] = ()
    holding: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    of_class: tuple[str, ...] = ()
    status: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Question:
    """What is asked, understood."""

    conditions: tuple[Condition, ...]
    holding: tuple[Food, ...]
    without: tuple[Food, ...]
    of_class: tuple[str, ...]
    status: tuple[str, ...]
    words: tuple[str, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        return tuple(dict.fromkeys(f for c in self.conditions for f in c.figures))


@dataclass(frozen=True)
class Text:
    """Words of a formula with where they stand."""

    where: str
    text: str


@dataclass(frozen=True)
class Found:
    """A formula that meets the question, or may.

    ``figures`` are in the order of the question's; ``items`` are ingredients that were asked for, ``texts`` where words stand.
    """

    shown: str
    balance: Balance
    verdict: Verdict
    figures: tuple[Measured, ...]
    items: tuple[str, ...]
    texts: tuple[Text, ...]


@dataclass(frozen=True)
class NotTold:
    """A formula of which nobody can tell, with the reason."""

    shown: str
    id: str
    why: str


@dataclass(frozen=True)
class Finding:
    """All that was found. ``asked_of`` counts formulas read; ``results`` tell what could not be read.

    ``cautions`` go with allergens.
    """

    question: Question
    found: tuple[Found, ...]
    not_told: tuple[NotTold, ...]
    results: tuple[Result, ...]
    asked_of: int
    paths: frozenset[str]
    cautions: tuple[Caution, ...] = ()

    @property
    def is_told_whole(self) -> bool:
        return not (self.not_told or self.results)


@dataclass(frozen=True)
class _Read:
    shown: str
    path: str
    kitchen: Kitchen
    balance: Balance


def find(names: Iterable[str], request: FindRequest) -> Finding:
    """The formulas that files and folders hold which meet a request.

    Raises CannotRun for what is not understood, and where no formula is there.
    """
    read: list[_Read] = []
    results: list[Result] = []
    paths: list[str] = []
    for source, kitchen, outcome in weigh_inputs(input_files(names)):
        paths.append(source.path)
        results += kitchen.results
        if isinstance(outcome, Balance):
            read.append(_Read(source.shown, source.path, kitchen, outcome))
        else:
            results += outcome
    if not paths:
        raise CannotRun("no formula there; name a formula file or a folder with some")
    question = _understood(request, read)
    found: list[Found] = []
    not_told: list[NotTold] = []
    for one in read:
        match _judged(question, one, results):
            case Found() as there:
                found.append(there)
            case NotTold() as unknown:
                not_told.append(unknown)
    return Finding(
        question,
        tuple(found),
        tuple(not_told),
        tuple(dict.fromkeys(results)),
        len(paths),
        frozenset(paths),
        _cautions((*question.holding, *question.without)),
    )


def _cautions(foods: Iterable[Food]) -> tuple[Caution, ...]:
    """What must be said where an allergen is looked for, and where gluten is."""
    words = {word for food in foods for word in food.allergens}
    situations = {"allergens"} if words else set()
    return texts().that_hold(
        frozenset(situations | ({"gluten-free"} if GLUTEN in words else set()))
    )


# --- what is asked ---


def _understood(request: FindRequest, read: Sequence[_Read]) -> Question:
    """Raises CannotRun for a name that means nothing."""
    catalogues = _catalogues(read)
    balances = [one.balance for one in read]

    def named(name: str) -> Figure:
        return one_figure(name, catalogues, balances)

    return Question(
        tuple(condition_of(text, named) for text in request.asked),
        tuple(food_named(word, catalogues, balances) for word in request.holding),
        tuple(food_named(word, catalogues, balances) for word in request.without),
        tuple(_class(name, read) for name in request.of_class),
        request.status,
        tuple(words for words in request.words if words.strip()),
    )


def one_figure(name: str, catalogues: Sequence[Catalogue], balances: Sequence[Balance]) -> Figure:
    """The one figure that a name means. Raises CannotRun where it means several."""
    found = figure_named(name, catalogues, balances)
    if len(found) > 1:
        said = " and ".join(f"'{figure.said}'" for figure in found)
        raise CannotRun(f"'{name}' means {said} here; name one of them")
    return found[0]


def _catalogues(read: Iterable[_Read]) -> list[Catalogue]:
    return list({id(one.kitchen.catalogue): one.kitchen.catalogue for one in read}.values())


def _class(name: str, read: Sequence[_Read]) -> str:
    from difflib import get_close_matches

    known = [c for one in read for c in (*one.kitchen.house.classes, one.balance.formula.product_class) if c]  # fmt: skip
    known = list(dict.fromkeys(known))
    if name in known:
        return name
    close = get_close_matches(fold(name).replace(" ", "-"), known, MOST_SUGGESTED, cutoff=0.5)
    hint = f"did you mean {' or '.join(close)}?" if close else f"known here: {', '.join(known)}"
    raise CannotRun(f"'{name}' is no class of these formulas or their house; {hint}")


# --- what a formula is ---


def _judged(question: Question, one: _Read, results: list[Result]) -> Found | NotTold | None:
    """A formula held against the question; None where it does not meet it. Adds what is wrong with bakes."""
    formula = one.balance.formula
    if question.of_class and formula.product_class not in question.of_class:
        return None
    if question.status and formula.status not in question.status:
        return None
    items: list[str] = []
    answers = [_held(food, one.balance, items) for food in question.holding]
    answers += [_not_held(food, one.balance) for food in question.without]
    values: dict[Figure, Measured] = {}
    if question.figures:
        numbers = uncertain(one.balance, Measures())
        values = {figure: measured(figure, one.balance, numbers) for figure in question.figures}
    answers += [answer(condition, values) for condition in question.conditions]
    said = together(answers) if answers else YES
    if said.verdict == "no":
        return None
    texts_found: tuple[Text, ...] = ()
    if question.words:
        places = list(_texts(one, results))
        each = [[t for t in places if _stands_in(words, t.text)] for words in question.words]
        if not all(each):
            return None
        texts_found = tuple(dict.fromkeys(text for found in each for text in found))
    if said.verdict == "not known":
        return NotTold(one.shown, formula.id, said.why_not)
    figures = tuple(values[figure] for figure in question.figures)
    return Found(one.shown, one.balance, said.verdict, figures, tuple(dict.fromkeys(items)), texts_found)  # fmt: skip


def _held(food: Food, balance: Balance, items: list[str]) -> Answer:
    held = holds(food, balance)
    items += held.items
    if held.items:
        return YES
    return _unknown(food, held.not_known) if held.not_known else Answer("no")


def _not_held(food: Food, balance: Balance) -> Answer:
    held = holds(food, balance)
    if held.items:
        return Answer("no")
    return _unknown(food, held.not_known) if held.not_known else YES


def _unknown(food: Food, items: Sequence[str]) -> Answer:
    return Answer("not known", f"nobody knows whether {', '.join(items)} is or brings {food.said}")


def _stands_in(words: str, text: str) -> bool:
    return fold(words) in fold(text)


def _texts(one: _Read, results: list[Result]) -> Iterator[Text]:
    """The texts of a formula and of its test bakes, with where they stand."""
    yield from _formula_texts(one.balance.formula)
    bakes, problems = bakes_in(os.path.dirname(one.path))
    results += problems
    for bake in bakes:
        yield Text(f"test bake {bake.name}", bake.notes)
        if bake.next_try:
            following = f"{bake.next_try}, because {bake.next_because}"
            yield Text(f"test bake {bake.name}, next", following)


def _formula_texts(formula: Formula) -> Iterator[Text]:
    yield Text("title", formula.title)
    yield Text("notes", formula.notes)
    for part in formula.parts:
        yield Text(f"notes of {part.name}", part.notes)
        yield from (Text(f"note on {line.name}", line.note) for line in part.lines if line.note)
    for number, step in enumerate(formula.method, 1):
        said = "; ".join(f"{key} {text}" for key, text in step.said.items())
        uses = ", ".join(use.name for use in step.uses)
        yield Text(f"step {number}", " ".join(filter(None, (step.do, uses, said))))
