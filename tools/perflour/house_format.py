"""The house format: key order and the spelling of amounts and temperatures, comments kept."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from difflib import unified_diff
from fractions import Fraction
from pathlib import Path
from typing import Any

from perflour.check import InvalidFormula, kind_of, read_formula
from perflour.files import STDIN, read_bytes, sources
from perflour.formula import Formula, digest
from perflour.house import kitchen_for
from perflour.quantity import (
    AmountProblem,
    Term,
    as_other_scale,
    parse_amount,
    parse_temperature,
)
from perflour.result import CannotRun, FileProblem, Place, Result
from perflour.schema import schema
from perflour.writing import write_file

_DEGREES = re.compile(r"(?<=[0-9])\s*(?:°\s*|deg(?:rees)?\s*)?([CF])\b")
KITCHEN_DENOMINATORS = frozenset((2, 3, 4, 6, 8, 16))
DECIMAL_UNITS = frozenset(("mg", "g", "kg", "ml", "cl", "dl", "l"))


@dataclass(frozen=True)
class Formatted:
    """A file that is not in the house format yet, and how it would read."""

    path: str
    shown: str
    before: bytes
    after: bytes

    def diff(self) -> str:
        """The change as a unified diff."""
        before, after = (
            text.decode("utf-8", "replace").splitlines(keepends=True)
            for text in (self.before, self.after)
        )
        return "".join(unified_diff(before, after, self.shown, f"{self.shown} (house format)"))


def format_files(names: Sequence[str]) -> tuple[list[Formatted], list[Result]]:
    """The formula files that names stand for and that would change; what cannot be formatted.

    Nothing is written. Raises CannotRun for `-`.
    """
    if STDIN in names:
        raise CannotRun("standard input cannot be written back; name the file to format")
    changed: list[Formatted] = []
    problems: list[Result] = []
    for source in sources(names):
        if kind_of(source.path) != "formula":
            continue
        try:
            wanted = kitchen_for(source.path).house.temperatures
            after = format_formula(source.content, source.shown, wanted)
        except FileProblem as problem:
            problems.append(problem.result())
            continue
        except InvalidFormula as invalid:
            problems += invalid.results
            continue
        if after != source.content:
            changed.append(Formatted(source.path, source.shown, source.content, after))
    return changed, problems


def write_formatted(changed: Iterable[Formatted]) -> None:
    """Write files in the house format, unless somebody changed one since it was read."""
    for file in changed:
        if read_bytes(file.path) == file.before:
            write_file(Path(file.path), file.after)


def format_formula(content: bytes, path: str, temperatures: str = "any") -> bytes:
    """The same formula in the house format. Raises FileProblem or InvalidFormula.

    ``temperatures`` is what the house wants: with ``both``, a missing scale is worked out.

    Keys stand in the order of the schema, amounts in our unit names with plain fractions,
    temperatures as ``175 °C``. Comments stay with what they follow.
    """
    before = read_formula(content, path)
    formatted = dump_yaml(_formatted(load_yaml(content), temperatures))
    after = read_formula(formatted, path)
    if not _same(before, after):
        raise FileProblem(
            "not-as-schema",
            Place(path),
            "formatting would change the formula, so it was left as it is; please report this file",
        )
    return formatted


def _same(before: Formula, after: Formula) -> bool:
    header = (
        "id",
        "title",
        "product_class",
        "status",
        "origin",
        "citation",
        "notes",
        "allergens",
        "basis",
    )
    same_header = all(getattr(before, key) == getattr(after, key) for key in header)
    waivers = [[(w.rule, w.item, w.because) for w in f.waivers] for f in (before, after)]
    notes = [[line.note for part in f.parts for line in part.lines] for f in (before, after)]
    return (
        same_header
        and waivers[0] == waivers[1]
        and notes[0] == notes[1]
        and _digest(before) == _digest(after)
    )


def _digest(formula: Formula) -> str:
    return digest(formula)


def _yaml() -> Any:
    from ruamel.yaml import YAML  # 25 ms and slow: only to write
    from ruamel.yaml.constructor import RoundTripConstructor

    class TextConstructor(RoundTripConstructor):
        """Reads dates as the text they are, as our own reader does."""

    TextConstructor.add_constructor(
        "tag:yaml.org,2002:timestamp", lambda constructor, node: constructor.construct_scalar(node)
    )
    yaml = YAML()
    yaml.Constructor = TextConstructor
    yaml.version = (1, 2)
    yaml.preserve_quotes = True
    yaml.width = 4096
    yaml.indent(mapping=2, sequence=4, offset=2)
    return yaml


def load_yaml(content: bytes) -> Any:
    """The data of a file with its comments, to be changed and written again."""
    return _yaml().load(content.decode("utf-8-sig"))


def dump_yaml(data: Any) -> bytes:
    """The file's bytes for data from ``load_yaml``."""
    stream = io.StringIO()
    yaml = _yaml()
    yaml.version = None  # no %YAML line in the file
    yaml.dump(data, stream)
    return stream.getvalue().encode()


