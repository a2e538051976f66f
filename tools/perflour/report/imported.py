"""What a baker has to look at after an import, and what must be said with a recipe."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from perflour.balance.allergens import Allergens, Brought
from perflour.plain import one_line
from perflour.result import Result


def imported_text(unclear: Sequence[Result], found: Allergens) -> str:
    """One line for everything that was not understood, then allergens and cautions."""
    lines = [f"{result.place}: {one_line(result.message)}" for result in unclear]
    return "\n".join([*lines, *map(one_line, caution_lines(found))]) + "\n"


def caution_lines(found: Allergens) -> Iterator[str]:
    """The allergens by both lists, and every caution that holds, one a line."""
    yield f"Allergens by what the foods are, US list: {_listed(found.us)}; EU list: {_listed(found.eu)}."
    if found.not_known:
        yield f"Allergens not known: {', '.join(found.not_known)}."
    yield from (caution.text for caution in found.cautions)


def _listed(brought: Iterable[Brought]) -> str:
    return ", ".join(one.allergen for one in brought) or "none found"
