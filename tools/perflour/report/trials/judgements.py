"""What tasters' scores and choices show, as text, Markdown and JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from perflour.plain import markdown, one_line
from perflour.report.form.columns import columns, wrap
from perflour.report.form.markdown import markdown_table
from perflour.trials.judging import (
    ONE_POINT,
    FormulaJudgement,
    Judged,
    JudgedPair,
    Judgements,
    SessionJudgement,
    Tally,
    sample_label,
)
from perflour.trials.sensory import ALPHA, MOST_TASTERS, Mean

WIDTH = 80
#: With fewer tasters not even all of them of one mind would be beyond chance: 2 x 1/2^5 is 1 in 16.
LEAST = 6
MEANS = ("", "attribute", "tasters", "mean", "95 % interval", "spread")
GAPS = ("", "attribute", "difference", "95 % interval", "p", "for 1 point")
APART = (
    "These bakes were tasted one after the other, not side by side and not blind: the day, the oven "
    "and what tasters were told are in the difference. To settle it, hold a session."
)
OF_SCALE = (
    "Intervals and p are Student's t; scores are whole points between 1 and 9, so with few tasters "
    "they are a guide. 'For 1 point' are the tasters who would see it with 4 chances in 5: with the "
    "spread seen here, then with the usual one of 1.84 points (Hough et al. 2006, from memory)."
)
HOLM = (
    "p is raised for the number of pairs compared by one attribute (Holm); the intervals are not. "
    "Each attribute is a question of its own: of twenty, one looks different by chance."
)
SEVERAL = "Each line is a question of its own: of twenty, one looks different by chance."
NOT_TASTED = "nothing tasted is written down yet"

Lines = list[str]


def judgements_text(found: Judgements) -> str:
    """For a terminal of 80 columns."""
    blocks = [*map(_formula_text, found.formulas), *map(_session_text, found.sessions)]
    return "\n".join("\n".join(block) + "\n" for block in blocks) or "nothing to judge\n"


def _formula_text(one: FormulaJudgement) -> Lines:
    lines = [f"{one_line(one.title)} ({one.formula}): test bakes", ""]
    if not one.judged:
        return [*lines, "no test bake of a revision in the history has scores"]
    lines += columns(MEANS, _mean_rows(one.judged), "<<>>>>")
    if one.compared:
        lines += ["", *columns(GAPS, _gap_rows(one.compared), "<<>>>>"), ""]
    return lines + _wrapped(formula_words(one))


def _session_text(one: SessionJudgement) -> Lines:
    lines = [*wrap(_session_heading(one), WIDTH), ""]
    if one.judged and one.session.is_tasted:
        lines += columns(MEANS, _mean_rows(one.judged), "<<>>>>")
        lines += ["", *columns(GAPS, _gap_rows(one.compared), "<<>>>>"), ""]
    return lines + _wrapped(session_words(one))


def _session_heading(one: SessionJudgement) -> str:
    question = f": {one_line(one.session.question)}" if one.session.question else ""
    return f"Session {one.session.name} ({one.session.ask}){question}"


def _wrapped(sentences: Sequence[str]) -> Lines:
    return [
        line for sentence in sentences for line in wrap(sentence, WIDTH, subsequent_indent="  ")
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
    return _interval(mean.low, mean.high, (1.0, 9.0)), f"{mean.spread:.1f}"


def _interval(
    low: float | None, high: float | None, limits: tuple[float, float] | None = None
) -> str:
    """An interval to a tenth of a point, cut where the scale ends."""
    if low is None or high is None:
        return ""
    if limits:
        low, high = max(low, limits[0]), min(high, limits[1])
    return f"{low:.1f} to {high:.1f}"


def _gap_rows(compared: Sequence[JudgedPair]) -> list[list[str]]:
    rows = []
    last = ""
    for one in compared:
        pair = f"{one.first} -> {one.second}"
        rows.append(
            [
                "" if pair == last else pair,
                one_line(one.attribute),
                f"{one.gap.difference:+.1f}",
                _interval(one.gap.low, one.gap.high),
                "" if one.p is None else p_text(one.p),
                f"{_count(one.tasters_here) if one.gap.spread else '?'}; {_count(one.tasters_usual)}",
            ]
        )
        last = pair
    return rows


def _count(tasters: int | None) -> str:
    return f"over {MOST_TASTERS}" if tasters is None else str(tasters)


def p_text(p: float) -> str:
    """A p-value to two digits, never ``0``: ``0.30``, ``0.012``, ``<0.001``."""
    if p < 0.001:
        return "<0.001"
    return f"{p:.2f}" if p >= 0.095 else f"{p:.3f}"


def formula_words(one: FormulaJudgement) -> Lines:
    """What the test bakes of a formula show, and what they cannot."""
    if not one.judged:
        return ["no test bake of a revision in the history has scores"]
    if not one.compared:
        return ["one revision alone has scores, so there is nothing to compare", OF_SCALE]
    said = _gap_words(one.compared, "iteration ")
    return [*said, APART, SEVERAL, *_few(one.compared), OF_SCALE]


def session_words(one: SessionJudgement) -> Lines:
    """What a session shows, and what it cannot."""
    if not one.session.is_tasted:
        return [NOT_TASTED]
    if one.tally:
        said = list(tally_words(one, one.tally))
    else:
        said = [*_gap_words(one.compared, ""), HOLM, *_few(one.compared), OF_SCALE]
    if one.session.decided:
        said.append(f"Decided: {one_line(one.session.decided)}")
    return said


def _gap_words(compared: Sequence[JudgedPair], called: str) -> Iterator[str]:
    """One sentence for each difference that stands out, one for all that do not."""
    found = [one for one in compared if one.p is not None and one.p <= ALPHA]
    for one in found:
        higher = "higher" if one.gap.difference > 0 else "lower"
        said = (
            f"{called}{one.second} scores {abs(one.gap.difference):.1f} points {higher} than "
            f"{called}{one.first} in {one_line(one.attribute)} (p {p_text(one.p or 0)})"
        )
        yield f"{said}: {_trust(one.gap.tasters)}."
    if len(found) < len(compared):
        yield (
            f"{'The others show no' if found else 'Nothing here shows a'} difference beyond chance, "
            "which does not mean that there is none."
        )
    alike = sum(one.p is None for one in compared)
    if alike:
        yield (
            f"{alike} of {len(compared)} comparisons have no spread to judge by: a single taster, or "
            "all moved alike."
        )


def _trust(tasters: int) -> str:
    """Whether a find by Student's t can be believed of so few whole scores."""
    if tasters >= LEAST:
        return "beyond chance"
    by_chance = 2 ** (tasters - 1)
    return f"a hint only, as {tasters} tasters agree by mere chance in 1 of {by_chance} cases"


