"""Ratios and pieces move with what is measured as the sums of `spread` say, term by term and to the last digit."""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st

from perflour.balance.balance import Balance
from perflour.balance.linear import terms_of
from perflour.balance.ratio_terms import RatioTerms
from perflour.balance.ratios import ratio_masses_by_name, ratios
from perflour.balance.spread import Measures, uncertain_base
from tests.conftest import examples, weigh_text

ITEMS = ("bread flour", "granulated sugar", "unsalted butter", "whole milk", "honey", "baking soda", "egg", "buttermilk")  # fmt: skip
AMOUNTS = ("100 g", "1 cup", "2 cups", "1-2 tbsp", "1/2 tsp", "2 large", "to taste", "1 cup plus 30 g")  # fmt: skip
LINES = st.lists(st.tuples(st.sampled_from(ITEMS), st.sampled_from(AMOUNTS)), max_size=4)
TAKEN = st.sampled_from(["", "all", "half", "1/3", "40 g", "1 cup"])


@st.composite
def balances(draw: st.DrawFn) -> Balance:
    """A dough with a poolish and a syrup in it, the syrup in the poolish too, and an icing with some of it."""
    listed = ""
    for name, kind, uses in (
        ("syrup", "other", ()),
        ("poolish", "preferment", ("syrup",)),
        ("dough", "dough", ("poolish", "syrup")),
        ("icing", "icing", ("syrup",)),
    ):
        lines = [f"{{item: {item}, amount: {amount}}}" for item, amount in draw(LINES)]
        lines += [f"{{part: {used}, amount: {taken}}}" for used in uses if (taken := draw(TAKEN))]
        lines = lines or ["{item: bread flour, amount: 1 cup}"]
        listed += f"  - part: {name}\n    kind: {kind}\n    ingredients: [{', '.join(draw(st.permutations(lines)))}]\n"
    weighed = weigh_text(f"formula: t\ntitle: T\nclass: c\nstatus: draft\nparts:\n{listed}method: []\n")  # fmt: skip
    assume(weighed.basis_g > 0)
    return weighed


@examples(200)
@given(st.lists(balances(), min_size=1, max_size=2))
def test_each_term_is_that_of_the_sums(sides: list[Balance]) -> None:
    measures = Measures()
    for at, weighed in enumerate(sides):
        base = uncertain_base(weighed, measures, str(at))
        terms = RatioTerms(weighed, ratio_masses_by_name(weighed.total), measures, str(at))
        for name in ratios(weighed):
            assert terms.of(name) == list(terms_of(base.ratios[name]))
        assert terms.of_piece(12) == list(terms_of(base.batch_g / 12))
