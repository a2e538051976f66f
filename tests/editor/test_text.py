"""Lines and columns as the protocol counts them, and edits that come one by one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.editor.text import Edit, Position, Span, Units, applied, becoming, changed, text_of
from tests.conftest import examples

#: Signs of one, two, three and four bytes, every end of a line, and what Python alone takes for one.
SIGNS = st.text("ab é–\U0001f950\U00020bb7\n\r\u2028\x0c", max_size=40)
UNITS = st.sampled_from(["utf-8", "utf-16", "utf-32"])


@pytest.mark.parametrize(("units", "column"), [("utf-8", 10), ("utf-16", 5), ("utf-32", 3)])
def test_columns_are_of_the_encoding_that_was_agreed_on(units: Units, column: int) -> None:
    """LSP 3.17: UTF-16 code units unless another encoding is agreed on; a sign of the second plane is two."""
    text = text_of("x\n\U0001f950\U0001f950éb")
    at = text.content.index("b")
    assert text.position(at, units) == Position(1, column)
    assert text.offset(Position(1, column), units) == at


def test_a_column_inside_a_sign_or_beyond_a_line_is_drawn_back() -> None:
    text = text_of("\U0001f950b\r\nx")
    assert text.offset(Position(0, 1), "utf-16") == 0
    assert text.offset(Position(0, 99), "utf-16") == 2
    assert text.offset(Position(9, 0), "utf-16") == len(text.content)


def test_lines_end_as_the_protocol_says_and_nowhere_else() -> None:
    """LSP 3.17: \\n, \\r\\n and \\r. Python's splitlines would part at U+2028 and a form feed too."""
    assert text_of("a\r\nb\rc\nd\u2028e\x0cf\x85g").starts == (0, 3, 5, 7)


@given(SIGNS, st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60), SIGNS), max_size=6), UNITS)
@examples(150)
def test_edits_one_by_one_come_to_the_whole_text(
    start: str, edits: list[tuple[int, int, str]], units: Units
) -> None:
    """What an editor sends as positions is what Python makes of the same signs."""
    plain, text = start, text_of(start)
    for one, other, new in edits:
        begin, end = sorted((min(one, len(plain)), min(other, len(plain))))
        if plain[begin - 1 : begin + 1] == "\r\n" or plain[end - 1 : end + 1] == "\r\n":
            continue  # inside the end of a line there is no position
        positions = (text.position(at, units) for at in (begin, end))
        text = changed(text, Edit(Span(*(text.offset(at, units) for at in positions)), new))
        plain = plain[:begin] + new + plain[end:]
    assert text == text_of(plain)


@given(SIGNS, SIGNS)
@examples(150)
def test_what_becomes_another_text_is_that_text_after_its_edit(before: str, after: str) -> None:
    text = text_of(before)
    edits = becoming(text, after)
    assert applied(text, edits).content == after
    assert bool(edits) == (before != after)
    cut = {at for edit in edits for at in edit.span}
    assert not any(text.content[max(at - 1, 0) : at + 1] == "\r\n" for at in cut)
