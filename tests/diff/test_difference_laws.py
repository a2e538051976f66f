"""Laws of the ratio diff, over formulas made at random.

200 examples each on a developer's machine, 8,000 in the nightly run.
"""

from __future__ import annotations

import json
import re
from collections import defaultdict
from copy import deepcopy
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, example, given
from hypothesis import strategies as st

from perflour.balance.balance import Balance
from perflour.diff.change import Change, LineChange, LineSaid, Scaling, TextChange, is_doubted
from perflour.diff.difference import difference_between
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.names import fold
from perflour.report.diff.data import change_data
from perflour.report.diff.summary import LONGEST, summary_line
from perflour.report.diff.text import change_text, differences_json, differences_text, worth_saying
from tests.conftest import examples, weigh_text

law = examples(200, suppress_health_check=list(HealthCheck))

Model = dict[str, Any]
Draw = Any

FLOURS = ["all-purpose flour", "bread flour", "medium rye flour", "whole wheat flour"]
ITEMS = [
    *FLOURS, "water", "whole milk", "granulated sugar", "honey", "unsalted butter", "olive oil",
    "egg", "table salt", "baking powder", "baking soda", "instant yeast", "walnuts", "dates",
    "cinnamon", "cocoa powder", "moon dust",
]  # fmt: skip
STATES = ["", "", "", "melted", "warm", "sifted"]
VERBS = ["mix", "fold", "rest", "knead", "bake", "cool"]


@st.composite
def amounts(draw: Draw, item: str) -> str:
    """Amounts that the catalogue can weigh; `moon dust` is in none."""
    choices = ["g", "g", "oz"] if item == "moon dust" else ["g", "g", "oz", "cup", "tsp", "range"]
    unit = draw(st.sampled_from([*choices, "large"] if item == "egg" else choices))
    number = draw(st.integers(1, 40))
    if unit == "range":
        return f"{number} to {number + draw(st.integers(1, 3))} tsp"
    if unit == "large":
        return f"{number} large"
    if unit == "g":
        return f"{number * draw(st.sampled_from([1, 5, 25]))} g"
    return f"{number}/4 {unit}"


@st.composite
def lines(draw: Draw) -> Model:
    item = draw(st.sampled_from(ITEMS))
    if item == "walnuts" and draw(st.booleans()):
        return {"item": "pineapple", "amount": f"{draw(st.integers(1, 3))} can"}
    line = {"item": item, "amount": draw(amounts(item))}
    if state := draw(st.sampled_from(STATES)):
        line["state"] = state
    return line


@st.composite
def steps(draw: Draw) -> Model:
    step: Model = {"do": draw(st.sampled_from(VERBS))}
    if uses := draw(st.lists(st.sampled_from(ITEMS), max_size=3, unique=True)):
        step["uses"] = uses
    if step["do"] in ("bake", "rest") or draw(st.booleans()):
        step["for"] = f"{draw(st.integers(1, 90))} min"
    if step["do"] == "bake":
        step["at"] = f"{draw(st.integers(15, 25)) * 10} °C"
    return step


@st.composite
def formulas(draw: Draw) -> Model:
    """One to three parts: a dough, maybe a preferment in it, maybe a topping beside it."""
    dough = {"part": "dough", "ingredients": [_flour(draw), *draw(st.lists(lines(), max_size=7))]}
    parts = [dough]
    if draw(st.booleans()):
        poolish = [_flour(draw), *draw(st.lists(lines(), min_size=1, max_size=3))]
        parts.insert(0, {"part": "poolish", "kind": "preferment", "ingredients": poolish})
        share = draw(st.sampled_from(["all", "half", "1/3"]))
        dough["ingredients"].append({"part": "poolish", "amount": share})
    if draw(st.booleans()):
        topping: Model = {"part": "topping", "ingredients": draw(st.lists(lines(), min_size=1, max_size=4))}  # fmt: skip
        if kind := draw(st.sampled_from(["", "topping", "glaze"])):
            topping["kind"] = kind
        parts.append(topping)
    model: Model = {
        "formula": "trial", "title": "Trial", "class": "loaf-cake", "status": "draft",
        "parts": parts, "method": draw(st.lists(steps(), max_size=6)),
    }  # fmt: skip
    if draw(st.booleans()):
        model["yield"] = {"pieces": draw(st.integers(1, 24)), "piece": "loaf"}
    return model


