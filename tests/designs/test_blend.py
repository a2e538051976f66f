"""Blends: ingredients that make up for each other, from the plan to what it showed."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
import yaml

from perflour.designs.design import Factor, draw
from perflour.designs.effects import fit
from perflour.designs.power import smallest_between
from perflour.designs.showed import blends_differ
from tests.conftest import ROOT, git, run_cli

FLOURS = ("bread flour=55..85", "medium rye flour=5..20", "whole wheat flour=10..30")
PLAN = ("trial", "plan", "formulas/rye-poolish-loaf", "--name", "flours", "--model", "blend", "--bakes", "10", "--tasters", "4", "--days", "2", "--goal", "crumb=most", "--seed", "3")  # fmt: skip


def varied(*words: str) -> list[str]:
    return [part for word in words for part in ("--vary", word)]


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    git(tmp_path, "clone", "-q", str(ROOT), "kitchen")
    return tmp_path / "kitchen"


def test_the_flours_of_every_variant_are_100(kitchen: Path) -> None:
    told = run_cli(*PLAN, *varied(*FLOURS), cwd=kitchen)
    assert told.code == 0, told.err
    assert "Two of these blends must differ by" in told.out
    trial = yaml.safe_load((kitchen / "formulas/trials/flours/trial.yaml").read_text("utf-8"))
    for bake in trial["bakes"]:
        levels = {name: float(text.split()[0]) for name, text in bake["levels"].items()}
        assert sum(levels.values()) == pytest.approx(100, abs=0.11)
        shown = json.loads(run_cli("show", f"formulas/trials/flours/{bake['formula']}", "--per", "total", "--output", "json", cwd=kitchen).out)  # fmt: skip
        found = {line["item"]: line["percent"] for line in shown["total"]["ingredients"]}
        assert {name: found[name] for name in levels} == pytest.approx(levels, abs=0.06)
    assert run_cli("lint", "formulas/trials/flours", cwd=kitchen).code == 0
    # whole wheat 10 to 30 and rye 5 to 20: the corners of what may be mixed are baked
    assert {"85 %", "55 %"} <= {bake["levels"]["bread flour"] for bake in trial["bakes"]}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (FLOURS[:1], "one ingredient alone blends with nothing"),
        ((FLOURS[0], "water=60..75"), "a blend of flours with something else would move the 100 %"),
        ((FLOURS[0], "bake at=220..240 °C"), "'bake at' is no ingredient"),
        (("bread flour=75..85", FLOURS[1], "whole wheat flour=21..30"), "together they are 100 % in the formula, and the ranges sum to 101 to"),
    ],
)  # fmt: skip
def test_what_does_not_blend_is_refused(kitchen: Path, words: tuple[str, ...], said: str) -> None:
    told = run_cli(*PLAN, *varied(*words), "--beyond-window", cwd=kitchen)
    assert (told.code, told.err.count("\n")) == (2, 1)
    assert said in told.err


def test_what_a_blend_showed(kitchen: Path) -> None:
    """Planted: rye makes the crumb worse by two points for ten percent, bakes slip by 0.3, and scores are rounded."""
    assert run_cli(*PLAN, *varied(*FLOURS), cwd=kitchen).code == 0
    trial = yaml.safe_load((kitchen / "formulas/trials/flours/trial.yaml").read_text("utf-8"))
    for at, bake in enumerate(trial["bakes"]):
        rye = float(bake["levels"]["medium rye flour"].split()[0])
        crumb = 8.5 - rye / 5 + 0.3 * (at % 3 - 1)
        scores = [word for taster, more in zip("ABC", (-0.4, 0, 0.4), strict=True) for word in ("--scores", f"{taster}: crumb={round(crumb + more)}")]  # fmt: skip
        name = f"formulas/trials/flours/{bake['formula']}"
        done = run_cli("bake", "new", name, "--baker", "R", "--verdict", "change", *scores, cwd=kitchen)  # fmt: skip
        assert done.code == 0, done.err
    told = run_cli("trial", "results", "formulas/trials/flours", cwd=kitchen)
    assert told.code == 0, told.err
    assert "That the blends differ at all is beyond chance" in told.out
    best = re.search(r"bread flour .*?, medium rye flour ([\d.]+) %, whole wheat flour", told.out)
    assert best
    assert float(best[1]) <= 6
    adopted = run_cli("trial", "adopt", "formulas/trials/flours", "--dry-run", cwd=kitchen)
    assert adopted.code == 0, adopted.err


def test_noise_among_blends_is_called_so_at_its_rate() -> None:
    """400 trials of blends without any effect: F says that they differ in 5 %, give or take three standard errors."""
    import numpy as np

    design = draw(
        [Factor("a", 0.2, 0.6), Factor("b", 0.1, 0.5), Factor("c", 0.1, 0.4)],
        bakes=14,
        days=2,
        model="blend",
        seed=2,
    )
    noise = np.random.default_rng(5)
    ps = []
    for _ in range(400):
        scores = {run.number: float(noise.normal(6, 1)) + run.day for run in design.runs}
        p = blends_differ(design, fit(design, scores))
        assert p is not None
        ps.append(p)
    assert sum(p <= 0.05 for p in ps) / 400 == pytest.approx(0.05, abs=0.033)
    asked = smallest_between(design, tasters=4, taster_spread=1.0, bake_spread=0.5)
    assert smallest_between(design, tasters=16, taster_spread=1.0, bake_spread=0.25) == pytest.approx(asked / 2)  # fmt: skip
