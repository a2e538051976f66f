"""German: every word of a kitchen that perflour knows has one, and nothing else is in its file."""

from __future__ import annotations

import re
from typing import Any

import pytest

from perflour.documents.reader import read_document
from perflour.formula.verbs import _MEANING
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.cautions import texts
from perflour.kitchen.language import (
    ENGLISH,
    LanguageProblem,
    figures_of,
    language,
    read_language,
)
from perflour.kitchen.names import fold
from tests.conftest import ROOT
from tests.whole.test_architecture import loaded_by

DATA = ROOT / "tools" / "perflour" / "data"
GERMAN = language("de")


def data_of(name: str) -> Any:
    return read_document((DATA / name).read_bytes(), name).data


WORDS = data_of("recipe_words.yaml")

#: Each section, and the words it must have: no more, no fewer.
WHOLE = {
    "foods": (GERMAN.foods, built_in().names()),
    "verbs": (GERMAN.verbs, {*_MEANING, *WORDS["verbs"], "sift in"}),
    "states": (GERMAN.states, {*WORDS["states"], *WORDS["state-phrases"], "extra small"}),
    "cautions": (GERMAN.cautions, [caution.id for caution in texts().cautions]),
    "US allergens": (GERMAN.allergens["us"], [name.id for name in texts().us]),
    "EU allergens": (GERMAN.allergens["eu"], [name.id for name in texts().eu]),
}


@pytest.mark.parametrize("section", WHOLE)
def test_every_word_is_there_and_no_other(section: str) -> None:
    said, known = WHOLE[section]
    assert set(said) == {fold(word) for word in known}


def test_no_two_foods_are_called_the_same() -> None:
    names = [noun.name for noun in GERMAN.foods.values()]
    names += [noun.several for noun in GERMAN.foods.values() if noun.several and noun.several != noun.name]  # fmt: skip
    assert len(names) == len(set(names))


# Regulation (EU) No 1169/2011, Annex II, German version (from memory), in its order
ANNEX_II = [
    "glutenhaltiges Getreide", "Krebstiere", "Eier", "Fische", "Erdnüsse", "Sojabohnen", "Milch", "Schalenfrüchte",
    "Sellerie", "Senf", "Sesamsamen", "Schwefeldioxid und Sulphite", "Lupinen", "Weichtiere",
]  # fmt: skip


def test_the_fourteen_allergens_are_those_of_the_law_in_its_order() -> None:
    assert [GERMAN.allergens["eu"][name.id] for name in texts().eu] == ANNEX_II


# DIN 10355 (from memory): least and most ash of the dry flour, in percent; 405 has no least there
ASH = {"405": (0.0, 0.5), "550": (0.51, 0.63), "815": (0.0, 0.9), "1370": (1.31, 1.6)}


@pytest.mark.parametrize(("name", "number"), [
    (food, found[1])
    for food, noun in GERMAN.foods.items()
    if (found := re.search(r"Type (\d+)", noun.name))
])  # fmt: skip
def test_a_type_of_flour_fits_its_ash(name: str, number: str) -> None:
    food = built_in().find(name)
    assert food is not None
    least, most = ASH[number]
    dry = 100 - food.composition["water"]
    assert least <= round(food.composition["ash"] / dry * 100, 2) <= most
    assert f"etwa Type {number}" in GERMAN.foods[name].name


@pytest.mark.parametrize(("text", "expected"), [
    ("1,280 g", "1\u202f280 g"),
    ("12.5 %", "12,5 %"),
    ("1,234,567.8", "1\u202f234\u202f567,8"),
    ("7 to 8, then 9.", "7 to 8, then 9."),
    ("12, 13", "12, 13"),
])  # fmt: skip
def test_numbers_have_the_signs_of_the_language(text: str, expected: str) -> None:
    assert GERMAN.figures(text) == expected
    assert figures_of(ENGLISH)(text) == text


def test_cautions_defer_to_the_rules_of_the_place_as_the_english_do() -> None:
    for caution in texts().cautions:
        defers = "food code" in caution.text
        assert ("Vorschriften des Ortes" in GERMAN.cautions[caution.id]) >= defers, caution.id
        # what is hot or cold enough is the same in both
        assert re.findall(r"\d+ ?°[CF]", caution.text) == re.findall(r"\d+ ?°[CF]", GERMAN.cautions[caution.id])  # fmt: skip


@pytest.mark.parametrize(("was", "now", "says"), [
    ("called: German\n", "", "sections that are not there, or of no use: called"),
    ("called: German\n", "called: German\nshoes: {}\n", "sections that are not there, or of no use: shoes"),
    ("  egg: [Ei, n, Eier]", "  egg: Ei", "'egg' wants [name, gender], or [name, gender, plural], not Ei"),
    ("  egg: [Ei, n, Eier]", "  egg: [Ei, x]", "'egg' wants [name, gender], or [name, gender, plural], not ['Ei', 'x']"),
    ("  bake: backen", "  bake: {into: backen}", "'bake' wants `says`, and may have `into` and `alone`, not {'into': 'backen'}"),
    ("  bake: backen", "  bake: ' '", "'bake' wants a text, not  "),
])  # fmt: skip
def test_a_file_is_read_strictly(was: str, now: str, says: str) -> None:
    content = (DATA / "languages" / "de.yaml").read_text(encoding="utf-8")
    assert was in content
    with pytest.raises(LanguageProblem, match=f"^{re.escape(says)}$"):
        read_language(content.replace(was, now, 1).encode())


@pytest.mark.parametrize(("command", "never"), [
    (("lint",), "perflour.kitchen.language"),
    (("draft", "--output", "json"), "perflour.cookbook.translated.german_steps"),
])  # fmt: skip
def test_english_reads_no_other_language(command: tuple[str, ...], never: str) -> None:
    loaded = loaded_by(*command, str(ROOT / "formulas" / "rye-ginger-cookie"))
    assert never not in loaded
