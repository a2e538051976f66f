"""The middle of formulas in words and as data, and the command that writes it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.conftest import ROOT, formula_text, run_cli

BAKE = """\
date: 2026-03-{day}
formula: {name}
of: '{of}'
baker: R
verdict: change
scores:
  - {{taster: A, overall: {score}}}
"""


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """Three cakes, two of them scored."""
    for name, sugar, score in (("low", 40, 4), ("mid", 50, 8), ("high", 90, None)):
        folder = tmp_path / "formulas" / name
        (folder / "bakes").mkdir(parents=True)
        lines = ("{item: all-purpose flour, amount: 200 g}", f"{{item: sugar, amount: {2 * sugar} g}}", "{item: egg, amount: 100 g}")  # fmt: skip
        text = formula_text(*lines, method="[{do: mix, uses: [all-purpose flour, sugar, egg]}, {do: bake, at: 180 °C, for: 30 min}]")  # fmt: skip
        (folder / "formula.yaml").write_text(text.replace("formula: trial", f"formula: {name}"))
        if score:
            shown = json.loads(run_cli("show", f"formulas/{name}", "--output", "json", cwd=tmp_path).out)  # fmt: skip
            (folder / "bakes" / "2026-03-01.yaml").write_text(
                BAKE.format(day="01", name=name, of=shown["revision"], score=score)
            )
    return tmp_path


TEXT = """\
the middle of 3 formulas, by median, in percent of the flour: bases alone,
  doughs or batters
"""
SUGAR = ["granulated", "sugar", "50.0", "45.0-70.0", "3", "of", "3"]


def test_the_text_says_what_it_is_and_where_ours_stands(kitchen: Path) -> None:
    done = run_cli("middle", "formulas", "--ours", "formulas/low", cwd=kitchen)
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith(TEXT)
    lines = done.out.splitlines()
    assert SUGAR in [line.split() for line in lines]
    assert any(line.split() == ["ratio", "middle", "quartiles", "median", "of", "ours,", "low", "below", "equal", "above"] for line in lines)  # fmt: skip
    assert any(line.split() == ["sugar", "50.0", "45.0-70.0", "50.0", "3", "40.0", "0", "0", "2"] for line in lines)  # fmt: skip
    assert "oven: 180 °C, the median of all 3" in lines


def test_a_blend_by_scores_says_who_scored_what(kitchen: Path) -> None:
    """8 and 4: two to one of sugar 50 and 40."""
    words = ("middle", "formulas", "--weights", "scores", "--by", "overall")
    done = run_cli(*words, cwd=kitchen)
    assert done.code == 0, done.err
    assert "8.0 in 1 bake, 67% of the blend" in done.out
    assert "not chosen: high, no score of this revision" in done.out
    data = json.loads(run_cli(*words, "--output", "json", cwd=kitchen).out)
    assert {p["name"]: p["percent"] for p in data["percents"]}["granulated sugar"] == pytest.approx(140 / 3)  # fmt: skip
    best = json.loads(run_cli("middle", "formulas", "--best", "1", "--by", "overall", "--output", "json", cwd=kitchen).out)  # fmt: skip
    assert [parent["label"] for parent in best["formulas"]] == ["mid"]


def test_it_is_written_as_a_new_formula_once(kitchen: Path) -> None:
    words = ("middle", "formulas", "--write", "--title", "Middle cake", "--flour", "500 g")
    done = run_cli(*words, cwd=kitchen)
    assert done.code == 0, done.err
    assert "wrote formulas/middle-cake/formula.yaml: a draft, never baked" in " ".join(
        done.out.split()
    )
    assert done.err.startswith("Allergens by what the foods are, US list: egg, wheat;")
    text = (kitchen / "formulas/middle-cake/formula.yaml").read_text(encoding="utf-8")
    assert "{item: all-purpose flour, amount: 500 g}" in text
    assert "error" not in run_cli("lint", "formulas/middle-cake", cwd=kitchen).out
    again = run_cli(*words, cwd=kitchen)
    assert (again.code, again.err) == (2, "perflour: formulas/middle-cake/formula.yaml: is there already; give the formula another title\n")  # fmt: skip


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--best", "2"), "say by what it was scored with --by, like `--by overall`"),
        (("--by", "overall"), "--by goes with --best or --weights; add one or leave it out"),
        (("--write",), "a formula needs a title; say it with --title"),
        (("--flour", "1 kg"), "--flour goes with --write; add it or leave it out"),
        (("--best", "3", "--by", "overall"), "2 formulas have a score, not 3; say fewer with --best"),
        (("--best", "1", "--by", "crust"), "no bake of these revisions scores 'crust'; scored are overall"),
        (("--ours", "formulas"), "formulas: 3 formulas there; name one formula with --ours"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_said_in_a_line(
    kitchen: Path, words: tuple[str, ...], said: str
) -> None:
    done = run_cli("middle", "formulas", *words, cwd=kitchen)
    assert (done.code, done.out, done.err) == (2, "", f"perflour: {said}\n")


def test_a_record_that_cannot_be_read_is_told(kitchen: Path) -> None:
    record = next((kitchen / "formulas" / "low" / "bakes").iterdir())
    record.write_text(record.read_text().replace("verdict: change", "verdict: perhaps"))
    done = run_cli("middle", "formulas", "--weights", "scores", "--by", "overall", cwd=kitchen)
    assert done.code == 1
    assert "low/bakes/2026-03-01.yaml:" in done.err
    assert "not chosen: low, no score of this revision" in done.out


def test_a_broken_file_is_told_and_left_out(kitchen: Path) -> None:
    (kitchen / "formulas" / "low" / "formula.yaml").write_text("formula: [")
    done = run_cli("middle", "formulas", cwd=kitchen)
    assert done.code == 1
    assert "low/formula.yaml:" in done.err
    assert done.out.startswith("the middle of 2 formulas")


def test_the_demo_is_told_without_a_doubtful_line() -> None:
    """Formulas of several classes are said to be; what is in percent of another basis is set aside."""
    done = run_cli("middle", str(ROOT / "formulas"), cwd=ROOT)
    assert "not counted: almond-prune-torte; its percentages are of something else" in done.out
    assert "no flavouring and spice in the middle: 5 of 6 have some, of sorts that too few share" in " ".join(done.out.split())  # fmt: skip
    assert "a middle of one class says more" in " ".join(done.out.split())
