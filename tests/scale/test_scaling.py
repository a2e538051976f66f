"""Scaling: targets to factors, amounts a kitchen can measure, pans, whole eggs."""

from __future__ import annotations

import json
from math import pi
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from perflour.diff.change import LineChange
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.kitchen.household import household_measure
from perflour.kitchen.pans import parse_pans
from perflour.kitchen.quantity import AmountProblem, parse_amount
from perflour.kitchen.weighing import Mass, weigh
from perflour.lint.check import check_content
from perflour.result import CannotRun
from perflour.scale.request import ScaleRequest, scale_source
from perflour.scale.scaling import (
    Style,
    factor_to_batch,
    factor_to_flour,
    rounded_g,
    scale,
)
from tests.conftest import examples, formula_text, run_cli, weigh_text

KITCHEN = Kitchen(House(), built_in())
LINES = (
    "{item: flour, amount: 400 g}",
    "{item: sugar, amount: 200 g}",
    "{item: egg, amount: 2 large}",
    "{item: butter, amount: 100 g}",
    "{item: salt, amount: 4 g}",
)
TEXT = formula_text(*LINES, extra="yield: {pieces: 8, piece: bun, scaling-weight: 100.5 g}\n")
CUP_ML = 231 * 2.54**3 / 16


def factor(asked: ScaleRequest) -> float:
    return scale_source(TEXT.encode(), weigh_text(TEXT), KITCHEN, asked).scaled.factor


TARGETS: list[tuple[ScaleRequest, float]] = [
    (ScaleRequest(times="2.5"), 2.5),
    (ScaleRequest(times="1 1/2"), 1.5),
    (ScaleRequest(batch="1608 g"), 2),
    (ScaleRequest(batch="1 lb"), 453.59237 / 804),
    (ScaleRequest(pieces="12"), 1.5),
    (ScaleRequest(pieces="12", each="67 g"), 1),
    (ScaleRequest(flour="1 kg"), 2.5),
    (
        ScaleRequest(
            have=(
                "egg=3 large",
                "butter=200 g",
            )
        ),
        1.5,
    ),
    (ScaleRequest(have=("salt=3 g",)), 0.75),
    (ScaleRequest(pans="volume 1608 ml", fill="1/2"), 1),
    (ScaleRequest(pans="volume 1608 ml", fill="1/2", density="0.5"), 0.5),
    (ScaleRequest(pans="round 24 x 5 cm", from_pans="round 12 x 5 cm"), 4),
]


@pytest.mark.parametrize(("asked", "expected"), TARGETS, ids=[str(t[0]) for t in TARGETS])
def test_targets_are_met(asked: ScaleRequest, expected: float) -> None:
    assert factor(asked) == pytest.approx(expected)


def test_seventy_three_baguettes() -> None:
    """Culinary course worksheet (published/worked_examples.yaml, scaling-baguettes): 73 x 390 g."""
    text = formula_text(
        "{item: flour, amount: 1000 g}",
        "{item: water, amount: 670 g}",
        "{item: salt, amount: 20 g}",
        "{item: instant yeast, amount: 10 g}",
    )
    rescaled = scale_source(
        text.encode(), weigh_text(text), KITCHEN, ScaleRequest(pieces="73", each="390 g")
    )
    assert [round(line.exact_g or 0) for line in rescaled.scaled.lines] == [16747, 11221, 335, 167]


# Volumes by straight-sided geometry, US cups to the brim, as worked out in the notes of
# published/reference/process figures (household pan tables; magazine substitution chart, 2008).
PANS = [
    ("round 8 x 2 inch", 6.96), ("round 9 x 2 inch", 8.81), ("round 10 x 2 inch", 10.88),
    ("rectangular 8 x 8 x 2 inch", 8.87), ("square 9 x 2 inch", 11.22),
    ("rectangular 13 x 9 x 2 inch", 16.21), ("loaf 8.5 x 4.5 x 2.5 inch", 6.62),
    ("loaf 9 x 5 x 3 inch", 9.35), ("springform 9 x 2.5 inch", 11.02),
    ("sheet 18 x 13 x 1 inch", 16.21), ("2 round 9 x 1.5 in", 13.22),
]  # fmt: skip


