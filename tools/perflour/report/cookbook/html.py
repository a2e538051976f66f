"""A cookbook as one HTML file that needs no network, each formula with its schema.org Recipe."""

from __future__ import annotations

from perflour.cookbook.book import Cookbook
from perflour.report.cookbook.markup import recipe_markup
from perflour.report.cookbook.printed import printed_book
from perflour.report.form.html_page import html_page
from perflour.report.form.signs import typeset


def cookbook_html(book: Cookbook, _: str = "") -> str:
    """The whole book on one page: contents, formulas, index. Every text is escaped."""
    from markupsafe import Markup

    return html_page(
        "cookbook.html",
        book=printed_book(book),
        titles=[typeset(page.title) for page in book.pages],
        # JSON with the signs of HTML written as escapes of JSON
        markup=[Markup(recipe_markup(page, book)) for page in book.pages],
    )
