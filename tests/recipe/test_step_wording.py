"""What bakers leave unsaid in a method, and how they say it: one row a way of speaking.

Common practice and ordinary English, no source.
"""

import pytest

from perflour.kitchen.catalogue import built_in
from perflour.recipe.method.mentions import Index, listed
from perflour.recipe.method.steps import Paragraph, StepRead, read_steps
from perflour.result import Place

LISTED = ("flour", "butter", "sugar", "egg", "milk", "salt", "yeast", "water", "apple", "oats", "walnuts", "cinnamon", "icing sugar", "cream cheese", "topping", "glaze")  # fmt: skip
INDEX = Index(listed(name, built_in()) for name in LISTED)


def read(text: str) -> list[StepRead]:
    return read_steps([Paragraph(text, ((0, Place("x")),))], INDEX, ["topping", "glaze"])


def shown(step: StepRead) -> str:
    """`do: uses`, without what the step says besides."""
    return f"{step.do}: {', '.join(step.uses)}".rstrip(": ")


# What is said, and the steps with what they use.
WORDING = [
    # a list that something is added to goes without a verb
    ("Cream the butter and sugar, eggs in four goes, then the flour.", ["cream: butter, sugar", "add: egg", "add: flour"]),
    ("Beat butter with sugar; two eggs, one at a time; then fold in the flour.", ["beat: butter, sugar", "add: egg", "fold in: flour"]),
    ("Sift over the flour and fold it in; finally the walnuts with their skins.", ["sift over: flour", "fold", "add: walnuts"]),
    # the rest of what was parted, beside others
    ("Stir half of the flour into the milk. Mix the rest with the salt.", ["stir: half of flour, milk", "mix: rest of flour, salt"]),
    # what was only listed is what "that" means
    ("Sugar and cinnamon in a bowl. Salt. Whisk all that together.", ["whisk: sugar, cinnamon, salt"]),
    ("Sugar and cinnamon. Whisk it well.", ["add: sugar, cinnamon", "whisk"]),
    # "everything" is what was put together so far, once most was
    ("Heat the milk, water, flour, butter, sugar, egg, salt, yeast and cinnamon; return everything to the pan.", ["heat: milk, water, flour, butter, sugar, egg, salt, yeast, cinnamon", "return"]),
    ("Divide it between two tins, greased and lined.", ["grease", "line", "divide"]),
    ("Grease and flour pan.", ["grease and flour"]),
    # what is told before any step is a note of the first
    ("A loaf for the fridge. Cream the butter.", ["cream: butter"]),
    ("The glaze is milk warmed with sugar, brushed on hot.", ["warm: milk, sugar", "brush: glaze"]),
    ("Then while they're hot you brush on the butter and sprinkle the salt.", ["brush: butter", "sprinkle: salt"]),
    ("Flour, yeast and salt, mixed, then the milk and an egg, kneaded for ten minutes.", ["mix: flour, yeast, salt", "mix: milk, egg", "knead"]),
    ("Pour on the milk, and then it has to soak, thirty minutes.", ["pour on: milk", "soak"]),
    ("Add the egg; the sugar; milk, and the salt.", ["add: egg, sugar, milk, salt"]),
    ("Grate the butter over and bake them.", ["grate: butter", "bake"]),
    ("Beat the butter -- fold in the flour.", ["beat: butter", "fold in: flour"]),
    # a participle without "is"
    ("Flour, cinnamon and salt sifted together, folded in by hand.", ["sift: flour, cinnamon, salt", "fold in: flour, cinnamon, salt"]),
    ("Add the oats, flour, cinnamon and salt, mixed and sifted.", ["mix and sift: oats, flour, cinnamon, salt", "add: oats, flour, cinnamon, salt"]),
    ("Add the flour and the salt, sifted.", ["add: flour, salt"]),  # of the salt, or of both?
    ("Stir in the butter, milk and walnuts, mixed with the egg.", ["mix: walnuts, egg", "stir in: butter, milk, walnuts, egg"]),
    # two of a list that are beaten each until they are as they should be
    ("Add butter beaten until soft, milk beaten until stiff, flour, and salt.", ["beat: butter", "beat: milk", "add: butter, milk, flour, salt"]),
    ("Add the egg beaten until thick.", ["add: egg"]),
    # a machine's tool or speed and its time
    ("Add the yeast. Dough hook, low 1 min to take up the flour.", ["add: yeast", "mix"]),
    ("Add the yeast. Medium, 10 min to a smooth dough.", ["add: yeast", "mix"]),
    ("Add the yeast. Medium rye is best.", ["add: yeast"]),
    ("Mix the egg and milk. Add the butter and half the liquid. Add the rest.", ["mix: egg, milk", "add: butter, half of egg, half of milk", "add: rest of egg, rest of milk"]),
    ("Add the milk, mixing them together with a knife.", ["add: milk", "mix together: milk"]),
    ("Mix the butter. About 2 lb batter in each pan.", ["mix: butter", "scale"]),
    # what was done before to a thing that is named
    ("Add the yeast dissolved in the water.", ["dissolve: yeast, water", "add: yeast, water"]),
    ("Sprinkle over sugar mixed with cinnamon.", ["mix: sugar, cinnamon", "sprinkle over: sugar, cinnamon"]),
    ("Pour on water in which the yeast has been dissolved.", ["dissolve: yeast, water", "pour on: water, yeast"]),
    ("Lay them in a dish that has been rubbed with butter.", ["rub: butter", "lay"]),
    ("Bake on buttered sheets.", ["butter: butter", "bake"]),
    ("Turn into a tin well buttered and floured.", ["butter: butter", "flour: flour", "turn"]),
    ("Butter the tin well.", ["butter: butter"]),
    # a list before the verb that points at it
    ("Brown sugar, flour, cold butter, pinch it together, and then walnuts.", ["pinch together: sugar, flour, butter", "add: walnuts"]),
    ("Then the sugar, beat that in too.", ["beat: sugar"]),
    # one food, several verbs
    ("Peel, core and slice the apples.", ["peel: apple", "core: apple", "slice: apple"]),
    ("Halve and stone ripe apples.", ["halve: apple", "stone: apple"]),
    ("Pare, core, and slice apples and lay them in a dish.", ["pare: apple", "core: apple", "slice: apple", "lay: apple"]),
    # verbs that are nouns too
    ("Flatten on a tray, film, retard.", ["flatten", "film", "retard"]),
    ("Scale at 500 g, round, rest 15 min.", ["scale", "round", "rest"]),
    ("Pin to 25 mm, cut rounds.", ["pin", "cut"]),
    # verbs in other words
    ("Give it a good stir and tip it out.", ["stir", "tip out"]),
    ("Start by rubbing the butter into the flour.", ["rub: butter, flour"]),
    ("To make the topping rub the butter into the oats.", ["rub: butter, oats"]),
    ("Whip it to a cream with the sugar.", ["whip: sugar"]),
    ("Knock it back and set the dough aside.", ["knock back", "set aside"]),
    ("Set to rise, then out onto a rack.", ["set to rise", "turn out"]),
    ("Firm up on the trays, then onto a rack.", ["firm up", "cool"]),
    ("If it browns too fast lay foil on it.", ["lay"]),
    ("It bubbles over, so stick a sheet under it.", ["stick"]),
    ("In a big bowl goes the flour, the milk and butter, an egg, and then the yeast.", ["add: flour, milk, butter, egg", "add: yeast"]),
    ("Flour, cinnamon and salt, you sift those, and in it goes to the milk.", ["sift: flour, cinnamon, salt", "add: milk"]),
    ("Flour, salt and sugar into the mixer, dough hook on, and pour in the milk.", ["add: flour, salt, sugar", "pour in: milk"]),
    ("Butter and sugar creamed, eggs in one at a time, flour folded through.", ["cream: butter, sugar", "add: egg", "fold: flour"]),
    ("Icing sugar for dusting.", ["dust: icing sugar"]),
    ("Mix all but the salt on 1st.", ["mix: " + ", ".join(n for n in LISTED[:14] if n != "salt")]),
    # what is meant without being named
    ("Sift the flour with the salt and add to the butter.", ["sift: flour, salt", "add: flour, salt, butter"]),
    ("Whisk the egg and milk, pour into the tin.", ["whisk: egg, milk", "pour"]),
    ("Whisk the flour and salt. That goes into the bowl.", ["whisk: flour, salt", "add: flour, salt"]),
    ("Pour half of the milk over, then the topping.", ["pour: half of milk", "add: topping"]),
    ("Glaze while warm.", ["glaze: glaze"]),
    ("Wash with water and bake, no topping.", ["wash", "bake"]),
    ("Boil without stirring sugar and water.", ["boil: sugar, water"]),
    ("TOPPING.- Rub butter into sugar; when very light add, by drops, the egg.", ["rub: butter, sugar", "add: egg"]),
    ("Dry things in a bowl, make a well.", ["make: flour, salt, oats, cinnamon"]),
    ("Butter some small tins, half fill them.", ["butter: butter", "half fill"]),
    ("The salt gets sprinkled over the top and, last of all, flour goes in.", ["sprinkle: salt", "add: flour"]),
    ("Mix in the sugar, and last of all the flour.", ["mix in: sugar", "add: flour"]),
    ("It goes in the fridge.", ["chill"]),
    ("Next day stir in the egg and flour, spoon into a tin.", ["stir in: egg, flour", "spoon"]),
    ("In the morning cut down, roll and shape.", ["cut down", "roll and shape"]),
    ("Break off lumps, bend to a crescent, and space well apart.", ["break off", "bend", "space"]),
    ("Add gradually the milk, mixing with a knife to a soft dough.", ["add: milk", "mix"]),
    # what is told behind something that no list of verbs has
    ("Jiggle a knife round the edge and turn it out onto a rack.", ["turn out"]),
    ("They keep a week in a tin and freeze well.", ["note"]),
    ("Put chopped apples in a small pan with water.", ["put: apple, water"]),
    # set phrases
    ("Sit the lid back on.", ["sit back on"]),
    # and what only looks like one
    ("Put in a warm place to rise until doubled.", ["put"]),
    ("Put it back in the oven for 5 minutes.", ["put back"]),
    ("It bakes well in a loaf tin too.", ["note"]),
    ("The topping is nice.", ["note"]),
    ("Before you start, butter the tin.", ["butter: butter"]),
    ("Put it in the freezer.", ["freeze"]),
    ("Put in the yeast and the sugar.", ["add: yeast, sugar"]),
    ("Get it straight onto the flour.", ["add: flour"]),
    ("Heat the milk until hot, off the heat whisk in the sugar.", ["heat: milk", "whisk in: sugar"]),
    ("Rack to cool.", ["cool"]),
    ("Set them in the oven while the glaze is made.", ["set in the oven"]),
    ("Heap on a plate and pass with the cake, which should be served at once.", ["heap", "serve"]),
    ("Five minutes before they are done, draw the pan to the door and brush with milk.", ["draw", "brush: milk"]),
    ("Leave it ten minutes before you turn it out.", ["leave", "turn out"]),
    ("Cool in the tin before slicing.", ["cool", "slice"]),
    ("It should be 20 minutes out of the oven before you cut it.", ["leave", "cut"]),
    ("Feeds six, with milk.", ["serve: milk"]),
    ("Add the salt, 5 min on 2nd.", ["add: salt", "mix"]),
    ("Beat in the butter, then fast again until smooth.", ["beat in: butter", "mix"]),
    ("You get about three dozen.", ["note"]),
    ("Then oats, and walnuts - stir those in by hand.", ["stir: oats, walnuts"]),
    ("warm the milk. wait till it soaks in. brush on the glaze.", ["warm: milk", "wait", "brush: glaze"]),
    ("Milk (keep some back), goes in a saucepan with the sugar.", ["add: milk, sugar"]),
    ("Add gradually the sugar, beating the while, and the egg.", ["add: sugar, egg"]),
    ("If it's too dry to roll, a little water.", ["add: water"]),
    ("Milk and eggs and whisk that up, and the sugar.", ["whisk up: milk, egg", "add: sugar"]),
    ("Pare, core, and slice tart apples, and lay them in a dish.", ["pare: apple", "core: apple", "slice: apple", "lay: apple"]),
    ("Glaze with icing sugar stirred to a paste with the milk and melted butter.", ["stir: icing sugar, milk, butter", "glaze: icing sugar, milk, butter"]),
    ("And the glaze is just milk and icing sugar.", ["mix: milk, icing sugar"]),
    ("Pour it in the tin and it bakes for an hour.", ["pour", "bake"]),
    ("Butter and line a 30x20 cm tin.", ["butter and line"]),
    ("Get the oven on at 180 C and butter and line a tin.", ["get the oven", "butter and line"]),
    ("Roll up and cut in slices.", ["roll up and cut"]),
    ("Preheat the oven to 170 C and line two baking trays.", ["preheat", "line"]),
    ("All in except butter.", ["add: " + ", ".join(n for n in LISTED[:14] if n != "butter")]),
    ("Put to rise under a cloth.", ["put to rise"]),
    ("Take the butter and sugar and cream those two.", ["cream: butter, sugar"]),
    ("They go in a nine by thirteen pan that you've greased.", ["grease", "put"]),
    ("Hang it in a cloth.", ["hang"]),
    ("Let it lie in a cool place an hour.", ["lie"]),
    # what a thing is told for, and not taken
    ("Icing sugar for dusting if you have no time for the glaze.", ["dust: icing sugar"]),
    ("Add water if the flour is dry.", ["add: water"]),
    ("Shape with a cutter dipped in flour.", ["shape"]),
    ("Bake for 5 minutes, by which time the oats ought to be toasted.", ["bake"]),
    # mixtures by what was stirred into them
    ("Warm the milk. Crumble yeast into it. Mix flour and salt. Tip in the yeasty milk.", ["warm: milk", "crumble: yeast", "mix: flour, salt", "tip in: milk, yeast"]),
    ("Milk and sugar. Oats, cinnamon and salt in a bowl. Whisk the dry together.", ["add: milk, sugar", "whisk together: oats, cinnamon, salt"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "steps"), WORDING, ids=[text for text, _ in WORDING])
def test_how_it_is_said(text: str, steps: list[str]) -> None:
    assert [shown(step) for step in read(text)] == steps


# What is said, and the times and heats of its steps.
TIMES = [
    ("Mix 3 min slow, 5 min fast.", ["mix for 3 min", "mix for 5 min speed fast"]),
    ("Mix 5 min slow, 6 fast.", ["mix for 5 min", "mix for 6 min speed fast"]),
    ("Let rise until light, about an hour and a quarter.", ["let rise for about 1 1/4 h"]),
    ("Leave it an hour or two.", ["leave for 1-2 h"]),
    ("Bake a good hour.", ["bake for 1 h"]),
    ("Bake 20-25' at 180 C.", ["bake for 20-25 min at 180 °C"]),
    ("Bake 12 mins for chewy, 15 for snap.", ["bake for 12-15 min"]),
    ("Bake about half an hour, no, say 22 to 25 minutes.", ["bake for 22-25 min"]),
    ("Bake at 180 C, turn the tray after 14 minutes.", ["bake at 180 °C", "turn"]),
    ("After 20 minutes turn the oven down to 160 C and bake 30 minutes more.", ["bake for 30 min at 160 °C"]),
    ("You let it sit in the fridge an hour.", ["sit for 1 h"]),
    ("Wait till it foams up, ten minutes or thereabouts.", ["wait for 10 min"]),
    ("Convection 165, 16 min.", ["bake for 16 min at 165 °C"]),
    ("Proof at 26 for 2 h.", ["proof for 2 h at 26 °C"]),
    ("Stick it in the oven at 350 for forty minutes.", ["bake for 40 min at 350 °F"]),
    ("Rest 20.", ["rest for 20 min"]),
    ("Bake for 10 minutes, turn the tray, and bake another 8.", ["bake for 10 min", "turn", "bake for 8 min"]),
    ("They take about 12 minutes at 180 C.", ["bake for about 12 min at 180 °C"]),
    ("Twenty minutes at gas 5 should do it.", ["bake for 20 min at 190 °C (375 °F)"]),
    ("Load with steam: first 10 min at 240 C, then 30 min at 210 C. Core 97.", ["load", "bake for 10 min at 240 °C", "bake for 30 min at 210 °C core 97 °C"]),
    ("Five minutes in the tin, then out onto a wire rack.", ["leave for 5 min", "turn out"]),
    ("Scale at 450 g into a tin, 160 fan, 45 min.", ["scale", "bake for 45 min at 160 °C"]),
    ("First prove is about an hour and a half, with a fold.", ["prove for about 1 1/2 h"]),
    ("Lined tin, Gas 2, 1 1/4 hrs.", ["bake for 1 1/4 h at 150 °C (300 °F)"]),
    ("Egg wash inside, back 3 min.", ["egg wash", "bake for 3 min"]),
    ("Middle shelf, 325F, 1 hr 15 - 1 hr 30.", ["bake for 75-90 min at 325 °F"]),
    ("Reduce to 200 C and give it 25 mins more.", ["bake for 25 min at 200 °C"]),
    ("Spiral: 4 min 1st, 3 min 2nd. FDT 24C.", ["mix for 4 min", "mix for 3 min to 24 °C speed 2nd"]),
    ("Butter in over 3 min, 6 min 2nd. Desired dough temp 25C.", ["add for 3 min", "mix for 6 min to 25 °C speed 2nd"]),
    ("Bake at Reg 4 for 1 hour.", ["bake for 1 h at 180 °C (350 °F)"]),
    ("Mix 5 min. Dough temp 25.", ["mix for 5 min to 25 °C"]),
    ("Pour it in a tin and it bakes for an hour at 350.", ["pour", "bake for 1 h at 350 °F"]),
    ("Oven 170 C, 22 min, turn the tray. Core 95-97 C.", ["bake for 22 min at 170 °C core 95-97 °C", "turn"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "steps"), TIMES, ids=[text for text, _ in TIMES])
def test_how_long_and_how_hot_it_is_said(text: str, steps: list[str]) -> None:
    def told(step: StepRead) -> str:
        fields = dict(step.fields)
        keys = ("for", "at", "to", "core", "speed")
        return " ".join((step.do, *(f"{key} {fields[key]}" for key in keys if key in fields)))

    assert [told(step) for step in read(text)] == steps


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Rest 20.", "no unit of time is said; taken as minutes, check it"),
        ("Icing sugar for dusting.", "no verb is said; taken as dust"),
        (
            "Stir in the raisins.",
            "'raisins' is said to be used and stands in no list; list it, or name what it is",
        ),
        ("Beat in the brown sugar.", ""),
        ("Beat until thick and lemon-coloured.", ""),
        ("Stand it over a pan of simmering water.", ""),
    ],
)
def test_what_is_supposed_is_told(text: str, why: str) -> None:
    (step,) = read(text)
    assert step.unclear == why
    assert (step.confidence < 1) == bool(why)


