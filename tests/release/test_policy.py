"""Branches and the verdicts on them: no branch that weakens evidence passes unseen. The policy is docs/review.md."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from perflour.formula.digests import digest
from perflour.release.policy import IDS, REASONS, TIGHTER, WEIGHTS, tightened
from tests.conftest import ROOT, git, run_cli, weigh_text
from tests.history.test_changelog import bake, commit
from tests.release.test_release import loaf

SCHEMA = jsonschema.Draft202012Validator(json.loads((ROOT / "schema" / "review.schema.json").read_text("utf-8")))  # fmt: skip
APPROVED, DRAFT, TESTED = "plain-loaf", "rye-loaf", "tea-loaf"
SCORES = "scores: [{taster: A, crumb: 6}, {taster: B, crumb: 7}]\n"
Act = Callable[[Path], None]


def revision(text: str) -> str:
    return digest(weigh_text(text).formula)


def put(top: Path, name: str, text: str) -> Path:
    folder = top / "formulas" / name
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "formula.yaml").write_text(text, encoding="utf-8")
    return folder


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """On main: an approved loaf with a change and a keep, a draft, and one that is tested and rejected."""
    git(tmp_path, "init", "-q", "-b", "main")
    (tmp_path / "formulas").mkdir()
    (tmp_path / "formulas/house.yaml").write_text("house: Trial\n")
    folder = put(tmp_path, APPROVED, loaf())
    bake(folder, "2026-03-01", revision(loaf(sugar=150)), "change", SCORES)
    bake(folder, "2026-03-02", revision(loaf()), "keep", SCORES)
    put(tmp_path, DRAFT, loaf(DRAFT, status="draft"))
    tested = put(tmp_path, TESTED, loaf(TESTED, status="testing"))
    bake(tested, "2026-03-01", revision(loaf(TESTED)), "reject", SCORES)
    commit(tmp_path, "Start")
    git(tmp_path, "switch", "-q", "-c", "work")
    return tmp_path


def record(top: Path, name: str = "2026-03-02", formula: str = APPROVED) -> Path:
    return top / "formulas" / formula / "bakes" / f"{name}.yaml"


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def in_formula(old: str, new: str, name: str = APPROVED) -> Act:
    return lambda top: edit(top / "formulas" / name / "formula.yaml", old, new)


def in_record(old: str, new: str, why: str = "") -> Act:
    def act(top: Path) -> None:
        edit(record(top), old, new)
        if why:
            with record(top).open("a") as file:
                file.write(f"amended: [{{date: 2026-03-09, by: N, because: {why}}}]\n")

    return act


def baked(verdict: str, day: str = "2026-03-20", name: str = APPROVED, **said: Any) -> Act:
    def act(top: Path) -> None:
        text = loaf(name, **said)
        bake(top / "formulas" / name, day, revision(text), verdict)

    return act


def becomes(name: str, **said: Any) -> Act:
    return lambda top: void(put(top, name, loaf(name, **said)))


def void(_: object) -> None:
    """Nothing."""


def gone(*parts: str) -> Act:
    return lambda top: shutil.rmtree(top.joinpath("formulas", *parts))


def house(text: str) -> Act:
    return lambda top: void((top / "formulas/house.yaml").write_text(f"house: Trial\n{text}"))


def without(path: str) -> Act:
    return lambda top: (top / "formulas" / path).unlink()


def file(path: str, text: str) -> Act:
    def act(top: Path) -> None:
        target = top / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text)

    return act


WAIVER = "waivers: [{rule: no-cooling, because: eaten hot from the oven}]\n"
KNOWN = '{"known": [{"path": "a", "rule": "b", "subject": "c", "message": "d", "count": 1}]}\n'
PRICES = (
    "currency: EUR\ndate: 2026-03-02\nprices:\n  - {item: bread flour, packs: [1.40 for 1 kg]}\n"
)
STOP, LOOK, MERGE = ("not yet", 1), ("look first", 0), ("may be merged", 0)
BRANCHES: list[tuple[str, list[Act], tuple[str, int], set[str]]] = [
    ("nothing of a kitchen", [file("notes.txt", "x\n")], MERGE, set()),
    ("a new draft", [becomes("oat-loaf", status="draft")], MERGE, set()),
    ("a draft changed", [becomes(DRAFT, status="draft", sugar=150)], MERGE, set()),
    ("a title changed", [in_formula("title: Plain loaf", "title: Plain tea loaf")], MERGE, set()),
    ("all bakes of an approved formula deleted", [gone(APPROVED, "bakes")], STOP, {"record-deleted"}),
    ("the keep deleted, the change left", [without(f"{APPROVED}/bakes/2026-03-02.yaml")], STOP, {"record-deleted"}),
    ("a change deleted that nothing rests on", [without(f"{APPROVED}/bakes/2026-03-01.yaml")], LOOK, {"record-removed"}),
    ("an approved formula deleted", [gone(APPROVED)], STOP, {"formula-deleted", "record-deleted"}),
    ("a draft deleted", [gone(DRAFT)], LOOK, {"formula-removed"}),
    ("every verdict from keep to reject", [in_record("keep", "reject")], STOP, {"record-rewritten", "rejected"}),
    ("a verdict from change to keep", [lambda top: edit(record(top, "2026-03-01"), "change", "keep")], STOP, {"record-rewritten"}),
    ("scores from 6 to 9", [in_record("crumb: 6", "crumb: 9")], STOP, {"record-rewritten"}),
    ("the day of a bake moved", [in_record("date: 2026-03-02", "date: 2026-02-02")], STOP, {"record-rewritten"}),
    ("a bake said to be of another revision", [in_record('of: "', 'of: "0123456789ab" #')], STOP, {"record-rewritten"}),
    ("the baker of a bake renamed", [in_record("baker: N", "baker: somebody else")], STOP, {"record-rewritten"}),
    ("scores mended with the reason", [in_record("crumb: 6", "crumb: 7", "written down wrongly")], LOOK, {"record-amended"}),
    ("an approved formula back in testing", [in_formula("status: approved", "status: testing")], LOOK, {"demoted"}),
    ("a draft of the house becomes a reference", [lambda top: void(put(top, DRAFT, loaf(DRAFT, status="reference").replace("origin: own", "origin: adapted\ncitation: a card")))], LOOK, {"changes-hands"}),
    ("an approved formula retired", [in_formula("status: approved", "status: retired")], LOOK, {"demoted"}),
    ("an approved formula changed and not baked", [becomes(APPROVED, sugar=150, oven=180)], STOP, {"untested"}),
    ("an approved formula changed and baked, not kept", [becomes(APPROVED, sugar=110), baked("change", sugar=110)], STOP, {"not-kept"}),
    ("an approved formula changed, baked and kept", [becomes(APPROVED, sugar=110), baked("keep", sugar=110)], MERGE, set()),
    ("a reject after the keep of an approved formula", [baked("reject")], STOP, {"rejected", "keep-after-reject"}),
    ("a keep of a revision that was rejected", [baked("keep", name=TESTED)], LOOK, {"keep-after-reject"}),
    ("approved on a keep", [becomes(TESTED, sugar=100), baked("keep", name=TESTED, sugar=100)], LOOK, {"approved"}),
    ("approved on a reject", [becomes(TESTED)], STOP, {"rejected", "not-kept"}),
    ("approved without a bake", [becomes(DRAFT)], STOP, {"not-kept"}),
    ("a bake dated before those that were there", [baked("change", day="2026-02-20")], LOOK, {"backdated"}),
    ("an approved formula gains an allergen", [becomes(APPROVED, extra="almonds"), baked("keep", extra="almonds")], LOOK, {"allergen"}),
    ("a waiver of what was there", [in_formula("waivers: []", "waivers: []", APPROVED)] if "waivers: []" in loaf() else [lambda top: void((top / "formulas" / DRAFT / "formula.yaml").open("a").write(WAIVER))], LOOK, {"waiver"}),
    ("a kept loaf made up twice", [lambda top: void(put(top, APPROVED, doubled()))], LOOK, {"scaled"}),  # the pans are too small now
    ("a limit widened", [house("limits: {leavening-out-of-proportion: {powder-most: 20}}\n")], LOOK, {"house"}),
    ("a rule switched off", [house("rules: {approved-without-bakes: off}\n")], LOOK, {"house"}),
    ("prices", [file("formulas/prices.yaml", PRICES)], MERGE, {"prices"}),
    ("a list of known results grows", [file("known.json", KNOWN)], LOOK, {"baseline"}),
    ("a changelog that is behind", [file(f"formulas/{DRAFT}/CHANGELOG.md", "# Rye\n"), becomes(DRAFT, status="draft", sugar=150)], STOP, {"changelog"}),
    ("a formula that cannot be read", [file(f"formulas/{APPROVED}/formula.yaml", "formula: [\n")], STOP, {"cannot-be-read"}),
    ("a bake that cannot be read", [in_record("verdict: keep", "verdict: [")], STOP, {"record-rewritten"}),
    ("a folder renamed with its bakes", [lambda top: renamed(top)], MERGE, set()),
]  # fmt: skip


def doubled() -> str:
    """The approved loaf at twice the batch."""
    text = loaf()
    for old, new in (("300 g", "600 g"), ("90 g", "180 g"), ("3 g", "6 g"), ("120 g", "240 g"), ("pieces: 2", "pieces: 4")):  # fmt: skip
        text = text.replace(old, new)
    return text


def renamed(top: Path) -> None:
    git(top, "mv", f"formulas/{APPROVED}", "formulas/breakfast-loaf")
    put(top, "breakfast-loaf", loaf("breakfast-loaf", title="Plain loaf"))
    for path in (top / "formulas/breakfast-loaf/bakes").iterdir():
        edit(path, "formula: trial", "formula: breakfast-loaf")


@pytest.mark.parametrize(
    ("acts", "verdict", "reasons"), [row[1:] for row in BRANCHES], ids=[row[0] for row in BRANCHES]
)
def test_the_verdict_on_a_branch(
    kitchen: Path, acts: list[Act], verdict: tuple[str, int], reasons: set[str]
) -> None:
    for act in acts:
        act(kitchen)
    commit(kitchen, "Work")
    outcome = run_cli("review", "main..work", "--output", "json", cwd=kitchen)
    told = json.loads(outcome.out)
    SCHEMA.validate(told)
    held = {row["reason"] for row in told["reasons"]}
    assert (told["verdict"], outcome.code) == verdict, (told["said"], held)
    assert reasons <= held, told["said"]
    assert not reasons or held - reasons <= {"note", "warning", "error", "untested", "approved", "waiver", "waived-with-its-cause", "window", "backdated", "not-kept", "record-removed"}  # fmt: skip


def test_there_are_branches_enough() -> None:
    assert len(BRANCHES) >= 30
    named = {reason for *_, reasons in BRANCHES for reason in reasons}
    beside = {
        "merge-conflict",
        "both-changed",
        "window",
        "waived-with-its-cause",
        "error",
        "warning",
        "note",
        # in test_trials_reviewed.py
        "trial-rewritten",
        "trial-changed",
        "led-nowhere",
    }
    assert named | beside == set(IDS)


def test_a_house_tightens_and_cannot_loosen(kitchen: Path) -> None:
    house("review: {formula-removed: stop}\n")(kitchen)
    commit(kitchen, "Tighten")
    git(kitchen, "branch", "-f", "main")
    house("")(
        kitchen
    )  # the branch takes the policy out and deletes the draft: the base's counts too
    gone(DRAFT)(kitchen)
    commit(kitchen, "Clear up")
    outcome = run_cli("review", "main..work", cwd=kitchen)
    assert outcome.code == 1
    assert outcome.out.splitlines()[1].startswith("Not yet: deleted: rye-loaf")
    house("review: {record-deleted: look}\n")(kitchen)
    assert "record-deleted" in run_cli("lint", "formulas/house.yaml", cwd=kitchen).out


@pytest.mark.parametrize(("fail_at", "code"), [("not-yet", 0), ("look-first", 1), ("never", 0)])
def test_it_fails_at_the_verdict_that_is_asked_for(kitchen: Path, fail_at: str, code: int) -> None:
    gone(DRAFT)(kitchen)
    commit(kitchen, "Clear up")
    assert run_cli("review", "main..work", "--fail-at", fail_at, cwd=kitchen).code == code
    stopped = run_cli("review", "main..work", "--stop-at", "formula-removed", cwd=kitchen)
    assert stopped.code == 1


def test_records_are_told_with_who_changed_them(kitchen: Path) -> None:
    in_record("crumb: 6", "crumb: 9")(kitchen)
    commit(kitchen, "Better scores")
    git(
        kitchen,
        "commit",
        "-q",
        "--amend",
        "--no-edit",
        "--author",
        "A second baker <b@example.org>",
    )
    row = run_cli("review", "main..work", cwd=kitchen, columns=160).out.splitlines()[-1]
    assert re.split(" {2,}", row.strip()) == [
        "formulas/plain-loaf/bakes/2026-03-02.yaml",
        "test bake changed",
        "A second baker",
        "scores changed: mean crumb 6.5 -> 8.0",
    ]


def test_both_sides_changed_a_formula(kitchen: Path) -> None:
    becomes(DRAFT, status="draft", sugar=150)(kitchen)
    commit(kitchen, "Sweeter")
    git(kitchen, "switch", "-q", "main")
    becomes(DRAFT, status="draft", oven=190)(kitchen)
    commit(kitchen, "Hotter")
    git(kitchen, "switch", "-q", "work")
    told = run_cli("review", "main..work", cwd=kitchen)
    assert told.code == 0
    assert "changed on both sides, the merged revision is one that nobody has baked" in told.out
    git(kitchen, "switch", "-q", "main")
    becomes(DRAFT, status="draft", sugar=90)(kitchen)
    commit(kitchen, "Less sweet")
    told = run_cli("review", "main..work", cwd=kitchen)
    assert told.code == 1
    assert told.out.splitlines()[1].startswith("Not yet: conflicts when merged into main: ")
    assert "50.0 %" in told.out and "30.0 %" in told.out


def test_one_side_scales_what_the_other_changes_by_weight(kitchen: Path) -> None:
    in_formula("amount: 120 g", "amount: 150 g")(kitchen)
    commit(kitchen, "Sweeter")
    git(kitchen, "switch", "-q", "main")
    put(kitchen, APPROVED, doubled())
    commit(kitchen, "Twice")
    told = run_cli("review", "main..work", cwd=kitchen)
    assert told.code == 1
    assert "ours scaled the batch x2, theirs changed weights of the batch as it was" in told.out
    assert "ours 40.0 % of the batter's flour, theirs 50.0 %, before 40.0 %" in told.out


def test_a_copied_formula_says_what_it_was_copied_from(kitchen: Path) -> None:
    put(kitchen, "nut-loaf", loaf("nut-loaf", title="Nut loaf", status="draft", sugar=130))
    commit(kitchen, "Try it with nuts")
    head = run_cli("review", "main..work", cwd=kitchen).out.splitlines()[3]
    assert head.startswith("Nut loaf (formulas/nut-loaf/formula.yaml), new -> draft, ")
    assert ", copied from formulas/" in head


def test_ten_changed_formulas_are_told_in_sixty_lines(kitchen: Path) -> None:
    for number in range(10):
        put(kitchen, f"loaf-{number}", loaf(f"loaf-{number}", status="testing"))
    commit(kitchen, "Ten")
    git(kitchen, "branch", "-f", "main")
    for number in range(10):
        becomes(f"loaf-{number}", status="testing", sugar=150, oven=190)(kitchen)
    commit(kitchen, "Sweeter")
    told = run_cli("review", "main..work", cwd=kitchen).out.splitlines()
    assert len(told) < 60
    assert sum("dark brown sugar 40.0 -> 50.0 %" in line for line in told) == 10
    assert len(run_cli("review", "main..work", "--whole", cwd=kitchen).out.splitlines()) > 100


def test_the_policy_is_written_down() -> None:
    page = (ROOT / "docs" / "review.md").read_text(encoding="utf-8")
    for reason in REASONS:
        assert f"| `{reason.id}` | {reason.weight} | {reason.holds_when} |" in page


def test_weights_only_rise() -> None:
    assert tightened([{"allergen": "stop"}, {"allergen": "look"}])["allergen"] == "stop"
    assert tightened([{"error": "told"}])["error"] == "stop"
    assert all(set(tighter) < set(WEIGHTS) for tighter in TIGHTER.values())
