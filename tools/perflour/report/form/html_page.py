"""Pages from our templates: one frame for all, every text escaped, nothing from the network."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from perflour.plain import html_text
from perflour.typed import Any

FOLDER = Path(__file__).parents[2] / "data"


def html_page(template: str, **values: Any) -> str:
    """What a template of ours makes of values. Raises jinja2's UndefinedError for one left out."""
    return str(_environment().get_template(template).render(**values))


def _finished(value: Any) -> Any:
    """A value of a template, where it is a text of no markup: without signs that act or hide."""
    return html_text(value) if type(value) is str else value


# Owner: the process. Bound: one, of our own templates. Pays: a template is compiled once, which takes longer than a page.
@lru_cache(maxsize=1)
def _environment() -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    from perflour.report.form.signs import unbroken

    environment = Environment(
        finalize=_finished,
        loader=FileSystemLoader(FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["unbroken"] = unbroken
    return environment
