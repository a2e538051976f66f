"""Changelogs of long histories: exact, the same every time, only what is new worked out, never half written."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

from perflour.formula.digests import digest
from perflour.formula.file import read_formula
from perflour.history.changelog_files import Told, told, write_changelogs
from perflour.history.lineage import in_order, lineages
from perflour.report.forms import maker
from perflour.system import git as ours
from perflour.system.blobs import read_blobs
from tests.conftest import GIT_ENVIRONMENT, ROOT, git, run_cli
from tests.history.made_history import PLAN, Plan, make_history
from tests.history.test_changelog import commit, text
from tests.killed import steps_of

pytestmark = pytest.mark.xdist_group("history")  # 300 commits are made once

GOLDEN = ROOT / "tests" / "golden" / "history.md"
WORDS = ("changelog", "formulas", "--output")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """300 commits over 20 formulas: 60 bakes, merges, a rename, a swap of two names, a revert."""
    return make_history(tmp_path_factory.mktemp("made") / "kitchen", PLAN)


@pytest.fixture
def kitchen(made: Path, tmp_path: Path) -> Path:
    """A copy to work in, with nothing kept from an earlier run."""
    left_out = shutil.ignore_patterns("perflour")
    return Path(shutil.copytree(made, tmp_path / "kitchen", ignore=left_out))


def markdown(repository: Path, *words: str) -> str:
    done = run_cli(*WORDS, "markdown", *words, cwd=repository)
    assert (done.code, done.err) == (0, "")
    return done.out


def told_here(remember: bool = True) -> list[Told]:
    """The same without a process of its own."""
    return told(["formulas"], "markdown", maker("changelog", "markdown"), True, remember=remember)


def blocks(text: str) -> dict[str, str]:
    """The changelog of each formula by its title."""
    return {b.split(": changelog\n")[0]: b for b in ("\n" + text).split("\n# ")[1:]}


# --- exact --------------------------------------------------------------------------------------


def test_the_history_is_what_the_plan_says(made: Path) -> None:
    count = git(made, "rev-list", "--count", "HEAD"), git(made, "rev-list", "--merges", "HEAD")
    assert (int(count[0]), len(count[1].split())) == (PLAN.commits, PLAN.merges)
    assert len(list(made.glob("formulas/*/formula.yaml"))) == PLAN.formulas
    assert len(list(made.glob("formulas/*/bakes/*.yaml"))) == PLAN.bakes


def test_the_changelog_is_the_expected_one(made: Path) -> None:
    """After a change of wording: python tools/maintain/write_history_golden.py.

    The history is made by a plan (made_history.py) that says what each commit changes; how many iterations and
    bakes there are is held against it. Single lines: as first printed.
    """
    assert markdown(made, "--forget") == GOLDEN.read_text(encoding="utf-8")


def test_twice_gives_the_same_bytes(kitchen: Path) -> None:
    for form in ("json", "text"):
        cold, warm = (run_cli(*WORDS, form, cwd=kitchen).out for _ in range(2))
        assert cold == warm == run_cli(*WORDS, form, "--forget", "--jobs", "1", cwd=kitchen).out


def digests_by_commit(repository: Path) -> dict[str, dict[str, str]]:
    """By commit and path the digest of each formula, read from every tree: nothing is followed."""
    known: dict[str, str] = {}
    found = {}
    handle = ours.find_repository(repository)
    for sha in git(repository, "rev-list", "HEAD").split():
        tree = {p: b for p, b in ours.tree(handle, sha)[0].items() if p.endswith("/formula.yaml")}
        new = [blob for blob in tree.values() if blob not in known]
        for blob, content in read_blobs(handle, new).items():
            known[blob] = digest(read_formula(content, "formula.yaml"))
        found[sha] = {path: known[blob] for path, blob in tree.items()}
    return found


def test_every_change_is_against_what_the_parent_commit_holds(made: Path) -> None:
    """An oracle that reads every tree by itself, for the formulas that kept their path."""
    held = digests_by_commit(made)
    parents = dict(
        line.split(" ", 1)
        for line in git(made, "log", "--format=%H %P").splitlines()
        if " " in line
    )
    data = json.loads(run_cli(*WORDS, "json", cwd=made).out)["formulas"]
    checked = 0
    for formula in data:
        path = f"formulas/{formula['formula']}/formula.yaml"
        by_number = {i["number"]: i for i in formula["iterations"]}
        if not all(path in held[i["commit"]] for i in by_number.values()):
            continue  # renamed; its name is another one in some commits
        changed: set[str] = set()
        for sha, tree in held.items():
            before = {held[p].get(path) for p in parents.get(sha, "").split()}
            if tree.get(path) and (not before or tree[path] not in before):
                changed.add(sha)
        if any("change names" in i["subject"] for i in by_number.values()):
            continue
        swapped = {s for s in changed if "change names" in git(made, "log", "-1", "--format=%s", s)}
        if swapped:
            continue
        assert changed <= {i["commit"] for i in by_number.values()}, path
        for iteration in by_number.values():
            assert held[iteration["commit"]][path] == iteration["revision"]
            earlier = [held[p].get(path) for p in parents.get(iteration["commit"], "").split()]
            came_from = [by_number[n]["revision"] for n in iteration["parents"]]
            assert came_from == [d for d in dict.fromkeys(earlier) if d], iteration
            checked += 1
    assert checked > 150


def test_two_folders_that_swapped_names_keep_their_histories(made: Path) -> None:
    swap = git(made, "log", "--format=%H %s", "--grep", "change names").split(" ", 1)
    one, other = swap[1].removeprefix("Let ").removesuffix(" change names\n").split(" and ")
    data = json.loads(run_cli(*WORDS, "json", cwd=made).out)["formulas"]
    for mine, theirs in ((one, other), (other, one)):
        formula = next(f for f in data if f["formula"] == mine)
        # "Start Spice cake no. 8" began the formula that was spice-cake-8 then
        begun = formula["iterations"][0]["subject"].removeprefix("Start ")
        assert begun.lower().replace(" no. ", "-").replace(" ", "-") == theirs.removesuffix(
            "-renamed"
        )
        assert formula["title"] == begun


# --- only what changed ----------------------------------------------------------------------------


def test_amending_changes_only_what_was_amended(kitchen: Path) -> None:
    path = kitchen / "formulas/honey-loaf-1/formula.yaml"
    sugar = path.read_text(encoding="utf-8")
    path.write_text(sugar.replace("butter, amount: ", "butter, amount: 1"), encoding="utf-8")
    commit(kitchen, "Far more butter")
    before = markdown(kitchen)
    path.write_text(sugar.replace("butter, amount: ", "butter, amount: 2"), encoding="utf-8")
    git(kitchen, "commit", "-qa", "--amend", "--no-edit")
    after = markdown(kitchen)
    assert after == markdown(kitchen, "--forget")
    old, new = blocks(before), blocks(after)
    assert [title for title in old if old[title] != new[title]] == ["Honey loaf no. 1"]
    sections = [
        [
            part
            for part in block["Honey loaf no. 1"].split("\n## ")
            if not part.startswith("The story")
        ]
        for block in (old, new)
    ]
    assert sections[0][1] != sections[1][1]  # the newest iteration
    assert sections[0][2:] == sections[1][2:]
    git(kitchen, "reset", "-q", "--hard", "HEAD~1")
    assert markdown(kitchen) == GOLDEN.read_text(encoding="utf-8")


def test_rewriting_all_commits_changes_nothing_that_is_told(kitchen: Path) -> None:
    """As a rebase does: other hashes, other committers' days, the same graph."""
    before = markdown(kitchen)
    head = git(kitchen, "rev-parse", "HEAD")
    stream = git(kitchen, "fast-export", "main").replace("committer ", "committer Another ")
    for words, stdin in (
        (["fast-import", "--quiet", "--force"], stream.encode()),
        (["reset", "-q", "--hard", "main"], b""),
    ):
        subprocess.run(["git", *words], cwd=kitchen, input=stdin, env=GIT_ENVIRONMENT, check=True)
    assert git(kitchen, "rev-parse", "HEAD") != head
    assert markdown(kitchen) == before


