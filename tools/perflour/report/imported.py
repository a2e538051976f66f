"""What a baker has to look at after an import, and what must be said with a recipe."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence

from perflour.balance.allergens import Allergens, Brought
from perflour.kitchen.figures import counted
from perflour.plain import one_line
from perflour.recipe.many import Outcome
from perflour.recipe.recipe_text import Reading
from perflour.recipe.request import Import
from perflour.result import CannotRun, Result

#: So many files that were left alone are named.
_MOST_NAMED = 5


def imported_text(unclear: Sequence[Result], found: Allergens) -> str:
    """One line for everything that was not understood, then allergens and cautions."""
    lines = [*_unclear_lines(unclear), *map(one_line, _short_cautions(found))]
    return "\n".join(lines) + "\n"


def _short_cautions(found: Allergens) -> Iterator[str]:
    """Allergens, that it is no label, and of each other caution its first sentence: all in three lines."""
    yield from allergen_lines(found)
    texts = [caution.text for caution in found.cautions]
    yield from texts[:1]
    if others := texts[1:]:
        openings = " ".join(f"{text.split('. ')[0].rstrip('.')}." for text in others)
        yield f"{openings} `perflour contents` says it in full."


def formulas_text(made: Sequence[Import]) -> str:
    """The formula files, one after another."""
    return "".join(one.content.decode() for one in made)


def readings_text(made: Sequence[Import]) -> str:
    """Each line or sentence of the source with what was read from it under it, and what has to be looked at."""
    return "\n".join(line for one in made for line in _reading_lines(one)) + "\n"


def _reading_lines(made: Import) -> Iterator[str]:
    yield f"{made.title}: {counted(len(made.readings), 'reading')}, {len(made.unclear)} to look at"
    places = {f"{r.place.line}:{r.place.column}" for r in made.readings}
    width = max(map(len, places), default=0)
    for reading in made.readings:
        at = f"{reading.place.line}:{reading.place.column}".rjust(width)
        said = "; ".join(value if key == "do" else f"{key} {value}" for key, value in reading.fields if key != "note")  # fmt: skip
        sure = "" if reading.sure == 1 else f"  ({round(reading.sure * 100)} % sure)"
        yield f"{at}  {one_line(reading.source)}"
        yield f"{' ' * width}  = {one_line(said) or 'kept in the notes'}{sure}"
        if reading.asks:
            yield f"{' ' * width}  ! {one_line(reading.asks)}"


def readings_json(made: Sequence[Import]) -> str:
    """The same as data, with the formula's text and all that is told."""
    import json

    recipes = [
        {
            "id": one.id,
            "title": one.title,
            "formula": one.content.decode(),
            "readings": [_reading_data(reading) for reading in one.readings],
            "told": [
                {"line": r.place.line, "column": r.place.column, "message": r.message, "source": r.subject}
                for r in (*one.left_out, *one.unclear)
            ],
        }
        for one in made
    ]  # fmt: skip
    return json.dumps({"version": 1, "recipes": recipes}, ensure_ascii=False, indent=2) + "\n"


def _reading_data(reading: Reading) -> dict[str, object]:
    return {
        "path": reading.place.path,
        "line": reading.place.line,
        "column": reading.place.column,
        "source": reading.source,
        "kind": reading.kind,
        "fields": dict(reading.fields),
        "sure": round(reading.sure, 4),
        "asks": reading.asks,
    }


def imported_run_text(
    outcomes: Sequence[Outcome], left_alone: Sequence[str], called: Callable[[str], str]
) -> str:
    """The same of many files, in their order, each caution once; then what came of all of them.

    ``called`` is how a field of a request is called.
    """
    lines = [line for outcome in outcomes for line in _outcome_lines(outcome, called)]
    lines += _caution_counts(outcomes)
    if left_alone:
        more = len(left_alone) - _MOST_NAMED
        named = ", ".join(left_alone[:_MOST_NAMED]) + (f" and {more:,} more" if more > 0 else "")
        lines.append(f"left alone, no kind that is read here: {named}")
    lines.append(_summary(outcomes))
    return "".join(f"{one_line(line)}\n" for line in lines)


def _outcome_lines(outcome: Outcome, called: Callable[[str], str]) -> Iterator[str]:
    if outcome.problem:
        yield f"perflour: {outcome.problem.told(called)}"
    for made, written in zip(outcome.made, outcome.written, strict=True):
        yield from _unclear_lines((*made.left_out, *made.unclear))
        if isinstance(written, CannotRun):
            yield f"perflour: {written.told(called)}"
        yield from (f"{made.id}: {line}" for line in allergen_lines(made.allergens))


def _caution_counts(outcomes: Sequence[Outcome]) -> Iterator[str]:
    held = Counter(
        caution.text for one in outcomes for made in one.made for caution in made.allergens.cautions
    )
    for text, count in held.items():
        yield f"in {count:,}: {text}"


def _summary(outcomes: Sequence[Outcome]) -> str:
    """How many recipes became formulas, and what is left to do."""
    made = [one for outcome in outcomes for one in outcome.made]
    written = sum(isinstance(one, str) for outcome in outcomes for one in outcome.written)
    unclear = [len(one.unclear) for one in made if one.unclear]
    not_read = sum(outcome.problem is not None for outcome in outcomes)
    look = f"{counted(sum(unclear), 'line')} to look at in {len(unclear):,}" if unclear else "nothing to look at"  # fmt: skip
    rest = [f"{counted(not_read, 'file')} not read"] if not_read else []
    rest += [f"{len(made) - written:,} not written"] if written < len(made) else []
    head = f"{counted(len(made), 'recipe')} in {counted(written, 'formula')}: {look}"
    return "; ".join([head, *rest])


def _unclear_lines(unclear: Iterable[Result]) -> Iterator[str]:
    return (f"{result.place}: {one_line(result.message)}" for result in unclear)


def allergen_lines(found: Allergens) -> Iterator[str]:
    """What is brought by both lists, and what is not known."""
    yield f"Allergens by what the foods are, US list: {_listed(found.us)}; EU list: {_listed(found.eu)}."
    if found.not_known:
        yield f"Allergens not known: {', '.join(found.not_known)}."


def _listed(brought: Iterable[Brought]) -> str:
    return ", ".join(one.allergen for one in brought) or "none found"
