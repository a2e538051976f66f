"""A cookbook as one HTML file that needs no network, each formula with its schema.org Recipe."""

from __future__ import annotations

from perflour.cookbook.book import Cookbook
from perflour.report.cookbook.markup import recipe_markup
from perflour.report.cookbook.printed.book import printed_book
from perflour.report.form.html_page import html_page


def cookbook_html(book: Cookbook) -> str:
    """The whole book on one page: contents, formulas, index. Every text is escaped."""
    from markupsafe import Markup

    return html_page(
        "cookbook.html",
        book=printed_book(book),
        pictures=[[_as_address(photo.content) for photo in page.photos] for page in book.pages],
        # JSON with the signs of HTML written as escapes of JSON
        markup=[Markup(recipe_markup(page, book)) for page in book.pages],
    )


def _as_address(content: bytes) -> str:
    """A picture in the address itself, so that the page stays one file."""
    from base64 import b64encode

    from perflour.report.cookbook.pdf import picture_type

    kind = picture_type(content).replace("jpg", "jpeg")
    return f"data:image/{kind};base64,{b64encode(content).decode()}"
