"""Charts against their own values: every point, interval and axis; what is read is what is drawn; nobody is left out."""

from __future__ import annotations

import re
import subprocess
import sys
from itertools import combinations
from math import dist
from random import Random

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from lxml import etree, html

from perflour.report.form.chart.axes import axis
from perflour.report.form.chart.drawn import MARKS, WIDTH, look_of
from perflour.report.form.chart.text import SIZE, Box, Text, cut, width_of, wrapped
from perflour.report.form.chart.values import figure
from perflour.report.form.charts import (
    Band,
    Panel,
    Point,
    Rows,
    chart_html,
    chart_png,
    chart_svg,
)
from tests.conftest import ROOT, examples

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = (
    "<script>alert(1)</script> & \"so\" 'on' $x^2$ ${7*7} {{ 7*7 }} \u202e\x1b[31m " + "ö漢w" * 60
)
LOOK = (ROOT / "tools/perflour/data/look.css").read_text("utf-8")

BAKES = Panel(
    "chew",
    "iteration",
    "chew, 1 to 9",
    (Point("first", 1, 5.5, 4.0, 7.0), Point("second", 2, 7.25), Point("again", 2, 8.0, 6.0, 9.5)),
    limits=(1.0, 9.0),
    whole=True,
    span=(1, 4),
)
LINES = Panel(
    "what moved",
    "iteration",
    "% of the flour",
    tuple(
        Point("", at, value, series=name)
        for name, values in (("butter", (50, 55, None, 58)), ("rye flour", (30, 0, 20, 20)))
        for at, value in enumerate(values, 1)
    ),
    whole=True,
    joined=True,
)
ROWS = Rows(
    "hydration",
    "% of the flour",
    (Point("baguette", 0, 66.0, 65.0, 67.5), Point("tin loaf", 1, 61.0), Point("lost", 2, None)),
    band=Band("usual for lean bread", 60.0, 75.0),
)


def parsed(*panels: Panel | Rows) -> etree._Element:
    return etree.fromstring(chart_svg("Of a kitchen", "", panels))


def points(svg: etree._Element) -> list[etree._Element]:
    return [one for one in svg.iter(f"{SVG}g") if "point" in one.get("class", "").split()]


def place(point: etree._Element) -> tuple[float, float]:
    """Where the middle of a mark stands."""
    (mark,) = point.findall(f"{SVG}path[@class='mark']")
    x, y = re.findall(r"[-\d.]+", mark.get("transform"))
    return float(x), float(y)


def ticks(svg: etree._Element, anchor: str) -> dict[float, float]:
    """Of an axis its numbers with their places."""
    at = {"end": "y", "middle": "x"}[anchor]
    found = (t for t in svg.iter(f"{SVG}text") if t.get("class") == "soft")
    return {float(t.text): float(t.get(at)) for t in found if t.get("text-anchor") == anchor}


def by_ticks(ticks_at: dict[float, float], value: float) -> float:
    """Where a value belongs on an axis, by its first and its last tick."""
    (a, at_a), *_, (b, at_b) = sorted(ticks_at.items())
    return at_a + (value - a) / (b - a) * (at_b - at_a)


# --- where things stand -------------------------------------------------------------------------------


def test_a_mark_and_its_interval_stand_where_the_axis_says() -> None:
    svg = parsed(BAKES)
    up = {value: y - 4 for value, y in ticks(svg, "end").items()}  # text stands a little below
    assert sorted(up) == [1, 3, 5, 7, 9]
    drawn = points(svg)
    assert len(drawn) == len(BAKES.points)
    for point, mark in zip(BAKES.points, drawn, strict=True):
        assert place(mark)[1] == pytest.approx(by_ticks(up, point.y or 0), abs=0.11)
        bar = mark.find(f"{SVG}path[@class='interval']")
        assert (bar is None) == (point.low is None)
        if bar is not None:
            ends = {float(n) for n in re.findall(r"M[\d.]+ ([\d.]+)", bar.get("d"))}
            wanted = [by_ticks(up, min(end, 9.0)) for end in (point.low, point.high)]
            assert sorted(ends)[0] == pytest.approx(min(wanted), abs=0.11)
            assert sorted(ends)[-1] == pytest.approx(max(wanted), abs=0.11)


def test_points_of_one_iteration_stand_side_by_side_and_it_alone() -> None:
    svg = parsed(BAKES)
    first, second, again = (place(mark)[0] for mark in points(svg))
    across = ticks(svg, "middle")
    assert sorted(across) == [1, 2, 3, 4]  # the span, baked or not
    assert first == pytest.approx(across[1], abs=0.11)
    assert (second + again) / 2 == pytest.approx(across[2], abs=0.11)
    assert again - second >= 10
    assert max(again - across[2], across[2] - second) < (across[3] - across[2]) / 2


