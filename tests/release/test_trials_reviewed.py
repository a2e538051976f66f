"""Planned trials where a branch is decided on and a release is told: evidence, records, and what breaks them."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from tests.conftest import ROOT, git, run_cli
from tests.history.made_trial import QUESTION, TRIAL, led, put_trial, revision, variant_text
from tests.history.test_changelog import bake, commit
from tests.release.test_policy import LOOK, MERGE, SCHEMA, STOP, edit, put
from tests.release.test_release import loaf
from tests.whole.test_json_schemas import validator

NAME = "plain-loaf"
FIRST, SWEET, MIDDLE = (loaf(status="testing", sugar=grams) for grams in (120, 150, 135))
RECORD = f"{TRIAL}/trial.yaml"
VARIANT = f"{TRIAL}/plain-loaf-1-b/formula.yaml"
Act = Callable[[Path], object]


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """On main: a loaf that was baked, without a trial; begin a branch with `branch`."""
    folder = put(repository, NAME, FIRST)
    bake(folder, "2026-03-01", revision(FIRST), "change")
    commit(repository, "Start")
    return repository


def on_main(*more: str, baked: str = "ab") -> Act:
    return lambda top: put_trial(top, revision(FIRST), *more, baked=baked)


def branch(top: Path, before: list[Act], acts: list[Act]) -> None:
    """The commits of main and of a branch ``work``."""
    for subject, does in (("Main", before), ("Work", acts)):
        for act in does:
            act(top)
        git(top, "add", "-A")
        git(top, "commit", "-q", "--allow-empty", "-m", subject)
        if subject == "Main":
            git(top, "branch", "-f", "base")


def takes(text: str) -> list[Act]:
    return [lambda top: put(top, NAME, text), on_main(*led(text))]


def mends(path: str, old: str, new: str) -> Act:
    return lambda top: edit(top / path, old, new)


def variant_with_its_record(top: Path) -> None:
    """What was planned is made to say what is there now, so that lint finds nothing."""
    was = revision(variant_text("b"))
    edit(top / VARIANT, "amount: 150 g", "amount: 148 g")
    edit(top / RECORD, f'of: "{was}"', f'of: "{revision((top / VARIANT).read_text())}"')


def gone(path: str) -> Act:
    def act(top: Path) -> None:
        shutil.rmtree(top / path) if (top / path).is_dir() else (top / path).unlink()

    return act


LED = [lambda top: put(top, NAME, SWEET), on_main(*led(SWEET))]
LEVEL = mends(RECORD, "sugar: 50 %", "sugar: 49 %")
ROWS: list[tuple[str, list[Act], list[Act], tuple[str, int], set[str]]] = [
    ("planned", [], [on_main(baked="")], MERGE, set()),
    ("planned and thrown away", [on_main(baked="")], [gone(TRIAL)], MERGE, set()),
    ("planned otherwise before it was baked", [on_main(baked="")], [LEVEL], MERGE, set()),
    ("taken as a variant was baked", [on_main()], takes(SWEET), MERGE, set()),
    ("taken in between", [on_main()], takes(MIDDLE), STOP, {"untested"}),
    ("taken as a variant that nobody baked", [on_main(baked="a")], [lambda top: put(top, NAME, SWEET)], STOP, {"untested"}),
    ("taken as a variant that is another now", [on_main(), mends(VARIANT, "150 g", "160 g")], [lambda top: put(top, NAME, SWEET)], STOP, {"untested"}),
    ("levels after it was baked", [on_main()], [LEVEL], LOOK, {"trial-changed"}),
    ("a variant with its record after it was baked", [on_main()], [variant_with_its_record], LOOK, {"trial-changed"}),
    ("a variant alone after it was baked", [on_main()], [mends(VARIANT, "150 g", "160 g")], STOP, {"trial-changed", "error"}),
    ("a variant gone that was baked", [on_main()], [gone(VARIANT)], STOP, {"trial-changed", "error"}),
    ("a trial gone that was baked", [on_main()], [gone(TRIAL)], LOOK, {"trial-changed", "record-removed"}),
    ("led to nothing there is", [on_main()], [on_main('led-to: "000000000000"')], LOOK, {"led-nowhere"}),
    ("led to what was there before", [on_main()], [lambda top: put(top, NAME, SWEET), lambda top: bake(top / "formulas" / NAME, "2026-03-20", revision(SWEET), "keep"), on_main(*led(FIRST))], MERGE, set()),
    ("decided to stay", [on_main()], [on_main("decided: Stay as it is.")], MERGE, set()),
    ("levels after it led to something", LED, [LEVEL], STOP, {"trial-rewritten"}),
    ("a variant with its record after it led to something", LED, [variant_with_its_record], STOP, {"trial-rewritten"}),
    ("a record of a bake gone after it led to something", LED, [gone(f"{TRIAL}/plain-loaf-1-a/bakes")], STOP, {"trial-rewritten"}),
    ("the trial gone after it led to something", LED, [gone(TRIAL)], STOP, {"trial-rewritten"}),
    ("it led to something else", LED, [mends(RECORD, f'led-to: "{revision(SWEET)}"', 'led-to: "000000000000"')], STOP, {"trial-rewritten", "led-nowhere"}),
    ("it led to nothing any more", LED, [mends(RECORD, f'led-to: "{revision(SWEET)}"\n', "")], STOP, {"trial-rewritten"}),
    ("its question in other words", LED, [mends(RECORD, QUESTION, "How much sugar?")], MERGE, set()),
    ("the title of a variant", LED, [mends(VARIANT, "title: Plain loaf", "title: Plain loaf, sweet")], MERGE, set()),
    ("cannot be read any more", LED, [mends(RECORD, "bakes:", "bakes: [")], STOP, {"trial-rewritten", "error"}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("before", "acts", "verdict", "reasons"), [r[1:] for r in ROWS], ids=[r[0] for r in ROWS]
)
def test_the_verdict_on_a_branch(
    kitchen: Path, before: list[Act], acts: list[Act], verdict: tuple[str, int], reasons: set[str]
) -> None:
    branch(kitchen, before, acts)
    outcome = run_cli("review", "base..HEAD", "--output", "json", cwd=kitchen)
    told = json.loads(outcome.out)
    SCHEMA.validate(told)
    held = {row["reason"] for row in told["reasons"]}
    assert ((told["verdict"], outcome.code), held - {"note", "warning"}) == (verdict, reasons), told["said"]  # fmt: skip


def test_the_trial_stands_in_the_evidence_of_what_came_of_it(kitchen: Path) -> None:
    branch(kitchen, [on_main()], takes(SWEET))
    said = run_cli("review", "base..HEAD", cwd=kitchen).out
    assert f"now, {revision(SWEET)[:7]}: baked in trial plain-loaf-1 as b: change 2026-03-12 by N\n" in said  # fmt: skip
    assert "trials: trial plain-loaf-1 led to this: 2 of 2 bakes recorded, 2 tasters; decided: Take 50 % of sugar.\n" in said  # fmt: skip
    (formula,) = json.loads(run_cli("review", "base..HEAD", "--output", "json", cwd=kitchen).out)["formulas"]  # fmt: skip
    assert [trial["trial"] for trial in formula["trials"]] == ["plain-loaf-1"]
    assert [baked["variant"] for baked in formula["baked_as"]] == ["b"] and formula["bakes"] == []


def test_a_trial_and_its_variants_are_listed_with_who_changed_them(kitchen: Path) -> None:
    branch(kitchen, [], [on_main(baked="b")])
    records = json.loads(run_cli("review", "base..HEAD", "--output", "json", cwd=kitchen).out)["records"]  # fmt: skip
    listed = [(r["path"].removeprefix(f"{TRIAL}/"), r["kind"], r["how"], r["told"], r["by"]) for r in records]  # fmt: skip
    by = ["A baker"]
    assert listed == [
        ("plain-loaf-1-a/formula.yaml", "variant of a trial", "added", f"revision {revision(variant_text('a'))}", by),
        ("plain-loaf-1-b/bakes/2026-03-12.yaml", "test bake", "added", "change, crumb 6.5", by),
        ("plain-loaf-1-b/formula.yaml", "variant of a trial", "added", f"revision {revision(variant_text('b'))}", by),
        ("trial.yaml", "planned trial", "added", f"2 bakes of variants of plain-loaf; {QUESTION}", by),
    ]  # fmt: skip


def test_a_house_tightens_what_is_only_to_be_looked_at(kitchen: Path) -> None:
    (kitchen / "formulas/house.yaml").write_text("house: Trial\nreview: {trial-changed: stop}\n")
    branch(kitchen, [on_main()], [LEVEL])
    outcome = run_cli("review", "base..HEAD", cwd=kitchen)
    assert outcome.out.splitlines()[1] == "Not yet: trials that were baked are not as they were planned: plain-loaf-1."  # fmt: skip
    assert outcome.code == 1


@pytest.mark.parametrize(
    ("path", "act"), [("formulas/trials", LEVEL), (TRIAL, LEVEL), (f"{TRIAL}/plain-loaf-1-b", variant_with_its_record)]
)  # fmt: skip
def test_no_narrower_path_softens_what_breaks_a_trial(kitchen: Path, path: str, act: Act) -> None:
    branch(kitchen, LED, [act])
    assert "Not yet: trials that led to a revision are not as they were" in run_cli("review", "base..HEAD", "--", path, cwd=kitchen).out  # fmt: skip


def test_a_revision_of_a_former_name_is_in_the_history(kitchen: Path) -> None:
    def renamed(top: Path) -> None:
        git(top, "mv", f"formulas/{NAME}", "formulas/tea-loaf")
        put(top, "tea-loaf", loaf("tea-loaf", status="testing", title="Plain loaf"))
        git(top, "add", "-A")
        git(top, "commit", "-qm", "Rename")
        put(top, "tea-loaf", loaf("tea-loaf", status="draft", title="Plain loaf", sugar=99))

    branch(kitchen, [on_main()], [renamed, on_main(*led(FIRST))])
    assert "not in the history" not in run_cli("review", "base..HEAD", cwd=kitchen).out


def approved(top: Path) -> None:
    text = loaf(sugar=135)
    bake(put(top, NAME, text), "2026-03-20", revision(text), "keep")


CAME = "came of trial plain-loaf-1: 2 of 2 bakes recorded, 2 tasters; decided: Take 50 % of sugar."


@pytest.mark.parametrize(
    ("audience", "line"),
    [
        ("team", f"    {CAME}\n"),
        ("editor", f"  Plain loaf: 1 test bake (keep), {CAME}\n"),
        ("readers", ""),
    ],
)
def test_a_release_tells_it_to_those_who_decide(kitchen: Path, audience: str, line: str) -> None:
    branch(kitchen, [on_main()], [approved, on_main(*led(MIDDLE))])
    said = run_cli("release", "base..HEAD", "--for", audience, cwd=kitchen).out
    assert (line in said, "trial" in said) == (True, bool(line)), said


def test_the_data_of_a_release_have_it(kitchen: Path) -> None:
    branch(kitchen, [on_main()], [approved, on_main(*led(MIDDLE))])
    data = json.loads(run_cli("release", "base..HEAD", "--output", "json", cwd=kitchen).out)
    jsonschema.Draft202012Validator(json.loads((ROOT / "schema/release.schema.json").read_text("utf-8"))).validate(data)  # fmt: skip
    assert [t["trial"] for t in data["formulas"][0]["evidence"]["trials"]] == ["plain-loaf-1"]


def test_the_data_of_a_changelog_are_valid(kitchen: Path) -> None:
    branch(kitchen, [on_main()], takes(SWEET))
    validator("changelog").validate(json.loads(run_cli("changelog", "--output", "json", cwd=kitchen).out))  # fmt: skip
