"""The ratio sheet, as git's own commands print it, and its laws."""

from __future__ import annotations

import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from perflour.formula.digests import digest
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.plain import is_printable, printable
from perflour.report.git_sheet import (
    git_sheet,
    ratio_sheet_and_sources,
    ratio_sheet_of_file,
    ratio_sheet_or_raw,
)
from tests.balance.test_balance import EXAMPLES, PUBLISHED, main_part, worked
from tests.conftest import ROOT, formula_text, git, run_cli
from tests.merge.three_ways import changed, some_recipe, text_of
from tests.tidy.untidy import Untidy, untidy

KITCHEN = Kitchen(House(), built_in())
FORMULA = "formulas/trial/formula.yaml"
LINES = (
    "{item: all-purpose flour, amount: 300 g}",
    "{item: dark brown sugar, amount: 180 g}",
    "{item: baking soda, amount: 1 tsp, note: sifted}",
)


def sheet(text: str) -> str:
    return git_sheet(text.encode(), KITCHEN)


def test_the_whole_sheet() -> None:
    """Totals by hand from USDA's figures for 100 g (water, fat, sugars): flour 11.92, 0.98, 0.27; brown
    sugar 1.34, 0, 97.02; egg 76.15, 9.51, 0.37. Flour 300 g, sugar 180 g, egg 3 x 50 g, water 30 g.
    Gas: 4.6 g soda give 0.262 g a gram by heat, and as much again of the 0.14 g that the sugar's acid uses up.
    """
    text = formula_text(
        *reversed(LINES),
        "{item: egg, amount: 3 large, state: cold}",
        "{part: soaker, amount: all}",
        "{item: unheard-of, amount: 1 cup}",
        method="[{do: fold, until: smooth, uses: [all-purpose flour, 60 g of egg], with: spoon}]",
        extra="notes: Cut it cold. Wrap it well.  # for the book\nyield: {pieces: 2, piece: loaf}\ncorrections:\n  - {item: baking soda, because: a tablespoon was printed}\n",
    ).replace(
        "parts:\n",
        "parts:\n  - {part: soaker, kind: soaker, ingredients: [{item: water, amount: 30 g}]}\n",
    )
    assert sheet(text) == (
        "formula: trial\n"
        "title: Trial\n"
        "class: loaf-cake\n"
        "100 %: flour\n"
        "part: soaker (soaker), in percent of the batter's flour\n"
        "part: batter, in percent of the batter's flour\n"
        "\n"
        "     10.0 %  soaker: water\n"
        "    100.0 %  batter: all-purpose flour\n"
        "     1.53 %  batter: baking soda\n"
        "     60.0 %  batter: dark brown sugar\n"
        "     50.0 %  batter: egg\n"
        "     10.0 %  batter: soaker (a part)\n"
        "        ? %  batter: unheard-of\n"
        "\n"
        "     10.0 %  batter in all: hydration, not counted: unheard-of\n"
        "     10.0 %  batter in all: liquid, not counted: unheard-of\n"
        "     60.0 %  batter in all: sugar, not counted: unheard-of\n"
        "     50.0 %  batter in all: egg, not counted: unheard-of\n"
        "     0.41 %  batter in all: leavening-gas, not counted: unheard-of\n"
        "     1.53 %  batter in all: baking-soda, not counted: unheard-of\n"
        "     60.8 %  batter in all: total-water, not counted: unheard-of\n"
        "      5.7 %  batter in all: total-fat, not counted: unheard-of\n"
        "     58.7 %  batter in all: total-sugar, not counted: unheard-of\n"
        "\n"
        "       30 g  soaker: water\n"
        "      300 g  batter: all-purpose flour\n"
        "      4.6 g  batter: baking soda, 1 tsp; sifted\n"
        "      180 g  batter: dark brown sugar\n"
        "      150 g  batter: egg, 3 large cold\n"
        "       30 g  batter: soaker (a part), all\n"
        "        ? g  batter: unheard-of, 1 cup\n"
        "      665 g  batch\n"
        "      332 g  each piece\n"
        "\n"
        "step: fold all-purpose flour, 60 g of egg; with spoon, until smooth\n"
        "\n"
        "yield: 2 x loaf\n"
        "status: draft\n"
        "origin: own\n"
        "notes: Cut it cold.\n"
        "notes: Wrap it well.\n"
        "correction: baking soda: a tablespoon was printed\n"
        "\n"
        "comment: # for the book\n"
    )


