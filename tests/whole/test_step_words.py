"""One list of what verbs mean, one answer to what heats an oven, one temperature where ovens begin.

What verbs mean is common practice, no source.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.bakeday.work import job_of
from perflour.cookbook.steps.step_text import method_sentences
from perflour.diff.importance import COOL_CELSIUS, OVEN_CELSIUS, by_degrees
from perflour.documents.reader import read_document
from perflour.formula import verbs
from perflour.formula.verbs import heats_oven, oven_phrases
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.kitchen.quantity import OVEN_FROM_CELSIUS, as_other_scale, parse_temperature
from perflour.lint.check import check_content
from perflour.recipe.header import Header
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.to_formula import formula_file
from perflour.recipe.words import word_set
from perflour.release.for_readers import breaking_changes
from tests.conftest import formula_text, weigh_text
from tests.whole.test_architecture import modules

KITCHEN = Kitchen(House(), built_in())
VERBS = frozenset(verbs._MEANING)
LINES = ("{item: all-purpose flour, amount: 300 g}", "{item: butter, amount: 100 g}")

# --- verbs -------------------------------------------------------------------------------------


def test_every_meaning_of_a_row_is_asked_for() -> None:
    assert verbs._VERBS == {}  # each set takes its own out


def test_import_knows_every_verb_that_is_no_noun_first() -> None:
    known = {phrase.split()[0] for phrase in word_set("verbs")}
    assert VERBS - known == {"fire", "light", "paper", "water"}


def told(rule: str, *steps: str, lines: tuple[str, ...] = LINES, extra: str = "") -> bool:
    """Whether a rule says something of a method."""
    method = "\n" + "".join(f"  - {step}\n" for step in steps)
    text = formula_text(*lines, method=method, extra=extra)
    return any(r.rule == rule for r in check_content(text.encode(), "formula.yaml", KITCHEN))


BAKE = "{do: bake, at: 180 °C (355 °F), for: 30 min, until: brown}"
# Rule, steps, and a verb that each of its former lists lacked, though it means the same.
NOW_KNOWN = [
    ("no-cooling", (BAKE, "{do: VERB, for: 2 h}"), ("refrigerate", "freeze", "retard"), "slash"),
    ("hot-sugar", ("{do: VERB, uses: [granulated sugar], to: 160 °C (320 °F)}",), ("sift",), "melt"),
    ("butter-state-unfit", ("{do: VERB, uses: [butter]}", "{do: cream, uses: [butter], for: 3 min}"), ("rest", "hold", "warm"), "weigh"),
    ("portions-do-not-add-up", ("{do: VERB, uses: [60 g of butter]}", "{do: add, uses: [60 g of butter]}", "{do: mix, uses: [rest of butter]}"), ("grate", "chop", "melt"), "cream"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "steps", "quiet", "loud"), NOW_KNOWN, ids=[r[0] for r in NOW_KNOWN])  # fmt: skip
def test_verbs_of_one_meaning_count_alike(
    rule: str, steps: tuple[str, ...], quiet: tuple[str, ...], loud: str
) -> None:
    lines = ("{item: all-purpose flour, amount: 300 g}", "{item: butter, amount: 100 g, state: cold}", "{item: granulated sugar, amount: 50 g}")  # fmt: skip
    said = {verb: told(rule, *(s.replace("VERB", verb) for s in steps), lines=lines) for verb in (*quiet, loud)}  # fmt: skip
    assert said == {**dict.fromkeys(quiet, False), loud: True}


# --- what heats an oven ------------------------------------------------------------------------

HEATING = [*oven_phrases(), "preheat", "Preheat oven", "pre-heat the oven", "heat the oven", "Heat up the oven",
           "set the oven", "turn the oven on", "turn on the ovens", "light an oven", "heat the oven, both racks in it"]  # fmt: skip
NOT_HEATING = ["heat", "heat the milk", "heat in the oven", "turn off the oven", "turn the oven off", "turn the oven down",
               "turn out", "set", "set aside", "set in the oven", "light", "dry in the oven", "open the oven", "leave the oven"]  # fmt: skip


def heard(do: str) -> list[bool]:
    """Whether rule, bake day, release log and a step itself take a step for heating the oven."""
    first = f"{{do: '{do}', to: 200 °C (390 °F)}}"
    method = f"[{first}, {BAKE}]"
    formula = weigh_text(formula_text(*LINES, method=method))
    hotter = weigh_text(formula_text(*LINES, method=method.replace("200 °C (390", "210 °C (410")))
    tasks = job_of(formula.formula).tasks
    return [
        not told("oven-not-preheated", first, BAKE),
        tasks[0].kind == "bake" and tasks[0].oven is not None and tasks[0].oven.heat_to_celsius == 200,
        any(change.kind == "temperature" for change in breaking_changes(formula, hotter)),
        formula.formula.method[0].heats_oven,
    ]  # fmt: skip


@pytest.mark.parametrize("do", HEATING)
def test_all_hear_that_the_oven_is_heated(do: str) -> None:
    assert heats_oven(do)
    assert all(heard(do))


@pytest.mark.parametrize("do", NOT_HEATING)
def test_none_hears_an_oven_where_none_is_heated(do: str) -> None:
    assert not heats_oven(do)
    assert not any(heard(do))


@pytest.mark.parametrize("do", [*oven_phrases(), "preheat"])
def test_import_and_cookbook_hear_it_too(do: str) -> None:
    text = f"Trial\n\n300 g all-purpose flour\n\nMethod\n1. {do.capitalize()} to 200 °C.\n"
    file = formula_file(sorted_text(text, "slip.txt"), Header(), KITCHEN).text
    assert read_document(file.encode(), "formula.yaml").data["method"] == [{"do": do, "to": "200 °C"}]  # fmt: skip
    formula = weigh_text(file).formula
    (sentence,) = method_sentences(formula)
    assert sentence.lower().startswith("preheat the oven" if " " not in do else do)


# --- where ovens begin -------------------------------------------------------------------------


@given(st.integers(60, 260))
def test_all_take_one_temperature_for_the_coolest_oven(celsius: int) -> None:
    """An oven's number is marked in fives, its move counts by 15 °C, and it is no core."""
    is_oven = celsius >= OVEN_FROM_CELSIUS
    fahrenheit = int(as_other_scale(parse_temperature(f"{celsius} °C")).removesuffix(" °F"))
    exact = celsius * 9 / 5 + 32
    assert abs(fahrenheit - exact) <= (2.5 if is_oven else 0.5)
    assert fahrenheit % 5 == 0 or not is_oven
    assert by_degrees(celsius, celsius - 3) == 3 / (OVEN_CELSIUS if is_oven else COOL_CELSIUS)
    text = f"Trial\n\n300 g flour\n\nMethod\n1. Bake to {celsius} °C.\n"
    file = formula_file(sorted_text(text, "slip.txt"), Header(), KITCHEN).text
    (step,) = read_document(file.encode(), "formula.yaml").data["method"]
    assert step["at" if is_oven else "core"] == f"{celsius} °C"


