"""One list of the words that take a portion: everything that reads `uses` calls the same words a portion.

What each form means is common practice, no source; the fractions are arithmetic.
"""

from __future__ import annotations

import ast
from fractions import Fraction
from typing import NamedTuple

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from perflour.cookbook.steps.step_text import method_sentences
from perflour.documents.reader import read_document
from perflour.formula.formula import Use
from perflour.formula.portions import taken
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import ALL, FIGURES, HALF, PORTION_WORDS, REST, SOME, Amount, Share
from perflour.lint.ask.portions import stated
from perflour.lint.check import check_content
from perflour.merge.entries import named_use
from perflour.recipe.header import Header
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.to_formula import formula_file
from perflour.scale.scaling import Style, scale
from tests.conftest import formula_text, weigh_text
from tests.whole.test_architecture import modules

KITCHEN = Kitchen(House(), built_in())
NAMES = ("whole milk", "butter", "cream of tartar")

# --- what the words mean -----------------------------------------------------------------------

MEANS = [
    ("rest of butter", REST), ("the rest of the butter", REST), ("remaining butter", REST),
    ("the remaining butter", REST), ("the other butter", REST), ("Rest Of THE butter", REST),
    ("half of butter", HALF), ("half the butter", HALF), ("half of that butter", HALF),
    ("all of the butter", ALL), ("all the butter", ALL),
    ("some of the butter", SOME), ("part of butter", SOME),
    ("1/3 the butter", FIGURES), ("60 g butter", FIGURES), ("8 fl oz of the butter", FIGURES),
    ("the remaining 60 g of butter", FIGURES), ("2 of the remaining butter", FIGURES),
    ("half of the remaining butter", SOME), ("the other half of the butter", SOME), ("1/3 of the rest of the butter", SOME),
    ("all of the remaining butter", REST), ("rest of all of the butter", REST),
]  # fmt: skip


@pytest.mark.parametrize(("said", "takes"), MEANS, ids=[said for said, _ in MEANS])
def test_a_portion_in_words(said: str, takes: str) -> None:
    assert (taken(said).takes, taken(said).name) == (takes, "butter")


# Names of the trade that begin like portions, and what no scale could weigh.
NAMED = ["half-and-half", "half and half", "allspice", "part-skim ricotta", "other flour", "half butter", "1% milk",
         "00 flour", "70 % chocolate", "5 spice of the house", "rest of", "some of the", "the butter",
         "140 % of butter", "0 g of butter", "2 handfuls of butter", "half of 60 g of butter"]  # fmt: skip


@pytest.mark.parametrize("said", NAMED)
def test_no_portion(said: str) -> None:
    assert (taken(said).takes, taken(said).name) == ("", said)


def test_no_name_of_the_catalogue_begins_like_a_portion() -> None:
    known = set(built_in().by_name)  # main names and aliases
    assert len(known) > 500
    assert [name for name in known if taken(name).takes] == []


# --- all who read `uses` -----------------------------------------------------------------------


class Heard(NamedTuple):
    """What one reader takes a text for."""

    is_portion: bool
    name: str


def formula(said: str, name: str) -> str:
    lines = [f"{{item: {each}, amount: 300 g}}" for each in NAMES]
    method = f"\n  - {{do: warm, uses: [{name}]}}\n  - {{do: mix, uses: ['{said}', salt]}}\n"
    return formula_text(*lines, "{item: salt, amount: 3 g}", method=method)


def use_in_formula(said: str, name: str) -> Use:
    return weigh_text(formula(said, name)).formula.method[1].uses[0]


def heard_by_lint(said: str, name: str) -> Heard:
    """A plain name that is not listed is told of."""
    told = [r for r in check_content(formula(said, name).encode(), "formula.yaml", KITCHEN) if r.rule == "used-never-listed"]  # fmt: skip
    return Heard(not told, fold(told[0].subject if told else name))


def heard_by_merge(said: str) -> Heard:
    return Heard(named_use(said) != fold(said), named_use(said))


