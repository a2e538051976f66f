"""`lint --fix`: mends what has one right answer, says so, and leaves the rest to the baker."""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.formula.digests import digest
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen, kitchen_for
from perflour.kitchen.numbers import right_way_up
from perflour.lint.check import check_content
from perflour.lint.rules.all_rules import RULES
from perflour.lint.rules.mendable import MENDABLE
from perflour.lint.rules.reading import READING
from perflour.system.file_kinds import kind_of
from perflour.tidy.fixes import mend_files, mend_formula
from tests.conftest import ROOT, examples, formula_text, run_cli
from tests.tidy.untidy import Untidy, untidy

HOUSE = "house: Trial kitchen\ntemperatures: both\n"
BOTH = Kitchen(House(temperatures="both"), built_in())
CREAMED = """\
  - {do: cream, uses: [butter]}
  - {do: beat in, uses: [egg]}
  - {do: fold, uses: [flour, salt]}
  - {do: stir, uses: [raisins], until: even}
"""
FORMULA = f"""\
formula: trial
title: Trial
class: loaf-cake
status: approved
yield: {{pieces: 1, piece: loaf, scaling-weight: 454 g}}
parts:
  - part: batter
    ingredients:
      # plump ones
      - {{item: flour, amount: 200 grams}}
      - {{item: raisins, amount: 100 g}}   # from the jar
      - {{item: butter, amount: 100 g, state: soft}}
      - {{item: egg, amount: 50 g}}
      - {{item: salt, amount: 4 g}}
method:
{CREAMED}  - {{do: preheat, to: 175 °C}}
  - {{do: bake, at: 175 °C, for: 50-45 min, until: golden}}
  - {{do: cool, for: 60 min}}
waivers:
  # agreed in spring
  - {{rule: approved-without-bakes, because: a trial}}
  - {{rule: no-cooling, because: never needed}}   # old
"""
MENDED = f"""\
formula: trial
title: Trial
class: loaf-cake
status: approved
yield: {{pieces: 1, piece: loaf, scaling-weight: 454 g}}
parts:
  - part: batter
    ingredients:
      # plump ones
      - {{item: flour, amount: 200 g}}
      - {{item: butter, amount: 100 g, state: soft}}
      - {{item: egg, amount: 50 g}}
      - {{item: salt, amount: 4 g}}
      - {{item: raisins, amount: 100 g}}   # from the jar
method:
{CREAMED}  - {{do: preheat, to: 175 °C (345 °F)}}
  - {{do: bake, at: 175 °C (345 °F), for: 45-50 min, until: golden}}
  - {{do: cool, for: 60 min}}
waivers:
  # agreed in spring
  - {{rule: approved-without-bakes, because: a trial}}
"""


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """A folder with a house file and one formula to mend."""
    (tmp_path / "house.yaml").write_text(HOUSE, encoding="utf-8")
    folder = tmp_path / "trial"
    folder.mkdir()
    (folder / "formula.yaml").write_text(FORMULA, encoding="utf-8")
    return tmp_path


def formula_of(kitchen: Path) -> str:
    return (kitchen / "trial" / "formula.yaml").read_text(encoding="utf-8")


def test_fix_mends_says_what_and_reports_what_is_left(kitchen: Path) -> None:
    before = run_cli("lint", cwd=kitchen)
    assert before.code == 1
    assert before.out.endswith("\nup to 5 of these can be mended with --fix\n")
    done = run_cli("lint", "--fix", cwd=kitchen)
    assert (done.code, done.err) == (1, "")
    assert (
        done.out
        == """\
trial/formula.yaml:12:16: mended: butter is listed after raisins but used well before it; list the ingredients of 'batter' in the order of use [listed-out-of-order]
trial/formula.yaml:20:23: mended: '175 °C' without °F; write `175 °C (345 °F)` [temperature-in-one-scale]
trial/formula.yaml:21:20: mended: '175 °C' without °F; write `175 °C (345 °F)` [temperature-in-one-scale]
trial/formula.yaml:21:33: mended: the range in '50-45 min' is upside down; write the smaller number first [range-upside-down]
trial/formula.yaml:26:5: mended: the waiver of no-cooling covers nothing any more; remove it [waiver-not-needed]
trial/formula.yaml:16:5: warning: the step 'cream' has neither a time nor a sign; add `for` (3-5 min is usual) or `until` [creaming-without-sign]
      - {do: cream, uses: [butter]}
        ^
2 files read: 1 warning in 1
"""
    )
    assert formula_of(kitchen) == MENDED
    again = run_cli("lint", "--fix", "--fail-at", "error", cwd=kitchen)
    assert (again.code, again.out.splitlines()[0]) == (0, done.out.splitlines()[5])
    assert sorted(path.name for path in (kitchen / "trial").iterdir()) == ["formula.yaml"]


def test_a_file_that_only_lacks_the_house_format_is_named(kitchen: Path) -> None:
    path = kitchen / "trial" / "formula.yaml"
    path.write_text(MENDED.replace("200 g}", "200 grams}"), encoding="utf-8")
    done = run_cli("lint", "--fix", cwd=kitchen)
    assert done.out.startswith("trial/formula.yaml: written in the house format\n")
    assert formula_of(kitchen) == MENDED


