"""`perflour plan` from the outside: its forms, its clock, loads, codes, and what it refuses."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from perflour.bakeday.clock import asked_times, hours
from perflour.bakeday.plan import blind_codes
from perflour.result import CannotRun
from tests.conftest import ROOT, formula_text, run_cli

GOLDEN = ROOT / "tests" / "golden"
METHOD = """
  - {do: mix, uses: [60 g of flour, water], for: 5 min}
  - {do: proof, at: 26 °C, for: 20-30 min}
  - {do: preheat, to: 200 °C}
  - {do: bake, at: 200 °C, for: 25-30 min, until: brown}
  - {do: cool, on: wire rack, for: 10 min}"""


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """One kitchen with a price list and two formulas; every schedule of one alone is forced."""
    (tmp_path / "prices.yaml").write_text(
        "currency: EUR\ndate: 2026-03-02\nprices:\n  - {item: flour, packs: [1.20 for 1 kg]}\n",
        encoding="utf-8",
    )
    for name, degrees in (("pale-roll", 200), ("dark-roll", 230)):
        text = formula_text(
            "{item: flour, amount: 500 g}",
            "{item: water, amount: 300 g}",
            "{item: egg, amount: 1 large}",
            method=METHOD.replace("200", str(degrees)),
            extra="yield: {pieces: 10, piece: roll}\n",
        ).replace("formula: trial", f"formula: {name}")
        (tmp_path / name).mkdir()
        (tmp_path / name / "formula.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def planned(house: Path, *words: str) -> dict[str, Any]:
    done = run_cli("plan", *words, "--output", "json", cwd=house)
    assert (done.code, done.err) == (0, "")
    return dict(json.loads(done.out))


@pytest.mark.parametrize(("output", "file"), [("text", "plan.txt"), ("markdown", "plan.md")])
def test_a_printed_plan(house: Path, output: str, file: str) -> None:
    """By hand: 3 x 500, 300 and 50 g; 2,550 g = 30 x 85 g; two packs of 1 kg at 1.20; 18 min from 20 to 200 °C at
    10 °C a minute; 5 + 20 + 30 + 10 min back from 08:00. Codes, order of tasting and cautions: as first printed.
    """
    words = ("--ready-by", "08:00", "--make", "pale-roll=30 pieces", "--blind", "5", "--wide")
    out = run_cli("plan", "pale-roll", *words, "--output", output, cwd=house).out
    assert out == (GOLDEN / file).read_text(encoding="utf-8")


class Page(HTMLParser):
    """Tags and text of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def test_the_page_to_print_holds_the_same_and_escapes_it(house: Path) -> None:
    path = house / "pale-roll" / "formula.yaml"
    evil = path.read_text("utf-8").replace("until: brown", "until: <script>brown</script>")
    path.write_text(evil, encoding="utf-8")
    run_cli("plan", ".", "--output", "html", "--write", "day.html", cwd=house)
    page = Page((house / "day.html").read_text(encoding="utf-8"))
    assert "script" not in page.tags
    assert page.tags.count("h2") == 7  # the day, timetable, ovens, shopping, two sheets, cautions
    assert "until <script>brown</script>" in page.text
    assert "://" not in (house / "day.html").read_text(encoding="utf-8")


CLOCKS = [
    # 5 + 20 + 30 + 10 minutes
    (("--start", "06:30"), "06:30", "07:35"),
    (("--ready-by", "08:00"), "06:55", "08:00"),
    (("--ready-by", "2026-03-14 00:30"), "2026-03-13 23:25", "2026-03-14 00:30"),
    (("--start", "23:30"), "23:30", "00:35 (day 2)"),
    (("--start", "23:30", "--ready-by", "01:00"), "23:30", "00:35 (day 2)"),
    ((), "0:00", "1:05"),
    # nobody is there from 7 to 8, and no proof reaches over that: mixed at 8
    (("--start", "06:30", "--closed", "07:00-08:00"), "06:30", "09:05"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "starts", "ready"), CLOCKS)
def test_clocks(house: Path, words: tuple[str, ...], starts: str, ready: str) -> None:
    data = planned(house, "pale-roll", *words)
    assert (data["starts"], data["ready"]) == (starts, ready)


def test_hours_in_words() -> None:
    assert [hours(n) for n in (0, 59, 60, 65, 1080)] == [
        "0 min",
        "59 min",
        "1 h",
        "1 h 05 min",
        "18 h",
    ]


def test_loads_share_a_dough_or_are_mixed_by_themselves(house: Path) -> None:
    """30 pieces in loads of 12: two full ones and a rest, or three mixings of ten."""
    words = (
        "pale-roll",
        "--make",
        "pale-roll=30 pieces",
        "--load",
        "pale-roll=12",
        "--grace",
        "2 h",
    )
    shared = planned(house, *words, "--oven", "a", "--oven", "b", "--oven", "c")
    mixed = planned(house, *words, "--mix-each-load")
    assert [shared["sheets"][0][k] for k in ("mixings", "loads", "pieces")] == [1, 3, 30]
    assert [mixed["sheets"][0][k] for k in ("mixings", "loads", "pieces")] == [3, 3, 10]
    for data, mixings in ((shared, 1), (mixed, 3)):
        assert sum(task["what"] == "mix" for task in data["timetable"]) == mixings
        assert sum(task["kind"] == "bake" for task in data["timetable"]) == 3
        flour = next(ln for ln in data["shopping"]["lines"] if ln["item"] == "all-purpose flour")
        assert flour["mass_g"] == pytest.approx(1500)
        assert flour["packs"] == [{"size": "1 kg", "price": "1.2", "number": 2}]


