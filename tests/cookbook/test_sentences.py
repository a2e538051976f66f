"""Steps as sentences: what a reader is told to do, in good English. The cases are common practice, no source."""

from __future__ import annotations

import pytest

from perflour.cookbook.english import inverted, listed, plural, to_the, with_article
from perflour.cookbook.steps.scales import text_in_both_scales
from perflour.cookbook.steps.step_text import method_sentences
from tests.conftest import formula_text, weigh_text

LINES = ("{item: bread flour, amount: 1 kg}", "{item: egg, amount: 3 large}", "{item: salt, amount: 1 g}")  # fmt: skip


def told(
    method: str, *lines: str, base: str = "batter", extra: str = "", baked: bool = True
) -> tuple[str, ...]:
    text = formula_text(*(lines or LINES), method=f"[{method}]", extra=extra)
    return method_sentences(weigh_text(text).formula, baked, base)


@pytest.mark.parametrize(("step", "expected"), [
    ("{do: preheat, to: 350 °F}", "Preheat the oven to 350 °F (175 °C)."),
    ("{do: preheat, to: 175C}", "Preheat the oven to 175 °C (345 °F)."),
    ("{do: preheat, with: baking stone, to: 240 °C (465 °F)}", "Preheat the oven with a baking stone in it to 240 °C (465 °F)."),
    ("{do: line, into: 1 loaf pan 23 x 13 cm, note: paper the sides}", "Line a loaf pan 23 x 13 cm with paper the sides."),
    ("{do: cream, uses: [butter, sugar], with: paddle, speed: medium, for: 2-3 min, until: pale}", "Cream the butter and sugar with the paddle on medium speed for 2-3 min until pale."),
    ("{do: mix, uses: [milk], speed: '2'}", "Mix the milk on speed 2."),
    ("{do: drain, uses: [plums], with: sieve}", "Drain the plums in a sieve."),
    ("{do: brush, uses: [milk], with: brush}", "Brush with the milk using a brush."),
    ("{do: deposit, into: tin, fill: 2/3}", "Put into a tin, 2/3 full."),
    ("{do: bake, at: 175 °C (350 °F), core: 97 °C, for: 50 min}", "Bake at 175 °C (350 °F) for 50 min, with 97 °C (207 °F) in the middle."),
    ("{do: cool, on: wire rack, for: 1 h}", "Cool on a wire rack for 1 h."),
    ("{do: cut, on: paper-lined sheet pans}", "Cut onto paper-lined sheet pans."),
    ("{do: whisk, uses: [rest of sugar, milk]}", "Whisk the rest of the sugar and the milk."),
    ("{do: whisk, uses: [remaining sugar, 60 g of milk]}", "Whisk the remaining sugar and 60 g of the milk."),
    ("{do: add, uses: [the rest of the milk, half the butter]}", "Add the rest of the milk and half of the butter."),
    ("{do: add, uses: [the remaining 60 g of sugar, half of the remaining milk]}", "Add the remaining 60 g of the sugar and half of the remaining milk."),
    ("{do: dust, uses: [flour], into: tin}", "Dust a tin with the flour."),
    ("{do: add, uses: [2 of egg]}", "Add 2 of the eggs."),
    ("{do: add, uses: [egg]}", "Add the eggs."),
    ("{do: add, uses: [1/3 of milk]}", "Add 1/3 of the milk."),
    ("{do: top, uses: [plums, crumbs], until: covered}", "Top with the plums and crumbs until covered."),
    ("{do: soak, uses: [oats, water], makes: oat soaker}", "Soak the oats and water. This makes the oat soaker."),
    ("{do: rub in, uses: [sugar, butter], until: crumbs the size of peas}", "Rub the sugar and butter together to crumbs the size of peas."),
    ("{do: stir, uses: [sugar, water]}", "Stir the sugar and water."),
    ("{do: blend, until: a smooth paste}", "Blend to a smooth paste."),
    ("{do: fold, uses: [sugar], until: no dry streaks}", "Fold the sugar until no dry streaks are left."),
    ("{do: mix, uses: [sugar], until: no dry flour}", "Mix the sugar until no dry flour is left."),
    ("{do: bake, until: a skewer comes out clean}", "Bake until a skewer comes out clean."),
    ("{do: slash}", "Slash."),
    ("{do: chill, at: somewhere cold}", "Chill at somewhere cold."),
])  # fmt: skip
def test_a_step_reads_as_a_sentence(step: str, expected: str) -> None:
    assert told(step) == (expected,)


