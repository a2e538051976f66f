"""What a comparison sees soonest, because most revisions leave it as it was, is what the long way says."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.balance.ratios import RATIOS, ratio_masses, ratio_masses_by_name
from perflour.diff import batch_factor as factors
from perflour.diff import line_changes
from perflour.diff.batch_factor import batch_factor, pooled
from perflour.diff.change import Change
from perflour.diff.difference import Comparing, difference_between
from perflour.diff.placed_lines import side_of
from perflour.diff.standing import held
from tests.conftest import formula_text, weigh_text

ITEMS = ("bread flour", "granulated sugar", "unsalted butter", "whole milk", "honey", "table salt", "rye flour", "baking soda")  # fmt: skip
GRAMS = st.one_of(st.just(100.0), st.just(100.01), st.just(200.0), st.floats(1, 900).map(lambda g: round(g, 1)))  # fmt: skip
AMOUNTS = st.sampled_from(["100 g", "200 g", "1 cup", "2 cups", "1-2 tbsp", "1/2 tsp", "to taste", "a few", "3 oz", "100 g"])  # fmt: skip
LINE = st.tuples(st.sampled_from(ITEMS), AMOUNTS, st.sampled_from(["", "melted", "Melted", "cold"]), st.sampled_from(["", "a note"]))  # fmt: skip


def text_of(lines: Sequence[tuple[str, str, str, str]]) -> str:
    return formula_text(
        *(
            f"{{item: {item}, amount: {amount}{f', state: {state}' if state else ''}{f', note: {note}' if note else ''}}}"
            for item, amount, state, note in lines
        )
    )


@given(st.lists(st.tuples(GRAMS, GRAMS), min_size=1, max_size=len(ITEMS)), st.sampled_from([None, 1.0, 2.0]))  # fmt: skip
def test_a_batch_that_mostly_stays_is_not_scaled(
    masses: list[tuple[float, float]], neutral: float | None
) -> None:
    sides = [
        side_of(
            weigh_text(text_of([(item, f"{g[at]} g", "", "") for item, g in zip(ITEMS, masses, strict=False)])),
            side, {}, {},
        )
        for at, side in enumerate(("before", "after"))
    ]  # fmt: skip
    pools = pooled(*(held(side.placed) for side in sides))
    soon = batch_factor(pools, 1.0, neutral=neutral)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(factors, "_untouched", lambda _: -1)
        assert batch_factor(pools, 1.0, neutral=neutral) == soon


@given(st.lists(LINE, min_size=1, max_size=5), st.lists(LINE, min_size=1, max_size=5), st.data())
def test_a_line_that_nobody_touched_is_told_of_as_any_other(
    before: list[tuple[str, str, str, str]],
    after: list[tuple[str, str, str, str]],
    data: st.DataObject,
) -> None:
    """Lines of before stay among those of after, so that there is something to pass by."""
    after = data.draw(st.permutations([*before, *after]))
    old, now = weigh_text(text_of(before)), weigh_text(text_of(after))
    soon: tuple[Change, ...] = difference_between(old, now).changes
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(line_changes, "_is_untouched", lambda *_: False)
        assert difference_between(old, now).changes == soon


@given(st.lists(LINE, min_size=1, max_size=8))
def test_the_lines_of_all_ratios_at_once_are_those_of_each(
    lines: list[tuple[str, str, str, str]],
) -> None:
    total = weigh_text(text_of(lines)).total
    by_name = ratio_masses_by_name(total)
    for name in RATIOS:
        if name != "prefermented-flour":  # which is no share of single lines
            assert list(by_name(name)) == ratio_masses(total, name)


@given(st.lists(st.lists(LINE, min_size=1, max_size=5), min_size=2, max_size=4), st.data())
def test_one_comparison_after_another_says_what_each_says_alone(
    versions: list[list[tuple[str, str, str, str]]], data: st.DataObject
) -> None:
    """What a side was asked of in one comparison is kept for the next, whichever two are compared, and renamed parts."""
    parts = st.sampled_from(["part: batter", "part: mix", "part: icing\n    kind: icing"])
    balances = []
    for lines in versions:
        text = text_of([("bread flour", "300 g", "", ""), *lines])
        balances.append(weigh_text(text.replace("part: batter", data.draw(parts))))
    comparing = Comparing(None)
    places = st.integers(0, len(balances) - 1)
    for old, now in data.draw(st.lists(st.tuples(places, places), min_size=2, max_size=8)):
        alone = difference_between(balances[old], balances[now]).changes
        assert comparing.changes(balances[old], balances[now]) == alone


def test_another_word_that_is_no_amount_is_told() -> None:
    flour = ("bread flour", "100 g", "", "")
    old, now = (weigh_text(text_of([flour, ("table salt", said, "", "")])) for said in ("to taste", "a few"))  # fmt: skip
    assert [change.kind for change in difference_between(old, now).changes] == ["amount-as-written"]