def _flour(draw: Draw) -> Model:
    grams = draw(st.integers(4, 40)) * 25
    return {"item": draw(st.sampled_from(FLOURS)), "amount": f"{grams} g"}


@st.composite
def revisions(draw: Draw) -> tuple[Model, Model]:
    """A formula and what a baker made of it: a few things done, or another formula altogether."""
    before = draw(formulas())
    after = draw(formulas()) if draw(st.integers(0, 9)) == 0 else deepcopy(before)
    for _ in range(draw(st.integers(0, 4))):
        draw(st.sampled_from(REVISING))(draw, after)
    return before, after


def _any_part(draw: Draw, model: Model) -> Model:
    part: Model = draw(st.sampled_from(model["parts"]))
    return part


def _any_line(draw: Draw, model: Model) -> Model:
    found = [ln for p in model["parts"] for ln in p["ingredients"] if "item" in ln]
    line: Model = draw(st.sampled_from(found))
    return line


def _new_amount(draw: Draw, model: Model) -> None:
    line = _any_line(draw, model)
    if line["item"] != "pineapple":
        line["amount"] = draw(amounts(line["item"]))


def _another_item(draw: Draw, model: Model) -> None:
    line = _any_line(draw, model)
    line["item"] = draw(st.sampled_from(ITEMS))
    line["amount"] = draw(amounts(line["item"]))


def _add(draw: Draw, model: Model) -> None:
    _any_part(draw, model)["ingredients"].append(draw(lines()))


def _remove(draw: Draw, model: Model) -> None:
    part = _any_part(draw, model)
    found = [at for at, ln in enumerate(part["ingredients"]) if "item" in ln]
    if len(part["ingredients"]) > 1 and found:
        del part["ingredients"][draw(st.sampled_from(found))]


def _move(draw: Draw, model: Model) -> None:
    before = len(model["parts"][0]["ingredients"])
    _remove(draw, model)
    if len(model["parts"][0]["ingredients"]) < before:
        _add(draw, model)


def _split(draw: Draw, model: Model) -> None:
    """Some of a line weighed in grams into a line of its own, here or in another part."""
    line = _any_line(draw, model)
    number, _, unit = line["amount"].partition(" ")
    if unit == "g" and number.isdigit() and int(number) > 1:
        some = draw(st.integers(1, int(number) - 1))
        line["amount"] = f"{int(number) - some} g"
        _any_part(draw, model)["ingredients"].append({**line, "amount": f"{some} g"})


def _rename_part(draw: Draw, model: Model) -> None:
    part = _any_part(draw, model)
    for other in model["parts"]:
        for line in other["ingredients"]:
            if line.get("part") == part["part"]:
                line["part"] = f"new {part['part']}"
    part["part"] = f"new {part['part']}"


def _scale(draw: Draw, model: Model) -> None:
    model["parts"] = scaled(model, draw(factors))["parts"]


def _shuffle(draw: Draw, model: Model) -> None:
    model["parts"] = shuffled(draw, model)["parts"]


def _method(draw: Draw, model: Model) -> None:
    at = draw(st.integers(0, len(model["method"])))
    model["method"][at : at + draw(st.integers(0, 2))] = draw(st.lists(steps(), max_size=2))


def _new_yield(draw: Draw, model: Model) -> None:
    model["yield"] = {"pieces": draw(st.integers(1, 24)), "piece": "loaf"}


REVISING = [
    _new_amount, _new_amount, _another_item, _add, _remove, _move, _split, _rename_part, _scale,
    _shuffle, _method, _new_yield,
]  # fmt: skip


def weighed(model: Model) -> Balance:
    return weigh_text(json.dumps(model, ensure_ascii=False))  # JSON is YAML


def changes_of(before: Model, after: Model) -> tuple[Change, ...]:
    return difference_between(weighed(before), weighed(after)).changes


factors = st.fractions(Fraction(1, 12), 40, max_denominator=12).filter(lambda f: f != 1)


def scaled(model: Model, factor: Fraction) -> Model:
    """Every amount times a factor, exactly; what is used of a part stays a share."""
    model = deepcopy(model)
    for part in model["parts"]:
        for line in part["ingredients"]:
            if "item" in line:
                line["amount"] = _times(line["amount"], factor)
    return model


