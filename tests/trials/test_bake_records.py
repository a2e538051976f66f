"""Test-bake records: written, listed and checked, in real repositories by the real command line."""

from __future__ import annotations

import hashlib
import json
import os
import pty
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.documents.layout import as_scalar, write_commented
from perflour.documents.nodes import read_commented
from perflour.documents.reader import read_document
from perflour.documents.writer import record_text
from perflour.formula.digests import digest, earlier_digest
from perflour.formula.file import read_formula
from perflour.lint.check import check_other
from perflour.plain import control
from perflour.result import CannotRun
from perflour.system.writing import write_new
from perflour.trials.bake_prompts import ask_for_missing
from perflour.trials.bake_request import BakeSaid, batch_factor, readings, taster_scores
from tests.conftest import Outcome, formula_text, git, run_cli
from tests.system.made_pictures import picture

LINES = ("{item: flour, amount: 200 g}", "{item: butter, amount: 100 g}")
OLD = formula_text(*LINES)
NEW = OLD.replace("butter, amount: 100", "butter, amount: 120")
OF_OLD, OF_NEW = (digest(read_formula(text.encode(), "f")) for text in (OLD, NEW))
BAKES = "formulas/trial/bakes"
#: One dot, and nothing else.
PICTURE = picture("PNG", size=(1, 1))
SAID = ("--baker", "N", "--verdict", "keep", "--date", "2026-03-14")


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A repository with two iterations of one formula."""
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (repository / "formulas" / "house.yaml").write_text("house: Saltmarsh Lane\n", encoding="utf-8")
    for text, subject in ((OLD, "Start the trial"), (NEW, "Raise the butter")):
        (folder / "formula.yaml").write_text(text, encoding="utf-8")
        git(repository, "add", "-A")
        git(repository, "commit", "-qm", subject)
    return repository


def bake(kitchen: Path, *words: str) -> Outcome:
    return run_cli("bake", *words, cwd=kitchen)


def read(path: Path) -> dict[str, object]:
    data = read_document(path.read_bytes(), path.name).data
    assert isinstance(data, dict)
    return data


def test_a_record_from_options(kitchen: Path) -> None:
    (kitchen / "crumb.png").write_bytes(PICTURE)
    done = bake(
        kitchen, "new", "formulas/trial", *SAID[2:], "--baker", " second  baker ", "--batch", "1/2",
        "--room", "21 °C", "--measured", "core=97 °C", "--measured", "mass-before=300 g",
        "--scores", "A: crumb=7, flavour=8.5", "--scores", "B: crumb 6, flavour 7",
        "--notes", "Even crumb.", "--next", "bake 2 min less", "--because", "dark edges",
        "--photo", "crumb.png", "--alt", "A slice.", "--caption", "cut face",
    )  # fmt: skip
    assert (done.code, done.out, done.err) == (0, f"{BAKES}/2026-03-14.yaml\n", "")
    assert (kitchen / BAKES / "2026-03-14.yaml").read_text(encoding="utf-8") == (
        "date: 2026-03-14\n"
        "formula: trial\n"
        f'of: "{OF_NEW}"\n'
        "baker: second baker\n"
        "batch: 0.5\n"
        "conditions: {room: 21 °C}\n"
        "measured: {mass-before: 300 g, core: 97 °C}\n"
        "scores:\n"
        "  - {taster: A, crumb: 7, flavour: 8.5}\n"
        "  - {taster: B, crumb: 6, flavour: 7}\n"
        "notes: Even crumb.\n"
        "photos:\n"
        "  - file: ../../../crumb.png\n"
        f'    sha256: "{hashlib.sha256(PICTURE).hexdigest()}"\n'
        "    caption: cut face\n"
        "    alt: A slice.\n"
        "verdict: keep\n"
        "next: {try: bake 2 min less, because: dark edges}\n"
    )
    assert run_cli("lint", BAKES, cwd=kitchen).out == "1 file read, nothing found\n"
    assert bake(kitchen, "check").out == "1 file read, nothing found\n"


def test_a_digest_reckoned_before_counts_and_is_renewed(kitchen: Path) -> None:
    """Records of commits that nobody can renew name it: review, release, lint and the changelog know it."""
    approved = NEW.replace("status: draft", "status: approved")
    (kitchen / "formulas/trial/formula.yaml").write_text(approved, encoding="utf-8")
    bake(kitchen, "new", "formulas/trial", *SAID)
    record = kitchen / BAKES / "2026-03-14.yaml"
    was = earlier_digest(read_formula(NEW.encode(), "f"))
    renewed = record.read_text(encoding="utf-8")
    record.write_text(renewed.replace(OF_NEW, was), encoding="utf-8")
    assert was != OF_NEW
    assert "approved-without-bakes" not in run_cli("lint", cwd=kitchen).out
    told = run_cli("changelog", cwd=kitchen).out
    assert "test bake 2026-03-14 by N: keep" in told and "of no iteration" not in told
    assert bake(kitchen, "check").out.startswith(
        f"{BAKES}/2026-03-14.yaml:3:5: error: {was} is a revision as digests were reckoned before, "
        f"{OF_NEW} today; write that with `perflour bake check --renew` [revision-reckoned-before]"
    )
    assert "nothing found" in bake(kitchen, "check", "--renew").out
    assert record.read_text(encoding="utf-8") == renewed


def test_never_over_another_record(kitchen: Path) -> None:
    names = ["2026-03-14", "2026-03-14-b", "2026-03-14-c"]
    for name in names:
        assert bake(kitchen, "new", "formulas/trial", *SAID).out == f"{BAKES}/{name}.yaml\n"
    assert sorted(path.stem for path in (kitchen / BAKES).iterdir()) == names
    with pytest.raises(FileExistsError):
        write_new(kitchen / BAKES / "2026-03-14.yaml", b"other")
    assert read(kitchen / BAKES / "2026-03-14.yaml")["baker"] == "N"
    for letter in "defghijklmnopqrstuvwxyz":
        (kitchen / BAKES / f"2026-03-14-{letter}.yaml").write_text("x: y\n", encoding="utf-8")
    done = bake(kitchen, "new", "formulas/trial", *SAID)
    assert (done.code, done.err) == (
        2,
        f"perflour: {BAKES}: holds 2026-03-14 to 2026-03-14-z; record it by hand\n",
    )


def test_without_hard_links_still_never_over_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    write_new(tmp_path / "a", b"first")
    with pytest.raises(FileExistsError):
        write_new(tmp_path / "a", b"second")
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("a", b"first")]


@pytest.mark.parametrize("at", ["HEAD~1", OF_OLD])
def test_a_record_of_an_older_revision(kitchen: Path, at: str) -> None:
    assert bake(kitchen, "new", f"formulas/trial/formula.yaml@{at}", *SAID).code == 0
    assert read(kitchen / BAKES / "2026-03-14.yaml")["of"] == OF_OLD


def test_a_digest_is_found_under_the_folder_s_old_name(kitchen: Path) -> None:
    git(kitchen, "mv", "formulas/trial", "formulas/second-trial")
    git(kitchen, "commit", "-qm", "Rename the trial")
    assert bake(kitchen, "new", f"formulas/second-trial@{OF_OLD}", *SAID).code == 0


REFUSED = [
    (("formulas/trial",), "perflour: a record needs --baker and --verdict; give them, or run this on a terminal\n"),
    (("formulas/trial", "--baker", "N"), "perflour: a record needs --verdict; give them, or run this on a terminal\n"),
    (("formulas",), "perflour: no formula in formulas; name a formula file or its folder\n"),
    (("formulas/trial@HEAD~9", *SAID), "perflour: 'HEAD~9' is neither a revision of formulas/trial/formula.yaml nor one of git; list the first with `perflour changelog`, the others with `git log --oneline`\n"),
    (("formulas/trial", *SAID, "--date", "2026-02-30"), "perflour: '2026-02-30' is no day; write it like 2026-03-14\n"),
    (("formulas/trial", *SAID, "--batch", "half"), "perflour: 'half' is no batch factor; write it like 1, 0.5 or 1/2\n"),
    (("formulas/trial", *SAID, "--batch", "0"), "perflour: a batch factor of 0 is out of range; write it like 1, 0.5 or 1/2\n"),
    (("formulas/trial", *SAID, "--measured", "crust=1"), "perflour: 'crust' is none of the readings; write one of dough-temperature, batter-temperature, mass-before, mass-after, core, bake-time, proof-time, height, spread\n"),
    (("formulas/trial", *SAID, "--measured", "core"), "perflour: 'core' is no reading; write it like core=97 °C\n"),
    (("formulas/trial", *SAID, "--scores", "crumb=7"), "perflour: 'crumb=7' names no taster; write it like A: crumb=7, flavour=8\n"),
    (("formulas/trial", *SAID, "--scores", "A: crumb=10"), "perflour: 'crumb=10' is off the 9-point scale; write 1 (dislike extremely) to 9 (like extremely)\n"),
    (("formulas/trial", *SAID, "--scores", "A: crumb=7, crumb=8"), "perflour: 'crumb=8' is given twice; write it like crumb=7\n"),
    (("formulas/trial", *SAID, "--scores", "A: good"), "perflour: 'good' is no score; write it like crumb=7\n"),
    (("formulas/trial", *SAID, "--next", "less water"), "perflour: what to try next needs its reason, and a reason what to try; give both\n"),
    (("formulas/trial", *SAID, "--photo", "none.jpg"), "perflour: none.jpg: cannot be read (No such file or directory); check the path and its rights\n"),
    (("formulas/trial", *SAID, "--baker", "n" * 81), "perflour: `baker` is longer than 80; split it\n"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "message"), REFUSED)
def test_says_what_a_record_lacks(kitchen: Path, words: tuple[str, ...], message: str) -> None:
    done = bake(kitchen, "new", *words)
    assert (done.code, done.out, done.err) == (2, "", message)
    assert not (kitchen / BAKES).exists()


texts = st.text(st.characters(codec="utf-8"), max_size=150).filter(lambda t: not control(t))


@given(texts, texts, st.dictionaries(texts.filter(str.strip), st.floats(1, 9), max_size=3))
def test_whatever_is_said_is_read_back(notes: str, baker: str, scores: dict[str, float]) -> None:
    """A record's text gives its data again, is valid, and is in the layout of the house format."""
    row = {"taster": "A"} | {k: v for k, v in scores.items() if k != "taster"}
    data = {"date": "2026-03-14", "formula": "trial", "of": "0" * 12, "baker": baker[:80], "scores": [row], "notes": notes, "verdict": "keep"}  # fmt: skip
    try:
        text = record_text("bake", data, Path("/x/2026-03-14.yaml"))
    except CannotRun as problem:
        assert "baker" in str(problem) and not baker[:80]
        return
    assert read_document(text.encode(), "f").data == data
    assert check_other(text.encode(), "f", "bake") == ()
    if all(
        as_scalar(key).plain for key in row
    ):  # keys of formulas are words, so their quotes are not kept
        assert write_commented(read_commented(text)) == text


