"""The changelog from real git history: iterations, test bakes, reverts, merges; CHANGELOG.md kept fresh."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest

from perflour.formula.digests import digest
from perflour.history.iterations import Facts, Known, Reader
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.system.parallel import ENOUGH_ITEMS
from tests.conftest import GIT_ENVIRONMENT, ROOT, Outcome, formula_text, git, run_cli, weigh_text

SUGAR = "{{item: dark brown sugar, amount: {} g}}"


def text(sugar: int, title: str = "Trial") -> str:
    lines = ("{item: flour, amount: 300 g}", SUGAR.format(sugar), "{item: egg, amount: 2 large}")
    return formula_text(*lines, method="[{do: mix, uses: [flour]}]").replace(
        "title: Trial", f"title: {title}"
    )


def bake(folder: Path, name: str, of: str, verdict: str, extra: str = "") -> None:
    (folder / "bakes").mkdir(exist_ok=True)
    (folder / "bakes" / f"{name}.yaml").write_text(
        f'date: {name[:10]}\nformula: trial\nof: "{of}"\nbaker: N\nverdict: {verdict}\n{extra}',
        encoding="utf-8",
    )


def commit(repository: Path, subject: str) -> str:
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", subject)
    return git(repository, "rev-parse", "HEAD").strip()


@pytest.fixture
def history(repository: Path) -> Path:
    """Four iterations of one formula, the last a revert, with bakes and a text-only commit."""
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    path = folder / "formula.yaml"
    for subject, content in [
        ("Start the trial", text(180)),
        ("Raise the sugar", text(216)),
        ("Give it a better name", text(216, "A better name")),
        ("Raise the sugar again", text(240, "A better name")),
        ("Go back", text(216, "A better name")),
    ]:
        path.write_text(content, encoding="utf-8")
        commit(repository, subject)
    bake(
        folder,
        "2026-03-14",
        digest(weigh_text(text(180)).formula),
        "change",
        "scores: [{taster: A, crumb: 6}, {taster: B, crumb: 7}]\nnext: {try: more sugar, because: it is flat}\n",
    )
    bake(folder, "2026-03-15", digest(weigh_text(text(216)).formula), "keep", "notes: Good.\n")
    bake(folder, "2026-03-16", "0" * 12, "reject")
    commit(repository, "Record the bakes")
    return repository


def test_the_changelog_of_a_real_history(history: Path) -> None:
    marks = {grams: digest(weigh_text(text(grams)).formula) for grams in (180, 216, 240)}
    assert (
        run_cli("changelog", cwd=history).out
        == f"""\
A better name (trial, draft): 4 iterations, 2 test bakes and 1 of no iteration

  Iteration 4, 2026-03-14: Go back
    revision {marks[216]}
    the same as iteration 2
    dark brown sugar 240 g -> 216 g: 80.0 % -> 72.0 %, -8.0 % of the batter's flour
    total sugar 78.0 % -> 70.2 %, -7.8 % of the batter's flour
    test bake 2026-03-15 by N: keep
      Good.

  Iteration 3, 2026-03-14: Raise the sugar again
    revision {marks[240]}
    dark brown sugar 216 g -> 240 g: 72.0 % -> 80.0 %, +8.0 % of the batter's flour
    total sugar 70.2 % -> 78.0 %, +7.8 % of the batter's flour
    no test bake of this revision

  Iteration 2, 2026-03-14: Raise the sugar
    revision {marks[216]}
    dark brown sugar 180 g -> 216 g: 60.0 % -> 72.0 %, +12.0 % of the batter's flour
    total sugar 58.6 % -> 70.2 %, +11.6 % of the batter's flour
    test bake 2026-03-15 by N: keep
      Good.
    title Trial -> A better name: 2026-03-14 by A baker

  Iteration 1, 2026-03-14: Start the trial
    revision {marks[180]}
    first version
    test bake 2026-03-14 by N: change; 2 tasters: crumb 6.5
      next: more sugar, because it is flat
  1 commit changed only text
  test bake 2026-03-16 (reject) is of revision 000000000000, which is not in this history: lost where commits were squashed or rebased, or baked from a file that was never committed; keep the record as it is
