"""Lint never crashes, whatever the YAML: any data, and real formulas with anything changed.

500 examples each on a developer's machine, 20,000 in the nightly run.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from perflour.documents.reader import read_document
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.lint.check import check_content
from perflour.lint.rules.all_rules import RULES
from perflour.lint.rules.reading import READING
from perflour.result import LEVELS
from tests.conftest import ROOT, examples

fuzzed = examples(500, suppress_health_check=list(HealthCheck))

HOUSE: Kitchen = kitchen_for(str(ROOT / "formulas" / "x.yaml"))
KNOWN = {rule.id for rule in RULES} | set(READING)
TEXTS = [path.read_bytes() for path in sorted((ROOT / "formulas").glob("*/formula.yaml"))]
DATA = [read_document(text, "f").data for text in TEXTS]

words = st.sampled_from(
    ["", " ", "all", "egg", "flour", "batter", "dough", "preheat", "bake", "cream", "1 cup", "-1 g", "½", "350 °F", "1/0 g", "3-2 min", "rest of flour", "nothing", "approved", "60 % flour", "gluten-free", "loaf pan 1 x 1 x 1 cm", "2 round 0 x 0 cm"]
)  # fmt: skip
scalars = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12) | words
values: st.SearchStrategy[Any] = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(words | st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=8,
)


def sound(content: bytes) -> None:
    """Every result is a known rule with a level, a place and one line that says what to do."""
    for result in check_content(content, "formulas/x/formula.yaml", HOUSE):
        assert result.rule in KNOWN
        assert result.level in LEVELS
        assert result.place.line >= 1
        assert result.place.column >= 1
        assert result.message


@fuzzed
@given(values)
def test_any_data(value: object) -> None:
    sound(json.dumps(value, ensure_ascii=False).encode("utf-8", "surrogatepass"))


def nodes(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The paths of all nodes below the root."""
    items = (
        data.items()
        if isinstance(data, dict)
        else enumerate(data)
        if isinstance(data, list)
        else ()
    )
    return [p for key, inner in items for p in ((*path, key), *nodes(inner, (*path, key)))]


@fuzzed
@given(st.sampled_from(DATA), st.data())
def test_formulas_with_anything_changed(formula: Any, draw: st.DataObject) -> None:
    changed = json.loads(json.dumps(formula))
    for _ in range(draw.draw(st.integers(1, 4))):
        *above, last = draw.draw(st.sampled_from(nodes(changed)))
        at = changed
        for key in above:
            at = at[key]
        text = st.text(max_size=20) | words
        at[last] = draw.draw(
            text if isinstance(at[last], str) and draw.draw(st.booleans()) else values
        )
    sound(json.dumps(changed, ensure_ascii=False).encode("utf-8", "surrogatepass"))


@fuzzed
@given(st.sampled_from(TEXTS), st.integers(0, 4000), st.integers(0, 40), st.binary(max_size=8))
def test_files_with_bytes_cut_out_and_put_in(text: bytes, at: int, length: int, new: bytes) -> None:
    sound(text[:at] + new + text[at + length :])


@pytest.mark.parametrize("text", TEXTS, ids=lambda text: str(len(text)))
def test_every_line_may_be_missing(text: bytes) -> None:
    lines = text.splitlines(keepends=True)
    for number in range(len(lines)):
        sound(b"".join(lines[:number] + lines[number + 1 :]))
