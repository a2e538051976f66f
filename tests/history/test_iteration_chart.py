"""The chart of a changelog against the records: each bake once, its tasters' interval, gaps where nothing is known."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest
import yaml
from lxml import html
from scipy import stats

from perflour.history.changelog import Changelog, changelogs
from perflour.history.iterations import Iteration
from perflour.history.trials import BakedAs
from perflour.records.bake import Bake, bake_from
from perflour.report.form.charts import Panel, Point
from perflour.report.history.chart import (
    MOST_LINES,
    bakes_once,
    iteration_chart,
    iteration_panels,
    moved_percents,
)
from perflour.system.git import Commit
from tests.conftest import ROOT, formula_text, git, run_cli

DEMO = ROOT / "formulas"


@pytest.fixture(scope="module")
def demo() -> list[Changelog]:
    here = Path.cwd()
    os.chdir(ROOT)
    try:
        return changelogs([str(DEMO)], remember=False)
    finally:
        os.chdir(here)


def records(changelog: Changelog) -> dict[str, dict[str, Any]]:
    files = sorted(changelog.path.parent.glob("bakes/*.yaml"))
    return {file.stem: yaml.safe_load(file.read_text("utf-8")) for file in files}


def scored(panels: list[Panel]) -> dict[str, Panel]:
    return {panel.title: panel for panel in panels if not panel.joined}


def test_each_bake_of_the_demo_is_drawn_once_with_the_interval_of_its_tasters(
    demo: list[Changelog],
) -> None:
    drawn = 0
    for changelog in demo:
        panels = scored(iteration_panels(changelog.iterations))
        said = records(changelog)
        names = {name for record in said.values() for row in record.get("scores", ()) for name in row} - {"taster"}  # fmt: skip
        assert set(panels) == names
        for name, panel in panels.items():
            wanted = {stem: [row[name] for row in record["scores"] if name in row] for stem, record in said.items() if record.get("scores")}  # fmt: skip
            own = {point.name: point for point in panel.points if ", " not in point.name}
            assert len(own) == sum(", " not in point.name for point in panel.points)
            assert set(own) == {stem for stem, values in wanted.items() if values}
            for stem, point in own.items():
                check(point, wanted[stem])
                drawn += 1
    assert drawn > 20


def check(point: Point, scores: list[float]) -> None:
    """The interval of Student's t, by scipy's test of one sample."""
    assert point.y == pytest.approx(sum(scores) / len(scores))
    if len(set(scores)) == 1:
        assert (point.low, point.high) == (None, None)
        assert point.told.endswith("no interval")
    else:
        wanted = stats.ttest_1samp(scores, 5).confidence_interval(0.95)
        assert point.low == pytest.approx(max(wanted.low, 1.0))
        assert point.high == pytest.approx(min(wanted.high, 9.0))
        assert point.told == f"{len(scores)} tasters"


def test_the_figures_below_the_chart_are_those_of_the_changelog(demo: list[Changelog]) -> None:
    (cookie,) = (c for c in demo if c.id == "rye-ginger-cookie")
    page = html.fromstring(iteration_chart(cookie.iterations))
    tables = {t.find("caption").text.split(":")[0]: t for t in page.iter("table")}
    head, *rows = ([cell.text for cell in row] for row in tables["what moved"].iter("tr"))
    for row in rows:
        held = dict(cookie.iterations[int(row[0]) - 1].percents)
        assert [float(cell) for cell in row[1:]] == [pytest.approx(held.get(name, 0.0), abs=0.05) for name in head[1:]]  # fmt: skip
    assert len(rows) == len(cookie.iterations)
    chew = [[cell.text or "" for cell in row] for row in tables["chew"].iter("tr")]
    assert chew[0] == ["", "iteration", "mean of tasters, 1 to 9", "95 % interval of tasters (t)", "remark"]  # fmt: skip
    assert len(chew) - 1 == sum("chew" in row for r in records(cookie).values() for row in r["scores"][:1])  # fmt: skip


# --- by hand ------------------------------------------------------------------------------------------------


def commit(date: str) -> Commit:
    return Commit(date, date, "R", "A change", (), ())


def bake(name: str, of: str = "aaa", **scores: list[int]) -> Bake:
    rows = [
        {"taster": letter, **{key: values[at] for key, values in scores.items()}}
        for at, letter in enumerate("ABCDEFG"[: max(map(len, scores.values()), default=0)])
    ]
    record = {"date": name[:10], "of": of, "baker": "R", "verdict": "keep", "scores": rows}
    return bake_from(record, name)


def iteration(number: int, digest: str, *bakes: Bake, date: str = "2026-03-01", **more: Any) -> Iteration:  # fmt: skip
    return Iteration(number, commit(date), digest, bakes=bakes, **more)


EARLY, SAME_DAY, LATE = bake("2026-03-02"), bake("2026-03-09"), bake("2026-03-10")


@pytest.mark.parametrize(
    ("baked", "wanted"),
    [(EARLY, 1), (SAME_DAY, 1), (LATE, 3)],
    ids=["before the way back", "on the day of it", "after it"],
)
def test_a_bake_of_a_formula_that_came_back_is_drawn_at_the_one_of_its_day(
    baked: Bake, wanted: int
) -> None:
    there = (
        iteration(1, "aaa", baked),
        iteration(2, "bbb", date="2026-03-05"),
        iteration(3, "aaa", baked, date="2026-03-09"),
    )
    assert [(b.iteration, b.name) for b in bakes_once(there)] == [(wanted, baked.name)]


def test_two_bakes_of_an_iteration_and_one_of_a_trial_are_three_points() -> None:
    first, second = bake("2026-03-02", crumb=[6, 7]), bake("2026-03-02-b", crumb=[5])
    variant = bake("2026-03-02", of="ccc", crumb=[8, 8])
    one = iteration(1, "aaa", first, second, baked_as=(BakedAs("crumb-trial", "c", (variant,)),))
    (panel,) = iteration_panels([one, iteration(2, "bbb")])
    assert [(p.name, p.x, p.y, p.told) for p in panel.points] == [
        ("2026-03-02", 1, 6.5, "2 tasters"),
        ("2026-03-02, c of crumb-trial", 1, 8.0, "2 tasters of one mind: no interval"),
        ("2026-03-02-b", 1, 5.0, "one taster: no interval"),
    ]
    assert panel.whole and panel.span == (1, 2)


def test_absent_is_nothing_and_unknown_a_gap() -> None:
    there = (
        iteration(1, "a", percents=(("butter", 50.0), ("salt", 2.0))),
        iteration(2, "", unreadable="no YAML"),
        iteration(3, "c", percents=(("salt", 2.5),)),
        iteration(4, "d", percents=(("salt", 2.5),), not_weighed=("butter",)),
    )
    assert moved_percents(there) == {
        "butter": [(1, 50.0), (2, None), (3, 0.0), (4, None)],
        "salt": [(1, 2.0), (2, None), (3, 2.5), (4, 2.5)],
    }
    large, small = iteration_panels(there)
    assert {p.series for p in large.points} == {"butter"}
    assert {p.series for p in small.points} == {"salt"}
    said = html.fromstring(iteration_chart(there)).find("figcaption").text_content()
    assert "A line is broken where an iteration could not be read or an ingredient not weighed" in said  # fmt: skip


def test_all_that_moved_is_drawn_six_to_a_panel() -> None:
    names = [f"flour {at}" for at in range(14)]
    there = [
        iteration(n, str(n), percents=tuple((name, 10.0 + n * at) for at, name in enumerate(names)))
        for n in (1, 2)
    ]
    panels = iteration_panels(there)
    assert [len({p.series for p in panel.points}) for panel in panels] == [MOST_LINES, MOST_LINES, 1]  # fmt: skip
    assert "1 ingredient that did not move is not drawn" in iteration_chart(there)


def test_one_iteration_or_nothing_to_see_makes_no_chart() -> None:
    tasted = iteration(1, "a", bake("2026-03-02", crumb=[6, 7]), percents=(("salt", 2.0),))
    assert iteration_chart([tasted]) == ""
    assert iteration_chart([tasted._replace(bakes=()), iteration(2, "b", percents=(("salt", 2.0),))]) == ""  # fmt: skip


def test_what_has_no_mass_is_a_gap_in_the_page(repository: Path) -> None:
    """Salt by the can: the catalogue cannot know how much that is."""
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    for at, salt in enumerate(("9 g", "1 can", "12 g")):
        lines = ("{item: bread flour, amount: 500 g}", f"{{item: salt, amount: {salt}}}")
        (folder / "formula.yaml").write_text(formula_text(*lines), "utf-8")
        git(repository, "add", "-A")
        git(repository, "commit", "-qm", f"Step {at}")
    for _ in ("worked out", "from what was kept"):
        page = run_cli("changelog", "--output", "html", cwd=repository)
        assert page.code == 0
        (table,) = html.fromstring(page.out).iter("table")
        rows = [[cell.text for cell in row] for row in table.find("tbody")]
        assert rows == [["1", "1.8"], ["2", "–"], ["3", "2.4"]]
