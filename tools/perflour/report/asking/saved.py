"""What a save did, for the terminal that stands beside the editor."""

from __future__ import annotations

import os
from collections.abc import Iterator

from perflour.asking.saved import Bench, FormulaSaved, Save
from perflour.balance.bakers_table import BakersTable, bakers_table
from perflour.diff.difference import Difference
from perflour.kitchen.figures import counted, grams, percent
from perflour.plain import one_line
from perflour.report.bakers_table import percent_shown
from perflour.report.diff.text import change_text, worth_saying
from perflour.report.form.columns import columns
from perflour.result import LEVELS, Result
from perflour.system.paths import is_set_aside

#: So many results are told of a house that was saved, and formulas that it moved.
MOST_TOLD = 20
#: Ratios of a formula whose class has no windows.
USUAL = ("hydration", "sugar", "fat", "egg", "salt")


def watching_text(known: Bench) -> str:
    """What is watched, and what lint finds at the start."""
    results = dict.fromkeys(r for found in known.results.values() for r in found)
    files = counted(len(known.watch.paths), "file")
    said = _counts(tuple(results)) or "nothing found"
    formulas = [path for path in known.formulas if not is_set_aside(os.path.dirname(path).replace(os.sep, "/"))]  # fmt: skip
    return f"watching {counted(len(formulas), 'formula')}, {files}: {said}. Ctrl-C ends.\n"


def saved_text(save: Save, time: str) -> str:
    """Time and files, what lint finds, then each formula."""
    lines = [f"{time}  {shown}: {what}" for shown, what in save.files]
    lines += [f"  {line}" for line in _lint(save)]
    told = save.formulas[:MOST_TOLD]
    for formula in told:
        lines += ["", *(f"  {line}".rstrip() for line in _formula(formula, save.of_kitchen))]
    if (more := len(save.formulas) - len(told)) > 0:
        lines.append(f"  {counted(more, 'more formula')} weighed otherwise now")
    if save.of_kitchen and not save.formulas:
        lines.append("  no formula weighs otherwise now")
    return "\n".join(map(one_line, lines)) + "\n\n"


def _lint(save: Save) -> Iterator[str]:
    """The results of the files concerned; of a whole kitchen what is new."""
    shown = [r for r in save.results if r in save.new] if save.of_kitchen else list(save.results)
    for result in shown[:MOST_TOLD]:
        yield f"{'new: ' if result in save.new else ''}{_line(result)}"
    if (more := len(shown) - MOST_TOLD) > 0:
        yield f"{counted(more, 'more result')}: perflour lint"
    for result in save.gone[:MOST_TOLD]:
        yield f"gone: {_line(result)}"
    said = _counts(save.results) or "nothing found"
    if save.checked:
        yield f"lint, {counted(save.checked, 'file')} concerned: {said}"


def _line(result: Result) -> str:
    return f"{result.place}: {result.level}: {result.message} [{result.rule}]"


def _counts(results: tuple[Result, ...]) -> str:
    """`1 error, 2 warnings`; empty without any."""
    numbers = ((level, sum(r.level == level for r in results)) for level in LEVELS)
    return ", ".join(counted(number, level) for level, number in numbers if number)


def _formula(formula: FormulaSaved, in_short: bool) -> Iterator[str]:
    if formula.balance is None:
        yield f"{formula.shown} cannot be weighed as it is"
        return
    if in_short:
        yield f"{formula.balance.formula.id}:"
    else:
        yield from _table(formula)
        yield ""
    save, commit = _changes(formula.since_save), _changes(formula.since_commit)
    yield from _against("the state before this save", save, "nothing to hold it against: it is new here, or could not be read")  # fmt: skip
    if commit is not None and commit == save:
        yield "against the last commit: the same"
    elif not in_short:
        yield from _against("the last commit", commit, formula.why_not)


def _changes(difference: Difference | None) -> list[str] | None:
    if difference is None:
        return None
    return [change_text(change) for change in worth_saying(difference.changes)]


def _against(what: str, changes: list[str] | None, why_not: str) -> Iterator[str]:
    if changes is None:
        yield f"against {what}: {why_not}"
    elif not changes:
        yield f"against {what}: nothing moved"
    else:
        yield f"against {what}:"
        yield from (f"  {change}" for change in changes)


def _table(formula: FormulaSaved) -> Iterator[str]:
    """The base in g and percent, then its size and the ratios that its class is judged by."""
    assert formula.balance is not None
    table = bakers_table(formula.balance)
    rows = [
        (line.item, grams(line.mass_g), percent_shown(line.percent, line.fine))
        for line in table.total
    ]
    yield f"{table.formula.title} ({table.formula.id}, {table.formula.status})"
    yield from columns((table.base, "g", f"% of {table.of}"), rows, "<>>")
    for one in table.beside:
        yield f"{one.part} beside it: {grams(one.mass_g)} g"
    yields = table.formula.yields
    each = table.mass_per_piece_g
    pieces = f", {yields.pieces} x {yields.piece} of {grams(each)} g" if yields and each else ""
    lacks = f"; not weighed: {', '.join(table.unweighed)}" if table.unweighed else ""
    yield f"batch {grams(table.batch_g)} g{pieces}{lacks}"
    if ratios := ", ".join(_ratios(formula, table)):
        yield f"in percent of {table.of}: {ratios}"


def _ratios(formula: FormulaSaved, table: BakersTable) -> Iterator[str]:
    known = formula.kitchen.house.classes.get(table.formula.product_class)
    names = known.windows if known and known.windows else USUAL
    for ratio in table.ratios:
        if ratio.name in names and (ratio.percent or ratio.lacking):
            more = "+" if ratio.lacking else ""
            yield f"{ratio.name} {percent(ratio.percent, ratio.fine)}{more}"
