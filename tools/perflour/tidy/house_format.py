"""The house format: order of keys and lines, form of lines, spelling of amounts and temperatures."""

import json
import re
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any, NamedTuple

from perflour.balance.balance import Balance, balance
from perflour.documents.comments import comments_of
from perflour.documents.layout import as_scalar, write_commented
from perflour.documents.line_endings import bytes_of, text_of
from perflour.documents.nodes import (
    Collection,
    CommentedFile,
    Scalar,
    changed,
    each,
    read_commented,
    with_entries,
)
from perflour.documents.reader import Document
from perflour.documents.schema import schema
from perflour.formula.digests import digest
from perflour.formula.file import InvalidFormula, document_of
from perflour.formula.formula import TEMPERATURES, Formula, build_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen, kitchen_for
from perflour.kitchen.numbers import reads_two_ways
from perflour.kitchen.quantity import (
    AmountProblem,
    as_other_scale,
    parse_temperature,
    plainly_spelled,
)
from perflour.kitchen.spelling import spelled
from perflour.lint.judging import context_of, told_by
from perflour.lint.rules.house import listed_out_of_order, temperature_in_one_scale
from perflour.plain import visible
from perflour.result import CannotRun, FileProblem, Place, Result
from perflour.system.file_kinds import kind_of
from perflour.system.files import STDIN, input_files, read_bytes
from perflour.system.paths import display_path
from perflour.tidy.order_of_use import orders_of_use

if TYPE_CHECKING:
    from pathlib import Path

_DEGREES = re.compile(r"(?<=[0-9])\s*(?:°\s*|deg(?:rees)?\s*)?([CF])\b")


class Formatted(NamedTuple):
    """A file that is not in the house format yet, and how it would read."""

    path: str
    shown: str
    before: bytes
    after: bytes

    def diff(self) -> str:
        """The change as a unified diff."""
        from difflib import unified_diff  # slow to load, as pathlib below: docs/performance.md

        before, after = (
            text.decode("utf-8", "replace").splitlines(keepends=True)
            for text in (self.before, self.after)
        )
        shown = visible(self.shown)
        return "".join(unified_diff(before, after, shown, f"{shown} (house format)"))


def format_files(names: Sequence[str]) -> tuple[list[Formatted], list[Result]]:
    """The formula files that names stand for and that would change; what cannot be formatted.

    Nothing is written. Raises CannotRun for `-`.
    """
    if STDIN in names:
        raise CannotRun("standard input cannot be written back; name the file to format")
    changed: list[Formatted] = []
    problems: list[Result] = []
    for source in input_files(names):
        if kind_of(source.path) != "formula":
            continue
        try:
            after = format_formula(source.content, source.shown, kitchen_for(source.path))
        except InvalidFormula as invalid:
            problems += invalid.results
            continue
        except FileProblem as problem:
            problems.append(problem.result())
            continue
        if after != source.content:
            changed.append(Formatted(source.path, source.shown, source.content, after))
    return changed, problems


def write_formatted(changed: Iterable[Formatted]) -> list[str]:
    """Write files; the paths of those that somebody changed since they were read, left alone.

    Raises CannotRun where a file cannot be written.
    """
    from pathlib import Path

    from perflour.system.writing import write_file

    overtaken: list[str] = []
    for file in changed:
        if read_bytes(file.path) != file.before:
            overtaken.append(file.shown)
            continue
        try:
            write_file(Path(file.path), file.after)
        except OSError as error:
            raise CannotRun(
                f"{file.shown}: cannot be written ({error.strerror}); check its rights and its folder's"
            ) from None
    return overtaken


def write_new_formula(path: "Path", content: bytes) -> str:
    """Write the file where none is yet; its path as people type it. Raises CannotRun."""
    from perflour.system.opening import make_folder
    from perflour.system.writing import write_new

    shown = display_path(str(path))
    try:
        make_folder(str(path.parent))
        write_new(path, content)
    except FileExistsError:
        raise CannotRun(f"{shown}: is there already; give the formula another title") from None
    except OSError as error:
        raise CannotRun(
            f"{shown}: cannot be written ({error.strerror}); check the folder and its rights"
        ) from None
    return shown


