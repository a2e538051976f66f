"""One ingredient line to the entries of a formula: amount, item, state, note, and how sure we are."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue, Ingredient, keep
from perflour.kitchen.numbers import settled_where_clear, unmistakable
from perflour.recipe.amounts import (
    Measured,
    divided,
    in_doubt,
    leading_amount,
    measured,
    second_measure,
)
from perflour.recipe.grammar import Clause, TakenApart, take_apart
from perflour.recipe.lexemes import tidy
from perflour.recipe.loose_amounts import as_listed_line, loosely_measured
from perflour.recipe.names import Named, choice, inverted, is_state, named
from perflour.recipe.words import kitchen_unit, word_map, word_set

# How sure we are of a line, by what is open about it; several faults multiply.
NO_AMOUNT, UNREADABLE_AMOUNT, UNKNOWN_ITEM = 0.5, 0.3, 0.5
DOUBTED_AMOUNT, SEVERAL_NAMES, NOT_TAKEN_APART = 0.7, 0.6, 0.2
#: A longer line is no line: it is kept as it stands, and said to be too long.
MOST_SIGNS = 1000
#: A food that is sold by the piece is counted up to this number, and weighed above it.
MOST_COUNTED = 12
#: Stands in place of an amount that the recipe does not give.
NOT_STATED = "not stated"
#: What a list that has been read as grams says beside the first of the amounts that stood bare in it.
NO_UNIT, TAKEN_AS_GRAMS = "no unit in print", "no unit; taken as g as in the lines beside it"
_REMARK = re.compile(
    r"\s+(for (?:the |your |greasing|dusting|rolling|sprinkling|brushing|kneading|frying|topping|garnish|serving|decorat|coating|finishing|shaping).*"
    r"|to taste.*|as (?:needed|required|desired).*|if (?:needed|desired|you like).*|q\.s\.|optional)$",
    re.IGNORECASE,
)
_ONLY = re.compile(r"(?P<what>\w+) only", re.IGNORECASE)
_BOTH_TAKEN = re.compile(r"(.*\w) (?:and|&) (\w+)(?: of)?", re.IGNORECASE)
# A baker's table: "Water 325 g 65 %".
_PERCENT_BEHIND = re.compile(
    r"(?P<line>.*[0-9] ?[^\W\d_]+)[ |(]+(?P<percent>[0-9]+(?:[.,][0-9]+)? ?%)\)?"
)


class LineRead(NamedTuple):
    """A line of a formula as read from a recipe.

    ``unclear`` says what a baker has to look at, empty for nothing; ``confidence`` is 0 to 1 (a share of
    certainty by what was understood, not a probability that was measured).
    """

    item: str
    amount: str
    state: str = ""
    note: str = ""
    confidence: float = 1.0
    unclear: str = ""
    known: bool = False

    def doubted(self, factor: float, why: str) -> LineRead:
        return self._replace(
            confidence=self.confidence * factor,
            unclear="; ".join(filter(None, (self.unclear, why))),
        )


def read_line(text: str, catalogue: Catalogue) -> tuple[LineRead, ...]:
    """The entries a line stands for; never empty, never raises, nothing dropped.

    Read once: what sorts a recipe asks for the line as well as what writes it.
    """
    read: tuple[LineRead, ...] | None = catalogue.said_in_recipes.get(("line", text))
    return read or keep(catalogue.said_in_recipes, ("line", text), _whole_line(text, catalogue))


def _whole_line(text: str, catalogue: Catalogue) -> tuple[LineRead, ...]:
    if len(text) > MOST_SIGNS:
        return (_as_text(text, f"longer than {MOST_SIGNS} signs; write one ingredient a line"),)
    style = catalogue.said.customs.numbers
    lines = tuple(
        line._replace(amount=unmistakable(line.amount, style)) for line in _read(text, catalogue)
    )
    return lines if all(any(map(str.isalnum, line.item)) for line in lines) else (_as_text(text),)


def _read(text: str, catalogue: Catalogue) -> tuple[LineRead, ...]:
    plain = as_listed_line(settled_where_clear(tidy(text), catalogue.said.customs.numbers))
    if match := _PERCENT_BEHIND.fullmatch(plain):
        first, *more = _read(match["line"], catalogue)
        return (_noted(first, f"{match['percent']} in print"), *more)
    if loose := loosely_measured(plain, catalogue):
        amount, name = loose
        first, *more = _read(name, catalogue)
        return (first._replace(amount=amount), *more)
    lines = _taken_apart(plain, text, catalogue) or (_as_text(text),)
    if plain[:1].isdigit() and text[:1].isalpha() and (other := _other_food(lines[0], catalogue)):
        why = f"the amount stands behind '{other}'; check which of the two it is of"
        return (lines[0].doubted(SEVERAL_NAMES, why), *lines[1:])
    if NO_UNIT in plain:
        return (lines[0].doubted(DOUBTED_AMOUNT, TAKEN_AS_GRAMS), *lines[1:])
    if lines[0].unclear and (again := _by_leading_amount(plain, text, catalogue)):
        return again
    return lines


def _other_food(line: LineRead, catalogue: Catalogue) -> str:
    """A food that stands beside another one before the amount: "rosemary, salt 5 g"; empty for none."""
    return next((note for note in line.note.split("; ") if note and catalogue.understood(note)), "")


def _by_leading_amount(plain: str, text: str, catalogue: Catalogue) -> tuple[LineRead, ...] | None:
    """The line with its amount read as formulas read it, where the grammar had to ask; None where that asks too."""
    if not (leading := leading_amount(plain, catalogue.said.customs)):
        return None
    measures, rest = leading
    said = take_apart(rest)
    if said is None or not said.name or said.amounts or said.late:
        return None
    lines = _lines(said, measures, text, catalogue)
    return None if not lines or lines[0].unclear != in_doubt(lines[0].amount) else lines


def _taken_apart(plain: str, text: str, catalogue: Catalogue) -> tuple[LineRead, ...]:
    said = take_apart(plain)
    if said is None or not (said.name or said.amounts or said.late):
        return (_as_text(text),)
    if said.late and said.late_name:
        return _taken_of(text, said, catalogue)
    measures = _amount_of(said)
    if not said.name and said.amounts and (unit := _name_in_unit(said)):
        said = said._replace(amounts=(said.amounts[0]._replace(terms=(), number=unit[0]),))
        return _lines(said._replace(name=unit[1]), measured(said.amounts), text, catalogue)
    if not said.name and not said.clauses:
        return (_as_text(text),)
    return _lines(said, measures, text, catalogue)


def _as_text(text: str, why: str = "write its item and amount") -> LineRead:
    return LineRead(" ".join(text.split()), NOT_STATED).doubted(
        NOT_TAKEN_APART, f"not read as an ingredient; {why}"
    )


def _amount_of(said: TakenApart) -> Measured | None:
    amounts = said.amounts or said.late
    if amounts:
        return measured(amounts)
    for clause in said.clauses:
        if clause.text and (text := second_measure(clause.text)):
            return Measured(text)  # "butter - 100 g"
    return None


def _name_in_unit(said: TakenApart) -> tuple[str, str] | None:
    """ "2 cloves" without a name: the word that looked like a unit is the name."""
    terms = said.amounts[0].terms
    if len(terms) != 1:
        return None
    unit = kitchen_unit(terms[0][1])
    return terms[0] if unit and unit.kind == "count" else None


def _taken_of(text: str, said: TakenApart, catalogue: Catalogue) -> tuple[LineRead, ...]:
    """ "Yolks 10 eggs", "grated rind of 1 lemon"."""
    if match := _BOTH_TAKEN.fullmatch(said.name):
        both = (_taken_of(text, said._replace(name=one), catalogue) for one in match.groups())
        return tuple(line for lines in both for line in lines)
    *front, last = said.name.lower().removesuffix(" of").split() or [""]
    taken = word_map("taken-of").get(last)
    one = named(f"{said.late_name} {taken}", catalogue) if taken else None
    if one is None or (one.known is None and taken != "pulp"):
        return (_as_text(text),)
    whole = named(said.late_name, catalogue)
    amount = measured(said.late)
    note = (
        ""
        if taken in ("yolk", "white")
        else f"of {amount.text.removesuffix(' each')} {said.late_name}"
    )
    states = [*([" ".join(front)] if front else []), *whole.states]
    line = LineRead(one.item, amount.text, ", ".join(states), note, known=one.known is not None)
    line = _with_clauses(line, [c for c in said.clauses if c.text], amount, catalogue)
    return (line if line.known else line.doubted(UNKNOWN_ITEM, _not_in_catalogue(one.item)),)


def _lines(
    said: TakenApart, amount: Measured | None, text: str, catalogue: Catalogue
) -> tuple[LineRead, ...]:
    name, remark = _without_remark(said.name)
    if "in equal parts" in name.lower() and amount and not amount.problem:
        return _in_equal_parts(name, amount, catalogue)
    clauses = [clause for clause in said.clauses if clause.text]
    (one, other), rest = _item(name, clauses, catalogue)
    line = _with_item(one, amount, catalogue)
    line = _with_clauses(line, rest, amount, catalogue)
    line = _noted(line, other, remark)
    if amount is None:
        stands_for = next((w for w in (remark, *line.note.split("; ")) if _stands(w)), NOT_STATED)
        line = line._replace(amount=stands_for).doubted(
            NO_AMOUNT, "no amount; write one when you have weighed it"
        )
    return (_sized(line), *_more_of_it(line, rest, catalogue))


def _stands(words: str) -> bool:
    return words.lower() in word_set("amount-phrases")


def _without_remark(name: str) -> tuple[str, str]:
    match = _REMARK.search(name)
    return (name[: match.start()], match[1]) if match else (name, "")


def _item(
    name: str, clauses: list[Clause], catalogue: Catalogue
) -> tuple[tuple[Named, str], list[Clause]]:
    """The item with its alternatives, and the clauses that are not part of its name."""
    behind = []
    for clause in clauses:
        if clause.kind != "comma" or second_measure(clause.text):
            break
        behind.append(clause.text)
    if name and is_state(name):  # "soft, diced, salted butter"
        for count, text in enumerate(behind, 1):
            if named(text, catalogue).known:
                return choice(" ".join((name, *behind[:count])), catalogue), clauses[count:]
    if behind and (match := _ONLY.fullmatch(behind[0])):  # "orange, zest only"
        taken = named(f"{name} {word_map('taken-of').get(match['what'].lower())}", catalogue)
        if taken.known:
            return (taken, ""), clauses[1:]
    for count in range(min(len(behind), 3), 0, -1):
        if turned := inverted(name, behind[:count], catalogue):
            return (turned, ""), clauses[count:]
    return choice(name, catalogue), clauses


def _with_item(one: Named, amount: Measured | None, catalogue: Catalogue) -> LineRead:
    states = [*one.states]
    if amount and amount.state:
        states.insert(0, amount.state)
    notes = [one.qualifiers] if one.qualifiers else []
    if amount:
        notes += [*amount.notes, *(f"also given as {text}" for text in amount.also)]
    line = LineRead(one.item, amount.text if amount else "", ", ".join(states), "; ".join(notes))
    line = line._replace(known=one.known is not None)
    if amount and (doubt := in_doubt(amount.text)):
        line = line.doubted(DOUBTED_AMOUNT, doubt)
    if amount and amount.problem:
        line = line.doubted(UNREADABLE_AMOUNT, amount.problem)
    if one.known and amount and _is_bare_mass(amount.text, one.known):
        line = line.doubted(DOUBTED_AMOUNT, "no unit; write the one that is meant")
    if one.known is None:
        return line.doubted(UNKNOWN_ITEM, _not_in_catalogue(one.item))
    return line


def _not_in_catalogue(item: str) -> str:
    return f"'{item}' is not in the catalogue; name it otherwise or add it"


def _is_bare_mass(amount: str, food: Ingredient) -> bool:
    """Whether an amount counts what has no pieces, more than a dozen times: "butter 800"."""
    number, _, unit = amount.partition(" ")
    counted = any(measure.per == "each" for measure in food.measures)
    return unit == "each" and not counted and number.isdecimal() and int(number) > MOST_COUNTED


def _with_clauses(
    line: LineRead, clauses: Sequence[Clause], amount: Measured | None, catalogue: Catalogue
) -> LineRead:
    """States into the state, all else into the note, in the words of the line."""
    states, notes = [line.state], [line.note]
    offered = any(c.text.lower().startswith("or ") for c in clauses)
    for clause in clauses:
        text = clause.text
        if second := second_measure(text):
            notes.append("" if amount and second == amount.text else f"also given as {second}")
        elif is_state(text):
            states.append(text)
        elif offered and not text.lower().startswith("or ") and named(text, catalogue).known:
            notes.append(f"or {text}")
        elif not _is_more(clause):
            notes.append(text)
    return line._replace(state=_joined(states, ", "), note=_joined(notes, "; "))


def _noted(line: LineRead, *notes: str) -> LineRead:
    return line._replace(note=_joined((*notes, line.note), "; "))


def _joined(texts: Sequence[str], by: str) -> str:
    return by.join(dict.fromkeys(text.strip() for text in texts if text.strip()))


def _is_more(clause: Clause) -> bool:
    """Whether a clause asks for another amount of the same: "plus 2 tbsp for the pan"."""
    return bool(clause.kind == "also" and re.match(r"plus [0-9]", clause.text, re.IGNORECASE))


def _more_of_it(
    line: LineRead, clauses: Sequence[Clause], catalogue: Catalogue
) -> tuple[LineRead, ...]:
    """Further lines for "plus 2 tbsp for the pan", "plus 1 yolk"."""
    more = []
    for clause in clauses:
        said = take_apart(clause.text[5:]) if _is_more(clause) else None
        if said is None or not said.amounts:
            continue
        amount = measured(said.amounts)
        name = f" {said.name}" if said.name else ""
        rest, remark = _without_remark(name)
        taken = word_map("taken-of").get(rest.strip().lower())
        rest = f" {line.item} {taken}" if taken else rest
        other = named(rest.strip(), catalogue) if rest.strip() else None
        item = other.item if other and other.known else line.item
        known = line.known or bool(other and other.known)
        extra = LineRead(item, amount.text, line.state if item == line.item else "", known=known)
        extra = _noted(extra, remark, "" if other is None or other.known else rest.strip())
        if other and other.known is None:
            extra = extra.doubted(SEVERAL_NAMES, f"taken as more {line.item}; check it")
        more.append(_sized(extra))
    return tuple(more)


def _in_equal_parts(name: str, amount: Measured, catalogue: Catalogue) -> tuple[LineRead, ...]:
    """ "3/4 cup milk and water in equal parts" is 3/8 cup of each."""
    names = re.split(r"\s+and\s+|\s*,\s*", re.sub(r"\s*in equal parts", "", name, flags=re.I))
    each = divided(amount.text, len(names))
    lines = (_with_item(named(one, catalogue), Measured(each), catalogue) for one in names if one)
    return tuple(_noted(line, f"of {amount.text} {name}") for line in lines)


def _sized(line: LineRead) -> LineRead:
    """A size said beside the item counts the pieces: "4 each" of "large eggs" is "4 large"."""
    number, _, unit = line.amount.rpartition(" ")
    if unit != "each":
        return line
    for size in sorted(word_set("sizes"), key=len, reverse=True):
        says = re.compile(rf"\b{size}\b[,;]?\s*", re.IGNORECASE)
        sized = line._replace(amount=f"{number} {size}")
        if says.search(line.state):
            return sized._replace(state=says.sub("", line.state, count=1).strip(", "))
        if says.fullmatch(line.note):
            return sized._replace(note="")
    return line
