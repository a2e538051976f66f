"""What a method says in words and in no field is said; what only explains, or is not there, is missed."""

from __future__ import annotations

import pytest

from perflour.kitchen.house import kitchen_for
from perflour.lint.check import check_content

DOUGH = "flour: 250 g, milk: 150 g, butter: 60 g, salt: 4 g"
MIX = "{do: mix, uses: [flour, milk, butter, salt]}"
HOT = "{do: preheat, to: 180 °C}"
BAKE = "{do: bake, at: 180 °C, for: 20 min, until: golden}"
COOL = "{do: cool, for: 30 min}"


def part(name: str, listed: str, kind: str = "") -> str:
    """A part from `item: amount` pairs; an amount may bring a state or a note behind a bar."""
    lines = ""
    for pair in listed.split(", "):
        item, _, amount = pair.partition(": ")
        amount, *more = amount.split(" | ")
        lines += f"      - {{item: {item}, amount: {amount}{''.join(', ' + m for m in more)}}}\n"
    kinded = f"    kind: {kind}\n" if kind else ""
    return f"  - part: {name}\n{kinded}    ingredients:\n{lines}"


def found(rule: str, *steps: str, parts: str = "") -> list[str]:
    """The messages of one rule over a formula of these parts and steps."""
    head = "formula: plain-bun\ntitle: Plain bun\nclass: bun\nstatus: draft\nparts:\n"
    method = "method:\n" + "".join(f"  - {step}\n" for step in steps)
    content = head + (parts or part("dough", DOUGH, "dough")) + method
    results = check_content(content.encode(), "formula.yaml", kitchen_for("formula.yaml"))
    assert not [r for r in results if r.rule in ("broken-yaml", "not-as-schema")], results
    return [r.message for r in results if r.rule == rule]


def note(text: str) -> str:
    return f"{{do: note, note: '{text}'}}"


@pytest.mark.parametrize(
    ("text", "is_taken"),
    [
        ("Flavor with salt.", True),
        ("In goes the salt, and knead on", True),
        ("Eggs, one after the other; then the flour, milk and salt", True),
        ("Everything bar the butter on the hook, 5 min slow", True),
        ("Everything bar the salt on the hook, 5 min slow", False),
        ("Knead without the salt for 5 min", False),
        ("mix all but the salt", False),
        ("Salt toughens the gluten", False),
        ("If you like, add a little salt", False),
        ("The dough would keep longer with salt in it", False),
        ("Serve with salted butter", False),
        ("Knead well", False),
    ],
)
def test_a_note_takes_what_it_plainly_says(text: str, is_taken: bool) -> None:
    told = found("listed-never-used", "{do: mix, uses: [flour, milk, butter]}", note(text))
    said = ["salt is listed but no step uses it; add it to the `uses` of a step"]
    assert told == ([] if is_taken else said)


@pytest.mark.parametrize(
    ("listed", "text", "is_taken"),
    [
        ("brown sugar: 50 g", "stir in the brown sugar", True),
        ("butter: 50 g", "stir in the peanut butter", False),
        ("butter: 50 g", "Butter the tin", False),
        ("juice of the orange: 50 g", "warm it with the orange juice", True),
        ("water: 50 g", "rest", False),
        ("29 ounce 1: 50 g", "rest", True),  # no food: unknown-ingredient tells
    ],
)
def test_the_food_is_the_one_that_is_named(listed: str, text: str, is_taken: bool) -> None:
    parts = part("dough", f"flour: 100 g, {listed}", "dough")
    told = found("listed-never-used", "{do: sift, uses: [flour]}", note(text), parts=parts)
    assert (told == []) == is_taken


@pytest.mark.parametrize(
    ("steps", "is_used"),
    [
        (["{do: cream, uses: [lard, honey]}", note("On goes the topping")], True),
        (["{do: cream, uses: [lard]}", "{do: brush, uses: [honey]}"], True),
        (["{do: cream, uses: [lard]}", note("sprinkle upon them the honey")], True),
        (["{do: cream, uses: [lard, honey]}", "{do: pipe, note: Pipe 12 g on each}"], True),
        (
            ["{do: cream, uses: [lard, honey]}", "{do: pipe, uses: [flour], note: Pipe on each}"],
            True,
        ),
        (["{do: cream, uses: [lard, honey]}", "{do: spread, on: each sheet}"], True),
        (["{do: cream, uses: [lard, honey]}", "{do: heap, on: cold plate}"], True),
        (["{do: lay, uses: [lard, honey], into: dish}"], True),
        (
            ["{do: cream, uses: [lard, honey]}", "{do: spread, uses: [flour], on: each sheet}"],
            False,
        ),
        (["{do: cream, uses: [lard, honey]}", "{do: spread, into: tin}"], False),
        (["{do: cream, uses: [lard, flour]}", "{do: spread, on: each sheet}"], False),
        (["{do: cream, uses: [lard, honey]}"], False),
        (["{do: cream, uses: [lard, honey]}", note("The topping is sweet")], False),
        (["{do: cream, uses: [lard, honey]}", "{do: pour, into: pan}"], False),
    ],
)
@pytest.mark.parametrize("topping_first", [False, True])
def test_a_part_is_used_where_words_put_it_on(
    steps: list[str], is_used: bool, topping_first: bool
) -> None:
    parts = [part("dough", DOUGH, "dough"), part("topping", "lard: 50 g, honey: 20 g", "topping")]
    told = found(
        "part-never-used", MIX, *steps, parts="".join(parts[:: -1 if topping_first else 1])
    )
    assert (told == []) == is_used


