"""The one table of a judged session: every sample by name, with its mean, interval and letters."""

from __future__ import annotations

from perflour.plain import one_line
from perflour.records.bake import SCALE
from perflour.records.tasting import Sample, Session
from perflour.report.trials.figures import interval_text
from perflour.trials.judged import SessionJudgement, Summary, SummaryRow


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
        return headers, rows, "<>>>>><"
    headers = ("attribute", "sample", "code", "tasters", "mean", "interval", "group")
    rows = [
        [_once(summary, row), names[row.sample], _code(row), str(summary.tasters), *_figures(one, row)]
        for summary in one.summaries
        for row in summary.rows
    ]  # fmt: skip
    return headers, rows, "<<>>>><"


def _code(row: SummaryRow) -> str:
    return row.sample.codes[0]


def _once(summary: Summary, row: SummaryRow) -> str:
    return one_line(summary.attribute) if row is summary.rows[0] else ""


def _figures(one: SessionJudgement, row: SummaryRow) -> tuple[str, str, str]:
    ends = (1.0, float(len(one.session.samples))) if one.ranking else SCALE
    return f"{row.mean:.1f}", interval_text(row.low, row.high, ends), row.group