def test_a_crumb_is_below_and_the_coolest_printed_oven_above() -> None:
    """Water boils at 100 °C (SI); a very slow oven is 250 °F in printed tables: common practice."""
    assert 100 < OVEN_FROM_CELSIUS <= (250 - 32) * 5 / 9


# --- nowhere else a list -----------------------------------------------------------------------

#: Names of ingredients, of their groups and of our commands that are verbs as well.
NAMES = {
    "butter",
    "cream",
    "flour",
    "oil",
    "water",
    "bake",
    "scale",
    "paper",
    "line",
    "form",
    "state",
}


def texts(nodes: list[ast.expr]) -> list[str]:
    return [n.value.lower().strip() for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, str)]  # fmt: skip


def listed(node: ast.AST) -> list[str]:
    """The texts of a list of any kind, or the alternatives of a pattern."""
    if isinstance(node, ast.Dict):
        return texts([key for key in node.keys if key])
    if isinstance(node, ast.Tuple | ast.List | ast.Set):
        return texts(list(node.elts))
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and "|" in node.value:
        return node.value.lower().replace("(", "|").replace(")", "|").replace("?:", "").split("|")
    return []


def is_oven_word(text: str) -> bool:
    return bool(text) and heats_oven(text) and len(text.split()) < 5 and "{" not in text