def _times(amount: str, factor: Fraction) -> str:
    *numbers, unit = amount.split(" ")
    said = (str(Fraction(n) * factor) if n != "to" else n for n in numbers)
    return f"{' '.join(said)} {unit}"


def shuffled(draw: Draw, model: Model) -> Model:
    model = deepcopy(model)
    for part in model["parts"]:
        part["ingredients"] = draw(st.permutations(part["ingredients"]))
    return model


# --- the laws ---


@given(formulas())
@law
def test_nothing_differs_from_itself(model: Model) -> None:
    assert changes_of(model, model) == ()


@given(formulas(), st.data())
@law
def test_the_order_of_the_list_is_no_change(model: Model, data: st.DataObject) -> None:
    assert changes_of(model, shuffled(data.draw, model)) == ()


@given(revisions(), st.data())
@law
def test_the_order_of_the_list_changes_no_difference(
    pair: tuple[Model, Model], data: st.DataObject
) -> None:
    again = [shuffled(data.draw, model) for model in pair]
    one, other = _said(changes_of(*again)), _said(changes_of(*pair))
    assert [words for words, _ in one] == [words for words, _ in other]
    # sums: their last digits hang on the order of adding
    assert [f for _, figures in one for f in figures] == pytest.approx(
        [f for _, figures in other for f in figures], rel=1e-9, abs=1e-9
    )


def _said(changes: tuple[Change, ...]) -> list[tuple[list[str], list[float]]]:
    """The words and the figures of each change, without the order of the lines that it sums up."""
    return sorted(_parted(list(change)) for change in changes)


def _parted(value: object) -> tuple[list[str], list[float]]:
    if isinstance(value, float):
        return ["a figure"], [value]
    if isinstance(value, LineSaid):
        parts = [_parted(field) for field in value._replace(place=0)]
    elif isinstance(value, tuple):
        parts = sorted(map(_parted, value))
    elif isinstance(value, list):
        parts = list(map(_parted, value))
    else:
        return [repr(value)], []
    return [w for words, _ in parts for w in words], [f for _, figures in parts for f in figures]


@given(formulas(), factors)
@law
def test_scaling_is_only_scaling(model: Model, factor: Fraction) -> None:
    after = scaled(model, factor)
    if "yield" in model:  # as many pieces more, or none that could be told of
        pieces = model["yield"]["pieces"] * factor
        if pieces.denominator == 1:
            after["yield"] = {**model["yield"], "pieces": int(pieces)}
        else:
            del model["yield"], after["yield"]
    changes = [c for c in changes_of(model, after) if c.kind != "yield"]
    assert [c.kind for c in changes] == ["batch-scaled"]
    (change,) = changes
    assert isinstance(change, Scaling)
    assert change.factor == pytest.approx(float(factor), rel=1e-3)
    assert change.ratios_unchanged


ALIASES = {
    item: [item, *(a for a in known.aliases if built_in().find(a) == known)]
    for item in ITEMS
    if (known := built_in().find(item))
}


@given(formulas(), st.data())
@law
def test_another_name_of_the_catalogue_is_only_a_new_name(
    model: Model, data: st.DataObject
) -> None:
    names = {item: data.draw(st.sampled_from(aliases)) for item, aliases in ALIASES.items()}
    after = deepcopy(model)
    renamed = 0
    for part in after["parts"]:
        for line in part["ingredients"]:
            new = names.get(line.get("item", ""))
            renamed += new is not None and fold(new) != fold(line["item"])
            line |= {"item": new} if new else {}
    listed = {ln.get("item") for part in model["parts"] for ln in part["ingredients"]}
    for step in after["method"]:
        uses = [names.get(u, u) if u in listed else u for u in step.get("uses", ())]
        step |= {"uses": uses} if uses else {}
    changes = changes_of(model, after)
    assert [c.kind for c in changes] == ["renamed"] * renamed
    assert all(isinstance(c, TextChange) and names[c.text_before] == c.text_after for c in changes)


TURNED = {
    "added": "removed", "part-added": "part-removed", "step-added": "step-removed",
    "split": "merged",
}  # fmt: skip
TURNED |= {there: here for here, there in TURNED.items()}
CROSSED = {"enters": "leaves", "leaves": "enters", "": ""}


