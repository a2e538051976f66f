"""What `bake judge --output json` prints, by the real command line, against its schema."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from perflour.report.trials.judgement_data import FORMAT
from tests.conftest import ROOT, run_cli
from tests.trials.test_many_samples import answer, bake, drawn, kitchen, rank, score

__all__ = ["kitchen"]  # the fixture

SCHEMA = json.loads((ROOT / "schema" / "judge.schema.json").read_text(encoding="utf-8"))
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def valid(folder: Path, *words: str) -> dict[str, Any]:
    done = run_cli("bake", "judge", *words, "--output", "json", cwd=folder)
    assert done.code == 0, done.err
    data = json.loads(done.out, parse_constant=lambda name: pytest.fail(f"{name} is no JSON"))
    VALIDATOR.validate(data)
    assert isinstance(data, dict)
    return data


def test_the_schema_is_one_and_has_the_format_that_is_printed() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["properties"]["format"]["const"] == FORMAT
    for name, node in SCHEMA["$defs"].items():
        for example in node["examples"]:
            VALIDATOR.evolve(schema={**node, "$defs": SCHEMA["$defs"]}).validate(example)
        assert set(node["required"]) == set(node["properties"]), name
        assert all("description" in field for field in node["properties"].values() if "$ref" not in field)  # fmt: skip


def test_the_test_bakes_and_sessions_of_the_demo() -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    found = valid(ROOT, "formulas")
    assert found["formulas"] and len(found["sessions"]) >= 2


Change = Callable[[dict[str, Any]], object]
SCORES: dict[str, Callable[[int, int], float]] = {
    "alike": lambda at, n: 3 + 2 * at,
    "spread": lambda at, n: 5 + (at * (n + 2)) % 3,
}


@pytest.mark.parametrize("samples", [2, 3])
@pytest.mark.parametrize("tasters", [1, 2, 8])
@pytest.mark.parametrize("way", SCORES)
def test_scores(kitchen: Path, samples: int, tasters: int, way: str) -> None:
    codes, _ = drawn(kitchen, samples, tasters)
    (untasted,) = valid(kitchen, "formulas")["sessions"]
    assert untasted["summaries"] == []
    score(kitchen, {c: [SCORES[way](at, n) for n in range(tasters)] for at, c in enumerate(codes)})
    (session,) = valid(kitchen, "formulas")["sessions"]
    assert [len(one["samples"]) for one in session["summaries"]] == [samples]


@pytest.mark.parametrize("rows", [1, 2, 6])
@pytest.mark.parametrize("ranks", [[1, 2, 3], [2, 2, 2], [1, 2, 2]])
def test_ranks(kitchen: Path, rows: int, ranks: list[float]) -> None:
    codes, _ = drawn(kitchen, 3, rows, "--ask", "ranking", "--expect-order", "1,2,3")
    rank(kitchen, codes, [ranks] * rows)
    (session,) = valid(kitchen, "formulas")["sessions"]
    assert (session["ranking"]["page"] is None) == (rows == 1)


@pytest.mark.parametrize("ask", ["preference", "triangle", "duo-trio"])
def test_choices(kitchen: Path, ask: str) -> None:
    drawn(kitchen, 2, 3, "--ask", ask)
    text = (kitchen / "formulas/sessions/2026-03-21.yaml").read_text(encoding="utf-8")
    last = [line.split('"')[-2] for line in text.splitlines() if "serve:" in line]
    answer(kitchen, "choices", [f'taster: T{n}, code: "{code}"' for n, code in enumerate(last, 1)])
    assert bake(kitchen, "check").code == 0
    (session,) = valid(kitchen, "formulas")["sessions"]
    assert session["tally"]["test"]["tasters"] == 3


def test_the_schema_refuses_what_is_not_printed(kitchen: Path) -> None:
    codes, _ = drawn(kitchen, 3, 4)
    score(kitchen, {c: [5, 6, 7, 5 + at] for at, c in enumerate(codes)})
    found = valid(kitchen, "formulas")
    changes: list[Change] = [
        lambda data: data.update(format=FORMAT + 1),
        lambda data: data["sessions"][0].pop("ask"),
        lambda data: data["sessions"][0]["compared"][0]["gap"].update(p=2),
        lambda data: data["sessions"][0]["summaries"][0]["samples"][0].update(letters="a"),
    ]
    for change in changes:
        other = deepcopy(found)
        change(other)
        assert not VALIDATOR.is_valid(other)