def test_a_line_breaks_at_a_gap_and_goes_through_zero() -> None:
    svg = parsed(LINES)
    butter, rye = (p.get("d") for p in svg.iter(f"{SVG}path") if p.get("class", "").startswith("line look"))  # fmt: skip
    assert [butter.count(sign) for sign in "ML"] == [2, 1]
    assert [rye.count(sign) for sign in "ML"] == [1, 3]
    assert len(points(svg)) == 7


def test_rows_stand_over_their_band_and_a_gap_says_so() -> None:
    svg = parsed(ROWS)
    across = ticks(svg, "middle")
    (band,) = svg.findall(f".//{SVG}rect[@class='band']")
    left, wide = float(band.get("x")), float(band.get("width"))
    assert left == pytest.approx(by_ticks(across, 60), abs=0.11)
    assert left + wide == pytest.approx(by_ticks(across, 75), abs=0.11)
    (baguette, loaf) = points(svg)
    assert place(baguette)[0] == pytest.approx(by_ticks(across, 66), abs=0.11)
    assert place(loaf)[0] == pytest.approx(by_ticks(across, 61), abs=0.11)
    assert [t.text for t in svg.iter(f"{SVG}text")].count("no value") == 1


AXES = (
    # values, most ticks: low, high, ticks by the rule of 1, 2 or 5 of a power of ten (common practice, no source)
    ((0, 100), 5, (0, 100, [0, 20, 40, 60, 80, 100])),
    ((62, 71), 5, (62, 72, [62, 64, 66, 68, 70, 72])),
    ((3, 9), 5, (0, 10, [0, 2, 4, 6, 8, 10])),  # 0 is near
    ((0.011, 0.0123), 4, (0.011, 0.0125, [0.011, 0.0115, 0.012, 0.0125])),
    ((-3, 8), 5, (-5, 10, [-5, 0, 5, 10])),
    ((72.8,), 5, (65, 85, [65, 70, 75, 80, 85])),
    ((0,), 5, (0, 1, [0, 0.2, 0.4, 0.6, 0.8, 1])),
    ((), 5, (0, 1, [0, 0.2, 0.4, 0.6, 0.8, 1])),
)


@pytest.mark.parametrize(("values", "most", "wanted"), AXES)
def test_axes_have_ticks_a_person_would_choose(
    values: tuple[float, ...], most: int, wanted: tuple[float, float, list[float]]
) -> None:
    found = axis(values, most)
    assert (found.low, found.high) == pytest.approx(wanted[:2])
    assert list(found.ticks) == pytest.approx(wanted[2])
    assert len({found.said(tick) for tick in found.ticks}) == len(found.ticks)


@examples(100)
@given(st.lists(st.floats(-1e9, 1e9).map(lambda v: round(v, 6)), max_size=8), st.integers(2, 9))
def test_every_value_is_on_its_axis(values: list[float], most: int) -> None:
    found = axis(values, most)
    slack = 1e-6 * (found.high - found.low)
    assert all(found.low - slack <= value <= found.high + slack for value in values)
    assert 1 <= len(found.ticks) <= most + 3


@pytest.mark.parametrize(
    ("low", "said"), [(62.0, "% (axis from 62, not from 0)"), (3.0, "%"), (-4.0, "%")]
)
def test_an_axis_that_does_not_begin_at_0_says_so(low: float, said: str) -> None:
    panel = Panel("t", "x", "%", (Point("a", 1, low), Point("b", 2, 70.0)))
    rows = Rows("t", "%", panel.points)
    for one in (panel, rows):
        texts = [t.text for t in parsed(one).iter(f"{SVG}text")]
        assert said in texts, texts


def test_no_two_of_many_series_look_alike() -> None:
    looks = [look_of(at) for at in range(len(MARKS) ** 2)]
    assert len(set(looks)) == len(looks)


# --- texts --------------------------------------------------------------------------------------------


def boxes(svg: etree._Element, on_demand: bool = False) -> list[tuple[str, Box]]:
    """What the texts cover at most that are always seen, or those on demand, where they stand in the whole drawing."""
    found = []
    for text in svg.iter(f"{SVG}text"):
        if (text.get("class") == "said") != on_demand:
            continue
        x, y = float(text.get("x")), float(text.get("y"))
        for above in text.iterancestors():
            if moved := re.findall(r"[-\d.]+", above.get("transform") or ""):
                x, y = x + float(moved[0]), y + float(moved[1])
        found.append((text.text, Text(x, y, text.text, text.get("text-anchor", "start")).box))
    return found


