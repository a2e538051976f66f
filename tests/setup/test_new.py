"""A new repository and new formulas: what is written is right, and nothing is written over.

The typical ratios are held against the reference file where the machine has it; its rows for these classes
are common practice, no source.
"""

from __future__ import annotations

import csv
import re
import shlex
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import yaml

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.balance.ratios import ratios
from perflour.documents.schema import SCHEMAS
from perflour.kitchen.house import kitchen_for
from perflour.setup.outline import outlines
from tests.conftest import GIT_ENVIRONMENT, ROOT, git, run_cli

CLASSES = sorted(outlines())


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("new") / "saltmarsh-lane"
    done = run_cli("new", "kitchen", str(folder), "--ci", "github", cwd=folder.parent)
    assert done.code == 0, done.err
    return folder


def weighed(path: Path) -> Balance:
    found = weigh_or_tell(path.read_bytes(), str(path), kitchen_for(str(path)))
    assert isinstance(found, Balance)
    return found


def test_a_new_kitchen_lists_what_it_wrote_and_is_clean(tmp_path: Path) -> None:
    done = run_cli("new", "kitchen", "lane", "--name", "Saltmarsh Lane", cwd=tmp_path)
    assert (done.code, done.err) == (0, "")
    listed = {line[6:] for line in done.out.splitlines() if line.startswith("wrote ")}
    folder = tmp_path / "lane"
    there = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    assert {p for p in there if not p.startswith(".git/")} == listed | {".gitattributes"}
    assert 'house: "Saltmarsh Lane"\n' in (folder / "formulas/house.yaml").read_text("utf-8")
    for command in (("lint",), ("git-setup", "--check")):
        assert run_cli(*command, cwd=folder).code == 0
    for name in ("formula", "house"):
        copy = (folder / "schema" / f"{name}.schema.json").read_bytes()
        assert copy == (Path(SCHEMAS) / f"{name}.schema.json").read_bytes()


def test_the_commands_it_names_are_ours(kitchen: Path) -> None:
    told = (kitchen / "README.md").read_text(encoding="utf-8").split("## Cautions")[0]
    told += run_cli("new", "kitchen", cwd=kitchen).out
    lines = re.findall(r"^ *perflour (.+?)(?: {2,}#.*)?$", told, re.MULTILINE)
    assert len(lines) >= 12
    for line in lines:
        words = shlex.split(line)
        asked = run_cli(*words[: 2 if words[0] in ("new", "bake") else 1], "--help", cwd=kitchen)
        assert asked.code == 0, line
        assert all(word in asked.out for word in words if word.startswith("--")), line


def test_editors_are_told_to_start_our_server(kitchen: Path) -> None:
    helix = tomllib.loads((kitchen / ".helix/languages.toml").read_text(encoding="utf-8"))
    server = helix["language-server"]["perflour"]
    assert server["command"] == "perflour"
    assert run_cli(*server["args"], "--help", cwd=kitchen).code == 0
    assert helix["language"][0]["language-servers"][0] == "perflour"
    assert "cmd = { 'perflour', 'editor' }" in (kitchen / ".nvim.lua").read_text(encoding="utf-8")


def test_a_second_run_keeps_every_file(tmp_path: Path) -> None:
    (tmp_path / "README.md").write_text("Ours.\n", encoding="utf-8")
    (tmp_path / ".gitlab-ci.yml").symlink_to("nowhere")
    first = run_cli("new", "kitchen", "--ci", "gitlab", cwd=tmp_path)
    assert "kept README.md, which was there\n" in first.out
    before = {p: p.read_bytes() for p in tmp_path.rglob("*.*") if p.is_file()}
    again = run_cli("new", "kitchen", "--ci", "gitlab", cwd=tmp_path)
    assert again.code == 0
    assert "wrote" not in again.out
    assert {p: p.read_bytes() for p in tmp_path.rglob("*.*") if p.is_file()} == before
    assert (tmp_path / "README.md").read_text(encoding="utf-8") == "Ours.\n"