@pytest.mark.parametrize("seed", range(3))
def test_going_on_from_an_earlier_run_tells_the_same(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Head after head of small histories, from what the runs before have left."""
    plan = Plan(seed, commits=40, formulas=3, bakes=3, merges=3)
    repository = make_history(tmp_path / "kitchen", plan)
    monkeypatch.chdir(repository)
    heads = Random(seed).sample(git(repository, "rev-list", "HEAD").split(), 8)
    for head in heads:
        git(repository, "reset", "-q", "--hard", head)
        assert told_here() == told_here(remember=False)


def test_what_is_kept_may_be_lost_or_broken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kitchen = make_history(tmp_path / "kitchen", Plan(commits=30, formulas=3, bakes=3, merges=2))
    monkeypatch.chdir(kitchen)
    golden = told_here(remember=False)
    assert told_here() == golden
    folder = kitchen / ".git/perflour"
    kinds = {path.name.split("-")[0]: path for path in folder.iterdir()}
    assert {kind.rstrip("0123456789") for kind in kinds} == {
        "history",
        "lineages",
        "facts",
        "markdown",
        "tool",
    }
    whole = {path: path.read_text(encoding="utf-8") for path in kinds.values()}
    for path, kept in whole.items():
        for broken in ("", "[]", '{"head": 1}', '{"head": "x", "commits": [[1]]}', kept[:-100], '{"formulas/honey-loaf-1/formula.yaml": 7}'):  # fmt: skip
            for other, content in whole.items():
                other.write_text(content, encoding="utf-8")
            path.write_text(broken, encoding="utf-8")
            assert told_here() == golden, (path.name, broken[:60])
    shutil.rmtree(folder)
    assert told_here() == golden


def test_a_house_or_bake_file_is_looked_at_anew(kitchen: Path) -> None:
    before = blocks(markdown(kitchen))
    (kitchen / "formulas/ingredients.yaml").write_text(
        "ingredients:\n  - {name: all-purpose flour, group: flour, counts-as: flour, composition: {water: 50}, composition-source: made up}\n",
        encoding="utf-8",
    )
    after = blocks(markdown(kitchen))
    assert run_cli("lint", "formulas/ingredients.yaml", cwd=kitchen).code == 0
    assert before["Honey loaf no. 1"] != after["Honey loaf no. 1"]
    bake = next(kitchen.glob("formulas/honey-loaf-1/bakes/*.yaml"))
    bake.write_text(bake.read_text(encoding="utf-8").replace("baker: N", "baker: Q"))
    assert " by Q: " in blocks(markdown(kitchen))["Honey loaf no. 1"]


def test_runs_side_by_side_tell_the_same(kitchen: Path) -> None:
    runs = [
        subprocess.Popen(
            [sys.executable, "-m", "perflour", *WORDS, "markdown"],
            cwd=kitchen,
            stdout=subprocess.PIPE,
            env=GIT_ENVIRONMENT,
        )
        for _ in range(3)
    ]
    assert {run.communicate()[0].decode() for run in runs} == {GOLDEN.read_text(encoding="utf-8")}
    assert markdown(kitchen) == GOLDEN.read_text(encoding="utf-8")


def test_a_linked_work_tree_shares_what_is_kept(kitchen: Path, tmp_path: Path) -> None:
    git(kitchen, "worktree", "add", "-q", str(tmp_path / "linked"), "HEAD~100")
    text_there = markdown(tmp_path / "linked")
    assert text_there == markdown(tmp_path / "linked", "--forget")
    assert list((kitchen / ".git/perflour").glob("history-*"))


# --- shapes of history ----------------------------------------------------------------------------


def write(repository: Path, folder: str, content: str) -> None:
    path = repository / "formulas" / folder / "formula.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(content.replace("formula: trial", f"formula: {folder}"), encoding="utf-8")


def told_of(repository: Path, name: str) -> list[tuple[str, list[int]]]:
    """Subject and parents of each iteration of a formula."""
    formulas = json.loads(run_cli(*WORDS, "json", cwd=repository).out)["formulas"]
    formula = next(f for f in formulas if f["formula"] == name)
    return [(i["subject"], i["parents"]) for i in formula["iterations"]]


def test_a_side_branch_is_told_against_where_it_began(repository: Path) -> None:
    for subject, grams in (("Start", 100), ("Main", 120)):
        write(repository, "trial", text(grams))
        commit(repository, subject)
    git(repository, "checkout", "-qb", "side", "HEAD~1")
    write(repository, "trial", text(110))
    commit(repository, "Side")
    git(repository, "checkout", "-q", "main")
    git(repository, "merge", "-q", "-s", "ours", "side", "-m", "Keep ours")
    assert told_of(repository, "trial") == [
        ("Start", []),
        ("Main", [1]),
        ("Side", [1]),
        ("Keep ours", [2, 3]),
    ]
    out = run_cli("changelog", cwd=repository).out
    assert "    merge of iterations 2 and 3\n    the same as iteration 2\n    against iteration 3:\n      dark brown sugar 110 g -> 120 g: 36.7 % -> 40.0 %" in out  # fmt: skip
    assert (
        "    against iteration 1:\n      dark brown sugar 100 g -> 110 g: 33.3 % -> 36.7 %" in out
    )


def test_a_merge_that_only_brings_one_side_makes_no_iteration(repository: Path) -> None:
    write(repository, "trial", text(100))
    commit(repository, "Start")
    git(repository, "checkout", "-qb", "side")
    write(repository, "trial", text(110))
    commit(repository, "Side")
    git(repository, "checkout", "-q", "main")
    write(repository, "other", text(150))
    commit(repository, "Another formula")
    git(repository, "merge", "-q", "side", "-m", "Bring the side in")
    assert told_of(repository, "trial") == [("Start", []), ("Side", [1])]


def test_a_rename_on_one_side_and_a_change_on_the_other(repository: Path) -> None:
    write(repository, "trial", text(100))
    commit(repository, "Start")
    git(repository, "checkout", "-qb", "side")
    git(repository, "mv", "formulas/trial", "formulas/loaf")
    commit(repository, "Rename it")
    git(repository, "checkout", "-q", "main")
    write(repository, "trial", text(110))
    commit(repository, "Change it")
    git(repository, "merge", "-q", "side", "-m", "Both")
    assert [path.parent.name for path in repository.glob("formulas/*/formula.yaml")] == ["loaf"]
    assert told_of(repository, "trial") == [("Start", []), ("Change it", [1])]


def test_the_same_formula_begun_on_both_sides_is_one(repository: Path) -> None:
    (repository / "notes.txt").write_text("x", encoding="utf-8")
    commit(repository, "Nothing yet")
    for branch, grams in (("side", 110), ("main", 100)):
        git(repository, "checkout", "-q", *(["-b"] if branch == "side" else []), branch)
        write(repository, "trial", text(grams))
        commit(repository, f"Begin with {grams} g")
    git(repository, "merge", "-q", "--no-commit", "-X", "ours", "side")
    write(repository, "trial", text(105))
    commit(repository, "Between")
    assert told_of(repository, "trial") == [
        ("Begin with 100 g", []),
        ("Begin with 110 g", []),
        ("Between", [1, 2]),
    ]


def test_a_formula_taken_out_and_brought_back_goes_on(repository: Path) -> None:
    write(repository, "trial", text(100))
    commit(repository, "Start")
    shutil.rmtree(repository / "formulas/trial")
    (repository / "notes.txt").write_text("x", encoding="utf-8")
    commit(repository, "Take it out")
    write(repository, "trial", text(120))
    commit(repository, "Bring it back")
    assert told_of(repository, "trial") == [("Start", []), ("Bring it back", [1])]


def test_a_copy_is_a_formula_of_its_own(repository: Path) -> None:
    write(repository, "trial", text(100))
    commit(repository, "Start")
    write(repository, "copy", text(100))
    write(repository, "trial", text(120))
    commit(repository, "Keep the old one as a copy")
    assert told_of(repository, "trial") == [("Start", []), ("Keep the old one as a copy", [1])]
    assert told_of(repository, "copy") == [("Keep the old one as a copy", [])]


def test_one_that_takes_the_place_of_another_brings_its_history(repository: Path) -> None:
    write(repository, "a", text(100))
    write(repository, "b", text(200))
    commit(repository, "Start both")
    write(repository, "a", text(110))
    commit(repository, "Change a")
    git(repository, "mv", "formulas/b", "formulas/c")
    git(repository, "mv", "formulas/a", "formulas/b")
    for folder, grams in (("b", 110), ("c", 200)):
        write(repository, folder, text(grams))
    commit(repository, "Move both up")
    assert told_of(repository, "b") == [("Start both", []), ("Change a", [1])]
    assert told_of(repository, "c") == [("Start both", [])]


def test_signs_in_a_subject_are_harmless(repository: Path) -> None:
    write(repository, "trial", text(100))
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Odd \x01\x02 \x1b[31m signs")
    write(repository, "trial", text(110))
    commit(repository, "More")
    for words in ((), ("--by", "commit")):
        done = run_cli("changelog", *words, cwd=repository)
        assert (done.code, done.err) == (0, "")
        assert r": Odd \x01\x02 \x1b[31m signs" + "\n" in done.out


def test_a_long_line_of_commits_needs_no_recursion() -> None:
    chain = {
        str(n): ours.Commit(
            str(n),
            "2026-03-14",
            "N",
            "x",
            (ours.FileChange("a/formula.yaml", "a/formula.yaml", str(n - 1), str(n)),),
            (str(n - 1),) if n else (),
        )
        for n in range(20_000)
    }
    line = lineages(in_order(chain, "19999"))["a/formula.yaml"]
    assert [r.parents for r in line.snapshots[:3]] == [(), (0,), (1,)]
    assert (len(line.snapshots), line.head) == (20_000, 19_999)


# --- by commit, and as a page ---------------------------------------------------------------------


def test_the_repository_commit_by_commit(made: Path) -> None:
    data = json.loads(run_cli(*WORDS, "json", "--by", "commit", cwd=made).out)["commits"]
    by_formula = json.loads(run_cli(*WORDS, "json", cwd=made).out)["formulas"]
    by_commit = {(c["commit"], i["formula"], i["number"]) for c in data for i in c["iterations"]}
    assert by_commit == {(i["commit"], f["formula"], i["number"]) for f in by_formula for i in f["iterations"]}  # fmt: skip
    order = git(made, "rev-list", "--topo-order", "HEAD").split()
    assert len({c["commit"] for c in data}) == len(data)
    parents = {sha: at for at, sha in enumerate(order)}
    assert data[0]["commit"] == next(s for s in order if s in {c["commit"] for c in data})
    assert parents[data[-1]["commit"]] > parents[data[0]["commit"]]
    out = markdown(made, "--by", "commit")
    assert out.startswith("# Changelog of the formulas\n\n## 2026-01-")
    assert out.count("\n## ") == len(data)
    page = run_cli(*WORDS, "html", "--by", "commit", cwd=made)
    assert page.code == 2
    assert page.err == "perflour: HTML is by formula; leave --by commit out, or ask for another --output\n"  # fmt: skip


def test_the_page_stands_alone_and_is_the_same_every_time(history_page: tuple[str, str]) -> None:
    first, again = history_page
    assert first == again
    assert "default-src 'none'" in first
    assert "<script" not in first and "http-equiv" in first
    assert "&lt;b&gt;" in first and "<b>" not in first
    sugar, crumb = first.split("<svg")[1:]  # what moved, and what was tasted
    assert "dark brown sugar" in sugar and "crumb" in crumb


@pytest.fixture
def history_page(repository: Path) -> tuple[str, str]:
    """A formula with a title that would break a page, two iterations and a bake, told twice."""
    for grams in (100, 120):
        write(repository, "trial", text(grams, "Loaf <b> $x^2$"))
        commit(repository, f"{grams} g & more")
    mark = json.loads(run_cli(*WORDS, "json", cwd=repository).out)["formulas"][0]["iterations"][0]
    bakes = repository / "formulas/trial/bakes"
    bakes.mkdir()
    (bakes / "2026-03-14.yaml").write_text(
        f'date: 2026-03-14\nformula: trial\nof: "{mark["revision"]}"\nbaker: N\nverdict: keep\nscores: [{{taster: A, crumb: 6}}]\n'
    )
    first, again = (run_cli(*WORDS, "html", "--forget", cwd=repository).out for _ in range(2))
    return first, again


# --- never half written ---------------------------------------------------------------------------


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.parametrize("before", [True, False], ids=["before", "behind"])
def test_killed_at_any_step_the_old_file_or_the_new_one_is_there(
    before: bool, tmp_path: Path
) -> None:
    texts = ["old " * 600, "new " * 900]
    old, new = (
        [Told(tmp_path / str(n) / "formula.yaml", text, "", 1, 0) for n in range(2)]
        for text in texts
    )
    for one in old:
        one.path.parent.mkdir()
    seen = set()
    list(write_changelogs(old))
    for _ in steps_of(lambda: list(write_changelogs(new)), before):
        found = tuple((one.path.parent / "CHANGELOG.md").read_text("utf-8") for one in new)
        assert set(found) <= set(texts)
        seen.add(tuple(text[:3] for text in found))
        list(write_changelogs(old))
    assert {("old", "old"), ("new", "old")} <= seen
