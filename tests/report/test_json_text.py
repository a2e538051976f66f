"""JSON with indents is what the standard library's own encoder writes."""

from __future__ import annotations

import json
from collections import OrderedDict
from enum import IntEnum, StrEnum
from fractions import Fraction
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.report.form.json_text import json_text

KEYS = st.text() | st.integers() | st.booleans() | st.none() | st.floats()
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.tuples(inner, inner) | st.dictionaries(KEYS, inner),
)


class Pan(NamedTuple):
    shape: str
    sides_cm: tuple[float, ...]


class Level(IntEnum):
    NOTE = 1


class Status(StrEnum):
    DRAFT = "draft"


@given(VALUES)
def test_any_data_reads_as_the_standard_library_writes_it(data: object) -> None:
    assert json_text(data) == json.dumps(data, ensure_ascii=False, indent=2)


@pytest.mark.parametrize(
    "data",
    [
        Pan("round", (20.0, 5.0)),
        OrderedDict(tin=[Pan("loaf", ()), {}]),
        {"level": Level.NOTE, Status.DRAFT: Status.DRAFT},
        '"\\ \x00\x1f\x7f\u2028 é 面 🥖 \ud800',
    ],
)
def test_so_do_kinds_of_our_own(data: object) -> None:
    assert json_text([data]) == json.dumps([data], ensure_ascii=False, indent=2)


def test_what_json_has_no_form_for_is_told_otherwise_or_refused() -> None:
    data = {"share": [Fraction(1, 3)]}
    assert json_text(data, str) == json.dumps(data, ensure_ascii=False, indent=2, default=str)
    with pytest.raises(TypeError):
        json_text(data)