"""
    )


def test_json_and_markdown_and_writing(history: Path) -> None:
    data = json.loads(run_cli("changelog", "formulas/trial", "--output", "json", cwd=history).out)
    iterations = data["formulas"][0]["iterations"]
    shas = git(history, "log", "--reverse", "--format=%H", "--", "formulas/trial/formula.yaml")
    assert [i["commit"] for i in iterations] == [shas.split()[n] for n in (0, 1, 3, 4)]
    assert [i["number"] for i in iterations] == [1, 2, 3, 4]
    percents = [i["percent_of_basis"] for i in iterations]
    assert [p["dark brown sugar"] for p in percents] == [60, 72, 80, 72]
    assert all(p["all-purpose flour"] == 100 for p in percents)
    assert [i["same_as_iteration"] for i in iterations] == [None, None, None, 2]
    assert [[b["bake"] for b in i["bakes"]] for i in iterations] == [
        ["2026-03-14"],
        ["2026-03-15"],
        [],
        ["2026-03-15"],
    ]
    printed = run_cli("changelog", "--output", "markdown", cwd=history).out
    marks = {grams: digest(weigh_text(text(grams)).formula) for grams in (180, 216, 240)}
    assert (
        printed
        == f"""\
# A better name: changelog

A better name (trial, draft): 4 iterations, 2 test bakes and 1 of no iteration. Generated by `perflour changelog --write`; do not edit.

## Iteration 4, 2026-03-14: Go back

- revision {marks[216]}
- the same as iteration 2
- dark brown sugar 240 g -> 216 g: 80.0 % -> 72.0 %, -8.0 % of the batter's flour
- total sugar 78.0 % -> 70.2 %, -7.8 % of the batter's flour
- test bake 2026-03-15 by N: keep
  - Good.

## Iteration 3, 2026-03-14: Raise the sugar again

- revision {marks[240]}
- dark brown sugar 216 g -> 240 g: 72.0 % -> 80.0 %, +8.0 % of the batter's flour
- total sugar 70.2 % -> 78.0 %, +7.8 % of the batter's flour
- no test bake of this revision

## Iteration 2, 2026-03-14: Raise the sugar

- revision {marks[216]}
- dark brown sugar 180 g -> 216 g: 60.0 % -> 72.0 %, +12.0 % of the batter's flour
- total sugar 58.6 % -> 70.2 %, +11.6 % of the batter's flour
- test bake 2026-03-15 by N: keep
  - Good.

## Iteration 1, 2026-03-14: Start the trial

- revision {marks[180]}
- first version
- test bake 2026-03-14 by N: change; 2 tasters: crumb 6.5
  - next: more sugar, because it is flat

## Test bakes of no iteration

