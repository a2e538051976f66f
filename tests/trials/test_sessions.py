"""Tasting sessions: drawn, printed, checked and judged, by the real command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from perflour.documents.reader import read_document
from perflour.formula.digests import digest
from perflour.lint.check import check_other
from tests.conftest import Outcome, formula_text, git, run_cli, weigh_text

METHOD = "[{do: mix, uses: [flour, butter]}, {do: bake, at: 175 °C, for: 20 min}]"
PLAIN = formula_text("{item: flour, amount: 200 g}", "{item: butter, amount: 100 g}", method=METHOD)
NUTTY = PLAIN.replace("formula: trial\ntitle: Trial", "formula: nutty\ntitle: Nutty trial").replace(
    "{item: butter", "{item: hazelnuts, amount: 50 g}\n      - {item: moonflower dust, amount: 1 g}\n      - {item: butter"
)  # fmt: skip
OF_PLAIN, OF_NUTTY = (digest(weigh_text(text).formula) for text in (PLAIN, NUTTY))
SESSION = "formulas/sessions/2026-03-21.yaml"
BOTH = ("formulas/trial", "formulas/nutty", "--date", "2026-03-21", "--seed", "7")


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A repository with two formulas; what is brought by `moonflower dust` nobody knows."""
    (repository / "formulas").mkdir()
    (repository / "formulas" / "house.yaml").write_text("house: Saltmarsh Lane\n", encoding="utf-8")
    for name, text in (("trial", PLAIN), ("nutty", NUTTY)):
        folder = repository / "formulas" / name
        folder.mkdir()
        (folder / "formula.yaml").write_text(text, encoding="utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Start two formulas")
    return repository


def bake(kitchen: Path, *words: str) -> Outcome:
    return run_cli("bake", *words, cwd=kitchen)


def test_a_session_is_drawn_and_can_be_drawn_again(kitchen: Path) -> None:
    words = (*BOTH, "--tasters", "A, B", "--attributes", "crumb, flavour", "--question", "Nuts?")
    done = bake(kitchen, "session", *words)
    assert done.code == 0
    assert done.err == f"{SESSION} written; put in what tasters say\n"
    text = (kitchen / SESSION).read_text(encoding="utf-8")
    assert text == (
        "date: 2026-03-21\n"
        "question: Nuts?\n"
        "ask: scores\n"
        "attributes: [crumb, flavour]\n"
        "seed: 7\n"
        "samples:\n"
        f'  - {{formula: trial, of: "{OF_PLAIN}", codes: ["745"]}}\n'
        f'  - {{formula: nutty, of: "{OF_NUTTY}", codes: ["230"]}}\n'
        "order:\n"
        '  - {taster: A, serve: ["745", "230"]}\n'
        '  - {taster: B, serve: ["230", "745"]}\n'
        "# What tasters say: take each # away and fill in; who does not come goes into `absent: []`.\n"
        "# scores:\n"
        '#   - {taster: A, code: "745", crumb: , flavour: }\n'
        '#   - {taster: A, code: "230", crumb: , flavour: }\n'
        '#   - {taster: B, code: "230", crumb: , flavour: }\n'
        '#   - {taster: B, code: "745", crumb: , flavour: }\n'
    )
    assert run_cli("lint", "formulas/sessions", cwd=kitchen).out == "1 file read, nothing found\n"
    assert bake(kitchen, "sheets", SESSION).out == done.out
    again = bake(kitchen, "session", *words)
    assert again.err == (
        f"{SESSION} is drawn already and nobody has tasted; its sheets again; put in what tasters say\n"
    )
    assert (again.code, again.out) == (0, done.out)
    assert (kitchen / SESSION).read_text(encoding="utf-8") == text
    assert bake(kitchen, "session", *BOTH[:-1], "8", *words[6:]).err.startswith(
        "formulas/sessions/2026-03-21-b.yaml written"
    )


def test_the_comments_are_the_answers_once_filled_in(kitchen: Path) -> None:
    bake(kitchen, "session", *BOTH, "--tasters", "2")
    text = (kitchen / SESSION).read_text(encoding="utf-8")
    head, _, answers = text.partition("# What tasters")
    rows = answers.splitlines()[1:]
    filled = head + "".join(row[2:].replace("overall: ", "overall: 7") + "\n" for row in rows)
    assert check_other(filled.encode(), "f", "session") == ()
    (kitchen / SESSION).write_text(filled, encoding="utf-8")
    assert bake(kitchen, "check", SESSION).out == "1 file read, nothing found\n"