def _formatted(data: Any, temperatures: str) -> Any:
    shape = schema("formula")
    _order(data, list(shape["properties"]))
    for part in data["parts"]:
        _order(part, list(shape["$defs"]["part"]["properties"]))
        for line in part["ingredients"]:
            _order(line, list(shape["$defs"]["line"]["properties"]))
            if "item" in line:
                _spell(line, "amount", spell_amount)
    for step in data["method"]:
        for key in ("to", "at", "core"):
            _spell(step, key, lambda text: spell_temperature(text, temperatures))
    if "scaling-weight" in data.get("yield", {}):
        _spell(data["yield"], "scaling-weight", spell_amount)
    return data


def _order(mapping: Any, keys: list[str]) -> None:
    """Put the keys of a mapping in the given order; nothing moves when they already are."""
    wanted = sorted(mapping, key=keys.index)
    if list(mapping) != wanted:
        for key in wanted:
            mapping.move_to_end(key)


def _spell(mapping: Any, key: str, spelled: Callable[[str], str]) -> None:
    text = mapping.get(key)
    if text is not None and (new := spelled(str(text))) != text:
        mapping[key] = new


def spell_amount(text: str) -> str:
    """An amount with our unit names and plain numbers; unreadable text as it is."""
    try:
        amount = parse_amount(text)
    except AmountProblem:
        return text
    spelled = " plus ".join(_spelled(term) for term in amount.terms)
    for word, term in (("", amount.content), (" drained", amount.drained)):
        spelled += f"{word} {_spelled(term)}" if term else ""
    return spelled


def _spelled(term: Term) -> str:
    numbers = dict.fromkeys(_number(value, term.unit.name) for value in (term.low, term.high))
    return f"{'-'.join(numbers)} {term.unit.name}"


def _number(value: Fraction, unit: str) -> str:
    """Kitchen fractions for spoons, cups, counts and ounces; decimals for metric and the rest."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    if rest.denominator in KITCHEN_DENOMINATORS and unit not in DECIMAL_UNITS:
        return f"{whole} {rest}" if whole else str(rest)
    if 10**6 % value.denominator:
        return f"{whole} {rest}" if whole else str(rest)
    return f"{float(value):.6f}".rstrip("0")


def spell_temperature(text: str, temperatures: str = "any") -> str:
    """A temperature as ``175 °C``; where the house wants both scales, as ``175 °C (345 °F)``."""
    spelled = " ".join(_DEGREES.sub(r" °\1", text).split())
    if temperatures != "both":
        return spelled
    try:
        temperature = parse_temperature(spelled)
    except AmountProblem:
        return spelled
    return spelled if len(temperature.scales) == 2 else f"{spelled} ({as_other_scale(temperature)})"
