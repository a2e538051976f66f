"""A trial's record against the variants beside it, as lint tells it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from perflour.formula.digests import digest
from perflour.system.parallel import ENOUGH_ITEMS
from tests.conftest import formula_text, run_cli, weigh_text
from tests.records.test_trial import TEXT

TRIAL = "formulas/trials/oat-loaf-1"
METHOD = "[{do: mix, uses: [flour, butter]}, {do: chill, for: 2 h}, {do: bake, at: 175 °C, for: 20 min, until: brown}, {do: cool}]"


def variant(letter: str, butter: str) -> str:
    text = formula_text("{item: flour, amount: 1 kg}", f"{{item: butter, amount: {butter}}}", method=METHOD)  # fmt: skip
    return text.replace("formula: trial", f"formula: oat-loaf-1-{letter}")


@pytest.fixture
def kitchen(repository: Path) -> Path:
    text = TEXT
    for letter, butter, was in (("a", "200 g", "9b1e44d07a2c"), ("b", "302 g", "5d3c90aa41f7")):
        content = variant(letter, butter)
        file = repository / TRIAL / f"oat-loaf-1-{letter}" / "formula.yaml"
        file.parent.mkdir(parents=True)
        file.write_text(content, encoding="utf-8")
        text = text.replace(was, digest(weigh_text(content).formula))
    (repository / TRIAL / "trial.yaml").write_text(text, encoding="utf-8")
    return repository


def other_butter(kitchen: Path) -> None:
    file = kitchen / TRIAL / "oat-loaf-1-b" / "formula.yaml"
    file.write_text(variant("b", "320 g"), encoding="utf-8")


def gone(kitchen: Path) -> None:
    (kitchen / TRIAL / "oat-loaf-1-b" / "formula.yaml").unlink()


def renamed(kitchen: Path) -> None:
    (kitchen / TRIAL).rename(kitchen / TRIAL.replace("oat", "rye"))


NOW = digest(weigh_text(variant("b", "320 g")).formula)
WRONG: list[tuple[Callable[[Path], None], tuple[int, int], str]] = [
    (other_butter, (15, 55), f"oat-loaf-1-b is another revision now, {NOW}; put the file back, or write that if it is what was baked"),
    (gone, (15, 37), "there is no oat-loaf-1-b/formula.yaml beside this record; put it back from git"),
    (renamed, (1, 8), "the trial is 'oat-loaf-1' but the folder is 'rye-loaf-1'; rename one of them"),
]  # fmt: skip


@pytest.mark.parametrize(("does", "place", "words"), WRONG, ids=[w[0].__name__ for w in WRONG])
def test_lint_holds_a_trial_against_its_variants(
    does: Callable[[Path], None], place: tuple[int, int], words: str, kitchen: Path
) -> None:
    """Once with so many files that results of the run before are taken again."""
    for number in range(ENOUGH_ITEMS):
        (kitchen / "formulas" / f"plain-{number}").mkdir()
        file = kitchen / "formulas" / f"plain-{number}" / "formula.yaml"
        file.write_text(variant("a", "200 g").replace("oat-loaf-1-a", f"plain-{number}"))
    assert told(kitchen) == []
    does(kitchen)
    assert told(kitchen) == [(*place, words)]


def told(kitchen: Path) -> list[tuple[int, int, str]]:
    """What lint says of trials' records."""
    data = json.loads(run_cli("lint", "--output", "json", cwd=kitchen).out)
    found = [r for r in data["results"] if r["path"].endswith("/trial.yaml")]
    return [(r["line"], r["column"], r["message"]) for r in found]


def test_lint_tells_what_contradicts_itself(kitchen: Path) -> None:
    file = kitchen / TRIAL / "trial.yaml"
    file.write_text(file.read_text("utf-8").replace("factor: butter", "factor: lard"), "utf-8")
    done = run_cli("lint", TRIAL, cwd=kitchen)
    assert done.code == 1 and "'butter' is no factor of this trial; check its name" in done.out
