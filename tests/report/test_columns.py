"""Tables that fit: no line wider than the terminal but for a single word, nothing lost, whatever the signs."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.plain import one_line
from perflour.report.form.cells import cells, wrap
from perflour.report.form.columns import Frame, columns

#: What Unicode Technical Report 11 (East Asian Width) and Technical Standard 51 (emoji) give a sign, by hand.
WIDTHS = {
    "flour": 5, "½ tsp": 5, "crème": 5, "cre\u0300me": 5, "小麦粉": 6, "ｱｰﾓﾝﾄﾞ": 6, "밀가루": 6, "👩‍🍳": 2, "☕️": 2,
    "👍🏽": 2, "แป้ง": 3,
}  # fmt: skip
WORD = st.one_of(
    st.text("abcdeé½", min_size=1, max_size=9), st.sampled_from((*WIDTHS, "oat-date-loaf", "12.5"))
)
CELL = st.lists(WORD, max_size=6).map(" ".join)


@pytest.mark.parametrize(("text", "wide"), WIDTHS.items())
def test_a_text_is_as_wide_as_its_signs(text: str, wide: int) -> None:
    assert cells(text) == wide


def test_a_column_of_wide_signs_is_aligned_by_cells() -> None:
    table = columns(["item", "g"], [["小麦粉", "100"], ["egg", "5"]], "<>")
    assert table == ["item      g", "------  ---", "小麦粉  100", "egg       5"]


@given(st.data())
def test_every_table_fits_and_loses_nothing(data: st.DataObject) -> None:
    number = data.draw(st.integers(1, 5))
    row = st.lists(CELL, min_size=number, max_size=number)
    head, rows = data.draw(row), data.draw(st.lists(row, max_size=4))
    align = data.draw(st.text("<>", min_size=number, max_size=number))
    room = data.draw(st.sampled_from((20, 40, 60, 80, 120, 200)))
    lines = columns(head, rows, align, Frame(room))
    whole = "".join(lines)
    for line in lines:
        assert cells(line) <= room or len(line.split()) == 1, line
    for word in (word for cells_of in rows for cell in cells_of for word in one_line(cell).split()):
        assert all(piece in whole for piece in re.findall(r"[^-]+-?", word)), word


@given(CELL, st.integers(13, 60))
def test_a_wrapped_text_is_the_text(text: str, room: int) -> None:
    lines = wrap(text, room, break_on_hyphens=False)
    assert all(cells(line) <= room for line in lines)
    assert " ".join(lines).split() == text.split()


def test_words_go_on_below_and_numbers_stay_whole() -> None:
    rows = [["dark brown sugar", "packed, measured by the cup", "1,234.5"]]
    assert columns(["item", "how", "g"], rows, "<<>", Frame(34)) == [
        "item         how                 g",
        "-----------  ------------  -------",
        "dark brown   packed,       1,234.5",
        "  sugar      measured by",
        "             the cup",
    ]


def test_a_table_that_would_be_too_narrow_is_turned_on_its_side() -> None:
    rows = [["  egg", "2 large", "100", "", "42.4"], ["flour", "", "236", "2", "100.0"]]
    assert columns(["", "amount", "g", "± g", "%"], rows, "<<>>>", Frame(20)) == [
        "  egg",
        "    amount  2 large",
        "    g       100",
        "    %       42.4",
        "flour",
        "  g       236",
        "  ± g     2",
        "  %       100.0",
    ]


@pytest.mark.parametrize("room", range(44, 60))
def test_what_goes_on_below_stays_in_its_column(room: int) -> None:
    name = "formulas/rye-poolish-loaf/bakes/2026-11-25-b.yaml"
    _, dashes, *rows = columns(["record", "how"], [[name, "test bake changed"]], "<<", Frame(room))
    width = len(dashes.split()[0])
    assert {row[width : width + 2] for row in rows} <= {"", "  "}
    assert "".join(row[:width].strip() for row in rows) == name
