"""The compiled reader against the one by pyyaml: the same data, places and refusals for any text."""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.documents import reader
from perflour.documents.by_pyyaml import document_of
from perflour.documents.reader import Document, read_document
from perflour.lint.places import ends_of
from perflour.result import FileProblem
from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "compiled"))
from make import NAME, compiled

PIECES = ["\n", " ", ": ", "- ", "{", "}", "[", "]", "'", '"', "#", "&a ", "*a", "!x ", "|\n", ">-\n", "---\n", "...\n", "\t", "\\", "\x85", "\u2028", "\ufeff", "\r\n", "\r", "\0", "é", "😀", "1e999", ".inf", "0x1f", "007", "-1.5", "~", "9" * 19, "9" * 31, "? ", "%YAML 1.1\n", "a: 1\na: 2\n", "[" * 39, "{a: " * 41]  # fmt: skip
BYTES = [b"\xff", b"\xed\xa0\x80", b"\xc0\x80", b"\xfe\xff", b"\xef\xbb"]
DEMO = [path.read_bytes() for path in sorted((ROOT / "formulas").rglob("*.yaml"))]


@pytest.fixture(scope="module", autouse=True)
def quick(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The reader of this source, also where another or none is installed."""
    made = compiled(tmp_path_factory.mktemp("compiled"))
    if made is None:
        pytest.skip("no compiler, or no libyaml with its headers")
    spec = importlib.util.spec_from_file_location(NAME, made)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "_read", module.read)
        patch.setattr(reader, "_CompiledNode", module.Node)
        yield


def told(document: Document) -> tuple[Any, ...]:
    """All that anybody asks of a document."""
    places = [(p, document.place(*p), document.key_place(*p)) for p in document.paths()]
    return repr(document.data), places, list(ends_of(document).items()), _marks(document.root)


def _marks(node: Any) -> tuple[Any, ...]:
    start, end = node.start_mark, node.end_mark
    inner = node.value
    if node.id != "scalar":
        inner = [tuple(map(_marks, n)) if isinstance(n, tuple) else _marks(n) for n in inner]
    at = (start.line, start.column, start.index, end.line, end.column, end.index)
    style = (node.style or "") if node.id == "scalar" else bool(node.flow_style)
    return node.id, at, style, inner


def both(content: bytes) -> tuple[Any, Any]:
    """What is told of a content with the compiled reader, and by pyyaml alone."""
    answers: list[Any] = []
    for read in (read_document, _by_pyyaml):
        try:
            answers.append(told(read(content, "f.yaml")))
        except FileProblem as problem:
            answers.append(problem.result())
    return answers[0], answers[1]


def _by_pyyaml(content: bytes, path: str) -> Document:
    return document_of(reader._decode(content, path), path)


def mutated(number: int) -> bytes:
    """A file of the demo with something put in or taken out at a few places, maybe torn off."""
    chance = Random(number)
    content = chance.choice(DEMO)[: chance.choice((300, 3000, 1 << 20))]
    for _ in range(chance.randrange(4)):
        piece = chance.choice(BYTES) if chance.random() < 0.05 else chance.choice(PIECES).encode()
        at, left_out = chance.randrange(len(content) + 1), chance.choice((0, 0, 1, 5, 40))
        content = content[:at] + piece + content[at + left_out :]
    return content


def test_all_of_the_demo_is_read_alike_and_by_the_compiled_reader() -> None:
    for content in DEMO:
        assert b"\\" in content or reader._read
        one, other = both(content)
        assert one == other
        if b"\\" not in content:
            assert type(read_document(content, "f").root) is reader._CompiledNode


def test_mutated_files_are_read_alike() -> None:
    for number in range(300):
        one, other = both(mutated(number))
        assert one == other, number


@given(st.lists(st.sampled_from([*PIECES, "a", "b: ", "1", "no", ", "]), max_size=24).map("".join))
def test_any_pieces_are_read_alike(text: str) -> None:
    one, other = both(text.encode())
    assert one == other


@given(st.binary(max_size=60))
def test_any_bytes_are_read_alike(content: bytes) -> None:
    one, other = both(content)
    assert one == other


@pytest.mark.parametrize("deep", [38, 39, 40, 41, 42, 500, 5000])
@pytest.mark.parametrize(("opens", "closes"), [("[", "]"), ("{a: ", "}"), ("- ", "")])
def test_nesting_ends_at_the_same_depth(opens: str, closes: str, deep: int) -> None:
    one, other = both((opens * deep + "x" + closes * deep).encode())
    assert one == other


def test_a_node_is_the_same_each_time_it_is_asked_for() -> None:
    root = read_document(b"a: {b: 1}\nc: [2]\n", "f").root
    assert reader.child(root, "a") == reader.child(root, "a") != reader.child(root, "c")
    assert len({reader.child(root, "a"), reader.child(root, "a"), reader.key_node(root, "a")}) == 2
    assert reader.child(root, 0) is None
    assert reader.child(reader.child(root, "c"), 0).value == "2"


def test_what_goes_wrong_in_a_number_is_told() -> None:
    def broken(text: str) -> Any:
        raise KeyError(text)

    assert reader._read
    with pytest.raises(KeyError):
        reader._read(b"a: 1.5", broken)
