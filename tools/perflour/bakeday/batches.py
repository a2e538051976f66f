"""What is made of each formula: files and words such as ``oat-date-loaf=24 pieces`` to batches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_inputs
from perflour.kitchen.house import Kitchen
from perflour.kitchen.quantity import AmountProblem, parse_amount
from perflour.result import CannotRun, Result, request_field
from perflour.scale.request import ScaleRequest, factor_asked
from perflour.system.files import InputFile, input_files
from perflour.system.named import no_formula_in

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
    """The batches of one bake day; ``results`` say which files could not be used, and why."""

    batches: tuple[Batch, ...]
    results: tuple[Result, ...]


def read_batches(names: Sequence[str], makes: Sequence[str]) -> Batches:
    """The batches of the formulas that names stand for; each once as it is written unless ``makes``
    says more. Raises CannotRun for words that cannot be read or that name no formula."""
    asked = words_by_id(makes, "make")
    batches: list[Batch] = []
    results: dict[Result, None] = {}
    for source, kitchen, outcome in weigh_inputs(input_files(names)):
        results.update(dict.fromkeys(kitchen.results))
        if not isinstance(outcome, Balance):
            results.update(dict.fromkeys(outcome))
            continue
        wanted = target(asked.get(outcome.formula.id, "1"))
        factor, _ = factor_asked(outcome, wanted)
        batches.append(Batch(source, kitchen, outcome, wanted, factor))
    if not batches and not results:
        raise no_formula_in(names)
    refuse_strangers("make", asked, [batch.id for batch in batches], bool(results))
    return Batches(tuple(batches), tuple(results))


def words_by_id(words: Sequence[str], name_of_field: str) -> dict[str, str]:
    """``ID=TEXT`` words by id. Raises CannotRun for others."""
    found: dict[str, str] = {}
    for word in words:
        name, equals, text = (piece.strip() for piece in word.partition("="))
        if not equals or not name or not text:
            raise CannotRun(
                f"{request_field(name_of_field)} '{word}' is not FORMULA=...; start it with a formula's id"
            )
        found[name] = text
    return found


def refuse_strangers(
    name_of_field: str, asked: Mapping[str, str], known: Sequence[str], some_failed: bool
) -> None:
    """A word for a formula that is not there is a slip of the pen. Raises CannotRun."""
    if some_failed:
        return  # it may be the one that could not be read, which is told already
    if strangers := [name for name in asked if name not in known]:
        raise CannotRun(
            f"{request_field(name_of_field)}: no formula '{strangers[0]}' among {', '.join(known)}; check its id"
        )


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
