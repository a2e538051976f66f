"""The picture of who does what when: where its blocks stand, what they say, what they look like."""

from __future__ import annotations

import re
from collections import defaultdict
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.report.form.html_page import FOLDER, html_page
from perflour.report.form.lanes import (
    AXIS,
    HEAD,
    LONGEST_MIN,
    PX_PER_MIN,
    QUIET_MIN,
    TICK_MIN,
    WIDTH,
    Block,
    Box,
    Lane,
    Lanes,
    Panel,
    Picture,
    picture,
)
from tests.conftest import examples

LANES = (Lane("hands", 120), Lane("deck", 64), Lane("wait", 28, turned=True, always=False))
LOOKS = (("hands", "hands at work"), ("oven", "in the oven"), ("waits", "waits"))


def clock(minute: int) -> str:
    return f"{minute // 60}:{minute % 60:02d}"


def day(*blocks: Block, lanes: tuple[Lane, ...] = LANES, zero: int = 0) -> Lanes:
    return Lanes("A day", "h:min", lanes, blocks, LOOKS, clock, lambda _: "", zero)


def block(lane: int, start: int, end: int, *label: str) -> Block:
    return Block(lane, start, end, LOOKS[lane][0], label or ("mix",), f"{start} to {end}, {label}")


def boxes(drawn: Picture) -> list[tuple[Panel, Box]]:
    return [(panel, box) for panel in drawn.panels for box in panel.boxes]


def minutes_of(panel: Panel, box: Box) -> tuple[float, float]:
    """When a box begins and ends, read off the drawing; blocks end a pixel short of the next one."""
    start = panel.since + (box.y - HEAD) / PX_PER_MIN
    return start, start + (box.height + 1) / PX_PER_MIN


anything = st.lists(
    st.tuples(st.integers(0, 2), st.integers(0, 3000), st.integers(1, 400)), min_size=1, max_size=25
).map(lambda rows: [block(lane, start, start + long) for lane, start, long in rows])


@given(anything, st.integers(0, 1439))
@examples(200)
def test_every_minute_of_every_block_is_drawn_once_where_it_belongs_or_told(
    blocks: list[Block], zero: int
) -> None:
    drawn = picture(day(*blocks, zero=zero))
    pieces = defaultdict(list)
    for panel, box in boxes(drawn):
        start, end = minutes_of(panel, box)
        assert start == pytest.approx(max(box.block.start, panel.since))
        assert end == pytest.approx(min(box.block.end, panel.until))
        pieces[id(box.block)].append((start, end))
    for one in blocks:
        found = sorted(pieces[id(one)])
        assert found and found[0][0] == pytest.approx(one.start)
        assert found[-1][1] == pytest.approx(one.end)
        for (_, end), (start, _) in pairwise(found):
            assert start == pytest.approx(end) or start - end > QUIET_MIN - 2 * TICK_MIN


@given(anything, st.integers(0, 1439))
@examples(200)
def test_nothing_lies_on_another_or_beside_the_paper(blocks: list[Block], zero: int) -> None:
    for panel in picture(day(*blocks, zero=zero)).panels:
        assert panel.until - panel.since <= LONGEST_MIN
        assert (panel.since + zero) % TICK_MIN == 0
        assert panel.edges[0] == AXIS and panel.edges[-1] <= WIDTH + 0.01
        for one, other in combinations(panel.boxes, 2):
            beside = one.x + one.width <= other.x + 0.01 or other.x + other.width <= one.x + 0.01
            assert beside or one.y + one.height <= other.y or other.y + other.height <= one.y
        for box in panel.boxes:
            assert box.x > AXIS and box.x + box.width < WIDTH
            assert box.y + box.height <= panel.height
            assert box.tip_y + 13 * len(box.tip) + 8 <= panel.height


def test_what_goes_on_at_a_time_takes_as_many_columns_and_more_panels_where_too_many() -> None:
    """12 waits of 28 px are wider than a phone; a lane that fits stays in one piece."""
    few = picture(day(*(block(1, 0, 60, f"load {n}") for n in range(3))))
    assert [len({box.x for box in panel.boxes}) for panel in few.panels] == [3]
    many = picture(day(*(block(2, 0, 60, f"proof {n}") for n in range(12))))
    assert [len(panel.boxes) for panel in many.panels] == [0, 11, 1]
    assert all("wait" in panel.told for panel in many.panels[1:])


