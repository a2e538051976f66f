"""What a merge looks at only where texts differ: the same as by looking at all of them."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.documents.comments import comments_of
from perflour.documents.nodes import all_comments_of
from perflour.documents.reader import read_document
from perflour.kitchen.catalogue import built_in
from perflour.merge import check
from perflour.merge.entries import says
from perflour.merge.merge import NotMerged
from perflour.merge.passages import file_apart, list_apart
from perflour.merge.sameness import may_say_the_same
from perflour.merge.scaled import scaled_by, stayed_as_it_was
from tests.conftest import ROOT, examples, formula_text, weigh_text
from tests.merge.test_merge import merged, settled
from tests.merge.three_ways import changed, some_recipe, text_of
from tests.tidy.untidy import Untidy, form_of, untidy

seeds = st.integers(0, 1 << 32)
DEMO = sorted((ROOT / "formulas").glob("*/formula.yaml"))


def spoilt(text: str, random: Random) -> str:
    """A text with a line lost, doubled, moved or with another amount, or as it was."""
    rows = text.splitlines(keepends=True)
    at = random.randrange(len(rows))
    match random.randrange(6):
        case 0:
            del rows[at]
        case 1:
            rows.insert(at, rows[at])
        case 2:
            rows.insert(random.randrange(len(rows)), rows.pop(at))
        case 3:
            rows[at] = rows[at].replace("1", "7").replace(" g", " kg")
        case 4:
            rows.insert(at, "# said\n")
    return "".join(rows)


def by_all(case: tuple[list[str], list[str], bool]) -> str:
    """What is wrong by the facts of all that all texts say."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(check, "_holds", lambda *_: False)
        return check.what_is_wrong(*case, built_in())


def case_of(seed: int) -> tuple[list[str], list[str], bool]:
    """Three texts, and what a merge that may have a fault makes of them."""
    random = Random(seed)
    base = some_recipe(random)
    texts = [text_of(r) for r in (base, changed(base, random, "a"), changed(base, random, "b"))]
    try:
        found = merged(texts[0], texts[1], texts[2])
    except NotMerged:
        found = merged(*texts[:2], texts[0])
    picks = [settled(found.content.decode(), side) for side in ("ours", "theirs")]
    picks = [spoilt(pick, Random(seed)) for pick in picks]
    if random.random() < 0.1:
        picks[1] = spoilt(picks[1], random)
    return texts, picks, bool(found.conflicts)


@examples(150)
@given(seeds)
def test_the_check_says_what_it_says_of_all_facts(seed: int) -> None:
    case = case_of(seed)
    assert check.what_is_wrong(*case, built_in()) == by_all(case)


def test_merges_that_lost_something_are_among_those_tried() -> None:
    told = Counter(bool(by_all(case_of(seed))) for seed in range(60))
    assert min(told[True], told[False]) > 10


@examples(40)
@given(untidy(), st.randoms(use_true_random=False), untidy())
def test_texts_that_say_the_same_have_the_same_words(
    one: Untidy, chance: Random, other: Untidy
) -> None:
    """As pieces of a file, in whatever form: nothing is turned away that says the same."""
    for text in (form_of(one.data, chance), other.text):
        others = {passage.key: passage.text for passage in file_apart(text).passages}
        for passage in file_apart(one.text).passages:
            there = others.get(passage.key, "a: b")
            assert may_say_the_same(passage.text, there) or says(passage.text) != says(there)


@pytest.mark.parametrize(
    ("one", "other", "may"),
    [
        ("{item: oats, amount: 12 g}", "{item: oats, amount: 21 g}", False),
        ("{item: oats, amount: 12 g}", '{ "amount": 12 g, item: "o\\x61ts" }', True),
        ("note: |2\n    a", "note: '  a'", True),
        ("{item: oats}  # old", "{item: oats}", False),
    ],
)
def test_words_tell_most_apart(one: str, other: str, may: bool) -> None:
    assert may_say_the_same(one, other) == may


@examples(40)
@given(untidy())
def test_comments_are_those_between_all_scalars(formula: Untidy) -> None:
    assert comments_of(formula.text) == all_comments_of(formula.text)
    assert sorted(comments_of(formula.text)) == sorted(formula.comments)


def test_comments_of_the_demo() -> None:
    for path in DEMO:
        text = path.read_text(encoding="utf-8")
        assert comments_of(text) == all_comments_of(text)


@pytest.mark.parametrize(
    "text",
    [
        "a: '# b'  # c\nd: e#f\n# g\n",
        'a: "b\n  # c"  # d\n',
        "a: b  # c\x85# d\n",
        "a: |  # b\n  # c\n# d\n",
        "%YAML 1.2  # a\n--- # b\nc: [d, # e\n  f]\n... # g\n",
    ],
)
def test_comments_at_odd_places(text: str) -> None:
    assert comments_of(text) == all_comments_of(text)


@examples(40)
@given(untidy())
def test_a_list_read_with_its_file_comes_apart_as_read_alone(formula: Untidy) -> None:
    for text in (formula.text, f"# Grüße\n{formula.text}"):
        root = read_document(text.encode(), "f").root
        known = file_apart(text, root)
        alone = file_apart(text)
        assert [p[:4] for p in known.passages] == [p[:4] for p in alone.passages]
        for passage in known.passages:
            if passage.key in ("parts", "method", "waivers", "corrections"):
                assert list_apart(passage) == list_apart(passage._replace(field=None))


grams = st.lists(st.sampled_from((0, 10, 20, 100)), min_size=1, max_size=12)


@examples(60)
@given(grams, st.sampled_from((1, 1, 1.00005, 1.05, 2)), st.integers(0, 3))
def test_a_batch_that_stayed_as_it_was_is_not_scaled(
    base: list[int], factor: float, other: int
) -> None:
    """By however little most of it moved, and with one line that moved alone."""
    names = ("bread flour", "water", "honey", "butter", "salt", "honey")
    sides = [
        weigh_text(
            formula_text(
                *(
                    f"{{item: {names[at % 6] if at < 6 else f'thing {at}'}, amount: {mass * times} g}}"
                    for at, (mass, times) in enumerate(zip(base, by, strict=True))
                )
            )
        )
        for by in ([1.0] * len(base), [3.0 if at == other else factor for at in range(len(base))])
    ]
    if stayed_as_it_was(*sides):
        assert scaled_by(*sides) == 1.0
    if other >= len(base) and factor == 1:
        assert stayed_as_it_was(*sides)
