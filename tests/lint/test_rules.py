"""Every rule against its examples in tests/rules/, its identity, its level and its waivers."""

from __future__ import annotations

import re
import sys
from importlib import import_module
from pathlib import Path

import pytest

from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen, kitchen_for
from perflour.lint.check import check_content
from perflour.lint.rule import Rule
from perflour.lint.rules.all_rules import RULES
from perflour.result import LEVELS, Result
from tests.conftest import ROOT, formula_text

EXAMPLES = ROOT / "tests" / "rules"
# These rules look at the folder of a file, so their examples lie in folders of their own.
IN_FOLDERS = {
    "approved-without-bakes": ("fail/oat-cookie/formula.yaml", "pass/oat-cookie/formula.yaml"),
    "changelog-behind": ("fail/oat-cookie/formula.yaml", "pass/oat-cookie/formula.yaml"),
    "tested-only-at-altitude": (
        "fail/honey-oat-cookie/formula.yaml",
        "pass/honey-oat-cookie/formula.yaml",
    ),
    "id-not-folder": ("fail/wrong-folder/formula.yaml", "pass/right-folder/formula.yaml"),
}

each_rule = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)


def failing(rule: Rule) -> Path:
    return EXAMPLES / rule.id / IN_FOLDERS.get(rule.id, ("fail.yaml", ""))[0]


def passing(rule: Rule) -> Path:
    return EXAMPLES / rule.id / IN_FOLDERS.get(rule.id, ("", "pass.yaml"))[1]


def lint(path: Path, kitchen: Kitchen | None = None, more: str = "") -> tuple[Result, ...]:
    """The results of an example with ``more`` text at its end, so that no place moves."""
    content = path.read_bytes() + more.encode()
    return check_content(content, str(path), kitchen or kitchen_for(str(path)))


def kitchen_with(rule: Rule, level: str) -> Kitchen:
    """The kitchen of the examples, with the level of one rule changed."""
    kitchen = kitchen_for(str(failing(rule)))
    return kitchen._replace(house=kitchen.house._replace(levels={rule.id: level}))


@pytest.mark.parametrize("rule", [r for r in RULES if r.parameters], ids=lambda rule: rule.id)
def test_a_house_sets_the_parameters_of_a_rule(rule: Rule) -> None:
    """With limits that nothing reaches, the failing example has nothing of this rule to say."""
    kitchen = kitchen_for(str(failing(rule)))
    wide = {
        n: 0.0 if n.endswith("least") else v if "-per-" in n else 1e9
        for n, v in rule.parameters.items()
    }
    house = kitchen.house._replace(limits={rule.id: wide})
    assert rule.id not in {r.rule for r in lint(failing(rule), kitchen._replace(house=house))}


def waiver(rule: str) -> str:
    return f"waivers:\n  - {{rule: {rule}, because: an example}}\n"


def without(results: tuple[Result, ...], rule: Rule) -> tuple[Result, ...]:
    return tuple(result for result in results if result.rule != rule.id)


def as_lines(results: tuple[Result, ...]) -> str:
    return "".join(
        f"{r.place.line}:{r.place.column} {r.level} {r.message} [{r.rule}]\n" for r in results
    )


def test_every_rule_has_its_examples() -> None:
    needed = [
        path
        for rule in RULES
        for path in (failing(rule), passing(rule), EXAMPLES / rule.id / "expected.txt")
    ]
    missing = [str(path.relative_to(ROOT)) for path in needed if not path.is_file()]
    assert missing == [], f"write the missing examples: {', '.join(missing)}"


def test_no_examples_without_a_rule() -> None:
    folders = {path.name for path in EXAMPLES.iterdir() if path.is_dir()}
    assert folders - {rule.id for rule in RULES} == set()


def test_every_rule_module_is_listed() -> None:
    listed = {sys.modules[rule.check.__module__].__file__ for rule in RULES}
    modules = (ROOT / "tools" / "perflour" / "lint" / "rules").rglob("*.py")
    assert listed == {str(path) for path in modules if "\nRULE = Rule(" in path.read_text()}


def test_the_kitchen_of_the_examples_is_valid() -> None:
    assert kitchen_for(str(EXAMPLES / "formula.yaml")).results == ()


