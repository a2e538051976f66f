"""Few caches, each with an owner: what a process remembers is listed here, and is never out of date."""

from __future__ import annotations

import ast
import os
import re
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from perflour.kitchen import catalogue
from perflour.kitchen.catalogue import Catalogue, built_in
from perflour.kitchen.house import Kitchens, kitchen_for
from perflour.lint.check import check_all
from perflour.system.files import YOUNG_NS, state_of
from perflour.system.without_numpy import without_numpy
from tests.conftest import ROOT, formula_text

PACKAGE = ROOT / "tools" / "perflour"

#: Every cache of the package: one more takes a reason beside it, and its line here.
CACHES = {
    "balance.balance._is_for_flour",
    "balance.ratios._counting",
    "cookbook.measures._spoonfuls",
    "diff.residual._reading_g",
    "documents.shipped._made",
    "formula.formula._canonical_amount",
    "formula.portions.taken",
    "formula.verbs.bakes",
    "formula.verbs.heats_oven",
    "kitchen.house._kitchen_at",
    "kitchen.names.fold",
    "kitchen.names.normal_name",
    "kitchen.numbers.number_of",
    "kitchen.numerals._before",
    "kitchen.quantity._similar_unit",
    "kitchen.quantity.parse_amount",
    "kitchen.quantity.parse_duration",
    "kitchen.quantity.parse_temperature",
    "kitchen.states.words_of",
    "kitchen.units.find_unit",
    "lint.ask.steps.words",
    "recipe.grammar.take_apart",
    "recipe.line_kinds.is_ingredient",
    "recipe.method.mentions.stem",
    "recipe.method.mentions.stems",
    "recipe.method.sentences.sentences",
    "recipe.nothing_lost.numerals",
    "recipe.words.phrases",
    "recipe.words.word_map",
    "recipe.words.word_set",
    "report.form.html_page._environment",
    "system.cache.house_digests.of",
    "tidy.house_format.spell_amount",
    "trials.blocks._reach",
}
#: What is kept by hand: by a catalogue for itself, by a run for the folders it looks into, by an editor's server.
KEPT_BY_HAND = {"editor.head": 1, "editor.session": 2, "kitchen.catalogue": 5, "kitchen.house": 1}
REASON = re.compile(
    r"# Owner[^:]*: .*\bBound: .*\bPays: |# Owner of the three: .*\bBound: .*\bpay: "
)


def cached_functions(node: ast.AST, name: str) -> Iterator[tuple[str, ast.FunctionDef]]:
    for inner in ast.iter_child_nodes(node):
        if not isinstance(inner, ast.FunctionDef | ast.ClassDef):
            continue
        inner_name = f"{name}.{inner.name}"
        if any(re.search(r"cache", ast.unparse(d)) for d in inner.decorator_list):
            assert isinstance(inner, ast.FunctionDef)
            yield inner_name, inner
        yield from cached_functions(inner, inner_name)