@pytest.mark.parametrize("id", ["poolish-baguette", "community-college-sugar", "glossary-kilo"])
def test_published_percentages_stand_on_the_sheet(id: str) -> None:
    """Source: the `source` of the example in published/worked_examples.yaml; some figures are cut."""
    example = next(e for e in EXAMPLES if e["id"] == id)
    path = PUBLISHED / "worked" / id / "formula.yaml"
    part = main_part(worked(id))
    sheet_lines = git_sheet(path.read_bytes(), KITCHEN).splitlines()
    shown = {line[13:]: float(line[:9]) for line in sheet_lines if line[9:13] == " %  "}
    for weighed, line in zip(part.lines, example["ingredients"], strict=True):
        subject = f"{part.part.name}: {weighed.line.name}"
        if (printed := line["published_percent"]) is not None:
            value = shown[f"{subject} (a part)" if weighed.line.is_part else subject]
            assert value == pytest.approx(printed, abs=0.06)


@given(st.randoms(use_true_random=False), st.integers(0, 6))
@example(Random(290940), 6)  # a sum on the edge of two roundings: its last digit hung on the order
def test_form_and_order_of_lines_change_nothing(random: Random, style: int) -> None:
    recipe = some_recipe(random)
    before = sheet(text_of(recipe, 0))
    for part in recipe.parts.values():
        items = sorted(part.items())
        part.clear()
        part.update(items)
    one, other = (
        sorted(text.splitlines()) if recipe.comments else text.splitlines()
        for text in (before, sheet(text_of(recipe, style)))
    )
    assert one == other  # comments move with their lines, so they stand in another order


@given(st.randoms(use_true_random=False))
def test_whatever_counts_in_a_revision_shows(random: Random) -> None:
    before = some_recipe(random)
    texts = text_of(before), text_of(changed(before, random, "ours"))
    digests = [digest(read_formula(text.encode(), "f")) for text in texts]
    if digests[0] != digests[1]:
        assert sheet(texts[0]) != sheet(texts[1])


@given(untidy())
def test_every_comment_shows(formula: Untidy) -> None:
    shown = [line for line in sheet(formula.text).splitlines() if line.startswith("comment: ")]
    assert sorted(shown) == sorted(f"comment: {comment}" for comment in formula.comments)


def test_other_spellings_of_units_change_nothing() -> None:
    one = sheet(formula_text("{item: flour, amount: 1 1/2 cup}", "{item: salt, amount: 2 g}"))
    other = sheet(formula_text("{item: flour, amount: 1½ cups}", "{item: salt, amount: 2 grams}"))
    assert one == other
    assert "batter: flour, 1 1/2 cup\n" in one


def test_a_scaled_batch_leaves_every_ratio_line_as_it_is() -> None:
    before = sheet(formula_text(*LINES)).splitlines()
    scaled = [
        line.replace("300", "600").replace("180", "360").replace("1 tsp", "2 tsp") for line in LINES
    ]
    after = sheet(formula_text(*scaled)).splitlines()
    moved = [line for line in after if line not in before]
    assert [line.split("g  ")[1] for line in moved] == [
        "batter: all-purpose flour",
        "batter: baking soda, 2 tsp; sifted",
        "batter: dark brown sugar",
        "batch",
    ]


BROKEN = (
    b"",
    b"\x00\x01\xff\xfe binary",
    b"formula: [unclosed\n",
    b"formula: trial\n",
    formula_text(*LINES).replace("parts:", "<<<<<<< ours\nparts:").encode(),
    formula_text(*LINES).replace("method: []", "method: []\nparts: []").encode(),
    formula_text(*LINES).replace("  - part: batter", "  - part: batter\n    kind: cake").encode(),
    b"a: &a [*a]\n",
    b"[" * 5000,
    b"title: \xed\xa0\x80\n",
)


