"""Every percentage says of whose flour it is: no report of the demo or of the published recipes leaves it open."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.conftest import ROOT, run_cli

# Percent "of flour": of the batter's, or of the topping's?
OPEN = re.compile(r"(?:%|percent) of (?:the )?(?:flour|basis)\b(?! of| that)")
PUBLISHED = "tests/published"
COMMANDS = [
    f"{command} {folder}"
    for folder in ("formulas", f"{PUBLISHED}/weight", f"{PUBLISHED}/measure", f"{PUBLISHED}/worked")
    for command in (
        "lint",
        "show",
        "show --per total",
        "show --per everything",
        "contents",
        "compare",
        "cost",
    )
]
COMMANDS += [
    "compare formulas --output markdown",
    "compare formulas --output html",
    "changelog formulas",
    "changelog formulas --output markdown",
    "draft formulas --all --output html",
]


@pytest.mark.parametrize("command", COMMANDS)
def test_no_report_speaks_of_flour_without_an_owner(command: str) -> None:
    done = run_cli(*command.split(), cwd=ROOT)
    lines = [line for line in (done.out + done.err).splitlines() if OPEN.search(line)]
    assert lines == []
    assert done.out or done.err


def test_a_diff_of_two_ways_to_print_a_recipe_says_whose_flour() -> None:
    recipes = sorted(path.name for path in (ROOT / PUBLISHED / "weight").iterdir() if path.is_dir())
    for recipe in recipes[:12]:
        sides = (f"{PUBLISHED}/{way}/{recipe}/formula.yaml" for way in ("weight", "measure"))
        out = run_cli("diff", *sides, cwd=ROOT).out
        assert [line for line in out.splitlines() if OPEN.search(line)] == []
        if "%" in out:
            assert re.search(r"of (the .+|its) (flour|basis)|'s \w+", out), recipe
    assert Path(ROOT / PUBLISHED).exists()
