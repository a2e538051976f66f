"""How alike two names are, against difflib; the bound turns nothing away that its plain reference lets pass."""

from __future__ import annotations

from difflib import SequenceMatcher

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.diff import alike_names, assignment, matching
from perflour.diff.alike_names import ALIKE, MANY, alikeness, bound_for, may_be_alike
from perflour.diff.difference import difference_between
from tests.conftest import examples, formula_text, weigh_text

# Few letters, so that many pieces are as long as another, or words that names of one kitchen share.
letters = st.text("ab né", max_size=14)
words = st.lists(st.sampled_from(("marsh", "marsch", "salt", "sea", "malt", "oat", "toasted", "2")), max_size=6).map(" ".join)  # fmt: skip
names = st.one_of(letters, words, st.text(max_size=30))


def by_difflib(first: str, second: str) -> float:
    return SequenceMatcher(None, first, second, autojunk=False).ratio()


@examples(500)
@given(names, names)
def test_alikeness_is_difflibs_to_the_last_bit(first: str, second: str) -> None:
    assert alikeness(first, second) == by_difflib(first, second)


@examples(500)
@given(names, names)
def test_the_bound_lets_pass_whatever_is_alike(first: str, second: str) -> None:
    if by_difflib(first, second) >= ALIKE:
        assert may_be_alike(first, second)
        assert bound_for(MANY)(first, second)


def test_the_bound_of_many_turns_away_what_has_the_letters_in_another_order() -> None:
    pair = "toasted malt of the marsh", "marsh of the malt toasted"
    assert may_be_alike(*pair)
    assert not bound_for(MANY)(*pair)


lines = st.lists(
    st.tuples(st.one_of(words, st.sampled_from(("butter", "honey", "raw honey", "lard"))), st.integers(1, 40)),
    min_size=1,
    max_size=12,
)  # fmt: skip


@examples(100)
@given(lines, lines, st.booleans(), st.booleans())
def test_formulas_differ_by_the_same_changes_without_a_bound(
    before: list[tuple[str, int]], after: list[tuple[str, int]], many: bool, cut: bool
) -> None:
    """With few lines or (by moving where many begin) many, held together all or in windows."""
    sides = [
        weigh_text(
            formula_text(
                "{item: bread flour, amount: 100 g}",
                *(f"{{item: '{name or 'salt'}', amount: {grams} g}}" for name, grams in side),
            )
        )
        for side in (before, after)
    ]
    with pytest.MonkeyPatch.context() as patch:
        if cut:
            for module in (assignment, matching):
                patch.setattr(module, "MOST_COMPARED", 20)
            patch.setattr(assignment, "WINDOW", 5)
        patch.setattr(alike_names, "MANY", 1 if many else MANY)
        found = difference_between(*sides)
        patch.setattr(matching, "bound_for", lambda _: lambda first, second: True)
        patch.setattr(matching, "alikeness", by_difflib)
        assert found == difference_between(*sides)
