"""One table of the kinds of file: all that cannot import it says the same, and a new row is enough for the rest."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest
import yaml

from perflour.system.file_kinds import ANY_NAME, BY_NAME, FILE_KINDS, FileKind, kind_of
from perflour.system.paths import CHANGELOG_FILE
from tests.conftest import GIT_ENVIRONMENT, ROOT, formula_text

HOOKS = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
OF_A_KITCHEN = ROOT / "tools" / "perflour" / "data" / "kitchen" / "pre-commit-config.yaml"

PLACES = {
    "formulas/oat-loaf/formula.yaml": "formula",
    "formulas/oat-loaf/bakes/2026-03-14-b.yaml": "bake",
    "formulas/sessions/2026-03-21.yaml": "session",
    "formulas/sessions/formula.yaml": "formula",  # a formula called sessions
    "formulas/trials/oat-loaf-1/trial.yaml": "trial",
    "formulas/trials/oat-loaf-1/oat-loaf-1-a/formula.yaml": "formula",
    "formulas/house.yaml": "house",
    "ingredients.yaml": "catalogue",
    "prices.yaml": "prices",
    "try.yaml": "formula",
    "formulas/bakes-of-june/notes.yaml": "formula",
}


@pytest.mark.parametrize("path", PLACES)
def test_name_and_folder_say_the_kind(path: str) -> None:
    assert kind_of(path) == PLACES[path]


def pattern(kinds: Iterable[FileKind], *more: str) -> str:
    """What pre-commit matches the files of some kinds with."""
    kinds = list(kinds)
    names = [kind.file.removesuffix(".yaml") for kind in kinds if not kind.folder]
    folders = [kind.folder for kind in kinds if kind.folder]
    found = [rf"{one_of(names)}\.yaml"] if names else []
    found += more
    found += [rf"{one_of(folders)}/[^/]+\.yaml"] if folders else []
    return f"(^|/){one_of(found)}$"


def one_of(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"({'|'.join(words)})"


def wanted(hook: str) -> str:
    """The pattern of a hook of ours."""
    if hook == "perflour-format":
        return pattern([BY_NAME["formula"]])
    if hook == "perflour-changelog-fresh":
        return pattern([BY_NAME["formula"], BY_NAME["bake"]], re.escape(CHANGELOG_FILE))
    if hook == "perflour-records-kept":
        return pattern(kind for kind in FILE_KINDS if kind.folder)
    return pattern(kind for kind in FILE_KINDS if kind.hook == hook)


@pytest.mark.parametrize("hook", HOOKS, ids=[hook["id"] for hook in HOOKS])
def test_hooks_for_other_repositories_run_on_the_kinds_of_the_table(hook: dict[str, str]) -> None:
    assert hook["files"] == wanted(hook["id"])


def test_every_kind_is_linted_by_a_hook_that_there_is() -> None:
    entries = {hook["id"]: hook["entry"] for hook in HOOKS}
    assert {entries[kind.hook] for kind in FILE_KINDS} == {"perflour lint --fail-at error --"}


def test_the_hooks_of_a_new_kitchen_run_on_the_kinds_of_the_table() -> None:
    """There one hook lints them all; the one in comments is read as if the # were taken away."""
    text = OF_A_KITCHEN.read_text(encoding="utf-8").replace("      # ", "      ")
    text = re.sub("^ *Take the.*\n", "", text, flags=re.MULTILINE)
    patterns = {h["id"]: h["files"] for h in yaml.safe_load(text)["repos"][0]["hooks"]}
    assert patterns.pop("perflour-lint") == pattern(FILE_KINDS)
    assert list(patterns) == [
        "perflour-format",
        "perflour-changelog-fresh",
        "perflour-records-kept",
    ]
    assert all(files == wanted(hook) for hook, files in patterns.items())


def test_every_schema_is_of_a_kind_or_of_what_show_prints() -> None:
    names = {path.name.removesuffix(".schema.json") for path in (ROOT / "schema").iterdir()}
    outputs = {"balance", "diff", "review", "release", "compare", "bakes", "judge", "changelog", "evidence", "why", "trial-plan", "trials", "find", "history", "middle", "trial-results"}  # fmt: skip
    assert names == {*BY_NAME, *outputs}


@pytest.mark.parametrize("kind", FILE_KINDS, ids=BY_NAME)
def test_docs_say_where_a_file_of_every_kind_stands(kind: FileKind) -> None:
    pages = [p for p in (ROOT / "docs").glob("*.md") if p.name != "reference.md"]
    texts = (re.sub(r"2026-\d\d-\d\d\.yaml", ANY_NAME, p.read_text("utf-8")) for p in pages)
    assert any(f"\n  {kind.stands} " in text for text in texts), kind.stands


