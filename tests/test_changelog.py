"""The changelog from real git history: iterations, test bakes, text-only commits, reverts, merges."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from perflour.formula import digest

from .conftest import formula_text, git, run_cli, weigh_text

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
    shas = git(
        history, "log", "--reverse", "--format=%H", "--", "formulas/trial/formula.yaml"
    ).split()
    marks = {grams: digest(weigh_text(text(grams)).formula) for grams in (180, 216, 240)}
    assert (
        run_cli("changelog", cwd=history).out
        == f"""\
A better name (trial, draft): 4 iterations, 2 test bakes

  Iteration 4, 2026-03-14, {shas[4][:9]}: Go back
    revision {marks[216]}
    the same as iteration 2
    dark brown sugar 80.0 % -> 72.0 %, -8.0 % of flour
    total-water 38.4 % -> 38.3 %, -0.1 % of flour
    total-sugar 78.0 % -> 70.2 %, -7.8 % of flour
    test bake 2026-03-15 by N: keep
      Good.

  Iteration 3, 2026-03-14, {shas[3][:9]}: Raise the sugar again
    revision {marks[240]}
    dark brown sugar 72.0 % -> 80.0 %, +8.0 % of flour
    total-water 38.3 % -> 38.4 %, +0.1 % of flour
    total-sugar 70.2 % -> 78.0 %, +7.8 % of flour
    no test bake of this revision

  Iteration 2, 2026-03-14, {shas[1][:9]}: Raise the sugar
    revision {marks[216]}
    dark brown sugar 60.0 % -> 72.0 %, +12.0 % of flour
    total-water 38.1 % -> 38.3 %, +0.2 % of flour
    total-sugar 58.6 % -> 70.2 %, +11.6 % of flour
    test bake 2026-03-15 by N: keep
      Good.

  Iteration 1, 2026-03-14, {shas[0][:9]}: Start the trial
    revision {marks[180]}
    first version
    test bake 2026-03-14 by N: change; 2 tasters: crumb 6.5
      next: more sugar, because it is flat
  1 commit changed only text
  test bake 2026-03-16 is of revision 000000000000, which is not in the history
"""
    )


def test_json_and_markdown_and_writing(history: Path) -> None:
    data = json.loads(run_cli("changelog", "formulas/trial", "--output", "json", cwd=history).out)
    iterations = data["formulas"][0]["iterations"]
    assert [i["number"] for i in iterations] == [1, 2, 3, 4]
    assert [i["same_as_iteration"] for i in iterations] == [None, None, None, 2]
    assert [[b["bake"] for b in i["bakes"]] for i in iterations] == [
        ["2026-03-14"],
        ["2026-03-15"],
        [],
        ["2026-03-15"],
    ]
    printed = run_cli("changelog", "--output", "markdown", cwd=history).out
    assert printed.startswith("# A better name: changelog\n")
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
    assert out.startswith("A better name (trial, draft): 4 iterations, 2 test bakes\n")


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
