"""A figure through the history of its formula: text, Markdown, HTML, JSON, CSV and a chart."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from perflour.asking.figures import Figure
from perflour.asking.through_time import Line, Moved, Stand, Story
from perflour.balance.spread import Number, spread_of, value_of
from perflour.diff.residual import SPREADS_THAT_COUNT
from perflour.history.iterations import Iteration
from perflour.kitchen.figures import counted, signed
from perflour.plain import csv_text, one_line
from perflour.records.bake import Bake
from perflour.report.asking.figures import (
    heading,
    measured_data,
    shown,
    unit_said,
    value_shown,
)
from perflour.report.bakers_table import LEAST_SHOWN_SPREAD
from perflour.report.diff.text import change_text, worth_saying
from perflour.report.form.charts import Panel, Point, chart_html, chart_png, chart_svg
from perflour.report.form.sections import Section, sections_html, sections_markdown, sections_text
from perflour.report.history.changelogs import bake_data, scores_said
from perflour.report.history.chart import ITERATION, Baked, bakes_once, score_panels

#: Of the JSON: one more for each change of a key or of what it means. schema/history.schema.json.
FORMAT = 1
HEAD = (ITERATION, "date", "revision", "status")
NOT_READ = "not read"
SPREAD_SAID = f"twice the measuring spread ({SPREADS_THAT_COUNT:g} ±)"


def history_text(story: Story) -> str:
    """A table a figure, oldest iteration first, as wide as the terminal."""
    return sections_text(_title(story), _sections(story))


def history_markdown(story: Story) -> str:
    """The same in Markdown."""
    return sections_markdown(_title(story), _sections(story))


def history_html(story: Story) -> str:
    """The same as a page, with the chart."""
    chart = chart_html("Through the iterations", _told(story), _panels(story))
    return sections_html(_title(story), _sections(story), chart)


def history_svg(story: Story) -> bytes:
    """The chart alone."""
    return chart_svg(_title(story), _told(story), _panels(story))


def history_png(story: Story) -> bytes:
    """The same as a picture."""
    return chart_png(_title(story), _told(story), _panels(story))


def _title(story: Story) -> str:
    log = story.changelog
    which = "what moved most" if story.moved_most else ", ".join(line.figure.said for line in story.lines)  # fmt: skip
    return f"{log.title} ({log.id}, {log.status or 'unreadable'}): {which or 'no ratio moved'} through {counted(len(log.iterations), ITERATION)}"


# --- tables ---


def _sections(story: Story) -> list[Section]:
    baked = bakes_once(story.changelog.iterations)
    made = [_section(story, line, baked) for line in story.lines]
    if not story.lines:
        told = (
            "no ratio moved by more than rounding; name an ingredient, or a setting like 'bake at'"
        )
        made.append(Section("Ratios", before=(told,)))
    if problems := story.changelog.problems:
        lines = tuple(f"{problem.place}: {problem.message}" for problem in problems)
        made.append(Section("Test bakes that cannot be read", before=lines))
    return made


def _section(story: Story, line: Line, baked: Sequence[Baked]) -> Section:
    figure = line.figure
    of = _of(line)
    rows = tuple(_row(story, line, stand, baked) for stand in line.stands)
    title = f"{figure.said}, % of {of}" if of and figure.unit == "%" else heading(figure)
    headers = (HEAD[0], figure.said, "change", *HEAD[1:], "test bakes")
    return Section(title, headers, rows, ">>><<<<", after=tuple(_notes(line, of)), below=1)


def _of(line: Line) -> str:
    """What percentages are of: at the last iteration that says so."""
    said = [stand.one.of for stand in line.stands if stand.one and stand.one.of]
    return said[-1] if said else ""


def _row(story: Story, line: Line, stand: Stand, baked: Sequence[Baked]) -> tuple[str, ...]:
    iteration = stand.iteration
    value = NOT_READ if stand.one is None else "?"
    if stand.one and (stand.one.number is not None or not stand.one.is_there):
        value = shown(line.figure, stand.one) if stand.one.number is not None else "none"
    return (
        str(iteration.number),
        value,
        "; ".join(_change(line.figure, stand, moved) for moved in stand.moved),
        iteration.commit.date if iteration.commit else "not committed",
        iteration.digest or "",
        _status(story, iteration),
        " | ".join(_baked_said(one) for one in baked if one.iteration == iteration.number),
    )


def _status(story: Story, iteration: Iteration) -> str:
    """The last status that it had, as the changelog's events tell."""
    return statuses(story)[iteration.number]


