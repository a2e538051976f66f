"""What a changelog tells beside changes: approvals, names, tastings, scaled batches, odd dates, amended records."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from perflour.formula.digests import digest
from tests.conftest import ROOT, git, run_cli, weigh_text
from tests.history.test_changelog import bake, commit
from tests.release.test_policy import doubled
from tests.release.test_release import loaf

NAME = "plain-loaf"


@pytest.fixture
def kitchen(repository: Path) -> Path:
    put(repository, loaf(status="testing"))
    commit(repository, "Start")
    return repository


def put(top: Path, text: str) -> Path:
    folder = top / "formulas" / NAME
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "formula.yaml").write_text(text, encoding="utf-8")
    return folder


def told(top: Path) -> str:
    return run_cli("changelog", cwd=top).out


def test_who_approved_it_when_and_on_which_bake(kitchen: Path) -> None:
    folder = put(kitchen, loaf())
    bake(folder, "2026-03-14", digest(weigh_text(loaf()).formula), "keep")
    commit(kitchen, "Approve")
    assert "approved, was testing: 2026-03-14 by A baker, on test bake 2026-03-14\n" in told(
        kitchen
    )
    put(kitchen, loaf(status="retired"))
    assert "    status approved -> retired: not committed yet\n" in told(kitchen)
    (event,) = json.loads(run_cli("changelog", "--output", "json", cwd=kitchen).out)["formulas"][0]["events"][:1]  # fmt: skip
    assert (event["kind"], event["after"], event["author"]) == ("status", "approved", "A baker")


def test_an_approval_without_a_keep_says_so(kitchen: Path) -> None:
    put(kitchen, loaf())
    commit(kitchen, "Approve")
    assert "on no test bake that keeps it\n" in told(kitchen)


def test_an_approval_does_not_stand_on_a_bake_made_since(kitchen: Path) -> None:
    folder = put(kitchen, loaf())
    bake(folder, "2026-09-01", digest(weigh_text(loaf()).formula), "keep")
    commit(kitchen, "Approve")
    assert "by A baker, on no test bake that keeps it; kept since then by 2026-09-01\n" in told(kitchen)  # fmt: skip
    put(kitchen, doubled())
    commit(kitchen, "Twice")
    assert "scaled from iteration 1, which was kept\n" in told(kitchen)


def test_a_batch_at_another_size_is_approved_on_the_bake_of_the_first(kitchen: Path) -> None:
    folder = put(kitchen, loaf(status="testing"))
    bake(folder, "2026-03-14", digest(weigh_text(loaf()).formula), "keep")
    put(kitchen, doubled().replace("status: approved", "status: testing"))
    commit(kitchen, "Twice")
    put(kitchen, doubled())
    commit(kitchen, "Approve")
    assert "by A baker, on iteration 1, which was kept\n" in told(kitchen)


def test_a_kept_batch_made_up_twice_needs_no_bake_of_its_own(kitchen: Path) -> None:
    folder = put(kitchen, loaf(status="testing"))
    bake(folder, "2026-03-14", digest(weigh_text(loaf()).formula), "keep")
    commit(kitchen, "Keep it")
    put(kitchen, doubled())
    commit(kitchen, "Twice")
    said = told(kitchen)
    assert "    scaled from iteration 1, which was kept\n" in said
    assert "no test bake of this revision" not in said


def test_a_renamed_folder_and_a_new_title_are_told(kitchen: Path) -> None:
    git(kitchen, "mv", f"formulas/{NAME}", "formulas/tea-loaf")
    path = kitchen / "formulas/tea-loaf/formula.yaml"
    path.write_text(path.read_text().replace("formula: plain-loaf", "formula: tea-loaf").replace("Plain loaf", "Tea loaf"))  # fmt: skip
    commit(kitchen, "Call it tea loaf")
    said = told(kitchen)
    assert "    title Plain loaf -> Tea loaf: 2026-03-14 by A baker\n" in said
    assert "    folder plain-loaf -> tea-loaf: 2026-03-14 by A baker\n" in said


@pytest.mark.parametrize(
    ("extra", "line"),
    [
        ("measured: {mass-before: 500 g, mass-after: 450 g, height: 71 mm}\n", "      measured: height 71 mm, lost 10.0 % of its mass in the oven\n"),
        ("measured: {mass-before: 500 g}\n", "      measured: mass before 500 g\n"),
        ("amended: [{date: 2026-03-20, by: N, because: typing error}]\n", "      amended 2026-03-20 by N: typing error\n"),
        ("photos: [{file: crumb.jpg, shows: cut face}]\n", "      photo bakes/crumb.jpg: cut face\n"),
        ("photos: [{file: ../../crumb.jpg, caption: cut, alt: A slice}, {file: b.png}]\n", "      photo ../crumb.jpg: cut\n      photo bakes/b.png\n"),
    ],
)  # fmt: skip
def test_what_a_record_says_besides(kitchen: Path, extra: str, line: str) -> None:
    bake(
        put(kitchen, loaf(status="testing")),
        "2026-03-14",
        digest(weigh_text(loaf()).formula),
        "change",
        extra,
    )
    assert line in told(kitchen)


def test_a_bake_dated_before_its_revision_is_told_as_what_it_is(kitchen: Path) -> None:
    bake(
        put(kitchen, loaf(status="testing")),
        "2026-03-01",
        digest(weigh_text(loaf()).formula),
        "change",
    )
    assert "dated before its revision was committed, 2026-03-14: baked before it was written down, or the date is off" in told(kitchen)  # fmt: skip


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ((), "formulas/plain-loaf/bakes/2026-03-14.yaml:"),
        (("--by", "commit"), "bakes/2026-03-14.yaml:"),
        (("--by", "commit", "--output", "json"), "bakes/2026-03-14.yaml:"),
        (("--by", "commit", "--output", "markdown"), "bakes/2026-03-14.yaml:"),
        (("--output", "json"), "formulas/plain-loaf/bakes/2026-03-14.yaml:"),
        (
            ("--write",),
            "formula.yaml: 1 of its test bakes cannot be read; run perflour lint on its folder",
        ),
        (
            ("--check",),
            "formula.yaml: 1 of its test bakes cannot be read; run perflour lint on its folder",
        ),
    ],
)
def test_a_record_that_cannot_be_read_fails(
    kitchen: Path, words: tuple[str, ...], line: str
) -> None:
    folder = put(kitchen, loaf(status="testing"))
    (folder / "bakes").mkdir()
    (folder / "bakes/2026-03-14.yaml").write_text("verdict: [\n")
    commit(kitchen, "A record that is none")
    done = run_cli("changelog", *words, cwd=kitchen)
    assert (done.code, line in done.out) == (1, True), done.out


def test_the_demo_counts_as_its_list_of_bakes_does() -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    listed = json.loads(run_cli("bake", "list", "--output", "json", cwd=ROOT).out)["formulas"]
    told = json.loads(run_cli("changelog", "--output", "json", cwd=ROOT).out)["formulas"]
    for formula, changelog in zip(listed, told, strict=True):
        bakes = {b["bake"] for i in changelog["iterations"] for b in i["bakes"]}
        assert (formula["formula"], formula["iterations"]) == (changelog["formula"], len(changelog["iterations"]))  # fmt: skip
        assert {b["bake"] for b in formula["bakes"]} == bakes | {
            b["bake"] for b in changelog["bakes_of_no_revision"]
        }


def test_a_long_history_is_told_in_short_first_with_its_tastings() -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    said = run_cli("changelog", "formulas/oat-date-loaf", cwd=ROOT).out
    story, _, entries = said.partition("\n  Iteration ")
    assert "after iteration 4: cut the baking powder from 1 1/2 tsp to 1 tsp, because" in story
    assert "iteration 7, kept: Pieces of date spread evenly, none on the base." in story
    assert entries.count("decided: The dates stay in the batter; the loaf goes into the book") == 1
    assert "tasting 2026-11-28, with iteration 7" in entries
    assert "method: soak uses" in entries