@pytest.mark.parametrize(("one", "other"), [("demerara", "icing"), ("icing", "granulated")])
def test_another_sugar_than_the_listed_one_is_told_and_not_taken(one: str, other: str) -> None:
    index = Index([listed(f"{one} sugar", built_in())])
    (step,) = read_steps([Paragraph(f"Dust with {other} sugar.", ((0, Place("x")),))], index, [])
    assert step.uses == ()
    assert step.unclear.startswith(f"'{other} sugar' is said to be used and stands in no list")


@pytest.mark.parametrize(
    ("text", "until"),
    [
        ("Work butter with sugar; flour follows, worked only until there's no dry flour left.", "there's no dry flour left"),
        ("They're fragile, so leave them till cold.", "cold"),
    ],
)  # fmt: skip
def test_a_sign_is_what_the_text_says(text: str, until: str) -> None:
    assert until in [dict(step.fields).get("until") for step in read(text)]


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("Cream first two, beat in rest.", ["cream: butter, sugar", "beat in: egg, milk"]),
        ("Beat the egg and leave to rest.", ["beat: egg", "leave to rest"]),
    ],
)
def test_what_is_told_by_its_place_in_the_list_of_one_part(text: str, steps: list[str]) -> None:
    index = Index(listed(name, built_in()) for name in ("butter", "sugar", "egg", "milk"))
    read = read_steps([Paragraph(text, ((0, Place("x")),))], index, [])
    assert [shown(step) for step in read] == steps


