"""Numbers with spreads, bit by bit against the library `uncertainties` (https://pypi.org/project/uncertainties/)."""

from __future__ import annotations

from collections.abc import Callable
from operator import add, mul, sub, truediv
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from perflour.balance.linear import Deviate, Linear, spread_between, terms_of
from tests.conftest import examples

FIGURES = st.floats(0.01, 1000).map(lambda figure: round(figure, 3))
OPERATIONS: tuple[Callable[[Any, Any], Any], ...] = (add, sub, mul, truediv)
#: What is made of two of the numbers there are so far, and whether the spread of the outcome is asked for at once.
STEPS = st.lists(
    st.tuples(st.sampled_from(OPERATIONS), st.integers(0, 50), st.integers(0, 50), st.booleans()),
    min_size=1,
    max_size=25,
)


@examples(200)
@given(st.lists(st.tuples(FIGURES, FIGURES), min_size=1, max_size=4), FIGURES, STEPS)
def test_it_is_what_the_library_says_to_the_last_digit(
    given: list[tuple[float, float]],
    plain: float,
    steps: list[tuple[Callable[[Any, Any], Any], int, int, bool]],
) -> None:
    ours: list[Any] = [plain, *(Deviate(*one) for one in given)]
    theirs: list[Any] = [plain, *(ufloat(*one) for one in given)]
    for operation, one, other, is_asked in steps:
        places = one % len(ours), other % len(ours)
        try:
            theirs.append(operation(*(theirs[at] for at in places)))
        except (ZeroDivisionError, OverflowError) as refused:
            with pytest.raises(type(refused)):
                operation(*(ours[at] for at in places))
            continue
        ours.append(operation(*(ours[at] for at in places)))
        apart, kept = theirs[-1] - theirs[1], [terms_of(number) for number in (ours[1], ours[-1])]
        assert repr(spread_between(*kept)) == repr(
            0.0 if isinstance(apart, float) else apart.std_dev
        )
        if is_asked and isinstance(ours[-1], Linear):
            assert repr(ours[-1].std_dev) == repr(theirs[-1].std_dev)
    for number, expected in zip(ours, theirs, strict=True):
        if isinstance(number, Linear):
            told, wanted = (number.nominal_value, number.std_dev), (expected.n, expected.std_dev)
        else:
            told, wanted = (number,), (expected,)
        assert repr(told) == repr(wanted)  # as text: what is not known equals nothing


def test_it_is_neither_true_nor_false() -> None:
    with pytest.raises(TypeError, match="ask for its value"):
        bool(Deviate(1.0, 0.1))
