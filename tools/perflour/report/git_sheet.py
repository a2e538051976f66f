"""The ratio sheet of one formula, as `git diff`, `git log -p` and `git show` print it.

Made so that a line diff of two sheets reads as a diff in ratios. Ratios and masses have lines of their
own: where the whole batch is scaled no ratio line differs, and where the flour is changed the masses
show the one line that was touched. Every line says which part it is of, so that a hunk can be read
alone; nothing is aligned to the longest name, so that a new line leaves the others as they are. The
lines of a part stand by name, what is 100 % first: the order of the list is not part of the formula.
All that a file says is there, comments too, so that no change is hidden but one of form.
"""

from __future__ import annotations

import os
import re
from codecs import BOM_UTF8
from collections.abc import Iterator
from typing import Any

import yaml

from perflour.balance.balance import Balance, balance
from perflour.balance.parts import PartBalance, Weighed
from perflour.balance.ratios import FINE_RATIOS, is_fine, ratios
from perflour.documents.reader import read_document
from perflour.documents.schema import is_valid
from perflour.formula.formula import Formula, Line, Step, build_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.figures import grams, percent
from perflour.kitchen.house import House, Kitchen, kitchen_for, kitchen_from
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount, Share
from perflour.kitchen.spelling import spelled
from perflour.plain import one_line, printable
from perflour.result import FileProblem
from perflour.system.files import cannot_be_read
from perflour.system.opening import read
from perflour.system.paths import FORMULA_FILE, HOUSE_FILE, INGREDIENTS_FILE

_SCALAR: Any = yaml.ScalarEvent
_COMMENT = re.compile("#[^\n\x85\u2028\u2029]*")
_SENTENCE_END = re.compile(r"(?<=[.!?])\s+")
#: Files of perflour that some sheets are made with and others are not: they are read or loaded when they are asked for.
SOMETIMES_READ = (
    "data/catalogue.jsonl",
    "data/units.json",
    "data/units.txt",
    "documents/validators/catalogue.py",
    "documents/validators/formula.py",
    "documents/validators/house.py",
    "kitchen/own_units.py",
)
# A step reads as a sentence in this order; `note` and what a later schema adds stand last.
_STEP_KEYS = ("makes", "into", "on", "with", "fill", "speed", "to", "at", "core", "for", "until")


def ratio_sheet_of_file(path: str, house: str | None) -> bytes:
    """The ratio sheet of a file; nothing where there is none, a line that says so where it cannot be read.

    Git passes a copy outside the tree, so ``house`` is the folder of the house file; None: looked for
    above the file, empty: no house.
    """
    try:
        content = read(path)
    except FileNotFoundError:
        return b""
    except (OSError, ValueError) as error:
        return f"perflour: {cannot_be_read(error)}\n".encode()
    return ratio_sheet_or_raw(content, path, house)


def ratio_sheet_and_sources(path: str, house: str) -> tuple[bytes, tuple[bytes, ...]]:
    """The ratio sheet of a file as git asks for it, and the contents of all files that it was made of.

    No contents where the sheet may come out otherwise next time: a file that cannot be read, a house
    above the folder that was named, a fault of our own.
    """
    try:
        content = read(path)
        beside = _kitchen_files(house)
    except (OSError, ValueError):
        return ratio_sheet_of_file(path, house), ()
    sources: tuple[bytes, ...] = (content, *beside)
    try:
        kitchen = _kitchen_of(house, *beside) if beside else Kitchen(House(), built_in())
        text = git_sheet(content, kitchen)
    except Exception as problem:
        text = content.decode("utf-8", "backslashreplace")
        sources = sources if isinstance(problem, FileProblem | ValueError) else ()
    return printable(text).encode(), sources


def _kitchen_files(house: str) -> tuple[bytes, ...]:
    """The house file of a folder, and its ingredients where it has some. Raises OSError, ValueError."""
    if not house:
        return ()
    names = (HOUSE_FILE, INGREDIENTS_FILE)
    paths = [os.path.join(house, name) for name in names]
    return tuple(map(read, paths if os.access(paths[1], os.F_OK) else paths[:1]))