def test_a_paragraph_speaks_of_the_part_that_is_listed_above_it() -> None:
    entries = [
        listed(name, built_in(), of)
        for name, of in (("caster sugar", ["batter"]), ("icing sugar", ["icing"]), ("butter", ["batter", "icing"]))
    ]  # fmt: skip
    text = "Paddle the butter and sugar light."
    for above, sugar in (("batter", "caster sugar"), ("icing", "icing sugar")):
        (step,) = read_steps([Paragraph(text, ((0, Place("x")),))], Index(entries), ["batter", "icing"], "", [above])  # fmt: skip
        assert step.uses == ("butter", sugar)


def test_the_liquid_is_all_that_was_beaten_into_it() -> None:
    index = Index(listed(name, built_in()) for name in ("egg", "milk", "salt", "flour"))
    text = "Beat the egg. Add milk and salt. Make a hollow in the flour, pour in the liquid."
    read = read_steps([Paragraph(text, ((0, Place("x")),))], index, [])
    assert shown(read[-1]) == "pour in: egg, milk, salt"


def test_a_liquid_that_is_listed_so_is_that_and_no_kind() -> None:
    index = Index(listed(name, built_in()) for name in ("liquid", "milk", "flour"))
    (step,) = read_steps([Paragraph("Mix flour, liquid, milk.", ((0, Place("x")),))], index, [])
    assert step.uses == ("flour", "liquid", "milk")


@pytest.mark.parametrize(
    ("text", "into"),
    [
        ("Fill well-greased muffin pans two-thirds full.", "well-greased muffin pans"),
        ("Fill each case two-thirds.", "each case"),
        ("Fill the tin with the flour.", None),
        ("Fill the holes with the glaze.", None),
    ],
)
def test_a_pan_that_is_filled_is_where_it_goes(text: str, into: str | None) -> None:
    (step,) = read(text)
    assert dict(step.fields).get("into") == into
