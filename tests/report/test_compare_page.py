"""The page of formulas side by side in a browser: sorting, and one formula at a time on a phone, by keyboard."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from perflour.compare.collect import collect
from perflour.compare.table import SideBySide, side_by_side
from perflour.report.compare.html import side_by_side_html
from perflour.report.form.chart.text import width_of
from tests.browser.launch import launched
from tests.conftest import ROOT

pytestmark = pytest.mark.xdist_group("browser")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as one:
        yield one


@pytest.fixture(scope="module")
def demo() -> SideBySide:
    return side_by_side(collect([str(ROOT / "formulas")]))


def shown(
    browser: Browser, demo: SideBySide, tmp_path: Path, width: int, script: bool = True
) -> Any:
    (tmp_path / "page.html").write_text(side_by_side_html(demo), "utf-8")
    context = browser.new_context(
        viewport={"width": width, "height": 800}, java_script_enabled=script
    )
    page = context.new_page()
    page.goto((tmp_path / "page.html").as_uri())
    return page


def cards(page: Any) -> list[str]:
    return [text.removesuffix(" ~") for text in page.locator(".cards h3:visible").all_inner_texts()]


def test_a_phone_shows_one_formula_at_a_time_by_keyboard(
    browser: Browser, demo: SideBySide, tmp_path: Path
) -> None:
    labels = [column.label for column in demo.columns]
    page = shown(browser, demo, tmp_path, 390)
    assert not page.locator("#side-by-side").is_visible()
    assert cards(page) == labels[:1]
    page.get_by_label("Formula:").focus()
    page.keyboard.press("ArrowDown")
    assert cards(page) == labels[1:2]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.set_viewport_size({"width": 1440, "height": 800})
    assert cards(page) == [] and page.locator("#side-by-side").is_visible()
    page.context.close()
    page = shown(browser, demo, tmp_path, 390, script=False)
    assert cards(page) == labels  # one after another


def test_a_head_sorts_its_column_and_puts_back(
    browser: Browser, demo: SideBySide, tmp_path: Path
) -> None:
    page = shown(browser, demo, tmp_path, 1440)
    first = demo.columns[1].label
    rows = "[...document.querySelectorAll('#side-by-side tbody')[1].rows].slice(1).map(r => r.cells[3].dataset.value)"
    asked = page.get_by_role("button", name=f"sort by {first}")
    before = page.evaluate(rows)

    def numbers() -> list[float]:
        return [float(value) for value in page.evaluate(rows) if value is not None]

    asked.press("Enter")
    assert numbers() == sorted(numbers(), reverse=True) and len(numbers()) > 4
    asked.press("Enter")
    assert numbers() == sorted(numbers())
    asked.press("Enter")
    assert page.evaluate(rows) == before


def test_a_point_says_itself_to_the_keyboard_and_texts_are_no_wider_than_reckoned(
    browser: Browser, demo: SideBySide, tmp_path: Path
) -> None:
    page = shown(browser, demo, tmp_path, 390)
    point = page.locator(".point").nth(3)
    assert not point.locator(".said").is_visible()
    point.focus()
    assert point.locator(".said").is_visible()
    assert page.locator(".said:visible").count() == 1
    sizes = page.evaluate(
        "[...document.querySelectorAll('.chart text:not(.said):not(.head)')].map(t => [t.textContent, t.getBBox().width])"
    )
    assert len(sizes) > 200
    for text, wide in sizes:
        assert wide <= width_of(text) + 0.5, text