def statuses(story: Story) -> dict[int, str]:
    """By number of iteration the last status it had."""
    log = story.changelog
    events = [event for event in log.events if event.kind == "status"]
    now = events[0].before if events else log.status
    said: dict[int, str] = {}
    for iteration in log.iterations:
        for event in events:
            if event.iteration == iteration.number:
                now = event.after
        said[iteration.number] = now
    return said


def _change(figure: Figure, stand: Stand, moved: Moved) -> str:
    """`-14.8`, with the iteration that it is against where that is not the one above."""
    against = f" against {moved.against}" if _is_named(stand, moved) else ""
    if moved.by is None:
        return f"?{against}"
    if not (stand.one and stand.one.is_there) and not value_of(moved.by):
        return ""
    return f"{_signed(figure, value_of(moved.by))}{against}"


def _is_named(stand: Stand, moved: Moved) -> bool:
    """Whether it is said what a move is against: a merge, or what is not in the row above."""
    return len(stand.moved) > 1 or moved.against != stand.iteration.number - 1


def _signed(figure: Figure, value: float) -> str:
    """A move with its sign; nothing moved is 0."""
    if not round(value, 9):
        return "0"
    if figure.unit == "%" or figure.kind in ("ratio", "kind"):
        return signed(value, figure.fine)
    return f"{'+' if value > 0 else '-'}{value_shown(figure, abs(value))}"


def _baked_said(one: Baked) -> str:
    scores = scores_said(one.bake)
    return f"{one.bake.verdict} ({one.name}){f'; {scores}' if scores else ''}"


def _notes(line: Line, of: str) -> Iterator[str]:
    """What the changelog says moved it, and what is not known or was not there."""
    for stand in line.stands:
        number = stand.iteration.number
        if stand.iteration.unreadable:
            yield f"{number}: could not be read: {stand.iteration.unreadable}"
        if stand.iteration.back_to:
            yield f"{number}: the same as iteration {stand.iteration.back_to}"
        yield from (f"{number}: {said}" for said in _said(stand))
        one = stand.one
        if one and one.why_not and one.number is None and one.is_there:
            yield f"{number}: not known: {one.why_not}"
        if one and one.lacking and one.number is not None:
            yield f"{number}: more, not counted: {', '.join(one.lacking)}"
        if one and one.of and one.of != of:
            yield f"{number}: in percent of {one.of}"
    if len(line.names) > 1:
        yield f"one ingredient under {counted(len(line.names), 'name')}: {', '.join(line.names)}"


def _said(stand: Stand) -> Iterator[str]:
    """The changelog's lines about it; against which iteration where that is not the one before."""
    for moved in stand.moved:
        against = f"against {moved.against}: " if _is_named(stand, moved) else ""
        all_changes = next(m.changes for m in stand.iteration.moves if m.against == moved.against)
        worth = worth_saying(all_changes)
        told = [change for change in moved.changes if change in worth]
        yield from (f"{against}{change_text(change)}" for change in told or moved.changes[:1])


# --- the chart ---


def _panels(story: Story) -> list[Panel]:
    panels = [_panel(line) for line in story.lines]
    return [*panels, *score_panels(story.changelog.iterations)]


def _panel(line: Line) -> Panel:
    figure, of = line.figure, _of(line)
    unit = f"% of {of}" if of and figure.unit == "%" else unit_said(figure)
    points = tuple(_point(line, stand) for stand in line.stands)
    interval = "ends of the range" if figure.kind in ("bake", "step") else SPREAD_SAID
    return Panel(figure.said, ITERATION, unit, points, whole=True, joined=True, interval=interval)


def _point(line: Line, stand: Stand) -> Point:
    figure, one, number = line.figure, stand.one, stand.iteration.number
    if one is None or one.number is None:
        return Point("", number, None, series=figure.said, told=_lack(stand))
    value, spread = value_of(one.number), SPREADS_THAT_COUNT * spread_of(one.number)
    low, high = one.ends or (value - spread, value + spread)
    if high - low <= LEAST_SHOWN_SPREAD:
        return Point("", number, value, series=figure.said)
    return Point("", number, value, low, high, figure.said)


