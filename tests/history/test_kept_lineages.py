"""Lineages that go on from an earlier run are those of a walk over the whole graph."""

from __future__ import annotations

from pathlib import Path

import pytest

from perflour.history import kept_lineages
from perflour.history.kept_lineages import KIND, TOLD, lines_of
from perflour.history.lineage import Lineage, in_order, lineages
from perflour.history.store import HEAD, HistoryStore
from perflour.system import git
from perflour.system.cache import row_key
from tests.conftest import git as run_git
from tests.history.made_history import Plan, make_history

pytestmark = pytest.mark.xdist_group("history")


def _without_changes(lineage: Lineage) -> Lineage:
    kept = (s._replace(commit=s.commit._replace(changes=())) for s in lineage.snapshots)
    return lineage._replace(snapshots=tuple(kept))


def _walked(repository: git.Repository, head: str) -> dict[str, Lineage]:
    commits = HistoryStore(repository, remember=False).commits(head)
    found = lineages(in_order(commits, head))
    return {path: _without_changes(lineage) for path, lineage in found.items()}


def _told(repository: git.Repository, head: str) -> dict[str, Lineage]:
    lines = lines_of(HistoryStore(repository), head)
    for line in lines.values():
        assert line.paths == tuple(dict.fromkeys(s.path for s in line.lineage.snapshots))
        assert line.digest == kept_lineages._digest(line.lineage)
    return {path: _without_changes(line.lineage) for path, line in lines.items()}


@pytest.mark.parametrize("seed", range(4))
def test_they_go_on_commit_by_commit_as_a_walk_finds_them(seed: int, tmp_path: Path) -> None:
    plan = Plan(seed, commits=60, formulas=4, bakes=5, merges=3, renames=3, reverts=2, swaps=2)
    folder = make_history(tmp_path / "kitchen", plan)
    repository = git.find_repository(folder)
    # side lines in between: heads that are not in a row, and back again
    heads = run_git(folder, "rev-list", "--reverse", "HEAD").split()
    for head in (*heads, heads[-9], heads[-1]):
        assert _told(repository, head) == _walked(repository, head)


def test_most_commits_are_not_walked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = make_history(tmp_path / "kitchen", Plan(commits=30, formulas=3, bakes=3, merges=0))
    repository = git.find_repository(folder)
    heads = run_git(folder, "rev-list", "--reverse", "HEAD").split()
    lines_of(HistoryStore(repository), heads[-9])
    monkeypatch.setattr(kept_lineages, "lineages", None)  # a walk would fail
    told = _told(repository, heads[-1])
    assert told == _told(repository, heads[-1]) == _walked(repository, heads[-1])


def test_two_formulas_of_one_lineage_both_go_on(repository: Path) -> None:
    """One that is called otherwise on a side line, and a merge that leaves both: what one becomes, the other could."""

    def commit(text: str) -> str:
        (repository / "formulas/a/formula.yaml").write_text(text, encoding="utf-8")
        run_git(repository, "add", "-A")
        run_git(repository, "commit", "-q", "-m", "A change")
        return run_git(repository, "rev-parse", "HEAD").strip()

    (repository / "formulas/a").mkdir(parents=True)
    commit("formula: a\n")
    run_git(repository, "switch", "-qc", "side")
    run_git(repository, "mv", "formulas/a", "formulas/b")
    run_git(repository, "commit", "-qm", "Another name")
    run_git(repository, "switch", "-q", "-")
    commit("formula: a\nnotes: sweeter\n")
    run_git(repository, "merge", "-q", "--no-commit", "-s", "ours", "side")
    run_git(repository, "checkout", "side", "--", "formulas/b")
    merged = commit("formula: a\nnotes: sweeter\n")
    found = git.find_repository(repository)
    one, other = _told(found, merged).values()
    assert one.snapshots == other.snapshots
    head = commit("formula: a\nnotes: less sweet\n")
    assert _told(found, head) == _walked(found, head)


@pytest.mark.parametrize("row", [b"", b"[]", b"null", b'[0,[["a"]]]', b'{"a":1}', b"[7,[]]"])
def test_a_row_that_is_not_whole_is_walked_anew(row: bytes, tmp_path: Path) -> None:
    folder = make_history(tmp_path / "kitchen", Plan(commits=30, formulas=3, bakes=3, merges=2))
    repository = git.find_repository(folder)
    heads = run_git(folder, "rev-list", "--reverse", "HEAD").split()
    for known in heads[-2:]:  # the one that is asked for, and the one before
        lines = lines_of(HistoryStore(repository), known)
        for key in (HEAD, TOLD, *map(row_key, lines)):
            store = HistoryStore(repository)
            lines_of(store, known)
            store.save(KIND, {**store.load(KIND), key: row})
            assert _told(repository, heads[-1]) == _walked(repository, heads[-1])