def _few(compared: Sequence[JudgedPair]) -> Lines:
    """Where finding nothing means little: the spread seen asks for more tasters, or is not known."""
    unfound = [one for one in compared if one.p is None or one.p > ALPHA]
    short = [
        one for one in unfound if one.tasters_here is None or one.gap.tasters < one.tasters_here
    ]
    if not short:
        return []
    return [
        f"In {len(short)} of the {len(unfound)} without a find the tasters were too few to see "
        f"{ONE_POINT:g} point, or it cannot be told: a hint what to bake next, not a verdict."
    ]


def tally_words(one: SessionJudgement, tally: Tally) -> Iterator[str]:
    """The choices of a session in sentences."""
    session, found = one.session, tally.choices
    labels = [sample_label(sample) for sample in session.samples]
    absent = len(session.present) - found.tasters
    if absent:
        yield f"{absent} of {len(session.present)} tasters have not chosen; they are left out."
    if session.ask == "triangle":
        yield f"{found.chosen} of {found.tasters} picked the odd one; a third would by guessing (p {p_text(found.p)}, exact binomial, one-sided)."
    else:
        counts = (f"{label} {n}" for label, (_, n) in zip(labels, tally.by_sample, strict=True))
        side = "two-sided" if found.two_sided else "one-sided"
        asked = f"more {session.attributes[0]}" if session.ask == "difference" else "liked better"
        yield f"{asked}: {', '.join(counts)} (p {p_text(found.p)}, exact binomial, {side})."
    yield _verdict(session.ask, tally)
    if session.ask == "triangle":
        share = "half of all tasters could really tell"
    else:
        share = "three in four really chose the same"
    yield (
        f"If {share}, a session of {found.tasters} would show it with a chance of {found.power * 100:.0f} %; "
        f"80 % take {found.tasters_wanted} tasters."
    )


