"""A bake day in the forms that are read by people."""

from __future__ import annotations

import shutil

from perflour.bakeday.plan import Plan
from perflour.report.bakeday.entries import day_lanes
from perflour.report.bakeday.plan import plan_sections, plan_title
from perflour.report.bakeday.wrapped import wrapped_text
from perflour.report.form.html_page import html_page
from perflour.report.form.lanes import picture
from perflour.report.form.sections import sections_html, sections_markdown


def plan_text(plan: Plan, wide: bool) -> str:
    """For a terminal, as wide as it is unless ``wide``."""
    width = None if wide else shutil.get_terminal_size().columns
    return wrapped_text(plan_title(plan), plan_sections(plan), width)


def plan_markdown(plan: Plan, _: bool) -> str:
    return sections_markdown(plan_title(plan), plan_sections(plan))


def plan_html(plan: Plan, _: bool) -> str:
    """A page to be printed."""
    return sections_html(plan_title(plan), plan_sections(plan))


def plan_svg(plan: Plan, _: bool) -> bytes:
    """The picture of the day alone."""
    return html_page("lanes_alone.svg", picture=picture(day_lanes(plan))).encode()