ANSWERS = {
    "baker": "N", "batch": "2", "room": "21 °C", "core": "97 °C",
    "notes": "Fine.", "the one change": "less water", "because": "gummy",
}  # fmt: skip


def asker(**lists: list[str]) -> Callable[[str], str]:
    """Answers by the first words of a question behind its number; lists are given out one by one."""
    left = {name: iter(answers) for name, answers in lists.items()}

    def ask(question: str) -> str:
        words = question.partition(". ")[2]
        for name, answers in left.items():
            if words.startswith(name):
                return next(answers)
        return next((answer for name, answer in ANSWERS.items() if words.startswith(name)), "")

    return ask


def test_asks_again_until_it_is_right() -> None:
    told: list[str] = []
    ask = asker(
        day=["30 February", "2026-03-14"],
        scores=["A: crumb=12", "A: crumb=7", ""],
        verdict=["perhaps", "change"],
    )
    said = ask_for_missing(BakeSaid(baker="", verdict=""), ask, told.append)
    assert (said.baker, said.batch, said.verdict, said.notes) == ("N", "2", "change", "Fine.")
    assert (said.measured, said.scores) == (("core=97 °C",), ("A: crumb=7",))
    assert (said.next_try, said.next_because) == ("less water", "gummy")
    assert told[1:] == [
        "'30 February' is no day; write it like 2026-03-14",
        "'crumb=12' is off the 9-point scale; write 1 (dislike extremely) to 9 (like extremely)",
        "'perhaps' is no verdict; write one of keep, change, reject",
    ]


