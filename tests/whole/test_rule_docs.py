"""The pages of docs/rules/ are those that the rules and their examples make."""

from __future__ import annotations

import sys

from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))


def test_pages_are_up_to_date() -> None:
    from write_rule_docs import DOCS, pages

    written = {path.name: path.read_text(encoding="utf-8") for path in DOCS.glob("*")}
    assert written == pages(), "run: python tools/maintain/write_rule_docs.py"
