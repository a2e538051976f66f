"""Every kind of page as a reader has it: in all widths, by day, by night, on paper, by the keyboard, by ear."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from perflour.report.forms import FORMS
from tests.browser.demo_pages import DEMO, make, whole_history
from tests.browser.known import unknown
from tests.browser.looks import faults_of, opened
from tests.report.test_cookbook import NEEDED, PROPERTIES, assert_type

pytestmark = [pytest.mark.xdist_group("browser"), whole_history]


def test_every_kind_of_page_is_looked_at() -> None:
    kinds = {subject for subject, forms in FORMS.items() if "html" in forms}
    # the changelog of one formula is a piece of the page of several
    assert {made.subject for made in DEMO.values()} == kinds - {"changelog"}


@pytest.mark.parametrize("name", DEMO)
def test_a_page_is_without_fault(name: str, browser: Browser, folder: Path) -> None:
    assert unknown(name, faults_of(browser, make(name, DEMO[name], folder))) == []


def test_a_table_is_sorted_by_the_keyboard(browser: Browser, folder: Path) -> None:
    """Enter on the head of a column of numbers: largest first in each block of rows, then smallest."""
    with opened(browser, make("compare", DEMO["compare"], folder)) as compared:
        page = compared.page
        head = page.locator("thead th", has=page.locator("button")).nth(2)
        at = head.evaluate("head => head.cellIndex")
        for said, first in (("descending", max), ("ascending", min)):
            head.locator("button").focus()
            page.keyboard.press("Enter")
            assert head.get_attribute("aria-sort") == said
            for block in _columns(page.locator("tbody").all(), at):
                assert block == sorted(block, reverse=first is max)
        assert compared.did == []


def _columns(bodies: list, at: int) -> list[list[float]]:
    """What stands in a column, by the blocks of a table; cells without a figure are left out."""
    ask = "(body, at) => [...body.rows].map(row => row.cells[at]?.dataset.value).filter(Boolean).map(Number)"
    found = [body.evaluate(ask, at) for body in bodies]
    assert any(len(set(block)) > 2 for block in found), "no column to sort"
    return found


@pytest.mark.filterwarnings("ignore:ConjunctiveGraph is deprecated")  # rdflib's own
def test_a_browser_reads_the_recipes_of_a_cookbook(browser: Browser, folder: Path) -> None:
    """schema.org by the vocabulary that rdflib ships (its SDO namespace), types as in the cookbook's tests."""
    from rdflib import RDF, Graph
    from rdflib.namespace import SDO  # pytest would ask it for names if it stood above

    with opened(browser, make("cookbook", DEMO["cookbook"], folder)) as book:
        read = "[...document.querySelectorAll('script[type=\"application/ld+json\"]')].map(one => JSON.parse(one.textContent))"
        recipes = book.page.evaluate(read)
        titles = book.page.locator("article h3").all_inner_texts()
    assert [recipe["name"] for recipe in recipes] == titles
    for recipe in recipes:
        assert recipe.pop("@context") == "https://schema.org"
        graph = Graph().parse(
            data=json.dumps(recipe | {"@context": {"@vocab": str(SDO)}}), format="json-ld"
        )
        assert list(graph.subjects(RDF.type, SDO.Recipe))
        for name in {*graph.predicates(), *graph.objects(None, RDF.type)} - {RDF.type}:
            assert name in SDO, name
        assert recipe.pop("@type") == "Recipe"
        assert recipe.keys() >= NEEDED
        for key, value in recipe.items():
            assert_type(value, PROPERTIES[key])