@pytest.mark.parametrize(("pan", "cups"), PANS)
def test_pan_volumes_are_their_geometry(pan: str, cups: float) -> None:
    assert parse_pans(pan).volume_ml / CUP_ML == pytest.approx(cups, abs=0.006)


# What names the base alone; it is asked about, never taken for a cube.
NO_HEIGHT = ("round 20 cm", "loaf 22 x 12 cm", "rectangular 13 x 9 in", "square 20 x 20 cm", "square 20 cm", "sheet 40 x 30 cm")  # fmt: skip


def test_pans_add_up() -> None:
    pans = parse_pans("2 round 20 x 5 cm, loaf 22 x 12 x 7 cm")
    assert (pans.number, pans.volume_ml) == (3, pytest.approx(2 * pi * 100 * 5 + 22 * 12 * 7))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "round",
        "round 20",
        "round 20 cm",
        "hexagon 3 x 3 cm",
        "loaf 22 x 12 cm",
        "rectangular 13 x 9 in",
        "square 20 x 20 cm",
        "square 20 cm",
        "sheet 40 x 30 cm",
        "13 x 9 in",
        "round 0 x 5 cm",
        "round 20 x 5 kg",
        "loaf 1 x 2 x 3 x 4 cm",
        "volume 3 g",
        "round 1/0 x 5 cm",
    ],
)
def test_what_is_no_pan_is_refused_in_one_line(text: str) -> None:
    with pytest.raises(AmountProblem, match="write it like") as caught:
        parse_pans(text)
    assert ("the height of" in caught.value.message) == (text in NO_HEIGHT)
    assert "\n" not in caught.value.message


# Household measures read back through the catalogue (USDA SR28 masses).
HOUSEHOLD = [
    (125, "flour", "", "1 cup"), (300, "flour", "", "2 1/3 cup plus 1 tbsp"),
    (220, "dark brown sugar", "packed", "1 cup"), (113, "butter", "", "1/2 cup"),
    (6, "salt", "", "1 tsp"), (0.4, "salt", "", "1 pinch"), (4.6, "baking soda", "", "1 tsp"),
    (20, "honey", "", "1 tbsp"),
    # 4.6 g of soda a teaspoon (USDA SR28, NDB 18372): a quarter would be 23 % short, and for 1 g no spoon is near
    (1.5, "baking soda", "", "1/3 tsp"), (0.85, "baking soda", "", None),
    # nobody measures eggs in cups
    (75, "egg", "", "1 1/2 large"), (110, "egg", "", None), (33, "egg white", "", "1 large"),
    (85, "dried whole egg", "", None),
]  # fmt: skip


@pytest.mark.parametrize(("grams", "item", "state", "said"), HOUSEHOLD)
def test_household_measures_are_sensible(
    grams: float, item: str, state: str, said: str | None
) -> None:
    assert household_measure(grams, built_in().find(item), state) == said


@given(
    st.floats(10, 3000),
    st.sampled_from(["flour", "sugar", "whole milk", "butter", "honey", "salt", "cocoa"]),
)
@examples(300)
def test_household_measures_stay_near_the_mass(grams: float, item: str) -> None:
    ingredient = built_in().find(item)
    said = household_measure(grams, ingredient, "")
    assert said is not None
    mass = weigh(parse_amount(said), ingredient, "")
    assert isinstance(mass, Mass)
    # no measure is said that is farther off than TOO_FAR
    assert mass.grams == pytest.approx(grams, rel=0.07)


