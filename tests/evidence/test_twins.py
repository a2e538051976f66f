"""Formulas that are the same, and those one thing apart: published recipes, and a shelf of cakes."""

from __future__ import annotations

import re

import pytest

from perflour.compare.collect import Compared, collect
from perflour.evidence import twins as module
from perflour.evidence.twins import Same, twins
from tests.conftest import ROOT, weigh_text
from tests.evidence.test_things import CAKE, SUGAR, said


def shelf(**texts: str) -> list[Compared]:
    """Formulas by their names."""
    return [
        Compared(f"{name}.yaml", f"/{name}.yaml", weigh_text(re.sub("formula: .*", f"formula: {name}", text, count=1)))
        for name, text in texts.items()
    ]  # fmt: skip


def doubled(text: str) -> str:
    text = re.sub(r"(\d+) g", lambda m: f"{2 * int(m[1])} g", text)
    return text.replace("pieces: 1,", "pieces: 2,").replace("2200 g", "1100 g")


def test_the_same_in_three_ways_and_one_thing_apart() -> None:
    found = twins(
        shelf(
            plain=CAKE,
            again=CAKE.replace("Quay cake", "Pier cake"),
            double=doubled(CAKE),
            spoons=CAKE.replace("salt, amount: 3 g", "salt, amount: 1/2 tsp"),
            sweet=CAKE.replace(*SUGAR),
            other=CAKE.replace(*SUGAR).replace("milk, amount: 200 g", "milk, amount: 260 g"),
        )
    )
    assert found.groups == (Same(("again", "double", "plain", "spoons"), "re-measured"),)
    pairs = {(one.first, one.second): said(one.thing) for one in found.one_thing}
    assert pairs == {
        ("again", "sweet"): "amount granulated sugar",
        ("double", "sweet"): "amount granulated sugar",
        ("plain", "sweet"): "amount granulated sugar",
        ("spoons", "sweet"): "amount granulated sugar",
        ("other", "sweet"): "amount whole milk",
    }


@pytest.mark.parametrize(("text", "way"), [(CAKE, "equal"), (doubled(CAKE), "scaled")])
def test_a_pair_that_is_the_same(text: str, way: str) -> None:
    (group,) = twins(shelf(a=CAKE, b=text)).groups
    assert (group.labels, group.way) == (("a", "b"), way)


def test_published_recipes_by_weight_and_by_measure_are_the_same() -> None:
    """The two columns of the printed cards (sources in the files). Of thirteen, ten agree within the spread of measuring."""
    paths = [str(ROOT / "tests" / "published" / way) for way in ("weight", "measure")]
    found = twins(collect(paths).formulas)
    assert {group.way for group in found.groups} == {"re-measured"}
    assert all({label.split("/")[1] for label in group.labels} == {group.labels[0].split("/")[1]} for group in found.groups)  # fmt: skip
    assert len(found.groups) >= 10
    assert found.compared < found.pairs / 2


def test_what_is_spared_loses_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Held together line by line, all pairs, the answer is the same: cups, a preferment, a topping scaled."""
    texts = {
        f"c{at}": CAKE.replace(*edit)
        for at, edit in enumerate(
            [
                SUGAR,
                ("butter, amount: 150 g", "butter, amount: 120 g"),
                ("flour, amount: 300 g", "flour, amount: 250 g"),
                ("flour, amount: 300 g", "flour, amount: 2 1/2 cup"),
                ("egg, amount: 150 g", "egg, amount: 3 large"),
                ("butter, amount: 30 g", "butter, amount: 60 g"),
                ("amount: 50 g}\n      - {item: butter, amount: 30 g", "amount: 100 g}\n      - {item: butter, amount: 60 g"),
                ("{item: granulated sugar", "{item: light brown sugar"),
                ("      - {item: salt, amount: 3 g}\n", ""),
            ]
        )
    }  # fmt: skip
    spared = twins(shelf(plain=CAKE, **texts))
    monkeypatch.setattr(module, "_may_be_near", lambda *_: True)
    whole = twins(shelf(plain=CAKE, **texts))
    assert (spared.groups, spared.one_thing) == (whole.groups, whole.one_thing)
    assert len(whole.one_thing) >= 9
    assert whole.compared == whole.pairs == 45
