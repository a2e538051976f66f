"""Prices, costs, packs and the shopping list.

No published worked costing was found in the reference folder; arithmetic is held against exact
decimals of the standard library, packs against scipy's integer solver and against every combination,
quantities against published recipes.
"""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from itertools import product
from math import ceil
from pathlib import Path

import numpy as np
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from perflour.bakeday.packs import cheapest_packs
from perflour.bakeday.shopping import ShoppingLine, shopping_list
from perflour.commands.parts import option_name
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.prices import Pack, PriceList, price_list, read_pack, what_if
from perflour.report.bakeday.money import exact, money, rounded
from perflour.result import CannotRun
from tests.conftest import ROOT, examples, formula_text, run_cli, weigh_text

PRICES = """currency: EUR
date: 2026-03-02
prices:
  - {item: flour, packs: [1.20 for 1 kg, 2.50 for 2.5 kg]}
  - {item: butter, packs: [2.45 for 250 g]}
  - {item: egg, packs: [3.30 for 10 large, 2.15 for 6 large]}
  - {item: water, packs: [0 for 1 l]}
  - {item: dates, packs: [3.00 for 500 g], usable: 80 %}
"""
GRAMS_PER_OUNCE = Fraction("28.349523125")  # NIST Handbook 44, appendix C (from memory): exact


def listed(text: str = PRICES) -> PriceList:
    found = price_list(text.encode(), "prices.yaml", built_in())
    assert found.results == ()
    return found


PACKS = [
    ("2.45 for 250 g", "butter", "100 %", 250, None),
    ("3.30 for 10 large", "egg", "100 %", 500, 10),
    ("1.15 for 1 can 425 g drained 250 g", "canned peaches", "100 %", 250, None),
    # 500 g bought at 80 % usable are 400 g in the bowl: common practice, no source
    ("3.00 for 500 g", "dates", "80 %", 400, None),
    # counted pieces are weighed without shell and peel already
    ("3.30 for 10 large", "egg", "88 %", 500, 10),
    ("2.00 for 1 lb", "butter", "100 %", Fraction("453.59237"), None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "item", "usable", "grams", "pieces"), PACKS)
def test_packs_are_read(
    text: str, item: str, usable: str, grams: Fraction, pieces: int | None
) -> None:
    pack = read_pack(text, item, built_in(), Fraction(usable.rstrip(" %")) / 100)
    assert pack.price == Fraction(text.split()[0])
    assert float(pack.grams) == pytest.approx(float(grams), abs=1e-9)
    assert pack.pieces == pieces


MONEY = [
    # half up, as a till rounds; binary floats would make 1.00 of 1.005
    ("1.005", "EUR", "1.01"), ("2.675", "EUR", "2.68"), ("0.125", "USD", "0.13"),
    ("1234.5", "EUR", "1,234.50"), ("0.5", "JPY", "1"), ("1.0005", "KWD", "1.001"), ("0", "EUR", "0.00"),
]  # fmt: skip


@pytest.mark.parametrize(("amount", "currency", "shown"), MONEY)
def test_money_is_rounded_half_up(amount: str, currency: str, shown: str) -> None:
    assert money(Fraction(amount), currency) == shown


@given(st.decimals(min_value=0, max_value=10**9, places=6))
def test_exact_money_is_the_same_decimal(amount: Decimal) -> None:
    assert Decimal(exact(Fraction(amount))) == amount
    assert rounded(Fraction(amount), 2) == amount.quantize(Decimal("0.01"), "ROUND_HALF_UP")


# Whole numbers: the reference solver works with floats and needs them exact.
packs = st.lists(
    st.builds(
        lambda grams, price: Pack("", Fraction(price), Fraction(grams)),
        st.integers(100, 2000),
        st.integers(1, 60),
    ),
    min_size=1,
    max_size=3,
)


