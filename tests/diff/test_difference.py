"""The ratio diff: its laws, and what each change says."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.diff.change import Change, LineChange, RatioChange, Scaling
from perflour.diff.difference import difference_between
from perflour.report.diff.text import (
    change_text,
    differences_json,
    differences_markdown,
    differences_text,
)
from tests.conftest import ROOT, examples, formula_text, git, run_cli, weigh_text

METHOD = "[{do: mix, uses: [flour]}, {do: bake, at: 175 °C, for: 45-50 min, until: golden}]"
BEFORE = (
    "{item: flour, amount: 300 g}",
    "{item: dark brown sugar, amount: 180 g}",
    "{item: egg, amount: 2 large}",
    "{item: butter, amount: 120 g}",
    "{item: salt, amount: 3 g}",
)


def said(before: str, after: str) -> list[str]:
    """The changes of two formula texts, as a baker reads them."""
    return [
        change_text(c) for c in difference_between(weigh_text(before), weigh_text(after)).changes
    ]


def changed(**replacements: str) -> tuple[str, ...]:
    """BEFORE with lines replaced by the first word of their item."""
    return tuple(
        replacements.get(line.split()[1].rstrip(",").split("-")[0], line) for line in BEFORE
    )


CASES = [
    ("amount", changed(dark="{item: dark brown sugar, amount: 216 g}"), "dark brown sugar 180 g -> 216 g: 60.0 % -> 72.0 %, +12.0 % of the batter's flour"),
    ("small", changed(salt="{item: salt, amount: 4.5 g}"), "salt 3 g -> 4.5 g: 1.00 % -> 1.50 %, +0.50 % of the batter's flour"),
    ("added", (*BEFORE, "{item: walnuts, amount: 60 g}"), "walnuts added to batter: 60 g, 20.0 % of the batter's flour"),
    ("removed", BEFORE[:-1], "salt removed from batter: 3 g, 1.00 % of the batter's flour"),
    ("re-measured", changed(flour="{item: flour, amount: 2 1/2 cup}"), "flour re-measured only: 300 g -> 2 1/2 cup (300 g -> 313 g, still 100.0 % of the batter's flour)"),
    ("renamed", changed(butter="{item: unsalted butter, amount: 120 g}"), "butter now called unsalted butter"),
    ("state", changed(butter="{item: butter, amount: 120 g, state: melted}"), "butter: as it is -> melted"),
    ("basis", changed(flour="{item: flour, amount: 330 g}"), "the batter's flour 300 g -> 330 g: every percentage of it moves"),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "expected"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_says_what_moved(lines: tuple[str, ...], expected: str) -> None:
    assert expected in said(
        formula_text(*BEFORE, method=METHOD), formula_text(*lines, method=METHOD)
    )


def test_a_scaled_batch_is_only_that() -> None:
    doubled = [
        line.replace("300", "600")
        .replace("180", "360")
        .replace("2 large", "4 large")
        .replace("120", "240")
        .replace("3 g", "6 g")
        for line in BEFORE
    ]
    assert said(formula_text(*BEFORE), formula_text(*doubled)) == [
        "batch x2, ratios unchanged (703 g -> 1,406 g)"
    ]


def test_a_scaled_batch_with_one_ratio_moved() -> None:
    doubled = [
        "{item: flour, amount: 600 g}",
        "{item: dark brown sugar, amount: 420 g}",
        "{item: egg, amount: 4 large}",
        "{item: butter, amount: 240 g}",
        "{item: salt, amount: 6 g}",
    ]
    lines = said(formula_text(*BEFORE), formula_text(*doubled))
    assert lines[:2] == [
        "batch x2 (703 g -> 1,466 g)",
        "dark brown sugar 180 g -> 420 g: 60.0 % -> 70.0 %, +10.0 % of the batter's flour",
    ]


def test_a_difference_inside_the_measuring_is_called_so() -> None:
    """A cup of flour is 125 g ± 10 (USDA SR28 and 12 more published values): 2.45 cups are no news."""
    lines = said(
        formula_text("{item: flour, amount: 2 1/2 cup}", "{item: butter, amount: 100 g}"),
        formula_text("{item: flour, amount: 306 g}", "{item: butter, amount: 100 g}"),
    )
    assert (
        "fat 32.0 % -> 32.7 %, +0.7 % of the batter's flour (within the measuring, ± 5.5)" in lines
    )
    assert lines[0] == "the batter's flour 313 g -> 306 g (within the measuring spread)"


def test_one_cup_habit_is_shared_by_both_sides() -> None:
    """More of the same cup is more, however uncertain the cup: correlation is kept."""
    lines = said(
        formula_text("{item: flour, amount: 2 cup}", "{item: sugar, amount: 1 cup}"),
        formula_text("{item: flour, amount: 2 cup}", "{item: sugar, amount: 1 1/8 cup}"),
    )
    assert (
        lines[0]
        == "sugar 1 cup -> 1 1/8 cup (200 g -> 225 g): 80.0 % -> 90.0 %, +10.0 % of the batter's flour"
    )


def test_moved_to_another_part() -> None:
    two = "formula: t\ntitle: T\nclass: c\nstatus: draft\nparts:\n  - {part: batter, ingredients: [{item: flour, amount: 300 g}%s]}\n  - {part: crumb, ingredients: [{item: flour, amount: 100 g}%s]}\nmethod: []\n"
    pecans = ", {item: pecans, amount: 60 g}"
    lines = said(two % (pecans, ""), two % ("", pecans))
    assert "pecans moved from batter to crumb" in lines


def test_method_bake_and_yield() -> None:
    before = formula_text(*BEFORE, method=METHOD, extra="yield: {pieces: 2, piece: loaf}\n")
    after = formula_text(
        *BEFORE,
        method="[{do: mix, uses: [flour, salt]}, {do: rest, for: 20 min}, {do: bake, at: 165 °C, for: 45-50 min, until: golden, core: 96 °C}]",
        extra="yield: {pieces: 4, piece: small loaf}\nnotes: Keeps well.\n",
    )
    assert said(before, after) == [
        "yield: 2 x loaf -> 4 x small loaf",
        "step added: rest for 20 min",
        "bake at: 175 °C -> 165 °C",
        "bake core: nothing -> 96 °C",
        "mix uses: nothing -> salt",
        "mass per piece 352 g -> 176 g",
        "notes: nothing -> Keeps well.",
    ]


def test_a_step_that_kept_hardly_a_field_is_told_field_by_field() -> None:
    before = "[{do: mix, uses: [flour], with: whisk, for: 3 min, until: smooth}]"
    after = "[{do: mix, uses: [flour, salt], into: a bowl, at: 20 °C, note: by hand, fill: 1/2}]"
    told = said(formula_text(*BEFORE, method=before), formula_text(*BEFORE, method=after))
    assert told == [
        "mix for: 3 min -> nothing",
        "mix at: nothing -> 20 °C",
        "mix into: nothing -> a bowl",
        "mix uses: nothing -> salt",
        "mix until: smooth -> nothing",
        "mix fill: nothing -> 1/2",
        "mix with: whisk -> nothing",
        "mix note: nothing -> by hand",
    ]


ITEMS = [
    "all-purpose flour",
    "water",
    "table salt",
    "granulated sugar",
    "egg",
    "whole milk",
    "honey",
]
amounts = st.one_of(
    st.integers(1, 900).map("{} g".format), st.integers(1, 9).map("{}/4 cup".format)
)
recipes = st.lists(st.tuples(st.sampled_from(ITEMS), amounts), min_size=1, max_size=7).map(
    lambda lines: [f"{{item: {i}, amount: {a}}}" for i, a in [("bread flour", "500 g"), *lines]]
)


@given(recipes)
@examples(80)
def test_nothing_differs_from_itself(lines: list[str]) -> None:
    text = formula_text(*lines, method=METHOD)
    assert difference_between(weigh_text(text), weigh_text(text)).changes == ()


@given(recipes, recipes)
@examples(80)
def test_backwards_is_the_same_with_signs_turned(one: list[str], other: list[str]) -> None:
    a, b = weigh_text(formula_text(*one)), weigh_text(formula_text(*other))
    turned = {"added": "removed", "removed": "added"}
    there = sorted(
        (turned.get(c.kind, c.kind), c.subject, round(-_points(c), 6))
        for c in difference_between(a, b).changes
        if c.kind in ("amount", "added", "removed", "ratio", "re-measured")
    )
    back = sorted(
        (c.kind, c.subject, round(_points(c), 6))
        for c in difference_between(b, a).changes
        if c.kind in ("amount", "added", "removed", "ratio", "re-measured")
    )
    assert there == back


def _points(change: Change) -> float:
    assert isinstance(change, LineChange | RatioChange)
    return change.moved_percent or 0.0


@given(st.lists(st.sampled_from(ITEMS), min_size=2, max_size=6), st.integers(2, 40), st.data())
@examples(60)
def test_any_scaling_is_only_scaling(items: list[str], factor: int, data: st.DataObject) -> None:
    grams = [data.draw(st.integers(1, 900)) for _ in items]
    texts = [
        formula_text(
            f"{{item: bread flour, amount: {500 * f} g}}",
            *(f"{{item: {i}, amount: {g * f} g}}" for i, g in zip(items, grams, strict=True)),
        )
        for f in (1, factor)
    ]
    changes = difference_between(weigh_text(texts[0]), weigh_text(texts[1])).changes
    (change,) = changes
    assert isinstance(change, Scaling) and change.kind == "batch-scaled"
    assert change.factor == pytest.approx(factor)
    assert change.ratios_unchanged


# --- the command on real repositories ---


def test_two_files(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(formula_text(*BEFORE), encoding="utf-8")
    (tmp_path / "b.yaml").write_text(formula_text(*CASES[0][1]), encoding="utf-8")
    outcome = run_cli("diff", "a.yaml", "b.yaml", cwd=tmp_path)
    assert outcome.code == 1
    assert (
        "dark brown sugar 180 g -> 216 g: 60.0 % -> 72.0 %, +12.0 % of the batter's flour"
        in outcome.out
    )
    assert run_cli("diff", "a.yaml", "a.yaml", cwd=tmp_path).code == 0
    markdown = run_cli("diff", "a.yaml", "b.yaml", "--output", "markdown", cwd=tmp_path).out
    assert (
        "- dark brown sugar 180 g -\\> 216 g: 60.0 % -\\> 72.0 %, +12.0 % of the batter's flour"
        in markdown
    )
    data = json.loads(run_cli("diff", "a.yaml", "b.yaml", "--output", "json", cwd=tmp_path).out)
    change = next(c for c in data["formulas"][0]["changes"] if c["kind"] == "amount")
    assert (change["before"], change["after"], change["delta"]) == pytest.approx((60, 72, 12))


def test_a_subject_for_the_commit(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(formula_text(*BEFORE), encoding="utf-8")
    (tmp_path / "b.yaml").write_text(formula_text(*CASES[0][1]), encoding="utf-8")
    outcome = run_cli("diff", "a.yaml", "b.yaml", "--output", "subject", cwd=tmp_path)
    assert (outcome.code, outcome.out) == (1, "trial: dark brown sugar 60.0 -> 72.0 %\n")
    assert run_cli("diff", "a.yaml", "a.yaml", "--output", "subject", cwd=tmp_path).out == ""


def test_the_page_shows_what_diff_prints() -> None:
    page = (ROOT / "docs" / "diff.md").read_text(encoding="utf-8")
    words = next(line for line in page.splitlines() if line.startswith("perflour diff tests/"))
    shown = page.split(words)[1].split("```text\n")[1].split("```")[0]
    assert run_cli(*words.split()[1:], cwd=ROOT).out == shown


def test_revisions_and_the_work_tree(repository: Path) -> None:
    path = repository / "formulas" / "trial" / "formula.yaml"
    path.parent.mkdir(parents=True)
    versions = [formula_text(*lines) for lines in (BEFORE, CASES[0][1], CASES[1][1])]
    for number, text in enumerate(versions[:2]):
        path.write_text(text, encoding="utf-8")
        git(repository, "add", ".")
        git(repository, "commit", "-qm", f"Version {number}")
    assert run_cli("diff", cwd=repository).code == 0
    path.write_text(versions[2], encoding="utf-8")
    other = repository / "formulas" / "new one" / "formula.yaml"
    other.parent.mkdir()
    other.write_text(versions[0], encoding="utf-8")

    against_head = run_cli("diff", cwd=repository)
    assert (against_head.code, "60.0 % of flour" in against_head.out) == (1, False)
    assert (
        "dark brown sugar 216 g -> 180 g: 72.0 % -> 60.0 %, -12.0 % of the batter's flour"
        in against_head.out
    )
    assert "trial: new formula" in against_head.out
    limited = run_cli("diff", "HEAD", "--", "formulas/trial", cwd=repository).out
    assert "new formula" not in limited
    assert "salt 3 g -> 4.5 g: 1.00 % -> 1.50 %, +0.50 % of the batter's flour" in limited
    for words in (("HEAD~1", "HEAD"), ("HEAD~1..HEAD",), ("HEAD~1", "HEAD", "--", "formulas")):
        out = run_cli("diff", *words, cwd=repository).out
        assert (
            "dark brown sugar 180 g -> 216 g: 60.0 % -> 72.0 %, +12.0 % of the batter's flour"
            in out
        )
        assert "salt" not in out
    path.unlink()
    assert "trial: formula removed" in run_cli("diff", "--", "formulas/trial", cwd=repository).out


def test_reports_of_nothing_are_empty() -> None:
    assert differences_text([]) == differences_markdown([]) == ""
    assert json.loads(differences_json([])) == {"format": 1, "formulas": []}
