"""What a planned trial showed, in words: what each change did, what is best, what to bake next."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from perflour.designs.effects import Effect, Fit, Prediction, predict
from perflour.designs.levels import level_text
from perflour.designs.showed import Outcome, Showed, blends_differ
from perflour.designs.tasters import MEANS
from perflour.records.bake import SCALE
from perflour.report.designs.confounded import confounded_lines, term_words
from perflour.report.form.charts import Panel, Point, Rows, chart_html, chart_svg
from perflour.report.form.sections import Section, sections_html, sections_markdown, sections_text
from perflour.report.trials.figures import interval_text, p_text
from perflour.trials.means import ALPHA

#: Of the JSON: one more for each change of a key or of what it means. schema/trial-results.schema.json.
FORMAT = 1
UNITS = {"height": "mm", "spread": "mm", "bake-out loss": "%"}
MOST_STEPS = 4
#: A gain of less than this, in points of a score, is none: nobody tastes it.
LEAST_GAIN = 0.1
#: Coded levels at which a trace is drawn.
TRACE = (-1.0, -0.5, 0.0, 0.5, 1.0)
#: What is said of the charts.
BARS = "Bars are 95 % intervals."
#: Points below which a spread is told as none.
LEAST_SPREAD = 0.05


def showed_text(found: Showed) -> str:
    """For a terminal."""
    return sections_text(_title(found), sections(found))


def showed_markdown(found: Showed) -> str:
    """The same in Markdown."""
    return sections_markdown(_title(found), sections(found))


def showed_html(found: Showed) -> str:
    """A page to be printed."""
    return sections_html(_title(found), sections(found), showed_charts(found))


def showed_charts(found: Showed) -> str:
    """The charts with their figures as markup of a page; empty where there is nothing to draw."""
    panels = _panels(found)
    return chart_html("What each change did, and what is left over", BARS, panels) if panels else ""


def _title(found: Showed) -> str:
    return f"Trial {found.trial.id}: what it showed"


def sections(found: Showed) -> list[Section]:
    """What it stands on, each score and reading, and what follows."""
    return [
        Section("What it stands on", before=tuple(_stands_on(found))),
        *(_outcome(found, one) for one in found.outcomes),
        Section("What is best, as far as this goes", before=tuple(_best(found))),
        Section("What to bake next", before=tuple(_next(found))),
    ]


def _stands_on(found: Showed) -> Iterator[str]:
    trial, bakes = found.trial, found.trial.bakes
    if trial.question:
        yield trial.question
    scored = len(bakes) - len(found.missing)
    yield f"{scored} of {len(bakes)} bakes are scored or measured; model: {found.design.model}."
    if found.missing:
        yield f"Nothing is recorded of {', '.join(found.missing)}; what follows is without them."
    for record in found.elsewhere:
        yield f"{record} is of another revision than was planned, and left out."
    if any(one.is_score and not one.blind for one in found.outcomes):
        yield "Some scores were given with open eyes at the bake; a blind tasting would weigh more."
    yield from confounded_lines(found.design)


def _outcome(found: Showed, one: Outcome) -> Section:
    if one.fit is None:
        return Section(_heading(one), before=(f"Cannot be told: {one.cannot}.",))
    if found.design.model == "blend":
        return _blends(found, one, one.fit)
    effects = one.single.effects if one.single else one.fit.effects
    rows = tuple(_row(found, effect, _reach(one)) for effect in effects)
    headers = ("what moved", "from", "to", "change", "95 % interval", "p of all", "real")
    return Section(
        _heading(one), headers, rows, "<<<>>><", tuple(_how(one)), tuple(_checks(found, one))
    )


def _blends(found: Showed, one: Outcome, fit: Fit) -> Section:
    """Each blend that was baked: a coefficient of a share would speak of what nobody baked, that share alone."""
    by_levels: dict[tuple[float, ...], list[int]] = {}
    for run in found.design.runs:
        by_levels.setdefault(tuple(round(v, 3) for v in run.levels), []).append(run.number)
    scored = {point.run: point.scored for point in fit.points}
    letters = {number: bake.letter for number, bake in enumerate(found.trial.bakes, 1)}
    told = predict(fit, list(by_levels))
    rows = tuple(
        (
            ", ".join(letters[n] for n in numbers),
            *(
                level_text(v, f)
                for v, f in zip(found.actual(levels), found.trial.factors, strict=True)
            ),
            ", ".join(f"{scored[n]:.1f}" for n in numbers if n in scored),
            f"{p.value:.1f}",
            interval_text(p.low, p.high, SCALE if one.is_score else None),
        )
        for (levels, numbers), p in zip(by_levels.items(), told, strict=True)
    )
    headers = (
        "bakes",
        *(f.name for f in found.trial.factors),
        "scored",
        "expected",
        "95 % interval",
    )
    p = blends_differ(found.design, fit)
    if p is None:
        judged = "No bake is left over, so whether the blends differ beyond chance cannot be told."
    elif p <= ALPHA:
        judged = f"That the blends differ at all is beyond chance (p {p_text(p)}, {fit.freedom} bakes left over)."
    else:
        judged = f"The blends do not differ beyond chance (p {p_text(p)}, {fit.freedom} bakes left over): what is told below may be nothing."
    return Section(
        _heading(one),
        headers,
        rows,
        "<" + ">" * (len(headers) - 1),
        (judged,),
        tuple(_checks(found, one)),
    )


def _heading(one: Outcome) -> str:
    if not one.is_score:
        return f"{one.name}, {UNITS.get(one.name, '')}".rstrip(", ")
    blind = "blind" if one.blind else "with open eyes"
    return f"{one.name}, by {one.tasters} tasters, {blind}"


def _reach(one: Outcome) -> tuple[float, float] | None:
    return (-8.0, 8.0) if one.is_score else None


def _row(found: Showed, effect: Effect, reach: tuple[float, float] | None) -> tuple[str, ...]:
    factor = next((f for f in found.trial.factors if effect.term == (f.name,)), None)
    ends = (level_text(factor.low, factor), level_text(factor.high, factor)) if factor else ("", "")
    return (
        term_words(effect.term),
        *ends,
        f"{effect.estimate:+.2f}",
        interval_text(effect.low, effect.high, reach),
        "" if effect.family_p is None else p_text(effect.family_p),
        "yes" if effect.real else "no",
    )


def _how(one: Outcome) -> Iterator[str]:
    fit, single = one.fit, one.single
    assert fit is not None
    if single and single.method != MEANS:
        yield f"Single scores by a mixed model, tasters and bakes as random; judged by the {single.freedom} bakes left over, all effects counted (Holm)."
    elif fit.method == "t":
        why = f" ({single.why})" if single and single.why else ""
        yield f"The means of bakes by least squares{why}; judged by the {fit.freedom} bakes left over, all effects counted ({fit.family})."
    elif fit.method == "Lenth":
        yield "No bake is left over, so effects are held against the usual size of the small ones (Lenth 1989): that takes most of them as nothing."
    elif fit.freedom:
        yield f"The {fit.freedom} bakes left over do not vary at all, so there is nothing to hold the differences against."
    else:
        yield "No bake is left over and effects are too few to hold against each other: differences are told, and not what chance brings."
    if not any(effect.real for effect in (single.effects if single else fit.effects)):
        yield "Nothing is beyond chance: what is told below may be nothing."


def _checks(found: Showed, one: Outcome) -> Iterator[str]:
    """What speaks against the model."""
    fit, single = one.fit, one.single
    assert fit is not None
    if single and single.bake_spread is not None and single.bake_spread < LEAST_SPREAD:
        yield "Two bakes of the same settings differ by no more than single scores explain."
    elif single and single.bake_spread is not None:
        taster = (
            "" if single.taster_spread is None else f", between tasters {single.taster_spread:.2f}"
        )
        yield f"Two bakes of the same settings differ by {single.bake_spread:.2f} points (standard deviation){taster}."
    elif fit.spread:
        yield f"One bake differs from the next by {fit.spread:.2g} (standard deviation), as far as the model explains."
    if fit.lack and fit.lack.p <= ALPHA:
        yield f"The model misses something: bakes of the same settings agree better than it does (p {p_text(fit.lack.p)})."
    if fit.bend:
        bent = (
            "lies off the straight line between low and high"
            if fit.bend.p <= ALPHA
            else "shows no bend"
        )
        yield f"The middle {bent}: {fit.bend.difference:+.2f} ({interval_text(fit.bend.low, fit.bend.high)}, p {p_text(fit.bend.p)})."
    letters = {number: bake.letter for number, bake in enumerate(found.trial.bakes, 1)}
    for point in one.far_out:
        yield f"Bake {letters[point.run]} is further from what the others say than chance brings: {point.scored:.3g}, expected {point.fitted:.3g}. Look at its record before believing either."


def _levels(found: Showed, levels: Sequence[float]) -> str:
    actual = found.actual(levels)
    return ", ".join(f"{f.name} {level_text(v, f)}" for f, v in zip(found.trial.factors, actual, strict=True))  # fmt: skip


def _expected(name: str, one: Prediction, is_score: bool) -> str:
    reach = SCALE if is_score else None
    value = min(max(one.value, SCALE[0]), SCALE[1]) if is_score else one.value
    interval = interval_text(one.low, one.high, reach)
    return f"{name} {value:.1f}" + (f" ({interval})" if interval else " (no interval can be told)")


def _best(found: Showed) -> Iterator[str]:
    yield from (f"{line[:1].upper()}{line[1:]}." for line in found.unsaid)
    best = found.best
    if best is None:
        return
    if best.levels is None:
        yield "No point within the ranges is any good for all goals at once; look at the goals, or widen the ranges."
        return
    scores = {one.name for one in found.outcomes if one.is_score}
    expected = "; ".join(
        _expected(name, one, name in scores) for name, one in best.expected.items()
    )
    yield f"{_levels(found, best.levels)}: {expected}. All goals together: {best.overall:.2f} of 1."
    yield "`perflour trial adopt` of this trial, as a dry run, tells it as a change of the formula, in percent of the flour."
    yield f"{best.meeting:.0%} of the ranges meet every goal by what is expected."
    ends = [found.actual([getattr(span, end) for span in best.spans]) for end in ("low", "high")]
    for low, high, factor in zip(*ends, found.trial.factors, strict=False):
        if best.meeting and (round(low, 6), round(high, 6)) != (factor.low, factor.high):
            yield f"There {factor.name} runs from {level_text(low, factor)} to {level_text(high, factor)}."
    judged = [one for one in found.outcomes if one.name in found.goals]
    if not any(_is_beyond(found, one) for one in judged):
        yield "But nothing is beyond chance, so this point is hardly better than another: bake more before you change anything."


def _is_beyond(found: Showed, one: Outcome) -> bool:
    """Whether anything of a score or reading is beyond chance."""
    if found.design.model == "blend" and one.fit:
        p = blends_differ(found.design, one.fit)
        return p is not None and p <= ALPHA
    return any(effect.real for effect in _effects(one))


def _effects(one: Outcome) -> Sequence[Effect]:
    if one.single:
        return one.single.effects
    return one.fit.effects if one.fit else ()


def _next(found: Showed) -> Iterator[str]:
    one = found.proposal
    if one is None:
        yield "Nothing can be proposed yet."
        return
    where = _levels(found, one.levels)
    is_score = found.proposal_for in {o.name for o in found.outcomes if o.is_score}
    if one.worth and (not is_score or one.gain >= LEAST_GAIN):
        yield (
            f"For {found.proposal_for}, the bake that promises most: {where}. Expected {one.mean:.1f} (give or take {one.spread:.1f}), "
            f"{one.gain:.2f} better than the best so far on average, bakes differing by {one.noise:.1f} (Gaussian process)."
        )
    else:
        yield f"For {found.proposal_for} no bake within the ranges promises to be better than what was baked (best expected: {one.best:.1f}). Bake the best again, or widen the ranges."
    if found.way:
        last = found.way[:MOST_STEPS][-1]
        yield f"Uphill from the middle: towards {_levels(found, last.levels)}; {_expected(found.proposal_for, last.expected, is_score)} there."


def showed_json(found: Showed) -> str:
    """All of it; valid against schema/trial-results.schema.json."""
    data = {
        "format": FORMAT,
        "alpha": ALPHA,
        "trial": found.trial.id,
        "formula": found.trial.formula,
        "of": found.trial.of,
        "model": found.design.model,
        "missing": list(found.missing),
        "elsewhere": list(found.elsewhere),
        "outcomes": [_outcome_data(found, one) for one in found.outcomes],
        "best": _best_data(found),
        "next": _next_data(found),
        "in_words": [line for one in sections(found) for line in (*one.before, *one.after)],
    }
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _outcome_data(found: Showed, one: Outcome) -> dict[str, Any]:
    fit = one.fit
    letters = [bake.letter for bake in found.trial.bakes]
    return {
        "name": one.name,
        "blind": one.blind,
        "bakes": one.bakes,
        "tasters": one.tasters,
        "cannot": one.cannot or None,
        "method": (one.single.method if one.single else fit.method) if fit else None,
        "effects": [{**asdict(effect), "term": list(effect.term)} for effect in _effects(one)],
        "spread_of_a_bake": fit.spread if fit else None,
        "freedom": fit.freedom if fit else None,
        "r2": fit.r2 if fit else None,
        "lack_of_fit": asdict(fit.lack) if fit and fit.lack else None,
        "bend": asdict(fit.bend) if fit and fit.bend else None,
        "bakes_fitted": [
            {**{k: v for k, v in asdict(p).items() if k != "run"}, "bake": letters[p.run - 1]}
            for p in (fit.points if fit else ())
        ],
    }


def _best_data(found: Showed) -> dict[str, Any] | None:
    best = found.best
    if best is None or best.levels is None:
        return None
    return {
        "levels": dict(zip(found.design.names, found.actual(best.levels), strict=True)),
        "overall": best.overall,
        "each": best.each,
        "expected": {name: asdict(one) for name, one in best.expected.items()},
        "meeting": best.meeting,
    }


def _next_data(found: Showed) -> dict[str, Any] | None:
    one = found.proposal
    if one is None:
        return None
    return {
        "for": found.proposal_for,
        "levels": dict(zip(found.design.names, found.actual(one.levels), strict=True)),
        "mean": one.mean,
        "spread": one.spread,
        "gain": one.gain,
        "noise": one.noise,
        "worth_it": one.worth,
    }


def showed_svg(found: Showed) -> bytes:
    """For each score or reading its effects with their intervals, then bakes against what the model says of them."""
    return chart_svg(_title(found), BARS, _panels(found))


def _panels(found: Showed) -> list[Panel | Rows]:
    panels: list[Panel | Rows] = []
    for one in found.outcomes:
        if one.fit is None:
            continue
        effects = () if found.design.model == "blend" else _effects(one)
        points = tuple(
            Point(term_words(e.term), at, e.estimate, e.low, e.high, told="real" if e.real else "may be chance")
            for at, e in enumerate(effects)
        )  # fmt: skip
        if points:
            unit = UNITS.get(one.name, "" if not one.is_score else "points")
            panels.append(Rows(f"{one.name}: low to high", f"difference, {unit}".rstrip(", "), points, zero=True))  # fmt: skip
        panels.append(_residuals(found, one, one.fit))
    panels += [
        panel for one in found.outcomes if one.name in found.goals for panel in _traces(found, one)
    ]
    return panels


def _residuals(found: Showed, one: Outcome, fit: Fit) -> Panel:
    letters = [bake.letter for bake in found.trial.bakes]
    points = tuple(Point(letters[p.run - 1], p.fitted, p.residual) for p in fit.points)
    return Panel(f"{one.name}: what is left over", "expected", "scored less expected", points, zero=True)  # fmt: skip


def _traces(found: Showed, one: Outcome) -> Iterator[Panel]:
    """A score or reading along each factor, the others in their middle, as the model foretells it."""
    if one.fit is None or found.design.model == "blend":
        return
    for at, factor in enumerate(found.trial.factors):
        points = [tuple(float(c) if n == at else 0.0 for n in range(len(found.design.factors))) for c in TRACE]  # fmt: skip
        told = predict(one.fit, points)
        marks = tuple(
            Point("", found.design.factors[at].actual(c), p.value, p.low, p.high)
            for c, p in zip(TRACE, told, strict=True)
        )
        yield Panel(f"{one.name} as foretold, the others in their middle", f"{factor.name}, {factor.unit}", one.name, marks)  # fmt: skip