def test_on_a_terminal(kitchen: Path) -> None:
    """The real command on a pseudo-terminal; what was given as an option is not asked."""
    answers = ["2026-03-14", "N", *[""] * 8, "97 °C", *[""] * 6, "keep"]
    child, terminal = pty.fork()
    if child == 0:  # pragma: no cover
        os.chdir(kitchen)
        words = ["-m", "perflour", "bake", "new", "formulas/trial", "--room", "21 °C"]
        os.execv(sys.executable, [sys.executable, *words])
    os.write(terminal, "".join(f"{answer}\n" for answer in answers).encode())
    _, status = os.waitpid(child, 0)
    os.close(terminal)
    assert os.waitstatus_to_exitcode(status) == 0
    record = read(kitchen / BAKES / "2026-03-14.yaml")
    assert (record["baker"], record["verdict"], record["batch"]) == ("N", "keep", 1)
    assert record["conditions"] == {"room": "21 °C"}
    assert record["measured"] == {"core": "97 °C"}


def test_an_end_of_input_writes_nothing() -> None:
    def ask(_: str) -> str:
        raise EOFError

    with pytest.raises(CannotRun, match="stopped before the end; nothing was written"):
        ask_for_missing(BakeSaid(baker="", verdict=""), ask, lambda _: None)