# A kind that is not ours: how warm the ovens of a kitchen really are.
ROW = '    FileKind("oven", f"ovens/{ANY_NAME}", reader="perflour.records.oven:ovens_in"),\n'
SCHEMA = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "$id": "oven.schema.json",
    "title": "Oven log",
    "description": "How warm an oven was when it said it was warm.",
    "type": "object",
    "additionalProperties": False,
    "required": ["oven", "says", "is"],
    "properties": {"oven": {"type": "string"}, "says": {"type": "number"}, "is": {"type": "number"}},
}  # fmt: skip
READER = """
from types import SimpleNamespace

from perflour.documents.reader import read_document
from perflour.documents.schema import check_schema
from perflour.result import Result


def ovens_in(content, path, catalogue):
    document = read_document(content, path)
    results = check_schema(document, "oven")
    if not results and abs(document.data["says"] - document.data["is"]) > 15:
        results = (Result("oven-off", "warning", "the oven is off; set it", document.place("is")),)
    return SimpleNamespace(results=results)
"""


@pytest.fixture(scope="module")
def with_a_kind_more(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the package with a row, a schema and a reader of another kind, and its code written."""
    top = tmp_path_factory.mktemp("another-kind")
    ignored = shutil.ignore_patterns("__pycache__")
    for name in ("tools", "schema"):
        shutil.copytree(ROOT / name, top / name, ignore=ignored)
    table = top / "tools" / "perflour" / "system" / "file_kinds.py"
    text = table.read_text(encoding="utf-8")
    assert text.count("\n)\nBY_NAME") == 1
    table.write_text(text.replace("\n)\nBY_NAME", f"\n{ROW})\nBY_NAME"), encoding="utf-8")
    (top / "schema" / "oven.schema.json").write_text(json.dumps(SCHEMA), encoding="utf-8")
    reader = top / "tools" / "perflour" / "records" / "oven.py"
    reader.write_text(READER, encoding="utf-8")
    run(top, top, "tools/maintain/write_validators.py")
    return top


def run(top: Path, cwd: Path, *words: str) -> str:
    """What Python prints when it runs with the package of ``top``; 1 only says that something was found."""
    done = subprocess.run(
        [sys.executable, *words],
        cwd=cwd,
        env={**GIT_ENVIRONMENT, "PYTHONPATH": os.fspath(top / "tools")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    assert not done.stderr or done.stderr.startswith("Cautions\n"), done.stderr
    return done.stdout


def perflour(top: Path, cwd: Path, *words: str) -> str:
    return run(top, cwd, "-m", "perflour", *words)


def test_lint_finds_and_reads_files_of_a_kind_more(with_a_kind_more: Path, tmp_path: Path) -> None:
    formulas = tmp_path / "formulas"
    (formulas / "ovens").mkdir(parents=True)
    (formulas / "trial").mkdir()
    (formulas / "trial" / "formula.yaml").write_text(formula_text("{item: flour, amount: 1 kg}"))
    log = formulas / "ovens" / "2026-03-14.yaml"
    log.write_text("oven: deck\nsays: 230\nis: 208\n", encoding="utf-8")
    found = json.loads(perflour(with_a_kind_more, tmp_path, "lint", "--output", "json"))["results"]
    about = [(r["rule"], r["line"]) for r in found if r["path"] == "formulas/ovens/2026-03-14.yaml"]
    assert about == [("oven-off", 3)]
    log.write_text("oven: deck\nsays: warm\nis: 208\n", encoding="utf-8")
    told = perflour(with_a_kind_more, tmp_path, "lint", str(log))
    assert '2:7: error: `says` is "warm", but must be a number' in told
    shown = perflour(with_a_kind_more, tmp_path, "show", str(formulas))
    assert shown.startswith("Trial") and "deck" not in shown


def test_a_new_kitchen_holds_the_schema_of_a_kind_more(
    with_a_kind_more: Path, tmp_path: Path
) -> None:
    perflour(with_a_kind_more, tmp_path, "new", "kitchen", "lane")
    copies = {path.name for path in (tmp_path / "lane" / "schema").iterdir()}
    assert copies == {*(f"{name}.schema.json" for name in BY_NAME), "oven.schema.json"}
    assert json.loads((tmp_path / "lane/schema/oven.schema.json").read_text("utf-8")) == SCHEMA


def test_the_reference_tells_of_a_kind_more(with_a_kind_more: Path) -> None:
    page = run(
        with_a_kind_more,
        with_a_kind_more / "tools" / "maintain",
        "-c",
        "import write_reference; print(write_reference.page())",
    )
    assert f"\n## Oven log: `ovens/{ANY_NAME}`\n" in page
