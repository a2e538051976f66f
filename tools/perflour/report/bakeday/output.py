"""A bake day in the form asked for."""

from __future__ import annotations

import shutil

from perflour.bakeday.plan import Plan
from perflour.report.bakeday.plan import plan_sections, plan_title
from perflour.report.form.sections import sections_html, sections_markdown, sections_text


def plan_rendered(plan: Plan, output: str, wide: bool) -> str:
    """The plan as text, markdown, html or json."""
    if output == "json":
        from perflour.report.bakeday.data import plan_json

        return plan_json(plan)
    title, sections = plan_title(plan), plan_sections(plan)
    if output == "text":
        width = None if wide else shutil.get_terminal_size().columns
        return sections_text(title, sections, width)
    return (sections_html if output == "html" else sections_markdown)(title, sections)