def lists_of_verbs(source: str) -> Iterator[tuple[int, list[str]]]:
    """Lists of verbs in a module, and every text that it holds against what heats an oven."""
    for node in ast.walk(ast.parse(source)):
        said = listed(node)
        found = [w for w in said if w in VERBS - NAMES or is_oven_word(w)]
        if len(found) > 1:
            yield getattr(node, "lineno", 0), found
        if isinstance(node, ast.Compare) and any(
            map(is_oven_word, texts([node.left, *node.comparators]))
        ):
            yield node.lineno, ["oven"]
        if isinstance(node, ast.Call) and any(map(is_oven_word, texts(node.args))):
            yield node.lineno, ["oven"]  # fmt: skip


@pytest.mark.parametrize("another", [
    'A = ("chill", "freeze")', 'A = frozenset({"sift", "toast", "x"})', 'A = {"mix": 1, "fold": 2}',
    'A = re.compile(r"(?:boil|simmer)ed")', 'if do == "preheat": pass', 'if do.startswith("heat the oven"): pass',
    'A = ("light the oven", "set the oven")',
])  # fmt: skip
def test_another_list_would_be_found(another: str) -> None:
    assert list(lists_of_verbs(another))


def test_there_is_no_other_list_of_verbs() -> None:
    found = {
        module: lines
        for module, path in modules().items()
        if (lines := list(lists_of_verbs(path.read_text(encoding="utf-8"))))
    }
    # "in turn", "in portions", "the rest" say how something is taken; cool and warm are states as well;
    # a scald, a glaze, a mix is a part; the sentences of the book need to know things that are called like verbs
    assert found.keys() == {
        "formula.verbs", "formula.portions", "formula.places", "kitchen.states",
        "cookbook.english",
    }, found  # fmt: skip
    assert [words for _, words in found["kitchen.states"]] == [["cool", "warm"]]


def numbers_for_an_oven(source: str) -> Iterator[str]:
    """Names that hold a temperature where ovens may begin, and such numbers held against degrees."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        inner = [n.value for n in ast.walk(node) if isinstance(n, ast.Constant) and isinstance(n.value, int | float)]  # fmt: skip
        if not any(100 < number < 150 for number in inner):
            continue
        said = ast.unparse(node).lower()
        if isinstance(node, ast.Assign) and (
            "oven" in said or "celsius" in said or said.split(" =")[0].endswith("_c")
        ):
            yield ast.unparse(node.targets[0])
        elif isinstance(node, ast.Compare) and ("celsius" in said or "degrees" in said):
            yield said  # fmt: skip


@pytest.mark.parametrize("another", [
    "OVEN_FROM = 110.0", "A, OVEN_LEAST_CELSIUS = 3.0, 115", "HOT_C = 112.0", "hot = high_celsius >= 120",
])  # fmt: skip
def test_another_temperature_would_be_found(another: str) -> None:
    assert list(numbers_for_an_oven(another))


def test_there_is_no_other_temperature() -> None:
    """Hot sugar burns from 110 °C on, whatever the oven."""
    found = {
        (module, name)
        for module, path in modules().items()
        for name in numbers_for_an_oven(path.read_text(encoding="utf-8"))
    }
    assert found == {
        ("kitchen.quantity", "OVEN_FROM_CELSIUS"),
        ("lint.rules.cautions.hot_sugar", "HOT_SUGAR_C"),
    }
