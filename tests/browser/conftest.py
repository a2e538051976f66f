"""One browser for all tests of this folder, which one worker runs: each module names the group."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.launch import launched


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """A browser without a window."""
    with launched() as one:
        yield one


@pytest.fixture(scope="package")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the pages of the demo are put as tests ask for them."""
    return tmp_path_factory.mktemp("pages")
