"""The table of the grammar of ingredient lines, against lark, which made it."""

from __future__ import annotations

import sys
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from lark import Tree as LarkTree
from lark.exceptions import LarkError

from perflour.recipe.grammar import Tree, tree_of
from perflour.recipe.lexemes import Lexeme
from tests.conftest import ROOT, examples

sys.path.insert(0, str(ROOT / "tools" / "maintain"))

from write_line_table import TABLE, as_text, by_lark

BY_LARK = by_lark()
KINDS = ("NUM", "UNIT", "CONTAINER", "RANGE", "PLUS", "ALT", "ALSO", "OF", "LPAR", "RPAR", "SEP", "WORD", "QUALIFIER", "MANNER", "ABOUT")  # fmt: skip
#: What a line is made of, so that many are taken.
PIECES = ("NUM", "NUM UNIT", "NUM RANGE NUM UNIT", "WORD", "WORD WORD", "SEP WORD", "LPAR NUM UNIT RPAR", "ALSO NUM WORD", "NUM CONTAINER", "OF", "PLUS NUM UNIT", "ABOUT NUM", *KINDS)  # fmt: skip


def test_the_table_is_as_lark_makes_it() -> None:
    assert as_text() == TABLE.read_text(encoding="utf-8")


@given(st.lists(st.sampled_from(PIECES), max_size=8))
@examples(300)
def test_a_line_is_taken_apart_as_by_lark(pieces: list[str]) -> None:
    kinds = " ".join(pieces).split()
    line = [Lexeme(kind, kind.lower(), at, at + 1) for at, kind in enumerate(kinds)]
    assert tree_of(line) == _tree_by_lark(line)


def _tree_by_lark(line: list[Lexeme]) -> Tree | None:
    try:
        return _as_ours(BY_LARK.parse(line))  # type: ignore[arg-type]  # its lexer takes lexemes
    except LarkError:
        return None


def _as_ours(one: Any) -> Any:
    if isinstance(one, LarkTree):
        return Tree(str(one.data), [_as_ours(child) for child in one.children])
    return Lexeme(one.type, str(one), one.start_pos, one.end_pos)
