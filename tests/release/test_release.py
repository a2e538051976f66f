"""Release logs between tags: what is told to readers, on what evidence, and what blocks the rest."""

from __future__ import annotations

import json
import re
import shlex
from math import ceil
from pathlib import Path
from typing import Any

import pytest
from lxml import html

from perflour.formula.digests import digest
from perflour.release.statuses import is_ever_released
from perflour.report.release.audiences import AUDIENCES
from tests.conftest import ROOT, Outcome, git, run_cli, weigh_text
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


CORRECTION = (
    "corrections:\n  - {item: baking soda, because: a heaped spoon was printed for a level one}\n"
)


def salt_loaf(soda: int, sugar: int = 110) -> str:
    return loaf("salt-loaf", sugar=sugar).replace("soda, amount: 3 g", f"soda, amount: {soda} g")


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


def section(log: str, title: str) -> str:
    """What stands under a title; empty where the log does not have it."""
    return (
        log.partition(f"\n\n{title}\n")[2].partition("\n\n")[0].rstrip("\n") + "\n"
        if title in log
        else ""
    )


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A first release of five loaves, with a sixth in work; then a change of each kind."""
    put(repository, loaf("plain-loaf"))
    put(repository, loaf("old-loaf"))
    put(repository, loaf("quiet-loaf", sugar=100))
    put(repository, loaf("named-loaf", sugar=95))
    put(repository, salt_loaf(soda=9))
    put(repository, loaf("new-loaf", status="testing", sugar=90), verdict="")
    commit(repository, "Five loaves and one in work")
    git(repository, "tag", "2026.1")
    changed = loaf("plain-loaf", sugar=150, oven=165, pieces=3, pan="3 loaf pans 14 x 8 cm", extra="walnuts")  # fmt: skip
    put(repository, changed, day="2026-04-02")
    put(repository, loaf("new-loaf", sugar=90), day="2026-04-03")
    put(repository, salt_loaf(soda=3, sugar=125) + CORRECTION, day="2026-04-04")
    put(repository, loaf("named-loaf", sugar=95, title="The named loaf"), verdict="")
    put(repository, loaf("old-loaf", status="retired"), verdict="")
    put(repository, loaf("next-loaf", status="draft", sugar=80, more="\n      - {item: honey, amount: 1 cup}"), verdict="")  # fmt: skip
    commit(repository, "Change, approve, retire, begin")
    return repository


def told(repository: Path, *words: str) -> str:
    """A log with the digests of revisions left out."""
    return re.sub(r"\b[0-9a-f]{12}\b", "<digest>", release(repository, "2026.1..HEAD", *words).out)


@pytest.mark.parametrize("audience", AUDIENCES)
def test_a_log_is_told_to_each_in_their_words(kitchen: Path, audience: str) -> None:
    expected = Path(__file__).with_name(f"expected_{audience}.txt").read_text(encoding="utf-8")
    assert told(kitchen, "--for", audience) == expected


def test_readers_see_nothing_of_the_kitchen(kitchen: Path) -> None:
    """As in the book: no percentages, ids, digests, rules, verdicts, nor what is not released."""
    said = told(kitchen, "--for", "readers")
    for word in ("%", "<digest>", "-loaf", "approved", "keep", "lint", "revision", "Next loaf"):
        assert word not in said, word


def test_what_is_left_out_is_one_line_or_all_of_it(kitchen: Path) -> None:
    line = "  Next loaf (draft, new in the repository): revision <digest> has 0 of 1 test bakes with verdict keep; bake it and record it in bakes/ (and 3 more)\n"
    assert line in told(kitchen)
    full = told(kitchen, "--in-full").partition("\nNot in this release\n")[2]
    assert full.startswith("  Next loaf (draft, new in the repository)\n    before it can be approved:\n      formulas/next-loaf/formula.yaml:")  # fmt: skip
    assert "approved, but" not in full and "set the status to testing" not in full
    for rule in ("approved-without-bakes", "volume-in-approved", "listed-never-used"):
        assert f"({rule})\n" in full


@pytest.mark.parametrize(
    ("status", "is_ever"),
    [("draft", True), ("testing", True), ("approved", True), ("unreadable", True), ("retired", False), ("reference", False)],
)  # fmt: skip
def test_which_statuses_are_ever_released(status: str, is_ever: bool) -> None:
    assert is_ever_released(status) is is_ever


def test_a_status_that_never_goes_out_is_one_line(kitchen: Path) -> None:
    for name in "abcdefg":
        put(kitchen, loaf(f"{name}-loaf", status="retired", sugar=50), verdict="")
    commit(kitchen, "Keep some old ones")
    assert "  retired, never released: A loaf; B loaf; C loaf; D loaf; E loaf; and 2 more\n" in told(kitchen)  # fmt: skip
    assert "  retired, never released: A loaf; B loaf; C loaf; D loaf; E loaf; F loaf; G loaf\n" in told(kitchen, "--in-full")  # fmt: skip


def test_the_other_forms_tell_the_same(kitchen: Path) -> None:
    data = json.loads(release(kitchen, "2026.1..HEAD", "--output", "json").out)
    formulas = {f["formula"]: f for f in data["formulas"]}
    assert {name: f["for_readers"] for name, f in formulas.items()} == {
        "named-loaf": "unchanged",
        "new-loaf": "new",
        "next-loaf": "waiting",
        "old-loaf": "retired",
        "plain-loaf": "changed",
        "quiet-loaf": "unchanged",
        "salt-loaf": "changed",
    }
    plain = formulas["plain-loaf"]
    assert [b["kind"] for b in plain["breaking"]] == ["allergen", "allergen", "yield", "pan", "temperature"]  # fmt: skip
    assert plain["percent_of_basis"]["dark brown sugar"] == {"before": 40.0, "after": 50.0}
    assert plain["evidence"]["blocked"] is False and plain["evidence"]["bakes"][0]["verdict"] == "keep"  # fmt: skip
    assert formulas["next-loaf"]["evidence"]["blocked"] is True
    assert formulas["named-loaf"]["title_before"] == "Named loaf"
    assert formulas["salt-loaf"]["corrections"] == [
        {
            "item": "baking soda",
            "because": "a heaped spoon was printed for a level one",
            "amounts": [
                {
                    "part": "batter",
                    "item": "baking soda",
                    "before": {"mass_g": 9.0, "measure": "2 tsp"},
                    "after": {"mass_g": 3.0, "measure": "about 1/2 tsp plus 1/8 tsp"},
                }
            ],
            "facts": [],
        }
    ]


@pytest.mark.parametrize("audience", AUDIENCES)
def test_page_and_markdown_say_what_the_text_says(kitchen: Path, audience: str) -> None:
    text, markdown, page = (
        release(kitchen, "2026.1..", "--output", form, "--for", audience).out
        for form in ("text", "markdown", "html")
    )
    cells = re.compile(r" {2,}|\s*\|\s*")  # of a table, in text or in Markdown
    in_page = " ".join(" ".join(html.fromstring(page).itertext()).split())
    plain = re.sub(r"(?m)^ *(#+|-) |\\", "", markdown)
    in_markdown = [cell for line in plain.splitlines() for cell in cells.split(line)]
    for said in (cell for line in text.splitlines() for cell in cells.split(line.strip())):
        if said.strip("-"):  # long cells go on in the next line of a terminal
            assert said in in_page, said
            assert any(said in cell for cell in in_markdown), said
    assert "<script" not in page
    assert ('<section class="first">' in page) is (audience != "editor")


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
    assert first.startswith("Release log 2026.1\n2026-03-14, the first release: 5 approved formulas; 5 new.\n")  # fmt: skip
    git(kitchen, "tag", "2026.2")
    git(kitchen, "mv", "formulas/quiet-loaf", "formulas/still-loaf")
    text = loaf("still-loaf", sugar=104)
    put(kitchen, text, day="2026-05-01")
    commit(kitchen, "Rename it, sweeten it a little")
    data = json.loads(release(kitchen, "2026.2..HEAD", "--output", "json").out)
    turns = {f["formula"]: f["for_readers"] for f in data["formulas"]}
    assert turns["still-loaf"] == "changed" and "quiet-loaf" not in turns
    told = release(kitchen, "2026.2..HEAD", "--for", "readers").out
    assert "    a little more dark brown sugar: 104 g, was 100 g\n" in told
    assert "  Still loaf, was Quiet loaf\n" in told


def test_a_formula_whose_folder_is_gone_is_retired(kitchen: Path) -> None:
    git(kitchen, "rm", "-qr", "formulas/quiet-loaf")
    commit(kitchen, "Take the quiet loaf out")
    assert "\nNot in the book any more\n  Old loaf\n  Quiet loaf\n" in release(kitchen, "2026.1..HEAD").out  # fmt: skip
    put(kitchen, loaf("plain-loaf", status="testing", sugar=150), verdict="")
    commit(kitchen, "Work on it again")
    assert "\nNot in the book any more\n  Old loaf\n  Quiet loaf\n  Plain loaf, for now\n" in release(kitchen, "2026.1..HEAD").out  # fmt: skip


@pytest.mark.parametrize(
    ("before", "after", "turn", "said"),
    [
        ("", "reference", None, ""),
        ("reference", "reference", None, ""),
        ("reference", "", None, ""),
        ("testing", "reference", "retired", "reference, never released: Side loaf"),
        ("approved", "reference", "retired", "\nNot in the book any more\n  Side loaf\n"),
        ("reference", "testing", "waiting", "\nNot in this release\n  Side loaf"),
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
    assert written.startswith("# Release log 2026.2\n\n2026-03-14, since 2026.1: ")
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


def test_readers_are_not_told_of_a_blocked_release_as_if_it_were_out(kitchen: Path) -> None:
    put(kitchen, loaf("plain-loaf", sugar=160), verdict="")
    commit(kitchen, "Approved in a hurry")
    said = told(kitchen, "--for", "readers").splitlines()[1]
    assert said.endswith(". Not to be sent out: of 1 formula the kitchen has something to mend first.")  # fmt: skip
    assert "\nBlocked\n  Plain loaf (plain-loaf)\n" in told(kitchen)
    assert "\nMay not go to print yet\n  Plain loaf (plain-loaf)\n" in told(kitchen, "--for", "editor")  # fmt: skip


def test_an_unchanged_formula_that_was_rejected_since_is_said_to_be_blocked(kitchen: Path) -> None:
    assert "BLOCKED" not in told(kitchen)
    put(kitchen, loaf("quiet-loaf", sugar=100), verdict="reject", day="2026-05-01")
    commit(kitchen, "Bake it once more")
    said = "\n  Quiet loaf: unchanged, 2 test bakes (1 keep, 1 reject), BLOCKED\n"
    shown = {audience: said in told(kitchen, "--for", audience) for audience in AUDIENCES}
    assert shown == {"team": True, "readers": False, "editor": True}


# An A4 page of the HTML holds some 50 lines of 95 signs, headings as two; seen in print, no source.
PAGE_LINES, LINE_SIGNS = 50, 95


@pytest.mark.parametrize("audience", AUDIENCES)
def test_a_release_of_the_demo_fits_on_two_pages(audience: str) -> None:
    span = "HEAD^{/^Record the fourth round}..HEAD^{/^Taste three rounds}"
    out = run_cli("release", span, "--for", audience, cwd=ROOT).out
    lines = [ceil(len(line) / LINE_SIGNS) or 1 for line in out.splitlines()]
    assert 10 < sum(lines) <= 2 * PAGE_LINES


def test_the_tasting_sessions_of_a_revision_are_evidence() -> None:
    """That of the cookie of the demo, and not that of the loaf, which is not released."""
    span = "HEAD^{/^Record the fourth round}..HEAD^{/^Taste three rounds}"
    out = run_cli("release", span, cwd=ROOT).out
    assert (
        "    tasting session 2026-11-25-b, triangle asked of 12 tasters: Can the cookie weighed"
        in out
    )
    assert out.count("tasting session") == 1
    data = json.loads(run_cli("release", span, "--output", "json", cwd=ROOT).out)
    sessions = {f["formula"]: f["evidence"]["sessions"] for f in data["formulas"]}
    assert {name: found for name, found in sessions.items() if found} == {
        "oat-date-loaf": ["2026-11-25"],
        "rye-ginger-cookie": ["2026-11-25-b"],
    }


def test_what_a_kitchen_declares_stands_with_the_allergens(repository: Path) -> None:
    put(repository, loaf("plain-loaf"))
    commit(repository, "Print it")
    declared = loaf("plain-loaf").replace("yield:", "allergens: [wheat, milk, sesame]\nyield:")
    put(repository, declared, verdict="")
    commit(repository, "Declare sesame")
    for audience, title in (("readers", "Plain loaf"), ("team", "Plain loaf (plain-loaf)")):
        log = release(repository, "HEAD~1..HEAD", "--for", audience).out
        assert section(log, "Before you bake again") == (
            f"  {title}\n    ALLERGEN: the kitchen now declares sesame\n"
        )
    put(repository, declared.replace("sugar, amount: 120", "sugar, amount: 130"), day="2026-04-01")
    commit(repository, "Sweeten it")
    log = release(repository, "HEAD~1..HEAD", "--for", "readers").out
    assert "; declared by the kitchen: wheat, milk, sesame\n" in section(log, "Allergens")
