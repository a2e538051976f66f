"""The base of a formula and what stands beside it: whose flour a percentage is of.

That a topping, filling or icing has a 100 % of its own is common practice, no source; the formulas are invented.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.balance.balance import Balance, rebased, replaced
from perflour.balance.contents import contents
from perflour.balance.inclusions import inclusions
from perflour.balance.ratios import ratios
from perflour.compare.collect import Collected, Compared
from perflour.compare.table import side_by_side
from perflour.diff.difference import difference_between
from tests.conftest import run_cli, weigh_text

BATTER = "[{item: all-purpose flour, amount: 300 g}, {item: egg, amount: 150 g}, {item: baking powder, amount: 9 g}, {item: whole milk, amount: 120 g}]"
STREUSEL = "[{item: all-purpose flour, amount: 120 g}, {item: unsalted butter, amount: 65 g}, {item: light brown sugar, amount: 110 g}]"
ICING = "[{item: powdered sugar, amount: 200 g}, {item: unsalted butter, amount: 100 g}, {item: whole milk, amount: 20 g}]"
METHOD = "[{do: fold, uses: [all-purpose flour, egg]}, {do: deposit, uses: [batter]}, {do: top, uses: [TOP]}, {do: bake, at: 175 °C}]"


def cake(*parts: tuple[str, str, str], method: str = "[]") -> str:
    """A formula of parts with name, kind ("" for none) and lines."""
    text = "formula: trial\ntitle: Trial\nclass: loaf-cake\nstatus: draft\nyield: {pieces: 4, piece: square}\nparts:\n"
    for name, kind, lines in parts:
        text += f"  - part: {name}\n" + (f"    kind: {kind}\n" if kind else "")
        text += f"    ingredients: {lines}\n"
    return f"{text}method: {method}\n"


def figures(text: str) -> dict[str, float]:
    return {name: round(r.percent, 6) for name, r in ratios(weigh_text(text)).items()}


PLAIN = cake(("batter", "batter", BATTER))
BASE = figures(PLAIN)
BESIDE = ("topping", "filling", "icing", "glaze", "layer")


@pytest.mark.parametrize("kind", BESIDE)
@pytest.mark.parametrize("lines", [STREUSEL, ICING])
def test_what_stands_beside_moves_no_figure_of_the_base(kind: str, lines: str) -> None:
    for name in ("streusel", "another name", "batter for the top"):
        for parts in ((("batter", "batter", BATTER), (name, kind, lines)),):
            assert figures(cake(*parts)) == BASE
            assert figures(cake(*reversed(parts))) == BASE


@given(
    st.lists(st.tuples(st.sampled_from(BESIDE), st.sampled_from([STREUSEL, ICING])), max_size=4),
    st.integers(0, 4),
)
def test_any_parts_beside_move_no_figure_of_the_base(
    beside: list[tuple[str, str]], at: int
) -> None:
    parts = [(f"part {n}", kind, lines) for n, (kind, lines) in enumerate(beside)]
    parts.insert(min(at, len(parts)), ("batter", "batter", BATTER))
    weighed = weigh_text(cake(*parts))
    assert {name: round(r.percent, 6) for name, r in ratios(weighed).items()} == BASE
    assert weighed.batch_g == pytest.approx(sum(part.mass_g for part in weighed.parts))
    assert weighed.base_g == pytest.approx(579)
    everything = sum(line.mass_g for line in weighed.everything)
    assert everything == pytest.approx(weighed.batch_g)


#: Kind, name, steps: where a part goes that the batter stands before.
PLACES = {
    "the kind says it": ("topping", "dough", "fold", "beside"),
    "mixed in by the method": ("", "almond cream", "fold", "base"),
    "laid on by the method": ("", "almond cream", "top", "beside"),
    "laid down after the batter": ("", "almond cream", "spread", "beside"),
    "waiting says nothing, the name does": ("", "lemon glaze", "rest", "beside"),
    "the last word of a name counts": ("", "topping for the batter", "rest", "base"),
    "other is no kind": ("other", "streusel", "rest", "beside"),
    "nothing says it": ("", "almond cream", "rest", "unclear"),
    "two things are said": ("", "streusel", "fold", "unclear"),
}


@pytest.mark.parametrize("name", PLACES)
def test_kind_method_and_name_say_where_a_part_goes(name: str) -> None:
    kind, called, verb, place = PLACES[name]
    method = f"[{{do: whisk, uses: [egg, whole milk]}}, {{do: deposit, uses: [batter]}}, {{do: {verb}, uses: [{called}, egg]}}]"
    weighed = weigh_text(
        cake(("batter", "batter", BATTER), (called, kind, STREUSEL), method=method)
    )
    found = {one.part.part.name for one in weighed.beside}
    assert (called in found) == (place == "beside")
    assert [part.name for part in weighed.unclear] == ([called] if place == "unclear" else [])


def test_the_only_part_and_one_that_another_takes_are_base() -> None:
    assert weigh_text(cake(("icing", "icing", ICING))).beside == ()
    inner = cake(
        ("prune paste", "filling", STREUSEL),
        ("batter", "batter", BATTER[:-1] + ", {part: prune paste, amount: all}]"),
    )
    weighed = weigh_text(inner)
    assert weighed.beside == ()
    assert weighed.basis_g == pytest.approx(420)


def test_an_icing_in_two_colours_is_a_formula_of_its_own() -> None:
    weighed = weigh_text(cake(("white", "icing", ICING), ("brown", "icing", ICING)))
    assert (weighed.beside, weighed.unclear, weighed.base_name) == ((), (), "base")
    crust = weigh_text(cake(("crust", "layer", STREUSEL), ("cream", "filling", ICING)))
    assert [part.name for part in crust.unclear] == ["crust", "cream"]


def test_a_part_taken_by_an_amount_that_nobody_can_weigh_goes_nowhere() -> None:
    text = cake(
        ("paste", "soaker", "[{item: all-purpose flour, amount: 40 g}]"),
        ("batter", "batter", BATTER[:-1] + ", {part: paste, amount: to taste}]"),
    )
    weighed = weigh_text(text)
    assert (weighed.basis_g, [p.in_base for p in weighed.parts]) == (300, [0, 1])


def test_flour_without_a_mass_leaves_every_ratio_open() -> None:
    weighed = weigh_text(
        cake(("batter", "batter", BATTER[:-1] + ", {item: medium rye flour, amount: to taste}]"))
    )
    lacking = {name: ratio.lacking for name, ratio in ratios(weighed).items()}
    without = {name for name, names in lacking.items() if "medium rye flour" not in names}
    assert without == {"prefermented-flour", "leavening-gas"}
    assert weighed.may_be_flour == ("medium rye flour",)


def test_a_part_beside_without_flour_is_in_percent_of_its_heaviest() -> None:
    weighed = weigh_text(cake(("batter", "batter", BATTER), ("icing", "icing", ICING)))
    (icing,) = weighed.beside
    assert (icing.of(), icing.basis_g, icing.of_flour) == ("the icing's powdered sugar", 200, False)
    assert [line.percent for line in weighed.parts[1].lines] == [100, 50, 10]
    assert weighed.of == "the batter's flour"


def test_what_goes_into_both_counts_in_each_by_its_share() -> None:
    """A paste of which the batter takes a fourth and the filling the rest."""
    paste = "[{item: all-purpose flour, amount: 40 g}, {item: water, amount: 60 g}]"
    text = cake(
        ("paste", "soaker", paste),
        ("batter", "batter", BATTER[:-1] + ", {part: paste, amount: 25 %}]"),
        ("cream", "filling", ICING[:-1] + ", {part: paste, amount: 75 %}]"),
    )
    weighed = weigh_text(text)
    assert weighed.basis_g == pytest.approx(310)
    (cream,) = weighed.beside
    assert (cream.basis_g, cream.of()) == (pytest.approx(30), "the cream's flour")


def test_parts_put_elsewhere_weigh_the_same() -> None:
    weighed = weigh_text(PAIR[0])
    mixed = replaced(weighed, frozenset())
    assert (mixed.beside, mixed.basis_g, mixed.batch_g) == ((), 420, weighed.batch_g)
    assert replaced(mixed, frozenset(("streusel",))) == weighed
    other = rebased(weighed, frozenset(("egg",)), ("egg",))
    assert (other.of, other.basis_g) == ("the batter's egg", 150)
    assert [line.name for line in other.total if line.in_basis] == ["egg"]


# --- what every report makes of one batter with two toppings ---

PAIR = [
    cake(("batter", "batter", BATTER), ("streusel", "topping", STREUSEL)),
    cake(("batter", "batter", BATTER), ("icing", "icing", ICING)),
]


def test_the_differ_says_nothing_of_the_batter() -> None:
    changes = difference_between(*map(weigh_text, PAIR)).changes
    assert {c.kind for c in changes} == {"part-added", "part-removed", "mass-per-piece"}


def test_the_batters_are_no_distance_apart() -> None:
    compared = tuple(
        Compared(f"{n}.yaml", f"/{n}.yaml", weigh_text(text.replace("trial", f"trial-{n}")))
        for n, text in enumerate(PAIR)
    )
    table = side_by_side(Collected(compared, (), ()))
    assert table.distances.nearest_distance == 0
    beside = {
        row.name: [cell.value for cell in row.cells]
        for row in table.rows
        if row.section == "beside"
    }
    assert beside == {
        "topping": [pytest.approx(295 / 579 * 100), 0],
        "icing": [0, pytest.approx(320 / 579 * 100)],
    }


def test_leavening_is_in_percent_of_the_batters_flour() -> None:
    """9 g of powder on 300 g; carbon dioxide of 12 % of it (US food-law least, from memory)."""
    for text in PAIR:
        lift = contents(weigh_text(text)).leavening
        assert lift.powder_percent == pytest.approx(3)
        assert lift.gas_percent == pytest.approx(0.36)
        assert lift.as_powder_percent == pytest.approx(3)


def test_nutrition_and_allergens_go_over_all_parts() -> None:
    """Butter is 81.11 % fat (USDA SR27, 01145)."""
    held = contents(weigh_text(PAIR[1]))
    plain = contents(weigh_text(PLAIN))
    fat, of_plain = (next(f for f in c.figures if f.name == "total-fat") for c in (held, plain))
    assert fat.batch - of_plain.batch == pytest.approx(100 * 0.8111 + 20 * 0.0325, abs=0.2)
    assert fat.percent == pytest.approx(of_plain.percent)


# --- a 100 % that is not whole ---


@pytest.mark.parametrize(
    "name", ["marsh flour", "bread starter", "spelt meal mix blend", "white flouur", "marshmeal"]
)
def test_what_may_be_flour_does_not_drop_out_in_silence(name: str, tmp_path: Path) -> None:
    text = cake(("batter", "batter", BATTER[:-1] + f", {{item: {name}, amount: 100 g}}]"))
    weighed: Balance = weigh_text(text)
    assert (weighed.may_be_flour, weighed.basis_is_whole) == ((name,), False)
    (tmp_path / "formula.yaml").write_text(text, encoding="utf-8")
    for command in ("show", "contents"):
        assert (
            f"100 % is not whole: {name} may belong to it"
            in run_cli(command, "formula.yaml", cwd=tmp_path).out
        )
        data = json.loads(run_cli(command, "formula.yaml", "--output", "json", cwd=tmp_path).out)
        one = data[0] if isinstance(data, list) else data
        basis = one["total"]["basis"] if command == "show" else one["basis"]
        assert basis["not_counted"] == [name]


@pytest.mark.parametrize("amount", ["100 g", "1 handful"])
@pytest.mark.parametrize(("name", "may"), [("marsh flour", True), ("candied angelica", False)])
def test_what_nobody_would_call_flour_leaves_100_percent_whole(
    name: str, may: bool, amount: str
) -> None:
    line = f", {{item: {name}, amount: {amount}}}]"
    assert weigh_text(cake(("batter", "batter", BATTER[:-1] + line))).basis_is_whole != may


# --- inclusions ---


def test_pieces_are_told_apart_from_the_batter() -> None:
    lines = BATTER[:-1] + (
        ", {item: raisins, amount: 90 g}, {item: walnuts, amount: 60 g}, {item: dark chocolate, amount: 50 g}"
        ", {item: banana, amount: 100 g, state: mashed}, {item: cocoa powder, amount: 20 g}]"
    )
    method = "[{do: melt, uses: [dark chocolate]}, {do: fold, uses: [raisins, walnuts]}]"
    text = cake(
        ("batter", "batter", lines),
        ("top", "topping", "[{item: walnuts, amount: 30 g}]"),
        method=method,
    )
    found = inclusions(weigh_text(text))
    assert (found.items, found.mass_g, found.percent) == (("raisins", "walnuts"), 150, 50)
    assert inclusions(weigh_text(PLAIN)).items == ()
