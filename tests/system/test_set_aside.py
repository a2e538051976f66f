"""Variants of planned trials: passed by where all formulas are meant, read where they are named."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from perflour.system.files import named_paths
from perflour.system.paths import asked_for

FILES = (
    "formulas/oat-loaf/formula.yaml",
    "formulas/trials/oat-loaf-1/trial.yaml",
    "formulas/trials/oat-loaf-1/oat-loaf-1-a/formula.yaml",
    "formulas/trials/oat-loaf-1/oat-loaf-1-a/bakes/2026-03-14.yaml",
    "formulas/trials/seed-loaf/formula.yaml",  # a folder of somebody's own that is called so
    "formulas/trials/seed-loaf/bakes/2026-03-14.yaml",
    "trials/a/b/formula.yaml",
)
SET_ASIDE = {FILES[2], FILES[3], FILES[6]}
#: By what is named: what of these files is left out.
NAMED = {
    ".": SET_ASIDE,
    "formulas": {FILES[2], FILES[3]},
    "formulas/trials": set[str](),
    "formulas/trials/oat-loaf-1": set[str](),
    "formulas/trials/oat-loaf-1/oat-loaf-1-a": set[str](),
    FILES[2]: set[str](),
    "trials": set[str](),
}


@pytest.mark.parametrize("name", NAMED)
def test_variants_are_there_where_they_are_named(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for file in FILES:
        (tmp_path / file).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / file).touch()
    monkeypatch.chdir(tmp_path)

    def below(paths: set[str]) -> set[str]:
        return {p for p in paths if name in (".", p) or p.startswith(f"{name}/")}

    found = {os.path.relpath(path) for path in named_paths([name])}
    assert found == below(set(FILES) - NAMED[name])
    assert {p for p in FILES if asked_for(p, [name])} == found
    assert {os.path.relpath(p) for p in named_paths([name], variants=True)} == below(set(FILES))