class InHouseFormat(NamedTuple):
    """A file in the house format, and the formula in it; ``weighed`` where that was weighed on the way."""

    content: bytes
    formula: Formula
    weighed: Balance | None = None


def format_formula(content: bytes, path: str, kitchen: Kitchen | None = None) -> bytes:
    """The same formula in the house format. Raises FileProblem or InvalidFormula."""
    return in_house_format(content, path, kitchen or Kitchen(House(), built_in())).content


def in_house_format(
    content: bytes, path: str, kitchen: Kitchen, made_from: CommentedFile | None = None
) -> InHouseFormat:
    """The same formula in the house format, built anew only where its text changed.

    ``made_from`` is what the content was written from, where that is known. Raises FileProblem or InvalidFormula.

    Keys stand in the order of the schema, amounts in our unit names with plain fractions,
    temperatures as ``175 °C`` and in every scale the house asks for, lines in the order of their use
    where lint would say they are not, in the form of `layout`. Comments stay with what they are of.
    """
    document = document_of(content, path)
    formula = build_formula(document, kitchen.catalogue.said.customs)
    weighed = balance(formula, kitchen.catalogue)
    return weighed_in_house_format(content, document, weighed, path, kitchen, made_from)


def weighed_in_house_format(
    content: bytes,
    document: Document,
    weighed: Balance,
    path: str,
    kitchen: Kitchen,
    made_from: CommentedFile | None = None,
) -> InHouseFormat:
    """The same of content that has been read and weighed already. Raises FileProblem."""
    formula, customs = weighed.formula, kitchen.catalogue.said.customs
    text = text_of(content)
    page = made_from or read_commented(text)
    root = _tidied(page.root, _asked(weighed, path, kitchen))
    if made_from and root is made_from.root:
        return InHouseFormat(content, formula, weighed)
    page = page._replace(root=root)
    formatted = write_commented(page)
    if formatted == text:
        return InHouseFormat(bytes_of(formatted, like=content), formula, weighed)
    after = document_of(formatted.encode(), path)
    formula_after = build_formula(after, customs)
    same_words = _told(document) == _told(after) and digest(formula) == digest(formula_after)
    comments = comments_of(text) if made_from else page.comments
    if not same_words or sorted(comments) != sorted(comments_of(formatted)):
        raise FileProblem(
            "not-as-schema",
            Place(path),
            "formatting would change the formula, so it was left as it is; please report this file",
        )
    return InHouseFormat(bytes_of(formatted, like=content), formula_after)


class _Asked(NamedTuple):
    """What lint asks of one file: new orders of lines by part; steps and keys that lack a scale."""

    orders: dict[int, tuple[int, ...]]
    scales: frozenset[tuple[int, str]]


def _asked(weighed: Balance, path: str, kitchen: Kitchen) -> _Asked:
    """Asked of the two rules themselves, so that waivers and the levels of the house hold here too."""
    context = context_of(weighed, path, kitchen)
    rules = listed_out_of_order.RULE, temperature_in_one_scale.RULE
    told = {(result.rule, result.place) for result in told_by(rules, context)}
    out_of_order = {place for rule, place in told if rule == listed_out_of_order.RULE.id}
    scales = frozenset(
        (number, key)
        for number, step in enumerate(weighed.formula.method)
        for key in TEMPERATURES
        if (reading := getattr(step, key))
        and (temperature_in_one_scale.RULE.id, reading.place) in told
    )
    return _Asked(orders_of_use(context, out_of_order), scales)


def _told(document: Document) -> str:
    """All that is in a file but what the digest of its formula stands for."""
    data: dict[str, Any] = document.data
    parts = [{**part, "ingredients": _told_lines(part["ingredients"])} for part in data["parts"]]
    method = [{**step, **dict.fromkeys(TEMPERATURES, "")} for step in data["method"]]
    yields = {"yield": {**data["yield"], "scaling-weight": ""}} if "yield" in data else {}
    return json.dumps({**data, **yields, "parts": parts, "method": method}, sort_keys=True)


