"""The names that scripts may rely on: lazy, few, taught, and each a step of what the command line does."""

from __future__ import annotations

import inspect
import re
import subprocess
import sys
from dataclasses import fields
from pathlib import Path

import pytest

import perflour
from perflour import api
from perflour.recipe.request import ImportRequest
from perflour.scale.request import ScaleRequest
from tests.conftest import ROOT, formula_text, git

LOAF = formula_text("{item: all-purpose flour, amount: 500 g}", "{item: salt, amount: 10 g}")


def test_import_loads_nothing() -> None:
    code = "import sys, perflour; print([m for m in sys.modules if m.startswith('perflour')])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "['perflour']\n"


def test_every_name_is_there_and_taught() -> None:
    page = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
    taught = set(re.findall(r"`(?:perflour\.)?(\w+)`", page)) & set(perflour.__all__)
    assert taught == set(perflour.__all__)
    assert set(dir(perflour)) == {*perflour.__all__, "__version__"}
    used = set(re.findall(r"\bperflour\.(\w+)", page)) - {"balance"}
    assert used <= set(perflour.__all__)
    for name in perflour.__all__:
        assert getattr(perflour, name).__doc__ or name == "Change"
    with pytest.raises(AttributeError, match="has no attribute 'recipes'"):
        perflour.recipes  # noqa: B018


def test_what_a_function_raises_is_said() -> None:
    for name in perflour.__all__:
        if inspect.isfunction(found := getattr(perflour, name)) and name != "kitchen_for":
            assert "Raises CannotRun" in (found.__doc__ or ""), name


def test_a_formula_is_given_by_path_folder_or_bytes(tmp_path: Path) -> None:
    path = tmp_path / "formula.yaml"
    path.write_text(LOAF)
    by_bytes = perflour.weigh(LOAF.encode())
    for given in (path, str(path), tmp_path):
        assert perflour.weigh(given).batch_g == by_bytes.batch_g == 510
    assert perflour.formatted(path) == perflour.formatted(LOAF.encode())
    with pytest.raises(perflour.CannotRun, match=r"nowhere\.yaml: cannot be read"):
        perflour.weigh("nowhere.yaml")
    with pytest.raises(perflour.FileProblem, match=r"formula\.yaml:1:1: the file has no `title`"):
        perflour.weigh(b"formula: x")


def test_differences_of_balances_files_and_revisions(
    repository: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(repository)
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    old, new = LOAF, LOAF.replace("10 g", "5 g")
    for at, text in enumerate((old, new)):
        (folder / "formula.yaml").write_text(text)
        (repository / f"{at}.yaml").write_text(text)
        git(repository, "add", "formulas")
        git(repository, "commit", "-qm", "One more")
    ways = [
        perflour.differences(perflour.weigh(old.encode()), new.encode()),
        perflour.differences("0.yaml", Path("1.yaml")),
        perflour.differences("HEAD~1", "HEAD", "formulas"),
    ]
    for (found,) in ways:
        assert [change.kind for change in found.changes] == [c.kind for c in ways[0][0].changes]
        # hand: 10 of 500 g is 2 %, 5 g is 1 %
        change = found.changes[0]
        assert (change.subject, change.before_percent, change.after_percent) == ("salt", 2, 1)
    assert perflour.differences(old.encode(), old.encode()) == []


def test_a_house_file_edited_between_two_calls_is_seen(tmp_path: Path) -> None:
    (tmp_path / "formula.yaml").write_text(LOAF)
    assert perflour.kitchen_for(str(tmp_path / "formula.yaml")).house.name == ""
    for name in ("One", "Two"):
        (tmp_path / "house.yaml").write_text(f"house: {name}\n")
        assert perflour.kitchen_for(str(tmp_path / "formula.yaml")).house.name == name


def test_the_rest_is_what_the_commands_do(
    repository: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(repository)
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (folder / "formula.yaml").write_text(LOAF.replace("item: salt", "item: sallt"))
    git(repository, "add", ".")
    git(repository, "commit", "-qm", "Start")
    assert "unknown-ingredient" in {result.rule for result in perflour.check()}
    assert perflour.rescaled(folder, times="2").after.batch_g == 1020
    assert [c.id for c in perflour.changelogs()] == ["trial"]
    assert [f.id for f in perflour.released("HEAD").formulas] == ["trial"]
    assert perflour.reviewed("HEAD..HEAD").formulas == ()
    text = repository / "recipe.txt"
    text.write_text(
        "Loaf\n\n500 g all-purpose flour\n10 g salt\n\nMix and bake at 200 C for 30 minutes.\n"
    )
    assert perflour.imported(text, title="A loaf").id == "a-loaf"
    assert perflour.imported(text, product_class="lean-dough", into=repository).content.count(
        b"class: lean-dough"
    )


@pytest.mark.parametrize(
    ("asked", "grams"),
    [  # hand: the loaf weighs 510 g, 500 g of it flour
        ({"times": 2}, 1020),
        ({"times": 0.5}, 255),
        ({"times": "1 1/2"}, 765),
        ({"pieces": 3, "each": "170 g"}, 510),
        ({"batch": "1.02 kg", "each": None}, 1020),
        ({"pans": "volume 1 l", "fill": 0.5, "density": 1.02}, 510),
        ({"have": "salt=5 g"}, 255),
        ({"have": ["salt=20 g", "all-purpose flour=500 g"]}, 510),
    ],
)
def test_a_request_takes_values_or_words(asked: dict[str, object], grams: float) -> None:
    assert perflour.rescaled(LOAF.encode(), **asked).after.batch_g == grams  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({}, "say what to scale to: times, batch, pieces, flour, pans, have"),
        ({"times": 0}, "times '0' is no number above zero; write one like 2.5 or 1/3"),
        ({"pieces": 2.5}, "pieces '2.5' is no whole number above zero; write one like 24"),
        ({"times": 2, "batch": "1 kg"}, "times and batch are two targets; say one"),
        ({"times": 2, "fill": 0.5}, "fill goes with pans; add it or leave it out"),
        ({"batch": 2000}, "batch '2000' is no mass; write it like `500 g` or `2 kg`"),
    ],
)
def test_a_request_that_cannot_be_met_says_its_field(
    asked: dict[str, object], message: str
) -> None:
    with pytest.raises(perflour.CannotRun) as told:
        perflour.rescaled(LOAF.encode(), **asked)  # type: ignore[arg-type]
    assert str(told.value) == message


def test_editors_see_every_field_of_a_request() -> None:
    assert list(api.Target.__annotations__) == [field.name for field in fields(ScaleRequest)]
    assert list(api.Beside.__annotations__) == list(ImportRequest._fields)