- test bake 2026-03-16 (reject) is of revision 000000000000, which is not in this history: lost where commits were squashed or rebased, or baked from a file that was never committed; keep the record as it is
"""
    )
    written = run_cli("changelog", "--write", cwd=history)
    assert written.out == "formulas/trial/CHANGELOG.md\n"
    assert (history / "formulas/trial/CHANGELOG.md").read_text(encoding="utf-8") == printed
    assert run_cli("changelog", "--write", cwd=history).out == ""


def test_the_work_tree_counts_as_not_committed_yet(history: Path) -> None:
    (history / "formulas/trial/formula.yaml").write_text(text(150), encoding="utf-8")
    assert "Iteration 5, not committed yet\n" in run_cli("changelog", cwd=history).out


def test_a_renamed_folder_keeps_its_history(history: Path) -> None:
    git(history, "mv", "formulas/trial", "formulas/renamed")
    commit(history, "Rename the trial")
    out = run_cli("changelog", "formulas/renamed", cwd=history).out
    assert out.startswith(
        "A better name (trial, draft): 4 iterations, 2 test bakes and 1 of no iteration\n"
    )


def test_a_merge_counts_only_where_it_differs_from_both_sides(history: Path) -> None:
    git(history, "checkout", "-qb", "side", "HEAD~1")
    path = history / "formulas/trial/formula.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("2 large", "3 large"), encoding="utf-8"
    )
    commit(history, "Another egg")
    git(history, "checkout", "-q", "main")
    git(history, "merge", "-q", "side", "-m", "Merge the egg")
    out = run_cli("changelog", cwd=history).out
    assert "Another egg" in out
    assert "Merge the egg" not in out


def test_a_merge_that_takes_one_side_whole_is_told(history: Path) -> None:
    """The history ends with what is there, not with the side that was dropped."""
    git(history, "checkout", "-qb", "side", "HEAD~2")
    path = history / "formulas/trial/formula.yaml"
    path.write_text(text(260, "A better name"), encoding="utf-8")
    (history / "formulas/trial/notes.txt").write_text("of the side", encoding="utf-8")
    commit(history, "Sweeter still")
    git(history, "checkout", "-q", "main")
    git(history, "merge", "-q", "--no-commit", "-s", "ours", "side")
    git(history, "checkout", "side", "--", "formulas/trial/notes.txt")
    commit(history, "Merge the notes of the side only")
    assert git(history, "status", "--short") == ""
    found = json.loads(run_cli("changelog", "--output", "json", cwd=history).out)["formulas"][0]
    told = [(i["subject"], i["same_as_iteration"]) for i in found["iterations"][-2:]]
    assert told == [("Sweeter still", None), ("Merge the notes of the side only", 2)]


def test_a_merge_that_keeps_a_renamed_file_follows_both_lines(history: Path) -> None:
    """One line renamed the folder, the other went on in the old one: the merge drops what that one did."""
    path = history / "formulas/trial/formula.yaml"
    git(history, "checkout", "-qb", "side")
    path.write_text(text(260, "A better name"), encoding="utf-8")
    commit(history, "Sweeter still")
    git(history, "checkout", "-q", "main")
    git(history, "mv", "formulas/trial", "formulas/renamed")
    commit(history, "Rename the trial")
    git(history, "merge", "-q", "-s", "ours", "side", "-m", "Keep ours")
    found = json.loads(run_cli("changelog", "--output", "json", cwd=history).out)["formulas"]
    told = [(i["subject"], i["same_as_iteration"]) for i in found[0]["iterations"][-2:]]
    assert told == [("Sweeter still", None), ("Keep ours", 2)]


def test_a_merge_of_a_renamed_and_a_changed_file_has_both_for_parents(history: Path) -> None:
    path = history / "formulas/trial/formula.yaml"
    git(history, "checkout", "-qb", "side")
    path.write_text(text(216, "A better name").replace("2 large", "3 large"), encoding="utf-8")
    commit(history, "Another egg")
    git(history, "checkout", "-q", "main")
    git(history, "mv", "formulas/trial", "formulas/renamed")
    (history / "formulas/renamed/formula.yaml").write_text(
        text(240, "A better name"), encoding="utf-8"
    )
    commit(history, "Rename the trial and sweeten it")
    git(history, "merge", "-q", "--no-commit", "-s", "ours", "side")
    both = text(240, "A better name").replace("2 large", "3 large")
    (history / "formulas/renamed/formula.yaml").write_text(both, encoding="utf-8")
    commit(history, "Merge the egg into the sweet one")
    found = json.loads(run_cli("changelog", "--output", "json", cwd=history).out)["formulas"]
    last = found[0]["iterations"][-1]
    subjects = {i["number"]: i["subject"] for i in found[0]["iterations"]}
    assert last["subject"] == "Merge the egg into the sweet one"
    assert {subjects[number] for number in last["parents"]} == {
        "Another egg",
        "Rename the trial and sweeten it",
    }


def test_what_an_earlier_run_knew_is_not_read_again() -> None:
    def unread(blob: str) -> bytes:
        raise AssertionError(f"{blob} is read")

    known, moved = Known("aaaa"), (("flour",), ())
    facts = Facts(earlier=Facts({"old": known}, {("old", "new"): moved}))
    reader = Reader(unread, Kitchen(House(), built_in()), facts)
    assert (reader.known("old", "x"), reader.moved("old", "new")) == (known, moved)
    assert [facts.lacks(blob) for blob in ("old", "new")] == [False, True]
    assert Facts().lacks("old")


def test_an_unreadable_revision_is_said_and_the_rest_goes_on(history: Path) -> None:
    path = history / "formulas/trial/formula.yaml"
    good = path.read_text(encoding="utf-8")
    path.write_text("formula: [", encoding="utf-8")
    commit(history, "Break it")
    path.write_text(good, encoding="utf-8")
    commit(history, "Mend it")
    out = run_cli("changelog", cwd=history).out
    assert (
        ": Break it\n    could not be read: formulas/trial/formula.yaml:2:1: a value is missing"
        in out
    )
    assert "Mend it" not in out  # the same revision as before


def test_a_formula_never_committed(repository: Path) -> None:
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (folder / "formula.yaml").write_text(text(180), encoding="utf-8")
    out = run_cli("changelog", cwd=repository).out
    assert out.startswith(
        "Trial (trial, draft): 1 iteration, 0 test bakes\n\n  Iteration 1, not committed yet\n"
    )


def test_the_digest_ignores_what_does_not_change_the_bake() -> None:
    mark = digest(weigh_text(text(180)).formula)
    for same in (
        text(180, "Other"),
        text(180).replace("2 large", "2  large"),
        "# remark\n" + text(180),
        text(180).replace("status: draft", "status: approved"),
    ):
        assert digest(weigh_text(same).formula) == mark
    for other in (
        text(181),
        text(180).replace("do: mix", "do: beat"),
        text(180).replace("2 large", "2 medium"),
    ):
        assert digest(weigh_text(other).formula) != mark


FORMULA, CHANGELOG = "formulas/trial/formula.yaml", "formulas/trial/CHANGELOG.md"
RUN = "run perflour changelog --write formulas/trial\n"


def check(repository: Path, *paths: str) -> Outcome:
    return run_cli("changelog", "--check", *paths, cwd=repository)


def git_later(repository: Path, *words: str) -> None:
    """Run git as another committer, half a year later."""
    later = {"GIT_COMMITTER_DATE": "2026-09-20T12:00:00Z", "GIT_COMMITTER_NAME": "Another"}
    environment = {**GIT_ENVIRONMENT, **later, "GIT_EDITOR": "true"}
    subprocess.run(["git", *words], cwd=repository, env=environment, check=True)


def rewrite(repository: Path, name: str, old: str, new: str) -> None:
    path = repository / name
    content = path.read_text(encoding="utf-8")
    assert old in content
    path.write_text(content.replace(old, new), encoding="utf-8")


@pytest.fixture
def fresh(history: Path) -> Path:
    """The history with its changelog written and committed."""
    run_cli("changelog", "--write", cwd=history)
    commit(history, "Write the changelog")
    return history


def test_writing_and_committing_the_changelog_leaves_it_fresh(fresh: Path) -> None:
    assert check(fresh) == Outcome(0, "", "")
    assert run_cli("changelog", "--write", cwd=fresh).out == ""


def test_an_iteration_makes_it_stale_once_it_is_committed(fresh: Path) -> None:
    (fresh / FORMULA).write_text(text(150, "A better name"), encoding="utf-8")
    assert check(fresh).code == 0  # the file tells of commits
    commit(fresh, "Cut the sugar")
    stale = f"{CHANGELOG}:1:1: is behind iteration 5; {RUN}"
    assert check(fresh) == Outcome(1, stale, "")
    assert run_cli("changelog", "--write", cwd=fresh).out == f"{CHANGELOG}\n"
    assert check(fresh).code == 0


def test_amending_and_rebasing_leave_it_fresh(fresh: Path) -> None:
    """The commit hashes and the committer's day are others afterwards, the changelog is not."""
    (fresh / FORMULA).write_text(text(150), encoding="utf-8")
    commit(fresh, "Cut the sugar")
    run_cli("changelog", "--write", cwd=fresh)
    git(fresh, "add", "-A")
    before = (git(fresh, "rev-parse", "HEAD"), (fresh / CHANGELOG).read_bytes())
    git_later(fresh, "commit", "-q", "--amend", "--no-edit")
    assert check(fresh) == Outcome(0, "", "")
    git(fresh, "checkout", "-qb", "side", "HEAD~1")
    (fresh / "notes.txt").write_text("Order treacle.\n", encoding="utf-8")
    commit(fresh, "Keep a note")
    git(fresh, "checkout", "-q", "main")
    git_later(fresh, "rebase", "-q", "side")
    assert git(fresh, "log", "-1", "--format=%cs %as %s").strip() == (
        "2026-09-20 2026-03-14 Cut the sugar"
    )
    after = (git(fresh, "rev-parse", "HEAD"), (fresh / CHANGELOG).read_bytes())
    assert check(fresh) == Outcome(0, "", "")
    assert after[0] != before[0]
    assert after[1] == before[1]