NAMES = st.text("abcWMö漢 <&-", min_size=1, max_size=40)
SPOTS = st.lists(st.tuples(NAMES, st.integers(0, 12), st.integers(0, 12)), min_size=1, max_size=40)


@examples(60)
@given(SPOTS, st.booleans())
@example([("<", 0, 0), ("<MMMMö漢", 0, 1), ("<", 0, 0), ("<", 0, 0), ("<", 0, 2), ("<", 0, 11)], False)  # fmt: skip
def test_no_text_stands_on_another(spots: list[tuple[str, int, int]], whole: bool) -> None:
    series = ("a family", "another one with a long name", "W" * 30)
    many = tuple(Point(name, x, y / 3, y / 3 - 1, y / 3 + 1, series[y % 3]) for name, x, y in spots)
    panels: list[Panel | Rows] = [
        Panel("W" * 80, "along, g", "up, mm", many, whole=whole),
        Panel("over places", "", "up", tuple(Point(n, at, y) for at, (n, _, y) in enumerate(spots))),
        Rows("of rows", "%", many, Band("usual", 1, 2)),
        Panel("joined", "iteration", "%", many, joined=True, whole=True),
    ]  # fmt: skip
    svg = parsed(*panels)
    for (one, first), (other, second) in combinations(boxes(svg), 2):
        assert not first.meets(second), (one, other)
    for said, shown in boxes(svg, on_demand=True):  # one at a time, in a line kept free for it
        assert not any(shown.meets(box) for _, box in boxes(svg)), said
    wide = float(svg.get("width"))
    assert all(box.left >= 0 and box.right <= wide for _, box in boxes(svg))


def test_a_label_that_finds_no_room_is_left_to_tooltip_and_table() -> None:
    crowd = tuple(Point(f"thing number {at}", 1 + at / 1000, 5.0) for at in range(60))
    panel = Panel("crowd", "x", "y", (Point("far away", 9, 5.0), *crowd))
    svg = parsed(panel)
    seen = [text for text, _ in boxes(svg) if text.startswith("thing")]
    assert len(seen) < 10 and "far away" in [text for text, _ in boxes(svg)]
    told = [point.get("aria-label") for point in points(svg)]
    assert [text.split(";")[0] for text in told] == [p.name for p in panel.points]


def test_marks_on_one_another_share_a_label() -> None:
    panel = Panel("t", "x", "y", (Point("bun", 1, 5), Point("roll", 1, 5), Point("loaf", 9, 1)))
    assert "bun, roll" in [text for text, _ in boxes(parsed(panel))]


def test_texts_are_cut_and_wrapped_to_their_room() -> None:
    assert cut("rye", 100) == "rye"
    assert cut("a very long name of a loaf", 60).endswith("…")
    assert width_of(cut("W" * 90, 60)) <= 60
    lines = wrapped("so many words that they do not stand on one line at all", 120, 2)
    assert len(lines) == 2 and all(width_of(line) <= 120 for line in lines) and lines[1][-1] == "…"
    assert wrapped("", 100) == []


def test_a_phone_shows_no_text_below_11_pixels() -> None:
    """390 px less the margins of a page, 1 rem on each side."""
    page = html.fromstring(chart_html("t", "", [BAKES, ROWS]))
    css = (ROOT / "tools/perflour/data/chart.css").read_text("utf-8")
    sizes = [float(size) for size in re.findall(r"(\d+)px (?:system-ui|sans)|font-size: (\d+)px", css) for size in size if size]  # fmt: skip
    assert min(sizes) == SIZE
    for svg in page.iter("svg"):
        wide = float(svg.get("viewbox", svg.get("viewBox")).split()[2])
        assert wide == WIDTH and SIZE * (390 - 32) / wide >= 11


# --- for all eyes ---------------------------------------------------------------------------------------

Colours = dict[str, str]


def schemes() -> dict[str, Colours]:
    light, dark = (
        dict(re.findall(r"(--[\w-]+):\s*(#[0-9a-f]+);", block))
        for block in re.findall(r":root \{([^}]*)\}", LOOK)
    )
    return {"light": light, "dark": {**light, **dark}}


