"""What a changelog tells of planned trials: where one began, what came of it, what cannot be read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from perflour.formula.digests import earlier_digest
from perflour.history import trials
from tests.conftest import git, run_cli, weigh_text
from tests.history.made_trial import QUESTION, SCORED, TRIAL, led, put_trial, revision, trial_text
from tests.history.test_changelog import bake, commit
from tests.release.test_release import loaf

FIRST, SWEET = loaf(status="testing"), loaf(status="testing", sugar=150)
PLANNED = f"trial plain-loaf-1 planned of it: {QUESTION}"
CAME = "came of trial plain-loaf-1: 2 of 2 bakes recorded, 2 tasters; decided: Take 50 % of sugar."
BAKED = "baked in trial plain-loaf-1 as b: change 2026-03-12 by N"
FILE = "formulas/plain-loaf/formula.yaml"


def put(top: Path, text: str) -> None:
    (top / FILE).parent.mkdir(parents=True, exist_ok=True)
    (top / FILE).write_text(text, encoding="utf-8")


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A loaf, a trial of it with all bakes recorded, and the loaf that came of it."""
    put(repository, FIRST)
    commit(repository, "Start the loaf")
    put_trial(repository, revision(FIRST), baked="ab")
    commit(repository, "Bake the trial")
    put(repository, SWEET)
    put_trial(repository, revision(FIRST), *led(SWEET), baked="ab")
    commit(repository, "Take what the trial showed")
    return repository


def told(top: Path, *words: str) -> str:
    return run_cli("changelog", *words, cwd=top).out


@pytest.mark.parametrize(
    "words",
    [(), ("--output", "markdown"), ("--output", "html"), ("--by", "commit"), ("--by", "commit", "--output", "markdown")],
)  # fmt: skip
def test_every_form_tells_what_came_of_a_trial_before_what_it_was_of(kitchen: Path, words: tuple[str, ...]) -> None:  # fmt: skip
    said = told(kitchen, *words).replace("\\", "")
    assert [said.count(line) for line in (CAME, BAKED, PLANNED)] == [1, 1, 1]
    assert said.index(CAME) < said.index(BAKED) < said.index(PLANNED)
    assert said.count("no test bake of this revision") == 1


def test_the_changelog_file_tells_of_it_and_is_checked(kitchen: Path) -> None:
    told(kitchen, "--write")
    file = kitchen / "formulas/plain-loaf/CHANGELOG.md"
    assert f"- {CAME}\n" in file.read_text() and run_cli("changelog", "--check", cwd=kitchen).code == 0  # fmt: skip
    put_trial(kitchen, revision(FIRST), *led(SWEET, "Take less."), baked="ab")
    done = run_cli("changelog", "--check", cwd=kitchen)
    assert done.code == 1 and "does not tell of trial plain-loaf-1 as it is recorded" in done.out


def test_the_data_have_the_trial_once_and_its_name_at_the_iterations(kitchen: Path) -> None:
    (formula,) = json.loads(told(kitchen, "--output", "json"))["formulas"]
    (trial,) = formula["trials"]
    assert trial == {
        "trial": "plain-loaf-1",
        "date": "2026-03-10",
        "question": QUESTION,
        "of": revision(FIRST),
        "bakes": 2,
        "bakes_recorded": ["a", "b"],
        "tasters": 2,
        "decided": "Take 50 % of sugar.",
        "led_to": revision(SWEET),
    }
    keys = ("trials_planned", "came_of_trials", "baked_as")
    first, second = ([i[key] for key in keys] for i in formula["iterations"])
    assert first == [["plain-loaf-1"], [], []] and second[:2] == [[], ["plain-loaf-1"]]
    assert second[2][0]["variant"] == "b"


def variant_changed(top: Path) -> None:
    """The records still say what was planned; the file does not: nobody can say that it is this revision."""
    file = top / TRIAL / "plain-loaf-1-b/formula.yaml"
    file.write_text(file.read_text().replace("150 g", "160 g"))


def other_bake(top: Path) -> None:
    put_trial(top, revision(FIRST), *led(SWEET), baked="ab")
    file = top / TRIAL / "plain-loaf-1-b/bakes/2026-03-12.yaml"
    file.write_text(file.read_text().replace("of: ", 'of: "000000000000" #'))


def blind(top: Path) -> None:
    """Somebody more tasts blind; who was absent does not count."""
    (top / "formulas/sessions").mkdir()
    samples = (f'  - {{formula: plain-loaf-1-{x}, of: "{y}", codes: ["{z}"]}}' for x, y, z in (("a", revision(loaf(sugar=90)), "418"), ("b", revision(SWEET), "730")))  # fmt: skip
    (top / "formulas/sessions/2026-03-12.yaml").write_text(
        "date: 2026-03-12\nask: scores\nseed: 7\nattributes: [crumb]\nsamples:\n" + "\n".join(samples) + "\n"
        'order: [{taster: A, serve: ["418", "730"]}, {taster: C, serve: ["730", "418"]}, {taster: D, serve: ["730", "418"]}]\n'
        "absent: [D]\n"
        'scores: [{taster: A, code: "418", crumb: 6}, {taster: A, code: "730", crumb: 6}, {taster: C, code: "418", crumb: 7}, {taster: C, code: "730", crumb: 7}]\n'
    )  # fmt: skip


