"""A cookbook as one HTML file that needs no network, each formula with its schema.org Recipe."""

from __future__ import annotations

from pathlib import Path

from perflour.cookbook import Cookbook
from perflour.report.printed import printed_book
from perflour.report.recipe_markup import recipe_markup
from perflour.report.signs import typeset, unbroken

TEMPLATE = Path(__file__).parents[1] / "data" / "cookbook.html"


def cookbook_html(book: Cookbook) -> str:
    """The whole book on one page: contents, formulas, index. Every text is escaped."""
    from jinja2 import Environment, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters["unbroken"] = unbroken
    template = environment.from_string(TEMPLATE.read_text(encoding="utf-8"))
    return template.render(
        book=printed_book(book),
        titles=[typeset(page.title) for page in book.pages],
        # JSON with the signs of HTML written as escapes of JSON
        markup=[Markup(recipe_markup(page, book)) for page in book.pages],
    )