@pytest.mark.parametrize(
    ("words", "error"),
    [
        (("kitchen", "--name", '"'), "cannot be the name of a kitchen"),
        (("kitchen", "taken"), "cannot be made"),
        (("formula", "!", "--class", "muffin"), "a formula needs a title"),
        (("formula", "X", "--class", "torte"), "'torte' has no outline; say --like with one of"),
        (("formula", "X", "--class", "muffin", "--each", "75 g", "--flour", "1 kg"), "--each goes with --pieces"),
        (("formula", "X", "--class", "muffin", "--pieces", "1.5"), "is no whole number above zero"),
        (("formula", "X", "--class", "muffin", "--batch", "2 cup"), "is no mass"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_one_line_and_writes_nothing(
    tmp_path: Path, words: tuple[str, ...], error: str
) -> None:
    (tmp_path / "taken").write_text("", encoding="utf-8")
    done = run_cli("new", *words, cwd=tmp_path)
    assert (done.code, done.out, done.err.count("\n")) == (2, "", 1), done.all
    assert error in done.err
    assert [p.name for p in tmp_path.iterdir()] == ["taken"]


def test_hooks_and_attributes_stand_at_the_top_or_nowhere(kitchen: Path) -> None:
    for name in ("formulas", "another/below"):
        done = run_cli("new", "kitchen", name, cwd=kitchen)
        assert (done.code, done.out) == (2, "")
        assert done.err == f"perflour: {name}: lies inside the repository {kitchen}; name its top folder, or one outside it\n"  # fmt: skip
    assert not (kitchen / "another").exists()


def test_the_hooks_run_in_the_new_kitchen(kitchen: Path, tmp_path: Path) -> None:
    script = tmp_path / "perflour"
    script.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m perflour "$@"\n', encoding="utf-8")
    script.chmod(0o755)
    environment = {**GIT_ENVIRONMENT, "PATH": f"{tmp_path}:{GIT_ENVIRONMENT['PATH']}"}
    environment["PRE_COMMIT_HOME"] = str(tmp_path / "home")
    broken = kitchen / "formulas" / "broken" / "formula.yaml"
    broken.parent.mkdir()
    broken.write_text("formula: broken\n", encoding="utf-8")
    codes = []
    for _ in range(2):
        git(kitchen, "add", "-A")
        words = [sys.executable, "-m", "pre_commit", "run", "--all-files"]
        done = subprocess.run(words, cwd=kitchen, env=environment, capture_output=True, check=False)
        codes.append(done.returncode)
        broken.unlink(missing_ok=True)
    assert codes == [1, 0], done.stdout.decode()


@pytest.mark.parametrize("host", ["github", "gitlab"])
def test_the_ci_file_is_the_one_of_the_docs(tmp_path: Path, host: str) -> None:
    run_cli("new", "kitchen", "--ci", host, cwd=tmp_path)
    name = {"github": ".github/workflows/formulas.yml", "gitlab": ".gitlab-ci.yml"}[host]
    written = (tmp_path / name).read_text(encoding="utf-8")
    page = (ROOT / "docs" / "ci" / f"{host}.yml").read_text(encoding="utf-8")
    assert yaml.safe_load(written) == yaml.safe_load(page)
    assert "Copy" not in written


@pytest.mark.parametrize("product_class", CLASSES)
def test_a_new_formula_passes_and_has_the_usual_ratios(kitchen: Path, product_class: str) -> None:
    made = run_cli(
        "new", "formula", f"Trial {product_class}", "--class", product_class, cwd=kitchen
    )
    path = kitchen / "formulas" / f"trial-{product_class}" / "formula.yaml"
    assert (made.code, made.out) == (0, f"{path.relative_to(kitchen)}\n"), made.err
    assert "This is no label" in made.err
    linted = run_cli("lint", str(path), cwd=kitchen)
    assert (linted.code, linted.out) == (0, "1 file read, nothing found\n")
    assert run_cli("format", "--check", str(path), cwd=kitchen).code == 0
    found, windows = ratios(weighed(path)), yaml.safe_load((kitchen / "formulas/house.yaml").read_text("utf-8"))["classes"][product_class]["windows"]  # fmt: skip
    for line in outlines()[product_class].lines:
        if line.ratio in windows:
            assert found[line.ratio].percent == pytest.approx(windows[line.ratio]["typical"], rel=0.03)  # fmt: skip


@pytest.mark.parametrize(
    ("words", "batch_g", "flour_g", "pieces"),
    [
        (("--pieces", "6", "--each", "80 g"), 480, None, 6),
        (("--pieces", "30"), 30 * 75, None, 30),
        (("--batch", "2 kg"), 2000, None, None),
        (("--flour", "500 g"), None, 500, None),
    ],
)
def test_a_new_formula_has_the_size_that_is_wanted(
    tmp_path: Path, words: tuple[str, ...], batch_g: float | None, flour_g: float | None, pieces: int | None
) -> None:  # fmt: skip
    assert run_cli("new", "formula", "Trial", "--class", "muffin", *words, cwd=tmp_path).code == 0
    found = weighed(tmp_path / "trial" / "formula.yaml")
    assert batch_g is None or found.batch_g == pytest.approx(
        batch_g, abs=4
    )  # seven lines, 1 g each
    assert flour_g is None or found.basis_g == pytest.approx(flour_g, abs=0.5)
    assert found.formula.yields
    assert pieces is None or found.formula.yields.pieces == pieces
    assert "wheat" in run_cli("contents", "trial", cwd=tmp_path).out


def test_a_formula_that_is_there_stays(tmp_path: Path) -> None:
    words = ("new", "formula", "Trial", "--class", "muffin")
    run_cli(*words, cwd=tmp_path)
    before = (tmp_path / "trial" / "formula.yaml").read_bytes()
    done = run_cli(*words, "--pieces", "6", cwd=tmp_path)
    message = "perflour: trial/formula.yaml: is there already; give the formula another title\n"
    assert (done.code, done.out, done.err) == (2, "", message)
    assert (tmp_path / "trial" / "formula.yaml").read_bytes() == before


def test_a_class_of_the_house_takes_another_outline(tmp_path: Path) -> None:
    house = "house: Saltmarsh Lane\nclasses:\n  tea-loaf:\n    windows:\n      sugar: {low: 20, high: 40}\n      egg: {low: 0, typical: 0, high: 0}\n"
    (tmp_path / "house.yaml").write_text(house, encoding="utf-8")
    words = ("new", "formula", "Trial", "--class", "tea-loaf")
    assert "--like" in run_cli(*words, cwd=tmp_path).err
    assert run_cli(*words, "--like", "loaf-cake", cwd=tmp_path).code == 0
    text = (tmp_path / "trial" / "formula.yaml").read_text(encoding="utf-8")
    assert "granulated sugar 30 %: house choice" in text
    assert "egg" not in text
    assert "class: tea-loaf" in text


#: Classes of the reference file that ours are called after.
SAME = {"lean-bread": "lean bread", "rolls": "rolls", "loaf-cake": "quick bread loaf", "muffin": "muffins", "pound-cake": "pound cake", "sponge-cake": "sponge cake", "drop-cookie": "cookies, drop", "rolled-cookie": "cookies, rolled and shortbread", "brownie": "brownies", "biscuit": "biscuits and scones", "pie-dough": "pie dough"}  # fmt: skip
SAME_RATIO = {"yeast instant": "yeast-instant", "baking powder": "baking-powder", "baking soda": "baking-soda", "milk or water": "liquid"}  # fmt: skip


def test_windows_and_outlines_agree_with_the_reference() -> None:
    house = (ROOT / "tools/perflour/data/kitchen/house.yaml").read_text(encoding="utf-8")
    classes = yaml.safe_load(house.replace("{{ kitchen }}", "x"))["classes"]
    assert set(classes) == set(SAME) == set(CLASSES)
    for name, entry in outlines().items():
        for line in (line for line in entry.lines if line.ratio in classes[name]["windows"]):
            assert line.percent == classes[name]["windows"][line.ratio]["typical"] * line.share
    with (ROOT / "tests/published/reference/ratio_windows.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    compared = 0
    for name, called in SAME.items():
        for row in (row for row in rows if row["product_class"] == called):
            ratio = SAME_RATIO.get(row["parameter"], row["parameter"])
            window = classes[name]["windows"].get(ratio)
            if window and row["provenance"] == "common-practice":
                low, typical, high = (float(row[c]) for c in ("low_pct", "typical_pct", "high_pct"))
                assert window["low"] <= low, (name, ratio)
                assert window["typical"] == typical, (name, ratio)
                assert high <= window["high"], (name, ratio)
                compared += 1
    assert compared >= 45
