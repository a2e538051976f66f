"""What is seen to be plain text without reading it, against the reader of YAML."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.documents import layout
from perflour.documents.layout import as_scalar
from perflour.documents.reader import read_document
from perflour.result import FileProblem
from tests.conftest import examples

WORDS = st.sampled_from(("1/2 cup", "240 g", "0x1F", "1e5", ".5", "null", "True", "no", "~", "-", "- ", "a: b", "a #b", "bake it.", "it's", "6 %", "2026-01-01", "%", " ", "+1", "3;", "4:5", "x" * 1100))  # fmt: skip
SIGNS = st.text("aZ9 .-+/()%';:#,[]{}&*!|>\"\t\n°", max_size=8)


@given(st.lists(WORDS | SIGNS, min_size=1, max_size=4).map("".join))
@examples(500)
def test_a_scalar_says_its_text(text: str) -> None:
    scalar = as_scalar(text)
    document = read_document(f"key: {scalar.text}\nmore: [{scalar.text}]\n".encode(), "x")
    assert document.data == {"key": text, "more": [text]}
    with pytest.MonkeyPatch.context() as without:
        without.setattr(layout, "_NO_TEXT", {text.lower()})  # so that every text is read
        assert as_scalar(text) == scalar


@given(st.tuples(SIGNS, st.sampled_from((",", ": ")), SIGNS).map("".join))
@examples(300)
def test_a_text_with_a_comma_or_a_colon_is_never_plain(text: str) -> None:
    """As the reader of YAML has it inside brackets."""
    try:
        read = read_document(f"[{text}]".encode(), "x").data
    except FileProblem:
        return
    assert read != [text]
