"""Finding and starting the machine's browser; none is downloaded."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, sync_playwright

#: Root cannot have the sandbox, and the pages are ours; a container has little shared memory. The rest asks
#: the network for nothing.
OPTIONS = (
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)

INSTALL = "needs a browser: apt-get install chromium, or PERFLOUR_BROWSER=/path/to/one"


def found() -> str:
    """The browser that is named, else the one that the distribution brings; empty where there is none."""
    named = os.environ.get("PERFLOUR_BROWSER")
    return named or shutil.which("chromium") or shutil.which("chromium-browser") or ""


@contextmanager
def launched() -> Iterator[Browser]:
    """A browser without a window, until the block ends. Where CI has none, somebody has to say why: .ci/run does."""
    if not found():
        why = os.environ.get("PERFLOUR_NO_BROWSER", "")
        if os.environ.get("CI") and not why:
            pytest.fail(INSTALL)
        pytest.skip(f"{INSTALL}{f' ({why})' if why else ''}")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found(), args=OPTIONS)
        try:
            yield browser
        finally:
            browser.close()
