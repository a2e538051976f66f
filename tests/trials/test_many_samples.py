"""Sessions of three to twelve samples: scored, ranked, told apart and kept readable, by the real command line."""

from __future__ import annotations

import json
import re
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from perflour.documents.reader import read_document
from perflour.records.serving import DUO_TRIO_ROWS
from tests.conftest import Outcome, formula_text, git, run_cli

METHOD = "[{do: mix, uses: [flour, butter]}, {do: bake, at: 175 °C, for: 20 min}]"
SESSION = "formulas/sessions/2026-03-21.yaml"
NAMES = [
    "oat-loaf-with-dates-soaked-overnight", "plum-tart", "rye-biscuit", "seed-loaf", "treacle-slice", "walnut-round",
    "barley-scone", "caraway-bun", "fig-bar", "ginger-snap", "honey-wafer", "island-shortbread",
]  # fmt: skip


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A repository with twelve formulas."""
    for at, name in enumerate(NAMES):
        text = formula_text("{item: flour, amount: 200 g}", f"{{item: butter, amount: {100 + at} g}}", method=METHOD)  # fmt: skip
        folder = repository / "formulas" / name
        folder.mkdir(parents=True)
        text = text.replace("formula: trial", f"formula: {name}")
        (folder / "formula.yaml").write_text(text, encoding="utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Start twelve formulas")
    return repository


def bake(kitchen: Path, *words: str) -> Outcome:
    return run_cli("bake", *words, cwd=kitchen)


def drawn(kitchen: Path, samples: int, tasters: int, *words: str) -> tuple[list[str], list[str]]:
    """A session drawn with seed 7; the codes of its samples and its tasters."""
    formulas = [f"formulas/{name}" for name in NAMES[:samples]]
    done = bake(kitchen, "session", *formulas, "--tasters", str(tasters), "--date", "2026-03-21", "--seed", "7", *words)  # fmt: skip
    assert done.code == 0, done.err
    data = read_document((kitchen / SESSION).read_bytes(), "f").data
    return [s["codes"][0] for s in data["samples"]], [row["taster"] for row in data["order"]]


def answer(kitchen: Path, key: str, rows: list[str]) -> None:
    path = kitchen / SESSION
    head = path.read_text(encoding="utf-8").partition("# What")[0].partition(f"{key}:\n")[0]
    path.write_text(f"{head}{key}:\n" + "".join(f"  - {{{row}}}\n" for row in rows), encoding="utf-8")  # fmt: skip
    assert bake(kitchen, "check").code in (0, 1)


def score(kitchen: Path, table: dict[str, list[float]], attribute: str = "overall") -> None:
    """``table``: by code the scores of T1, T2, …"""
    answer(kitchen, "scores", [
        f'taster: T{n}, code: "{code}", {attribute}: {value}'
        for code, values in table.items() for n, value in enumerate(values, 1)
    ])  # fmt: skip


def rank(kitchen: Path, codes: list[str], ranks: list[list[float]]) -> None:
    answer(kitchen, "ranks", [
        f'taster: T{n}, code: "{code}", rank: {one:g}'
        for n, row in enumerate(ranks, 1) for code, one in zip(codes, row, strict=True)
    ])  # fmt: skip


def judged(kitchen: Path) -> dict[str, Any]:
    done = bake(kitchen, "judge", SESSION, "--output", "json")
    assert (done.code, done.err) == (0, "")
    session = json.loads(done.out)["sessions"][0]
    assert isinstance(session, dict)
    return session


def said(kitchen: Path, *words: str) -> str:
    return " ".join(bake(kitchen, "judge", SESSION, *words).out.split())


def test_twelve_samples_stay_readable(kitchen: Path) -> None:
    """Two clear groups of six; 66 pairs only on request."""
    codes, _ = drawn(kitchen, 12, 12)
    noise = [0, 1, -1, 0, 1, -1, 1, 0, -1, 0, 1, -1]
    score(kitchen, {c: [(7 if at < 6 else 4) + noise[(n + at) % 12] for n in range(12)] for at, c in enumerate(codes)})  # fmt: skip
    text = bake(kitchen, "judge", SESSION).out
    assert max(map(len, text.splitlines())) <= 100
    assert len(text.splitlines()) < 40
    assert all(piece in text for name in NAMES for piece in name.split("-"))
    assert "overall: 36 of 66 pairs are told apart" in text
    assert " -> " not in text
    assert bake(kitchen, "judge", SESSION, "--pairs").out.count(" -> ") == 66
    (summary,) = judged(kitchen)["summaries"]
    assert [row["group"] for row in summary["samples"]] == ["a"] * 6 + ["b"] * 6
    assert summary["method"] == "Tukey"


def test_a_table_that_would_be_too_wide_goes_on_below_and_cuts_no_name(kitchen: Path) -> None:
    attribute = "softness of the crumb when it is broken"
    codes, _ = drawn(kitchen, 3, 6, "--attributes", attribute)
    score(kitchen, {c: [5 + at + (n + at) % 2 for n in range(6)] for at, c in enumerate(codes)}, attribute)  # fmt: skip
    text = bake(kitchen, "judge", SESSION).out
    assert max(map(len, text.splitlines())) <= 100
    assert "…" not in text and max(map(len, text.splitlines())) <= 80
    assert all(piece in text for name in NAMES[:3] for piece in name.split("-"))


def test_three_tasters_who_rise_alike_are_told_so(kitchen: Path) -> None:
    codes, _ = drawn(kitchen, 2, 3)
    score(kitchen, {codes[0]: [4, 5, 6], codes[1]: [6, 7, 8]})
    text = said(kitchen, "--pairs")
    assert f"All 3 tasters moved by the same +2.0 points from {codes[0]} to {codes[1]} in overall: with no spread for a t test, the exact sign test gives p 0.25; fewer than 6 tasters cannot show more." in text  # fmt: skip
    assert "?" not in text
    (pair,) = judged(kitchen)["compared"]
    assert (pair["gap"]["method"], pair["gap"]["p"], pair["gap"]["low"]) == ("sign", 0.25, None)


@pytest.mark.parametrize(("tasters", "groups", "words"), [
    (3, ["a", "a", "a"], "p is 0.75 or more: too few tasters for any to be beyond chance"),
    (8, ["a", "b", "c"], "p is 0.023 or more: any difference is beyond chance"),
])  # fmt: skip
def test_several_samples_that_all_move_alike(
    kitchen: Path, tasters: int, groups: list[str], words: str
) -> None:
    """2 / 2^n for each of three pairs."""
    codes, _ = drawn(kitchen, 3, tasters)
    score(kitchen, {c: [3 + 2 * at] * tasters for at, c in enumerate(codes)})
    assert words in said(kitchen)
    (summary,) = judged(kitchen)["summaries"]
    assert [row["group"] for row in summary["samples"]] == groups


def test_who_scored_only_some_is_left_out_and_named(kitchen: Path) -> None:
    codes, _ = drawn(kitchen, 3, 4)
    score(kitchen, {codes[0]: [7, 8, 7, 2], codes[1]: [5, 5, 6, 9], codes[2]: [4, 5, 4]})
    assert "Left out in overall, as they did not judge every sample: T4." in said(kitchen)
    (summary,) = judged(kitchen)["summaries"]
    assert (summary["tasters"], summary["left_out"]) == (3, ["T4"])
    score(kitchen, {codes[0]: [7, 8, 7, 2], codes[1]: [5, 5, 6, 9]})
    assert "Nobody scored every sample in overall, so samples are not compared there." in said(kitchen)  # fmt: skip


def test_intervals_letters_and_p_agree(kitchen: Path) -> None:
    """In whole scores that lie close together."""
    codes, _ = drawn(kitchen, 4, 8)
    score(kitchen, {c: [5 + (at * (n + 2)) % 3 for n in range(8)] for at, c in enumerate(codes)})
    session = judged(kitchen)
    rows = {row["code"]: row for row in session["summaries"][0]["samples"]}
    for pair in session["compared"]:
        one, other = rows[pair["first"]], rows[pair["second"]]
        apart = one["low"] > other["high"] or other["low"] > one["high"]
        assert apart == (pair["gap"]["p"] <= 0.05) == (not set(one["group"]) & set(other["group"]))


def test_rounded_ends_never_contradict_the_letters(kitchen: Path) -> None:
    """In a table of twelve that lie close together: apart in print is apart, overlapping is not."""
    codes, _ = drawn(kitchen, 12, 12)
    score(kitchen, {c: [min(9, 2 + at // 2 + (at * (n + 2)) % 3) for n in range(12)] for at, c in enumerate(codes)})  # fmt: skip
    rows = re.findall(r"(\d\.\d) to (\d\.\d)  ([a-z]+)$", bake(kitchen, "judge", SESSION).out, re.M)
    assert len(rows) == 12 and len({group for *_, group in rows}) > 3
    for (low, high, group), (other_low, other_high, other) in combinations(rows, 2):
        shared = bool(set(group) & set(other))
        if float(low) > float(other_high) or float(other_low) > float(high):
            assert not shared
        elif float(low) < float(other_high) and float(other_low) < float(high):
            assert shared


def test_a_ranking_is_drawn_and_judged(kitchen: Path) -> None:
    """Ten alike: R's and scipy's Friedman for unanimous ranks is n (k - 1) = 20; rank sums 10, 20, 30."""
    codes, tasters = drawn(kitchen, 3, 10, "--ask", "ranking", "--attributes", "sweetness", "--expect-order", "1,2,3")  # fmt: skip
    text = (kitchen / SESSION).read_text(encoding="utf-8")
    assert f'expect-order: ["{codes[0]}", "{codes[1]}", "{codes[2]}"]' in text
    assert '#   - {taster: T1, code: "' in text and ", rank: }" in text
    rank(kitchen, codes, [[1, 2, 3]] * len(tasters))
    assert bake(kitchen, "check").code == 0
    text = said(kitchen)
    assert "Rank 1 is the most: more sweetness." in text
    assert "The tasters rank the samples alike beyond chance (Friedman's 20.0, p <0.001, exact)." in text  # fmt: skip
    assert f"The order that was expected, {', '.join(codes)}, is borne out beyond chance (Page's L 140, p <0.001, exact, one-sided)." in text  # fmt: skip
    # 1.96 sqrt(10 x 3 x 4 / 6) = 8.8; 3.314 sqrt(10 x 3 x 4 / 12) = 10.5
    assert "1 of 3 pairs is told apart: that takes rank sums 10.5 apart." in text
    assert "For one pair named beforehand 8.8 would do" in text
    session = judged(kitchen)
    assert [(row["code"], row["mean"], row["group"]) for row in session["summaries"][0]["samples"]] == [
        (codes[0], 1, "a"), (codes[1], 2, "ab"), (codes[2], 3, "b"),
    ]  # fmt: skip
    assert [row["sum"] for row in session["ranking"]["rank_sums"]] == [10, 20, 30]


@pytest.mark.parametrize(("ranks", "words"), [
    ([[1, 2, 3], [1, 2, 3]], "2 tasters are too few: even 2 of one mind could be chance; from 3 on a ranking of 3 can show something."),
    ([[1, 2, 3], [2, 3, 1], [3, 1, 2]], "Chance could make these ranks (Friedman's 0.0, p 1.00, exact), so no two samples are told apart."),
    ([[1, 2, 2], [1, 2, 3], [1, 3, 2], [1, 2, 3]], "1 of 4 tasters gave some samples the same rank; these share the mean of their places."),
])  # fmt: skip
def test_what_a_ranking_cannot_show(kitchen: Path, ranks: list[list[float]], words: str) -> None:
    codes, _ = drawn(kitchen, 3, len(ranks), "--ask", "ranking")
    rank(kitchen, codes, ranks)
    assert words in said(kitchen)


FAULTS = [
    ("rank: 3}", "rank: 4}", "4 is no rank of 3 samples; write 1 to 3"),
    ('{taster: T2, code: "745"', '{taster: T9, code: "745"', "taster T9 is not in the order; check the name"),
    ("ask: ranking", "ask: ranking\nattributes: [crumb, crust]", "a ranking is by one attribute; keep one, or none for what is liked"),
    ("ask: ranking", 'ask: ranking\nexpect-order: ["111", "222", "333"]', "`expect-order` names the code of each sample once, in a ranking alone; mend or remove it"),
    ('  - {taster: T1, code: "745", rank: 1}\n', "", "taster T1 has no rank of 745; add it, or name the taster under `absent`"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), FAULTS)
def test_checks_a_ranking(kitchen: Path, old: str, new: str, message: str) -> None:
    codes, _ = drawn(kitchen, 3, 2, "--ask", "ranking")
    rank(kitchen, codes, [[1, 2, 3], [1, 2, 3]])
    path = kitchen / SESSION
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    done = bake(kitchen, "check", SESSION)
    assert done.code == 1
    assert message in done.out


@pytest.mark.parametrize(("right", "shown"), [(9, False), (10, True)])
def test_a_duo_trio_of_twelve(kitchen: Path, right: int, shown: bool) -> None:
    """ISO 10399 (from memory): of twelve assessors ten have to find the reference at 1 in 20."""
    drawn(kitchen, 2, 12, "--ask", "duo-trio")
    data = read_document((kitchen / SESSION).read_bytes(), "f").data
    sample_of = {code: at for at, s in enumerate(data["samples"]) for code in s["codes"]}
    orders = [tuple(sample_of[code] for code in row["serve"]) for row in data["order"]]
    assert sorted(orders) == sorted(DUO_TRIO_ROWS * 3)
    rows = []
    for at, row in enumerate(data["order"]):
        reference, *others = row["serve"]
        same = next(code for code in others if sample_of[code] == sample_of[reference])
        code = same if at < right else next(code for code in others if code != same)
        rows.append(f'taster: {row["taster"]}, code: "{code}"')
    answer(kitchen, "choices", rows)
    assert bake(kitchen, "check").code == 0
    test = judged(kitchen)["tally"]["test"]
    assert (test["chosen"], test["needed"], test["two_sided"], test["chance"]) == (right, 10, False, 0.5)  # fmt: skip
    assert (test["p"] <= 0.05) == shown
    assert f"{right} of 12 found the one like the reference; half would by guessing" in said(kitchen)  # fmt: skip


def test_a_duo_trio_names_the_reference_on_its_sheet_and_takes_no_choice_of_it(
    kitchen: Path,
) -> None:
    drawn(kitchen, 2, 1, "--ask", "duo-trio")
    sheet = bake(kitchen, "sheets", SESSION, "--print", "tasters").out
    data = read_document((kitchen / SESSION).read_bytes(), "f").data
    reference = data["order"][0]["serve"][0]
    assert f"{reference}     reference" in sheet
    assert "Which of the other two is the same?" in sheet
    answer(kitchen, "choices", [f'taster: T1, code: "{reference}"'])
    assert f"{reference} is the reference of taster T1; write which of the other two is the same" in bake(kitchen, "check").out  # fmt: skip


#: Lines of a page of A4 or Letter at six to the inch, with margins of half an inch.
LINES_OF_A_PAGE = 60


@pytest.mark.parametrize("ask", ["scores", "ranking"])
def test_a_tasters_sheet_of_twelve_samples_is_one_page(kitchen: Path, ask: str) -> None:
    drawn(kitchen, 12, 1, "--ask", ask, *(("--attributes", "crumb, crust, flavour, sweetness, softness, overall") if ask == "scores" else ("--attributes", "sweetness")))  # fmt: skip
    sheet = bake(kitchen, "sheets", SESSION, "--print", "tasters").out
    assert "\f" not in sheet
    assert len(sheet.splitlines()) <= LINES_OF_A_PAGE
    assert max(map(len, sheet.splitlines())) <= 80
    page = bake(kitchen, "sheets", SESSION, "--print", "tasters", "--output", "html").out
    assert page.count('<section class="many">') == 1
    # 13 rows of a cell of 6 mm, its paddings and border: under half of A4's 269 mm inside its margins
    assert ".many th, .many td { height: 6mm; padding: 1mm 2mm;" in page
    server = bake(kitchen, "sheets", SESSION, "--print", "server").out
    assert "give tasters a rest after each 6" in server