def trees() -> Iterator[tuple[str, str, ast.Module]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        yield (
            ".".join(path.relative_to(PACKAGE).with_suffix("").parts),
            text,
            ast.parse(text),
        )


def test_every_cache_is_on_the_list() -> None:
    found = {name for module, _, tree in trees() for name, _ in cached_functions(tree, module)}
    assert found == CACHES


def test_no_cache_is_made_in_another_way() -> None:
    """functools' caches are decorators alone, and every module that has a reason has what it is for."""
    for module, text, tree in trees():
        calls = [n for n in ast.walk(tree) if isinstance(n, ast.Name) and "cache" in n.id.lower()]
        decorators = sum("cache" in ast.unparse(d) for _, f in cached_functions(tree, module) for d in f.decorator_list)  # fmt: skip
        functools = [n for n in calls if n.id in ("cache", "lru_cache", "cached_property")]
        assert len(functools) == decorators, module
        assert not re.search(r"weakref|WeakKey|setdefault\(id\(", text), module


def test_every_cache_says_who_owns_it_what_bounds_it_and_why_it_pays() -> None:
    reasons = {}
    for module, text, tree in trees():
        lines = text.splitlines()
        for name, function in cached_functions(tree, module):
            at = function.decorator_list[0].lineno - 2
            comment = []
            while lines[at].lstrip().startswith("#"):
                comment.insert(0, lines[at].strip())
                at -= 1
            reasons[name] = " ".join(comment)
    shared = reasons["kitchen.quantity.parse_amount"]
    for name, reason in reasons.items():
        if name not in ("kitchen.quantity.parse_duration", "kitchen.quantity.parse_temperature"):
            assert REASON.search(reason), name
    assert "Owner of the three" in shared
    by_hand = {m: text.count("] = {}\n") for m, text, _ in trees() if "# Owner: this" in text or "# Owner: the run. Bound: folders above" in text}  # fmt: skip
    assert by_hand == KEPT_BY_HAND


def test_nothing_is_remembered_without_bound() -> None:
    """Only what ships with perflour is kept for good."""
    for module, _, tree in trees():
        for name, function in cached_functions(tree, module):
            told = ast.unparse(function.decorator_list[0])
            assert ("maxsize=" in told and "None" not in told) or name == "documents.shipped._made"


def test_a_catalogue_forgets_when_it_has_met_too_many_names(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(catalogue, "MOST_KEPT", 10)
    own = Catalogue(built_in().by_name, built_in().around, built_in().rows, {})
    for number in range(95):
        assert own.find(f"thing {number}") is None
        assert own.main_name(f"Thing  {number}") == f"thing {number}"
    assert len(own._looked_up) <= 10
    assert own.find("plain flour") == built_in().find("plain flour")


# -- house files edited between two calls in one process

HOUSE = "house: Saltmarsh Lane test kitchen\nscale-resolution: {}\n"
INGREDIENTS = """\
ingredients:
  - name: malted wheat flakes
    group: flour
    counts-as: flour
    measures:
      - {{per: cup, grams: {}, source: weighed here}}
"""


@pytest.fixture
def formula(tmp_path: Path) -> str:
    (tmp_path / ".git").mkdir()
    folder = tmp_path / "formulas" / "trial"
    folder.mkdir(parents=True)
    text = formula_text("{item: malted wheat flakes, amount: 1 cup}")
    (folder / "formula.yaml").write_text(text, encoding="utf-8")
    return str(folder / "formula.yaml")


def test_an_edit_within_one_tick_of_the_clock_is_seen(formula: str, tmp_path: Path) -> None:
    house = tmp_path / "formulas" / "house.yaml"
    for grams in (1, 2, 5, 1, 2):  # the same length, and often the same time
        house.write_text(HOUSE.format(grams), encoding="utf-8")
        assert kitchen_for(formula).house.scale_resolution_g == grams


def test_an_edit_that_keeps_size_and_time_is_seen(formula: str, tmp_path: Path) -> None:
    """As `touch -r` leaves it: the time of change and the bytes of a young file tell."""
    house = tmp_path / "formulas" / "house.yaml"
    for grams in (1, 2, 5):
        house.write_text(HOUSE.format(grams), encoding="utf-8")
        os.utime(house, ns=(10**18, 10**18))
        assert kitchen_for(formula).house.scale_resolution_g == grams


def test_house_files_that_come_and_go_are_seen(formula: str, tmp_path: Path) -> None:
    above, nearer = tmp_path / "house.yaml", tmp_path / "formulas" / "house.yaml"
    ingredients = tmp_path / "formulas" / "ingredients.yaml"
    assert kitchen_for(formula).house.name == ""
    above.write_text(HOUSE.format(2), encoding="utf-8")
    assert kitchen_for(formula).house.scale_resolution_g == 2
    nearer.write_text(HOUSE.format(5), encoding="utf-8")
    assert kitchen_for(formula).house.scale_resolution_g == 5
    assert kitchen_for(formula).catalogue.find("malted wheat flakes") is None
    for grams in (90, 95):
        ingredients.write_text(INGREDIENTS.format(grams), encoding="utf-8")
        found = kitchen_for(formula).catalogue.find("malted wheat flakes")
        assert found and found.measures[0].grams == grams
    ingredients.unlink()
    assert kitchen_for(formula).catalogue.find("malted wheat flakes") is None
    nearer.unlink()
    assert kitchen_for(formula).house.scale_resolution_g == 2
    above.unlink()
    assert kitchen_for(formula).house.name == ""


def test_lint_sees_what_was_edited_between_two_calls(formula: str, tmp_path: Path) -> None:
    """A mass that hung on the house's own cup, and the words about it, are worked out anew."""
    house = tmp_path / "formulas" / "house.yaml"
    ingredients = tmp_path / "formulas" / "ingredients.yaml"
    house.write_text(HOUSE.format(1), encoding="utf-8")
    said = []
    for text in (None, INGREDIENTS.format(95), "ingredients: none\n"):
        if text:
            ingredients.write_text(text, encoding="utf-8")
        (results,) = check_all([formula])
        said.append({result.rule for result in results})
    assert "unknown-ingredient" in said[0] and "unknown-ingredient" not in said[1]
    assert "not-as-schema" in said[2]


def test_unchanged_house_files_are_read_once(formula: str, tmp_path: Path) -> None:
    house = tmp_path / "formulas" / "house.yaml"
    house.write_text(HOUSE.format(1), encoding="utf-8")
    assert kitchen_for(formula) is kitchen_for(formula)
    shutil.copytree(Path(formula).parent, tmp_path / "formulas" / "other")
    other = str(tmp_path / "formulas" / "other" / "formula.yaml")
    assert kitchen_for(other) is kitchen_for(formula)


def test_one_run_sees_one_kitchen(formula: str, tmp_path: Path) -> None:
    """What is remembered of results is kept under the house files that the run began with."""
    house = tmp_path / "formulas" / "house.yaml"
    house.write_text(HOUSE.format(1), encoding="utf-8")
    run = Kitchens()
    before = run.of(formula)
    house.write_text(HOUSE.format(5), encoding="utf-8")
    assert run.of(formula) is before
    assert Kitchens().of(formula).house.scale_resolution_g == 5


def test_the_state_of_a_file(tmp_path: Path) -> None:
    """Of an old file no byte is read: the time of change, which no test can set, is given as young."""
    path = tmp_path / "house.yaml"
    assert state_of(str(path)) is None
    path.mkdir()
    assert state_of(str(path)) == (0, 0, 0, 0, b"")  # whoever reads it says that it is a folder
    path.rmdir()
    path.write_bytes(b"house: x\n")
    young = state_of(str(path))
    assert young and young[-1] == b"house: x\n" and young[2] == 9
    settled = state_of(str(ROOT / "pyproject.toml"))
    stat = os.stat(ROOT / "pyproject.toml")
    assert settled and settled[2:4] == (stat.st_size, stat.st_ino)
    assert YOUNG_NS >= 2_000_000_000  # FAT keeps times to two seconds


# -- numpy is hidden from one import, and from nobody else

SCRIPT = """
import sys
from perflour.release.house_changes import house_changes
assert list(house_changes({"house.yaml": b"house: A"}, {"house.yaml": b"house: B"}))
assert "deepdiff" in sys.modules
assert "numpy" not in sys.modules  # neither the module nor None
import numpy
assert numpy.arange(3).sum() == 3
"""


def test_numpy_is_there_for_whoever_imports_it_later() -> None:
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        env={**os.environ, "PYTHONPATH": str(ROOT / "tools")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


THREADS = """
import sys, threading
from perflour.system.without_numpy import without_numpy
with without_numpy():
    try:
        import numpy
    except ImportError:
        pass
    else:
        raise SystemExit("numpy was not hidden")
    found = []
    other = threading.Thread(target=lambda: found.append(__import__("numpy").__name__))
    other.start()
    other.join()
    assert found == ["numpy"], "hidden from another thread"
import numpy
"""


def test_numpy_is_hidden_from_one_thread_alone() -> None:
    done = subprocess.run(
        [sys.executable, "-c", THREADS],
        env={**os.environ, "PYTHONPATH": str(ROOT / "tools")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


def test_nothing_is_left_behind_even_by_a_failure() -> None:
    before = list(sys.meta_path)
    with pytest.raises(ZeroDivisionError), without_numpy():
        raise ZeroDivisionError
    assert sys.meta_path == before
    assert sys.modules.get("numpy", threading) is not None