@pytest.mark.parametrize(("step", "expected"), [
    # how a pan is made ready is one sentence
    ("{do: line, into: 1 loaf pan, note: 'butter the pan, paper on the long sides'}", "Butter a loaf pan and line its long sides with paper."),
    ("{do: line, into: 2 loaf pans 20 x 10 cm, note: 'grease the pans and paper on the base'}", "Grease 2 loaf pans 20 x 10 cm and line their base with paper."),
    ("{do: line, into: 2 loaf pans 20 x 10 cm, note: paper right up the sides}", "Line 2 loaf pans 20 x 10 cm with paper right up the sides."),
    ("{do: line, into: 1 springform 24 cm, note: butter the side and paper the base}", "Line a springform 24 cm: butter the side and paper the base."),
    # what hangs on is hung on, what is a sentence stays one
    ("{do: cool, on: wire rack, note: out of the pan after 10 min}", "Cool on a wire rack, out of the pan after 10 min."),
    ("{do: cool, for: 2 h, note: 'in the ring; it sinks a finger, that is right'}", "Cool for 2 h, in the ring; it sinks a finger, that is right."),
    ("{do: slash, note: one cut along the loaf}", "Slash: one cut along the loaf."),
    ("{do: top, uses: [plums], note: cut side up}", "Top with the plums: cut side up."),
    ("{do: sift, uses: [sugar], note: set aside}", "Sift the sugar; set aside."),
    ("{do: ferment, for: 1 h, note: one fold at half time}", "Ferment for 1 h; one fold at half time."),
    ("{do: cream, uses: [butter], for: 3 min, note: this dough wants little air}", "Cream the butter for 3 min. This dough wants little air."),
    ("{do: bake, for: 9 min, note: Turn the pan.}", "Bake for 9 min. Turn the pan."),
    ("{do: flatten, note: to 2 cm}", "Flatten to 2 cm."),
    ("{do: bake, for: 9 min, note: 'at most 110 °F'}", "Bake for 9 min, at most 110 °F (43 °C)."),
    ("{do: beat in, uses: [egg], with: paddle, note: one at a time}", "Beat in the eggs, one at a time, with the paddle."),
])  # fmt: skip
def test_a_note_becomes_part_of_its_step(step: str, expected: str) -> None:
    assert told(step) == (expected,)


@pytest.mark.parametrize(("steps", "last"), [
    ("{do: mix, uses: [sugar, egg]}, {do: fold, uses: [flour]}", "Fold in the flour."),
    ("{do: mix, uses: [water, egg]}, {do: knead, uses: [salt]}", "Knead in the salt."),
    ("{do: mix, uses: [sugar, egg]}, {do: knead, uses: [rye flour, water]}", "Knead the rye flour and water."),
    ("{do: soak, uses: [oats, water], makes: soaker}, {do: stir, uses: [flour, sugar]}", "Stir the flour and sugar."),
    ("{do: mix, uses: [sugar, egg]}, {do: fold, uses: [flour, milk], makes: batter}", "Fold the flour and milk. This makes the batter."),
])  # fmt: skip
def test_what_goes_into_a_mixture_is_put_in(steps: str, last: str) -> None:
    assert told(steps)[-1] == last


@pytest.mark.parametrize(("steps", "last"), [
    # flour that was mixed with other things is named for all of them
    ("{do: whisk, uses: [bread flour, salt]}, {do: cream, uses: [butter, sugar]}, {do: mix, uses: [bread flour]}", "Mix in the flour mixture."),
    ("{do: whisk, uses: [bread flour, salt]}, {do: cream, uses: [butter, sugar]}, {do: fold, uses: [half of bread flour]}", "Fold in half of the flour mixture."),
    ("{do: whisk, uses: [bread flour, salt]}, {do: cream, uses: [butter, sugar]}, {do: add, uses: [bread flour, salt], note: the dry things}", "Add the flour mixture (the dry things)."),
    # but not where some of it was kept apart, nor where it is no mixing
    ("{do: whisk, uses: [half of bread flour, salt]}, {do: fold, uses: [rest of bread flour]}", "Fold in the rest of the bread flour."),
    ("{do: whisk, uses: [bread flour, salt]}, {do: dust, uses: [bread flour]}", "Dust with the bread flour."),
    ("{do: whisk, uses: [salt, egg]}, {do: fold, uses: [salt]}", "Fold in the salt."),
])  # fmt: skip
def test_flour_stands_for_what_it_was_mixed_with(steps: str, last: str) -> None:
    assert told(steps)[-1] == last


MIXED = "{do: mix, uses: [bread flour, egg]}, "
YIELD = "yield: {pieces: 2, piece: loaf}\n"