def test_the_day_is_the_authors_in_the_authors_zone(repository: Path) -> None:
    (repository / "a").mkdir()
    (repository / "a" / "formula.yaml").write_text(text(180), encoding="utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Late", "--date", "2026-03-01T23:30:00-08:00")
    assert "Iteration 1, 2026-03-01: Late" in run_cli("changelog", cwd=repository).out


def test_a_test_bake_makes_it_stale_before_it_is_committed(fresh: Path) -> None:
    mark = digest(weigh_text(text(240)).formula)
    bake(fresh / "formulas/trial", "2026-03-20", mark, "reject")
    stale = f"{CHANGELOG}:1:1: does not tell of test bake 2026-03-20 as it is recorded; {RUN}"
    assert check(fresh) == Outcome(1, stale, "")
    run_cli("changelog", "--write", cwd=fresh)
    assert check(fresh).code == 0
    rewrite(fresh, "formulas/trial/bakes/2026-03-20.yaml", "reject", "keep")
    assert check(fresh).out == stale
    (fresh / "formulas/trial/bakes/2026-03-20.yaml").unlink()
    assert check(fresh).out == (
        f"{CHANGELOG}:1:1: does not say what the history and the test bakes say; {RUN}"
    )


def test_a_bake_of_the_revision_in_the_work_tree_waits_for_its_commit(fresh: Path) -> None:
    (fresh / FORMULA).write_text(text(150), encoding="utf-8")
    bake(fresh / "formulas/trial", "2026-03-20", digest(weigh_text(text(150)).formula), "keep")
    assert check(fresh).code == 0
    commit(fresh, "Cut the sugar and bake it")
    assert check(fresh).out == f"{CHANGELOG}:1:1: is behind iteration 5; {RUN}"