def test_words_to_data() -> None:
    assert [batch_factor(text) for text in ("1", "1/2", "2.5", "1/3")] == [1, 0.5, 2.5, 0.3333]
    assert readings(["core= 97  °C", "dough-temperature=25 °C"]) == {"dough-temperature": "25 °C", "core": "97 °C"}  # fmt: skip
    assert taster_scores("second baker: bite through=7.5, crumb 6") == {"taster": "second baker", "bite through": 7.5, "crumb": 6}  # fmt: skip


def record(name: str, kitchen: Path, *changes: tuple[str, str], of: str = OF_NEW) -> None:
    """A record written by hand, with changes."""
    text = (
        f'date: 2026-03-14\nformula: trial\nof: "{of}"\nbaker: N\n'
        "measured: {mass-before: 300 g, mass-after: 270 g}\n"
        "scores:\n  - {taster: A, crumb: 7, flavour: 8}\n  - {taster: B, crumb: 6, flavour: 7}\n"
        "verdict: change\nnext: {try: less butter, because: it spreads}\n"
    )
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = kitchen / BAKES / f"{name}.yaml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")


def test_lists_bakes_with_their_iteration(kitchen: Path) -> None:
    record("2026-03-14", kitchen, of=OF_OLD)
    record("2026-03-14-b", kitchen, ("next: {try: less butter, because: it spreads}\n", ""), ("change", "keep"))  # fmt: skip
    record("2026-03-14-c", kitchen, of="0" * 12)
    done = bake(kitchen, "list")
    assert (done.code, done.err) == (0, "")
    assert done.out == (
        "Trial (trial, draft)\n"
        "  test bake     iteration           verdict  tasters  mean scores\n"
        "  ------------  ------------------  -------  -------  ----------------------\n"
        "  2026-03-14-c  not in the history  change         2  crumb 6.5, flavour 7.5\n"
        "    next: less butter, because it spreads\n"
        "  2026-03-14-b  2, current          keep           2  crumb 6.5, flavour 7.5\n"
        "  2026-03-14    1 of 2              change         2  crumb 6.5, flavour 7.5\n"
        "    next: less butter, because it spreads\n"
    )
    data = json.loads(bake(kitchen, "list", "formulas/trial", "--output", "json").out)
    found = [(b["bake"], b["iteration"], b["current"]) for b in data["formulas"][0]["bakes"]]
    assert found == [("2026-03-14-c", None, False), ("2026-03-14-b", 2, True), ("2026-03-14", 1, False)]  # fmt: skip
    assert data["formulas"][0]["bakes"][0]["mean_scores"] == {"crumb": 6.5, "flavour": 7.5}
    markdown = bake(kitchen, "list", "--output", "markdown").out.splitlines()
    assert markdown[0] == "## Trial (trial)"
    assert markdown[5] == "| 2026-03-14-b | 2, current | keep | 2 | crumb 6.5, flavour 7.5 |  |"


