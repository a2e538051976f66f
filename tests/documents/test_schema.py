"""The schemas: described for editors, one verdict by code of our own and two validators, messages for bakers."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from datetime import date
from itertools import product
from typing import Any

import jsonschema
import jsonschema_rs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.documents.reader import read_document
from perflour.documents.schema import check_schema, is_valid, schema
from perflour.system.file_kinds import BY_NAME
from tests.conftest import ROOT, formula_text

sys.path.insert(0, str(ROOT / "tools" / "maintain"))
KINDS = (*BY_NAME, "balance", "diff")


def properties(node: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every property of a schema, references followed by their definitions."""
    if isinstance(node, dict):
        for name, inner in (
            node.get("properties", {}).items() if isinstance(node.get("properties"), dict) else ()
        ):
            yield f"{path}/{name}", inner
        for key, inner in node.items():
            if key != "examples":
                yield from properties(inner, f"{path}/{key}")
    if isinstance(node, list):
        for inner in node:
            yield from properties(inner, path)


@pytest.mark.parametrize("kind", KINDS)
def test_every_property_explains_itself(kind: Any) -> None:
    shape = schema(kind)
    jsonschema.Draft202012Validator.check_schema(shape)
    for path, inner in properties(shape):
        told = shape["$defs"][inner["$ref"].rsplit("/", 1)[1]] if "$ref" in inner else inner
        assert told.get("title") and told.get("description") and told.get("examples"), path
        resolved = {**told, "$defs": shape.get("$defs", {})}
        for example in told["examples"]:
            jsonschema.Draft202012Validator(resolved).validate(example)


def test_generated_validators_are_up_to_date() -> None:
    from write_validators import FOLDER, as_code

    for name in BY_NAME:
        assert (FOLDER / f"{name}.py").read_text(encoding="utf-8") == as_code(name), name


@pytest.mark.parametrize("kind", [k for k in BY_NAME if "date" in schema(k)["properties"]])
def test_a_date_is_a_day_of_the_calendar(kind: Any) -> None:
    """Against the calendar of Python's library: each day of common, leap and century years."""
    pattern = re.compile(schema(kind)["properties"]["date"]["pattern"])
    for year, month, day in product((1, 1900, 2000, 2024, 2026, 2100), range(14), range(33)):
        text = f"{year:04}-{month:02}-{day:02}"
        try:
            date(year, month, day)
        except ValueError:
            assert not pattern.search(text), text
        else:
            assert pattern.search(text), text


VALID = read_document(formula_text("{item: flour, amount: 100 g}").encode(), "f").data
scalars = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(alphabet="ab-1 ", max_size=6)
)
values = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=2)
        | st.dictionaries(
            st.sampled_from(["item", "part", "amount", "do", "uses", "x"]), inner, max_size=3
        )
    ),
    max_leaves=5,
)


@given(st.sampled_from([*schema("formula")["properties"], "unknown"]), values, st.booleans())
def test_three_validators_agree(key: str, value: object, whole: bool) -> None:
    """jsonschema, jsonschema-rs and the generated code are independent readings of the draft."""
    data = value if whole else {**VALID, key: value}
    by_jsonschema = jsonschema.Draft202012Validator(schema("formula")).is_valid(data)
    assert is_valid(data, "formula") == by_jsonschema
    assert jsonschema_rs.validator_for(schema("formula")).is_valid(data) == by_jsonschema


def test_the_formula_of_the_design_is_valid() -> None:
    for folder in ("published/weight", "published/measure", "published/worked"):
        for path in sorted((ROOT / "tests" / folder).glob("*/formula.yaml")):
            assert check_schema(read_document(path.read_bytes(), path.name), "formula") == ()


MESSAGES = [
    ("title: Trial", "titel: Trial", "f:2:1", "unknown key 'titel' in the file; did you mean 'title'?"),
    ("title: Trial\n", "", "f:1:1", "the file has no `title`; add it"),
    ("amount: 100 g", "amount: 100", "f:8:43", '`amount` of ingredient 1 of part 1 is 100, but must be text, like `"240 g"`'),
    ("status: draft", "status: done", "f:4:9", '`status` is "done"; write one of draft, testing, approved, retired, reference'),
    ("formula: trial", "formula: Trial Loaf", "f:1:10", '`formula` is "Trial Loaf"; write it like `"oat-treacle-loaf"`'),
    ("{item: all", "{part: x, item: all", "f:8:9", "ingredient 1 of part 1 needs either `item` or `part`, not both; keep one"),
    ("{item: all-purpose flour, ", "{", "f:8:9", "ingredient 1 of part 1 needs either `item` or `part`; add one"),
    ("method: []", "method: bake it", "f:9:9", '`method` is "bake it", but must be a list, like `[{"do": "preheat", "to": "175 °C"}, {"do": "bake", "at": "175 °C", "for": "45-50 min", "until": "a skewer comes out clean"}]`'),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "place", "message"), MESSAGES)
def test_says_what_is_wrong_where(old: str, new: str, place: str, message: str) -> None:
    text = formula_text("{item: all-purpose flour, amount: 100 g}")
    assert old in text
    results = check_schema(read_document(text.replace(old, new).encode(), "f"), "formula")
    assert (place, message) in [(str(r.place), r.message) for r in results]


def test_schemas_are_json_with_an_id() -> None:
    for kind in KINDS:
        text = (ROOT / "schema" / f"{kind}.schema.json").read_text(encoding="utf-8")
        assert json.loads(text)["$id"] == f"{kind}.schema.json"