@pytest.mark.parametrize(("steps", "base", "last"), [
    (f"{MIXED}{{do: chill, for: 1 h}}", "dough", "Chill the dough for 1 h."),
    (f"{MIXED}{{do: deposit, into: 1 tin}}", "batter", "Put the batter into a tin."),
    (f"{MIXED}{{do: line, into: 1 tin}}, {{do: deposit, into: 1 tin}}", "batter", "Put the batter into the tin."),
    (f"{MIXED}{{do: divide}}, {{do: shape, into: 2 baskets}}", "dough", "Shape the loaves and lay them in 2 baskets."),
    (f"{MIXED}{{do: divide}}, {{do: bake, for: 9 min}}, {{do: cool}}", "dough", "Cool the loaves."),
    (f"{MIXED}{{do: deposit}}, {{do: bake}}, {{do: cut, note: 5 x 10}}", "batter", "Cut: 5 x 10."),
    # a part that nobody calls dough or batter, and a step before anything is mixed
    (f"{MIXED}{{do: chill}}", "base", "Chill."),
    ("{do: rest, for: 1 h}", "dough", "Rest for 1 h."),
    # what has no flour in it yet is no dough; what has is one, though the flour was mixed before
    ("{do: mix, uses: [salt, egg]}, {do: stand, for: 5 min}", "dough", "Stand for 5 min."),
    ("{do: mix, uses: [salt, egg]}, {do: add, uses: [bread flour]}, {do: rest}", "dough", "Rest the dough."),
])  # fmt: skip
def test_where_nothing_is_named_the_dough_or_its_pieces_are_meant(
    steps: str, base: str, last: str
) -> None:
    assert told(steps, base=base, extra=YIELD)[-1] == last


def test_where_nothing_is_baked_no_oven_is_heated() -> None:
    assert told("{do: preheat, on: griddle}", baked=False) == ("Preheat on a griddle.",)


@pytest.mark.parametrize(("text", "expected"), [
    ("at most 110 °F", "at most 110 °F (43 °C)"),
    ("Convection 375 °F, 8-10 min", "Convection 375 °F (190 °C), 8-10 min"),
    ("24-26 °C, then 4 °C", "24-26 °C (75-79 °F), then 4 °C (39 °F)"),
    ("175 °C (350 °F), fan 160 °C", "175 °C (350 °F), fan 160 °C"),
    ("26-24 °C", "26-24 °C"),
    ("vitamin C, 5 C", "vitamin C, 5 C"),
])  # fmt: skip
def test_free_text_gets_the_scale_it_lacks(text: str, expected: str) -> None:
    assert text_in_both_scales(text) == expected


@pytest.mark.parametrize(("noun", "several"), [
    ("loaf", "loaves"), ("cookie", "cookies"), ("dish", "dishes"), ("box", "boxes"),
    ("berry", "berries"), ("tray", "trays"), ("glass", "glasses"), ("squares", "squares"),
])  # fmt: skip
def test_plurals(noun: str, several: str) -> None:
    assert plural(noun) == several


def test_lists_and_articles() -> None:
    assert [listed(x) for x in ((), ("a",), ("a", "b"), ("a", "b", "c"))] == ["", "a", "a and b", "a, b and c"]  # fmt: skip
    assert with_article("oven rack") == "an oven rack"
    assert with_article("the rack") == "the rack"
    assert with_article("2 racks") == "2 racks"
    assert with_article("paper") == "paper"
    assert with_article("1 loaf pan 23 x 13 cm") == "a loaf pan 23 x 13 cm"
    assert with_article("6 cm cutter") == "a 6 cm cutter"
    assert to_the("1 loaf pan") == "the loaf pan"
    assert to_the("2 loaf pans") == "the 2 loaf pans"


@pytest.mark.parametrize(("name", "expected"), [
    ("unsalted butter", "butter, unsalted"), ("soft white flour", "flour, soft white"), ("rolled oats", "oats, rolled"),
    ("low-fat sour cream", "cream, low-fat sour"), ("1% milk", "milk, 1%"), ("black pepper", "pepper, black"),
    ("ground ginger", "ginger, ground"), ("dried sour cherries", "cherries, dried sour"),
    # names of one thing
    ("baking powder", "baking powder"), ("peanut butter", "peanut butter"), ("cream cheese", "cream cheese"),
    ("orange zest", "orange zest"), ("egg", "egg"), ("buttermilk", "buttermilk"),
])  # fmt: skip
def test_an_index_puts_the_noun_first(name: str, expected: str) -> None:
    assert inverted(name) == expected