def heard_by_cookbook(said: str, name: str) -> Heard:
    sentence = method_sentences(weigh_text(formula(said, name)).formula)[1]
    if sentence == f"Mix the {said} and salt.":
        return Heard(False, fold(said))
    assert sentence.removesuffix(" and the salt.").rstrip("s").endswith(f" {name.rstrip('s')}"), (
        sentence
    )
    return Heard(True, fold(name))


def heard_by_scale(said: str, name: str) -> Heard | None:
    """Only an amount is scaled; None where nothing is."""
    scaled = scale(weigh_text(formula(said, name)), 2.0, "x2", Style())
    now = scaled.portions.get(said)
    return Heard(True, fold(taken(now).name)) if now else None


def use_in_import(said: str, name: str) -> str:
    text = f"Trial\n\n300 g {name}\n3 g salt\n\nMethod\n1. Warm the {name}.\n2. Add {said}.\n"
    data = read_document(
        formula_file(sorted_text(text, "slip.txt"), Header(), KITCHEN).text.encode(), "f"
    ).data
    (use,) = data["method"][1]["uses"]
    return str(use)


def quantity(portion: Amount | Share | None) -> object:
    """A portion without its spelling."""
    if isinstance(portion, Amount):
        return [(t.low, t.high, t.unit) for t in portion.terms]
    return portion and portion.fraction


CASES = st.sampled_from([str, str.lower, str.upper, str.capitalize, str.title])
ARTICLES = st.sampled_from(["", "the ", "this ", "that "])
NUMBERS = st.sampled_from(["1/2", "½", "1/3", "3/4", "2", "60", "0.25", "1 1/2", "2 1/4", "40 %", "12%"])  # fmt: skip
UNITS = st.sampled_from(["g", "kg", "oz", "cup", "cups", "tbsp", "tsp", "ml", "fl oz"])
NOT_SHARES = st.sampled_from(["1/2", "½", "2", "60", "0.25", "1 1/2"])


@st.composite
def portions(draw: st.DrawFn) -> str:
    """The words before a name, from the list and from figures."""
    kind = draw(st.sampled_from(["of", "joined", "share", "amount", "bare amount"]))
    if kind == "of":
        word = draw(st.sampled_from([w for w in PORTION_WORDS if w != "other"]))
        lead = draw(st.sampled_from(["", "the "]))
        return draw(CASES)(f"{lead}{word} of {draw(ARTICLES)}")
    if kind == "joined":
        return draw(CASES)(draw(st.sampled_from(["remaining ", "the remaining ", "the other ", "half the ", "all the ", "half that "])))  # fmt: skip
    if kind == "share":
        return f"{draw(NUMBERS)} of {draw(ARTICLES)}"
    of = "of " if kind == "amount" else ""
    return f"{draw(NOT_SHARES)} {draw(UNITS)} {of}{draw(ARTICLES)}"


@given(portions(), st.sampled_from(NAMES))
def test_all_call_it_a_portion(portion: str, name: str) -> None:
    said = portion + name
    use = use_in_formula(said, name)
    heard = Heard(True, fold(name))
    assert Heard(use.takes != "", fold(use.name)) == heard
    assert heard_by_lint(said, name) == heard_by_merge(said) == heard_by_cookbook(said, name) == heard  # fmt: skip
    assert heard_by_scale(said, name) == (heard if isinstance(use.portion, Amount) else None)
    imported = taken(use_in_import(said, name))
    # all of something needs no words in what import writes
    assert imported.takes == ("" if use.takes == ALL else use.takes)
    assert (fold(imported.name), quantity(imported.portion)) == (fold(name), quantity(use.portion))


def one_letter_off(draw: st.DrawFn, word: str) -> str:
    at = draw(st.integers(0, len(word) - 1))
    return draw(st.sampled_from([word[:at] + word[at + 1 :], word[:at] + word[at] + word[at:], word[:at] + "x" + word[at:]]))  # fmt: skip