@pytest.mark.parametrize("output", ["text", "markdown", "html"])
def test_sheets_warn_and_do_not_tell(kitchen: Path, output: str) -> None:
    """The taster's sheet: codes, allergens of all samples, cautions, and no name of a sample."""
    bake(kitchen, "session", *BOTH, "--tasters", "2", "--ask", "preference")
    done = bake(kitchen, "sheets", SESSION, "--print", "tasters", "--output", output)
    said = " ".join(done.out.replace("! ", "").split())
    assert "US list: milk, tree nuts, wheat" in said
    assert "EU list: cereals containing gluten, milk, nuts" in said
    assert "Allergens not known: moonflower dust; they may bring any." in said
    assert said.count("Tell the server of any allergy or intolerance before the first bite") == 2
    assert "never raw dough or batter" in said
    assert "Ask every taster" not in said, "that is said to the server"
    assert "745" in said and "230" in said
    for secret in ("nutty", "Nutty", "trial", OF_PLAIN, OF_NUTTY):
        assert secret not in done.out
    server = bake(kitchen, "sheets", SESSION, "--print", "server", "--output", output).out
    assert "Nutty trial" in server and OF_NUTTY in server
    assert "tasters must not see this list" in server
    assert "milk, tree nuts, wheat" in server
    whole = " ".join(
        bake(kitchen, "sheets", SESSION, "--output", output).out.replace("! ", "").split()
    )
    for caution in (
        "Ask every taster about allergies and intolerances before the first bite",
        "Raw dough and raw batter are never tasted",
        "the food code of the place says",
    ):
        assert whole.count(caution) == 1


def test_sheets_are_written_to_a_file_never_over_the_session(kitchen: Path) -> None:
    bake(kitchen, "session", *BOTH, "--tasters", "2")
    words = ("sheets", SESSION, "--output", "html", "--write")
    assert bake(kitchen, *words, "sheets.html").code == 0
    page = (kitchen / "sheets.html").read_text(encoding="utf-8")
    assert page.count("<section>") == 3
    assert "http://" not in page and "https://" not in page and "<script" not in page
    assert bake(kitchen, *words, SESSION).code == 2


def test_names_are_text_in_every_sheet(kitchen: Path) -> None:
    bake(kitchen, "session", *BOTH, "--tasters", "<b>A</b>|x,B", "--attributes", "crumb")
    page = bake(kitchen, "sheets", SESSION, "--output", "html").out
    assert "<b>" not in page and "&lt;b&gt;A&lt;/b&gt;|x" in page
    assert "\\<b\\>A\\</b\\>\\|x |" in bake(kitchen, "sheets", SESSION, "--output", "markdown").out
    assert bake(kitchen, "sheets", SESSION).out.count("\f") == 2


def test_no_sheet_without_allergens(kitchen: Path) -> None:
    bake(kitchen, "session", *BOTH, "--tasters", "2")
    change(kitchen, (OF_NUTTY, "0" * 12))
    done = bake(kitchen, "sheets", SESSION)
    assert (done.code, done.out) == (2, "")
    assert done.err == (
        "perflour: no revision of nutty in the history is 000000000000, so its allergens are not "
        "known; commit what was baked, or mend the digest\n"
    )
    change(kitchen, ("nutty", "gone"))
    assert "there is no formula gone in formulas, so its allergens are not known" in bake(kitchen, "sheets", SESSION).err  # fmt: skip


def test_what_a_formula_declares_is_told_too(kitchen: Path) -> None:
    path = kitchen / "formulas" / "trial" / "formula.yaml"
    path.write_text(PLAIN.replace("parts:", "allergens: [wheat, milk, lupin flour]\nparts:"), encoding="utf-8")  # fmt: skip
    done = bake(kitchen, "session", *BOTH, "--tasters", "2")
    assert "declared besides: lupin flour." in " ".join(done.out.replace("! ", "").split())