def test_portions_in_the_steps_are_those_of_the_sheet(house: Path) -> None:
    data = planned(house, "pale-roll", "--make", "pale-roll=30 pieces")
    assert data["timetable"][0]["detail"].startswith("180 g of flour, water")


def test_places_let_two_loads_share_an_oven(house: Path) -> None:
    words = ("pale-roll", "--load", "pale-roll=5 on 1 place")
    assert planned(house, *words, "--oven", "deck=2 places")["finish_min"] == 65
    assert planned(house, *words, "--oven", "deck", "--mix-each-load")["finish_min"] == 95


def test_swings_are_counted_and_ovens_heated_in_time(house: Path) -> None:
    """20 to 200 °C at 10 °C a minute is 18 min; 200 to 230 °C 3 min: common practice, no source."""
    data = planned(house, ".", "--grace", "2 h")
    assert data["oven_swings"] == 1
    assert [c["end_min"] - c["start_min"] for c in data["oven_changes"]] in ([18, 3], [21, 8])
    apart = planned(house, ".", "--oven", "a", "--oven", "b")
    assert (apart["oven_swings"], apart["finish_min"]) == (0, 70)
    assert all(goal["proven"] for goal in data["goals_in_order"])


@pytest.mark.parametrize("seed", [0, 7, 123456789])
def test_codes_are_three_digits_each_once_and_come_again(seed: int) -> None:
    codes = blind_codes(60, seed)
    assert len(set(codes)) == 60
    assert all(len(code) == 3 and code.isdigit() and code[0] != "0" for code in codes)
    assert codes == blind_codes(60, seed)
    assert codes != blind_codes(60, seed + 1)


def test_codes_tell_no_names_but_in_the_key(house: Path) -> None:
    data = planned(house, ".", "--blind", "7")
    assert sorted(data["codes"].values()) == ["dark-roll", "pale-roll"]
    assert sorted(data["serving_order"]) == sorted(data["codes"])
    out = run_cli("plan", ".", "--blind", "7", cwd=house).out
    order = out[out.index("TASTING ORDER") : out.index("KEY TO THE CODES")]
    assert "roll" not in order


REFUSED = [
    (("--oven", "deck=0"), "--oven 'deck=0' is no oven; write it like `deck` or `deck=4 places`"),
    (("--oven", "a", "--oven", "a"), "--oven: two ovens have one name; give each its own"),
    (("--load", "pale-roll=some"), "--load 'pale-roll=some' is no load; write it like `pale-roll=24 pieces` or `pale-roll=24 pieces on 2 places`"),
    (("--load", "grey-roll=4"), "--load: no formula 'grey-roll' among pale-roll; did you mean pale-roll?"),
    (("--load", "pale-roll=5 on 4"), "pale-roll/formula.yaml:16:5: a load of pale-roll takes 4 places, the largest oven has 1; make the load smaller"),
    (("--make", "pale-roll=1000 pieces", "--load", "pale-roll=5"), "--load pale-roll: 1000 pieces make 200 loads, more than 40 in one plan; split the day"),
    (("--start", "half past six"), "--start 'half past six' is no time of day; write it like `06:30` or `2026-03-14 06:30`"),
    (("--start", "26:30"), "--start '26:30' is no time of day; write it like `06:30` or `2026-03-14 06:30`"),
    (("--ready-by", "0001-01-01 00:10"), "--ready-by '0001-01-01 00:10' is no time of day; write it like `06:30` or `2026-03-14 06:30`"),
    (("--start", "06:30", "--ready-by", "07:00"), "the work takes 1 h 05 min, but from --start to --ready-by there are 30 min; start earlier, add an oven or make less"),
    (("--start", "06:30", "--ready-by", "2026-03-14 07:00"), "--start and --ready-by: write both with a date, or neither"),
    (("--closed", "22:00-06:00"), "--closed needs a time of day; add --start or --ready-by"),
    (("--start", "06:30", "--closed", "at night"), "--closed 'at night' is no span of hours; write it like `22:00-06:00`"),
    (("--step", "a while"), "--step: 'a while' has no number that can be read"),
    (("--bakers", "half"), "--bakers 'half' is no number above zero; write one like 1"),
    (("--bakers", "1.5"), "--bakers '1.5' is no whole number up to 100; write one like 2"),
    (("--heating", "nan"), "--heating 'nan' is no number above zero; write one like 10"),
    (("--blind", "-1"), "argument --blind"),
    (("--write", "pale-roll/formula.yaml", "--output", "text"), "pale-roll/formula.yaml: the report is about this file; name another with --write"),
    (("--load", "pale-roll=5"), "'proof' of load 2 of pale-roll may last 30 min, 20 min more are needed"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "message"), REFUSED, ids=[" ".join(r[0]) for r in REFUSED])
def test_requests_that_cannot_be_met(house: Path, words: tuple[str, ...], message: str) -> None:
    before = (house / "pale-roll" / "formula.yaml").read_bytes()
    done = run_cli("plan", "pale-roll", *words, cwd=house)
    assert (done.code, done.out) == (2, "")
    assert message in done.err and done.err.count("\n") == 1
    assert (house / "pale-roll" / "formula.yaml").read_bytes() == before


def test_a_window_needs_an_hour_of_work() -> None:
    with pytest.raises(CannotRun, match="closed leaves less than an hour of the day"):
        asked_times("06:00", None, ["06:00-05:30"])


def test_a_broken_file_is_told_beside_the_plan_of_the_others(house: Path) -> None:
    (house / "dark-roll" / "formula.yaml").write_text("formula: [\n", encoding="utf-8")
    done = run_cli("plan", ".", cwd=house)
    assert done.code == 1
    assert "Bake day: pale-roll" in done.out
    assert "dark-roll/formula.yaml:2:1: error" in done.err
