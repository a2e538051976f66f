"""Release logs between tags: what is told to readers, on what evidence, and what blocks the rest."""

from __future__ import annotations

import json
import shlex
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from perflour.formula.digests import digest
from perflour.release.for_readers import IngredientMove, ingredient_moves
from perflour.report.release.words import move_words
from tests.conftest import Outcome, formula_text, git, run_cli, weigh_text
from tests.history.test_changelog import bake, commit

FORMULA = """\
formula: {id}
title: {title}
class: loaf-cake
status: {status}
origin: own
yield: {{pieces: {pieces}, piece: loaf, scaling-weight: {each} g}}
parts:
  - part: batter
    ingredients:
      - {{item: all-purpose flour, amount: 300 g}}
      - {{item: dark brown sugar, amount: {sugar} g}}
      - {{item: buttermilk, amount: 90 g}}
      - {{item: baking soda, amount: 3 g}}
      - {{item: table salt, amount: 3 g}}{more}
method:
  - {{do: preheat, to: {oven} °C}}
  - {{do: line, into: {pan}}}
  - {{do: mix, uses: [{uses}], until: no dry streaks}}
  - {{do: bake, at: {oven} °C, for: 30-35 min, until: a skewer comes out clean}}
  - {{do: cool, on: wire rack, for: 60 min}}
"""
LISTED = "all-purpose flour, dark brown sugar, buttermilk, baking soda, table salt"


def loaf(id: str = "plain-loaf", **said: Any) -> str:
    """A formula that passes lint once it is approved and baked."""
    extra = said.pop("extra", "")
    usual: dict[str, Any] = {
        "title": id.replace("-", " ").capitalize(),
        "status": "approved",
        "pieces": 2,
        "sugar": 120,
        "oven": 175,
        "pan": "2 loaf pans 16 x 9 cm",
        "more": f"\n      - {{item: {extra}, amount: 30 g}}" if extra else "",
        "uses": f"{LISTED}, {extra}" if extra else LISTED,
    }
    filled = {**usual, **said}
    batch_g = 300 + 90 + 3 + 3 + filled["sugar"] + 30 * bool(extra)
    return FORMULA.format(id=id, each=batch_g // filled["pieces"], **filled)


def put(repository: Path, content: str, verdict: str = "keep", day: str = "2026-03-14") -> None:
    """Write a formula and, with a verdict, a test bake of exactly this revision."""
    balance = weigh_text(content)
    folder = repository / "formulas" / balance.formula.id
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "formula.yaml").write_text(content, encoding="utf-8")
    if verdict:
        bake(folder, day, digest(balance.formula), verdict, "scores: [{taster: A, crumb: 7}]\n")


def release(repository: Path, *words: str) -> Outcome:
    return run_cli("release", *words, cwd=repository)


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A first release of two loaves, with a third one in work; then a change of each kind."""
    put(repository, loaf("plain-loaf"))
    put(repository, loaf("old-loaf"))
    put(repository, loaf("quiet-loaf", sugar=100))
    put(repository, loaf("new-loaf", status="testing", sugar=90), verdict="")
    commit(repository, "Three loaves and one in work")
    git(repository, "tag", "2026.1")
    changed = loaf("plain-loaf", sugar=150, oven=165, pieces=3, pan="3 loaf pans 14 x 8 cm", extra="walnuts")  # fmt: skip
    put(repository, changed, day="2026-04-02")
    put(repository, loaf("new-loaf", sugar=90), day="2026-04-03")
    put(repository, loaf("old-loaf", status="retired"), verdict="")
    put(repository, loaf("next-loaf", status="draft", sugar=80, more="\n      - {item: honey, amount: 1 cup}"), verdict="")  # fmt: skip
    commit(repository, "Change, approve, retire, begin")
    return repository


def test_the_log_for_readers_and_its_evidence(kitchen: Path) -> None:
    marks = {
        "plain": digest(weigh_text((kitchen / "formulas/plain-loaf/formula.yaml").read_text()).formula),
        "new": digest(weigh_text(loaf("new-loaf", sugar=90)).formula),
        "quiet": digest(weigh_text(loaf("quiet-loaf", sugar=100)).formula),
    }  # fmt: skip
    out = release(kitchen, "2026.1..HEAD").out
    readers, rest = out.split("\nCautions\n")
    in_ratios = readers.index("    in ratios:\n"), readers.index("\nRetired\n")
    assert (
        "      dark brown sugar 120 g -> 150 g: 40.0 % -> 50.0 %, +10.0 % of the batter's flour\n"
        in readers[slice(*in_ratios)]
    )
    assert (
        readers[: in_ratios[0]] + readers[in_ratios[1] :]
        == """\