REFUSED = [
    (("formulas/trial",), "scores takes 2 to 12 samples, not 1"),
    (("formulas/trial", "formulas/nutty", "formulas/trial", "--ask", "triangle"), "triangle takes 2 samples, not 3"),
    (("--ask", "preference", "--attributes", "crumb"), "preference asks for no attributes; leave them out"),
    (("--ask", "difference"), "a difference is of one attribute; name it with --attributes"),
    (("formulas/trial", "formulas/nutty", "--ask", "ranking"), "ranking takes 3 to 12 samples, not 2"),
    (("--ask", "duo-trio", "--attributes", "crumb"), "duo-trio asks for no attributes; leave them out"),
    (("--expect-order", "1,2"), "--expect-order has the number of each sample once, like 3,1,2, and goes with ranking"),
    (("--expect", "1"), "--expect is the number of a sample, 1 or 2, and goes with difference"),
    (("--seed", "-1"), "a seed is a whole number from 0 to 999999999"),
    (("--tasters", "A,A"), "taster A is named twice; give each a name of their own"),
    (("--tasters", "501"), "a session takes 1 to 500 tasters; name them, or their number"),
    (("--tasters", ","), "a session takes 1 to 500 tasters; name them, or their number"),
    (("--date", "tomorrow"), "'tomorrow' is no day; write it like 2026-03-14"),
    (("--attributes", "Crumb!"), 'attribute 1 is "Crumb!"; write it like `"crumb"`'),
]  # fmt: skip


@pytest.mark.parametrize(("words", "message"), REFUSED)
def test_says_what_cannot_be_drawn(kitchen: Path, words: tuple[str, ...], message: str) -> None:
    samples = () if words[0].startswith("formulas/") else BOTH[:2]
    done = bake(
        kitchen, "session", *samples, *words, *([] if "--tasters" in words else ["--tasters", "2"])
    )
    assert (done.code, done.out) == (2, "")
    assert done.err == f"perflour: {message}\n"
    assert not (kitchen / "formulas" / "sessions").exists()


def change(kitchen: Path, *changes: tuple[str, str]) -> None:
    text = (kitchen / SESSION).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (kitchen / SESSION).write_text(text, encoding="utf-8")


def write_session(kitchen: Path, ask: str, answers: str, tasters: int = 2, **more: Any) -> None:
    """A session as `bake session` draws it, with answers and more keys."""
    words = [word for key, value in more.items() for word in (f"--{key}", value)]
    bake(kitchen, "session", *BOTH, "--tasters", str(tasters), "--ask", ask, *words)
    path = kitchen / SESSION
    path.write_text(path.read_text(encoding="utf-8").partition("# What")[0] + answers, encoding="utf-8")  # fmt: skip


def scores(*rows: tuple[str, str, int]) -> str:
    lines = (f'  - {{taster: {t}, code: "{code}", overall: {score}}}\n' for t, code, score in rows)
    return f"scores:\n{''.join(lines)}"


ALL = scores(("T1", "745", 7), ("T1", "230", 8), ("T2", "745", 6), ("T2", "230", 8))
CHECKED = [
    ("", [("1:1", "nothing tasted is written down yet; write it under `scores`")]),
    (ALL, []),
    (ALL.replace('  - {taster: T2, code: "230", overall: 8}\n', ""), [("12:3", "taster T2 has no score of 230 for overall; add it, or name the taster under `absent`")]),
    (ALL.partition("  - {taster: T2")[0] + "absent: [T2]\n", []),
    (ALL + "absent: [T2]\n", [("14:5", "taster T2 is said to be absent; mend one of the two"), ("15:5", "taster T2 is said to be absent; mend one of the two")]),
    (ALL.replace("T2", "T9"), [("14:5", "taster T9 is not in the order; check the name"), ("15:5", "taster T9 is not in the order; check the name")]),
    (ALL.replace('T2, code: "230"', 'T2, code: "231"'), [("15:24", "taster T2 was not served 231")]),
    (ALL.replace('T2, code: "230"', 'T2, code: "745"'), [("15:5", "taster T2 said this already; keep one")]),
    (ALL.replace("overall: 6", "overal: 6"), [("14:39", "'overal' is none of the attributes (overall); mend one")]),
    (ALL.replace("overall: 6", "overall: 0"), [("14:40", "`overall` of score 3 is 0, outside what is allowed (minimum 1); write it like `7`")]),
    (ALL + 'choices: [{taster: T1, code: "745"}]\n', [("16:10", "scores is asked, which has no choices; write them under `scores`")]),
    (ALL + "absent: [T3]\n", [("16:10", "taster T3 is not in the order; check the name")]),
    (ALL + 'expect: "745"\n', [("16:9", "`expect` names a sample's code, in a difference alone; mend or remove it")]),
]  # fmt: skip


@pytest.mark.parametrize(("answers", "found"), CHECKED)
def test_checks_a_session(kitchen: Path, answers: str, found: list[tuple[str, str]]) -> None:
    write_session(kitchen, "scores", answers)
    done = bake(kitchen, "check", SESSION)
    lines = done.out.splitlines()[: len(found)]
    assert [line.rpartition(" [")[0] for line in lines] == [f"{SESSION}:{place}: error: {message}" for place, message in found]  # fmt: skip
    assert done.code == bool(found)
    assert ("nothing found" in done.out) == (not found)