@given(st.fractions(min_value="1/12", max_value=40, max_denominator=12))
@examples(60)
def test_exact_scaling_moves_no_ratio(times: object) -> None:
    rescaled = scale_source(
        TEXT.encode(),
        weigh_text(TEXT),
        KITCHEN,
        ScaleRequest(times=str(times), resolution="0.0001 g"),
    )
    assert {c.kind for c in rescaled.effect.changes} <= {
        "batch-scaled",
        "re-measured",
        "yield",
        "mass-per-piece",
    }
    assert rescaled.after.batch_g == pytest.approx(rescaled.scaled.batch_g, rel=1e-4)


@given(st.floats(0.2, 9), st.booleans(), st.booleans())
@examples(60)
def test_the_new_file_is_a_formula_without_new_errors(
    times: float, household: bool, whole: bool
) -> None:
    assume(round(times, 3) > 0)
    asked = ScaleRequest(times=f"{times:.3f}", household=household, whole_eggs=whole)
    rescaled = scale_source(TEXT.encode(), weigh_text(TEXT), KITCHEN, asked)
    formula = read_formula(rescaled.content, "scaled")
    assert [line.name for part in formula.parts for line in part.lines] == [
        "flour",
        "sugar",
        "egg",
        "butter",
        "salt",
    ]
    rules = {r.rule for r in check_content(rescaled.content, "scaled", KITCHEN)}
    assert not rules & {
        "unreadable-amount",
        "unknown-unit",
        "yield-off-batch",
        "unweighable-amount",
    }


def test_whole_eggs_say_what_they_do_to_the_ratio() -> None:
    rescaled = scale_source(
        TEXT.encode(), weigh_text(TEXT), KITCHEN, ScaleRequest(times="1.25", whole_eggs=True)
    )
    assert next(line.amount for line in rescaled.scaled.lines if line.item == "egg") == "3 large"
    egg = next(c for c in rescaled.effect.changes if c.subject == "egg" and c.kind == "amount")
    assert isinstance(egg, LineChange)
    assert (egg.before_percent, egg.after_percent) == (pytest.approx(25), pytest.approx(30))


@pytest.mark.parametrize(
    ("asked", "egg"),
    [
        (ScaleRequest(times="0.125", whole_eggs=True), "1 large"),
        (ScaleRequest(times="0.05", household=True), "0.5 large"),
        (ScaleRequest(times="0.125", household=True), "0.5 large"),
    ],
)
def test_no_egg_is_scaled_away(asked: ScaleRequest, egg: str) -> None:
    rescaled = scale_source(TEXT.encode(), weigh_text(TEXT), KITCHEN, asked)
    assert next(line.amount for line in rescaled.scaled.lines if line.item == "egg") == egg


