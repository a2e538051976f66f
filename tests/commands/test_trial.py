"""`perflour trial`: planned, written, passed by where all formulas are meant, and listed, by the real command line."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import jsonschema
import pytest
import yaml

from perflour.commands.trial import KINDS, MODELS
from perflour.designs import design
from tests.conftest import ROOT, Outcome, formula_text, git, run_cli

HOUSE = """\
house: Saltmarsh Lane
classes:
  loaf-cake:
    title: Loaf cake
    windows:
      fat: {low: 20, high: 60, source: trade custom}
"""
LINES = (
    "{item: all-purpose flour, amount: 300 g}",
    "{item: medium rye flour, amount: 100 g}",
    "{item: table salt, amount: 6 g}",
    "{item: unsalted butter, amount: 200 g}",
    "{item: granulated sugar, amount: 200 g}",
    "{item: milk, amount: 6 tbsp}",
)
METHOD = """
  - {do: mix, uses: [all-purpose flour, medium rye flour, table salt, unsalted butter, granulated sugar, milk]}
  - {do: chill, at: 4 °C, for: 2 h}
  - {do: preheat, to: 180 °C}
  - {do: bake, at: 180 °C, for: 12 min, until: brown}
  - {do: cool, on: wire rack, for: 30 min}
"""
EXTRA = """\
notes: "Cuts clean cold. Contains wheat, rye and milk."
waivers: [{rule: volume-in-approved, item: milk, because: a jug is quicker}]
yield: {pieces: 20, piece: bun, scaling-weight: 45 g}
"""
TEXT = formula_text(*LINES, method=METHOD, extra=EXTRA).replace("trial\n", "rye-bun\n", 1).replace("title: Trial", "title: Rye bun")  # fmt: skip
VARY = ("--vary", "unsalted butter=45..55 %", "--vary", "chill for=2 h..24 h")
PLAN = ("formulas/rye-bun", *VARY, "--bakes", "4", "--tasters", "3", "--seed", "7", "--date", "2026-03-10")  # fmt: skip
TRIAL = "formulas/trials/rye-bun-1"


@pytest.fixture
def kitchen(repository: Path) -> Path:
    folder = repository / "formulas" / "rye-bun"
    folder.mkdir(parents=True)
    (repository / "formulas" / "house.yaml").write_text(HOUSE, encoding="utf-8")
    (folder / "formula.yaml").write_text(TEXT, encoding="utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Start the rye bun")
    return repository


def plan(kitchen: Path, *words: str) -> Outcome:
    return run_cli("trial", "plan", *(words or PLAN), cwd=kitchen)


def section(text: str, title: str) -> str:
    """What stands under a heading of a report."""
    return re.split(r"\n\n[A-Z][A-Z ]+\n", text.split(f"\n{title}\n")[1])[0]


def commands(text: str) -> list[list[str]]:
    """The commands that a report says to type next."""
    return [
        shlex.split(found)[1:] for found in re.findall(r": (perflour .*)", section(text, "NEXT"))
    ]


def test_a_dry_run_writes_nothing_and_the_same_seed_draws_the_same(kitchen: Path) -> None:
    dry = plan(kitchen, *PLAN, "--dry-run")
    assert (dry.code, dry.err, git(kitchen, "status", "--porcelain")) == (0, "", "")
    assert f"Nothing is written; it would stand in {TRIAL}." in dry.out
    wet = plan(kitchen)
    assert f"Written, not committed: {TRIAL}/trial.yaml and 4 variants beside it." in wet.out
    for title in ("WHAT IS VARIED", "BAKES", "WHAT IT CAN TELL", "CODES"):
        assert section(dry.out + "\n\nEND\n", title) == section(wet.out + "\n\nEND\n", title)


def test_the_bakers_sheet_has_no_codes(kitchen: Path) -> None:
    told = plan(kitchen).out
    record = yaml.safe_load((kitchen / TRIAL / "trial.yaml").read_text("utf-8"))
    codes = [bake["code"] for bake in record["bakes"]]
    assert all(code in section(told + "\n\nEND\n", "CODES") for code in codes)
    assert not any(code in told.split("\nCODES\n")[0] for code in codes)


def test_lint_finds_nothing_new_in_record_and_variants(kitchen: Path) -> None:
    before = run_cli("lint", "--output", "json", cwd=kitchen)
    plan(kitchen)
    after = run_cli("lint", "--output", "json", cwd=kitchen)
    found, old = (json.loads(done.out)["results"] for done in (after, before))
    assert {(r["rule"], r["message"]) for r in found} == {(r["rule"], r["message"]) for r in old}
    assert any(TRIAL in r["path"] for r in found) or not old


def test_what_to_type_next_can_be_typed(kitchen: Path) -> None:
    """The timetable, and a tasting whose codes are those of the trial."""
    told = plan(kitchen, *PLAN, "--goal", "chew=most", "--goal", "spread=80..90", "--days", "2")
    named = commands(told.out)
    assert [words[:2] for words in named] == [
        ["plan", f"{TRIAL}/rye-bun-1-a"],
        ["plan", f"{TRIAL}/rye-bun-1-c"],
        ["bake", "new"],
        ["bake", "session"],
        ["bake", "session"],
    ]
    for words in named:
        if words[:2] == ["bake", "new"]:
            assert words[-2:] == ["--measured", "spread=…"]
            words = [*words[:3], "--baker", "R", "--verdict", "change", "--measured", "spread=84 mm"]  # fmt: skip
        done = run_cli(*words, cwd=kitchen)
        assert done.code == 0, (words, done.err)
    record = yaml.safe_load((kitchen / TRIAL / "trial.yaml").read_text("utf-8"))
    sessions = [yaml.safe_load(path.read_text("utf-8")) for path in sorted((kitchen / "formulas/sessions").iterdir())]  # fmt: skip
    drawn = {s["formula"]: (s["of"], s["codes"]) for one in sessions for s in one["samples"]}
    assert drawn == {b["formula"]: (b["of"], [b["code"]]) for b in record["bakes"]}
    assert all(one["attributes"] == ["chew"] for one in sessions)
    assert run_cli("lint", TRIAL, "--fail-at", "error", cwd=kitchen).code == 0


def test_what_goes_over_all_formulas_passes_variants_by(kitchen: Path) -> None:
    """As before the trial was there, but for the trial itself in a review."""
    asked = [
        ("compare", "formulas"),
        ("bake", "list", "formulas"),
        ("show", "formulas"),
        ("trial", "list", f"{TRIAL}/rye-bun-1-a"),
    ]
    before = [run_cli(*words, cwd=kitchen).out for words in asked[:-1]]
    plan(kitchen)
    assert [run_cli(*words, cwd=kitchen).out for words in asked[:-1]] == before
    assert run_cli(*asked[-1], cwd=kitchen).out == "no trial\n"
    git(kitchen, "switch", "-qc", "work")
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Plan a trial")
    assert [run_cli(*words, cwd=kitchen).out for words in asked[:-1]] == before
    assert run_cli("changelog", "formulas", cwd=kitchen).out.count("1 iteration, 0 test bakes, 1 trial\n") == 1  # fmt: skip
    run_cli("changelog", "--write", "formulas", cwd=kitchen)
    assert not list(kitchen.glob(f"{TRIAL}/**/CHANGELOG.md"))
    assert run_cli("changelog", "--check", "formulas", f"{TRIAL}/rye-bun-1-a", cwd=kitchen).code == 0  # fmt: skip
    assert run_cli("diff", "main", "work", cwd=kitchen).out == ""
    assert "rye-bun-1-a: new formula" in run_cli("diff", "main", "work", "--", TRIAL, cwd=kitchen).out  # fmt: skip
    review = json.loads(run_cli("review", "main..work", "--output", "json", cwd=kitchen).out)
    assert review["formulas"] == []
    listed = [(r["path"].removeprefix(f"{TRIAL}/"), r["kind"], r["how"]) for r in review["records"]]
    variants = [(f"rye-bun-1-{letter}/formula.yaml", "variant of a trial", "added") for letter in "abcd"]  # fmt: skip
    assert listed == [*variants, ("trial.yaml", "planned trial", "added")]
    released = run_cli("release", "main..work", "--output", "json", cwd=kitchen)
    assert "rye-bun-1" not in released.out
    named = run_cli("compare", TRIAL, cwd=kitchen)
    assert named.out.startswith("4 formulas side by side")


def test_a_trial_stands_on_a_branch_of_its_own(kitchen: Path) -> None:
    (kitchen / "note.txt").write_text("x", encoding="utf-8")
    dirty = plan(kitchen, *PLAN, "--branch", "rye-trial")
    assert dirty.err == "perflour: what is not committed would come along to the new branch (note.txt); commit it, or put it away with `git stash -u`\n"  # fmt: skip
    (kitchen / "note.txt").unlink()
    done = plan(kitchen, *PLAN, "--branch", "rye-trial")
    assert (done.code, git(kitchen, "branch", "--show-current")) == (0, "rye-trial\n")
    assert "Written on the new branch rye-trial, not committed: " in done.out
    assert git(kitchen, "status", "--porcelain") == "?? formulas/trials/\n"
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Plan a trial")
    for name, told in (
        ("main", "there is a branch main already; name another"),
        ("no good", "'no good' is no name for a branch; write one like trial-chew"),
        ("-x", "'-x' is no name for a branch"),
    ):
        assert told in plan(kitchen, *PLAN, f"--branch={name}").err
    assert git(kitchen, "status", "--porcelain") == ""


def test_a_trial_is_never_written_over_another(kitchen: Path) -> None:
    for name, folder in (("", "rye-bun-1"), ("", "rye-bun-2"), ("Chew & crumb", "chew-crumb")):
        assert plan(kitchen, *PLAN, *(("--name", name) if name else ())).code == 0
        assert (kitchen / "formulas/trials" / folder / "trial.yaml").is_file()
    again = plan(kitchen, *PLAN, "--name", "chew crumb")
    assert again.err == "perflour: formulas/trials/chew-crumb: is there already; give the trial another --name\n"  # fmt: skip
    assert again.code == 2
    assert run_cli("lint", "--fail-at", "error", cwd=kitchen).code == 0


WINDOW = "over the window 20 to 60 % of Loaf cake (trade custom)"
REFUSED: list[tuple[tuple[str, ...], str]] = [
    (("--vary", "sugar=40..40"), "sugar runs from 40 % to the same; give two different ends"),
    (("--vary", "unsalted butter=50..70"), f"unsalted butter at 70 % takes fat to 70 % of the batter's flour, {WINDOW}; narrow the range, or say --beyond-window"),
    (("--vary", "sugar=40..60", "--tasters", "0"), "a trial takes 1 to 500 tasters; say how many taste every bake with --tasters"),
    (("--vary", "sugar=40..60", "--bakes", "1"), "1 bakes are too few to tell 2 terms of the model main; plan --bakes 2 at least"),
    (("--vary", "sugar=40..60", "--hold", "crumb"), "'crumb' cannot be held; hold batch, or total water, total sugar or total fat, or vary fewer things"),
    (("--vary", "sugar=40..60", "--goal", "chew"), "'chew' is no goal; write it like chew=most, spread=80..90 or 'height=target 65 weight 2'"),
    (("--vary", "sugar=40..60", "--gives-way", "milk"), "no flour is varied, so nothing gives way for one; leave --gives-way out"),
    (("--vary", "sugar=40..60", "--branch", "x", "--dry-run"), "a dry run begins no branch; leave --branch or --dry-run out"),
    (("--vary", "sugar=40..60", "--seed", "-1"), "a seed is a whole number from 0 to 999999999"),
    (("--vary", "sugar=40..60", "--date", "tomorrow"), "'tomorrow' is no day; write it like 2026-03-14"),
    (("--vary", "sugar=40..60", "--name", "!"), "'!' is no name; write one like chew"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "told"), REFUSED, ids=[str(r[0][1:]) for r in REFUSED])
def test_a_request_that_cannot_be_met_is_one_line(
    words: tuple[str, ...], told: str, kitchen: Path
) -> None:
    usual = [w for name, n in (("--bakes", "4"), ("--tasters", "3")) if name not in words for w in (name, n)]  # fmt: skip
    done = plan(kitchen, "formulas/rye-bun", *usual, *words)
    assert (done.code, done.out) == (2, "")
    assert told in done.err and done.err.count("\n") == 1
    assert git(kitchen, "status", "--porcelain") == ""


def test_a_broken_formula_or_house_is_named(kitchen: Path) -> None:
    file = kitchen / "formulas" / "rye-bun" / "formula.yaml"
    file.write_text(TEXT.replace("amount: 200 g", "amount: [200 g]"), encoding="utf-8")
    assert plan(kitchen).err.startswith("perflour: formulas/rye-bun/formula.yaml:")
    file.write_text(TEXT, encoding="utf-8")
    (kitchen / "formulas" / "house.yaml").write_text("house: 7\n", encoding="utf-8")
    assert plan(kitchen).err.startswith("perflour: formulas/house.yaml:1:8: ")
    assert plan(kitchen, "formulas/none", *PLAN[1:]).err.startswith("perflour: 'formulas/none': no such file or folder")  # fmt: skip


def test_what_is_asked_for_beyond_a_window_is_said(kitchen: Path) -> None:
    words = ("formulas/rye-bun", "--vary", "unsalted butter=50..70", "--bakes", "2", "--tasters", "3")  # fmt: skip
    done = plan(kitchen, *words, "--beyond-window")
    assert f"Beyond its window, as asked: unsalted butter at 70 % takes fat to 70 % of the batter's flour, {WINDOW}." in done.out  # fmt: skip
    assert "(ratio-outside-window)." in section(done.out, "MIND")


@pytest.mark.parametrize("was", ["draft", "testing", "approved"])
def test_variants_keep_cautions_and_only_the_waivers_they_need(was: str, kitchen: Path) -> None:
    formula = kitchen / "formulas" / "rye-bun" / "formula.yaml"
    status = {"approved": "testing", "testing": "testing", "draft": "draft"}[was]
    formula.write_text(TEXT.replace("status: draft", f"status: {was}"), encoding="utf-8")
    words = ("formulas/rye-bun", "--vary", "milk=10..40 %", "--bakes", "2", "--tasters", "3")
    assert plan(kitchen, *words).code == 0
    for file in (kitchen / TRIAL).glob("*/formula.yaml"):
        data = yaml.safe_load(file.read_text("utf-8"))
        assert data["notes"] == "Cuts clean cold. Contains wheat, rye and milk."
        assert (data["status"], data["class"]) == (status, "loaf-cake")
        assert "waivers" not in data and data["formula"] == file.parent.name
        assert data["title"] == f"Rye bun: rye-bun-1, bake {file.parent.name[-1]}"


def test_trials_are_listed_with_the_bakes_done_and_to_come(kitchen: Path) -> None:
    assert run_cli("trial", "list", cwd=kitchen).out == "no trial\n"
    plan(kitchen, *PLAN, "--question", "Is it the chill?")
    bake = ("bake", "new", f"{TRIAL}/rye-bun-1-b", "--baker", "R", "--verdict", "keep", "--date", "2026-03-11")  # fmt: skip
    assert run_cli(*bake, cwd=kitchen).code == 0
    done = run_cli("trial", "list", cwd=kitchen)
    assert done.out.splitlines()[2:] == [
        "rye-bun-1  2026-03-10  rye-bun  unsalted butter, chill for  1 of 4  a c d",
        "  Is it the chill?",
    ]
    told = json.loads(run_cli("trial", "list", "--output", "json", cwd=kitchen).out)
    shape = json.loads((ROOT / "schema" / "trials.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(shape).validate(told)
    assert (told["trials"][0]["baked"], told["trials"][0]["to_come"]) == (["b"], ["a", "c", "d"])
    assert "| rye-bun-1 |" in run_cli("trial", "list", "--output", "markdown", cwd=kitchen).out
    record = kitchen / TRIAL / "trial.yaml"
    record.write_text(record.read_text("utf-8").replace("code: ", "cod: "), encoding="utf-8")
    broken = run_cli("trial", "list", cwd=kitchen)
    assert broken.code == 1 and "unknown key 'cod'" in broken.err


@pytest.mark.parametrize("form", ["markdown", "html", "json"])
def test_a_plan_is_written_in_other_forms(form: str, kitchen: Path) -> None:
    done = plan(kitchen, *PLAN, "--output", form, "--write", "plan.out")
    assert (done.code, done.out) == (0, "")
    text = (kitchen / "plan.out").read_text("utf-8")
    assert "rye-bun-1" in text
    if form == "json":
        told = json.loads(text)
        shape = json.loads((ROOT / "schema" / "trial-plan.schema.json").read_text("utf-8"))
        jsonschema.Draft202012Validator(shape).validate(told)
        assert {b["bake"]: b["levels"]["chill for"] for b in told["bakes"]}.keys() == set("abcd")
        assert told["smallest_difference"]["freedom"] == 1


def test_the_choices_of_the_command_are_those_of_designs() -> None:
    known = vars(design)
    assert set(KINDS) == set(known["KINDS"])
    assert set(MODELS) == set(known["MODELS"])


def test_a_folder_that_cannot_be_written_is_told(kitchen: Path) -> None:
    (kitchen / "formulas" / "trials").write_text("a note", encoding="utf-8")
    done = plan(kitchen)
    assert done.err == f"perflour: {TRIAL}: cannot be written (File exists); check the folder and its rights\n"  # fmt: skip
    assert done.code == 2


def test_a_long_title_and_an_exact_range_stay_within_what_files_hold(kitchen: Path) -> None:
    formula = kitchen / "formulas" / "rye-bun" / "formula.yaml"
    formula.write_text(TEXT.replace("title: Rye bun", f"title: {'Rye bun ' * 24}"), encoding="utf-8")  # fmt: skip
    words = ("formulas/rye-bun", "--vary", "salt=1.125..2.375", "--bakes", "2", "--tasters", "3", "--name", "n" * 90)  # fmt: skip
    assert plan(kitchen, *words).code == 0
    record = yaml.safe_load((kitchen / f"formulas/trials/{'n' * 70}/trial.yaml").read_text("utf-8"))
    assert (record["factors"][0]["low"], record["factors"][0]["high"]) == ("1.125 %", "2.375 %")
    assert run_cli("lint", "--fail-at", "error", cwd=kitchen).code == 0