def test_lists_what_is_there_and_names_what_is_broken(kitchen: Path) -> None:
    record("2026-03-14", kitchen, ("verdict: change", "verdict: perhaps"))
    done = bake(kitchen, "list")
    assert (done.code, done.out) == (1, "Trial (trial, draft)\n  no test bake\n")
    assert f'{BAKES}/2026-03-14.yaml:9:10: error: `verdict` is "perhaps"' in done.err
    git(kitchen, "rm", "-q", "--cached", "formulas/trial/formula.yaml")
    (kitchen / "formulas/trial/formula.yaml").unlink()
    assert "no formula in formulas" in bake(kitchen, "list").err


PHOTO = 'verdict: change\nphotos: [{file: crumb.png, sha256: "%s", alt: A slice.}]'
CHECKED = [
    ((), None),
    (((OF_NEW, "0" * 12),), "3:5: error: no revision of trial in the history is 000000000000; commit what was baked, or mend the digest [revision-not-in-history]"),
    (((OF_NEW, "0" * 12), ("formula: trial", "formula: other")), "3:5: error: no revision of trial in the history is 000000000000 of other; commit what was baked, or mend the digest [revision-not-in-history]"),
    ((("crumb: 7", "crumb: 10"),), "7:24: error: `crumb` of score 1 is 10, outside what is allowed (maximum 9); write it like `7` [not-as-schema]"),
    ((("taster: B", "taster: A"),), "8:5: error: taster A stands here twice; keep one [scores-inconsistent]"),
    ((("crumb: 6, ", ""),), "8:5: error: taster B has no score for crumb, which others have; add it, or spell it alike [scores-incomplete]"),
    ((("date: 2026-03-14", "date: 2026-03-15"),), "1:7: error: the date is 2026-03-15, but the file is called 2026-03-14.yaml; mend one of them [date-not-in-name]"),
    ((("after: 270 g", "after: 370 g"),), "5:44: error: 370 g out of the oven is more than 300 g into it; check both [mass-gained]"),
    ((("verdict: change", PHOTO % hashlib.sha256(PICTURE).hexdigest()),), None),
    ((("verdict: change", PHOTO % ("0" * 64)),), f"10:36: error: crumb.png is another photo than the one recorded; put the old one back, or write sha256: \"{hashlib.sha256(PICTURE).hexdigest()}\" [photo-differs]"),
    ((("verdict: change", "verdict: change\nphotos: [{file: crumb.png, alt: A slice.}]"),), f"10:10: error: crumb.png has no hash; write sha256: \"{hashlib.sha256(PICTURE).hexdigest()}\" [photo-without-hash]"),
    ((("verdict: change", "verdict: change\nphotos: [{file: none.jpg}]"),), "10:17: error: none.jpg is not there; put it back, or remove the entry [photo-missing]"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "message"), CHECKED)
