"""Known results are left out, new ones are not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.conftest import formula_text, run_cli

OLD = formula_text("{item: flouur, amount: 100 g}", "{item: watr, amount: 60 g}")


def test_a_baseline_hides_what_is_known_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_text(OLD, encoding="utf-8")
    assert run_cli("lint", "f.yaml", cwd=tmp_path).code == 1
    written = run_cli("lint", "f.yaml", "--write-baseline", "known.json", cwd=tmp_path)
    assert (written.code, written.all) == (0, "")
    known = run_cli("lint", "f.yaml", "--baseline", "known.json", cwd=tmp_path)
    assert (known.code, known.out) == (0, "1 file read, nothing found\n")

    path.write_text("# one line further down\n" + OLD.replace("60 g", "61 g"), encoding="utf-8")
    assert run_cli("lint", "f.yaml", "--baseline", "known.json", cwd=tmp_path).code == 0

    path.write_text(
        OLD.replace("method", "      - {item: watr, amount: 5 g}\nmethod"), encoding="utf-8"
    )
    again = run_cli("lint", "f.yaml", "--baseline", "known.json", "--output", "json", cwd=tmp_path)
    assert [r["line"] for r in json.loads(again.out)["results"]] == [10]  # the second of a kind


def test_a_baseline_is_the_same_bytes_for_the_same_results(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(OLD, encoding="utf-8")
    for name in ("a.json", "b.json"):
        run_cli("lint", "f.yaml", "--write-baseline", name, cwd=tmp_path)
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()


@pytest.mark.parametrize(
    "content", ["", "{", "[]", "{}", '{"known": [1]}', '{"known": [{"path": "f"}]}']
)
def test_what_is_no_baseline_is_refused(content: str, tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(OLD, encoding="utf-8")
    (tmp_path / "known.json").write_text(content, encoding="utf-8")
    outcome = run_cli("lint", "f.yaml", "--baseline", "known.json", cwd=tmp_path)
    assert (outcome.code, outcome.err) == (
        2,
        "perflour: known.json: is no baseline; write it with --write-baseline\n",
    )


def test_a_baseline_that_is_not_there(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(OLD, encoding="utf-8")
    outcome = run_cli("lint", "f.yaml", "--baseline", "none.json", cwd=tmp_path)
    assert (outcome.code, outcome.err) == (
        2,
        "perflour: none.json: cannot be read (No such file or directory); write it with --write-baseline\n",
    )
    outcome = run_cli("lint", "f.yaml", "--write-baseline", "no/folder.json", cwd=tmp_path)
    assert (outcome.code, outcome.err) == (
        2,
        "perflour: no/folder.json: cannot be written (No such file or directory); check the folder\n",
    )