def _told_lines(lines: Iterable[dict[str, str]]) -> list[str]:
    return sorted(json.dumps({**line, "amount": ""}, sort_keys=True) for line in lines)


def _tidied(root: Collection, asked: _Asked) -> Collection:
    def part(number: int, node: Collection) -> Collection:
        return _tidied_part(node, asked.orders.get(number, ()))

    def step(number: int, node: Collection) -> Collection:
        if not any(entry.key in TEMPERATURES for entry in node.entries):
            return _ordered(node, "step")
        spellings = {
            key: _respelled(partial(spell_temperature, both=(number, key) in asked.scales))
            for key in TEMPERATURES
        }
        return changed(_ordered(node, "step"), spellings)

    return changed(
        _by_keys(root, schema("formula")["properties"]),
        {
            "yield": lambda node: changed(_ordered(node, "yield"), {"scaling-weight": _amount}),
            "parts": lambda node: each(node, part),
            "method": lambda node: each(node, step),
            "waivers": lambda node: each(node, lambda _, waiver: _ordered(waiver, "waiver")),
            "corrections": lambda node: each(node, lambda _, one: _ordered(one, "correction")),
        },
    )


def _tidied_part(part: Collection, order: Sequence[int]) -> Collection:
    def line(_: int, node: Collection) -> Collection:
        is_item = any(entry.key == "item" for entry in node.entries)
        return changed(_ordered(node, "line"), {"amount": _amount} if is_item else {})

    def lines(node: Collection) -> Collection:
        return each(_in_order_of_use(node, order), line)

    return changed(_ordered(part, "part"), {"ingredients": lines})


def _in_order_of_use(lines: Collection, order: Sequence[int]) -> Collection:
    """Lines with their comments in a new order, if it is safe to part them.

    A blank line between lines sets groups apart, and a comment over the first line may be of the
    whole list: such a list is left alone.
    """
    entries = [lines.entries[number] for number in order]
    grouped = any("" in entry.above for entry in lines.entries)
    if not entries or grouped or (lines.entries[0].above and order[0] != 0):
        return lines
    return lines._replace(entries=tuple(entries))


def _ordered(mapping: Collection, definition: str) -> Collection:
    """A mapping with its keys in the order of a definition of the schema."""
    return _by_keys(mapping, schema("formula")["$defs"][definition]["properties"])


def _by_keys(mapping: Collection, keys: Iterable[str]) -> Collection:
    left = iter(keys)
    if all(entry.key in left for entry in mapping.entries):
        return mapping  # in order, as most are
    order = list(keys)
    entries = sorted(mapping.entries, key=lambda entry: order.index(entry.key))
    return with_entries(mapping, tuple(entries))


def _respelled(spell: Callable[[str], str]) -> Callable[[Scalar], Scalar]:
    def change(scalar: Scalar) -> Scalar:
        new = spell(scalar.value)
        return scalar if new == scalar.value else as_scalar(new)

    return change


def _amount(scalar: Scalar) -> Scalar:
    return _respelled(spell_amount)(scalar)


# Owner: the process; texts alone. Bound: 1,024. Pays: formulas hold the same few hundred amounts, and none is read fast.
@lru_cache(maxsize=1024)
def spell_amount(text: str) -> str:
    """An amount with our unit names and plain numbers; as it is where it cannot be read or says more."""
    amount = plainly_spelled(text)
    said = spelled(amount) if amount else text
    return text if reads_two_ways(said) else said


def spell_temperature(text: str, both: bool = False) -> str:
    """A temperature as ``175 °C``, with ``both`` scales as ``175 °C (345 °F)``; unreadable text as it is."""
    written = " ".join(_DEGREES.sub(r" °\1", text).split())
    try:
        temperature = parse_temperature(written)
    except AmountProblem:
        return text
    if not both or len(temperature.scales) == 2:
        return written
    return f"{written} ({as_other_scale(temperature)})"