Release log HEAD
Since 2026.1, 2026-03-14. 3 approved formulas; 1 new, 1 changed, 1 unchanged, 1 retired.

Before you bake again
  Plain loaf
    ALLERGEN: now contains tree nuts
    ALLERGEN: now contains nuts
    makes 3 x loaf of 192 g, was 2 x loaf of 258 g
    pan: 3 loaf pans 14 x 8 cm, was 2 loaf pans 16 x 9 cm
    oven: 165 °C, was 175 °C

New
  New loaf
    makes 2 x loaf of 243 g
    allergens, US list: milk, wheat
    allergens, EU list: cereals containing gluten, milk

Changed
  Plain loaf
    ALLERGEN: now contains tree nuts
    ALLERGEN: now contains nuts
    makes 3 x loaf of 192 g, was 2 x loaf of 258 g
    pan: 3 loaf pans 14 x 8 cm, was 2 loaf pans 16 x 9 cm
    oven: 165 °C, was 175 °C
    more dark brown sugar (40.0 % -> 50.0 % of the batter's flour)
    walnuts is new (10.0 % of the batter's flour)

Retired
  Old loaf
    is not in the book any more

Unchanged
  Quiet loaf
"""
    )
    cautions, evidence = rest.split("\nEvidence\n")
    assert "people qualified in them decide" in cautions and "Raw flour" in cautions
    approved, waiting = evidence.split("\nNot in this release\n")
    assert (
        approved
        == f"""\
  New loaf (new-loaf, approved)
    revision {marks["new"]}, approved since, was testing
    test bake 2026-04-03 by N: keep; 1 taster: crumb 7.0
    lint: no error and no warning
    allergens, US list: milk, wheat
    allergens, EU list: cereals containing gluten, milk
  Plain loaf (plain-loaf, approved)
    revision {marks["plain"]}, approved before and changed
    test bake 2026-04-02 by N: keep; 1 taster: crumb 7.0
    lint: no error and no warning
    allergens, US list: milk, tree nuts, wheat
    allergens, EU list: cereals containing gluten, milk, nuts
  Quiet loaf (quiet-loaf, approved)
    revision {marks["quiet"]}, approved before, unchanged
    test bake 2026-03-14 by N: keep; 1 taster: crumb 7.0
    lint: no error and no warning
    allergens, US list: milk, wheat
    allergens, EU list: cereals containing gluten, milk
"""
    )
    assert waiting.startswith("  Next loaf (next-loaf, draft)\n    new in the repository\n    before it can be approved:\n")  # fmt: skip
    for rule in ("approved-without-bakes", "volume-in-approved", "listed-never-used"):
        assert f"({rule})\n" in waiting


def test_the_other_forms_tell_the_same(kitchen: Path) -> None:
    markdown = release(kitchen, "2026.1..", "--output", "markdown").out
    assert markdown.startswith("# Release log HEAD\n\nSince 2026.1, ")
    assert "\n## Before you bake again\n\n### Plain loaf\n\n- ALLERGEN: now contains tree nuts\n" in markdown  # fmt: skip
    data = json.loads(release(kitchen, "2026.1..HEAD", "--output", "json").out)
    formulas = {f["formula"]: f for f in data["formulas"]}
    assert {name: f["for_readers"] for name, f in formulas.items()} == {
        "new-loaf": "new",
        "next-loaf": "waiting",
        "old-loaf": "retired",
        "plain-loaf": "changed",
        "quiet-loaf": "unchanged",
    }
    plain = formulas["plain-loaf"]
    assert [b["kind"] for b in plain["breaking"]] == ["allergen", "allergen", "yield", "pan", "temperature"]  # fmt: skip
    assert plain["percent_of_basis"]["dark brown sugar"] == {"before": 40.0, "after": 50.0}
    assert plain["evidence"]["blocked"] is False and plain["evidence"]["bakes"][0]["verdict"] == "keep"  # fmt: skip
    assert formulas["next-loaf"]["evidence"]["blocked"] is True
    page = release(kitchen, "2026.1..HEAD", "--output", "html").out
    found: list[str] = []

    class Reader(HTMLParser):
        def handle_data(self, data: str) -> None:
            found.append(data.strip())

    Reader().feed(page)
    for line in markdown.splitlines():
        said = line.strip().lstrip("#- ").replace("\\", "")
        assert said in found or not said, said
    assert '<section class="first">' in page and "<script" not in page


def test_it_reads_the_commits_and_not_the_work_tree(kitchen: Path) -> None:
    before = release(kitchen, "2026.1..HEAD").out
    put(kitchen, loaf("plain-loaf", sugar=20), verdict="")
    for path in kitchen.glob("formulas/*/bakes/*.yaml"):
        path.unlink()
    (kitchen / "formulas/house.yaml").write_text("house: X\nrules: {no-cooling: error}\n")
    assert release(kitchen, "2026.1..HEAD").out == before
    assert git(kitchen, "stash", "list") == ""


def test_the_first_release_and_a_renamed_formula(kitchen: Path) -> None:
    first = release(kitchen, "2026.1").out
    assert first.startswith("Release log 2026.1\nThe first release, 2026-03-14. 3 approved formulas; 3 new.\n")  # fmt: skip
    git(kitchen, "tag", "2026.2")
    git(kitchen, "mv", "formulas/quiet-loaf", "formulas/still-loaf")
    text = loaf("still-loaf", sugar=104)
    put(kitchen, text, day="2026-05-01")
    commit(kitchen, "Rename it, sweeten it a little")
    data = json.loads(release(kitchen, "2026.2..HEAD", "--output", "json").out)
    turns = {f["formula"]: f["for_readers"] for f in data["formulas"]}
    assert turns["still-loaf"] == "changed" and "quiet-loaf" not in turns
    told = release(kitchen, "2026.2..HEAD").out
    assert "    a little more dark brown sugar (33.3 % -> 34.7 % of the batter's flour)\n" in told


def test_a_formula_whose_folder_is_gone_is_retired(kitchen: Path) -> None:
    git(kitchen, "rm", "-qr", "formulas/quiet-loaf")
    commit(kitchen, "Take the quiet loaf out")
    told = release(kitchen, "2026.1..HEAD").out
    assert "\nRetired\n  Old loaf\n    is not in the book any more\n  Quiet loaf\n    is not in the book any more\n" in told  # fmt: skip
    put(kitchen, loaf("plain-loaf", status="testing", sugar=150), verdict="")
    commit(kitchen, "Work on it again")
    assert "\nWithdrawn for now\n  Plain loaf\n    is being worked on again\n" in release(kitchen, "2026.1..HEAD").out  # fmt: skip


@pytest.mark.parametrize(
    ("before", "after", "turn", "said"),
    [
        ("", "reference", None, ""),
        ("reference", "reference", None, ""),
        ("reference", "", None, ""),
        ("testing", "reference", "retired", ""),
        ("approved", "reference", "retired", "\nRetired\n  Side loaf\n    is not in the book any more\n"),
        ("reference", "testing", "waiting", "\n  Side loaf (side-loaf, testing)\n"),
    ],
)  # fmt: skip
def test_references_are_not_in_a_release(
    repository: Path, before: str, after: str, turn: str | None, said: str
) -> None:
    def end(status: str, name: str) -> None:
        if status:
            put(repository, loaf("side-loaf", status=status), verdict="")
        elif (repository / "formulas/side-loaf").exists():
            git(repository, "rm", "-qr", "formulas/side-loaf")
        (repository / "notes.txt").write_text(name, encoding="utf-8")
        commit(repository, name)

    put(repository, loaf("plain-loaf"))
    end(before, "One end")
    git(repository, "tag", "2026.1")
    end(after, "The other end")
    told = release(repository, "2026.1..HEAD").out
    rows = json.loads(release(repository, "2026.1..HEAD", "--output", "json").out)["formulas"]
    assert [f["for_readers"] for f in rows if f["formula"] == "side-loaf"] == [turn][: bool(turn)]
    assert ("Side loaf" in told) == bool(said)
    assert said in told


# --- prepare --------------------------------------------------------------------------------------


def test_prepare_writes_the_log_and_says_what_to_run(kitchen: Path) -> None:
    tags = git(kitchen, "tag")
    done = release(kitchen, "prepare", "2026.2")
    assert done == Outcome(
        0,
        """\
written: releases/2026.2.md
now run:
  git add releases/2026.2.md
  git commit -m "Release 2026.2"
  git tag -a 2026.2 -m "Release 2026.2"
""",
        "",
    )
    written = (kitchen / "releases/2026.2.md").read_text(encoding="utf-8")
    assert written.startswith("# Release log 2026.2\n\nSince 2026.1, 2026-03-14. ")
    assert git(kitchen, "tag") == tags  # it tags nothing
    for command in done.out.splitlines()[2:]:
        git(kitchen, *shlex.split(command)[1:])
    again = release(kitchen, "2026.1..2026.2", "--output", "markdown").out
    assert again == written
    assert release(kitchen, "prepare", "2026.2").err == "perflour: there is a tag '2026.2' already; name the new release otherwise\n"  # fmt: skip
    assert "0 changed" not in release(kitchen, "prepare", "2026.3").out


@pytest.mark.parametrize(
    ("verdict", "day", "said"),
    [
        ("", "", "has 0 of 1 test bakes with verdict keep"),
        ("change", "2026-05-01", "has 0 of 1 test bakes with verdict keep"),
        ("reject", "2026-05-01", "test bake 2026-05-01 rejects this revision; bake it again, or change it"),
    ],
)  # fmt: skip
def test_what_was_not_kept_is_blocked(kitchen: Path, verdict: str, day: str, said: str) -> None:
    put(kitchen, loaf("plain-loaf", sugar=160), verdict=verdict, day=day or "2026-05-01")
    commit(kitchen, "Approved in a hurry")
    done = release(kitchen, "prepare", "2026.2")
    assert done.code == 1
    assert done.out.startswith("release 2026.2 is blocked, nothing was written:\n")
    assert said in done.out
    assert not (kitchen / "releases").exists()


def test_a_rejected_bake_blocks_until_it_is_baked_again(kitchen: Path) -> None:
    text = (kitchen / "formulas/plain-loaf/formula.yaml").read_text(encoding="utf-8")
    for day, verdict, code in (("2026-05-01", "reject", 1), ("2026-05-02", "keep", 0)):
        put(kitchen, text, verdict=verdict, day=day)
        commit(kitchen, f"Bake it: {verdict}")
        assert release(kitchen, "prepare", "2026.2", "--into", "log.md").code == code


def test_what_is_not_committed_blocks(kitchen: Path) -> None:
    (kitchen / "formulas/plain-loaf/bakes/2026-06-01.yaml").write_text("date: 2026-06-01\n")
    (kitchen / "notes.txt").write_text("not a formula", encoding="utf-8")
    assert release(kitchen, "prepare", "2026.2") == Outcome(
        1,
        "release 2026.2 is blocked, nothing was written:\n"
        "  formulas/plain-loaf/bakes/2026-06-01.yaml: is not committed; commit it, or take the change back\n",
        "",
    )


def test_nothing_approved_is_no_release(repository: Path) -> None:
    put(repository, loaf(status="testing"))
    commit(repository, "Start")
    assert release(repository, "prepare", "1").out == (
        "release 1 is blocked, nothing was written:\n  no formula is approved, so there is nothing to release\n"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("no-such-tag..HEAD",), "'no-such-tag' is no revision of this repository; list them with `git log --oneline`"),
        (("prepare",), "`release prepare` takes the version to come: release prepare 2026.1"),
        (("prepare", "../up"), "'../up' cannot be a tag; name the release like 2026.1"),
        (("prepare", "a b"), "'a b' cannot be a tag; name the release like 2026.1"),
        (("HEAD", "2026.2"), "a version, --since and --into go with `release prepare VERSION`"),
        (("prepare", "2", "--since", "none"), "'none' is no revision of this repository; list them with `git log --oneline`"),
        (("2026.1..HEAD", "--paths", "docs"), "no formula in docs at HEAD; name a folder that holds some"),
        (("prepare", "2", "--into", "formulas"), "formulas: is a folder; name a file with --into"),
    ],
)  # fmt: skip
def test_what_cannot_run_says_so_in_one_line(
    kitchen: Path, words: tuple[str, ...], said: str
) -> None:
    assert release(kitchen, *words) == Outcome(2, "", f"perflour: {said}\n")


def test_a_shallow_clone_says_that_it_lacks_history(kitchen: Path, tmp_path: Path) -> None:
    git(kitchen, "clone", "-q", "--depth", "1", f"file://{kitchen}", str(tmp_path / "shallow"))
    assert release(tmp_path / "shallow", "HEAD^{/^Start}..HEAD") == Outcome(
        2,
        "",
        "perflour: 'HEAD^{/^Start}' is not in this clone, which holds only a part of the history; "
        "get all of it with `git fetch --unshallow`\n",
    )


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        (40.0, 50.0, "more sugar (40.0 % -> 50.0 % of the batter's flour)"),
        (50.0, 48.0, "a little less sugar (50.0 % -> 48.0 % of the batter's flour)"),
        (20.0, 60.0, "much more sugar (20.0 % -> 60.0 % of the batter's flour)"),
        (1.2, 0.9, "less sugar (1.20 % -> 0.90 % of the batter's flour)"),
        (None, 3.0, "sugar is new (3.0 % of the batter's flour)"),
        (3.0, None, "no sugar any more (was 3.0 % of the batter's flour)"),
    ],
)
def test_shares_in_words(before: float | None, after: float | None, said: str) -> None:
    assert move_words(IngredientMove("sugar", before, after, "the batter's flour")) == said


FLOURED, BUTTERED = "{item: flour, amount: 200 g}", "{item: butter, amount: 100 g}"


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("", "{item: walnuts, amount: 50 g}", ["walnuts is new (100.0 % of the topping's walnuts)"]),
        ("{item: walnuts, amount: 50 g}", "", ["no walnuts any more (was 100.0 % of the topping's walnuts)"]),
        ("", BUTTERED, ["unsalted butter is new in the topping (100.0 % of the topping's unsalted butter)"]),
        ("{item: oats, amount: 50 g}", "{item: oats, amount: 90 g}", []),
    ],
)  # fmt: skip
def test_what_stands_beside_is_told_too(before: str, after: str, said: list[str]) -> None:
    """A topping that came, went, or holds what the batter holds as well."""
    plain = formula_text(FLOURED, BUTTERED)
    topped = "parts:\n  - {{part: topping, kind: topping, ingredients: [{}]}}\n"
    texts = [
        plain.replace("parts:\n", topped.format(line)) if line else plain
        for line in (before, after)
    ]
    old, new = map(weigh_text, texts)
    assert [move_words(move) for move in ingredient_moves(old, new)] == said