@examples(60)
@given(packs, st.integers(1, 6000))
def test_no_combination_of_packs_is_cheaper(choice: list[Pack], need: int) -> None:
    """Held against every combination, then scipy.optimize.milp (HiGHS) for the price."""
    found = cheapest_packs(choice, Fraction(need))
    assert found is not None and found.proven
    numbers = found.numbers

    def judged(bought: tuple[int, ...]) -> tuple[Fraction, Fraction, int]:
        pairs = list(zip(choice, bought, strict=True))
        cost = sum((p.price * n for p, n in pairs), Fraction(0))
        return cost, sum((p.grams * n for p, n in pairs), Fraction(0)), sum(bought)

    most = [range(ceil(need / p.grams) + 1) for p in choice]
    enough = [b for b in product(*most) if judged(b)[1] >= need]
    assert judged(numbers) == min(map(judged, enough))
    solved = milp(
        np.array([float(p.price) for p in choice]),
        constraints=LinearConstraint(np.array([[float(p.grams) for p in choice]]), need, np.inf),
        integrality=np.ones(len(choice)),
        bounds=Bounds(0, np.inf),
    )
    assert float(judged(numbers)[0]) == pytest.approx(solved.fun)


def lines(
    *texts: str, times: float = 1.0, prices: PriceList | None = None
) -> dict[str, ShoppingLine]:
    found = shopping_list([(weigh_text(formula_text(t)), times) for t in texts], prices)
    return {line.item: line for line in found.lines}


def test_two_published_recipes_on_one_list() -> None:
    """Texas Education Agency, Calculating Baker's Percentages (Key), 2015: biscuits and Italian bread
    for 50. Flour 48 + 60 oz, dry milk 3 + 3, shortening 11.5 + 2, salt 0.5 + 2, water 30 + 8 + 24."""
    published = yaml.safe_load((ROOT / "tests/published/worked_examples.yaml").read_text("utf-8"))
    recipes = [e for e in published["examples"] if e["id"] in ("tea-biscuits", "tea-italian-bread")]
    texts = [
        formula_text(
            *(
                f"{{item: '{_plain(i['name'])}', amount: {i['weight']} oz}}"
                for i in recipe["ingredients"]
            )
        )
        for recipe in recipes
    ]
    found = shopping_list([(weigh_text(text), 1.0) for text in texts], None)
    ounces = {line.item: float(Fraction(line.mass_g) / GRAMS_PER_OUNCE) for line in found.lines}
    expected = {
        "all-purpose flour": 108,
        "instant nonfat dry milk": 6,
        "shortening": 13.5,
        "water": 62,
    }
    for item, total in expected.items():
        assert ounces[item] == pytest.approx(total), item
    assert sum(v for k, v in ounces.items() if "salt" in k) == pytest.approx(2.5)
    assert len(found.lines) == 8


def _plain(name: str) -> str:
    """The published name without remarks in brackets or after a comma."""
    return name.split(",")[0].split(" (")[0].removeprefix("enriched ")


def test_eggs_are_bought_whole() -> None:
    """A large egg is 50 g without its shell: USDA SR28, NDB 01123."""
    egg = lines("{item: egg, amount: 3 large}", times=1.5, prices=listed())["egg"]
    assert (egg.mass_g, egg.pieces, egg.unit) == (225, 5, "large")
    assert [(b.number, b.pack.size) for b in egg.bought] == [(1, "6 large")]
    eggs = lines("{item: egg, amount: 11 large}", prices=listed())["egg"]
    assert [(b.number, b.pack.size) for b in eggs.bought] == [(2, "6 large")]  # 4.30, not 5.45
    assert lines("{item: egg, amount: 120 g}")["egg"].pieces == 3


def test_whites_and_yolks_come_out_of_the_same_eggs() -> None:
    """A large white is 33 g, a yolk 17 g: USDA SR28, NDB 01124 and 01125."""
    text = (
        "{item: egg, amount: 1 large}",
        "{item: egg white, amount: 132 g}",
        "{item: egg yolk, amount: 34 g}",
    )
    found = lines(*text, prices=listed())
    assert [found[i].pieces for i in ("egg", "egg white", "egg yolk")] == [5, 4, 2]
    assert [(b.number, b.pack.size) for b in found["egg"].bought] == [(1, "6 large")]
    assert found["egg white"].reason == "out of the eggs"
    assert lines(*text[1:])["egg"].pieces == 4
    sold = listed(f"{PRICES}  - {{item: egg white, packs: [2 for 500 g]}}\n")
    found = lines(*text, prices=sold)
    assert (found["egg"].pieces, found["egg white"].bought[0].number) == (3, 1)


