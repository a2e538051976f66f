"""A formula as a recipe for a reader: ingredient lists, method in sentences, notes, cautions.

Plain text that `perflour import` reads back to the same masses: amounts stand as in the formula.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import Balance
from perflour.formula.formula import Formula, Line, Part, Step, Yield
from perflour.kitchen.cautions import Caution
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount
from perflour.plain import one_line
from perflour.report.form.columns import prose_width, wrap
from perflour.report.imported import allergen_lines

# Units that stand in the plural, and sizes whose item does.
WITH_PLURAL = frozenset(("cup", "pint", "stick", "slice", "clove", "square", "pinch", "dash", "can", "jar", "packet"))  # fmt: skip
SIZES = frozenset(("each", "extra large", "large", "medium", "small"))


def balance_recipe(balance: Balance, _: object, cautions: Sequence[Caution]) -> str:
    """The recipe of a weighed formula, however its table is to be looked at, with the cautions that hold."""
    return recipe_text(balance.formula, allergens(balance), cautions)


def recipe_text(
    formula: Formula, found: Allergens, cautions: Sequence[Caution] | None = None
) -> str:
    """The recipe in at most 80 columns; lines of ingredients are never broken.

    ``cautions`` are all that hold; where they are not said, those that go with the allergens.
    """
    hold = found.cautions if cautions is None else cautions
    said = (*allergen_lines(found), *(caution.text for caution in hold))
    sections = [
        [formula.title],
        list(_said_in_front(formula)),
        *([*_part_lines(part, len(formula.parts) > 1)] for part in formula.parts),
        ["Method", *_method(formula)] if formula.method else [],
        ["Notes", "", *wrap(formula.notes, prose_width())] if formula.notes else [],
        [
            "Cautions",
            "",
            *(line for text in said for line in wrap(text, prose_width())),
        ],
    ]
    return "\n\n".join("\n".join(map(one_line, lines)) for lines in sections if lines) + "\n"


def _said_in_front(formula: Formula) -> Iterator[str]:
    if formula.citation:
        yield f"Source: {formula.citation}"
    if formula.yields:
        yield _makes(formula.yields)
    if formula.basis:
        yield f"100 % is: {', '.join(formula.basis)}"


def _makes(yields: Yield) -> str:
    piece = yields.piece if yields.pieces == 1 else _plural(yields.piece)
    weight = f" of {yields.scaling_weight.text}" if yields.scaling_weight else ""
    return f"Makes {yields.pieces} {piece}{weight}"


def _plural(word: str) -> str:
    if word.endswith("loaf"):
        return f"{word[:-1]}ves"
    if word.endswith(("s", "x", "ch", "sh")):
        return f"{word}es"
    if word.endswith("y") and word[-2:-1] not in "aeiou":
        return f"{word[:-1]}ies"
    return f"{word}s"


def _part_lines(part: Part, headed: bool) -> Iterator[str]:
    kind = f" ({part.kind})" if part.kind == "preferment" else ""
    if headed or kind:
        yield f"For the {part.name}{kind}:"
    for line in part.lines:
        yield _ingredient(line)


def _ingredient(line: Line) -> str:
    text = f"{line.amount.text} of the {line.name}" if line.is_part else _item(line)
    state = f", {line.state}" if line.state else ""
    note = f" ({line.note})" if line.note else ""
    return f"{text}{state}{note}"


def _item(line: Line) -> str:
    """Amount and name, in the plural where there are several: "2 large eggs", "3 cups flour"."""
    value = line.amount.value
    several = isinstance(value, Amount) and len(value.terms) == 1 and value.terms[0].high > 1
    amount, name = _amount(line), line.name
    if several and isinstance(value, Amount):
        unit = value.terms[0].unit
        if unit.name in SIZES and name[-1:] != "s":
            name = _plural(name)
        elif unit.name in WITH_PLURAL and not value.content:
            amount = f"{amount.removesuffix(unit.name)}{_plural(unit.name)}"
    return f"{amount} {name}"


def _amount(line: Line) -> str:
    """The amount as written; what a container holds in brackets, pieces without a size as a bare number."""
    text = line.amount.text
    value = line.amount.value
    if isinstance(value, Amount) and value.content:
        container, _, content = text.partition(f" {value.terms[0].unit.name} ")
        return (
            f"{container} {value.terms[0].unit.name} ({content.replace(' drained', ', drained')})"
        )
    return text.removesuffix(" each")


def _method(formula: Formula) -> Iterator[str]:
    for number, step in enumerate(formula.method, 1):
        indent = " " * (len(str(number)) + 2)
        yield from wrap(f"{number}. {_sentence(step)}", prose_width(), subsequent_indent=indent)


def _sentence(step: Step) -> str:
    """One step as a sentence, in the order people say it."""
    said = step.said
    words = [step.do[:1].upper() + step.do[1:]]
    if step.uses:
        words.append(_together([use.said for use in step.uses]))
    words += (f"{key} {said[key]}" for key in ("into", "on", "with") if key in said)
    if "fill" in said:
        words.append(f"{said['fill']} full")
    if "speed" in said:
        words.append(f"on {said['speed']} speed")
    words += (f"{key} {said[key]}" for key in ("to", "at") if key in said)
    if "core" in said:
        words.append(f"to {said['core']} inside")
    words += (f"{key} {said[key]}" for key in ("for", "until") if key in said)
    note = f" ({said['note']})" if "note" in said else ""
    made = f"; makes the {said['makes']}" if "makes" in said else ""
    return f"{' '.join(words)}{note}{made}."


def _together(names: list[str]) -> str:
    named = [fold(name) if name.isupper() else name for name in names]
    return named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"
