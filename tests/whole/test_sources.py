"""What we rest on is named: every source stands in docs/sources.md, and every row there has something resting on it."""

from __future__ import annotations

import sys

import pytest

from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))
from write_sources import PAGE, documents, page, resting, sources, unnamed


def test_every_source_names_a_document_or_says_that_there_is_none() -> None:
    wrong = [(said.kind, said.name, part) for said in sources() for part in unnamed(said.text)]
    assert not wrong


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("USDA SR28, NDB 20081; spread of 13 published values", []),
        ("common practice, no source", []),
        ("safety.csv, row of honey", ["safety.csv, row of honey"]),
        ("a newspaper chart, 2017", ["a newspaper chart, 2017"]),
        ("house choice; a teaching handout", ["a teaching handout"]),
        ("", []),
    ],
)
def test_what_names_nothing_is_found(text: str, wrong: list[str]) -> None:
    assert unnamed(text) == wrong


def test_every_source_has_a_text() -> None:
    assert all(said.text.strip() for said in sources())


def test_something_rests_on_every_document() -> None:
    on = resting()
    assert [document.document for document in documents() if document not in on] == []


def test_the_page_is_up_to_date() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python tools/maintain/write_sources.py"