@pytest.mark.parametrize(
    ("name", "line", "is_used"),
    [
        ("to serve", "{item: cream, amount: 50 g}", True),
        ("dusting", "{item: cocoa, amount: 50 g, note: for dusting}", True),
        ("dusting", "{item: cocoa, amount: 50 g, note: sifted}", False),
    ],
)
def test_what_is_for_the_table_or_for_dusting_needs_no_step(
    name: str, line: str, is_used: bool
) -> None:
    beside = f"  - part: {name}\n    kind: topping\n    ingredients: [{line}]\n"
    told = found("part-never-used", MIX, parts=part("dough", DOUGH, "dough") + beside)
    assert (told == []) == is_used


def test_the_dough_needs_no_name_where_a_part_without_a_kind_stands_before_it() -> None:
    parts = part("curd", "honey: 20 g") + part("dough", DOUGH, "dough")
    assert found("part-never-used", MIX, "{do: fill, uses: [curd]}", parts=parts) == []


@pytest.mark.parametrize(
    ("rule", "steps", "is_said"),
    [
        ("oven-not-preheated", ["{do: bake, into: rather hot oven}"], True),
        ("oven-not-preheated", ["{do: bake, note: Bake an hour in a slow oven}"], True),
        ("oven-not-preheated", [note("Moderate oven (180C)"), "{do: bake}"], True),
        ("oven-not-preheated", [note("Grease it and get the oven to gas mark 4"), "{do: bake}"], True),
        ("oven-not-preheated", ["{do: bake, at: 375 °F, note: moderate oven}"], False),
        ("oven-not-preheated", [note("warm the plates in the oven at 100 C"), "{do: bake}"], False),
        ("oven-not-preheated", ["{do: bake, into: oven}"], False),
        ("bake-without-temperature", [HOT, "{do: bake, for: 20 min}"], True),
        ("bake-without-temperature", [note("Slow-ish oven, 160C"), "{do: bake}"], True),
        ("bake-without-temperature", ["{do: bake, note: Bake at gas mark 6}"], True),
        ("bake-without-temperature", ["{do: bake, note: until the core has 205 F}"], False),
        ("bake-without-temperature", ["{do: preheat}", "{do: bake, into: hot oven}"], False),
        ("bake-without-temperature", ["{do: bake}", HOT], False),
        ("no-doneness-sign", ["{do: bake, note: centre 96 C}", COOL], True),
        ("no-doneness-sign", ["{do: bake}", "{do: test, with: skewer}", COOL], True),
        ("no-doneness-sign", ["{do: bake, note: They look raw in the middle}"], True),
        ("no-doneness-sign", ["{do: bake}", "{do: put, note: put back until they ought to be toasted}"], True),
        ("no-doneness-sign", ["{do: bake, for: 10 min}", BAKE], True),
        ("no-doneness-sign", ["{do: blind bake}", "{do: fill}", BAKE], False),
        ("no-doneness-sign", ["{do: bake}", COOL, "{do: boil, until: golden}"], False),
        ("no-doneness-sign", ["{do: bake, note: wait till the loaf is cold}"], False),
        ("no-doneness-sign", ["{do: bake, note: brush with golden syrup}"], False),
        ("no-doneness-sign", ["{do: bake}", "{do: check, note: the filling}"], False),
        ("no-cooling", ["{do: bake, note: 'Five minutes in the tin, then onto a rack'}"], True),
        ("no-cooling", ["{do: bake}", "{do: wrap, until: cold}"], True),
        ("no-cooling", ["{do: bake}", "{do: let, note: Let it stand a while}"], True),
        ("no-cooling", ["{do: bake}", "{do: leave, on: sheet, for: 5 min}"], True),
        ("no-cooling", ["{do: bake}", note("It should be served at once")], True),
        ("no-cooling", ["{do: bake, note: bake in a cool oven}"], False),
        ("no-cooling", [note("Cool the milk"), "{do: bake}"], False),
        ("no-cooling", ["{do: bake}", "{do: loosen, note: loosen while warm}"], False),
        ("creaming-without-sign", ["{do: cream, note: 'Cream cheese, cold 900 g'}"], True),
        ("creaming-without-sign", ["{do: cream, note: Cream the butter}"], False),
    ],
)  # fmt: skip
def test_the_words_of_a_bake_count(rule: str, steps: list[str], is_said: bool) -> None:
    assert (found(rule, MIX, *steps) == []) == is_said


