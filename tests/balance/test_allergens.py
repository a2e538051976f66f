"""Allergens by the US and EU lists, and the cautions that come with them."""

from __future__ import annotations

import json
from itertools import chain
from pathlib import Path
from typing import Any

import pytest

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import Balance, balance
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import COMPILED, built_in, with_house
from perflour.kitchen.cautions import texts
from perflour.kitchen.house import kitchen_for
from tests.conftest import ROOT, formula_text, weigh_text

ENTRIES: dict[str, dict[str, Any]] = {
    entry["name"]: entry
    for entry in map(json.loads, Path(COMPILED).read_text(encoding="utf-8").splitlines()[1:])
}


def demo(name: str) -> Balance:
    path = ROOT / "formulas" / name / "formula.yaml"
    return balance(read_formula(path.read_bytes(), path.name), kitchen_for(str(path)).catalogue)


def brought(found: Allergens) -> tuple[dict[str, tuple[str, ...]], dict[str, tuple[str, ...]]]:
    return dict(found.us), dict(found.eu)


def said(found: Allergens) -> set[str]:
    return {caution.id for caution in found.cautions}


# --- allergens ---------------------------------------------------------------------------------


def test_allergens_of_the_gluten_free_loaf() -> None:
    found = allergens(demo("gluten-free-currant-loaf"))
    us, eu = brought(found)
    assert us == {"milk": ("unsalted butter", "buttermilk"), "egg": ("egg",)}
    assert eu == {"eggs": ("egg",), "milk": ("unsalted butter", "buttermilk")}
    assert found.not_known == ()
    assert said(found) == {
        "not-a-label", "read-the-label", "cross-contact", "gluten-free", "raw-flour", "raw-egg",
    }  # fmt: skip


def test_allergens_of_the_torte() -> None:
    us, eu = brought(allergens(demo("almond-prune-torte")))
    assert us == {"milk": ("unsalted butter",), "egg": ("egg",), "tree nuts": ("almond meal",)}
    assert eu == {"eggs": ("egg",), "milk": ("unsalted butter",), "nuts": ("almond meal",)}


def test_rye_and_oats_count_in_the_eu_alone() -> None:
    us, eu = brought(allergens(demo("oat-date-loaf")))
    assert us["wheat"] == ("soft white flour",)
    assert eu["cereals containing gluten"] == ("rolled oats", "soft white flour")
    assert "cereals-differ" in said(allergens(demo("oat-date-loaf")))


@pytest.mark.parametrize(("item", "caution"), [
    ("honey", "honey-infants"), ("pine nuts", "pine-nuts-differ"), ("coconut oil", "coconut-differs"),
    ("chestnuts", "chestnuts-differ"), ("golden raisins", "sulphites-from"), ("egg white", "raw-egg"),
    ("vegetable oil", "refined-oil"), ("walnuts", "nuts-by-name"), ("teff flour mix", "raw-flour"),
    ("moon dust", "not-known"), ("rolled oats", "cereals-differ"),
])  # fmt: skip
def test_cautions_come_where_they_belong(item: str, caution: str) -> None:
    with_it = weigh_text(formula_text(f"{{item: {item}, amount: 10 g}}"))
    without = weigh_text(formula_text("{item: water, amount: 10 g}"))
    assert caution in said(allergens(with_it))
    assert said(allergens(without)) == {"not-a-label", "read-the-label", "cross-contact"}


def test_a_line_without_a_mass_still_brings_its_allergens() -> None:
    us, _ = brought(allergens(weigh_text(formula_text("{item: walnuts, amount: 1 handful}"))))
    assert us == {"tree nuts": ("walnuts",)}


@pytest.mark.parametrize("title", ["Gluten-free trial", "Trial without gluten", "GLUTEN FREE"])
def test_a_gluten_free_claim_with_wheat_is_called_out(title: str) -> None:
    text = formula_text("{item: all-purpose flour, amount: 10 g}").replace("Trial", title)
    assert {"gluten-free", "gluten-claim-broken"} <= said(allergens(weigh_text(text)))
    honest = text.replace(f"title: {title}", "title: Trial")
    assert not {"gluten-free", "gluten-claim-broken"} & said(allergens(weigh_text(honest)))


def test_a_house_word_for_an_allergen_is_never_dropped() -> None:
    own = {"name": "shrimp paste", "group": "other", "allergens": {"us": ["shrimp"], "eu": []}}
    text = formula_text("{item: shrimp paste, amount: 10 g}")
    weighed = balance(read_formula(text.encode(), "f"), with_house(built_in(), [own]))
    assert brought(allergens(weighed))[0] == {"shrimp": ("shrimp paste",)}
    assert allergens(weighed).not_known == ()


def test_the_lists_are_nine_and_fourteen_and_hold_the_catalogue() -> None:
    """FALCPA with FASTER names nine; Regulation (EU) 1169/2011, Annex II, fourteen."""
    known = texts()
    assert (len(known.us), len(known.eu)) == (9, 14)
    for list_name, names in (("us", known.us), ("eu", known.eu)):
        used = chain(*(e.get("allergens", {}).get(list_name, ()) for e in ENTRIES.values()))
        assert set(used) <= {name.id for name in names}


def test_every_caution_has_its_source() -> None:
    cautions = texts().cautions
    assert len({c.id for c in cautions}) == len(cautions)
    assert all(c.text.endswith(".") and c.source for c in cautions)
