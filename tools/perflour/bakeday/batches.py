"""What is made of each formula: files and words such as ``oat-date-loaf=24 pieces`` to batches."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from perflour.bakeday.faults import Noted
from perflour.balance.balance import Balance
from perflour.balance.files import weigh_inputs
from perflour.kitchen.house import Kitchen
from perflour.kitchen.quantity import AmountProblem, parse_amount
from perflour.result import CannotRun, Result, request_field
from perflour.scale.request import ScaleRequest, factor_asked
from perflour.system.files import InputFile, input_files
from perflour.system.named import no_formula_in
from perflour.system.nearest import advice
from perflour.system.paths import FORMULA_FILE

ADVICE = "write it like `2 batches`, `24 pieces` or `3 kg`"
_BATCHES, _PIECES = ("batch", "batches", "times", ""), ("piece", "pieces")


@dataclass(frozen=True)
class Batch:
    """One formula, and how much of it is made. ``asked`` is what scaling is asked for."""

    source: InputFile
    kitchen: Kitchen
    balance: Balance
    asked: ScaleRequest
    factor: float

    @property
    def id(self) -> str:
        return self.balance.formula.id

    @property
    def pieces(self) -> int | None:
        """Whole pieces, where the formula has a yield."""
        yields = self.balance.formula.yields
        return max(1, int(yields.pieces * self.factor + 0.5)) if yields else None

    @property
    def piece(self) -> str:
        yields = self.balance.formula.yields
        return yields.piece if yields else "piece"


@dataclass(frozen=True)
class Batches:
    """The batches of one bake day; ``results`` say which files could not be used, and why, ``problems`` what of
    the words that say how much is made (a batch is made once then, to look at the rest of what is asked)."""

    batches: tuple[Batch, ...]
    results: tuple[Result, ...]
    problems: tuple[CannotRun, ...] = ()


def read_batches(names: Sequence[str], makes: Sequence[str]) -> Batches:
    """The batches of the formulas that names stand for; each once as it is written unless ``makes``
    says more. Raises CannotRun where there is no formula."""
    noted = Noted()
    read: list[tuple[InputFile, Kitchen, Balance]] = []
    results: dict[Result, None] = {}
    for source, kitchen, outcome in weigh_inputs(input_files(names)):
        results.update(dict.fromkeys(kitchen.results))
        if isinstance(outcome, Balance):
            read.append((source, kitchen, outcome))
        else:
            results.update(dict.fromkeys(outcome))
    if not read and not results:
        raise no_formula_in(names)
    formulas = {source.path: balance.formula.id for source, _, balance in read}
    asked = words_by_id(makes, "make", formulas, noted, some_failed=bool(results))
    batches = tuple([_batch(*one, asked, noted) for one in read])
    return Batches(batches, tuple(results), tuple(noted.problems))


def _batch(
    source: InputFile, kitchen: Kitchen, balance: Balance, asked: Mapping[str, str], noted: Noted
) -> Batch:
    wanted, factor = ScaleRequest(times="1"), 1.0
    with noted.each():
        wanted = target(asked.get(balance.formula.id, "1"))
        factor, _ = factor_asked(balance, wanted)
    return Batch(source, kitchen, balance, wanted, factor)


def words_by_id(
    words: Sequence[str],
    name_of_field: str,
    formulas: Mapping[str, str],
    noted: Noted,
    some_failed: bool = False,
) -> dict[str, str]:
    """``FORMULA=TEXT`` words by the id of the formula, which may be named by its file or folder too.

    ``formulas`` are the ids by path. Other words are noted, and a formula that is not among these: unless one
    could not be read, which is told already, that is a slip of the pen.
    """
    found: dict[str, str] = {}
    for word in words:
        with noted.each():
            formula, text = _by_id(word, name_of_field, formulas, some_failed)
            if formula in found:
                raise CannotRun(
                    f"{request_field(name_of_field)} says two things of {formula}; leave one out"
                )
            if formula is not None:
                found[formula] = text
    return found


def _by_id(
    word: str, name_of_field: str, formulas: Mapping[str, str], some_failed: bool
) -> tuple[str | None, str]:
    """The id that a word is about, None where it may be that of a file that failed, and what it says. Raises CannotRun."""
    name, equals, text = (piece.strip() for piece in word.partition("="))
    if not equals or not name or not text:
        raise CannotRun(
            f"{request_field(name_of_field)} '{word}' is not FORMULA=...; start it with a formula's id"
        )
    formula = _id_named(name, formulas)
    if formula is None and not some_failed:
        raise CannotRun(
            f"{request_field(name_of_field)}: no formula '{name}' among {', '.join(formulas.values())}; "
            + advice(name, formulas.values(), "check its id")
        )
    return formula, text


def _id_named(name: str, formulas: Mapping[str, str]) -> str | None:
    """The id of one of the formulas by that, or by its file or folder; None where it is none of them."""
    if name in formulas.values():
        return name
    path = os.path.abspath(name)
    return formulas.get(path) or formulas.get(os.path.join(path, FORMULA_FILE))


def target(text: str) -> ScaleRequest:
    """``2``, ``2 batches``, ``24 pieces`` or ``3 kg`` as scaling is asked. Raises CannotRun."""
    number, _, word = text.rpartition(" ") if text[-1:].isalpha() else (text, "", "")
    if word.lower() in _BATCHES and number:
        return ScaleRequest(times=number)
    if word.lower() in _PIECES and number:
        return ScaleRequest(pieces=number)
    try:
        if parse_amount(text).kinds == {"mass"}:
            return ScaleRequest(batch=text)
    except AmountProblem:
        pass
    raise CannotRun(
        f"{request_field('make')} '{text}' is no number of batches, pieces or mass; {ADVICE}"
    )