def test_what_costs_nothing_or_has_no_price_is_told() -> None:
    found = lines("{item: water, amount: 1 kg}", "{item: salt, amount: 5 g}", prices=listed())
    assert {line.reason for line in found.values()} == {"nothing to pay", "no price"}
    assert [line.cost for line in found.values() if line.reason == "no price"] == [None]


WHAT_IF = [
    ("butter=+15 %", "2.8175"), ("butter=-100 %", "0"), ("butter=2.80 for 200 g", "3.50"),
    ("butter = +0 %", "2.45"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "for_250_g"), WHAT_IF)
def test_what_if(change: str, for_250_g: str) -> None:
    price = what_if(listed(), [change], built_in()).find("butter") or what_if(
        listed(), [change], built_in()
    ).find("unsalted butter")
    assert price and price.usual.per_gram * 250 == Fraction(for_250_g)


WRONG_WHAT_IF = [
    ("butter", "--what-if 'butter' is not ITEM=CHANGE; write it like `butter=+15 %` or `butter=2.80 for 200 g`"),
    ("butter=15 %", "--what-if 'butter=15 %' may mean two things; write + or - before the 15"),
    ("butter=-101 %", "--what-if 'butter=-101 %' makes the price negative; write -100 % at most"),
    ("salt=+5 %", "--what-if 'salt=+5 %': prices.yaml has no price for it; add one, or name a pack"),
    ("butter=cheap", "--what-if butter: 'cheap' is no price of a pack; write it like `2.45 for 250 g`"),
    ("butter=2 for 9 ells", "--what-if butter: unknown unit 'ells' in '9 ells'"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "message"), WRONG_WHAT_IF)
def test_a_what_if_that_cannot_be_read(change: str, message: str) -> None:
    with pytest.raises(CannotRun) as told:
        what_if(listed(), [change], built_in())
    assert told.value.told(option_name).startswith(message)


