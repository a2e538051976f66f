"""Numbers in words are looked for only where they may stand: nothing is missed by that."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from perflour.kitchen import numerals
from perflour.kitchen.numerals import figures_before, in_figures, leading_figures
from tests.conftest import examples

WORDS = st.sampled_from(("One", "two", "half", "a", "an", "and", "dozen", "SIXTEEN", "thirds", "fourth", "of", "cup", "cups", "tender", "weight", "12", "1/2", "often", "ſix", "THİRD", "-", "twenty-five", "none"))  # fmt: skip


@given(st.lists(WORDS | st.text("aehiloxn -,½", max_size=6), max_size=8), st.sampled_from((" ", "-", "")))  # fmt: skip
@examples(300)
def test_what_is_not_searched_says_no_number(pieces: list[str], joint: str) -> None:
    text = joint.join(pieces)
    found = [in_figures(text), figures_before(text, "cups?"), leading_figures(text)]
    kept, numerals.may_say_words = numerals.may_say_words, lambda _: True
    try:
        assert found == [in_figures(text), figures_before(text, "cups?"), leading_figures(text)]
    finally:
        numerals.may_say_words = kept