def test_a_commit_of_text_alone_leaves_it_fresh(fresh: Path) -> None:
    rewrite(fresh, FORMULA, "formula: trial", "# For the book.\nformula: trial")
    commit(fresh, "Remark on it")
    assert check(fresh) == Outcome(0, "", "")
    assert "  2 commits changed only text\n" in run_cli("changelog", cwd=fresh).out


def test_title_and_status_are_told_as_they_are_now(fresh: Path) -> None:
    rewrite(fresh, FORMULA, "status: draft", "status: approved")
    assert check(fresh).out == (
        f"{CHANGELOG}:1:1: does not say what the history and the test bakes say; {RUN}"
    )
    run_cli("changelog", "--write", cwd=fresh)
    assert "\nA better name (trial, approved): " in (fresh / CHANGELOG).read_text(encoding="utf-8")
    commit(fresh, "Approve it")
    assert check(fresh) == Outcome(0, "", "")


def test_only_an_approved_formula_must_have_one(history: Path) -> None:
    assert check(history) == Outcome(0, "", "")
    rewrite(history, FORMULA, "status: draft", "status: approved")
    missing = f"{FORMULA}:1:1: is approved and has no changelog; {RUN}"
    assert check(history) == Outcome(1, missing, "")
    run_cli("changelog", "--write", cwd=history)
    assert check(history).code == 0


