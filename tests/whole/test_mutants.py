"""What tools/maintain/mutate.py changes, and what is said to mean the same."""

from __future__ import annotations

import ast
import sys

from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))
from mutate import CORE, PACKAGE, changed, equivalent, modules_that_test, mutants_of

CHANGES = {
    "a < b": "a <= b", "a in b": "a not in b", "a + b": "a - b", "a and b": "a or b", "not a": "a",
    "b if a else c": "c if a else b", "True": "False", "1": "2", "0.5": "1.5",
}  # fmt: skip


def test_what_is_changed() -> None:
    for text, wanted in CHANGES.items():
        node = ast.parse(text, mode="eval").body
        assert [ast.unparse(new) for new in changed(node)] == [wanted]


def test_every_mutant_is_the_module_but_for_one_place() -> None:
    text = (PACKAGE / "balance" / "ratios.py").read_text(encoding="utf-8")
    plain = ast.unparse(ast.parse(text)).splitlines()
    mutants = list(mutants_of("balance/ratios"))
    assert len(mutants) > 50
    for mutant in mutants:
        lines = mutant.text.splitlines()
        assert len(lines) == len(plain)
        assert sum(a != b for a, b in zip(lines, plain, strict=True)) == 1, mutant.name


def test_the_core_is_there_and_has_tests() -> None:
    for module in CORE:
        near, rest = modules_that_test(module)
        assert near or rest, module


def test_what_is_said_to_mean_the_same_is_a_mutant() -> None:
    there = {mutant.name for module in CORE for mutant in mutants_of(module)}
    assert equivalent() <= there, sorted(equivalent() - there)
