"""Why formulas differ, in what is printed: the demo's history, and ten published pound cakes that nobody here baked."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
import yaml
from scipy import stats

from perflour.evidence.gather import gather
from perflour.evidence.pairs import pairs_scored
from perflour.evidence.since import since_last_bake
from perflour.history.revisions import revision_now
from tests.conftest import ROOT, git, run_cli
from tests.evidence.made import BAKE, cookie, shown_digest
from tests.evidence.test_gather import SCHEMAS

sys.path.insert(0, str(ROOT / "tools" / "maintain"))


# What the built-in list has not, as a kitchen would say it: common practice, no source.
BOTTLES = """ingredients:
  - {name: brandy, group: flavouring, composition: {water: 66.6, fat: 0, sugar: 0, protein: 0}, composition-source: as rum of 80 proof, measures: [{per: fl oz, grams: 27.8, source: as rum}, {per: tbsp, grams: 13.9, source: as rum}], allergens: {us: [], eu: []}}
  - {name: rose water, group: flavouring, composition: {water: 100, fat: 0, sugar: 0, protein: 0}, composition-source: as water, measures: [{per: cup, grams: 237, source: as water}], allergens: {us: [], eu: []}}
"""


@pytest.fixture(scope="module")
def pound_cakes(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository of ten published pound cakes by weight: tests/published names the book of each."""
    from write_windows import formula_of  # type: ignore[import-not-found]

    top = tmp_path_factory.mktemp("cakes")
    git(top, "init", "-q", "-b", "main")
    (top / "formulas").mkdir()
    (top / "formulas" / "house.yaml").write_bytes((ROOT / "formulas" / "house.yaml").read_bytes())
    (top / "formulas" / "ingredients.yaml").write_text(BOTTLES, "utf-8")
    for name in ("recipes_by_class.yaml", "pound_cakes.yaml"):
        listed = yaml.safe_load((ROOT / "tests" / "published" / name).read_text("utf-8"))["recipes"]
        for recipe in (r for r in listed if r["class"] == "pound-cake"):
            folder = top / "formulas" / recipe["id"]
            folder.mkdir()
            (folder / "formula.yaml").write_text(yaml.safe_dump(formula_of(recipe)), "utf-8")
    git(top, "add", "-A")
    git(top, "commit", "-qm", "Collect ten pound cakes")
    return top


def test_ten_published_cakes_side_by_side(pound_cakes: Path) -> None:
    told = run_cli("why", cwd=pound_cakes)
    assert told.code == 0, told.err
    assert "never baked here, so no score speaks of it: " in told.out
    # the books: Farmer and Leslie differ in the brandy alone, Acton leaves it out
    assert "pound-cake-acton" in told.out
    # Child takes 12 oz of flour for a pound of sugar: 133 % where the others have 100
    found = json.loads(run_cli("why", "--output", "json", cwd=pound_cakes).out)
    SCHEMAS["why"].validate(found)
    likeness = found["likeness"]
    assert len(likeness["formulas"]) == 10
    sugar = [w["ratio"] for w in likeness["widths"]].index("sugar")
    by_name = dict(zip(likeness["formulas"], likeness["percents"], strict=True))
    assert by_name["pound-cake-child"][sugar] == pytest.approx(16 / 12 * 100)
    assert by_name["pound-cake-acton"][sugar] == pytest.approx(100)
    tree = likeness["tree"]
    assert sorted(tree["formulas"]) == sorted(likeness["formulas"])


def test_the_middle_of_ten_published_cakes(pound_cakes: Path) -> None:
    """By hand from the books: sugar and butter a pound to a pound of flour in most, so 100 % is the median."""
    told = run_cli("middle", "formulas", "--output", "json", cwd=pound_cakes)
    assert told.code in (0, 1), told.err
    rows = {row["name"]: row for row in json.loads(told.out)["percents"]}
    assert rows["granulated sugar"]["percent"] == pytest.approx(100)
    assert rows["unsalted butter"]["percent"] == pytest.approx(100)
    assert run_cli("evidence", cwd=pound_cakes).out.count("no test bake and no tasting") == 1


def test_the_demo_says_what_each_iteration_changed() -> None:
    """By hand from the history of the demo: one change a bake, but the chill and the oven of the fifth."""
    told = run_cli("why", "formulas/rye-ginger-cookie", "formulas/oat-date-loaf", cwd=ROOT)
    for words in (
        "rye-ginger-cookie 1 and 2: only dark brown sugar 72.8 -> 54.6 % (in the dough): chew 5.7 -> 3.7 by 3 tasters",
        "rye-ginger-cookie 7 and 8: the same in all that counts",
        "oat-date-loaf 3 and 4: only soak for 30 -> 90 min",
        "oven and chill moved against each other in 7 of ",
        "what goes together is told, never why",
    ):
        assert words in told.out, words
    assert "rye-ginger-cookie 2 and 5" not in told.out