@pytest.mark.parametrize("content", BROKEN)
def test_what_is_no_formula_is_printed_as_text(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "formula.yaml"
    path.write_bytes(content)
    done = subprocess.run(
        [sys.executable, "-m", "perflour", "git-sheet", str(path)], capture_output=True, check=False
    )
    shown = printable(content.decode("utf-8", "backslashreplace")).encode()
    assert (done.returncode, done.stdout, done.stderr) == (0, shown, b"")


@given(st.binary(max_size=200))
def test_any_bytes_are_printed_as_text(content: bytes) -> None:
    shown = printable(content.decode("utf-8", "backslashreplace"))
    assert ratio_sheet_or_raw(content, "formula.yaml", "").decode() == shown
    assert is_printable(shown)


def test_git_gets_what_the_command_line_prints(tmp_path: Path) -> None:
    """By every house: one with its own ingredients, a broken one, none, one above the folder that is named."""
    shutil.copy(ROOT / "formulas" / "ingredients.yaml", tmp_path)
    houses = ["", str(ROOT / "formulas"), str(ROOT / "formulas" / "rye-poolish-loaf")]
    for name, content in {"with": "house: x\n", "broken": "house: [", "empty": ""}.items():
        (tmp_path / name).mkdir()
        (tmp_path / name / "house.yaml").write_text(content, encoding="utf-8")
        shutil.copy(ROOT / "formulas" / "ingredients.yaml", tmp_path / name)
        houses.append(str(tmp_path / name))
    demo = [path.read_bytes() for path in (ROOT / "formulas").glob("*/formula.yaml")]
    path = tmp_path / "formula.yaml"
    for content in (*demo, *BROKEN):
        path.write_bytes(content)
        for house in houses:
            sheet, sources = ratio_sheet_and_sources(str(path), house)
            assert sheet == ratio_sheet_of_file(str(path), house)
            assert sources[:1] in ((content,), ())
            assert len(sources) == {"": 1, houses[2]: 0}.get(house, 3)
    assert ratio_sheet_and_sources(str(tmp_path / "none"), "") == (b"", ())


def test_a_file_that_is_not_there_prints_nothing(tmp_path: Path) -> None:
    outcome = run_cli("git-sheet", "--house=", "--", "-no such file", cwd=tmp_path)
    assert (outcome.code, outcome.all) == (0, "")


def test_a_fault_of_our_own_prints_the_file(monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object) -> None:
        raise RecursionError

    content = formula_text(*LINES).encode()
    assert ratio_sheet_or_raw(content, "f", "") != content
    monkeypatch.setattr("perflour.report.git_sheet.balance", fault)
    assert ratio_sheet_or_raw(content, "f", "") == content


def test_it_imports_nothing_that_lint_does_not(tmp_path: Path) -> None:
    """Git starts it twice for every commit that it shows."""
    path = ROOT / "formulas" / "rye-poolish-loaf" / "formula.yaml"
    paths = ":".join(p for p in sys.path if p)
    loaded = []
    for words in (["lint", str(path)], ["git-sheet", str(path)]):
        code = f"import sys; from perflour.cli import main; main({words}); print(','.join(sys.modules))"
        done = subprocess.run(
            [sys.executable, "-S", "-c", code],
            capture_output=True,
            # the compiled reader does without pyyaml, by which a sheet finds comments
            env={"PYTHONPATH": f"{ROOT / 'tools'}:{paths}", "PERFLOUR_PLAIN_READER": "1"},
            check=True,
        )
        loaded.append(set(done.stdout.decode().splitlines()[-1].split(",")))
    own = {
        "perflour.commands.git_sheet",
        "perflour.report.git_sheet",
        "perflour.report",
        "perflour.kitchen.figures",
        "perflour.kitchen.spelling",
    }
    assert loaded[1] - loaded[0] <= own
    assert "perflour.report.git_sheet" in loaded[1]
    code = (
        "import os, sys; os._exit = lambda _: print(','.join(sys.modules))\n"
        "from perflour.commands.git_sheet import for_git; for_git()"
    )
    words = [sys.executable, "-S", "-c", code, str(ROOT / "formulas"), str(tmp_path), str(path)]
    paths = f"{ROOT / 'tools'}:{paths}"
    done = subprocess.run(words, capture_output=True, env={"PYTHONPATH": paths}, check=True)
    by_git = set(done.stdout.decode().splitlines()[-1].split(","))
    keeping = {
        "perflour.system.hashing",
        "perflour.system.made_by",
        "perflour.system.shown_before",
        "shlex",
        "_sha256",
        "_sha2",
    }
    assert by_git - loaded[1] <= keeping
    assert not {"argparse", "gettext", "perflour.cli", "perflour.commands.parts"} & by_git


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A repository that is set up, with one formula and its house; a second commit with more sugar."""
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (repository / "formulas" / "house.yaml").write_text("house: Saltmarsh Lane\n", encoding="utf-8")
    write(repository, formula_text(*LINES))
    assert run_cli("git-setup", cwd=repository).code == 0
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", "A trial")
    write(repository, formula_text(*LINES).replace("180 g", "216 g"))
    git(repository, "commit", "-q", "-a", "-m", "More sugar")
    return repository


def write(repository: Path, text: str) -> None:
    (repository / FORMULA).write_text(text, encoding="utf-8")


SUGAR = {
    "-     60.0 %  batter: dark brown sugar",
    "+     72.0 %  batter: dark brown sugar",
    "-      180 g  batter: dark brown sugar",
    "+      216 g  batter: dark brown sugar",
}


def moved(output: str) -> set[str]:
    return {line for line in output.splitlines() if line[:1] in "+-" and "dark brown" in line}


@pytest.mark.parametrize(
    "words",
    [
        ("diff", "HEAD~1", "HEAD"),
        ("log", "-p", "-1"),
        ("show",),
        ("show", "--word-diff-regex=.", "--word-diff=none", "HEAD"),
    ],
)
def test_git_shows_ratios(words: tuple[str, ...], kitchen: Path) -> None:
    shown = git(kitchen, *words)
    assert moved(shown) == SUGAR
    assert "item:" not in shown
    assert " @@ trial\n" in shown
    assert moved(git(kitchen / "formulas" / "trial", *words)) == SUGAR


def test_git_shows_ratios_of_the_work_tree_the_index_and_a_stash(kitchen: Path) -> None:
    write(kitchen, formula_text(*LINES))
    back = {f"{'-' if line[0] == '+' else '+'}{line[1:]}" for line in SUGAR}
    assert moved(git(kitchen, "diff")) == back
    git(kitchen, "add", "-A")
    assert moved(git(kitchen, "diff", "--cached")) == back
    git(kitchen, "stash")
    assert moved(git(kitchen, "stash", "show", "-p", "--textconv")) == back


def test_the_bytes_of_a_revision_stay_at_hand(kitchen: Path) -> None:
    assert git(kitchen, "show", f"HEAD~1:{FORMULA}") == formula_text(*LINES)
    assert "+      - {item: dark brown sugar, amount: 216 g}\n" in git(
        kitchen, "diff", "--no-textconv", "HEAD~1", "HEAD"
    )
    patch = git(kitchen, "format-patch", "-1", "--stdout")
    assert "+      - {item: dark brown sugar, amount: 216 g}\n" in patch


def test_a_broken_revision_does_not_stop_the_log(kitchen: Path) -> None:
    write(kitchen, "formula: [unclosed\n")
    git(kitchen, "commit", "-q", "-a", "-m", "Oops")
    write(kitchen, "")
    git(kitchen, "commit", "-q", "-a", "-m", "Empty")
    git(kitchen, "rm", "-q", FORMULA)
    git(kitchen, "commit", "-q", "-m", "Gone")
    shown = git(kitchen, "log", "-p")
    assert "+formula: [unclosed" in shown
    assert moved(shown) >= SUGAR


def test_the_house_weighs_the_same_from_the_tree_and_from_a_copy(kitchen: Path) -> None:
    """A house's own cup: the file in the tree and git's copy outside it are read alike."""
    entry = (
        "ingredients:\n  - name: all-purpose flour\n    group: flour\n    counts-as: flour\n"
        "    measures: [{per: cup, grams: 111, source: our own scale}]\n"
    )
    (kitchen / "formulas" / "ingredients.yaml").write_text(entry, encoding="utf-8")
    text = formula_text("{item: all-purpose flour, amount: 1 cup}")
    write(kitchen, text)
    git(kitchen, "commit", "-q", "-a", "-m", "By the cup")
    write(kitchen, f"{text}waivers: []\n")  # no word changed: nothing to show
    assert "@@" not in git(kitchen, "diff")
    assert "+      111 g  batter: all-purpose flour, 1 cup\n" in git(kitchen, "show")


def test_the_diff_in_the_docs_is_what_git_prints(tmp_path: Path) -> None:
    """The block in docs/git.md, by its own command on this repository's history."""
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    clone = tmp_path / "clone"
    git(tmp_path, "clone", "-q", str(ROOT), str(clone))
    assert run_cli("git-setup", cwd=clone).code == 0
    page = (ROOT / "docs" / "git.md").read_text(encoding="utf-8")
    command = next(line for line in page.splitlines() if line.startswith("git log "))
    block = page.split("```diff\n")[1].split("```")[0]
    shown = git(clone, *shlex.split(command)[1:])
    if "@@" not in shown:
        pytest.skip("needs the whole history of the demo")
    assert f"...\n{shown[shown.index('@@') :]}" == block  # the commit's own lines stand above