CHANGED = [
    ((OF_PLAIN, "0" * 12), "6:26: error: no revision of trial in the history is 000000000000; commit what was baked, or mend the digest [revision-not-in-history]"),
    (("formula: nutty", "formula: gone"), "7:15: error: there is no formula gone beside the sessions folder; check the id [revision-not-in-history]"),
    (('["745"]', '["745"], bake: 2026-03-20'), "6:64: error: trial has no test bake 2026-03-20; check the name of its file [revision-not-in-history]"),
    (('["745"]}', '["745", "746"]}'), "6:49: error: 2 blind codes, but scores takes 1; mend it [session-inconsistent]"),
    (('codes: ["230"]', 'codes: ["745"]'), "6:3: error: code 745 stands for more than one sample; give each its own [session-inconsistent]"),
    (("taster: T2", "taster: T1"), "9:5: error: taster T1 stands here twice; keep one [session-inconsistent]"),
    (('serve: ["230", "745"]', 'serve: ["230", "231"]'), "10:25: error: taster T2 is not served each sample once; check the codes against `samples` [session-inconsistent]"),
    (("attributes: [overall]\n", ""), "1:1: error: there is nothing to score; write at least one attribute under `attributes` [session-inconsistent]"),
    (("ask: scores", "ask: difference\nexpect: \"999\""), "3:9: error: `expect` names a sample's code, in a difference alone; mend or remove it [session-inconsistent]"),
    (("date: 2026-03-21", "date: 2026-03-22"), "1:7: error: the date is 2026-03-22, but the file is called 2026-03-21.yaml; mend one of them [date-not-in-name]"),
]  # fmt: skip


@pytest.mark.parametrize(("changed", "message"), CHANGED)
def test_checks_what_somebody_changed(
    kitchen: Path, changed: tuple[str, str], message: str
) -> None:
    write_session(kitchen, "scores", ALL)
    change(kitchen, changed)
    done = bake(kitchen, "check")
    assert done.code == 1
    assert f"{SESSION}:{message}" in done.out.splitlines()


def test_a_sample_names_its_test_bake(kitchen: Path) -> None:
    bake(kitchen, "new", "formulas/trial", "--baker", "N", "--verdict", "keep", "--date", "2026-03-20")  # fmt: skip
    write_session(kitchen, "scores", ALL)
    change(kitchen, ('["745"]', '["745"], bake: 2026-03-20'))
    assert bake(kitchen, "check").code == 0
    change(kitchen, (f'trial, of: "{OF_PLAIN}"', f'trial, of: "{"0" * 12}"'))
    assert f"test bake 2026-03-20 of trial is of revision {OF_PLAIN}, not of 000000000000" in bake(kitchen, "check").out  # fmt: skip


def judged(kitchen: Path) -> dict[str, Any]:
    done = bake(kitchen, "judge", SESSION, "--output", "json")
    assert done.err == ""
    session = json.loads(done.out)["sessions"][0]
    assert isinstance(session, dict)
    return session


def order_of(kitchen: Path) -> dict[str, list[str]]:
    data = read_document((kitchen / SESSION).read_bytes(), "f").data
    return {row["taster"]: row["serve"] for row in data["order"]}


def choices(chosen: dict[str, str]) -> str:
    lines = (f'  - {{taster: {taster}, code: "{code}"}}\n' for taster, code in chosen.items())
    return f"choices:\n{''.join(lines)}"


@pytest.mark.parametrize(("right", "shown"), [(7, False), (8, True)])
def test_a_triangle_of_twelve(kitchen: Path, right: int, shown: bool) -> None:
    """ISO 4120 (from memory): of twelve assessors eight have to find the odd sample at 1 in 20."""
    write_session(kitchen, "triangle", "", tasters=12)
    plain = {"745", "230"}
    chosen = {}
    for at, (taster, codes) in enumerate(order_of(kitchen).items()):
        twice = sum(code in plain for code in codes) == 2
        odd = next(code for code in codes if (code in plain) != twice)
        chosen[taster] = odd if at < right else next(code for code in codes if code != odd)
    with (kitchen / SESSION).open("a", encoding="utf-8") as file:
        file.write(choices(chosen))
    assert bake(kitchen, "check").code == 0
    session = judged(kitchen)
    test = session["tally"]["test"]
    assert (test["chosen"], test["tasters"], test["needed"], test["two_sided"]) == (right, 12, 8, False)  # fmt: skip
    assert (test["p"] <= 0.05) == shown
    assert any("beyond chance" in words for words in session["in_words"]) == shown


