"""What `lint --fix` mends: whatever has one right answer and leaves balance and digest as they are.

The house format is that (order of lines, the missing scale, spelling), and a waiver that covers
nothing. One exception changes a digest: a range that stands upside down has no reading at all, so
putting its smaller number first takes nothing away; both numbers stay, and what was mended is said.

The rest is left to the baker. Which of two disagreeing figures is right (yield and batch, two scales,
a percentage in a text), what is missing (a size, a time, a step, a citation), what a word was meant to
be (unit, ingredient, class, rule) and what a label says (allergens) cannot be known from the file. An
id and its folder can be made equal in two ways, and the folder ties bakes and history together.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.documents.layout import as_scalar, write_commented
from perflour.documents.line_endings import bytes_of, text_of
from perflour.documents.nodes import Collection, Entry, Scalar, changed, each, read_commented
from perflour.formula.formula import TEMPERATURES
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.kitchen.numbers import right_way_up
from perflour.kitchen.quantity import (
    AmountProblem,
    parse_amount,
    parse_duration,
    parse_share,
    parse_temperature,
)
from perflour.lint.ask.method import unread
from perflour.lint.check import check_balance
from perflour.lint.rules.mendable import MENDABLE
from perflour.lint.rules.units import range_upside_down
from perflour.result import CannotRun, FileProblem, Result, request_field
from perflour.system.file_kinds import kind_of
from perflour.system.files import STDIN, named_paths, read_input
from perflour.system.parallel import spread_out
from perflour.tidy.house_format import Formatted, format_formula, write_formatted

WAIVER_RULE = "waiver-not-needed"
# A mended range may lack a scale, and with the last error mended a waiver may prove needless.
MOST_ROUNDS = 5


@dataclass(frozen=True)
class Mended:
    """A file that can be mended, and the results that are gone then; none where only its form was."""

    file: Formatted
    results: tuple[Result, ...]


def mend_files(names: Sequence[str], jobs: int = 0) -> tuple[list[Mended], list[str]]:
    """Mend the formula files that names stand for and write them.

    Returns what was mended, and the paths of files that somebody changed meanwhile: these are left
    alone. Raises CannotRun for `-` and for what cannot be read or written.
    """
    if STDIN in names:
        raise CannotRun(
            f"{request_field('fix')} writes files, so it cannot be used with `-`; name the file to mend"
        )
    paths = [path for path in named_paths(names, variants=True) if kind_of(path) == "formula"]
    found = [mended for mended in spread_out(mend_path, paths, jobs) if mended]
    overtaken = write_formatted(mended.file for mended in found)
    return [mended for mended in found if mended.file.shown not in overtaken], overtaken


def mend_path(path: str) -> Mended | None:
    """A formula file mended, not written; None where there is nothing to mend, or no reading it."""
    source, kitchen = read_input(path), kitchen_for(path)
    after = mend_formula(source.content, source.shown, kitchen)
    if after == source.content:
        return None
    gone = _mendable(source.content, source.shown, kitchen)
    left = Counter((r.rule, r.message) for r in _mendable(after, source.shown, kitchen))
    results = []
    for result in gone:
        key = (result.rule, result.message)
        left[key] -= 1
        if left[key] < 0:
            results.append(result)
    return Mended(Formatted(path, source.shown, source.content, after), tuple(results))


def mend_formula(content: bytes, path: str, kitchen: Kitchen) -> bytes:
    """The file mended; as it is where it or the house's own files cannot be read."""
    for _ in range(MOST_ROUNDS):
        weighed = weigh_or_tell(content, path, kitchen)
        if kitchen.results or not isinstance(weighed, Balance):
            return content
        try:
            mended = format_formula(_edited(content, path, weighed, kitchen), path, kitchen)
        except FileProblem:  # a file the house format leaves alone
            return content
        if mended == content:
            break
        content = mended
    return content