@each_rule
def test_failing_example_gives_exactly_what_is_expected(rule: Rule) -> None:
    results = lint(failing(rule))
    assert as_lines(results) == (EXAMPLES / rule.id / "expected.txt").read_text()
    assert (rule.id, rule.level) in {(result.rule, result.level) for result in results}


@each_rule
def test_passing_example_gives_nothing(rule: Rule) -> None:
    assert as_lines(lint(passing(rule))) == ""


@each_rule
def test_switched_off_takes_away_its_results_alone(rule: Rule) -> None:
    found = lint(failing(rule), kitchen_with(rule, "off"))
    assert found == without(lint(failing(rule)), rule)


@each_rule
def test_the_house_sets_the_level(rule: Rule) -> None:
    found = lint(failing(rule), kitchen_with(rule, "note"))
    assert {result.level for result in found if result.rule == rule.id} == {"note"}
    assert without(found, rule) == without(lint(failing(rule)), rule)


@each_rule
def test_a_waiver_takes_away_its_results_alone(rule: Rule) -> None:
    found = lint(failing(rule), more=waiver(rule.id))
    assert found == without(lint(failing(rule)), rule)


@each_rule
def test_a_waiver_that_covers_nothing_is_told(rule: Rule) -> None:
    told = [(r.rule, r.message) for r in lint(passing(rule), more=waiver(rule.id))]
    message = f"the waiver of {rule.id} covers nothing any more; remove it"
    assert told == [("waiver-not-needed", message)]


def test_a_waiver_for_one_item_leaves_the_others() -> None:
    rule = next(rule for rule in RULES if rule.id == "volume-in-approved")
    for_item = "waivers:\n  - {{rule: volume-in-approved, item: {}, because: an example}}\n"
    assert lint(failing(rule), more=for_item.format("rolled oats")) == ()
    told = {result.rule for result in lint(failing(rule), more=for_item.format("honey"))}
    assert told == {"volume-in-approved", "waiver-not-needed"}


def test_a_waiver_of_an_unknown_rule_is_told() -> None:
    told = [(r.rule, r.message) for r in lint(passing(RULES[0]), more=waiver("no-such-rule"))]
    message = "there is no rule 'no-such-rule' to waive; check its name"
    assert told == [("waiver-of-unknown-rule", message)]


def test_a_house_asks_approved_formulas_for_their_allergens() -> None:
    path = EXAMPLES / "volume-in-approved" / "pass.yaml"
    kitchen = kitchen_for(str(path))
    asking = kitchen._replace(house=kitchen.house._replace(declare_allergens=True))
    told = [r.subject for r in lint(path, asking) if r.rule == "allergen-not-declared"]
    assert told == ["cereals containing gluten", "eggs", "milk", "wheat"]
    declared = "allergens: [wheat, oats, eggs, milk]\n"
    assert lint(path, asking, more=declared) == ()


OATS = "rolled oats in a formula called gluten-free: oats often carry wheat and are a gluten cereal in EU law; take oats sold as gluten-free and say so in `state`, and go by the label and the local law"


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("{item: rolled oats, amount: 20 g}", [OATS]),
        ("{item: rolled oats, amount: 20 g, state: gluten-free}", []),
        ("{item: rye flour, amount: 20 g}", ["rye flour brings gluten into a formula called gluten-free; change the ingredient or take the claim away, and go by the label and the local law"]),
    ],
)  # fmt: skip
def test_oats_in_what_is_called_gluten_free_are_told_of_as_oats(line: str, told: list[str]) -> None:
    """Regulation (EU) No 1169/2011, annex II, lists oats; that they often carry wheat is common knowledge of the trade."""
    text = formula_text("{item: white rice flour, amount: 200 g}", line).replace(
        "title: Trial", "title: Trial without gluten"
    )
    found = check_content(text.encode(), "a.yaml", Kitchen(House(), built_in()))
    assert [r.message for r in found if r.rule == "gluten-claim-with-gluten"] == told


def test_standard_input_is_not_asked_for_bakes() -> None:
    path = EXAMPLES / "approved-without-bakes" / "fail" / "oat-cookie" / "formula.yaml"
    assert check_content(path.read_bytes(), "<stdin>", kitchen_for(str(path))) == ()


