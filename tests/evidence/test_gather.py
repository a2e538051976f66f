"""Formulas, their history, bakes and tastings in one table: what was measured and judged, and what cannot be told."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path

import jsonschema
import pytest

from perflour.evidence.figures import figures, mixing_of
from perflour.evidence.measured import LOSS, readings
from tests.conftest import ROOT, formula_text, run_cli, weigh_text
from tests.evidence.made import BAKE

SCHEMAS = {
    name: jsonschema.Draft202012Validator(json.loads((ROOT / "schema" / f"{name}.schema.json").read_text("utf-8")))
    for name in ("evidence", "why")
}  # fmt: skip


def test_a_row_for_each_bake_with_what_it_was_made_of(kitchen: Path) -> None:
    told = run_cli("evidence", "--output", "csv", cwd=kitchen)
    rows = list(csv.DictReader(StringIO(told.out)))
    assert told.code == 1  # a reading that cannot be read
    shown = [
        (r["iteration"], r["record"], r["crumb score"], r["crumb tasters"], r["height, mm"],
         r["bake-out loss, %"], r["ratio: sugar, %"], r["method: chill, min"], r["method: mixing time said, min"], r["mixing"])
        for r in rows
    ]  # fmt: skip
    assert shown == [
        ("1", "2026-03-01", "5.5", "2", "11.0", "10.0", "50.0", "0", "3.0", "creamed"),
        ("2", "2026-03-01-b", "6.5", "2", "12.0", "10.0", "60.0", "0", "3.0", "creamed"),
        ("3", "2026-03-02", "7.0", "2", "", "10.0", "60.0", "120.0", "3.0", "creamed"),
    ]


def test_what_is_not_in_the_table_is_said(kitchen: Path) -> None:
    bakes = kitchen / "formulas" / "lavender-cookie" / "bakes"
    lost = BAKE.format(day=3, name="lavender-cookie", of="0" * 12, height="9 mm", crumb=5)
    (bakes / "2026-03-03.yaml").write_text(lost, "utf-8")
    (bakes / "2026-03-04.yaml").write_text("date: yesterday\n", "utf-8")
    told = run_cli("evidence", cwd=kitchen)
    assert told.code == 1
    for words in (
        "record 2026-03-03: its revision 000000000000 is not in the history",
        "no test bake and no tasting: samphire-cookie",
        "test bake 2026-03-02: cannot be read: height a thumb",
    ):
        assert words in told.out
    assert "formulas/lavender-cookie/bakes/2026-03-04.yaml:1:7: error" in told.err


def test_data_are_valid_and_whole(kitchen: Path) -> None:
    told = json.loads(run_cli("evidence", "--output", "json", cwd=kitchen).out)
    SCHEMAS["evidence"].validate(told)
    assert told["samples"][0]["scores"] == [
        {"taster": "A", "attribute": "crumb", "score": 5},
        {"taster": "B", "attribute": "crumb", "score": 6},
    ]
    assert told["not_baked"] == ["samphire-cookie"]
    SCHEMAS["why"].validate(json.loads(run_cli("why", "--output", "json", cwd=kitchen).out))


def test_the_demos_history_joins_bakes_and_blind_tastings() -> None:
    told = json.loads(
        run_cli("evidence", "formulas/oat-date-loaf", "--output", "json", cwd=ROOT).out
    )
    SCHEMAS["evidence"].validate(told)
    assert {s["source"] for s in told["samples"]} == {"bake", "tasting"}
    places = [p["place"] for s in told["samples"] for p in s["places"] if s["code"] == "701"]
    assert sorted(places) == [1, 1, 1, 1, 1, 1, 2, 2]  # formulas/sessions/2026-11-28.yaml


def test_few_bakes_say_that_they_are_few(kitchen: Path) -> None:
    told = run_cli("why", cwd=kitchen)
    assert told.code == 0
    assert "3 revisions with scores or readings: too few to hold figures against scores" in told.out
    assert "never baked here, so no score speaks of it: samphire-cookie" in told.out
    assert run_cli("why", "nowhere", cwd=kitchen).code == 2
    asked = run_cli("why", "formulas/rye-ginger-cookie", "--figure", "sugr", cwd=ROOT)
    assert (asked.code, asked.err.count("\n")) == (2, 1)
    assert "--figure: no 'sugr' here; name one of sugar" in asked.err


@pytest.mark.parametrize(
    ("measured", "figure"),
    [
        ({"height": "1 in"}, 25.4),
        ({"height": "11-13 mm"}, 12.0),
        ({"core": "205 °F"}, pytest.approx(96.1, abs=0.05)),
        ({"bake-time": "1 h 5 min"}, 65.0),
        ({"mass-before": "1 lb", "mass-after": "408 g"}, pytest.approx(453.592, abs=0.01)),
        ({"height": "about a hand"}, None),
        ({"mass-after": "2 cups"}, None),
    ],
)
def test_readings(measured: dict[str, str], figure: float | None) -> None:
    found, unread = readings(list(measured.items()))
    if figure is None:
        assert (found, len(unread)) == ((), 1)
    else:
        assert found[0].value == figure
    if len(measured) > 1:
        assert found[-1].name == LOSS
        assert found[-1].value == pytest.approx((453.592 - 408) / 453.592 * 100, abs=0.01)


@pytest.mark.parametrize(
    ("lines", "method", "mixing"),
    [
        (("{item: butter, amount: 50 g, state: soft}",), "[{do: cream, uses: [butter, granulated sugar]}]", "creamed"),
        (("{item: butter, amount: 50 g}",), "[{do: melt, uses: [butter]}, {do: whisk, uses: [butter, egg]}]", "melted or oil"),
        (("{item: butter, amount: 50 g, state: cold}",), "[{do: rub in, uses: [butter, all-purpose flour]}]", "rubbed in"),
        (("{item: canola oil, amount: 50 g}",), "[{do: whisk, uses: [canola oil, egg]}]", "melted or oil"),
        ((), "[{do: whisk, uses: [egg, granulated sugar]}, {do: fold, uses: [all-purpose flour]}]", "whisked"),
        ((), "[{do: mix, uses: [all-purpose flour, egg]}, {do: knead, for: 8 min}]", "kneaded"),
        ((), "[{do: stir, uses: [all-purpose flour, egg]}]", "stirred"),
    ],
)  # fmt: skip
def test_how_it_is_mixed(lines: tuple[str, ...], method: str, mixing: str) -> None:
    """Common practice, no source."""
    base = ("{item: all-purpose flour, amount: 200 g}", "{item: granulated sugar, amount: 100 g}", "{item: egg, amount: 100 g}")  # fmt: skip
    assert mixing_of(weigh_text(formula_text(*base, *lines, method=method))) == mixing


def test_what_is_not_known_is_never_zero() -> None:
    text = formula_text("{item: all-purpose flour, amount: 200 g}", "{item: egg, amount: as needed}", method="[{do: chill}]")  # fmt: skip
    found = {(f.section, f.name): f for f in figures(weigh_text(text))}
    assert found["ingredient", "egg"].value is None
    assert found["ratio", "egg"].lacking == ("egg",)
    assert found["method", "chill"].lacking == ("the time of 'chill'",)