def test_no_word_of_a_cause() -> None:
    """A relation is no cause, whatever is found: none of these words in what is printed of scores."""
    told = run_cli("why", "formulas/oat-date-loaf", cwd=ROOT).out
    said = told.split("WHAT PUBLISHED WORK")[0].lower()
    for word in ("because", "causes", "caused", "leads to", "due to", "makes it", "effect"):
        assert word not in said, word


def test_one_bake_of_each_tells_nothing_from_the_bake() -> None:
    """The demo baked each revision once; whatever tasters agree on may be the bake."""
    found = pairs_scored(gather([str(ROOT / "formulas" / "oat-date-loaf")], near=True))
    scores = [one for pair in found for one in pair.scores]
    assert len(scores) > 10
    assert {one.p_of_all for one in scores} == {None}


def test_bakes_are_what_is_counted(kitchen: Path) -> None:
    """Two bakes of each of two revisions; by hand: means 5.5 and 6, then 7.5 and 8; Welch's t of scipy on these."""
    first = kitchen / "formulas" / "lavender-cookie" / "bakes"
    for old, day, crumb in (("2026-03-01", 5, 6), ("2026-03-01-b", 6, 10)):
        text = (first / f"{old}.yaml").read_text("utf-8")
        text = text.replace("{taster: A, crumb: 7}", "{taster: A, crumb: 9}")
        (first / f"{old}.yaml").write_text(text, "utf-8")
        text = text.replace("date: 2026-03-01", f"date: 2026-03-{day:02}")
        text = text.replace("{taster: A, crumb: 5}", f"{{taster: A, crumb: {crumb}}}")
        text = text.replace("{taster: A, crumb: 9}", "{taster: A, crumb: 9}").replace("{taster: B, crumb: 6}", "{taster: B, crumb: 6}" if crumb == 6 else "{taster: B, crumb: 7}")  # fmt: skip
        (first / f"2026-03-{day:02}.yaml").write_text(text, "utf-8")
    found = pairs_scored(gather([str(kitchen / "formulas")], near=True), families=3)
    one = found[0].scores[0]
    assert one.bakes == (2, 2)
    assert one.gap
    reference = stats.ttest_ind([7.5, 8.0], [5.5, 6.0], equal_var=False)
    assert one.gap.p == pytest.approx(reference.pvalue)
    assert one.p_of_all == pytest.approx(min(1.0, reference.pvalue * 3))


@pytest.fixture
def twice_changed(repository: Path) -> Path:
    """A cookie baked once; then its sugar and its chill changed together."""
    folder = repository / "formulas" / "lavender-cookie"
    (folder / "bakes").mkdir(parents=True)
    (folder / "formula.yaml").write_text(cookie("lavender-cookie", 200), "utf-8")
    of = shown_digest(repository, "lavender-cookie")
    text = BAKE.format(day=1, name="lavender-cookie", of=of, height="11 mm", crumb=5)
    (folder / "bakes" / "2026-03-01.yaml").write_text(text, "utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Bake the lavender cookie")
    return folder / "formula.yaml"


@pytest.mark.parametrize(
    ("sugar_g", "chill", "said"),
    [
        (240, "", ""),
        (200, "2 h", ""),
        (200, "", ""),
        (240, "2 h", "since test bake 2026-03-01 2 things changed: granulated sugar 50.0 -> 60.0 % (in the dough); the step 'chill for 2 h' came."),
    ],
)  # fmt: skip
def test_two_things_at_once_are_said(
    twice_changed: Path, sugar_g: int, chill: str, said: str
) -> None:
    twice_changed.write_text(cookie("lavender-cookie", sugar_g, chill), "utf-8")
    top = twice_changed.parents[2]
    told = run_cli("bake", "new", "formulas/lavender-cookie", "--baker", "R", "--verdict", "change", cwd=top)  # fmt: skip
    assert told.code == 0
    if said:
        assert said in told.err
        assert "cannot tell which of them it was" in told.err
    else:
        assert told.err == ""


def test_a_trial_that_parts_two_settings_is_said(twice_changed: Path) -> None:
    text = cookie("lavender-cookie", 240).replace("175 °C", "180 °C")
    twice_changed.write_text(text, "utf-8")
    found = since_last_bake(revision_now(twice_changed))
    assert found
    assert found.trial == (("granulated sugar=50..60", "bake at=175 °C..180 °C"), 4)
