"""What putting a formula in the house format takes: how often it is built, and which rules are asked."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

from perflour.documents.reader import read_document
from perflour.formula.formula import build_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen, kitchen_for
from perflour.lint.judging import context_of, told_by
from perflour.lint.rules.all_rules import RULES
from perflour.recipe.header import Header
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.request import ImportRequest, import_recipe
from perflour.recipe.to_formula import formula_file
from perflour.tidy.house_format import in_house_format
from tests.conftest import ROOT, formula_text, weigh_text
from tests.whole.test_architecture import loaded_by

KITCHEN = Kitchen(House(), built_in())
ASKED = {"listed-out-of-order", "temperature-in-one-scale"}


@contextmanager
def counted(*functions: Callable[..., Any]) -> Iterator[Counter[str]]:
    """How often functions are called inside, as the interpreter tells it."""
    names: dict[CodeType, str] = {function.__code__: function.__name__ for function in functions}
    calls: Counter[str] = Counter()

    def note(frame: FrameType, event: str, _: object) -> None:
        if event == "call" and frame.f_code in names:
            calls[names[frame.f_code]] += 1

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        yield calls
    finally:
        sys.setprofile(before)


def test_a_formula_in_the_house_format_is_read_and_built_once() -> None:
    path = ROOT / "formulas" / "rye-ginger-cookie" / "formula.yaml"
    content, kitchen = path.read_bytes(), kitchen_for(str(path))
    with counted(build_formula, read_document) as calls:
        done = in_house_format(content, str(path), kitchen)
    assert done.content == content
    assert calls["build_formula"] == 1
    with counted(read_document) as page:
        read_document(content, str(path))
    assert calls["read_document"] <= 1 + page["read_document"]


def test_one_that_is_not_is_built_twice_to_compare_what_was_made_of_it() -> None:
    text = formula_text("{amount: 100 grams, item: flour}")
    with counted(build_formula) as calls:
        done = in_house_format(text.encode(), "f", KITCHEN)
    assert b"{item: flour, amount: 100 g}" in done.content
    assert calls["build_formula"] == 2
    assert done.formula.parts[0].lines[0].amount.text == "100 g"


def test_an_imported_recipe_is_built_once_or_where_the_house_format_moves_something_twice() -> None:
    seen = set()
    for path in sorted((ROOT / "tests" / "published" / "text").glob("*.txt")):
        with counted(build_formula) as calls:
            made = import_recipe(str(path), ImportRequest(into=str(ROOT / "formulas")))
        kitchen = kitchen_for(str(ROOT / "formulas" / "x"))
        recipe = sorted_text(path.read_text(encoding="utf-8"), path.name)
        moved = formula_file(recipe, Header(), kitchen).text.encode() != made.content
        assert calls["build_formula"] == 1 + moved, path.name
        seen.add(moved)
    assert seen == {False, True}


def test_format_loads_the_two_rules_that_it_asks(tmp_path: Path) -> None:
    path = tmp_path / "formula.yaml"
    path.write_text(formula_text("{item: flour, amount: 100 g}"), encoding="utf-8")
    loaded = loaded_by("format", "--check", str(path))
    families = ("units", "ratios", "method", "house", "cautions")
    rules = {m.rsplit(".", 1)[1] for m in loaded if m.split(".")[:3] == ["perflour", "lint", "rules"] and len(m.split(".")) == 5 and m.split(".")[3] in families}  # fmt: skip
    assert {name.replace("_", "-") for name in rules} == ASKED


def test_rules_asked_by_themselves_say_what_a_whole_check_says() -> None:
    """With waivers and levels of the house: the two ways differ in nothing else."""
    from perflour.lint.check import check_balance

    waiver = "waivers:\n  - {rule: temperature-in-one-scale, because: one oven}\n"
    rules = [rule for rule in RULES if rule.id in ASKED]
    failing = [ROOT / "tests" / "rules" / rule / "fail.yaml" for rule in sorted(ASKED)]
    texts = [path.read_text(encoding="utf-8") for path in failing]
    seen = set()
    for text in (*texts, texts[1] + waiver):
        weighed = weigh_text(text)
        for levels in ({}, {"listed-out-of-order": "off"}, {"listed-out-of-order": "error"}):
            kitchen = Kitchen(House(temperatures="both", levels=levels), built_in())
            alone = set(told_by(rules, context_of(weighed, "f", kitchen)))
            whole = {r for r in check_balance(weighed, "f", kitchen) if r.rule in ASKED}
            assert alone == whole
            seen |= {(r.rule, r.level) for r in alone}
    assert {"listed-out-of-order", "temperature-in-one-scale"} == {rule for rule, _ in seen}
    assert ("listed-out-of-order", "error") in seen
