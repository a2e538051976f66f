"""The reader: YAML 1.2 core with positions, and everything it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from perflour.documents.by_pyyaml import _composed, _read_events
from perflour.documents.reader import MAX_DEPTH, read_document
from perflour.lint.places import ends_of
from perflour.result import FileProblem, Place
from tests.conftest import ROOT


def data(text: str) -> object:
    return read_document(text.encode(), "f.yaml").data


# YAML 1.2.2, chapter 10.3, core schema: resolution of plain scalars.
CORE = [
    ("null", None), ("~", None), ("true", True), ("False", False), ("no", "no"), ("yes", "yes"),
    ("on", "on"), ("12", 12), ("-7", -7), ("0o14", 12), ("0xC", 12), ("1.5", 1.5), ("1e3", 1000.0),
    (".5", 0.5), ("1:30", "1:30"), ("2026-03-14", "2026-03-14"), ("1_000", "1_000"), ("010", 10),
    ("'12'", "12"), ("1/2", "1/2"), ("+12", 12), ("<<", "<<"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "value"), CORE)
def test_plain_scalars_follow_yaml_1_2(text: str, value: object) -> None:
    assert data(f"a: {text}") == {"a": value}


def test_every_node_has_its_place() -> None:
    document = read_document("a: 1\nb:\n  - {c: é, d: x}\n".encode(), "f.yaml")
    assert str(document.place("b", 0, "d")) == "f.yaml:3:15"
    assert str(document.key_place("b", 0, "d")) == "f.yaml:3:12"
    assert str(document.place("b", 0, "missing")) == "f.yaml:3:5"


REFUSED = [
    (b"", "f.yaml:1:1", "empty-file"),
    (b"# only a remark\n", "f.yaml:1:1", "empty-file"),
    (b"a: 1\na: 2\n", "f.yaml:2:1", "duplicate-key"),
    (b"a: &x 1\nb: *x\n", "f.yaml:1:4", "alias-or-tag"),
    (b"a: *x\n", "f.yaml:1:4", "alias-or-tag"),
    (b"a: !!python/object:os.system x\n", "f.yaml:1:4", "alias-or-tag"),
    (b"a: !!str 1\n", "f.yaml:1:4", "alias-or-tag"),
    (b"a: 1\n---\nb: 2\n", "f.yaml:2:1", "broken-yaml"),
    (b"a: [1, 2\n", "f.yaml:2:1", "broken-yaml"),
    (b"a: 'x\n", "f.yaml:2:1", "broken-yaml"),
    (b"a:\n\t- 1\n", "f.yaml:2:1", "broken-yaml"),
    (b"a: b: c\n", "f.yaml:1:5", "broken-yaml"),
    (b"? [x]\n: 1\n", "f.yaml:1:3", "broken-yaml"),
    (b"a: \xff\n", "f.yaml:1:4", "not-utf-8"),
    (b"\xef\xbb\xbfa: \xff\n", "f.yaml:1:4", "not-utf-8"),
    ("a: 1\nb: é".encode("latin-1"), "f.yaml:2:4", "not-utf-8"),
    ("a: 1".encode("utf-16"), "f.yaml:1:1", "not-utf-8"),
    (b"a: x\x00y\n", "f.yaml:1:5", "broken-yaml"),
    (b"a: .inf\n", "f.yaml:1:4", "over-limit"),
    (b"a: .nan\n", "f.yaml:1:4", "over-limit"),
    (b"a: 1e999\n", "f.yaml:1:4", "over-limit"),
    (b"a: " + b"9" * 5000 + b"\n", "f.yaml:1:4", "over-limit"),
    (b"a: " + b"[" * 60 + b"]" * 60, "f.yaml:1:44", "over-limit"),
    (b"a: x" + b" " * (1 << 20), "f.yaml:1:1", "over-limit"),
    (b"{" * 100_000, "f.yaml:1:1001", "over-limit"),
]  # fmt: skip


@pytest.mark.parametrize(("content", "place", "rule"), REFUSED)
def test_refuses_in_one_line_with_place(content: bytes, place: str, rule: str) -> None:
    with pytest.raises(FileProblem) as caught:
        read_document(content, "f.yaml")
    assert (str(caught.value.place), caught.value.rule) == (place, rule)
    assert "\n" not in caught.value.message
    assert ";" in caught.value.message  # what is wrong; what to do


def test_a_byte_order_mark_is_no_text() -> None:
    assert data("\ufeffa: 1") == {"a": 1}


json_like = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**9), 10**9) | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.text(min_size=1, max_size=8), json_like, min_size=1, max_size=4))
def test_reads_what_pyyaml_writes(value: dict[str, object]) -> None:
    """pyyaml's emitter is the outside check: quoted text, any nesting, comes back as it was."""
    text = yaml.safe_dump(value, allow_unicode=True, default_style='"')
    text = text.replace('!!null "null"', "null")
    for tagged in ('!!int "', '!!bool "'):
        while tagged in text:
            start = text.index(tagged)
            end = text.index('"', start + len(tagged))
            text = text[:start] + text[start + len(tagged) : end] + text[end + 1 :]
    try:
        assert data(text) == value
    except FileProblem as problem:
        assert "control character" in problem.message


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    try:
        read_document(content, "f.yaml")
    except FileProblem as problem:
        assert "\n" not in problem.message


def both_ways(content: bytes) -> tuple[object, object]:
    """What the parser's composer and the reading by events make of a text: data and all places."""
    text = content.decode("utf-8-sig")
    composed = _composed(text, "f.yaml")
    if composed is None:
        return None, None
    by_events = _read_events(text, "f.yaml")
    told = [
        (repr(d.data), [(p, d.place(*p), d.key_place(*p)) for p in d.paths()])
        for d in (composed, by_events)
    ]
    return told[0], told[1]


@pytest.mark.parametrize(
    "path", sorted((ROOT / "formulas").rglob("*.yaml")), ids=lambda path: path.parent.name
)
def test_composer_and_events_read_the_same(path: Path) -> None:
    composed, by_events = both_ways(path.read_bytes())
    assert composed == by_events
    assert composed is not None or any(sign in path.read_text(encoding="utf-8") for sign in "&*!")


PIECES = ["a", "b: ", "- ", "{", "}", "[", "]", ", ", "\n", "  ", ": ", "'", '"', "#", "1", ".5", "~", "no", "true", "0x1f", "1e999", "|", ">", "é", "\t", "%", "...", "---", "? "]  # fmt: skip


@given(st.lists(st.sampled_from(PIECES), max_size=24).map("".join))
def test_composer_and_events_read_any_text_the_same(text: str) -> None:
    composed, by_events = both_ways(text.encode())
    assert composed == by_events


def test_nesting_ends_at_the_same_depth() -> None:
    for depth in range(MAX_DEPTH - 2, MAX_DEPTH + 3):
        composed, by_events = both_ways(b"[" * depth + b"x" + b"]" * depth)
        assert composed == by_events


def test_a_flow_mapping_ends_where_it_ends_whatever_signs_the_text_holds() -> None:
    for content in (b"a: {b: c}\nd: x\n", b"a: {b: c}\nd: x!\n"):
        assert ends_of(read_document(content, "f"))[Place("f", 1, 4)] == (1, 10)