def _verdict(ask: str, tally: Tally) -> str:
    found = tally.choices
    what = {"preference": "a preference", "difference": "a difference", "triangle": "a difference"}[
        ask
    ]
    if found.needed is None:
        return f"{found.tasters} tasters are too few: whatever they choose, chance could do it."
    if found.p <= ALPHA:
        return f"This shows {what} beyond chance ({found.needed} of {found.tasters} would do)."
    return (
        f"This shows no {what.removeprefix('a ')}: {found.needed} of {found.tasters} would have. "
        "It does not show that there is none."
    )


def judgements_markdown(found: Judgements) -> str:
    """A heading, tables and sentences for each formula and session."""
    blocks: list[Lines] = []
    for formula in found.formulas:
        heading = f"## {markdown(f'{formula.title} ({formula.formula})')}: test bakes"
        blocks.append(
            [heading, *_markdown(formula.judged, formula.compared, formula_words(formula))]
        )
    for one in found.sessions:
        judged = one.judged if one.session.is_tasted else ()
        heading = f"## {markdown(_session_heading(one))}"
        blocks.append([heading, *_markdown(judged, one.compared, session_words(one))])
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _markdown(judged: Sequence[Judged], compared: Sequence[JudgedPair], words: Lines) -> Lines:
    lines: Lines = []
    if judged:
        lines += ["", *markdown_table(MEANS, _mean_rows(judged))]
    if compared:
        lines += ["", *markdown_table(GAPS, _gap_rows(compared))]
    return [*lines, "", *(f"- {markdown(sentence)}" for sentence in words)]


def judgements_json(found: Judgements) -> str:
    """Exact values with the same sentences."""
    data = {
        "alpha": ALPHA,
        "formulas": [_formula_data(one) for one in found.formulas],
        "sessions": [_session_data(one) for one in found.sessions],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _formula_data(one: FormulaJudgement) -> dict[str, Any]:
    return {
        "formula": one.formula,
        "title": one.title,
        "judged": [_judged_data(each) for each in one.judged],
        "compared": [asdict(each) for each in one.compared],
        "in_words": formula_words(one),
    }


def _judged_data(one: Judged) -> dict[str, Any]:
    means = {name: asdict(mean) for name, mean in one.means}
    return {"label": one.label, "revision": one.of, "bakes": list(one.bakes), "means": means}


def _session_data(one: SessionJudgement) -> dict[str, Any]:
    session = one.session
    tally = None
    if one.tally:
        chosen = [
            {"formula": sample.formula, "revision": sample.of, "chosen": count}
            for sample, count in one.tally.by_sample
        ]
        tally = {"by_sample": chosen, "test": asdict(one.tally.choices)}
    return {
        "session": session.name,
        "date": session.date,
        "ask": session.ask,
        "question": session.question or None,
        "judged": [_judged_data(each) for each in one.judged],
        "compared": [asdict(each) for each in one.compared],
        "tally": tally,
        "decided": session.decided or None,
        "in_words": session_words(one),
    }