@st.composite
def near_misses(draw: st.DrawFn) -> str:
    """What looks like a portion and is none."""
    word = draw(st.sampled_from([w for w in PORTION_WORDS if w != "other"]))
    kind = draw(st.sampled_from(["letter", "no joint", "glued", "share", "unit", "hand"]))
    if kind == "letter":
        slip = one_letter_off(draw, word)
        assume(slip not in PORTION_WORDS)
        return draw(CASES)(f"{slip} of {draw(ARTICLES)}")
    if kind == "no joint":
        return f"{draw(st.sampled_from(['half', 'all', 'part', 'some', 'rest', 'other']))} "
    if kind == "glued":
        return f"{word}of "
    if kind == "share":
        return draw(st.sampled_from(["140 % of ", "0 of ", "0 g of ", "12 % "]))
    return draw(st.sampled_from(["60 gg of ", "2 handfuls of ", "3 glugs of ", "1/2 ", "2 "]))


@given(near_misses(), st.sampled_from(NAMES))
def test_none_calls_it_a_portion(words: str, name: str) -> None:
    said = words + name
    use = use_in_formula(said, name)
    heard = Heard(False, fold(said))
    assert Heard(use.takes != "", fold(use.name)) == heard
    assert heard_by_lint(said, name) == heard_by_merge(said) == heard_by_cookbook(said, name) == heard  # fmt: skip
    assert heard_by_scale(said, name) is None
    # import looks for what is listed, and keeps the words that it does not know in a note
    assert use_in_import(said, name) == name


def test_lint_takes_a_half_in_words_for_one_in_figures() -> None:
    for said, share in (("half the butter", Fraction(1, 2)), ("1/2 of butter", Fraction(1, 2)), ("all of butter", None)):  # fmt: skip
        assert quantity(stated(use_in_formula(said, "butter"))) == share


# --- nowhere else a list -----------------------------------------------------------------------

#: Where the words stand, and numbers in words, which are counted and not taken.
VOCABULARY = {"kitchen.quantity", "formula.portions"}
NUMERALS = {"recipe.numerals"}


def words_of(node: ast.AST) -> list[str]:
    """The texts of a tuple, list, set or dict, or those of a pattern."""
    if isinstance(node, ast.Dict):
        parts = [key for key in node.keys if key]
    elif isinstance(node, ast.Tuple | ast.List | ast.Set):
        parts = list(node.elts)
    else:
        return []
    texts = [p.value for p in parts if isinstance(p, ast.Constant) and isinstance(p.value, str)]
    return [text.lower().strip() for text in texts]


def is_portion_list(words: list[str]) -> bool:
    said = {word for text in words for word in (text, text.removesuffix(" of"), text.removeprefix("the "))}  # fmt: skip
    return len(said & PORTION_WORDS.keys()) > 1 or any(w.endswith(" of") and w[:-3] in PORTION_WORDS for w in words)  # fmt: skip


def is_portion_pattern(text: str) -> bool:
    """Whether a pattern has several of the words as alternatives."""
    pieces = text.replace("(", "|").replace(")", "|").replace("?:", "|").split("|")
    return "|" in text and len({piece.strip().lower() for piece in pieces} & PORTION_WORDS.keys()) > 1  # fmt: skip


def portion_lists(source: str) -> list[int]:
    """The lines of a module that list words of portions, or match them."""
    tree = ast.parse(source)
    found = [n.lineno for n in ast.walk(tree) if isinstance(n, ast.expr) and is_portion_list(words_of(n))]  # fmt: skip
    texts = (n for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str))
    return found + [n.lineno for n in texts if is_portion_pattern(str(n.value))]


@pytest.mark.parametrize("another", [
    'A = ("rest of ", "half of ")', 'A = {"remaining": 1, "some": 2}', 'A = frozenset(["all", "part"])',
    'A = re.compile(r"^(?:half|the rest|all) of (?:the )?", re.I)', 'if said.startswith(("rest of ",)): pass',
])  # fmt: skip
def test_another_list_would_be_found(another: str) -> None:
    assert portion_lists(another)


def test_there_is_no_other_list() -> None:
    found = {
        module: lines
        for module, path in modules().items()
        if (lines := portion_lists(path.read_text(encoding="utf-8")))
    }
    assert found.keys() - NUMERALS <= VOCABULARY, found
    assert "kitchen.quantity" in found
