"""What a reader does on the pages of the kitchen, by keyboard alone: search, sort, choose."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.demo_pages import make_site, whole_history
from tests.browser.looks import opened
from tests.conftest import ROOT, run_cli

pytestmark = [pytest.mark.xdist_group("browser"), whole_history]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_site(tmp_path_factory.mktemp("kitchen") / "site")


@pytest.fixture(scope="module")
def formulas() -> list[dict[str, Any]]:
    """Every formula of the demo as the other commands tell it."""
    shown = json.loads(run_cli("show", "--output", "json", cwd=ROOT).out)
    held = json.loads(run_cli("contents", "--output", "json", cwd=ROOT).out)
    return [{**one, **other} for one, other in zip(shown, held, strict=True)]


def ratio(name: str) -> Callable[[dict[str, Any]], float]:
    return lambda one: float(one["total"]["ratios"].get(name, {"percent": 0})["percent"])


def brings(word: str) -> Callable[[dict[str, Any]], bool]:
    """Whether an ingredient or an allergen is called so."""

    def asked(one: dict[str, Any]) -> bool:
        names = [line["item"] for part in one["parts"] for line in part["ingredients"]]
        return any(word in name.casefold() for name in (*names, *one["allergens"]["us"], *one["allergens"]["eu"]))  # fmt: skip

    return asked


SEARCHES: dict[str, Callable[[dict[str, Any]], bool]] = {
    "sugar over 60 %": lambda one: ratio("sugar")(one) > 60,
    "total-fat under 30": lambda one: ratio("total-fat")(one) < 30,
    "Total Sugar at least 20,5": lambda one: ratio("total-sugar")(one) >= 20.5,
    "contains almond": brings("almond"),
    "contains milk": brings("milk"),
    "without egg": lambda one: not brings("egg")(one) and not one["allergens"]["not_known"],
    "status approved": lambda one: one["status"] == "approved",
    "class cookie, contains rye": lambda one: "cookie" in one["class"] and brings("rye")(one),
    "status testing and sugar over 40": lambda one: one["status"] == "testing" and ratio("sugar")(one) > 40,
    "treacle": lambda one: "treacle" in one["title"].casefold() or brings("treacle")(one),
    "": lambda one: True,
}  # fmt: skip


def titles(page: Page) -> set[str]:
    return set(page.locator("main table tbody tr:not([hidden]) th a").all_inner_texts())


def test_a_search_finds_what_the_formulas_say(
    browser: Browser, site: Path, formulas: list[dict[str, Any]]
) -> None:
    with opened(browser, site / "formulas/index.html") as there:
        for asked, holds in SEARCHES.items():
            there.page.fill("#find", asked)
            expected = {one["title"] for one in formulas if holds(one)}
            assert titles(there.page) == expected, asked
            told = there.page.inner_text("#find-told")
            assert told.startswith(f"{len(expected)} of {len(formulas)}") if asked else not told
        assert there.did == []


def test_a_ratio_that_nobody_has_is_told(browser: Browser, site: Path) -> None:
    with opened(browser, site / "formulas/index.html") as there:
        there.page.fill("#find", "suggar over 60 %")
        assert "no ratio and no ingredient is called so: suggar over 60 %" in there.page.inner_text("#find-told")  # fmt: skip
        assert titles(there.page) == set()


def test_from_the_start_page_enter_leads_to_what_was_asked_for(
    browser: Browser, site: Path
) -> None:
    with opened(browser, site / "index.html") as there:
        there.page.focus("#find")
        there.page.keyboard.type("status approved")
        there.page.keyboard.press("Enter")
        there.page.wait_for_url("**/formulas/index.html?find=*")
        assert there.page.input_value("#find") == "status approved"
        assert 0 < len(titles(there.page)) < there.page.locator("main table tbody tr").count()


def test_a_column_sorts_by_keyboard_both_ways_and_nothing_stands_last(
    browser: Browser, site: Path
) -> None:
    with opened(browser, site / "formulas/index.html") as there:
        page = there.page
        head = page.locator("thead th", has_text="hydration")
        at = int(head.evaluate("one => one.cellIndex"))
        head.locator("button").focus()
        for said, backwards in (("ascending", False), ("descending", True)):
            page.keyboard.press("Enter")
            assert head.get_attribute("aria-sort") == said
            cells = page.locator(f"main table tbody tr > :nth-child({at + 1})")
            values = [float(v) for v in cells.evaluate_all("all => all.map(one => one.dataset.value ?? 'nan')")]  # fmt: skip
            there_are = [v for v in values if v == v]
            assert len(there_are) > 2
            assert there_are == sorted(there_are, reverse=backwards)
            assert values[: len(there_are)] == there_are


def test_a_formula_that_is_not_chosen_leaves_the_table(browser: Browser, site: Path) -> None:
    with opened(browser, site / "compare/index.html") as there:
        page = there.page
        heads = page.locator("#chosen thead th:not([hidden])")
        everything = heads.count()
        page.locator("[data-column='1']").focus()
        page.keyboard.press("Space")
        assert heads.count() == everything - 1
        page.locator("[data-all='']").focus()
        page.keyboard.press("Enter")
        assert heads.count() == 1
        page.locator("[data-all='yes']").focus()
        page.keyboard.press("Enter")
        assert heads.count() == everything