def test_what_was_never_committed_is_never_written(history: Path) -> None:
    rewrite(history, FORMULA, "2 large", "3 large")
    (history / "formulas/new").mkdir()
    (history / "formulas/new/formula.yaml").write_text(
        text(150).replace("formula: trial", "formula: new"), encoding="utf-8"
    )
    assert run_cli("changelog", "--write", cwd=history).out == f"{CHANGELOG}\n"
    told = (history / CHANGELOG).read_text(encoding="utf-8")
    assert told.count("\n## Iteration ") == 4
    assert "not committed" not in told
    assert not (history / "formulas/new/CHANGELOG.md").exists()
    assert "not committed yet" in run_cli("changelog", cwd=history).out
    data = json.loads(run_cli("changelog", "--output", "json", cwd=history).out)["formulas"]
    assert [len(f["iterations"]) for f in data] == [1, 5]


def test_a_conflict_left_in_it_makes_it_stale(fresh: Path) -> None:
    rewrite(fresh, CHANGELOG, "## Iteration 4", "<<<<<<< HEAD\n## Iteration 4")
    assert check(fresh).code == 1
    assert run_cli("changelog", "--write", cwd=fresh).out == f"{CHANGELOG}\n"
    assert check(fresh).code == 0


def test_other_line_ends_do_not_count(fresh: Path) -> None:
    path = fresh / CHANGELOG
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert check(fresh) == Outcome(0, "", "")


def test_a_subject_in_another_encoding_is_written_and_stays_fresh(history: Path) -> None:
    rewrite(history, FORMULA, "2 large", "3 large")
    git(history, "add", "-A")
    words = [b"git", b"-c", b"i18n.commitEncoding=utf-8", b"commit", b"-qm", b"Caf\xe9"]
    subprocess.run(words, cwd=history, env=GIT_ENVIRONMENT, check=True, capture_output=True)
    assert run_cli("changelog", "--write", cwd=history) == Outcome(0, f"{CHANGELOG}\n", "")
    assert check(history) == Outcome(0, "", "")


def test_a_bake_and_a_changelog_stand_for_their_formula(fresh: Path) -> None:
    other = fresh / "formulas/other"
    other.mkdir()
    other_text = text(150).replace("formula: trial", "formula: other")
    (other / "formula.yaml").write_text(other_text, encoding="utf-8")
    commit(fresh, "Start another")
    run_cli("changelog", "--write", cwd=fresh)
    for folder in ("trial", "other"):
        rewrite(fresh, f"formulas/{folder}/CHANGELOG.md", "first version", "version")
    for path in ("bakes/2026-03-14.yaml", "bakes", "CHANGELOG.md", "formula.yaml", ""):
        told = check(fresh, f"formulas/trial/{path}")
        assert told.code == 1
        assert [line.split(":")[0] for line in told.out.splitlines()] == [CHANGELOG], path
    (fresh / "CHANGELOG.md").write_text("# Of the whole repository\n", encoding="utf-8")
    assert check(fresh, "CHANGELOG.md") == Outcome(0, "", "")


def test_the_same_bytes_from_every_folder(history: Path) -> None:
    bake(history / "formulas/trial", "2026-03-17", "0" * 12, "maybe")
    run_cli("changelog", "--write", cwd=history)
    told = (history / CHANGELOG).read_text(encoding="utf-8")
    assert "\n- bakes/2026-03-17.yaml:5:10: " in told
    for folder in ("formulas", "formulas/trial", "formulas/trial/bakes"):
        told = run_cli("changelog", "--check", "..", cwd=history / folder).out
        assert [line.partition(": ")[2] for line in told.splitlines()] == [
            "1 of its test bakes cannot be read; run perflour lint on its folder"
        ]


def test_check_and_write_exclude_each_other(history: Path) -> None:
    assert run_cli("changelog", "--check", "--write", cwd=history) == Outcome(
        2,
        "",
        "perflour changelog: argument --write: not allowed with argument --check; see perflour changelog --help\n",
    )


def test_a_shallow_clone_is_not_judged(fresh: Path) -> None:
    """Its history is cut, so that every changelog would seem wrong, and be written wrong."""
    git(fresh, "clone", "-q", "--depth", "1", f"file://{fresh}", str(fresh / "clone"))
    for word in ("--check", "--write"):
        assert run_cli("changelog", word, cwd=fresh / "clone") == Outcome(
            2,
            "",
            "perflour: this clone holds only a part of the history; get all of it with `git fetch --unshallow`\n",
        )
    assert git(fresh / "clone", "status", "--short") == ""