def test_reports_for_machines_stay_whole(kitchen: Path) -> None:
    done = run_cli("lint", "--fix", "--output", "sarif", cwd=kitchen)
    results = json.loads(done.out)["runs"][0]["results"]
    assert [result["ruleId"] for result in results] == ["creaming-without-sign"]
    assert done.err.count(": mended: ") == 5


def test_standard_input_cannot_be_mended(kitchen: Path) -> None:
    done = run_cli("lint", "--fix", "-", cwd=kitchen, stdin=FORMULA.encode())
    assert (done.code, done.out) == (2, "")
    assert (
        done.err
        == "perflour: --fix writes files, so it cannot be used with `-`; name the file to mend\n"
    )
    assert "--fix" not in run_cli("lint", "-", cwd=kitchen, stdin=FORMULA.encode()).out


@pytest.mark.parametrize(
    "broken",
    [
        FORMULA.replace("{item: salt", "{item: [salt"),
        FORMULA.replace("title: Trial\n", ""),
        FORMULA.replace("title: Trial\n", "title: Trial\ntitle: Trial\n"),
    ],
    ids=["no YAML", "not as the schema", "a key twice"],
)
def test_a_file_that_cannot_be_read_is_left_alone(kitchen: Path, broken: str) -> None:
    (kitchen / "trial" / "formula.yaml").write_text(broken, encoding="utf-8")
    assert run_cli("lint", "--fix", cwd=kitchen).code == 1
    assert formula_of(kitchen) == broken


def test_nothing_is_mended_under_a_house_file_that_cannot_be_read(kitchen: Path) -> None:
    (kitchen / "house.yaml").write_text("house: [\n", encoding="utf-8")
    assert run_cli("lint", "--fix", cwd=kitchen).code == 1
    assert formula_of(kitchen) == FORMULA


def test_a_file_that_cannot_be_written_stops_the_run_in_one_line(
    kitchen: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from perflour.cli import main
    from perflour.system import writing

    def full(path: Path, content: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(writing, "write_file", full)
    monkeypatch.chdir(kitchen)
    assert main(["lint", "--fix", "trial"]) == 2
    assert capsys.readouterr().err == (
        "perflour: trial/formula.yaml: cannot be written (No space left on device);"
        " check its rights and its folder's\n"
    )


def test_many_files_are_mended_on_several_cores(tmp_path: Path) -> None:
    for number in range(120):
        folder = tmp_path / str(number) / "trial"
        folder.mkdir(parents=True)
        (folder / "formula.yaml").write_text(FORMULA, encoding="utf-8")
    mended, overtaken = mend_files([str(tmp_path)], jobs=2)
    assert (len(mended), overtaken) == (120, [])
    texts = {path.read_text(encoding="utf-8") for path in tmp_path.glob("*/*/formula.yaml")}
    assert texts == {MENDED.replace(" (345 °F)", "")}


def test_every_mendable_rule_is_there_and_its_example_is_mended() -> None:
    assert {rule.id for rule in RULES} | set(READING) >= MENDABLE
    for id in MENDABLE & {rule.id for rule in RULES}:
        path = ROOT / "tests" / "rules" / id / "fail.yaml"
        told = {r.rule for r in check_content(path.read_bytes(), "f", kitchen_for(str(path)))}
        mended = mend_formula(path.read_bytes(), "f", kitchen_for(str(path)))
        left = {r.rule for r in check_content(mended, "f", kitchen_for(str(path)))}
        assert told - left == {id}


EXAMPLES = [
    path
    for path in sorted((ROOT / "tests" / "rules").glob("*/*.yaml"))
    if kind_of(str(path)) == "formula"
]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_no_other_result_comes_or_goes(path: Path) -> None:
    """Over the examples of all rules: what no rule of the table told stands as it was."""
    kitchen = kitchen_for(str(path))

    def told(content: bytes) -> Counter[tuple[str, str]]:
        results = check_content(content, "f", kitchen)
        return Counter((r.rule, r.message) for r in results if r.rule not in MENDABLE)

    content = path.read_bytes()
    mended = mend_formula(content, "f", kitchen)
    assert told(mended) == told(content)
    before, after = (weigh_file(text, "f", kitchen) for text in (content, mended))
    if path.parent.name != "range-upside-down":
        assert digest(after.formula) == digest(before.formula)
    assert masses(after) == masses(before)


def masses(balance: Balance) -> Counter[tuple[str, str, float | None]]:
    """Every line's mass, by part and name."""
    return Counter(
        (part.part.name, w.name, w.mass and round(w.mass.grams, 6))
        for part in balance.parts
        for w in part.lines
    )


def with_waivers(*rows: str, status: str = "draft", extra: str = "") -> str:
    waivers = "".join(f"  - {{rule: {row}, because: agreed}}\n" for row in rows)
    lines = ("{item: flour, amount: 200 g}", "{item: water, amount: 120 g}")
    text = formula_text(*lines, extra=extra).replace("draft", status)
    return f"{text}waivers:\n{waivers}"


def mended(text: str, kitchen: Kitchen = BOTH) -> str:
    return mend_formula(text.encode(), "f", kitchen).decode()


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        (with_waivers("no-cooling", "yield-missing"), ["yield-missing"]),
        (with_waivers("no-cooling", "hot-sugar", "yield-missing"), ["yield-missing"]),
        (with_waivers("volume-in-approved"), []),
        (with_waivers("volume-in-approved").replace("120 g", "1/2 cup"), ["volume-in-approved"]),
        (with_waivers("no-cooling").replace("water", "wotter"), ["no-cooling"]),
        (with_waivers("no-cooling").replace("120 g", "2 heaps"), ["no-cooling"]),
        (with_waivers("no-such-rule"), ["no-such-rule"]),
    ],
    ids=[
        "of two one",
        "of three two",
        "the only one",
        "needed when it is approved",
        "an ingredient is unknown",
        "an amount cannot be read",
        "a rule that is none",
    ],
)
def test_which_waivers_go(text: str, kept: list[str]) -> None:
    after = mended(text)
    assert re.findall(r"rule: ([\w-]+)", after) == kept
    assert ("waivers:" in after) == bool(kept)


