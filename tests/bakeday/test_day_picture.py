"""The picture of a day against the plan: every block, its lane and its times, and the table beside it."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from typing import Any
from xml.etree import ElementTree

import pytest

from perflour.bakeday.plan import DayRequest, Plan
from perflour.bakeday.request import planned
from perflour.report.bakeday.data import plan_json
from perflour.report.bakeday.entries import day_entries, day_lanes
from perflour.report.bakeday.output import plan_html, plan_svg
from perflour.report.form.lanes import HEAD, PX_PER_MIN, picture
from tests.conftest import ROOT, run_cli

pytestmark = pytest.mark.xdist_group("day picture")  # each day is planned once

DEMO = ROOT / "formulas"
#: Days that differ in what the picture must show: loads that share an oven, several bakers, a night, a clock.
DAYS = {
    "two ovens": (("rye-ginger-cookie", "oat-date-loaf"), {"make": ("rye-ginger-cookie=96 pieces",), "load": ("rye-ginger-cookie=24 on 2",), "oven": ("deck=4", "small"), "bakers": "2", "start": "06:30"}),
    "a night": (("rye-poolish-loaf",), {"ready_by": "2026-03-14 13:00"}),
    "no clock": (("caraway-cream-biscuit", "oat-and-treacle-loaf"), {}),
}  # fmt: skip


@pytest.fixture(scope="module", params=DAYS)
def plan(request: pytest.FixtureRequest) -> Plan:
    names, said = DAYS[request.param]
    found, results = planned([str(DEMO / name) for name in names], DayRequest(**said))
    assert found and not results
    return found


def data_of(plan: Plan) -> dict[str, Any]:
    return dict(json.loads(plan_json(plan)))


def test_blocks_are_the_plan_s_work_with_lane_start_and_end(plan: Plan) -> None:
    data, lanes = data_of(plan), day_lanes(plan)
    several = plan.house.bakers > 1
    wanted = []
    for one in data["timetable"]:
        cold = one["kind"] == "wait" and one["what"].split()[0] in ("chill", "freeze", "retard")
        lane = {"hands": f"baker {one['baker']}" if several else "hands", "bake": one["oven"], "wait": "cold" if cold else "wait"}[one["kind"]]  # fmt: skip
        wanted.append((one["start_min"], one["end_min"], lane))
    wanted += [(c["start_min"], c["end_min"], c["oven"]) for c in data["oven_changes"]]
    found = [(b.start, b.end, lanes.lanes[b.lane].name) for b in lanes.blocks]
    assert sorted(found) == sorted(wanted)


def test_what_is_drawn_is_where_the_clock_says(plan: Plan) -> None:
    """Read off the bytes: a block's place on the paper and the times it says are one."""
    lanes = day_lanes(plan)
    drawn, root = picture(lanes), ElementTree.fromstring(plan_svg(plan, False))
    said = {block.told for block in lanes.blocks}
    groups = [g for g in root.iter("{http://www.w3.org/2000/svg}g") if g.get("role") == "img"]
    assert {g.get("aria-label") for g in groups} == said
    assert len(groups) == sum(len(panel.boxes) for panel in drawn.panels) >= len(lanes.blocks)
    for panel in drawn.panels:
        for box in panel.boxes:
            start = round(panel.since + (box.y - HEAD) / PX_PER_MIN)
            assert start == max(box.block.start, panel.since)
            if start == box.block.start:
                assert box.block.told.startswith(f"{plan.clock.time(start)} to ")


def test_a_block_without_its_whole_label_has_a_tooltip_and_is_reached_by_keyboard(
    plan: Plan,
) -> None:
    root = ElementTree.fromstring(plan_svg(plan, False))
    space = "{http://www.w3.org/2000/svg}"
    groups = [g for g in root.iter(f"{space}g") if g.get("role") == "img"]
    for group in groups:
        title = group.find(f"{space}title")
        # words for a mouse are there where a keyboard reaches them too
        assert (title is not None) == (group.get("tabindex") == "0")
        assert title is None or title.text == group.get("aria-label")
        label = " ".join(text.text or "" for text in group.iter(f"{space}text"))
        assert (group.get("tabindex") == "0") == ("…" in label or not label)
        assert not re.search(r"</?text[^>]*>\s*</text>", label)
    assert any(group.get("tabindex") for group in groups) and any(
        not group.get("tabindex") for group in groups
    )


def test_no_oven_holds_more_than_it_has_room_for(plan: Plan) -> None:
    lanes = day_lanes(plan)
    for number, lane in enumerate(lanes.lanes):
        room = {oven.name: oven.places for oven in plan.house.ovens}.get(lane.name)
        if room is None:
            continue
        for panel in picture(lanes).panels:
            here = [box for box in panel.boxes if box.block.lane == number]
            for box in here:
                at_once = [o for o in here if o.y <= box.y < o.y + o.height]
                assert len({o.x for o in at_once}) == len(at_once) <= room


def test_no_baker_does_two_things_at_a_time(plan: Plan) -> None:
    hands = [one for one in plan.timetable.placed if one.task.kind == "hands"]
    assert {one.baker for one in hands} <= set(range(1, plan.house.bakers + 1))
    assert all(one.baker == 0 for one in plan.timetable.placed if one.task.kind != "hands")
    for one in hands:
        for other in hands:
            if one is not other and one.baker == other.baker:
                assert one.end <= other.start or other.end <= one.start


class Tables(HTMLParser):
    """The rows of the table in each ``details``."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.inside = self.cell = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "details":
            self.inside = True
        if self.inside and tag == "tr":
            self.rows.append([])
        if self.inside and tag == "td":
            self.rows[-1].append("")
        self.cell = tag == "td"

    def handle_endtag(self, tag: str) -> None:
        self.inside &= tag != "details"
        self.cell &= tag != "td"

    def handle_data(self, data: str) -> None:
        if self.inside and self.cell:
            self.rows[-1][-1] += data


def test_the_table_beside_the_picture_says_the_same(plan: Plan) -> None:
    rows = [row for row in Tables(plan_html(plan, False)).rows if row and row[0]]
    entries = day_entries(plan)
    assert [row[4] for row in rows] == [entry.told for entry in entries]
    assert [row[0] for row in rows] == [plan.clock.time(entry.start) for entry in entries]
    told = [block.told for block in day_lanes(plan).blocks]
    assert all(row[4] in block and block.startswith(row[0]) for row, block in zip(rows, told, strict=True))  # fmt: skip


def test_the_same_bytes_each_time() -> None:
    words = ("plan", str(DEMO / "caraway-cream-biscuit"), "--start", "06:30", "--output", "svg")
    first = run_cli(*words, cwd=ROOT).out
    assert first.startswith("<svg ") and first == run_cli(*words, cwd=ROOT).out