def test_a_persons_settings_of_git_change_nothing(fresh: Path) -> None:
    rewrite(fresh, FORMULA, "2 large", "3 large")
    commit(fresh, "Add an egg, à l'œil")
    run_cli("changelog", "--write", cwd=fresh)
    for name, value in (
        ("log.showRoot", "false"),
        ("i18n.logOutputEncoding", "latin1"),
        ("log.follow", "true"),
        ("diff.renames", "false"),
        ("color.ui", "always"),
        ("core.abbrev", "5"),
    ):
        git(fresh, "config", name, value)
        assert check(fresh) == Outcome(0, "", ""), name


def test_the_order_of_parallel_branches_does_not_hang_on_dates(tmp_path: Path) -> None:
    """The same commits with the committers' days swapped give the same bytes."""
    told = []
    for number, days in enumerate([("02", "09"), ("09", "02")]):
        repository = tmp_path / str(number)
        (repository / "formulas/trial").mkdir(parents=True)
        git(repository, "init", "-q", "-b", "main")
        for branch, grams, day in [
            ("main", 100, "01"),
            ("side", 110, days[0]),
            ("main", 120, days[1]),
        ]:
            if branch == "side":
                git(repository, "checkout", "-qb", "side")
            elif grams == 120:
                git(repository, "checkout", "-q", "main")
            (repository / FORMULA).write_text(text(grams), encoding="utf-8")
            git(repository, "add", "-A")
            environment = {**GIT_ENVIRONMENT, "GIT_COMMITTER_DATE": f"2026-03-{day}T09:00:00Z"}
            words = ["git", "commit", "-qm", f"{grams} g"]
            subprocess.run(words, cwd=repository, env=environment, check=True)
        git(repository, "merge", "-q", "--no-commit", "-s", "ours", "side")
        (repository / FORMULA).write_text(text(130), encoding="utf-8")
        commit(repository, "Between the two")
        told.append(run_cli("changelog", "--output", "markdown", cwd=repository).out)
    assert told[0] == told[1]
    headings = [line for line in told[0].splitlines() if line.startswith("## ")]
    assert [heading.split(": ")[1] for heading in headings] == [
        "Between the two",
        "110 g",
        "120 g",
        "100 g",
    ]


@pytest.mark.skipif(
    not (ROOT / ".git").exists()
    or git(ROOT, "rev-parse", "--is-shallow-repository").strip() == "true",
    reason="needs the repository's whole history",
)
def test_the_changelogs_of_the_demo_are_fresh() -> None:
    assert len(list((ROOT / "formulas").glob("*/CHANGELOG.md"))) == len(
        list((ROOT / "formulas").glob("*/formula.yaml"))
    )
    assert check(ROOT, "formulas") == Outcome(0, "", "")


def test_lint_reads_the_changelog_anew(repository: Path) -> None:
    """A run long enough for the cache: a changed CHANGELOG.md is not taken for the old one."""
    example = ROOT / "tests/rules/changelog-behind"
    lines = (example / "pass/oat-cookie/formula.yaml").read_text(encoding="utf-8")
    for number in range(ENOUGH_ITEMS):
        folder = repository / "formulas" / f"trial-{number}"
        folder.mkdir(parents=True)
        (folder / "formula.yaml").write_text(
            lines.replace("formula: oat-cookie", f"formula: trial-{number}"), encoding="utf-8"
        )

    def behind() -> list[str]:
        data = json.loads(run_cli("lint", "--output", "json", cwd=repository).out)
        return [r["path"] for r in data["results"] if r["rule"] == "changelog-behind"]

    changelog = repository / "formulas/trial-7/CHANGELOG.md"
    for which, told in (("", []), ("fail", ["formulas/trial-7/formula.yaml"]), ("pass", [])):
        if which:
            changelog.write_bytes((example / which / "oat-cookie/CHANGELOG.md").read_bytes())
        assert behind() == told
    assert os.listdir(repository / ".git/perflour")