@pytest.mark.parametrize(
    ("ask", "more", "needed", "two_sided"),
    [
        ("preference", {}, 10, True),
        ("difference", {"attributes": "sweetness"}, 10, True),
        ("difference", {"attributes": "sweetness", "expect": "2"}, 10, False),
    ],
)
def test_choices_of_a_pair(
    kitchen: Path, ask: str, more: dict[str, str], needed: int, two_sided: bool
) -> None:
    """Of 12, ISO 5495 (from memory) asks for 10 two-sided and 10 one-sided."""
    chosen = {f"T{n}": "230" if n <= 10 else "745" for n in range(1, 13)}
    write_session(kitchen, ask, choices(chosen), tasters=12, **more)
    assert bake(kitchen, "check").code == 0
    session = judged(kitchen)
    assert [row["chosen"] for row in session["tally"]["by_sample"]] == [2, 10]
    test = session["tally"]["test"]
    assert (test["chosen"], test["needed"], test["two_sided"]) == (10, needed, two_sided)
    # (66 + 12 + 1) / 4096, twice where two-sided
    assert test["p"] == pytest.approx((2 if two_sided else 1) * 79 / 4096)
    assert any("beyond chance" in words for words in session["in_words"])


def test_an_expectation_that_fails_is_no_find(kitchen: Path) -> None:
    chosen = {f"T{n}": "745" for n in range(1, 13)}
    more = {"attributes": "sweetness", "expect": "2"}
    write_session(kitchen, "difference", choices(chosen), tasters=12, **more)
    assert judged(kitchen)["tally"]["test"]["p"] == 1


def test_too_few_are_told_so(kitchen: Path) -> None:
    write_session(kitchen, "preference", choices({"T1": "230", "T2": "230"}))
    done = bake(kitchen, "judge", SESSION)
    assert (done.code, done.err) == (0, "")
    assert done.out == (
        "Session 2026-03-21 (preference)\n\n"
        f"liked better: 745 trial {OF_PLAIN} 0, 230 nutty {OF_NUTTY} 2 (p 0.50, exact\n"
        "  binomial, two-sided).\n"
        "2 tasters are too few: whatever they choose, chance could do it.\n"
        "If three in four really chose the same, a session of 2 would show it with a\n"
        "  chance of 0 %; 80 % take 35 tasters.\n"
    )


def test_scores_of_a_session(kitchen: Path) -> None:
    """The sleep of ten patients with two drugs (Student 1908, widely reprinted: difference 1.58,
    p = 0.00283), moved onto the scale."""
    first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
    second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
    rows = "scores:\n" + "".join(
        f'  - {{taster: T{n}, code: "{code}", overall: {score + 3:.1f}}}\n'
        for n, pair in enumerate(zip(first, second, strict=True), 1)
        for code, score in zip(("745", "230"), pair, strict=True)
    )
    write_session(kitchen, "scores", rows, tasters=10)
    session = judged(kitchen)
    (compared,) = session["compared"]
    assert (compared["first"], compared["second"], compared["gap"]["paired"]) == ("745", "230", True)  # fmt: skip
    assert compared["gap"]["difference"] == pytest.approx(1.58)
    assert compared["gap"]["p"] == pytest.approx(0.00283, abs=1e-5)
    assert session["in_words"][0] == "230 scores 1.6 points higher than 745 in overall (p 0.003): beyond chance."  # fmt: skip
    markdown = bake(kitchen, "judge", SESSION, "--pairs", "--output", "markdown").out
    assert "| 745 -\\> 230 | overall | +1.6 | 0.7 to 2.5 | 0.003 |" in markdown


def test_a_session_that_contradicts_itself_is_not_judged(kitchen: Path) -> None:
    write_session(kitchen, "scores", ALL.replace("T2", "T9"))
    done = bake(kitchen, "judge", SESSION)
    assert (done.code, done.out) == (1, "nothing to judge\n")
    assert "taster T9 is not in the order" in done.err
    assert bake(kitchen, "sheets", SESSION).code == 2


def test_an_untasted_session_is_told_so(kitchen: Path) -> None:
    write_session(kitchen, "scores", "")
    assert bake(kitchen, "judge").out.endswith("nothing tasted is written down yet\n")
