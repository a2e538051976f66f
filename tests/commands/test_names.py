"""A formula by its id, folder or file in every command; gates that read nothing, in the form of a program."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.commands.test_bad_input import plant
from tests.commands.test_wrong_starts import KITCHEN, OAT, RYE
from tests.conftest import git, run_cli

pytestmark = pytest.mark.xdist_group("names")  # the kitchen is made once

#: Commands with @ for the formula, which comes as its file, its folder and its id.
COMMANDS = (
    "show @", "contents @", "scale @ --times 2", "lint @", "format --check @", "diff @", "diff -- @", "diff HEAD~1 @",
    "compare rye-loaf @ --to @", "middle @ rye-loaf --ours @", "plan @ --make @=2 --load @=1",
    "draft --all --output json @", "changelog @", "changelog --by commit @", "bake list @", "bake check @",
    "bake judge @", "evidence @", "why @", "review HEAD~1..HEAD --paths @", "release HEAD~1..HEAD --paths @",
    "trial plan @ --vary sugar=40..60 --bakes 2 --tasters 2 --seed 7 --dry-run",
)  # fmt: skip


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two commits, and a change that is not committed."""
    top = tmp_path_factory.mktemp("named")
    plant(top, {name: text for name, text in KITCHEN.items() if name.startswith("formulas/")})
    file = top / OAT / "formula.yaml"
    git(top, "init", "-q", "-b", "main")
    for sugar in ("150 g", "160 g", "170 g"):
        file.write_text(file.read_text().replace("150 g", sugar).replace("160 g", sugar))
        if sugar != "170 g":
            git(top, "add", "-A")
            git(top, "commit", "-qm", sugar)
    return top


@pytest.mark.parametrize("command", COMMANDS)
def test_a_formula_is_named_by_id_folder_or_file(command: str, kitchen: Path) -> None:
    names = ("oat-date-loaf", OAT, f"{OAT}/formula.yaml")
    told = [run_cli(*(w.replace("@", name) for w in command.split()), cwd=kitchen) for name in names]  # fmt: skip
    assert told[0].code in (0, 1), told[0]
    assert "Traceback" not in told[0].all
    assert told[0] == told[1]
    if (
        told[0] != told[2]
    ):  # a file stands for less than its folder: it alone, or it with its records
        assert command.split()[0] in ("lint", "bake", "review", "release"), (told[0], told[2])


def test_a_revision_stands_behind_an_id(kitchen: Path) -> None:
    words = ("bake", "new", "oat-date-loaf@HEAD~1", "--baker", "N", "--verdict", "keep", "--date", "2026-03-14")  # fmt: skip
    done = run_cli(*words, cwd=kitchen)
    assert (done.code, done.out) == (0, f"{OAT}/bakes/2026-03-14.yaml\n")
    (kitchen / OAT / "bakes/2026-03-14.yaml").unlink()


def test_a_folder_above_is_named_and_paths_are_told_from_here(kitchen: Path) -> None:
    done = run_cli("lint", "--output", "lines", cwd=kitchen / RYE)
    assert done.err == "perflour: .. is read, the formulas of the kitchen above this folder\n"
    assert done.out.startswith("../oat-date-loaf/formula.yaml:6:1: note: ")
    assert "\n3 files read: " in done.out


@pytest.mark.parametrize(
    ("words", "report"),
    [
        (("lint", "--output", "json"), {"files": 0, "results": []}),
        (("bake", "check", "--output", "json"), {"files": 0, "results": []}),
        (("changelog", "--output", "json"), {"format": 2, "formulas": []}),
    ],
)
def test_a_program_gets_its_report_of_nothing_too(
    words: tuple[str, ...], report: object, kitchen: Path
) -> None:
    (kitchen / "empty").mkdir(exist_ok=True)
    for more, code in (((), 2), (("--if-any",), 0)):
        done = run_cli(*words, "empty", *more, cwd=kitchen)
        assert (done.code, json.loads(done.out)) == (code, report)
        assert ("nothing was checked" in done.err) == (code == 2)


@pytest.mark.parametrize("words", [("format", "--check"), ("changelog", "--check"), ("bake", "check"), ("lint",)])  # fmt: skip
def test_a_hook_that_names_what_is_none_of_its_business_passes(
    words: tuple[str, ...], kitchen: Path
) -> None:
    done = run_cli(*words, "--", "formulas/house.yaml", cwd=kitchen)
    assert (done.code, done.err) == (0, "")