def test_hours_of_nothing_are_left_out_and_told() -> None:
    drawn = picture(day(block(0, 0, 5), block(2, 5, 480, "ferment", "rye"), block(0, 480, 490)))
    assert [(panel.since, panel.until) for panel in drawn.panels] == [(0, 30), (450, 510)]
    note = " ".join(text.text for text in drawn.panels[0].notes)
    assert note == "Left out: 0:30 to 7:30, when ferment, rye goes on."
    assert drawn.panels[1].notes == ()
    empty = picture(day(block(0, 0, 5), block(0, 300, 305)))
    assert "when nothing goes on" in " ".join(text.text for text in empty.panels[0].notes)


LABELS = [
    # 5 min is one line, 4 min is one as well, 2 min none; what is left out is in a tip
    (block(0, 0, 5, "mix", "rye"), ["mix, rye"], False),
    (block(0, 0, 4, "mix", "rye"), ["mix, rye"], False),
    (block(0, 0, 2, "mix", "rye"), [], True),
    (block(0, 0, 10, "mix", "rye"), ["mix", "rye"], False),
    (block(0, 0, 5, "mix", "a-very-long-name-of-a-formula-and-more"), ["mix, a-very-long-name-of-a-…"], True),
    (block(1, 0, 40, "bake", "oat-date-loaf"), ["bake", "oat-date-loaf"], False),
    # twice as wide in print; an estimate that went by letters would let them stick out
    (block(1, 0, 5, "麦" * 30), [f"{'麦' * 6}…"], True),
]  # fmt: skip


@pytest.mark.parametrize(("one", "lines", "cut"), LABELS, ids=[str(row[1]) for row in LABELS])
def test_labels(one: Block, lines: list[str], cut: bool) -> None:
    found = picture(day(one)).panels[0].boxes[0]
    assert [text.text for text in found.lines] == lines
    assert bool(found.tip) == cut


def test_an_empty_day_is_a_picture_without_panels() -> None:
    assert picture(day()).panels == ()


HOSTILE = '<script>"evil"</script>\x1b[1m\u202e&\n# evil'


def test_hostile_names_are_text_alone_and_the_bytes_are_the_same_each_time() -> None:
    from xml.etree import ElementTree

    lanes = (Lane(HOSTILE, 120),)
    drawn = picture(day(block(0, 0, 2, HOSTILE), block(0, 5, 60, HOSTILE), lanes=lanes))
    svg = html_page("lanes_alone.svg", picture=drawn)
    names = {element.tag.rpartition("}")[2] for element in ElementTree.fromstring(svg).iter()}
    assert names == {"svg", "title", "style", "rect", "g", "defs", "pattern", "circle", "text", "line"}  # fmt: skip
    assert "\n# evil" not in svg and "\x1b" not in svg and "\u202e" not in svg and "\\x1b" in svg
    assert svg == html_page("lanes_alone.svg", picture=drawn)


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2 (from memory)."""
    digits = colour * 2 if len(colour) == 3 else colour
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_colours_can_be_told_from_the_paper(scheme: int) -> None:
    """WCAG 2.2: text 4.5 to 1, what must be seen 3 to 1 (from memory)."""
    style = (FOLDER / "lanes.svg").read_text(encoding="utf-8")
    named = re.findall(r"--lane-([a-z-]+): #([0-9a-f]+)", style.split("@media")[scheme])
    colours = dict(named[:9] if scheme == 0 else named)
    for edge in ("edge", "hands-edge", "oven-edge"):
        assert contrast(colours[edge], colours["paper"]) >= 3, edge
    for ground in ("paper", "hands", "oven"):
        assert contrast(colours["ink"], colours[ground]) >= 4.5, ground
    assert contrast(colours["hands-edge"], colours["hands"]) >= 3
    assert contrast(colours["oven-edge"], colours["oven"]) >= 3


def test_every_look_has_a_pattern_or_none_of_its_own() -> None:
    """So that a printer without colours tells them apart."""
    style = (FOLDER / "lanes.svg").read_text(encoding="utf-8")
    fills = re.findall(r"\.lanes \.(hands|oven|heats|waits) \{ fill: ([^;]+);", style)
    assert len({fill for _, fill in fills}) == len(fills) == 4
    assert sum(fill.startswith("url") for _, fill in fills) == 3
