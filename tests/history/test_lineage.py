"""What is a revision where branches meet: small graphs of commits, each answer reckoned by hand."""

from __future__ import annotations

import pytest

from perflour.history.lineage import in_order, lineages
from perflour.system.git import Commit, FileChange

FORMULA = "loaf/formula.yaml"
#: By its letter a commit's parents, and the text it leaves where it is another than its first parent's.
Graph = dict[str, tuple[str, str]]
BEGUN: Graph = {"a": ("", "1")}
#: The revisions as texts, with their parents by number.
Revisions = list[tuple[str, tuple[int, ...]]]

MERGES: dict[str, tuple[Graph, Revisions]] = {
    "the other side did nothing": (
        {"b": ("a", "2"), "c": ("a", ""), "m": ("bc", "")},
        [("1", ()), ("2", (0,))],
    ),
    "this side did nothing": (
        {"b": ("a", ""), "c": ("a", "2"), "m": ("bc", "2")},
        [("1", ()), ("2", (0,))],
    ),
    "the other side is older": (
        {"b": ("a", "2"), "c": ("b", "3"), "d": ("b", ""), "m": ("cd", "")},
        [("1", ()), ("2", (0,)), ("3", (1,))],
    ),
    "both did the same: two revisions, and none of the merge": (
        {"b": ("a", "2"), "c": ("a", "2"), "m": ("cb", "")},
        [("1", ()), ("2", (0,)), ("2", (0,))],
    ),
    "this side is kept against what the other did": (
        {"b": ("a", "2"), "c": ("a", "3"), "m": ("bc", "")},
        [("1", ()), ("2", (0,)), ("3", (0,)), ("2", (1, 2))],
    ),
    "the other side is taken against what this one did": (
        {"b": ("a", "2"), "c": ("a", "3"), "m": ("bc", "3")},
        [("1", ()), ("2", (0,)), ("3", (0,)), ("3", (1, 2))],
    ),
    "both are joined": (
        {"b": ("a", "2"), "c": ("a", "3"), "m": ("bc", "4")},
        [("1", ()), ("2", (0,)), ("3", (0,)), ("4", (1, 2))],
    ),
    "three branches are joined": (
        {"b": ("a", "2"), "c": ("a", "3"), "d": ("a", "4"), "m": ("bcd", "5")},
        [("1", ()), ("2", (0,)), ("3", (0,)), ("4", (0,)), ("5", (1, 2, 3))],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", MERGES)
def test_what_a_merge_leaves(name: str) -> None:
    graph, revisions = MERGES[name]
    graph = BEGUN | graph
    left: dict[str, str] = {}
    commits = {}
    for letter, (parents, text) in graph.items():
        before = left[parents[0]] if parents else None
        left[letter] = text or before or ""
        changes = (FileChange(FORMULA, FORMULA, before, text),) if text else ()
        commits[letter] = Commit(letter, "2026-03-14", "N", letter, changes, tuple(parents))
    (line,) = lineages(in_order(commits, "m")).values()
    assert [(one.blob, one.parents) for one in line.snapshots] == revisions
    assert line.snapshots[line.head].blob == left["m"]