def test_the_command(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text("# kept\n" + TEXT, encoding="utf-8")
    out = run_cli("scale", "f.yaml", "--pieces", "12", cwd=tmp_path).out
    assert out.startswith("Trial (trial) x1.5: 12 pieces\n")
    assert "  flour   400 g      600.0  600 g  " in out
    assert out.endswith(
        "batch        1,206 g (exact 1,206.0 g)\nyield        12 x 101 g\n\nratios unchanged\n"
    )
    written = run_cli("scale", "f.yaml", "--pieces", "12", "--output", "formula", cwd=tmp_path).out
    assert written.startswith("# kept\n")
    assert "{item: flour, amount: 600 g}" in written
    assert "{pieces: 12, piece: bun, scaling-weight: 101 g}" in written
    data = json.loads(
        run_cli("scale", "f.yaml", "--flour", "1 kg", "--output", "json", cwd=tmp_path).out
    )
    assert data["factor"] == 2.5


REFUSED = [
    (["--times", "0"], "perflour: --times '0' is no number above zero; write one like 2.5 or 1/3"),
    (["--times", "-1"], "perflour: --times '-1' is no number above zero; write one like 2.5 or 1/3"),
    (["--times", "1e9"], "perflour: --times '1e9' is no number above zero; write one like 2.5 or 1/3"),
    (["--pieces", "1.5"], "perflour: --pieces '1.5' is no whole number above zero; write one like 24"),
    (["--batch", "2 cup"], "perflour: --batch '2 cup' is no mass; write it like `500 g` or `2 kg`"),
    (["--batch", "some"], "perflour: --batch: 'some' has no number that can be read; write it like `240 g`, `1 1/2 cup` or `4-5 cup`"),
    (["--have", "egg"], "perflour: --have 'egg' is not ITEM=AMOUNT; write it like `egg=3 large`"),
    (["--have", "rum=1 cup"], "perflour: 'rum' is not an ingredient with a mass in this formula; check its name"),
    (["--times", "2", "--fill", "1/2"], "perflour: --fill goes with --pans; add it or leave it out"),
    (["--pans", "round 9 x 2 in", "--fill", "2"], "perflour: --fill 2 is no share of a pan; write one like 2/3"),
    (["--flour", "1 g", "--times", "2"], "perflour scale: argument --times: not allowed with argument --flour; see perflour scale --help"),
    ([], "perflour scale: one of the arguments --times --batch --pieces --flour --pans --have is required; see perflour scale --help"),
    (["--batch", "0.001 g"], "perflour: x1.24e-06 is beyond any kitchen; check the target"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "line"), REFUSED, ids=[" ".join(r[0]) for r in REFUSED])
def test_refuses_in_one_line(words: list[str], line: str, tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(TEXT, encoding="utf-8")
    outcome = run_cli("scale", "f.yaml", *words, cwd=tmp_path)
    assert (outcome.code, outcome.out, outcome.err) == (2, "", line + "\n")


def test_a_batch_without_a_whole_mass_is_not_guessed(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(
        formula_text("{item: flour, amount: 1 kg}", "{item: pineapple, amount: 1 can}"),
        encoding="utf-8",
    )
    outcome = run_cli("scale", "f.yaml", "--batch", "2 kg", cwd=tmp_path)
    assert (outcome.code, outcome.err) == (
        2,
        "perflour: the batch has no whole mass (pineapple cannot be weighed); run lint to see why\n",
    )
    doubled = run_cli("scale", "f.yaml", "--times", "2", cwd=tmp_path).out
    assert "2 can" in doubled


# USDA PA-1371, 1988: batter masses with volumes (published/weight_and_measure.yaml, methods), in lb and quarts.
BATTERS = {
    "chocolate cake": (7 + 3 / 16, 4.0),
    "banana bread": (5 + 10 / 16, 2.5),
    "carrot cake": (8 + 2 / 16, 3.75),
}


def filled_g(pan_ml: float, **said: str) -> float:
    """What a batter of 1000 g is scaled to for a pan of so many ml."""
    batter = formula_text("{item: all-purpose flour, amount: 1000 g}")
    request = ScaleRequest(pans=f"volume {pan_ml:.3f} ml", **said)
    rescaled = scale_source(batter.encode(), weigh_text(batter), KITCHEN, request)
    return rescaled.scaled.factor * 1000


def test_a_full_pan_holds_what_published_batters_weigh() -> None:
    """The mean of the three is met by 2 %; each alone, which has its own air, by 17 %."""
    filled = [filled_g(quarts * 4 * CUP_ML, fill="1") for _, quarts in BATTERS.values()]
    printed = [pounds * 453.59237 for pounds, _ in BATTERS.values()]
    assert filled == pytest.approx(printed, rel=0.17)
    shares = [one / other for one, other in zip(filled, printed, strict=True)]
    assert sum(shares) / 3 == pytest.approx(1, abs=0.02)


def test_the_scaled_file_keeps_every_comment() -> None:
    text = formula_text(
        "{item: flour,   # sifted\n         amount: 100 g}   # white",
        "{item: egg, amount: 50 g}  # cold",
    )
    kitchen = Kitchen(House(), built_in())
    scaled = scale_source(
        text.encode(), weigh_text(text), kitchen, ScaleRequest(times="2")
    ).content.decode()
    assert (
        scaled.split("ingredients:\n")[1]
        == """\
      - item: flour   # sifted
        amount: 200 g   # white
      - {item: egg, amount: 100 g}  # cold
method: []
"""
    )


def test_portions_are_scaled_with_the_lines() -> None:
    """Twice the batch takes twice the portion: in the written file too."""
    method = "[{do: mix, uses: [60 g of sugar, 1/2 of milk, 1/2 cup of milk]}, {do: top, uses: [rest of sugar]}]"
    text = formula_text("{item: sugar, amount: 90 g}", "{item: milk, amount: 1 cup}", method=method)
    written = scale_source(
        text.encode(), weigh_text(text), KITCHEN, ScaleRequest(times="2")
    ).content
    uses = read_formula(written, "formula.yaml").method[0].uses
    # half a cup of milk weighs 122 g: USDA SR28, NDB 01077
    assert [u.said for u in uses] == ["120 g of sugar", "1/2 of milk", "244 g of milk"]
    told = {result.rule for result in check_content(written, "formula.yaml", KITCHEN)}
    assert "portions-do-not-add-up" not in told


@pytest.mark.parametrize(
    ("grams", "shown"),
    [(20.4, "20"), (19.96, "20"), (19.94, "19.9"), (0.05, "0.1"), (0.049, "0.049"), (1234.5, "1235")],
)  # fmt: skip
def test_the_step_of_a_scale_of_one_gram(grams: float, shown: str) -> None:
    """Common practice, no source: from 20 g by the gram, below by a tenth, crumbs as they are."""
    assert rounded_g(grams, 1.0) == shown


def test_half_an_egg_in_a_household(tmp_path: Path) -> None:
    text = formula_text("{item: all-purpose flour, amount: 100 g}", "{item: egg, amount: 1 large}")
    (tmp_path / "formula.yaml").write_text(text)
    done = run_cli("scale", "formula.yaml", "--times", "1.5", "--household", "--output", "formula", cwd=tmp_path)  # fmt: skip
    assert "{item: egg, amount: 1.5 large}" in done.out


@pytest.mark.parametrize(
    ("pieces", "factor", "expected"),
    [
        (12, 2.0, 24),
        (12, 1 / 3, 4),
        (5, 1.5, 8),
        (5, 1.3, 7),
        (5, 1.2, 6),
        (3, 0.1, 1),
        (1, 0.2, 1),
    ],
)
def test_pieces_go_with_the_batch_to_the_nearest_whole(
    pieces: int, factor: float, expected: int
) -> None:
    text = formula_text(
        "{item: flour, amount: 600 g}", extra=f"yield: {{pieces: {pieces}, piece: bun}}\n"
    )
    scaled = scale(weigh_text(text), factor, "by hand", Style())
    assert scaled.pieces == expected
    assert scaled.scaling_weight_g == pytest.approx(600 * factor / expected)


def test_what_has_no_whole_mass_has_no_factor() -> None:
    nothing = weigh_text(formula_text("{item: flour, amount: to taste}"))
    no_flour = weigh_text(formula_text("{item: sugar, amount: 100 g}"))
    a_gram = weigh_text(formula_text("{item: flour, amount: 0.5 g}"))
    for balance in (nothing, no_flour):
        with pytest.raises(CannotRun, match="no whole mass"):
            factor_to_flour(balance, 100)
    with pytest.raises(CannotRun, match="no whole mass"):
        factor_to_batch(nothing, 100)
    assert factor_to_flour(a_gram, 1) == factor_to_batch(a_gram, 1) == 2


def test_a_tin_is_filled_by_two_thirds() -> None:
    """Common practice, no source: where nobody says how full."""
    assert filled_g(1500) == pytest.approx(1000)
    assert filled_g(1500, fill="1/2") == pytest.approx(750)