def _lack(stand: Stand) -> str:
    if stand.one is None:
        return "could not be read"
    return one_line(stand.one.why_not)


def _told(story: Story) -> str:
    """What gaps and bars are."""
    said = [f"Bars are {SPREAD_SAID}, or the ends of a range as written."]
    if any(s.one is None or s.one.number is None for line in story.lines for s in line.stands):
        said.append("A line is broken where an iteration could not be read or the figure is not known; nothing is drawn in between.")  # fmt: skip
    if any(s.one and not s.one.is_there for line in story.lines for s in line.stands):
        said.append("An ingredient that is not in the formula is at 0.")
    if bakes_once(story.changelog.iterations):
        said.append("Scores are means of tasters with their 95 % interval.")
    return " ".join(said)


# --- for programs ---


def history_json(story: Story) -> str:
    """Exact values, valid against schema/history.schema.json."""
    log = story.changelog
    said = statuses(story)
    baked = bakes_once(log.iterations)
    data = {
        "format": FORMAT,
        "formula": log.id,
        "title": log.title,
        "moved_most": story.moved_most,
        "iterations": [_iteration_data(i, said[i.number], baked) for i in log.iterations],
        "figures": [_line_data(line) for line in story.lines],
        "bakes_not_read": [f"{problem.place}: {problem.message}" for problem in log.problems],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _iteration_data(iteration: Iteration, status: str, baked: Sequence[Baked]) -> dict[str, Any]:
    commit = iteration.commit
    return {
        "number": iteration.number,
        "commit": commit.sha if commit else None,
        "date": commit.date if commit else None,
        "revision": iteration.digest or None,
        "status": status or None,
        "same_as_iteration": iteration.back_to,
        "unreadable": iteration.unreadable or None,
        "bakes": [
            {**_bake_data(one.bake), "bake": one.name}
            for one in baked
            if one.iteration == iteration.number
        ],
    }


def _bake_data(bake: Bake) -> dict[str, Any]:
    data = bake_data(bake)
    return {key: data[key] for key in ("bake", "date", "verdict", "tasters", "mean_scores")}


def _line_data(line: Line) -> dict[str, Any]:
    figure = line.figure
    return {
        "figure": figure.said,
        "kind": figure.kind,
        "unit": figure.unit,
        "names": list(line.names),
        "stands": [
            {
                "iteration": stand.iteration.number,
                "is_there": stand.one.is_there if stand.one else None,
                **(
                    {k: v for k, v in measured_data(figure, stand.one).items() if k not in ("figure", "kind", "unit")}
                    if stand.one
                    else {}
                ),
                "moved": [
                    {
                        "against_iteration": moved.against,
                        "by": None if moved.by is None else value_of(moved.by),
                        "spread": None if moved.by is None else spread_of(moved.by),
                        "said": [change_text(change) for change in moved.changes],
                    }
                    for moved in stand.moved
                ],
            }
            for stand in line.stands
        ],
    }  # fmt: skip


def history_csv(story: Story) -> str:
    """A row an iteration and figure."""
    said = statuses(story)
    baked = bakes_once(story.changelog.iterations)
    head = ("figure", "unit", "of", *HEAD, "value", "spread", "not known", "against", "by", "spread of by", "test bakes")  # fmt: skip
    rows: list[Sequence[object]] = [head]
    for line in story.lines:
        for stand in line.stands:
            number = stand.iteration.number
            bakes = " | ".join(_baked_said(b) for b in baked if b.iteration == number)
            for moved in stand.moved or (Moved(0, None, ()),):
                moves = (moved.against or None, *_exact(moved.by))
                rows += [(*_stand_cells(line.figure, stand, said[number]), *moves, bakes)]
    return csv_text(rows)


def _stand_cells(figure: Figure, stand: Stand, status: str) -> Sequence[object]:
    iteration, one = stand.iteration, stand.one
    why = iteration.unreadable or (one.why_not if one else "")
    date = iteration.commit.date if iteration.commit else ""
    about = (figure.said, figure.unit, one.of if one else "", iteration.number, date)
    return (*about, iteration.digest, status, *_exact(one.number if one else None), why)


def _exact(number: Number | None) -> tuple[float | None, float | None]:
    """A value and its spread, None where nobody knows."""
    return (None, None) if number is None else (value_of(number), spread_of(number))
