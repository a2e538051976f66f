"""Generated edits of two sides against each other: each is in conflict, and either choice is that side's own."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from tests.conftest import examples
from tests.merge.contradicting import CLASHES, FREE, SPOTS, Edit, alone, base, edited, text_of
from tests.merge.test_merge import merged, settled

Pair = tuple[Edit, Edit]
contested = st.sampled_from([*CLASHES, *((two, one) for one, two in CLASHES)])
free = st.sampled_from(
    [*((edit, alone) for edit in FREE), *((alone, edit) for edit in FREE), (alone, alone)]
)
spots = st.lists(st.tuples(contested, free, st.booleans()), min_size=1, max_size=SPOTS)


def lines_of(text: str) -> Counter[str]:
    """The lines of a file, in any order."""
    return Counter(text.splitlines())


def sides_of(case: list[tuple[Pair, Pair, bool]]) -> tuple[list[Pair], list[Pair]]:
    """The contested and the free edits by spot: one spot is the one or the other."""
    fight: Pair = (alone, alone)
    return (
        [pair if is_contested else fight for pair, _, is_contested in case],
        [fight if is_contested else pair for _, pair, is_contested in case],
    )


@examples(200)
@given(spots)
def test_either_choice_is_that_sides_lines_and_all_that_is_free(
    case: list[tuple[Pair, Pair, bool]],
) -> None:
    against, calm = sides_of(case)
    by_both = [(edit, spot) for spot, pair in enumerate(calm) for edit in pair]
    own = [[(pair[at], spot) for spot, pair in enumerate(against)] for at in (0, 1)]
    only = [[(pair[at], spot) for spot, pair in enumerate(calm)] for at in (0, 1)]
    ours, theirs = (text_of(edited(own[at] + only[at])) for at in (0, 1))
    found = merged(text_of(base()), ours, theirs)
    for at, side in enumerate(("ours", "theirs")):
        text = settled(found.content.decode(), side)
        assert lines_of(text) == lines_of(text_of(edited(own[at] + by_both)))
    assert len(found.conflicts) >= any(is_contested for *_, is_contested in case)


@examples(100)
@given(st.lists(contested, min_size=1, max_size=SPOTS))
def test_all_in_conflict_settled_for_one_side_is_its_file(case: list[Pair]) -> None:
    """Steps in their order, too; what stands between the marks is the side's own text."""
    ours, theirs = (
        text_of(edited([(pair[at], spot) for spot, pair in enumerate(case)])) for at in (0, 1)
    )
    found = merged(text_of(base()), ours, theirs)
    assert found.conflicts
    for side, wanted in (("ours", ours), ("theirs", theirs)):
        text = settled(found.content.decode(), side)
        assert lines_of(text) == lines_of(wanted)
        assert text.partition("method:")[2] == wanted.partition("method:")[2]


@examples(100)
@given(contested)
def test_every_contradiction_alone_is_a_conflict_that_says_what_both_did(pair: Pair) -> None:
    ours, theirs = (text_of(edited([(edit, 0)])) for edit in pair)
    found = merged(text_of(base()), ours, theirs)
    assert found.conflicts
    for said in found.conflicts:
        assert "ours" in said and "theirs" in said
        if not said.startswith("step "):  # these take nothing that has a ratio
            # A new part that nothing places is base beside the dough.
            assert " % of the dough's flour" in said or " % of the base's flour" in said
            assert "before" in said or said.startswith("nut 0")  # what both added was not there
