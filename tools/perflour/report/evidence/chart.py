"""The strongest relations as points: a figure against what came of it, with the interval of each thing's tasters."""

from __future__ import annotations

from perflour.evidence.matter import BY_PLACE
from perflour.evidence.related import Relation, Shown, shown
from perflour.evidence.why import Level, Why
from perflour.records.bake import SCALE
from perflour.report.evidence.why_words import title
from perflour.report.form.charts import Panel, Point, chart_html, chart_svg
from perflour.report.trials.figures import p_text

MOST_PANELS = 6
TOLD = (
    "The strongest relations, as given; bars are 95 % intervals of tasters. A relation is no cause."
)
#: Readings with their units; all else is a score from 1 to 9, or a place.
READ = {"height": "height, mm", "spread": "spread, mm", "bake-out loss": "bake-out loss, %"}


def why_svg(found: Why) -> bytes:
    """The strongest relations of each question; a relation is no cause, and says whether chance alone may bring it."""
    return chart_svg(_title(found), TOLD, _panels(found))


def why_figures(found: Why) -> str:
    """The same as markup of a page; empty where there is nothing to draw."""
    panels = _panels(found)
    return chart_html(_title(found), TOLD, panels) if panels else ""


def _title(found: Why) -> str:
    return "; ".join(map(title, found.levels))


def _panels(found: Why) -> list[Panel]:
    return [
        _panel(level, one) for level in found.levels for one in level.relations.found[:MOST_PANELS]
    ]


def _panel(level: Level, one: Relation) -> Panel:
    matter = level.matter
    points = shown(
        matter.scores[one.outcome], matter.figures[one.figure], matter.names, matter.family
    )
    is_score = one.outcome not in READ and not one.outcome.endswith(BY_PLACE)
    y = READ.get(
        one.outcome, f"{one.outcome}, 1 to 9" if is_score else f"{one.outcome}, turned round"
    )
    unit = matter.units.get(one.figure, "")
    return Panel(
        f"{one.outcome} over {one.figure}: p {p_text(one.p_of_all)} with all looks counted",
        f"{one.figure}, {unit}" if unit else one.figure,
        y,
        tuple(_point(level, point, is_score) for point in points),
        limits=SCALE if is_score else None,
        interval="95 % interval of tasters",
    )


def _point(level: Level, point: Shown, is_score: bool) -> Point:
    """A mark; an interval ends where the scale does."""
    low, high = point.low, point.high
    if is_score and low is not None and high is not None:
        low, high = max(low, SCALE[0]), min(high, SCALE[1])
    name = point.thing if level.among == "formulas" else point.thing.rpartition(" ")[2]
    return Point(name, point.figure, point.outcome, low, high, point.family)