def _kitchen_of(folder: str, house: bytes, ingredients: bytes | None = None) -> Kitchen:
    return kitchen_from(os.path.abspath(folder), house, ingredients)


def ratio_sheet_or_raw(content: bytes, path: str, house: str | None) -> bytes:
    """The ratio sheet of a file's bytes; where there is none its text, as a terminal may have it.

    A helper that fails ends the whole diff, so nothing that goes wrong here may get out.
    """
    try:
        text = git_sheet(content, _kitchen(path, house))
    except Exception:
        text = content.decode("utf-8", "backslashreplace")
    return printable(text).encode()


def _kitchen(path: str, house: str | None) -> Kitchen:
    if house == "":
        return Kitchen(House(), built_in())
    return kitchen_for(path if house is None else os.path.join(house, FORMULA_FILE))


def git_sheet(content: bytes, kitchen: Kitchen) -> str:
    """The ratio sheet. Raises FileProblem or ValueError for what is no valid formula."""
    document = read_document(content, "formula")
    if not is_valid(document.data, "formula"):
        raise ValueError("not as the schema says")
    formula = _by_name(build_formula(document, kitchen.catalogue.said.customs))
    weighed = balance(formula, kitchen.catalogue)
    if len(weighed.parts) != len(formula.parts):
        raise ValueError("two parts of one name, and only one of them would be shown")
    resolution_g = kitchen.house.scale_resolution_g
    comments = _comments(content.removeprefix(BOM_UTF8).decode())
    blocks = (
        _header(formula, weighed),
        _percent_lines(weighed),
        _total_lines(weighed),
        _mass_lines(weighed, resolution_g),
        map(_step_line, formula.method),
        _end(document.data, formula),
        (f"comment: {_plain(comment)}" for comment in comments),
    )
    texts = ("".join(f"{one_line(line)}\n" for line in block) for block in blocks)
    return "\n".join(filter(None, texts))


def _plain(text: str) -> str:
    """Text on one line."""
    return " ".join(one_line(text).split())


def _header(formula: Formula, weighed: Balance) -> Iterator[str]:
    yield f"formula: {formula.id}"
    yield f"title: {_plain(formula.title)}"
    yield f"class: {_plain(formula.product_class)}"
    yield f"100 %: {_plain(', '.join(sorted(formula.basis, key=fold))) or 'flour'}"
    for balanced in weighed.parts:
        part, of = balanced.part, _plain(weighed.of_part(balanced))
        yield f"part: {_plain(part.name)}{f' ({part.kind})' if part.kind else ''}, in percent of {of}"


def _by_name(formula: Formula) -> Formula:
    """The lines of every part by name, before anything is summed: sums round by their order too."""

    def place(line: Line) -> tuple[str, str, str, str]:
        return fold(line.name), _said(line), line.state, line.note

    parts = (part._replace(lines=tuple(sorted(part.lines, key=place))) for part in formula.parts)
    return formula._replace(parts=tuple(parts))


def _basis_first(part: PartBalance) -> list[Weighed]:
    return sorted(part.lines, key=lambda weighed: not weighed.in_basis)


def _subject(part: PartBalance, weighed: Weighed) -> str:
    kind = " (a part)" if weighed.line.is_part else ""
    return f"{_plain(part.part.name)}: {_plain(weighed.line.name)}{kind}"


def _percent_lines(weighed: Balance) -> Iterator[str]:
    for part in weighed.parts:
        for line in _basis_first(part):
            fine = is_fine(line.ingredient)
            value = "?" if line.percent is None else percent(line.percent, fine)
            yield f"{value:>9} %  {_subject(part, line)}"


def _total_lines(weighed: Balance) -> Iterator[str]:
    for name, ratio in ratios(weighed).items():
        if ratio.percent > 0:
            lacking = f", not counted: {', '.join(map(_plain, sorted(ratio.lacking)))}"
            value = percent(ratio.percent, name in FINE_RATIOS)
            yield f"{value:>9} %  {_plain(weighed.base_name)} in all: {name}{lacking if ratio.lacking else ''}"