Data = dict[str, Any]
SIDES = ("", "text_", "grams_", "lines_")


def _back(change: Data) -> Data:
    """The same change seen from the other side, as plain data."""
    back = {**change, "kind": TURNED.get(change["kind"], change["kind"])}
    for what in SIDES:
        before, after = f"{what}before", f"{what}after"
        if what != "text_" or change["kind"] != "batch-scaled":
            back |= {before: change.get(after), after: change.get(before)}
    for what in ("subject", "part"):
        if was := change.get(f"{what}_before"):
            back |= {what: was, f"{what}_before": change[what]}
    if (delta := change.get("delta")) is not None:
        factor = change["kind"] in ("batch-scaled", "part-scaled")
        back["delta"] = 1 / delta if factor else -delta
    back["shifts"] = [
        {"name": s["name"], "before": s["after"], "after": s["before"]}
        for s in change.get("shifts", ())
    ]
    back["crossing"] = CROSSED[change.get("crossing", "")]
    return back


def _told(change: Data) -> tuple[Any, ...]:
    """What must be the same both ways. A spread is in percent of the newer flour: not compared."""
    kind = change["kind"]
    subject = change.get("subject")
    if kind.startswith("step") or kind == "bake":
        subject = None  # the newer words for one step
    shifts = change.get("shifts", ()) if kind not in ("blend", "shared-out") else ()
    return (
        kind, subject, change.get("part"), _figure(change.get("before")),
        _figure(change.get("after")), _figure(None if kind == "basis" else change.get("delta")),
        change.get("beyond_spread"), change.get("text_before"), change.get("text_after"),
        _figure(change.get("grams_before")), _figure(change.get("grams_after")),
        _figure(change["importance"]),
        sorted(map(repr, change.get("lines_before") or ())),
        sorted(map(repr, change.get("lines_after") or ())),
        sorted((s["name"], _figure(s["before"]), _figure(s["after"])) for s in shifts),
        change.get("crossing") or "",
    )  # fmt: skip


def _figure(value: float | None) -> str:
    return "" if value is None else f"{value if abs(value) > 1e-9 else 0:.4g}"


# The powder of one part gives way to the soda of another.
_BASE: Model = {"formula": "trial", "title": "Trial", "class": "loaf-cake", "status": "draft", "method": []}  # fmt: skip
_WITH_POWDER: Model = {**_BASE, "parts": [
    {"part": "poolish", "kind": "preferment", "ingredients": [{"item": "all-purpose flour", "amount": "100 g"}, {"item": "baking powder", "amount": "1 g"}]},
    {"part": "dough", "ingredients": [{"item": "all-purpose flour", "amount": "100 g"}, {"part": "poolish", "amount": "all"}]},
]}  # fmt: skip
_WITH_SODA: Model = {**_BASE, "parts": [{"part": "dough", "ingredients": [{"item": "all-purpose flour", "amount": "100 g"}, {"item": "baking soda", "amount": "1 g"}]}]}  # fmt: skip


@given(revisions())
@example((_WITH_POWDER, _WITH_SODA))
@law
def test_the_way_back_has_the_signs_turned(pair: tuple[Model, Model]) -> None:
    before, after = (weighed(model) for model in pair)
    there = sorted(
        repr(_told(_back(change_data(c)))) for c in difference_between(before, after).changes
    )
    back = sorted(repr(_told(change_data(c))) for c in difference_between(after, before).changes)
    assert there == back


# --- applying the changes to one side gives the other ---

Masses = dict[tuple[str, str], float]