def test_checks_a_record(
    kitchen: Path, changes: tuple[tuple[str, str], ...], message: str | None
) -> None:
    record("2026-03-14", kitchen, *changes)
    (kitchen / BAKES / "crumb.png").write_bytes(PICTURE)
    done = bake(kitchen, "check", "formulas/trial/formula.yaml")
    assert done.err == ""
    first = done.out.splitlines()[0]
    if message is None:
        assert (done.code, first) == (0, "1 file read, nothing found")
    else:
        assert (done.code, first) == (1, f"{BAKES}/2026-03-14.yaml:{message}")
    rules = json.loads(bake(kitchen, "check", "--output", "json").out)["results"]
    assert [r["rule"] for r in rules] == ([message.rpartition("[")[2][:-1]] if message else [])


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("verdict: keep", "verdict: reject", "verdict keep -> reject"),
        ("crumb: 7", "crumb: 9", "scores changed: mean crumb 7.0 -> 9.0"),
        ("date: 2026-03-14", "date: 2026-03-14\nnotes: Open crumb.", ""),
        ("verdict: keep", "verdict: reject\namended: [{date: 2026-03-15, by: N, because: typing error}]", ""),
    ],
)  # fmt: skip
def test_a_record_that_was_committed_changes_with_its_reason(
    kitchen: Path, old: str, new: str, told: str
) -> None:
    bake(kitchen, "new", "formulas/trial", *SAID, "--scores", "A: crumb=7")
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Bake it")
    path = kitchen / BAKES / "2026-03-14.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    done = bake(kitchen, "check")
    assert done.code == (1 if told else 0), done.out
    assert told in done.out and ("[record-changed]" in done.out) == bool(told)


def test_a_record_that_was_committed_does_not_pass_to_another_revision(kitchen: Path) -> None:
    bake(kitchen, "new", "formulas/trial", *SAID)
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Bake it")
    path = kitchen / BAKES / "2026-03-14.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(OF_NEW, OF_OLD), encoding="utf-8")
    told = bake(kitchen, "check").out
    assert f"(of {OF_NEW} -> {OF_OLD}); a record is evidence" in told


def test_a_record_is_renewed_without_a_reason(kitchen: Path) -> None:
    """Notes that name the revision are renewed with it: they say the same as before."""
    bake(kitchen, "new", "formulas/trial", *SAID)
    path = kitchen / BAKES / "2026-03-14.yaml"
    was = earlier_digest(read_formula(NEW.encode(), "f"))
    text = path.read_text(encoding="utf-8") + f"notes: Beside {OF_NEW}.\n"
    path.write_text(text.replace(OF_NEW, was), encoding="utf-8")
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Bake it")
    assert "nothing found" in bake(kitchen, "check", "--renew").out
    assert was not in path.read_text(encoding="utf-8")


def test_check_needs_the_whole_history(kitchen: Path, tmp_path: Path) -> None:
    record("2026-03-14", kitchen)
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Record a bake")
    shallow = kitchen / "shallow"
    git(kitchen, "clone", "-q", "--depth", "1", f"file://{kitchen}", str(shallow))
    assert "get all of it with `git fetch --unshallow`" in bake(shallow, "check").err


def test_a_formula_never_committed_has_records_all_the_same(repository: Path) -> None:
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (folder / "formula.yaml").write_text(OLD, encoding="utf-8")
    assert bake(repository, "new", "formulas/trial", *SAID).code == 0
    assert "1, current" in bake(repository, "list").out
    assert bake(repository, "check").code == 0


def test_records_outside_git_are_written_but_not_checked(tmp_path: Path) -> None:
    folder = tmp_path / "trial"
    folder.mkdir()
    (folder / "formula.yaml").write_text(OLD, encoding="utf-8")
    assert bake(tmp_path, "new", "trial", *SAID).out == "trial/bakes/2026-03-14.yaml\n"
    assert "not in a git repository" in bake(tmp_path, "check", ".").err