def no_scores(top: Path) -> None:
    for file in (top / TRIAL).rglob("bakes/*.yaml"):
        file.write_text(file.read_text().replace(SCORED, ""))


def not_decided(top: Path) -> None:
    put_trial(top, revision(FIRST), led(SWEET)[1], baked="ab")


def decided_to_stay(top: Path) -> None:
    put_trial(top, revision(FIRST), "decided: Stay as it is.", baked="ab")


def no_question(top: Path) -> None:
    file = top / TRIAL / "trial.yaml"
    file.write_text(file.read_text().replace(f"question: {QUESTION}\n", ""))


def renamed(top: Path) -> None:
    git(top, "mv", "formulas/plain-loaf", "formulas/tea-loaf")
    file = top / "formulas/tea-loaf/formula.yaml"
    file.write_text(file.read_text().replace("formula: plain-loaf", "formula: tea-loaf"))
    commit(top, "Call it tea loaf")


def reckoned_before(top: Path) -> None:
    marks = (earlier_digest(weigh_text(text).formula) for text in (FIRST, SWEET))
    text = trial_text(next(marks), led(SWEET)[0], f'led-to: "{next(marks)}"')
    (top / TRIAL / "trial.yaml").write_text(text)


def squashed(top: Path) -> None:
    put_trial(top, "0" * 12, led(SWEET)[0], 'led-to: "111111111111"', baked="ab")


LOOSE = "which is not in this history: not committed yet, or lost where commits were squashed or rebased; keep the record as it is"


@pytest.mark.parametrize(
    ("does", "lines", "not_told"),
    [
        (variant_changed, [CAME, "no test bake of this revision"], BAKED),
        (other_bake, ["1 of 2 bakes recorded, 2 tasters"], BAKED),
        (blind, ["2 of 2 bakes recorded, 3 tasters"], ""),
        (no_scores, ["2 of 2 bakes recorded, nobody's scores; decided"], "0 tasters"),
        (not_decided, [f"{CAME.partition(';')[0]}\n"], "decided"),
        (decided_to_stay, [PLANNED, "      decided: Stay as it is.\n"], "came of"),
        (no_question, ["trial plain-loaf-1 planned of it, varying sugar\n"], QUESTION),
        (renamed, [CAME, PLANNED], ""),
        (reckoned_before, [CAME, PLANNED], LOOSE),
        (squashed, [f"trial plain-loaf-1 is of revision 000000000000, {LOOSE}", f"trial plain-loaf-1 led to revision 111111111111, {LOOSE}"], CAME),
    ],
)  # fmt: skip
def test_what_is_told_is_what_is_recorded(does: object, lines: list[str], not_told: str, kitchen: Path) -> None:  # fmt: skip
    assert CAME in told(kitchen)  # kept for the next run, which must see what is different
    assert callable(does)
    does(kitchen)
    said = told(kitchen)
    assert [line for line in lines if line not in said] == [], said
    assert not not_told or not_told not in said


def broken(top: Path) -> None:
    (top / TRIAL / "trial.yaml").write_text("formula: plain-loaf\nbakes: [\n")


def of_no_formula(top: Path) -> None:
    (top / TRIAL / "trial.yaml").write_text("")


def contradicts_itself(top: Path) -> None:
    file = top / TRIAL / "trial.yaml"
    file.write_text(file.read_text().replace("sugar: 50 %", "sugar: 60 %"))


@pytest.mark.parametrize("does", [broken, of_no_formula, contradicts_itself])
@pytest.mark.parametrize(
    ("words", "line"),
    [
        ((), f"  {TRIAL}/trial.yaml:"),
        (("--output", "json"), f"{TRIAL}/trial.yaml:"),
        (("--output", "markdown"), "- ../trials/plain-loaf-1/trial.yaml:"),
        (("--by", "commit"), f"{TRIAL}/trial.yaml:"),
        (("--write",), "formula.yaml: 1 of the records of its trials cannot be read; run perflour lint formulas/trials\n"),
        (("--check",), "formula.yaml: 1 of the records of its trials cannot be read; run perflour lint formulas/trials\n"),
    ],
)  # fmt: skip
def test_a_trial_that_cannot_be_read_fails(does: object, words: tuple[str, ...], line: str, kitchen: Path) -> None:  # fmt: skip
    assert callable(does)
    does(kitchen)
    done = run_cli("changelog", *words, cwd=kitchen)
    assert (done.code, line in done.out.replace("\\", "")) == (1, True), done.out


def test_a_broken_trial_of_another_formula_is_not_told_here(kitchen: Path) -> None:
    (kitchen / TRIAL / "trial.yaml").write_text("trial: plain-loaf-1\nformula: rye-plain-loaf\nbakes: [\n")  # fmt: skip
    assert run_cli("changelog", cwd=kitchen).code == 0


def test_where_there_are_no_trials_no_file_more_is_opened(repository: Path, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    put(repository, FIRST)
    bake(repository / "formulas/plain-loaf", "2026-03-14", revision(FIRST), "keep")

    def opened(path: str) -> bytes:
        raise AssertionError(path)

    for name in ("read", "session_files"):
        monkeypatch.setattr(trials, name, opened)
    assert trials.trials_beside(str(repository / "formulas")) == []
