"""What tasters' scores and choices show, as text, Markdown and JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.plain import markdown, one_line
from perflour.records.bake import SCALE
from perflour.report.form.columns import columns, prose_width, wrap
from perflour.report.form.markdown import markdown_table
from perflour.report.trials.figures import interval_text, p_text, trust
from perflour.report.trials.pairs import GAPS, GAPS_ALIGN, alike_words, gap_rows
from perflour.report.trials.samples import summary_table
from perflour.report.trials.session_words import session_words
from perflour.trials.judged import (
    ONE_POINT,
    FormulaJudgement,
    Judged,
    JudgedPair,
    Judgements,
    SessionJudgement,
)
from perflour.trials.means import ALPHA, Mean

MEANS = ("", "attribute", "tasters", "mean", "95 % interval", "spread")
APART = (
    "These bakes were tasted one after the other, not side by side and not blind: the day, the oven "
    "and what tasters were told are in the difference. To settle it, hold a session."
)
OF_SCALE = (
    "Intervals and p are Student's t; scores are whole points between 1 and 9, so with few tasters "
    "they are a guide. 'For 1 point' are the tasters who would see it with 4 chances in 5: with the "
    "spread seen here (- where there is none), then with the usual one of 1.84 points (Hough et al. 2006, "
    "from memory)."
)
SEVERAL = "Each line is a question of its own: of twenty, one looks different by chance."

Lines = list[str]
#: Headers and rows.
Tables = Sequence[tuple[Sequence[str], Sequence[Sequence[str]]]]


def judgements_text(found: Judgements, pairs: bool = False) -> str:
    """Sentences for a terminal of 80 columns, tables of at most 100; of sessions with every pair if asked."""
    blocks = [
        *map(_formula_text, found.formulas),
        *(_session_text(s, pairs) for s in found.sessions),
    ]
    return "\n".join("\n".join(block) + "\n" for block in blocks) or "nothing to judge\n"


def _formula_text(one: FormulaJudgement) -> Lines:
    lines = [f"{one_line(one.title)} ({one.formula}): test bakes", ""]
    if not one.judged:
        return [*lines, "no test bake of a revision in the history has scores"]
    lines += columns(MEANS, _mean_rows(one.judged), "<<>>>>")
    if one.compared:
        lines += ["", *columns(GAPS, gap_rows(one.compared), GAPS_ALIGN), ""]
    return lines + _wrapped(formula_words(one))


def _session_text(one: SessionJudgement, pairs: bool) -> Lines:
    lines = [*wrap(_session_heading(one), prose_width()), ""]
    headers, rows, align = summary_table(one)
    if rows:
        lines += [*columns(headers, rows, align), ""]
    if pairs and one.compared:
        lines += [*columns(GAPS, gap_rows(one.compared), GAPS_ALIGN), ""]
    return lines + _wrapped(session_words(one))


def _session_heading(one: SessionJudgement) -> str:
    question = f": {one_line(one.session.question)}" if one.session.question else ""
    return f"Session {one.session.name} ({one.session.ask}){question}"


def _wrapped(sentences: Sequence[str]) -> Lines:
    return [
        line
        for sentence in sentences
        for line in wrap(sentence, prose_width(), subsequent_indent="  ")
    ]


def _mean_rows(judged: Sequence[Judged]) -> list[list[str]]:
    rows = []
    for one in judged:
        for at, (name, mean) in enumerate(one.means):
            label = one_line(one.label) if at == 0 else ""
            rows.append(
                [label, one_line(name), str(mean.tasters), f"{mean.mean:.1f}", *_spread(mean)]
            )
    return rows


def _spread(mean: Mean) -> tuple[str, str]:
    if mean.spread is None:
        return "", ""
    return interval_text(mean.low, mean.high, SCALE), f"{mean.spread:.1f}"


def formula_words(one: FormulaJudgement) -> Lines:
    """What the test bakes of a formula show, and what they cannot."""
    if not one.judged:
        return ["no test bake of a revision in the history has scores"]
    if not one.compared:
        return ["one revision alone has scores, so there is nothing to compare", OF_SCALE]
    said = _gap_words(one.compared)
    return [*said, APART, SEVERAL, *_few(one.compared), OF_SCALE]


def _gap_words(compared: Sequence[JudgedPair]) -> Iterator[str]:
    """One sentence for each difference that stands out, one for all that do not."""
    found = [one for one in compared if one.gap.p is not None and one.gap.p <= ALPHA]
    by_spread = [one for one in found if one.gap.spread]
    for one in by_spread:
        higher = "higher" if one.gap.difference > 0 else "lower"
        said = (
            f"iteration {one.second} scores {abs(one.gap.difference):.1f} points {higher} than "
            f"iteration {one.first} in {one_line(one.attribute)} (p {p_text(one.gap.p or 0)})"
        )
        yield f"{said}: {trust(one.gap.tasters)}."
    yield from alike_words(compared, "iteration ")
    if len(found) < len(compared):
        yield (
            f"{'The others show no' if found else 'Nothing here shows a'} difference beyond chance, "
            "which does not mean that there is none."
        )


def _few(compared: Sequence[JudgedPair]) -> Lines:
    """Where finding nothing means little: the spread seen asks for more tasters, or is not known."""
    unfound = [one for one in compared if one.gap.p is None or one.gap.p > ALPHA]
    short = [
        one for one in unfound if one.tasters_here is None or one.gap.tasters < one.tasters_here
    ]
    if not short:
        return []
    return [
        f"In {len(short)} of the {len(unfound)} without a find the tasters were too few to see "
        f"{ONE_POINT:g} point, or it cannot be told: a hint what to bake next, not a verdict."
    ]


def judgements_markdown(found: Judgements, pairs: bool = False) -> str:
    """A heading, tables and sentences for each formula and session."""
    blocks: list[Lines] = []
    for formula in found.formulas:
        heading = f"## {markdown(f'{formula.title} ({formula.formula})')}: test bakes"
        tables: Tables = [(MEANS, _mean_rows(formula.judged)), (GAPS, gap_rows(formula.compared))]
        blocks.append([heading, *_markdown(tables, formula_words(formula))])
    for one in found.sessions:
        headers, rows, _ = summary_table(one)
        tables = [(headers, rows), (GAPS, gap_rows(one.compared) if pairs else [])]
        heading = f"## {markdown(_session_heading(one))}"
        blocks.append([heading, *_markdown(tables, session_words(one))])
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _markdown(tables: Tables, words: Lines) -> Lines:
    lines: Lines = []
    for headers, rows in tables:
        if rows:
            lines += ["", *markdown_table(headers, rows)]
    return [*lines, "", *(f"- {markdown(sentence)}" for sentence in words)]
