"""The one table of a judged session: every sample by name, with its mean, interval and letters."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.plain import one_line
from perflour.records.bake import SCALE
from perflour.records.tasting import Sample, Session
from perflour.report.trials.figures import interval_text
from perflour.trials.judged import SessionJudgement, Summary, SummaryRow

#: The table is no wider: a terminal of a hundred columns.
WIDEST = 100
#: Signs between two columns.
_GAP = 2
_SHORTEST_NAME = 16


def sample_names(session: Session) -> dict[Sample, str]:
    """What each sample was: its formula, with the revision where two are of one formula."""
    formulas = [sample.formula for sample in session.samples]
    return {
        sample: f"{sample.formula} {sample.of}"
        if formulas.count(sample.formula) > 1
        else sample.formula
        for sample in session.samples
    }


def summary_table(one: SessionJudgement) -> tuple[tuple[str, ...], list[list[str]], str]:
    """Headers, rows and how each column is set; a row for each attribute and sample, best first."""
    names = sample_names(one.session)
    if one.ranking:
        sums = dict(one.ranking.sums)
        headers = ("sample", "code", "tasters", "rank sum", "mean rank", "interval", "group")
        rows = [
            [names[row.sample], _code(row), str(summary.tasters), f"{sums[row.sample]:g}", *_figures(one, row)]
            for summary in one.summaries
            for row in summary.rows
        ]  # fmt: skip
        return headers, _narrow(headers, rows, 0), "<>>>>><"
    headers = ("attribute", "sample", "code", "tasters", "mean", "interval", "group")
    rows = [
        [_once(summary, row), names[row.sample], _code(row), str(summary.tasters), *_figures(one, row)]
        for summary in one.summaries
        for row in summary.rows
    ]  # fmt: skip
    return headers, _narrow(headers, rows, 1), "<<>>>><"


def _code(row: SummaryRow) -> str:
    return row.sample.codes[0]


def _once(summary: Summary, row: SummaryRow) -> str:
    return one_line(summary.attribute) if row is summary.rows[0] else ""


def _figures(one: SessionJudgement, row: SummaryRow) -> tuple[str, str, str]:
    ends = (1.0, float(len(one.session.samples))) if one.ranking else SCALE
    return f"{row.mean:.1f}", interval_text(row.low, row.high, ends), row.group


def _narrow(headers: Sequence[str], rows: list[list[str]], at: int) -> list[list[str]]:
    """The rows with names cut, and shown to be, where the table would be too wide; codes still tell them apart."""
    columns = list(zip(headers, *rows, strict=True))
    others = sum(max(map(len, column)) + _GAP for n, column in enumerate(columns) if n != at)
    room = max(WIDEST - others, _SHORTEST_NAME)
    return [[_cut(cell, room) if n == at else cell for n, cell in enumerate(row)] for row in rows]


def _cut(name: str, room: int) -> str:
    """A name shortened before its revision, which is what tells two of one formula apart."""
    if len(name) <= room:
        return name
    formula, _, of = name.partition(" ")
    tail = f"… {of}" if of else "…"
    return formula[: max(room - len(tail), 1)] + tail