def as_reference(rule: Rule) -> tuple[Result, ...]:
    """The results of a failing example, were it of status reference and its source said."""
    path = failing(rule)
    content = re.sub(rb"(?m)^status: \w+$", b"status: reference", path.read_bytes())
    source = b"" if b"\ncitation:" in content else b"citation: an example\n"
    return check_content(content + source, str(path), kitchen_for(str(path)))


@pytest.mark.parametrize(
    "rule", [r for r in RULES if r.id != "reference-without-source"], ids=lambda rule: rule.id
)
def test_references_are_asked_what_is_not_of_the_house_alone(rule: Rule) -> None:
    def of_rule(results: tuple[Result, ...]) -> list[Result]:
        return [result for result in results if result.rule == rule.id]

    wanted = [] if rule.house_only else of_rule(lint(failing(rule)))
    assert of_rule(as_reference(rule)) == wanted


REFERENCE = formula_text("{item: flour, amount: 1 cup}").replace(
    "status: draft", "status: reference"
)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("citation: Old notebook\n", []),
        ("citation: Old notebook\norigin: adapted\n", []),
        ("", ["a reference, but no `citation` says whose it is; add author, work and year"]),
        ("citation: ' '\n", ["a reference, but no `citation` says whose it is; add author, work and year"]),
        (
            "citation: Old notebook\norigin: own\n",
            ["a reference is somebody else's, yet `origin` is own; take `origin` away, or set the status to draft"],
        ),
    ],
)  # fmt: skip
def test_a_reference_says_whose_it_is(more: str, told: list[str]) -> None:
    results = check_content((REFERENCE + more).encode(), "a.yaml", Kitchen(House(), built_in()))
    assert [r.message for r in results if r.rule == "reference-without-source"] == told


def test_a_waiver_for_the_day_of_approval_is_needless_in_a_reference() -> None:
    more = "citation: Old notebook\nwaivers: [{rule: volume-in-approved, because: home readers}]\n"
    told = check_content((REFERENCE + more).encode(), "a.yaml", Kitchen(House(), built_in()))
    assert [r.message for r in told if r.rule == "waiver-not-needed"] == [
        "the waiver of volume-in-approved covers nothing any more; remove it"
    ]


@each_rule
def test_identity(rule: Rule) -> None:
    module = import_module(rule.check.__module__)
    assert rule.id == module.__name__.rpartition(".")[2].replace("_", "-")
    assert rule.text == module.__doc__
    assert rule.headline.endswith(".")
    assert rule.source.strip() and rule.family.strip()
    assert rule.level in LEVELS


def test_a_waiver_for_the_day_of_approval_is_needed() -> None:
    """A draft may waive what is asked of approved formulas only; a needless waiver is told."""
    text = formula_text("{item: flour, amount: 1 cup}", "{item: salt, amount: 2 g}")
    waiver = "{{rule: volume-in-approved, item: {}, because: home readers}}"
    text += f"waivers: [{waiver.format('flour')}, {waiver.format('salt')}]\n"
    told = check_content(text.encode(), "a.yaml", Kitchen(House(), built_in()))
    needless = [r.message for r in told if r.rule == "waiver-not-needed"]
    assert needless == [
        "the waiver of volume-in-approved for salt covers nothing any more; remove it"
    ]


def test_a_waiver_of_a_rule_that_is_off_is_needless_in_a_draft_too() -> None:
    text = formula_text("{item: flour, amount: 1 cup}", "{item: salt, amount: 2 g}")
    text += "waivers: [{rule: volume-in-approved, item: flour, because: home readers}]\n"
    off = House(levels={"volume-in-approved": "off"})
    told = check_content(text.encode(), "a.yaml", Kitchen(off, built_in()))
    assert [r.message for r in told if r.rule == "waiver-not-needed"] == [
        "the waiver of volume-in-approved for flour covers nothing any more; remove it"
    ]


def test_two_names_of_one_fat_in_a_step_are_told_once() -> None:
    step = "[{do: cream, uses: [butter, unsalted butter], for: 3 min}]"
    lines = ("{item: flour, amount: 100 g}", "{item: butter, amount: 90 g, state: melted}")
    told = check_content(
        formula_text(*lines, method=step).encode(), "a.yaml", Kitchen(House(), built_in())
    )
    assert [r.rule for r in told].count("butter-state-unfit") == 1
