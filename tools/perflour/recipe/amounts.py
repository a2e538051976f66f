"""The amount in an ingredient line, in the spelling of formula files; numbers stay as they are written."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from perflour.kitchen.as_written import ABOUT
from perflour.kitchen.filling import filling_in, heaped_or_scant, laid
from perflour.kitchen.quantity import USUAL, Amount, AmountProblem, Customs, parse_amount
from perflour.kitchen.spelling import spelled
from perflour.recipe.grammar import AmountSaid, take_apart
from perflour.recipe.words import kitchen_unit

#: No measure has more brackets one in the other.
MOST_BRACKETS = 2
#: No amount has more words: 1 1/2 cups plus 2 1/2 level tbsp less 1/2 tsp.
MOST_AMOUNT_WORDS = 12


class Measured(NamedTuple):
    """An amount as a formula file has it, with what else was said of it.

    ``also`` are the same amounts in other measures, ``notes`` what is no amount; ``problem`` says
    why the text cannot be read.
    """

    text: str
    also: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    state: str = ""
    problem: str = ""


def measured(said: Sequence[AmountSaid]) -> Measured:
    """One amount of those said side by side: a mass before a volume, for a scale is surer than a cup."""
    candidates = [amount for one in said for amount in _readings(one)]
    texts = [text for text, _ in candidates]
    parsed = [_parsed(text) for text in texts]
    best = 0
    first = parsed[0]
    if isinstance(first, Amount) and first.kinds <= {"volume", "pinch"}:
        best = next((n for n, p in enumerate(parsed) if _is_mass(p)), 0)
    chosen = parsed[best]
    return Measured(
        text=texts[best],
        also=tuple(text for number, text in enumerate(texts) if number != best),
        notes=tuple(note for _, notes in candidates for note in notes),
        state=" ".join(w for w in said[0].manner.split() if not _filled(w)),
        problem=chosen.message if isinstance(chosen, AmountProblem) else "",
    )


def second_measure(text: str) -> str:
    """The amount in brackets that hold nothing else, as a formula file has it; empty for others."""
    if text.count("(") > MOST_BRACKETS:
        return ""
    apart = take_apart(re.sub(r"\b(?:each|in all|total)$", "", text).strip())
    if apart is None or apart.name or apart.clauses or len(apart.amounts) != 1:
        return ""
    (text, notes), *_ = _readings(apart.amounts[0])
    return text if apart.amounts[0].terms and not notes else ""


def _readings(said: AmountSaid) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The amount, then a second one in its bracket; each with notes."""
    about = ("about",) if said.about else ()
    if said.container:
        yield _contained(said, about)
        return
    first = _sum(said.terms, _filled(said.manner)) if said.terms else f"{said.number} each"
    second = second_measure(said.bracket) if said.bracket else ""
    left = (said.bracket,) if said.bracket and not second else ()
    yield first, (*about, *left)
    if second:
        yield second, ()


def _sum(terms: Sequence[tuple[str, str]], filled: str = "") -> str:
    units = ((number, word, kitchen_unit(word)) for number, word in terms)
    number_with = f" {filled} " if filled else " "
    return " plus ".join(
        f"{number}{number_with}{unit.name if unit else word}" for number, word, unit in units
    )


def _filled(manner: str) -> str:
    """Heaped, scant: the words of a filling that belong to the amount; packed is a state."""
    return heaped_or_scant(filling_in(manner)[0])


def in_doubt(text: str) -> str:
    """What has to be asked about an amount that can be read: how much a heaped spoon holds, what 20 °C are."""
    amount = _parsed(text)
    for term in amount.terms if isinstance(amount, Amount) else ():
        if term.unit.kind in ("temperature", "time", "length"):
            return (
                f"'{text}' is a {term.unit.kind}, not an amount; write a mass, a measure or a count"
            )
        if _filled(term.filling):
            return f"how much a {term.filling} {term.unit.name} holds is not settled; level it, or weigh it"
    return ""


def leading_amount(text: str, customs: Customs = USUAL) -> tuple[Measured, str] | None:
    """The longest amount that a text starts with as the kitchen reads amounts, and what follows it."""
    words = text.split()
    for count in range(min(len(words) - 1, MOST_AMOUNT_WORDS), 0, -1):
        amount = _parsed(" ".join(words[:count]), customs)
        rest = " ".join(words[count:])
        if isinstance(amount, Amount) and not rest[0].isdigit():
            about = ("about",) if ABOUT.match(text) else ()
            bare = tuple(term._replace(filling=_filled(term.filling)) for term in amount.terms)
            state = " ".join(filter(None, (laid(term.filling) for term in amount.terms)))
            return Measured(spelled(amount._replace(terms=bare)), (), about, state), rest
    return None


def _contained(said: AmountSaid, about: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """`1 can 425 g drained 250 g`; a packet of so many spoons is the spoons."""
    unit = kitchen_unit(said.container)
    container = unit.name if unit else said.container
    number = said.number or "1"
    notes = (*about, *((f"{said.qualifier} {container}",) if said.qualifier else ()))
    inside = _sum(said.terms) if said.terms else ""
    drained = ""
    left: tuple[str, ...] = ()
    if said.bracket:
        content, _, rest = re.sub(r",\s*drained", " drained", said.bracket).partition(" drained ")
        inside = second_measure(content)
        drained = second_measure(rest) if rest else ""
        left = () if inside else (said.bracket,)
    if not inside:
        return f"{number} {container}", (*notes, *left)
    parsed = _parsed(inside)
    if _is_mass(parsed) and isinstance(parsed, Amount) and len(parsed.terms) == 1:
        return f"{number} {container} {inside}{f' drained {drained}' if drained else ''}", notes
    total = _times(number, parsed)
    return (
        (total, (*notes, f"{number} {container}"))
        if total
        else (
            f"{number} {container}",
            (*notes, said.bracket or inside),
        )
    )


def _times(number: str, amount: Amount | AmountProblem) -> str:
    """So many times an amount, exactly; empty where the number is a range or the amount none."""
    if isinstance(amount, AmountProblem) or "-" in number:
        return ""
    count = sum((Fraction(piece) for piece in number.split()), Fraction(0))
    terms = tuple(t._replace(low=count * t.low, high=count * t.high) for t in amount.terms)
    return spelled(Amount("", terms))


def divided(amount: str, parts: int) -> str:
    """An amount divided by a number, exactly ("3/4 cup" in two equal parts: "3/8 cup")."""
    return _times(f"1/{parts}", _parsed(amount))


def _parsed(text: str, customs: Customs = USUAL) -> Amount | AmountProblem:
    try:
        return parse_amount(text, customs)
    except AmountProblem as problem:
        return problem


def _is_mass(amount: Amount | AmountProblem) -> bool:
    return isinstance(amount, Amount) and amount.kinds == {"mass"}