def linear(colour: str) -> list[float]:
    """sRGB to light: IEC 61966-2-1 as quoted by WCAG 2.2 (from memory)."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * sign for sign in colour[1:])
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    return [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]


def contrast(one: str, other: str) -> float:
    """The contrast ratio of WCAG 2.2, "relative luminance" and "contrast ratio"."""
    weights = (0.2126, 0.7152, 0.0722)
    a, b = (sum(w * p for w, p in zip(weights, linear(c), strict=True)) for c in (one, other))
    return (max(a, b) + 0.05) / (min(a, b) + 0.05)


SERIES = [f"--series-{at}" for at in range(1, 8)]
TINTS = [f"--{way}-{at}" for way in ("up", "down") for at in (1, 2, 3)]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_marks_and_texts_stand_out(scheme: str) -> None:
    """WCAG 2.2, 1.4.11: 3 to 1 for what must be seen; 1.4.3: 4.5 to 1 for text."""
    colours = schemes()[scheme]
    for ground in ("--paper", "--shade"):
        for series in SERIES:
            assert contrast(colours[series], colours[ground]) >= 3, (series, ground)
    for tint in TINTS:
        assert contrast(colours["--ink"], colours[tint]) >= 4.5, tint
    assert contrast(colours["--soft"], colours["--paper"]) >= 4.5
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


#: How colours look without one kind of cone: Machado, Oliveira and Fernandes (2009), severity 1, on light (from memory).
SEEN_AS = {
    "all cones": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protanopia": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deuteranopia": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritanopia": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}  # fmt: skip
#: Distance in CIELAB; a just noticeable one is about 2.3 (Mahy and others 1994, from memory).
FAR_APART = 18.0


def lab(light: list[float]) -> tuple[float, float, float]:
    """CIELAB of light, white of D65 (CIE 15, from memory)."""
    r, g, b = (min(1.0, max(0.0, part)) for part in light)
    xyz = (
        (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047,
        0.2126 * r + 0.7152 * g + 0.0722 * b,
        (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883,
    )
    x, y, z = (t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116 for t in xyz)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("eyes", SEEN_AS)
def test_series_are_told_apart_by_all_eyes(scheme: str, eyes: str) -> None:
    colours = schemes()[scheme]
    seen = {
        name: lab([sum(w * p for w, p in zip(row, linear(colours[name]), strict=True)) for row in SEEN_AS[eyes]])
        for name in SERIES
    }  # fmt: skip
    for one, other in combinations(SERIES, 2):
        assert dist(seen[one], seen[other]) >= FAR_APART, (one, other)


def test_every_series_has_a_shape_and_a_dash_of_its_own() -> None:
    css = (ROOT / "tools/perflour/data/chart.css").read_text("utf-8")
    looks = re.findall(r"\.look-\d \{ color: var\((--series-\d)\);(.*?) \}", css)
    assert [series for series, _ in looks] == SERIES
    assert len({dash for _, dash in looks}) == len(SERIES) == len(set(MARKS))


# --- what is read -----------------------------------------------------------------------------------------


def tables(*panels: Panel | Rows) -> list[tuple[list[str], list[list[str]]]]:
    page = html.fromstring(chart_html("t", "what to look at", panels))
    return [
        (
            [cell.text or "" for cell in table.find("thead").iter("th", "td")],
            [[cell.text or "" for cell in row] for row in table.find("tbody")],
        )
        for table in page.iter("table")
    ]


def test_the_tables_say_what_is_drawn() -> None:
    bakes, lines, rows = tables(BAKES, LINES, ROWS)
    assert bakes == (
        ["", "iteration", "chew, 1 to 9", "95 % interval"],
        [["first", "1", "5.5", "4 to 7"], ["second", "2", "7.25", ""], ["again", "2", "8", "6 to 9.5"]],
    )  # fmt: skip
    assert lines == (
        ["iteration", "butter", "rye flour"],
        [["1", "50", "30"], ["2", "55", "0"], ["3", "–", "20"], ["4", "58", "20"]],
    )
    assert rows == (
        ["", "% of the flour", "95 % interval"],
        [["baguette", "66", "65 to 67.5"], ["tin loaf", "61", ""], ["lost", "–", ""]],
    )


def test_figures_are_said_to_four_digits() -> None:
    said = {1234.5678: "1235", 0.0123456: "0.01235", 72: "72", -0.0: "0", 123456: "123,456", float("nan"): "–"}  # fmt: skip
    assert {value: figure(value) for value in said} == said


def test_each_point_can_be_reached_and_says_all_of_itself() -> None:
    for point in points(parsed(BAKES, LINES, ROWS)):
        assert (point.get("tabindex"), point.get("role")) == ("0", "img")
        assert point.find(f"{SVG}title").text == point.get("aria-label")
        assert len(point.findall(f"{SVG}text[@class='said']")) == 1
    first = points(parsed(BAKES))[0]
    assert (
        first.get("aria-label") == "first; iteration: 1; chew, 1 to 9: 5.5; 95 % interval: 4 to 7"
    )
    page = html.fromstring(chart_html("Of a kitchen", "", [BAKES, ROWS]))
    for svg in page.iter("svg"):
        # a group, for what is in an image cannot be reached (WAI-ARIA 1.2, children presentational)
        assert svg.get("role") == "group" and svg.get("aria-label") and svg.find("desc").text


def test_names_of_strangers_are_texts_cut_in_the_drawing_and_whole_beside_it() -> None:
    point = Point(HOSTILE, 1, 2.0, 1.0, 3.0, HOSTILE, HOSTILE)
    other = Point("b", 2, 1.0, series="b")
    panels: list[Panel | Rows] = [
        Panel(HOSTILE, HOSTILE, HOSTILE, (point, other), notes=(HOSTILE,)),
        Panel(HOSTILE, HOSTILE, HOSTILE, (point, other), joined=True),
        Rows(HOSTILE, HOSTILE, (point, other), Band(HOSTILE, 1, 2)),
    ]
    page = chart_html(HOSTILE, HOSTILE, panels)
    svg = chart_svg(HOSTILE, HOSTILE, panels).decode()
    tree = etree.fromstring(svg)
    for text in (page, svg):
        assert "<script" not in text and "\x1b" not in text and "\u202e" not in text
    whole = "ö漢w" * 60
    for text in tree.iter(f"{SVG}text"):
        assert whole not in text.text
    assert all(whole in point.find(f"{SVG}title").text for point in points(tree) if "alert" in point.get("aria-label"))  # fmt: skip
    assert all(whole in "".join(table.itertext()) for table in html.fromstring(page).iter("table"))


@pytest.mark.parametrize("value", [float("nan"), float("inf"), None])
def test_what_is_no_number_is_a_gap(value: float | None) -> None:
    for panel in (Panel("t", "x", "y", (Point("a", 1, value), Point("b", 2, 3.0))), Rows("t", "y", (Point("a", 1, value), Point("b", 2, 3.0)))):  # fmt: skip
        assert [p.get("aria-label").split(";")[0] for p in points(parsed(panel))] == ["b"]
        assert tables(panel)[0][1][0][-1] == "–"


def test_a_chart_of_nothing_is_still_one() -> None:
    empty = [Panel("t", "x", "y", ()), Rows("t", "y", ()), Panel("t", "", "y", ())]
    assert points(parsed(*empty)) == []
    assert len(tables(*empty)) == 3


# --- files -------------------------------------------------------------------------------------------------


def test_the_same_values_give_the_same_bytes() -> None:
    """In another process with other hashes as well."""
    code = (
        "import sys, tests.report.test_charts as t\n"
        "sys.stdout.buffer.write(t.chart_svg('t', 'x', [t.BAKES, t.LINES, t.ROWS]))\n"
        "sys.stdout.buffer.write(t.chart_html('t', 'x', [t.BAKES, t.LINES, t.ROWS]).encode())\n"
    )
    paths = ":".join(path for path in sys.path if path)
    made = {
        subprocess.run(
            [sys.executable, "-c", code],
            cwd=ROOT,
            env={"PYTHONPATH": f"{ROOT}:{paths}", "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in "12"
    }
    panels = [BAKES, LINES, ROWS]
    assert made == {chart_svg("t", "x", panels) + chart_html("t", "x", panels).encode()}
    assert chart_png("t", "x", panels) == chart_png("t", "x", panels)


def test_a_file_needs_nothing_else_and_knows_light_and_dark() -> None:
    svg = chart_svg("t", "x", [BAKES]).decode()
    assert (
        "var(" not in svg and "url(" not in svg and "href" not in svg
    )  # viewers of files know no variables
    style = svg[svg.index("<style>") : svg.index("</style>")]
    plain, dark = style.split("@media (prefers-color-scheme: dark)")
    colours = schemes()
    for name in ("--ink", "--paper", "--series-1"):
        assert colours["light"][name] in plain and colours["dark"][name] in dark


def test_a_picture_is_as_sharp_as_print_wants() -> None:
    from io import BytesIO

    from PIL import Image

    picture = Image.open(BytesIO(chart_png("t", "x", [BAKES, LINES, ROWS])))
    assert picture.format == "PNG" and picture.width == pytest.approx(750 * 150 / 72, abs=1)
    colours = {colour for _, colour in picture.convert("RGB").getcolors(1 << 20)}
    assert (255, 255, 255) in colours and len(colours) > 20


def test_many_points_are_laid_out() -> None:
    chance = Random(7)
    many = tuple(Point(f"loaf {at}", chance.random(), chance.random()) for at in range(400))
    assert len(points(parsed(Panel("many", "x", "y", many)))) == 400
