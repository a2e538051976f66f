"""One browser for all tests of this folder, which one worker runs: each module names the group."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.launch import found, launched

INSTALL = "needs a browser: apt-get install chromium, or PERFLOUR_BROWSER=/path/to/one"


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """A browser without a window. Where CI has none, somebody has to say why: .ci/run does."""
    if not found():
        why = os.environ.get("PERFLOUR_NO_BROWSER", "")
        if os.environ.get("CI") and not why:
            pytest.fail(INSTALL)
        pytest.skip(f"{INSTALL}{f' ({why})' if why else ''}")
    with launched() as one:
        yield one


@pytest.fixture(scope="package")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the pages of the demo are put as tests ask for them."""
    return tmp_path_factory.mktemp("pages")