def applied(before: Balance, changes: tuple[Change, ...]) -> Masses:
    """Mass by part and main name after the changes, from what the changes say alone.

    Lines that a change names go, those it puts there come; the rest is multiplied by the factor of
    its part, or of the batch.
    """
    scalings = [c for c in changes if isinstance(c, Scaling)]
    batch = next((c.factor for c in scalings if c.kind == "batch-scaled"), 1.0)
    texts = [c for c in changes if isinstance(c, TextChange)]
    new_names = {fold(c.part_before): c.part for c in texts if c.kind == "part-renamed"}
    own = {fold(c.subject): c.factor for c in scalings if c.kind == "part-scaled"}
    gone = {said for change in changes for said in _lines(change, "before")}
    come = {said for change in changes for said in _lines(change, "after")}
    masses: Masses = defaultdict(float)
    for part in before.parts:
        name = new_names.get(fold(part.part.name), part.part.name)
        factor = own.get(fold(new_names.get(_top(before, part.part.name), _top(before, part.part.name))), batch)  # fmt: skip
        for place, line in enumerate(part.lines, start=1):
            said = (part.part.name, place, line.line.name, line.line.amount.text)
            if said in {was[:4] for was in gone}:
                gone = {was for was in gone if was[:4] != said}
            elif line.mass and not line.line.is_part:
                masses[(fold(name), _main(line.line.name))] += line.mass.grams * factor
    assert not gone, "a change takes away what was not there"
    for said in come:
        if said.grams is not None and not _is_part(said):
            masses[(fold(said.part), _main(said.item))] += said.grams
    return masses


def _lines(change: Change, side: str) -> tuple[LineSaid, ...]:
    return getattr(change, f"lines_{side}", ())


def _main(name: str) -> str:
    known = built_in().find(name)
    return fold(known.name if known else name)


def _is_part(said: LineSaid) -> bool:
    return fold(said.item).removeprefix("new ").removeprefix("new ") in ("poolish", "dough")


def _top(balance: Balance, name: str) -> str:
    """The part on top that a part goes into: here every part is used at most once."""
    for part in balance.parts:
        if any(w.line.is_part and fold(w.line.name) == fold(name) for w in part.lines):
            return _top(balance, part.part.name)
    return fold(name)


@given(revisions())
@law
def test_the_changes_lead_from_one_balance_to_the_other(pair: tuple[Model, Model]) -> None:
    before, after = (weighed(model) for model in pair)
    assume(not any(_is_nested(model) for model in pair))
    expected: Masses = defaultdict(float)
    for part in after.parts:
        for line in part.lines:
            if line.mass and not line.line.is_part:
                expected[(fold(part.part.name), _main(line.line.name))] += line.mass.grams
    found = applied(before, difference_between(before, after).changes)
    assert {k for k, g in found.items() if g} == set(expected)
    for key, grams in expected.items():
        assert found[key] == pytest.approx(grams, rel=2.5e-4), key


def _is_nested(model: Model) -> bool:
    """Whether parts of one name stand twice: `new dough` of both sides."""
    names = [fold(p["part"]) for p in model["parts"]]
    return len(set(names)) < len(names)


# --- what is said of them ---


@given(revisions())
@law
def test_every_change_has_words_and_the_summary_fits(pair: tuple[Model, Model]) -> None:
    difference = difference_between(*(weighed(model) for model in pair))
    for change in difference.changes:
        said = change_text(change)
        assert not re.search(r"\bNone\b|\bnan\b|\n|  ", said)
        assert not isinstance(change, LineChange) or change.subject in said
        assert change.importance >= 0
    summary = summary_line(difference)
    assert summary.startswith("trial: ") and len(summary) <= LONGEST
    (told,) = json.loads(differences_json([difference]))["formulas"]
    assert told["formula"] == "trial"
    assert [c["kind"] for c in told["changes"]] == [c.kind for c in difference.changes]


FROM_TO = re.compile(r"(?<!\+ )\b([0-9.,]+) (%|g) -> ([0-9.,]+) \2(?! \+)")  # no sums


@given(revisions())
@law
def test_what_reads_the_same_is_not_told_as_a_move(pair: tuple[Model, Model]) -> None:
    text = differences_text([difference_between(*(weighed(model) for model in pair))])
    assert [m[0] for m in FROM_TO.finditer(text) if m[1] == m[3]] == []


@given(revisions())
@law
def test_what_is_real_comes_before_what_is_not(pair: tuple[Model, Model]) -> None:
    changes = difference_between(*(weighed(model) for model in pair)).changes
    doubted = [is_doubted(c) for c in changes if not c.kind.endswith("renamed") and c.kind not in ("note", "header", "step-reworded") and c.importance > 0.05]  # fmt: skip
    assert doubted == sorted(doubted)
    assert set(worth_saying(changes)) <= set(changes)
