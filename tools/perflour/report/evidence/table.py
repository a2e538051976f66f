"""What was baked and judged, row by row: for a terminal and in Markdown by formula, as CSV and JSON whole."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from perflour.evidence.figures import Figure
from perflour.evidence.rows import Evidence, Lost, Revision, Sample
from perflour.kitchen.figures import grams, percent
from perflour.plain import csv_text
from perflour.report.form.sections import Section, sections_markdown, sections_text

#: Of the JSON: one more for each change of a key or of what it means. schema/evidence.schema.json.
FORMAT = 1
TOO_LOW = "+"
TITLE = "What was baked and judged"
#: Readings that stand in the terminal's table; the data hold all.
SHOWN = {"height": "height, mm", "spread": "spread, mm", "bake-out loss": "loss, %"}
SOURCES = {"bake": "test bake", "tasting": "blind tasting"}
#: Differences that rounding to the scale makes are none.
SAME = 0.05
_HEAD = ("formula", "iteration", "revision", "class", "source", "record", "date", "code", "bake", "baker", "oven", "verdict", "notes")  # fmt: skip


def evidence_text(found: Evidence) -> str:
    """By formula: every sample with its mean scores, then the figures that moved between its revisions."""
    return sections_text(TITLE, sections(found))


def evidence_markdown(found: Evidence) -> str:
    """The same in Markdown."""
    return sections_markdown(TITLE, sections(found))


def sections(found: Evidence) -> list[Section]:
    """One or two a formula, then what is not in the table."""
    made = []
    for formula, group in groupby(found.samples, key=lambda sample: sample.revision.formula):
        samples = list(group)
        made.append(_samples(f"{formula}: {samples[-1].revision.title}", samples))
        if moved := _moved(samples):
            made.append(moved)
    left_out = [*map(lost_text, found.lost)]
    if any(figure.lacking for sample in found.samples for figure in sample.revision.figures):
        left_out.append(f"{TOO_LOW}: too low by what is not known; the JSON names it")
    if found.unbaked:
        names = ", ".join(revision.formula for revision in found.unbaked)
        left_out.append(f"no test bake and no tasting: {names}")
    left_out += [
        f"{sample.revision.label}, test bake {sample.record}: cannot be read: {', '.join(sample.unread)}"
        for sample in found.samples
        if sample.unread
    ]
    if left_out:
        made.append(Section("Not in the table", after=tuple(left_out)))
    return made


def lost_text(lost: Lost) -> str:
    """A record whose revision nobody can tell."""
    return (
        f"{lost.formula}, record {lost.record}: its revision {lost.digest} is not in the history, "
        "so what was baked cannot be told; see `perflour bake check`"
    )


def _samples(title: str, samples: Sequence[Sample]) -> Section:
    attributes = list(dict.fromkeys(g.attribute for s in samples for g in s.given))
    places = list(dict.fromkeys(g.attribute for s in samples for g in s.ranks))
    readings = [name for name in SHOWN if any(f.name == name for s in samples for f in s.measured)]
    rows = []
    for sample in samples:
        measured = {figure.name: figure.value for figure in sample.measured}
        rows.append(
            (
                str(sample.revision.iteration),
                f"{SOURCES[sample.source]} {sample.record}",
                str(len({g.taster for g in (*sample.given, *sample.ranks)}) or ""),
                *(_mean(sample, name) for name in attributes),
                *(_place(sample, name) for name in places),
                *(_reading(measured.get(name)) for name in readings),
                _verdict(sample),
            )
        )
    headers = ("it.", "where", "tasters", *attributes, *(f"{n}, place" for n in places), *(SHOWN[name] for name in readings), "said")  # fmt: skip
    return Section(title, headers, tuple(rows), "><" + ">" * (len(headers) - 3) + "<")


def _mean(sample: Sample, attribute: str) -> str:
    found = sample.mean(attribute)
    return f"{found[0]:.1f}" if found else ""


def _place(sample: Sample, attribute: str) -> str:
    values = [g.value for g in sample.ranks if g.attribute == attribute]
    return f"{sum(values) / len(values):.1f}" if values else ""


def _reading(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}".removesuffix(".0")


def _verdict(sample: Sample) -> str:
    if sample.chosen:
        return f"chosen by {sample.chosen[0]} of {sample.chosen[1]}"
    return sample.verdict or f"code {sample.code}"


def _moved(samples: Sequence[Sample]) -> Section | None:
    """The figures that are not the same in all revisions of a formula that were baked."""
    revisions = list({s.revision.digest: s.revision for s in samples}.values())
    revisions.sort(key=lambda revision: revision.iteration)
    keys = dict.fromkeys((f.section, f.name, f.unit) for r in revisions for f in r.figures)
    rows = []
    for section, name, unit in keys:
        figures = [_figure(revision, section, name) for revision in revisions]
        values = [f.value if f else None for f in figures]
        known = [value for value in values if value is not None]
        if None not in values and max(known) - min(known) < (0.005 if _fine(figures) else SAME):
            continue
        rows.append((figure_name(section, name, unit), *map(figure_text, figures)))
    for name in dict.fromkeys(s.name for r in revisions for s in r.settings):
        said = [next((s.value for s in r.settings if s.name == name), "") for r in revisions]
        if len(set(said)) > 1:
            rows.append((name, *said))
    if not rows:
        return None
    headers = ("what moved", *(f"it. {revision.iteration}" for revision in revisions))
    return Section(
        f"{revisions[0].formula}: figures that moved, in percent of the base's flour where no unit is said",
        headers,
        tuple(rows),
        "<" + ">" * len(revisions),
    )


def _fine(figures: Sequence[Figure | None]) -> bool:
    return any(figure is not None and figure.is_fine for figure in figures)


def _figure(revision: Revision, section: str, name: str) -> Figure | None:
    return next((f for f in revision.figures if (f.section, f.name) == (section, name)), None)


def figure_name(section: str, name: str, unit: str) -> str:
    """A figure as it stands at the head of its row; the unit where it is not percent of the flour."""
    said = f"{name} beside the base" if section == "beside" else name
    return said if unit == "%" else f"{said}, {unit}"


def figure_text(figure: Figure | None) -> str:
    """A value to the digits that matter; + where it is too low by what is not known, ? where it is not known."""
    if figure is None:
        return "–"
    if figure.value is None:
        return "?"
    if figure.unit == "%":
        said = percent(figure.value, figure.is_fine)
    elif figure.unit == "g":
        said = grams(figure.value)
    else:
        said = f"{figure.value:.2g}" if figure.value < 1 else f"{figure.value:.1f}".removesuffix(".0")  # fmt: skip
    return said + (TOO_LOW if figure.lacking else "")


def evidence_csv(found: Evidence) -> str:
    """One row a sample, one column an outcome or a figure; what is not known is empty."""
    attributes = found.attributes
    places = tuple(dict.fromkeys(g.attribute for s in found.samples for g in s.ranks))
    readings = tuple(dict.fromkeys((f.name, f.unit) for s in found.samples for f in s.measured))
    keys = tuple(
        dict.fromkeys(
            (f.section, f.name, f.unit) for s in found.samples for f in s.revision.figures
        )
    )
    words = tuple(dict.fromkeys(p.name for s in found.samples for p in s.revision.settings))
    head = (
        *_HEAD,
        *(f"{name} {what}" for name in attributes for what in ("score", "tasters")),
        *(f"{name} place" for name in places),
        *("chosen", "chosen of"),
        *(f"{name}, {unit}" for name, unit in readings),
        *(f"{section}: {name}, {unit}" for section, name, unit in keys),
        *words,
        "too low in",
    )
    rows = [_csv_row(s, attributes, places, readings, keys, words) for s in found.samples]
    return csv_text([head, *rows])


def _csv_row(
    sample: Sample,
    attributes: Sequence[str],
    places: Sequence[str],
    readings: Sequence[tuple[str, str]],
    keys: Sequence[tuple[str, str, str]],
    words: Sequence[str],
) -> list[object]:
    revision = sample.revision
    measured = {f.name: f.value for f in sample.measured}
    figures = {(f.section, f.name, f.unit): f.value for f in revision.figures}
    settings = {s.name: s.value for s in revision.settings}
    ranks: dict[str, list[float]] = {}
    for g in sample.ranks:
        ranks.setdefault(g.attribute, []).append(g.value)
    return [
        *(revision.formula, revision.iteration, revision.digest, revision.product_class),
        *(sample.source, sample.record, sample.date, sample.code, sample.bake, sample.baker),
        *(sample.oven, sample.verdict, sample.notes),
        *(value for name in attributes for value in (sample.mean(name) or (None, None))),
        *(sum(ranks[n]) / len(ranks[n]) if n in ranks else None for n in places),
        *(sample.chosen or (None, None)),
        *(measured.get(name) for name, _ in readings),
        *(figures.get(key) for key in keys),
        *(settings.get(name) for name in words),
        " ".join(f.name for f in revision.figures if f.lacking),
    ]


def evidence_json(found: Evidence) -> str:
    """All of it with every taster's scores; valid against schema/evidence.schema.json."""
    data = {
        "format": FORMAT,
        "attributes": list(found.attributes),
        "revisions": [revision_data(r) for r in (*found.revisions, *found.unbaked)],
        "samples": list(map(_sample_data, found.samples)),
        "not_baked": [revision.formula for revision in found.unbaked],
        "lost": [
            {"formula": one.formula, "record": one.record, "revision": one.digest}
            for one in found.lost
        ],
    }
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def revision_data(revision: Revision) -> dict[str, Any]:
    """A revision with all its figures."""
    return {
        "formula": revision.formula,
        "title": revision.title,
        "class": revision.product_class,
        "revision": revision.digest,
        "iteration": revision.iteration,
        "figures": list(map(_figure_data, revision.figures)),
        "settings": {setting.name: setting.value for setting in revision.settings},
    }


def _figure_data(figure: Figure) -> dict[str, Any]:
    return {
        "section": figure.section,
        "name": figure.name,
        "unit": figure.unit,
        "value": figure.value,
        "not_counted": list(figure.lacking),
    }


def _sample_data(sample: Sample) -> dict[str, Any]:
    return {
        "formula": sample.revision.formula,
        "revision": sample.revision.digest,
        "source": sample.source,
        "record": sample.record,
        "date": sample.date,
        "code": sample.code or None,
        "bake": sample.bake or None,
        "baker": sample.baker or None,
        "oven": sample.oven or None,
        "verdict": sample.verdict or None,
        "notes": sample.notes or None,
        "measured": list(map(_figure_data, sample.measured)),
        "unread": list(sample.unread),
        "scores": list(_given(sample)),
        "places": [
            {"taster": g.taster, "attribute": g.attribute, "place": g.value} for g in sample.ranks
        ],
        "chosen": list(sample.chosen) if sample.chosen else None,
    }


def _given(sample: Sample) -> Iterator[dict[str, Any]]:
    for g in sample.given:
        yield {"taster": g.taster, "attribute": g.attribute, "score": g.value}
