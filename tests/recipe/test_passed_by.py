"""What is not looked for, because a quick look says that it is not there, would not have been found either."""

from __future__ import annotations

import re
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.kitchen.catalogue import built_in
from perflour.recipe import pans_told
from perflour.recipe.line_kinds import MARKS
from perflour.recipe.method import ovens, step_fields
from perflour.recipe.method.ovens import scales_in
from perflour.recipe.method.step_fields import fields_of, says_more
from perflour.recipe.prose import amounts, elided, names
from perflour.recipe.prose.foods import foods_in, may_say_several
from tests.conftest import examples

#: Words of foods, amounts, times, heat and pans, each as one may stand beside any other.
SAID = ("1", "2", "1/2", "½", "00", "350", "20", "9 x 13", "one", "half", "a", "an", "another", "dozen", "couple", "of", "and", "or", "to", "for", "-", ",", ".", ";", "(", ")", "cup", "cups", "g", "tsp", "T", "stick", "pinch", "some", "good", "little", "small", "large", "very", "knob", "flour", "butter", "sugar", "brown", "eggs", "yolks", "juice", "zest", "lemons", "milk", "yeast", "cake", "same", "equal", "weight", "the size", "each", "more", "it's", "used", "them", "it", "soft", "melted", "is", "no", "say", "minutes", "minute", "min", "hour", "h", "hr", "day", "'", "′", "about", "until", "brown", "TİLL", "ſlow", "low", "speed", "on", "full", "makes", "glaze", "reg.", "two-thirds", "8-inch", "F", "°", "C", "fan", "gas", "mark", "pan", "tin", "tİn", "sheet", "round", "in", "into", "all", "poolish", "dash", "²")  # fmt: skip
TEXTS = st.lists(st.sampled_from(SAID), min_size=1, max_size=9).map(" ".join)
ANYTHING = re.compile("")


@given(TEXTS)
@examples(300)
def test_foods(text: str) -> None:
    found = foods_in(text, built_in())
    with pytest.MonkeyPatch.context() as asked:
        asked.setattr(amounts, "starts_in", lambda lows: dict.fromkeys(range(len(lows))))
        asked.setattr(elided.ElidedScan, "needs_no_amount", lambda *_: True)
        asked.setattr(names.NameScan, "_may_name", lambda *_: True)
        asked.setattr(names, "_LAST_OF_KINDS", frozenset(text.lower().split()))
        assert foods_in(text, built_in()) == found


@given(st.integers(1, 9), TEXTS)
@examples(300)
def test_foods_that_share_a_line(number: int, text: str) -> None:
    line = f"{number} {text}"
    found = foods_in(line, built_in())
    assert may_say_several(line) or len(found) < 2 or found[0].start


@given(TEXTS, st.sampled_from(("bake", "fill", "mix", "rest")))
@examples(300)
def test_fields_of_a_step(text: str, do: str) -> None:
    fields = fields_of(do, text, frozenset({"glaze"}))
    more = says_more(fields.left)
    with pytest.MonkeyPatch.context() as asked:
        asked.setattr(step_fields, "_TOLD_OTHERWISE", ANYTHING)
        asked.setattr(step_fields, "_FIGURE", ANYTHING)
        asked.setattr(step_fields, "in_small", lambda _: "makes until full low")
        again = fields_of(do, text, frozenset({"glaze"}))
        assert (again.found, again.left, again.asides, again.doubts, says_more(again.left)) == (fields.found, fields.left, fields.asides, fields.doubts, more)  # fmt: skip


@given(TEXTS)
@examples(300)
def test_scales_and_pans(text: str) -> None:
    said = scales_in(text), list(pans_told._pans([text]))
    with pytest.MonkeyPatch.context() as asked:
        asked.setattr(ovens, "_MAY_SAY_SCALE", ANYTHING)
        asked.setattr(pans_told, "_VESSELS", ("",))
        asked.setattr(pans_told, "_FIGURE", ANYTHING)
        assert (scales_in(text), list(pans_told._pans([text]))) == said  # fmt: skip


def test_marks_hold_every_blank() -> None:
    """As Python's own patterns tell blanks."""
    blanks = {sign for sign in map(chr, range(sys.maxunicode + 1)) if re.match(r"\s", sign)}
    assert set(MARKS) == blanks | set("#*_=")