@pytest.fixture
def house(tmp_path: Path) -> Path:
    (tmp_path / "prices.yaml").write_text(PRICES, encoding="utf-8")
    text = formula_text(
        "{item: flour, amount: 300 g}",
        "{item: butter, amount: 100 g}",
        "{item: egg, amount: 2 large}",
        "{item: water, amount: 50 g}",
        extra="yield: {pieces: 8, piece: bun}\n",
    )
    (tmp_path / "formula.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def test_a_costing_worked_out_by_hand(house: Path) -> None:
    """300 g of 1.20 a kg, 100 g of 2.45 for 250, 2 of 3.30 for 10: 0.36 + 0.98 + 0.66 = 2.00."""
    data = json.loads(run_cli("cost", "formula.yaml", "--output", "json", cwd=house).out)
    cost = data["formulas"][0]
    assert [line["cost"] for line in cost["lines"]] == ["0.36", "0.98", "0.66", "0"]
    assert (cost["cost"], cost["cost_per_piece"], cost["cost_is_whole"]) == ("2", "0.25", True)
    dearer = run_cli("cost", "formula.yaml", "--what-if", "butter=+50 %", cwd=house).out
    assert "batch: 2.49 EUR (was 2.00, +24.5 % with butter=+50 %)" in dearer


MAKES = [("2", "4"), ("2 batches", "4"), ("12 pieces", "3"), ("1100 g", "4"), ("1/2", "1")]


@pytest.mark.parametrize(("amount", "expected"), MAKES)
def test_cost_follows_what_is_made(house: Path, amount: str, expected: str) -> None:
    words = ("cost", "formula.yaml", "--make", f"trial={amount}", "--output", "json")
    assert json.loads(run_cli(*words, cwd=house).out)["total"] == expected


def test_a_missing_price_is_told_and_is_a_finding(house: Path) -> None:
    path = house / "prices.yaml"
    path.write_text(PRICES.replace("  - {item: butter, packs: [2.45 for 250 g]}\n", ""), "utf-8")
    done = run_cli("cost", "formula.yaml", cwd=house)
    assert done.code == 1
    assert "batch: at least 1.02 EUR" in done.out
    assert "not counted: unsalted butter (no price)" in done.out


WRONG_LISTS = [
    ("2.45 for 250 g", "2.45 EUR for 250 g", 'prices.yaml:5:28: error: pack 1 of price 2 is "2.45 EUR for 250 g"; write it like `"2.45 for 250 g"` [not-as-schema]'),
    ("2.45 for 250 g", "2.45 for 250 ells", "prices.yaml:5:28: error: unknown unit 'ells'"),
    ("2.45 for 250 g", "2.45 for 2 large", "prices.yaml:5:28: error: '2 large' of butter: no published mass"),
    ("item: butter", "item: egg", "prices.yaml:6:12: error: 'egg' has a price already; keep one entry with all its packs"),
    ("usable: 80 %", "usable: 0 %", "prices.yaml:8:52: error: '0 %' can be no usable share; write one above 0 and up to 100 %"),
    ("currency: EUR", "currency: euro", "prices.yaml:1:11: error: `currency` is \"euro\"; write it like `\"EUR\"`"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), WRONG_LISTS)
def test_a_wrong_price_list_is_told_by_cost_and_lint(
    house: Path, old: str, new: str, message: str
) -> None:
    path = house / "prices.yaml"
    path.write_text(PRICES.replace(old, new), encoding="utf-8")
    for words in (("cost", "formula.yaml"), ("lint", "prices.yaml"), ("plan", "formula.yaml")):
        done = run_cli(*words, cwd=house)
        assert done.code == 1
        assert message in done.all, words


REFUSED = [
    (("cost", "formula.yaml", "--make", "tril=2"), "perflour: --make: no formula 'tril' among trial; did you mean trial?"),
    (("cost", "formula.yaml", "--make", "trial"), "perflour: --make 'trial' is not FORMULA=...; start it with a formula's id"),
    (("cost", "formula.yaml", "--make", "trial=many"), "perflour: --make 'many' is no number of batches, pieces or mass; write it like `2 batches`, `24 pieces` or `3 kg`"),
    (("cost", "formula.yaml", "--make", "trial=0 batches"), "perflour: --times '0' is no number above zero"),
    (("cost", "formula.yaml", "--prices", "none.yaml"), "perflour: none.yaml: cannot be read (No such file or directory); check the path and its rights"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "message"), REFUSED)
def test_requests_that_cannot_be_met(house: Path, words: tuple[str, ...], message: str) -> None:
    done = run_cli(*words, cwd=house)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(message) and done.err.count("\n") == 1


def test_without_a_price_list(house: Path) -> None:
    (house / "prices.yaml").unlink()
    done = run_cli("cost", "formula.yaml", cwd=house)
    assert done.code == 2
    assert "no prices.yaml in the folders above formula.yaml; write one, or name it" in done.err


def test_the_demo_prices_everything_but_the_zest() -> None:
    data = json.loads(run_cli("cost", "--output", "json", "--packs", cwd=ROOT).out)
    lines = [line for cost in data["formulas"] for line in cost["lines"]]
    assert {line["item"] for line in lines if line["cost"] is None} == {"orange zest"}
    total = sum(Decimal(line["cost"]) for line in lines if line["cost"])
    assert abs(total - Decimal(data["total"])) < Decimal("0.000001")
    bought = [line for line in data["shopping"]["lines"] if line["packs"]]
    assert all(line["left_g"] >= -1e-6 for line in bought)
    assert Decimal(data["shopping"]["total"]) == sum(Decimal(line["cost"]) for line in bought)