def _mass_lines(weighed: Balance, resolution_g: float) -> Iterator[str]:
    for part in weighed.parts:
        for line in _basis_first(part):
            exact_g = _grams_as_written(line)
            written = "" if exact_g else _said(line.line)
            words = " ".join(filter(None, (written, _plain(line.line.state))))
            words = "; ".join(filter(None, (words, _plain(line.line.note))))
            shown = exact_g or (grams(line.grams, resolution_g) if line.mass else "?")
            yield f"{shown:>9} g  {_subject(part, line)}{f', {words}' if words else ''}"
    if weighed.batch_g:
        yield f"{grams(weighed.batch_g, resolution_g):>9} g  batch"
    if each_g := weighed.mass_per_piece_g:
        yield f"{grams(each_g, resolution_g):>9} g  each piece"


def _grams_as_written(weighed: Weighed) -> str:
    """The figure of an amount that is a plain mass in g, not rounded; empty for any other."""
    value = weighed.line.amount.value
    if not isinstance(value, Amount) or len(value.terms) > 1:
        return ""
    (term,) = value.terms
    is_plain = term.unit.name == "g" and not term.is_range
    return f"{float(term.low):,.6f}".rstrip("0").rstrip(".") if is_plain else ""


def _said(line: Line) -> str:
    """An amount as written, in our unit names."""
    value = line.amount.value
    if isinstance(value, Share):
        return str(value.fraction) if value.fraction != 1 else "all"
    return spelled(value) if isinstance(value, Amount) else _plain(line.amount.text)


def _step_line(step: Step) -> str:
    uses = ", ".join(_plain(use.said) for use in step.uses)
    said = dict(step.said)
    keys = (*(key for key in _STEP_KEYS if key in said), *sorted(said.keys() - set(_STEP_KEYS)))
    rest = ", ".join(f"{key} {_plain(said[key])}" for key in keys)
    return f"step: {_plain(step.do)} {uses}".rstrip() + (f"; {rest}" if rest else "")


def _end(data: dict[str, Any], formula: Formula) -> Iterator[str]:
    """Yield, status and whatever else the file says."""
    if yields := formula.yields:
        each = yields.scaling_weight
        weight = f", scaling weight {_plain(each.text)}" if each else ""
        yield f"yield: {yields.pieces} x {_plain(yields.piece)}{weight}"
    yield f"status: {formula.status}"
    yield f"origin: {', '.join(filter(None, (formula.origin, _plain(formula.citation))))}"
    if "allergens" in data:
        yield f"allergens: {_plain(', '.join(sorted(formula.allergens))) or 'none declared'}"
    yield from _sentences("notes", formula.notes)
    for part in data["parts"]:
        yield from _sentences(f"notes: {_plain(part['part'])}", part.get("notes", ""))
    for waiver in formula.waivers:
        about = f" for {_plain(waiver.item)}" if waiver.item else ""
        yield f"waiver: {waiver.rule}{about}: {_plain(waiver.because)}"
    for correction in formula.corrections:
        of = f"{_plain(correction.item)}: " if correction.item else ""
        yield f"correction: {of}{_plain(correction.because)}"


def _sentences(of: str, text: str) -> Iterator[str]:
    """A sentence a line, so that a diff shows the one that was changed."""
    return (f"{of}: {sentence}" for sentence in _SENTENCE_END.split(_plain(text)) if sentence)


def _comments(text: str) -> Iterator[str]:
    """Every comment of a YAML text: they stand between scalars, and beside what opens a block.

    `commented.comments_of` says the same, but loads dataclasses, and git asks once a file: docs/performance.md.
    """
    at = 0
    events: Iterator[Any] = iter(yaml.parse(text, Loader=yaml.CSafeLoader))
    for event in events:
        if event.__class__ is _SCALAR:
            start, end = event.start_mark.index, event.end_mark.index
            yield from _COMMENT.findall(text, at, start)
            if event.style in ("|", ">"):
                head_end = text.find("\n", start, end)
                yield from _COMMENT.findall(text, start, end if head_end < 0 else head_end)
            at = end
    yield from _COMMENT.findall(text, at)
