"""Reports as pages of the site: side by side, evidence, trials, reviews of branches, release logs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from perflour.kitchen.figures import counted
from perflour.report.compare.html import side_by_side_html
from perflour.report.evidence.table import sections as evidence_sections
from perflour.report.evidence.why import sections as why_sections
from perflour.report.form.sections import Section
from perflour.report.release.audiences import Telling
from perflour.report.release.log import release_html
from perflour.report.release.review import review_html
from perflour.report.release.review_words import verdict_lines
from perflour.report.site.parts import (
    OF_EACH_BASE,
    Cell,
    Frame,
    Part,
    Text,
    formula_page,
    in_frame,
    page,
    table,
)
from perflour.report.site.start import link, ratio_cell
from perflour.site.build import slug
from perflour.site.summary import Summary
from perflour.site.whole import OfClass, OfSpan, OfTrial, Spans, Whole

if TYPE_CHECKING:
    from perflour.designs.showed import Showed

SIDE, EVIDENCE = Cell("Side by side", "compare/index.html"), Cell("Evidence", "evidence/index.html")


def report_pages(whole: Whole) -> Mapping[str, bytes]:
    """The pages that stand on what other reports say too."""
    pages = dict(_side_by_side(whole))
    pages.update(_evidence(whole))
    pages.update(_trials(whole))
    none_ahead = "No branch of this clone holds commits that are not here."
    reviews = _Chapter("reviews", "Branches", none_ahead, whole.reviews)
    pages.update(_spans(whole.house, reviews, _review))
    releases = _Chapter("releases", "Releases", "No release was tagged yet.", whole.releases)
    pages.update(_spans(whole.house, releases, _release))
    return pages


# --- side by side ---


def _side_by_side(whole: Whole) -> Iterator[tuple[str, bytes]]:
    tables = [(one, one.table) for one in whole.classes if one.table]
    lines = tuple(
        Cell(of.title, f"compare/{slug(of.slug)}.html", note=f"{len(beside.columns)} formulas")
        for of, beside in tables
    )
    parts = [Part("By class", "classes", lines)] if lines else []
    names = sorted({name for one in whole.summaries for name, _ in one.ratios})
    columns = [one for one in whole.summaries if one.ratios]
    rows = [
        {"name": name.replace("-", " "), "cells": [_held(one, name) for one in columns]}
        for name in names
        if any(dict(one.ratios).get(name) for one in columns)
    ]
    frame = Frame("compare/index.html", "Side by side", whole.house)
    heads = [link(one) for one in columns]
    yield frame.address, page(frame, [OF_EACH_BASE], parts, "site/choose.html", heads=heads, rows=rows)  # fmt: skip
    for of, beside in tables:
        frame = Frame(f"compare/{slug(of.slug)}.html", of.title, whole.house, (SIDE,))
        yield frame.address, in_frame(frame, side_by_side_html(beside))


def _held(one: Summary, name: str) -> str:
    """Empty where there is none of it: the table shows what is there."""
    cell = ratio_cell(one, name)
    return cell.text if cell.value else ""


# --- evidence ---


def _evidence(whole: Whole) -> Iterator[tuple[str, bytes]]:
    frame = Frame("evidence/index.html", "Evidence", whole.house)
    told = [one for one in whole.classes if one.why]
    links = [Cell(one.title, f"evidence/{slug(one.slug)}.html", note="what goes with what") for one in told]  # fmt: skip
    links += [Cell(one.title, note=one.why_not) for one in whole.classes if not one.why]
    parts = [Part("By class", "classes", tuple(links))] if links else []
    if whole.evidence and whole.evidence.samples:
        parts += map(_part, evidence_sections(whole.evidence))
    else:
        parts.append(Part("", before=("Nothing was baked and judged yet.",)))
    yield frame.address, page(frame, ["What was baked and judged, with what moved."], parts)
    for one in told:
        yield _why(whole, one)


def _why(whole: Whole, of: OfClass) -> tuple[str, bytes]:
    from markupsafe import Markup

    from perflour.report.evidence.chart import why_figures

    assert of.why
    frame = Frame(f"evidence/{slug(of.slug)}.html", f"Why they differ: {of.title}", whole.house, (EVIDENCE,))  # fmt: skip
    charts = Part("Scores over ratios", "charts", markup=Markup(why_figures(of.why)))
    parts = [*map(_part, why_sections(of.why)), *([charts] if charts.markup else [])]
    return frame.address, page(frame, [], parts)


def _part(section: Section) -> Part:
    """A section of a report as one of a page."""
    tables = (table(section.title, section.headers, section.align, section.rows),) if section.rows else ()  # fmt: skip
    return Part(section.title, before=section.before, tables=tables, after=section.after)


# --- trials ---


def _trials(whole: Whole) -> Iterator[tuple[str, bytes]]:
    heads = ("trial", "planned", "of", "varied", "baked", "what it is to find out", "decided")
    rows = [_trial_row(one) for one in whole.trials]
    frame = Frame("trials/index.html", "Trials", whole.house)
    parts = [Part("", tables=(table("planned trials", heads, "<<<<<<<", rows),))] if rows else []
    yield frame.address, page(frame, [] if rows else ["No trial was planned yet."], parts)
    for one in whole.trials:
        yield _trial(whole, one)


def _trial_row(one: OfTrial) -> tuple[Text, ...]:
    trial = one.listed.trial
    return (
        Cell(trial.id, f"trials/{slug(trial.id)}.html"),
        trial.date,
        trial.formula,
        ", ".join(factor.name for factor in trial.factors),
        f"{len(one.listed.done)} of {len(trial.bakes)}",
        trial.question,
        trial.decided,
    )


def _trial(whole: Whole, one: OfTrial) -> tuple[str, bytes]:
    trial = one.listed.trial
    frame = Frame(f"trials/{slug(trial.id)}.html", f"Trial {trial.id}", whole.house, (Cell("Trials", "trials/index.html"),))  # fmt: skip
    of = next((s for s in whole.summaries if s.id == trial.formula), None)
    about: list[Text] = [Cell(trial.formula, formula_page(of.slug) if of else "", note=f"revision {trial.of}, planned {trial.date}")]  # fmt: skip
    about += [text for text in (trial.question, trial.notes, f"Decided: {trial.decided}" if trial.decided else "") if text]  # fmt: skip
    done = {bake.letter for bake in one.listed.done}
    names = [factor.name for factor in trial.factors]
    rows = [
        (bake.letter, *(bake.said.get(name, "") for name in names), f"day {bake.day}, oven {bake.oven}, place {bake.place}", "baked" if bake.letter in done else "to come")
        for bake in trial.bakes
    ]  # fmt: skip
    heads = ("bake", *names, "when and where", "so far")
    parts = [Part("Bakes", "bakes", tables=(table("the bakes of the trial", heads, "<" * len(heads), rows),))]  # fmt: skip
    parts += _showed(one.showed) if one.showed else [Part("What it showed", before=(one.not_told,))]
    return frame.address, page(frame, about, parts)


def _showed(found: Showed) -> Iterator[Part]:
    from markupsafe import Markup

    from perflour.report.designs.showed import sections, showed_charts  # with statsmodels

    yield from map(_part, sections(found))
    if charts := showed_charts(found):
        yield Part("Charts", "charts", markup=Markup(charts))  # texts are escaped there


# --- reviews and releases ---


class _Chapter(NamedTuple):
    """Pages of spans in a folder; ``none`` is said where there is none."""

    folder: str
    title: str
    none: str
    spans: Spans


def _spans(
    house: str,
    chapter: _Chapter,
    made: Callable[[OfSpan], tuple[str, Mapping[str, str]] | None],
) -> Iterator[tuple[str, bytes]]:
    """A list of spans, and the pages of each that can be told."""
    frame = Frame(f"{chapter.folder}/index.html", chapter.title, house)
    above = (Cell(chapter.title, frame.address),)
    lines: list[Text] = []
    for one in chapter.spans.told:
        if (told := made(one)) is None:
            lines.append(Cell(one.span, note=one.not_told))
            continue
        said, pages = told
        for ending, report in pages.items():
            title = f"{one.span}, for readers" if ending else one.span
            inner = Frame(f"{chapter.folder}/{slug(one.span)}{ending}.html", one.span, house, above)
            lines.append(Cell(title, inner.address, note="" if ending else said))
            yield inner.address, in_frame(inner, report)
    left = chapter.spans.left_out
    parts = [Part("", before=(f"{counted(len(left), 'older one')} without a page: {', '.join(left)}.",))] if left else []  # fmt: skip
    yield frame.address, page(frame, lines or [chapter.none], parts)


def _review(one: OfSpan) -> tuple[str, Mapping[str, str]] | None:
    if one.review is None:
        return None
    return verdict_lines(one.review)[0], {"": review_html(one.review)}


def _release(one: OfSpan) -> tuple[str, Mapping[str, str]] | None:
    if one.release is None:
        return None
    made = partial(release_html, one.release)
    approved = sum(formula.is_released for formula in one.release.formulas)
    return f"{one.release.day}, {counted(approved, 'approved formula')}", {
        "": made(Telling("team")),
        "-readers": made(Telling("readers")),
    }
