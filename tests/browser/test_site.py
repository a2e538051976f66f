"""The pages of the whole kitchen: the largest of each kind as a reader has it, in the nightly run every one."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.demo_pages import SITE_KINDS as KINDS
from tests.browser.demo_pages import make_site, whole_history
from tests.browser.known import unknown
from tests.browser.looks import astray, faults_of, pages_below, read_links
from tests.conftest import times

pytestmark = [pytest.mark.xdist_group("browser"), whole_history]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_site(tmp_path_factory.mktemp("kitchen") / "site")


def test_every_page_is_of_a_kind(site: Path) -> None:
    found = [page for kind in KINDS for page in site.glob(kind)]
    assert sorted(found) == pages_below(site)


@pytest.mark.nightly
@pytest.mark.parametrize("kind", KINDS)
def test_a_page_of_the_kitchen_is_without_fault(kind: str, browser: Browser, site: Path) -> None:
    pages = sorted(site.glob(kind), key=lambda page: page.stat().st_size, reverse=True)
    assert pages
    some = pages[: max(1, times(100) // 100)]
    assert (
        unknown(f"site: {kind}", [one for page in some for one in faults_of(browser, page)]) == []
    )


def test_every_link_of_the_kitchen_leads_somewhere(site: Path) -> None:
    assert [said for page in pages_below(site) for said in astray(page, *read_links(page))] == []