def _mendable(content: bytes, path: str, kitchen: Kitchen) -> list[Result]:
    weighed = weigh_or_tell(content, path, kitchen)
    results = check_balance(weighed, path, kitchen) if isinstance(weighed, Balance) else ()
    return [result for result in results if result.rule in MENDABLE]


def _edited(content: bytes, path: str, weighed: Balance, kitchen: Kitchen) -> bytes:
    """The file with its ranges the right way up; without any of these, needless waivers removed."""
    results = check_balance(weighed, path, kitchen)
    page = read_commented(text_of(content))
    if any(result.rule == range_upside_down.RULE.id for result in results):
        root = _turned(page.root)
    elif needless := _needless_waivers(weighed, results):
        root = _without_waivers(page.root, needless)
    else:
        return content
    return bytes_of(write_commented(page._replace(root=root)), like=content)


def _needless_waivers(weighed: Balance, results: Sequence[Result]) -> set[int]:
    """The numbers of waivers that cover nothing.

    None while something cannot be read, is unknown or has no mass: a rule may be silent only for that.
    """
    if not is_clear(weighed):
        return set()
    needless = {result.place for result in results if result.rule == WAIVER_RULE}
    waivers = weighed.formula.waivers
    return {number for number, waiver in enumerate(waivers) if waiver.place in needless}


def is_clear(weighed: Balance) -> bool:
    """Whether all of a formula is read, known and weighed, so that no rule is silent for want of that."""
    unknown = any(line.ingredient is None for line in weighed.ingredient_lines)
    return not (unread(weighed.formula) or unknown or weighed.unweighed or weighed.loops)


def _without_waivers(root: Collection, needless: set[int]) -> Collection:
    """The file without some waivers; the comment beside one goes with it, those above it stay."""
    entry = next(entry for entry in root.entries if entry.key == "waivers")
    assert isinstance(entry.node, Collection)
    kept = _without(entry.node, needless)
    if kept.entries:
        return changed(root, {"waivers": lambda _: kept})
    at = root.entries.index(entry)
    beside = (entry.beside.strip(),) if entry.beside else ()
    comments = entry._replace(above=(*entry.above, *beside, *kept.below))
    entries = (*root.entries[:at], comments, *root.entries[at + 1 :])
    return _without(root._replace(entries=entries), {at})


def _without(node: Collection, numbers: set[int]) -> Collection:
    """A collection without some entries; what stood above them stands above the next one."""
    entries: list[Entry] = []
    above: tuple[str, ...] = ()
    for number, entry in enumerate(node.entries):
        above = (*above, *entry.above)
        if number not in numbers:
            entries.append(entry._replace(above=above))
            above = ()
    return node._replace(entries=tuple(entries), below=(*above, *node.below))


def _turned(root: Collection) -> Collection:
    """The file with the smaller number first in every range of an amount, time or temperature."""
    amount = _turn(parse_amount)

    def line(_: int, node: Collection) -> Collection:
        is_part = any(entry.key == "part" for entry in node.entries)
        return changed(node, {"amount": _turn(parse_share) if is_part else amount})

    def part(_: int, node: Collection) -> Collection:
        return changed(node, {"ingredients": lambda lines: each(lines, line)})

    def step(_: int, node: Collection) -> Collection:
        temperature = _turn(parse_temperature)
        temperatures = dict.fromkeys(TEMPERATURES, temperature)
        return changed(node, {**temperatures, "for": _turn(parse_duration)})

    return changed(
        root,
        {
            "yield": lambda node: changed(node, {"scaling-weight": amount}),
            "parts": lambda parts: each(parts, part),
            "method": lambda steps: each(steps, step),
        },
    )


def _turn(parse: Callable[[str], object]) -> Callable[[Scalar], Scalar]:
    def change(scalar: Scalar) -> Scalar:
        try:
            parse(scalar.value)
        except AmountProblem as problem:
            if problem.kind == "upside-down":
                return as_scalar(right_way_up(scalar.value))
        return scalar

    return change
