"""Merges of two sides that contradict each other on different lines: each is a conflict with three ratios."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from perflour.formula.file import read_formula
from tests.conftest import GIT_ENVIRONMENT, git, run_cli
from tests.merge.test_merge import in_any_order, merged, settled

FLOUR, SUGAR, BUTTER, HONEY = "bread flour 500 g", "sugar 300 g", "butter 100 g", "honey 50 g"
RAISINS, SPREAD = "raisins 80 g", "margarine 90 g"
Parts = dict[str, tuple[str, ...]]
DOUGH: Parts = {"dough": (FLOUR, SUGAR, BUTTER)}
THREE: Parts = {**DOUGH, "glaze": (HONEY,), "filling": (RAISINS,)}
WITHOUT: Parts = {**THREE, "dough": (FLOUR, SUGAR)}
BAKE, COOL = "do: bake, at: 175 °C, for: 40 min", "do: cool, for: 1 h"
CREAM = "do: cream, uses: [butter, sugar]"
STEPS = (CREAM, BAKE, COOL)


def formula(parts: Parts = THREE, method: tuple[str, ...] = STEPS) -> str:
    text = "formula: trial\ntitle: Trial\nclass: loaf-cake\nstatus: draft\nparts:\n"
    for part, lines in parts.items():
        text += f"  - part: {part}\n    ingredients:\n"
        for name, number, unit in (line.rsplit(" ", 2) for line in lines):
            text += f"      - {{item: {name}, amount: {number} {unit}}}\n"
    return text + "method:\n" + "".join(f"  - {{{step}}}\n" for step in method)


def times(factor: int, parts: Parts) -> Parts:
    """All masses of a batch by a factor."""
    return {
        part: tuple(f"{n} {int(g) * factor} {u}" for n, g, u in (ln.rsplit(" ", 2) for ln in lines))
        for part, lines in parts.items()
    }


def dough(*lines: str, of: Parts = THREE) -> str:
    return formula({**of, "dough": lines})


MOVED_TO_GLAZE = formula({**WITHOUT, "glaze": (HONEY, BUTTER)})
MOVED_TO_FILLING = formula({**WITHOUT, "filling": (RAISINS, BUTTER)})
REPLACED = dough(FLOUR, SUGAR, SPREAD)
REMOVED = formula(WITHOUT)
MORE = dough(FLOUR, SUGAR, "butter 120 g")
WAS = "before 20.0 % in dough"
INSTEAD = "replaced it by margarine at 18.0 %"
# base, ours, theirs, and what is said of the conflict
CASES: dict[str, tuple[str, str, str, str]] = {
    "moved to two parts": (
        formula(), MOVED_TO_GLAZE, MOVED_TO_FILLING,
        f"butter: ours moved it to glaze at 20.0 % of the dough's flour, theirs moved it to filling at 20.0 %, {WAS}",
    ),
    "moved to two new parts": (
        formula(), formula({**WITHOUT, "crumb": (BUTTER,)}), formula({**WITHOUT, "paste": (BUTTER,)}),
        f"butter: ours moved it to crumb at 20.0 % of the dough's flour, theirs moved it to paste at 20.0 %, {WAS}",
    ),
    "put into two new parts": (
        formula(), formula({**THREE, "crumb": ("walnuts 50 g",)}),
        formula({**THREE, "paste": ("walnuts 60 g",)}),
        "walnuts: ours put it into crumb at 10.0 % of the dough's flour, theirs put it into paste at 12.0 %, before it was not there",
    ),
    "replaced and moved": (
        formula(), REPLACED, MOVED_TO_FILLING,
        f"butter: ours {INSTEAD} of the dough's flour, theirs moved it to filling at 20.0 %, {WAS}",
    ),
    "replaced and removed": (
        formula(), REPLACED, REMOVED, f"butter: ours {INSTEAD} of the dough's flour, theirs removed it, {WAS}",
    ),
    "replaced and changed": (
        formula(), REPLACED, MORE, f"butter: ours {INSTEAD} of the dough's flour, theirs has it at 24.0 %, {WAS}",
    ),
    "replaced and commented": (
        formula(), REPLACED, formula().replace("butter, amount: 100 g}", "butter, amount: 100 g}  # cold"),
        f"butter: ours {INSTEAD} of the dough's flour, theirs has it at 20.0 %, {WAS}",
    ),
    "moved and removed": (
        formula(), MOVED_TO_GLAZE, REMOVED,
        f"butter: ours moved it to glaze at 20.0 % of the dough's flour, theirs removed it, {WAS}",
    ),
    "moved and changed": (
        formula(), MOVED_TO_GLAZE, MORE,
        f"butter: ours moved it to glaze at 20.0 % of the dough's flour, theirs has it at 24.0 %, {WAS}",
    ),
    "changed and removed": (
        formula(), MORE, REMOVED, "butter: theirs removed it, ours 24.0 % of the dough's flour, before 20.0 %",
    ),
    "a part renamed in two ways": (
        formula(DOUGH), formula({"paste": DOUGH["dough"]}), formula({"mass": DOUGH["dough"]}),
        "part: both changed it (ours paste, theirs mass, before dough); ours 180.0 % of the paste's flour, theirs 180.0 %, before 180.0 %",
    ),
    "a part rewritten under another name, and changed": (
        formula(DOUGH), formula({"paste": (FLOUR, "oil 1 g", "rum 2 g", "egg 2 g")}),
        dough(FLOUR, SUGAR, "butter 120 g", of=DOUGH),
        "bread flour: ours moved it to paste at 100.0 % of the paste's flour, theirs has it at 100.0 %, before 100.0 % in dough",
    ),
    "a step done in two ways": (
        formula(), formula(method=(CREAM, BAKE.replace("bake", "roast"), COOL)),
        formula(method=(CREAM, BAKE.replace("bake", "grill"), COOL)),
        "step bake: ours replaced it by roast, theirs replaced it by grill",
    ),
    "a step done in two ways, by what it takes": (
        formula(), formula(method=(CREAM.replace("cream", "beat"), BAKE, COOL)),
        formula(method=(CREAM.replace("cream", "whisk"), BAKE, COOL)),
        "step cream: both changed do (ours beat, theirs whisk, before cream); it takes ours 80.0 % of the dough's flour, theirs 80.0 %, before 80.0 %",
    ),
    "a step done in another way and removed": (
        formula(), formula(method=(CREAM, BAKE.replace("bake", "roast"), COOL)),
        formula(method=(CREAM, COOL)), "step bake: ours replaced it by roast, theirs removed it",
    ),
    "a step done in another way and changed": (
        formula(), formula(method=(CREAM, BAKE.replace("bake", "roast"), COOL)),
        formula(method=(CREAM, BAKE.replace("175", "180"), COOL)),
        "step bake: ours replaced it by roast, theirs changed it (at 180 °C, before 175 °C)",
    ),
    "a step changed and removed": (
        formula(), formula(method=(CREAM, BAKE.replace("175", "180"), COOL)), formula(method=(CREAM, COOL)),
        "step bake: theirs removed it, ours changed it (at 180 °C, before 175 °C)",
    ),
    "scaled, and put in by weight": (
        formula(), formula(times(2, THREE)), dough(FLOUR, SUGAR, BUTTER, "walnuts 178 g"),
        "ours scaled the batch x2, theirs changed weights of the batch as it was; take ours and write what theirs changed x2, or take theirs and `perflour scale --times 2` it: walnuts: ours without it, theirs 35.6 % of the dough's flour, before without it",
    ),
    "scaled, and changed by weight": (
        formula(), formula(times(2, THREE)), MORE, "butter: ours 20.0 % of the dough's flour, theirs 24.0 %, before 20.0 %",
    ),
    "scaled, and moved": (
        formula(), formula(times(2, THREE)), MOVED_TO_GLAZE,
        "butter: ours 20.0 % of the dough's flour, theirs 20.0 %, before 20.0 %",
    ),
    "scaled in two ways": (
        formula(), formula(times(2, THREE)), formula(times(3, THREE)),
        "ours scaled the batch x2, theirs x3; keep one of them",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_what_contradicts_itself_is_a_conflict_whose_sides_are_the_files(case: str) -> None:
    base, ours, theirs, said = CASES[case]
    found = merged(base, ours, theirs)
    assert any(said in about for about in found.conflicts), found.conflicts
    assert merged(base, theirs, ours).conflicts
    for side, text in (("ours", ours), ("theirs", theirs)):
        choice = settled(found.content.decode(), side).encode()
        read_formula(choice, side)
        assert in_any_order(choice) == in_any_order(text.encode())


CLEAN: dict[str, tuple[str, str, str]] = {
    "moved by both to one part": (MOVED_TO_GLAZE, MOVED_TO_GLAZE + "notes: ours\n", "notes"),
    "moved, the rest changed": (
        MOVED_TO_GLAZE, dough(FLOUR, "sugar 310 g", BUTTER), "310",
    ),
    "replaced, another line removed": (REPLACED, dough(FLOUR, BUTTER), "margarine"),
    "scaled, a step added": (
        formula(times(2, THREE)), formula(method=(*STEPS, "do: slice")), "slice",
    ),
    "scaled by both, one adds": (
        formula(times(2, THREE)), formula(times(2, {**THREE, "crumb": ("walnuts 50 g",)})), "walnuts",
    ),
    "scaled, a part renamed": (
        formula(times(2, THREE)), formula({**DOUGH, "icing": (HONEY,), "filling": (RAISINS,)}), "icing",
    ),
    "one ingredient of the base put into another part by each": (
        formula({**THREE, "glaze": (HONEY, "sugar 5 g")}),
        formula({**THREE, "filling": (RAISINS, "sugar 5 g")}), "sugar",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CLEAN)
def test_what_does_not_contradict_itself_merges(case: str) -> None:
    ours, theirs, there = CLEAN[case]
    for sides in ((ours, theirs), (theirs, ours)):
        found = merged(formula(), *sides)
        assert found.conflicts == ()
        assert there in found.content.decode()


def test_several_marks_of_one_contradiction_say_that_they_belong_together() -> None:
    told = merged(*CASES["moved to two parts"][:3]).conflicts
    assert len(told) == 2 and len({*told}) == 1
    assert told[0].endswith("; settle all marks about it for one side")
    assert len(merged(*CASES["replaced and removed"][:3]).conflicts) == 1


@pytest.mark.parametrize("case", ["moved to two parts", "scaled, and put in by weight"])
def test_git_stops_at_a_contradiction(case: str, repository: Path) -> None:
    base, ours, theirs, said = CASES[case]
    path = repository / "formulas" / "trial" / "formula.yaml"
    path.parent.mkdir(parents=True)
    path.write_text(base, encoding="utf-8")
    assert run_cli("git-setup", cwd=repository).code == 0
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", "Begin")
    for branch, text in (("other", theirs), ("mine", ours)):
        git(repository, "checkout", "-q", "-b", branch, "main")
        path.write_text(text, encoding="utf-8")
        git(repository, "commit", "-q", "-a", "-m", branch)
    done = subprocess.run(
        ["git", "merge", "other"],
        cwd=repository,
        capture_output=True,
        env=GIT_ENVIRONMENT,
        check=False,
    )
    assert done.returncode == 1
    assert said in done.stderr.decode()
    marked = path.read_text(encoding="utf-8")
    assert f"# {said}" in marked
    for side, text in (("ours", ours), ("theirs", theirs)):
        assert in_any_order(settled(marked, side).encode()) == in_any_order(text.encode())