def test_comments_over_a_waiver_outlive_it() -> None:
    text = with_waivers("no-cooling", "yield-missing").replace(
        "waivers:\n", "# all\nwaivers:  # 1\n"
    )
    text = text.replace("  - {rule: no", "  # 2\n  - {rule: no").replace(
        "agreed}\n", "agreed} # x\n"
    )
    assert mended(text).endswith(
        "# all\nwaivers:  # 1\n  # 2\n  - {rule: yield-missing, because: agreed} # x\n"
    )
    alone = text.replace("  - {rule: yield-missing, because: agreed} # x\n", "  # 3\n# end\n")
    assert mended(alone).endswith("method: []\n# all\n# 1\n# 2\n# 3\n# end\n")


@pytest.mark.parametrize(
    ("text", "turned"),
    [
        ("50-45 min", "45-50 min"),
        ("50 to 45 min", "45-50 min"),
        ("1 1/2-1 cup", "1-1 1/2 cup"),
        ("2-1/2 cup", "2-1/2 cup"),
        ("½–¼ tsp", "1/4-1/2 tsp"),
        ("3-2 cup plus 2-3 tbsp", "2-3 cup plus 2-3 tbsp"),
        ("200-180 °C (390-355 °F)", "180-200 °C (355-390 °F)"),
        ("1 can 425-400 g drained 250 g", "1 can 400-425 g drained 250 g"),
        ("45-50 min", "45-50 min"),
        ("9-1/0 g", "9-1/0 g"),
    ],
)
def test_a_range_is_turned_and_both_numbers_stay(text: str, turned: str) -> None:
    assert right_way_up(text) == turned


def test_ranges_are_turned_wherever_they_stand() -> None:
    text = formula_text(
        "{item: flour, amount: 210-200 g}",
        "{part: glaze, amount: 20-10 g}",
        method="[{do: bake, at: 180-170 °C, core: 97-96 °C, for: 30-25 min}, {do: cool, to: 30-20 °C}]",
        extra="yield: {pieces: 1, scaling-weight: 300-290 g}\n",
    )
    after = mended(text, Kitchen(House(), built_in()))
    for turned in ("290-300 g", "200-210 g", "10-20 g", "170-180 °C", "96-97 °C", "25-30 min"):
        assert turned in after
    assert "20-30 °C" in after
    waived = f"{text}waivers: [{{rule: range-upside-down, because: as printed}}]\n"
    assert "210-200 g" in mended(waived)


@given(untidy())
@examples(100)
def test_mending_twice_is_mending_once_and_changes_no_balance(said: Untidy) -> None:
    once = mended(said.text)
    assert mended(once) == once
    before, after = (weigh_file(text.encode(), "f", BOTH) for text in (said.text, once))
    assert masses(after) == masses(before)
    assert digest(after.formula) == digest(before.formula)
    gone = Counter(said.comments) - Counter(re.findall(r"# c[0-9]+", once))
    waivers = len(before.formula.waivers) - len(after.formula.waivers)
    assert sum(gone.values()) <= 4 * waivers  # a waiver has two entries, each with room for two


@given(untidy())
@examples(100)
def test_a_turned_range_changes_no_other_mass(said: Untidy) -> None:
    text = said.text.replace("4-5 tbsp", "5-4 tbsp").replace("45-50 min", "50-45 min")
    once = mended(text)
    assert mended(once) == once
    before, after, upright = (
        weigh_file(text.encode(), "f", BOTH) for text in (text, once, said.text)
    )
    known = Counter(key for key in masses(before) if key[2] is not None and key[1] != "soaker")
    assert not known - masses(after)
    assert masses(after) == masses(upright)
    assert digest(after.formula) == digest(upright.formula)
