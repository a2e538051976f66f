"""The lines of a bakery's formula sheet as lines of a list: one ingredient each, every amount with its unit.

A sheet has several ingredients on a line, a column of percentages, and masses without their unit beside
others that have it. The words stay; what is added is said in the line itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.recipe.grammar import TakenApart, take_apart
from perflour.recipe.ingredient_line import MOST_COUNTED, NO_UNIT
from perflour.recipe.lexemes import tidy
from perflour.recipe.line_kinds import (
    LONGEST_LINE,
    MOST_WORDS_OF_HEADING,
    is_ingredient,
    is_instruction,
)
from perflour.recipe.names import named
from perflour.recipe.words import word_map, word_set

#: As many percentages in proportion to their masses make a column.
FEWEST_PERCENTS = 3
#: Percentages are rounded, and so are masses: how far from the proportion of the others one may be.
_OFF = 0.06
#: Fewer sentences in a row that are all foods with amounts may be prose.
FEWEST_SENTENCES, FEWEST_BETWEEN_STROKES = 3, 2
_PERCENT = re.compile(
    r"(?P<name>[^\W\d_].*?)[,:]?\s+(?P<percent>[0-9]+(?:[.,][0-9]+)?) ?%,?\s+"
    r"(?P<mass>(?P<number>[0-9]+(?:[.,][0-9]+)?) ?g\b)(?P<rest>.*)"
)
# A name may hold figures: "chocolate 60%", "flour T55".
_NAME = r"(?P<name>[^\W\d_](?:[^0-9]|[0-9]+(?:[.,][0-9]+)? ?%|(?<=[^\W\d_])[0-9]+)*?)"
_BARE_BEHIND = re.compile(rf"{_NAME}[\s:]\s*(?P<number>[0-9]+(?:\.[0-9]+)?)(?P<rest>(?:,[^0-9]*)?)")
_BARE_IN_FRONT = re.compile(rf"(?P<number>[0-9]+(?:\.[0-9]+)?) {_NAME}(?P<rest>)")
_HEAD = re.compile(
    r"(?:ingredients?|item)?\s*(?:(?P<first>(?:baker'?s ?)?%)|(?P<mass>k?g|grams?))\s+(?:(?:baker'?s ?)?%|k?g|grams?)",
    re.IGNORECASE,
)
_TWO = re.compile(
    r"(?P<name>[^\W\d_][^0-9]*?)\s+(?P<one>[0-9]+(?:[.,][0-9]+)?)\s+(?P<other>[0-9]+(?:[.,][0-9]+)?)"
)
_GRAMS = re.compile(r"(?<![0-9.,])[0-9]+(?:[.,][0-9]+)? ?k?g\b", re.IGNORECASE)
_OTHER_MASS = re.compile(r"[0-9] ?(?:oz|ounces?|lbs?|pounds?)\b", re.IGNORECASE)
_COMMA = re.compile(r",\s+")
_STROKE, _SENTENCE, _SEMICOLON = (
    re.compile(r"\s+/\s+"),
    re.compile(r"(?<=[\w%)])\.\s+(?=[^\W\d_])"),
    re.compile(r";\s+"),
)


_HEADED = re.compile(r"(?P<head>[^0-9:]{2,40}?)(?P<sign>:| [-–—]) *(?P<rest>\S.*)")
_TWO_SENTENCES = re.compile(r"[^\W\d_]{4}\.\s+[A-Z]")


class Piece(NamedTuple):
    """What is on a line of its own now, and where it started in the line."""

    start: int
    text: str


def pieces(text: str) -> list[Piece]:
    """The ingredients that stand on one line, a heading before them, the sentences behind; else the line itself."""
    return _listed(text) or _titled(text) or [Piece(0, text)]


def _listed(text: str) -> list[Piece]:
    """The ingredients of a line that holds nothing else in front; empty for another line."""
    opening = text.lower().split(maxsplit=1)[:1]
    is_food = word_set("verbs-that-are-ingredients").issuperset(opening)  # butter, flour
    is_head = opening[:1] and opening[0].endswith(":")  # "Wet: milk 200 g, eggs 300 g"
    for sign, parted_by, fewest in (
        ("/", _STROKE, FEWEST_BETWEEN_STROKES),
        (".", _SENTENCE, FEWEST_SENTENCES),
        (";", _SEMICOLON, FEWEST_SENTENCES),
        (",", _COMMA, FEWEST_SENTENCES),
    ):
        found = list(_parted(text, parted_by)) if text.count(sign) + 1 >= fewest else []
        if len(found) < fewest:
            continue
        if parted_by is not _STROKE and not is_food and not is_head and is_instruction(text):
            return []
        behind = list(_parted(found[-1].text, _SENTENCE)) if parted_by is not _SENTENCE else []
        if len(behind) > 1:
            last = found.pop()
            found.append(Piece(last.start, behind[0].text))
            rest = last.start + behind[1].start
            behind = [Piece(rest, text[rest:])]
        else:
            behind = []
        found = [*_headed(found[0]), *found[1:]]
        if all(_is_entry(piece.text) or piece.text.endswith(":") for piece in found):
            return [*found, *behind]
    return []


def _titled(text: str) -> list[Piece]:
    """A short heading with a full stop before ingredients on the same line, and these; empty for others."""
    opening, stop, rest = text.partition(". ")
    if not stop or len(opening.split()) > MOST_WORDS_OF_HEADING or re.search("[0-9]", opening):
        return []
    found = _listed(rest) if not is_instruction(opening) else []
    shift = len(text) - len(rest)
    moved = [Piece(piece.start + shift, piece.text) for piece in found]
    titled = [Piece(0, opening)] if opening else []  # nothing where the line begins with the stop
    return [*titled, *moved] if len(moved) > 1 else []


def _parted(text: str, by: re.Pattern[str]) -> Iterator[Piece]:
    start = 0
    for match in by.finditer(text):
        yield Piece(start, text[start : match.start()])
        start = match.end()
    if rest := text[start:].rstrip(" .;/"):
        yield Piece(start, rest)


def _headed(piece: Piece) -> list[Piece]:
    """The first ingredient with the heading before it: "Cheese frosting 300 g icing sugar"."""
    match = _HEADED.fullmatch(piece.text)
    if (
        match
        and (match["sign"] == ":" or names_part(match["head"]))
        and is_ingredient(match["rest"])
    ):
        return [
            Piece(piece.start, f"{match['head']}:"),
            Piece(piece.start + match.start("rest"), match["rest"]),
        ]
    said = _said(piece.text)
    if said and said.late_name and names_part(said.name) and piece.text.startswith(said.name):
        behind = piece.text[len(said.name) :].lstrip()
        return [
            Piece(piece.start, f"{said.name}:"),
            Piece(piece.start + len(piece.text) - len(behind), behind),
        ]
    return [piece]


def opens_with_part(text: str) -> bool:
    """Whether a line opens with the name of a part and a sign: "Glaze - icing sugar 500 g"."""
    match = _HEADED.fullmatch(text)
    return bool(match and names_part(match["head"]))


def names_part(name: str) -> bool:
    """Whether a name is one of a part: a frosting, a crust."""
    last = name.lower().split()[-1:]
    return bool(last) and (
        last[0] in word_map("part-kinds") or last[0] in word_set("more-part-names")
    )


def _said(text: str) -> TakenApart | None:
    return take_apart(tidy(text)) if len(text) <= LONGEST_LINE else None


def _is_entry(text: str) -> bool:
    """Whether a text is a food with its amount, a percentage beside it left out."""
    bare = re.sub(r"[,:]?\s*[0-9]+(?:[.,][0-9]+)? ?%,?(?=\s)", "", text)
    said = None if _TWO_SENTENCES.search(bare) else _said(bare)
    if said is None or not said.name or not (said.amounts or said.late):
        return False
    return not said.late_name and not (is_instruction(bare) and len(bare.split()) > 5)


def with_units(lines: Sequence[str], catalogue: Catalogue) -> list[str]:
    """The lines of one list with a column of percentages told as such, and bare masses in grams."""
    return _in_grams(_without_percents(_under_head(lines)), catalogue)


def is_head_of_columns(line: str) -> bool:
    """Whether a line says no more than what the columns below it hold: "% g"."""
    return bool(_HEAD.fullmatch(line))


def _under_head(lines: Sequence[str]) -> list[str]:
    """Rows of figures with the units that the head of their columns says."""
    head = _HEAD.fullmatch(lines[0]) if lines else None
    if head is None:
        return list(lines)
    unit = "kg" if re.search(r"\bkg\b", lines[0], re.IGNORECASE) else "g"
    percent, mass = ("one", "other") if head["first"] else ("other", "one")
    rows = ((line, _TWO.fullmatch(line)) for line in lines)
    return [
        f"{row['name']} {row[mass]} {unit} ({row[percent]} % in print)" if row else line
        for line, row in rows
    ]


def _without_percents(lines: Sequence[str]) -> list[str]:
    """Percentages before the masses they are in proportion to go behind them: "water 726 g (66 % in print)"."""
    rows = [
        (number, match)
        for number, line in enumerate(lines)
        if len(line) <= 2 * LONGEST_LINE and (match := _PERCENT.fullmatch(line))
    ]
    shares = {
        number: _number(match["number"]) / percent
        for number, match in rows
        if (percent := _number(match["percent"]))
    }
    if len(shares) < FEWEST_PERCENTS:
        return list(lines)
    from statistics import median  # slow to load: docs/performance.md

    usual = median(shares.values())
    fitting = {number for number, share in shares.items() if _fits(share, usual)}
    if len(fitting) < FEWEST_PERCENTS:
        return list(lines)
    made = list(lines)
    for number, match in rows:
        if number in fitting:
            made[number] = (
                f"{match['name']}{',' if ',' in match['name'] else ''} {match['mass']} ({match['percent']} % in print){match['rest']}"
            )
    return made


def _fits(share: float, usual: float) -> bool:
    return abs(share - usual) <= _OFF * usual


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _in_grams(lines: Sequence[str], catalogue: Catalogue) -> list[str]:
    """Bare numbers beside masses in grams are grams, which the first of them says."""
    if not any(map(_GRAMS.search, lines)) or any(map(_OTHER_MASS.search, lines)):
        return list(lines)
    bare = {
        number: match for number, line in enumerate(lines) if (match := _bare_mass(line, catalogue))
    }
    made = list(lines)
    for number, match in bare.items():
        more = "" if number != min(bare) else f" ({NO_UNIT}{_as_in(len(bare) - 1)})"
        in_front = match.re is _BARE_IN_FRONT
        amount = f"{match['number']} g{more}"
        made[number] = (
            f"{amount} {match['name']}" if in_front else f"{match['name']} {amount}{match['rest']}"
        )
    return made


def _as_in(others: int) -> str:
    return f", as in {others} more line{'s' * (others > 1)}" if others else ""


def _bare_mass(line: str, catalogue: Catalogue) -> re.Match[str] | None:
    """A line whose number can only be a mass: what is counted (2 eggs) and what is not known stays as it is."""
    if line.endswith(".") or len(line) > LONGEST_LINE or (is_instruction(line) and "," not in line):
        return None
    stands = _said(line)
    if stands and stands.amounts and not stands.amounts[0].number:
        return None  # it has its unit
    match = _BARE_BEHIND.fullmatch(line) or _BARE_IN_FRONT.fullmatch(line)
    if match is None or not is_ingredient(f"{match['number']} g {match['name']}"):
        return None
    many = float(match["number"]) > MOST_COUNTED
    said = _said(f"{match['number']} g {match['name']}")
    if said is None or not said.name:
        return None
    food = named(said.name, catalogue).known
    counted = food is not None and any(measure.per == "each" for measure in food.measures)
    if food is None:
        return match if many else None
    return match if many or not counted else None
