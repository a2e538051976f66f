"""Pages from our templates: one frame for all, every text escaped, nothing from the network."""

from __future__ import annotations

from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[2] / "data"


def html_page(template: str, **values: Any) -> str:
    """What a template of ours makes of values. Raises jinja2's UndefinedError for one left out."""
    return str(_environment().get_template(template).render(**values))


def _environment() -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    from perflour.report.form.signs import unbroken

    environment = Environment(
        loader=FileSystemLoader(FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["unbroken"] = unbroken
    return environment
