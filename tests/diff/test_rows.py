"""Every kind of change as rows of one table."""

from __future__ import annotations

import pytest

from perflour.diff.change import LineChange, RatioChange
from perflour.kitchen.figures import percent
from perflour.report.diff.rows import DOUBTED, moves_of
from perflour.report.form.moves import Moves, Row, figures, moves_html, moves_text, words
from tests.diff.test_difference_kinds import CASES, changes

ROWS = {
    "amount": figures("honey", "40 g, 4.0 %", "80 g, 8.0 %", "+4.0 %"),
    "added": figures("walnuts", "-", "150 g, 15.0 %", "added to dough"),
    "removed": figures("honey", "40 g, 4.0 %", "-", "taken out of dough"),
    "substituted": figures("olive oil for unsalted butter in dough", "60 g, 6.0 %", "50 g, 5.0 %", "-1.0 %, water -1.1, fat +0.1 points"),
    "moved": words("honey, in which part", "dough", "poolish", ""),
    "split": figures("water split in dough", "480 g, 48.0 %", "400 g + 80 g, 48.0 %", "the same share"),
    "scaled": figures("batch", "1,854 g", "2,782 g", "x1.5, ratios unchanged"),
    "re-measured": figures("honey", "40 g, 4.0 %", "2 tbsp, 4.2 %", "re-measured only"),
    "blend": figures("medium rye flour, share of the flours", "10.0 %", "20.0 %", "+10.0 %"),
    "part added": words("part glaze", "-", "egg 100.0 %, whole milk 40.0 % of the glaze's egg", "added"),
    "preferment share": figures("flour that poolish takes", "20.0 %", "30.0 %", "+10.0 %; the whole as before"),
    "part used by half": figures("the dough's flour", "1,000 g", "900 g", "-100 g"),
    "step added": words("step added", "-", "fold for 2 min"),
    "step removed": words("step taken out", "shape into 2 rounds", "-"),
    "step reworded": words("mould, what is done", "shape", "mould"),
    "bake": words("bake, at", "230 °C", "215 °C"),
    "yield": figures("mass per piece", "927 g", "618 g", "-309 g"),
    "status of others": words("status", "testing", "reference", "not the house's own any more"),
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_a_change_has_its_row(name: str) -> None:
    assert ROWS[name] in moves_of(changes(CASES[name][0])).rows


@pytest.mark.parametrize("name", CASES)
def test_every_change_is_told_with_its_figures(name: str) -> None:
    """None is left out, none told twice, each percentage stands in its column, figures before words."""
    told = changes(CASES[name][0])
    moves = moves_of(told)
    assert not moves.is_empty
    assert len(set(moves.rows)) == len(moves.rows)
    assert [row.is_figures for row in moves.rows] == sorted((row.is_figures for row in moves.rows), reverse=True)  # fmt: skip
    for change in told:
        if isinstance(change, LineChange | RatioChange) and change.kind in ("amount", "ratio") and change.importance >= 1:  # fmt: skip
            sides = (change.before_percent or 0.0, change.after_percent or 0.0)
            shown = [f"{percent(side, change.fine)} %" for side in sides]
            assert any(
                all(cell.endswith(share) for cell, share in zip(row.sides, shown, strict=False))
                for row in moves.rows
            )


def test_the_head_says_whose_flour_and_a_row_of_another_s_does() -> None:
    moves = moves_of(changes(CASES["amount"][0]))
    assert moves.heads == ("what", "before", "after", "change, in % of the dough's flour")
    assert moves.rows[-2].sides[-1] == DOUBTED
    assert "poolish, yeast as instant (of its own flour)" in [
        row.name for row in moves_of(changes(CASES["preferment share"][0])).rows
    ]


TABLE = Moves(
    ("what", "before", "after", "change"),
    (
        Row("salt", ("9 g", "10.5 g", "+1.5 g"), True),
        Row("rest", ("a note of more words than one line of a terminal holds", "-", "")),
    ),
    ("read this first",),
)


def test_a_terminal_sets_numbers_right_and_words_left_and_cuts_none() -> None:
    assert moves_text(TABLE) == [
        "read this first",
        "what                                   before   after  change",
        "----  ---------------------------------------  ------  ------",
        "salt                                      9 g  10.5 g  +1.5 g",
        "rest  a note of more words than one line of a  -",
        "      terminal holds",
    ]


def test_a_page_gives_words_with_no_move_the_room_of_one() -> None:
    assert [len(row["cells"]) for row in moves_html(TABLE)["rows"]] == [4, 3]