@pytest.mark.parametrize(
    ("rule", "step", "message"),
    [
        ("bake-without-temperature", "{do: bake, note: 'Bake 175, 25 min'}", "'175' in the note of the step 'bake' has no scale; write it as `at`, like `at: 175 °C`"),
        ("unlisted-grease-or-dust", "{do: flour, note: Flour the board}", "the step 'flour' does not say how much; list it with an amount and name it in `uses`"),
        ("unlisted-grease-or-dust", "{do: grease, note: Grease the bowl with oil}", "the step 'grease' does not say how much; list it with an amount and name it in `uses`"),
        ("unlisted-grease-or-dust", "{do: grease, note: Grease the bowl}", "the step 'grease' does not say with what; list it with an amount and name it in `uses`"),
        ("unlisted-grease-or-dust", "{do: butter, note: 'Butter, soft 300'}", None),
        ("unlisted-grease-or-dust", "{do: set, note: a pan greased with butter}", None),
    ],
)  # fmt: skip
def test_what_is_half_said_is_told_as_that(rule: str, step: str, message: str | None) -> None:
    assert found(rule, MIX, step) == ([message] if message else [])


@pytest.mark.parametrize(
    ("rule", "line", "message"),
    [
        ("unreadable-amount", "sugar: not stated | note: gran. 1.3 kg", "the amount of sugar is not stated, but '1.3 kg' stands beside it; write that as `amount`"),
        ("unreadable-amount", "sugar: not stated", "no amount of sugar was read; write what the recipe says, like `240 g`, `1 1/2 cup` or `4-5 cup`"),
        ("unreadable-amount", "sugar: handful", "'handful' has no number that can be read; write it like `240 g`, `1 1/2 cup` or `4-5 cup`"),
        ("unweighable-amount", "sugar: 450 each", "450 of sugar has no unit; write it, like `450 g`"),
        ("unweighable-amount", "hazelnuts: 250 each", "250 of hazelnuts has no unit; write it, like `250 g`"),
        ("unweighable-amount", "hazelnuts: 1 each", "'1 each': no published mass of one 'each' of hazelnuts; weigh it, or add a measure to ingredients.yaml"),
        ("egg-without-size", "egg: 500 each", "500 of egg has no unit; write it, like `500 g`"),
        ("egg-without-size", "egg: 2 each", "'2 each' of egg has no size; write it like `2 large`, or weigh it"),
        ("unknown-ingredient", "water 66 %: 20 g", "'water 66 %' holds a figure; write an amount as `amount`, else add the name to ingredients.yaml"),
        ("unknown-ingredient", "tablespoons: 20 g", "'tablespoons' is a measure, not a food; write the food, or take the line out"),
        ("unknown-ingredient", "loaf tin: 20 g", "'loaf tin' is not a food but what it is baked in; take the line out"),
        ("unknown-ingredient", "firmly: 20 g", "'firmly' is not the name of a food; write the food, or take the line out"),
        ("unknown-ingredient", "same sugar: 20 g", "'same sugar' does not say which; write it as the line that it means"),
        ("unknown-ingredient", "whites of the eggs: 20 g", "'whites of the eggs' is called 'egg white' in the catalogue; write that"),
        ("unknown-ingredient", "winter squash: 20 g", "'winter squash' is not in the catalogue; if it is right, add it to ingredients.yaml"),
        ("estimated-mass", "sugar: 1 cup | state: creamed", None),
    ],
)  # fmt: skip
def test_a_line_that_was_misread_is_told_as_that(rule: str, line: str, message: str | None) -> None:
    parts = part("dough", f"flour: 100 g, {line}", "dough")
    assert found(rule, "{do: sift, uses: [flour]}", parts=parts) == ([message] if message else [])


def test_lettered_parts_may_be_recipes_of_their_own() -> None:
    parts = part("a. scones", "flour: 100 g") + part("b. tartlets", "milk: 100 g")
    assert found("part-place-unclear", "{do: rest}", parts=parts) == [
        f"the part '{name}' may be a recipe of its own; give it a file of its own, or say its `kind`"
        for name in ("a. scones", "b. tartlets")
    ]


def test_the_fat_of_another_part_is_not_the_one_that_is_creamed() -> None:
    step = "{do: cream, uses: [butter, sugar]}"
    cold = "butter: 50 g | state: cold"
    one = part("dough", f"flour: 100 g, {cold}, sugar: 40 g", "dough")
    two = part("dough", f"flour: 100 g, {cold}", "dough") + part(
        "filling", "sugar: 40 g", "filling"
    )
    assert found("butter-state-unfit", step, parts=one)
    assert found("butter-state-unfit", step, parts=two) == []
