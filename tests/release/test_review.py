"""A branch for those who decide on it: what changed, what is new from lint, what is missing."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
import yaml

from perflour.balance.allergens import allergens
from perflour.formula.digests import digest, earlier_digest
from perflour.release.review import Review, Reviewed, review
from perflour.release.reviewed import with_reasons
from perflour.report.release.review import LONGEST_COMMENT, review_markdown
from tests.conftest import GIT_ENVIRONMENT, ROOT, Outcome, git, run_cli, weigh_text
from tests.history.test_changelog import bake, commit
from tests.release.conftest import NAME, write
from tests.release.test_release import loaf


def reviewed(top: Path, *words: str, columns: int = 0) -> Outcome:
    return run_cli("review", "main..work", *words, cwd=top, columns=columns)


def data(top: Path, *words: str) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(reviewed(top, "--output", "json", *words).out)
    return told


def verdict(top: Path) -> str:
    return reviewed(top).out.splitlines()[1]


def test_a_branch_without_formulas_may_be_merged(kitchen: Path) -> None:
    (kitchen / "notes.txt").write_text("nothing to bake\n")
    commit(kitchen, "Notes")
    outcome = reviewed(kitchen)
    assert outcome.code == 0
    assert outcome.out == (
        "Review of main..work\n"
        "May be merged: no formula, record or house file changed.\n"
    )  # fmt: skip


def test_a_new_revision_waits_for_its_test_bake(kitchen: Path) -> None:
    text = loaf(status="testing", sugar=150)
    folder = write(kitchen, NAME, text)
    commit(kitchen, "Sweeter")
    outcome = reviewed(kitchen)
    assert outcome.code == 1
    assert outcome.out.splitlines()[1] == "Not yet: no test bake of 1 new revision (plain-loaf)."
    row = next(line for line in outcome.out.splitlines() if "dark brown sugar" in line)
    assert [cell.strip() for cell in row.split("  ") if cell.strip()] == ["dark brown sugar", "120 g, 40.0 %", "150 g, 50.0 %", "+10.0 %"]  # fmt: skip
    assert "change, in % of the batter's flour" in reviewed(kitchen, columns=120).out
    bake(folder, "2026-03-15", digest(weigh_text(text).formula), "keep")
    commit(kitchen, "Bake it")
    outcome = reviewed(kitchen)
    assert outcome.code == 0
    assert (
        outcome.out.splitlines()[1]
        == "May be merged: 1 formula changed, nothing stands against it."
    )
    assert "now, 5fb0862: keep 2026-03-15 by N" in outcome.out


@pytest.mark.parametrize(
    ("status", "reason"), [("testing", "record-removed"), ("approved", "record-deleted")]
)
def test_what_a_record_called_a_revision_first_counts_as_well(
    kitchen: Path, status: str, reason: str
) -> None:
    """By the name of today, by that of before, and by that written so that no search of the file sees it."""
    text = loaf(status=status, sugar=150)
    formula = weigh_text(text).formula
    first = earlier_digest(formula)
    told = []
    for name in (digest(formula), first, f"\\x{ord(first[0]):02x}{first[1:]}"):
        git(kitchen, "switch", "-q", "-C", "work", "main")
        folder = write(kitchen, NAME, text)
        bake(folder, "2026-03-15", name, "reject")
        commit(kitchen, "Sweeter")
        git(kitchen, "branch", "-f", "baked")
        changed = data(kitchen)["formulas"][0]
        assert [one["date"] for one in changed["bakes"]] == ["2026-03-15"]
        (folder / "bakes" / "2026-03-15.yaml").unlink()
        commit(kitchen, "Lose it")
        outcome = run_cli("review", "baked..work", "--output", "json", cwd=kitchen)
        told.append(json.loads(outcome.out)["records"][0]["reasons"])
    assert told == [[reason]] * 3


@pytest.mark.parametrize("status", ["draft", "retired"])
def test_a_draft_needs_no_test_bake_yet(kitchen: Path, status: str) -> None:
    write(kitchen, NAME, loaf(status=status, sugar=150))
    commit(kitchen, "Sweeter")
    assert reviewed(kitchen).code == 0


def test_a_reference_is_not_asked_for_a_test_bake(kitchen: Path) -> None:
    text = loaf("card-loaf", status="reference").replace("origin: own", "citation: A card, 1960")
    write(kitchen, "card-loaf", text)
    commit(kitchen, "Copy a card")
    outcome = reviewed(kitchen)
    assert outcome.code == 0
    assert "no test bake" not in outcome.out


def test_a_formula_of_the_house_does_not_become_a_reference_in_silence(kitchen: Path) -> None:
    write(kitchen, NAME, loaf(status="reference"))
    commit(kitchen, "Compare with it only")
    outcome = reviewed(kitchen)
    assert (outcome.code, outcome.out.splitlines()[1]) == (1, "Not yet: 2 new errors (plain-loaf).")
    assert "of the house and a reference by turns: plain-loaf" in outcome.out
    text = loaf(status="reference").replace("origin: own", "citation: A card, 1960")
    write(kitchen, NAME, text)
    commit(kitchen, "Say whose it is")
    assert "testing -> reference" in reviewed(kitchen).out


def test_only_new_results_are_told(kitchen: Path) -> None:
    """What lint said before the branch began is not the branch's doing."""
    write(kitchen, NAME, loaf(status="testing", uses="all-purpose flour, buttermilk, table salt"))
    git(kitchen, "switch", "-q", "main")
    write(kitchen, NAME, loaf(status="testing", uses="all-purpose flour, buttermilk, table salt"))
    commit(kitchen, "Forget two on main")
    git(kitchen, "switch", "-q", "-C", "work")
    write(kitchen, NAME, loaf(status="draft", uses="all-purpose flour, table salt", sugar=125))
    commit(kitchen, "Forget a third")
    (formula,) = data(kitchen)["formulas"]
    assert [(r["rule"], r["subject"]) for r in formula["new_results"]] == [
        ("listed-never-used", "buttermilk")
    ]
    assert formula["kept_results"] >= 2


def test_the_other_branch_s_work_is_not_told(kitchen: Path) -> None:
    """Judged against the commit the branch started from."""
    git(kitchen, "switch", "-q", "main")
    write(kitchen, "other-loaf", loaf("other-loaf", status="testing"))
    commit(kitchen, "Meanwhile on main")
    git(kitchen, "switch", "-q", "work")
    (kitchen / "notes.txt").write_text("nothing to bake\n")
    commit(kitchen, "Notes")
    assert data(kitchen)["formulas"] == []


def test_allergens_newly_there(kitchen: Path) -> None:
    """By the lists of FALCPA with FASTER, and of Regulation (EU) 1169/2011 (from memory)."""
    before, after = loaf(status="draft"), loaf(status="draft", extra="ground almonds")
    write(kitchen, NAME, after)
    commit(kitchen, "Almonds")
    told = data(kitchen)
    known = [{b.allergen for b in allergens(weigh_text(t)).us} for t in (before, after)]
    assert known[1] - known[0] == {"tree nuts"}
    assert told["formulas"][0]["allergens_new"] == {
        "nuts": ["ground almonds"],
        "tree nuts": ["ground almonds"],
    }
    assert reviewed(kitchen).code == 0
    stopped = reviewed(kitchen, "--stop-at", "allergen")
    assert stopped.code == 1
    assert "Not yet: allergens newly there: nuts, tree nuts (plain-loaf)." in stopped.out


def test_a_changelog_that_does_not_tell_of_the_revision(kitchen: Path) -> None:
    folder = write(kitchen, NAME, loaf(status="draft", sugar=150))
    (folder / "CHANGELOG.md").write_text("# Plain loaf\n")
    commit(kitchen, "Sweeter")
    assert verdict(kitchen) == "Not yet: changelog behind: plain-loaf."
    git(kitchen, "config", "user.name", "A baker")
    run_cli("changelog", "--write", "formulas", cwd=kitchen)
    commit(kitchen, "Tell of it")
    assert verdict(kitchen).startswith("May be merged: 1 formula changed")


def test_a_renamed_folder_is_the_same_formula(kitchen: Path) -> None:
    git(kitchen, "mv", f"formulas/{NAME}", "formulas/tea-loaf")
    write(kitchen, "tea-loaf", loaf("tea-loaf", title="Plain loaf", status="draft"))
    commit(kitchen, "Rename")
    (formula,) = data(kitchen)["formulas"]
    assert formula["path"] == "formulas/tea-loaf/formula.yaml"
    assert formula["difference"]["was_there"] and formula["difference"]["is_there"]
    assert not formula["is_new_revision"]


def test_formulas_that_come_and_go(kitchen: Path) -> None:
    write(kitchen, "rye-loaf", loaf("rye-loaf", status="draft"))
    commit(kitchen, "One more")
    (formula,) = data(kitchen)["formulas"]
    there = ("was_there", "is_there")
    assert [formula["difference"][side] for side in there] == [False, True]
    git(kitchen, "rm", "-rq", f"formulas/{NAME}", "formulas/rye-loaf")
    git(kitchen, "commit", "-qm", "Both away")
    (formula,) = data(kitchen)["formulas"]
    assert (formula["formula"], formula["status"]) == (NAME, None)
    assert [formula["difference"][side] for side in there] == [True, False]


def test_a_file_that_cannot_be_read(kitchen: Path) -> None:
    write(kitchen, NAME, "formula: plain-loaf\n  title: [\n")
    commit(kitchen, "Break it")
    outcome = reviewed(kitchen)
    assert outcome.code == 1
    assert (
        outcome.out.splitlines()[1]
        == "Not yet: cannot be read: plain-loaf; 1 new error (plain-loaf)."
    )


def test_a_change_of_the_house_is_told_entry_by_entry_and_judges_all(kitchen: Path) -> None:
    house = kitchen / "formulas/house.yaml"
    house.write_text("house: Test kitchen\n")
    commit(kitchen, "House")
    git(kitchen, "branch", "-f", "main")
    house.write_text("house: Test kitchen\ntemperatures: both\nyield-tolerance: 2\n")
    commit(kitchen, "Both scales")
    told = data(kitchen)
    assert [(c["entry"], c["before"], c["after"]) for c in told["house"]] == [
        ("temperatures", None, "both"),
        ("yield-tolerance", None, 2),
    ]
    (formula,) = told["formulas"]
    assert {r["rule"] for r in formula["new_results"]} == {"temperature-in-one-scale"}


@pytest.mark.parametrize("path", ["known.json", "formulas/known.json"])
def test_a_list_of_known_results_is_told_once_wherever_it_lies(kitchen: Path, path: str) -> None:
    (kitchen / path).write_text('{"known": [{"rule": "salt-missing", "count": 2}]}')
    commit(kitchen, "Take it as known")
    assert [(one["path"], one["told"]) for one in data(kitchen)["records"]] == [(path, "0 -> 2 known results")]  # fmt: skip


def test_what_is_wrong_with_a_test_bake_is_told(kitchen: Path) -> None:
    folder = kitchen / "formulas" / NAME / "bakes"
    folder.mkdir()
    (folder / "2026-03-15.yaml").write_text("date: 2026-03-15\n")
    commit(kitchen, "Half a record")
    told = data(kitchen)
    assert {r["path"] for r in told["other_results"]} == {f"formulas/{NAME}/bakes/2026-03-15.yaml"}
    assert reviewed(kitchen).code == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("main",), "'main' is no span of commits; write it like main..my-branch"),
        (("main..gone",), "'gone' is no revision of this repository"),
        (
            ("main..work", "--stop-at", "everything"),
            "--stop-at cannot be 'everything'; write one of ",
        ),
    ],
)
def test_bad_questions(kitchen: Path, words: tuple[str, ...], said: str) -> None:
    outcome = run_cli("review", *words, cwd=kitchen)
    assert outcome.code == 2
    assert said in outcome.err and outcome.err.count("\n") == 1


def test_nothing_in_common(kitchen: Path) -> None:
    git(kitchen, "switch", "-q", "--orphan", "alone")
    write(kitchen, NAME, loaf(status="draft"))
    commit(kitchen, "Alone")
    outcome = run_cli("review", "main..alone", cwd=kitchen)
    assert outcome.code == 2
    assert "have no commit in common; fetch the whole history" in outcome.err


class Tags(HTMLParser):
    """Every tag with its attributes, and the text."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data


def test_html_needs_no_network_and_hides_no_markup(kitchen: Path) -> None:
    title = "Loaf <script>alert(1)</script>"
    write(kitchen, NAME, loaf(status="draft", sugar=150, title=f"'{title}'"))
    commit(kitchen, "Sweeter")
    page = Tags()
    page.feed(reviewed(kitchen, "--output", "html").out)
    assert title in page.text
    assert {tag for tag, _ in page.tags} & {"script", "link", "img", "iframe"} == set()
    assert not any("src" in attributes or "href" in attributes for _, attributes in page.tags)


def test_markdown_folds_what_is_long_and_escapes_what_is_odd(kitchen: Path) -> None:
    text = loaf(status="draft", sugar=150, title="'Loaf *of* <b>'")
    for old, new in (("300 g", "310 g"), ("90 g", "99 g"), ("3 g", "4 g"), ("30-35", "40-45")):
        text = text.replace(old, new)
    write(kitchen, NAME, text)
    commit(kitchen, "Much")
    told = reviewed(kitchen, "--output", "markdown").out
    assert (
        "<details>\n<summary>Loaf *of* &lt;b&gt; (formulas/plain-loaf/formula.yaml), testing -&gt; draft"
        in told
    )
    assert told.count("<details>") == told.count("</details>") == 1


def test_a_comment_stays_below_the_hosts_limit(
    kitchen: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """65,536 characters (from memory)."""
    folder = write(kitchen, NAME, loaf(status="draft", sugar=150))
    commit(kitchen, "Sweeter")
    for key, value in GIT_ENVIRONMENT.items():
        monkeypatch.setenv(key, value)
    one = review("main..work", [str(folder.parents[1])])
    many = Review(one.base, one.head, one.start, one.end, one.formulas * 400, (), ())
    told = review_markdown(many)
    assert len(told) <= LONGEST_COMMENT
    assert told.rstrip().endswith("left out for length: run `perflour review` here._")
    left_out = int(told.rsplit("_", 2)[1].split()[0])
    assert told.count("### ") + told.count("<summary>") + left_out == 400


def test_reasons_come_gravest_first(kitchen: Path) -> None:
    plain = Reviewed(
        "p", "a", "A", "testing", None, "r", True, (), True, (), (), 0, (("milk", ("butter",)),), (), "testing"
    )  # fmt: skip
    assert with_reasons(plain, "").reasons == ("untested", "changelog", "allergen")


CI = ROOT / "docs" / "ci"


@pytest.mark.parametrize(
    ("file", "schema"),
    [("github.yml", "vendor.github-workflows"), ("gitlab.yml", "vendor.gitlab-ci")],
)
def test_the_workflows_are_what_the_hosts_take(file: str, schema: str) -> None:
    """By the schemas of SchemaStore that check-jsonschema carries."""
    words = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", schema, str(CI / file)]
    done = subprocess.run(words, capture_output=True, check=False)
    assert done.returncode == 0, done.stdout.decode()


def tools_for(top: Path) -> dict[str, str]:
    """An environment with our command, and a `gh` that notes what it was asked."""
    folder = top.parent / f"{top.name}-tools"
    folder.mkdir()
    for name, does in (
        ("perflour", f'exec "{sys.executable}" -m perflour "$@"'),
        ("gh", 'echo "$@" >> "$NOTED"'),
    ):
        (folder / name).write_text(f"#!/bin/sh\n{does}\n")
        (folder / name).chmod(0o755)
    return {
        **GIT_ENVIRONMENT,
        "PATH": f"{folder}:{os.environ['PATH']}",
        "NOTED": str(folder / "noted"),
    }


def test_the_workflow_for_one_host_comments_and_fails_as_the_review_does(kitchen: Path) -> None:
    write(kitchen, NAME, loaf(status="testing", sugar=150))
    commit(kitchen, "Sweeter")
    steps = yaml.safe_load((CI / "github.yml").read_text())["jobs"]["review"]["steps"]
    script = next(step["run"] for step in steps if step.get("name") == "report")
    given = {"BASE": "main", "NUMBER": "7", "GITHUB_STEP_SUMMARY": str(kitchen / "summary.md")}
    done = subprocess.run(
        ["bash", "-e", "-c", script], cwd=kitchen, env={**tools_for(kitchen), **given}, check=False
    )
    assert done.returncode == 1
    assert "**Not yet: no test bake" in (kitchen / "summary.md").read_text()
    noted = (kitchen.parent / f"{kitchen.name}-tools" / "noted").read_text()
    assert noted == "pr comment 7 --body-file review.md --edit-last\n"


def test_the_workflow_for_the_other_host_leaves_a_page(kitchen: Path) -> None:
    write(kitchen, NAME, loaf(status="draft", sugar=150))
    commit(kitchen, "Sweeter")
    job = yaml.safe_load((CI / "gitlab.yml").read_text())["formulas"]
    git(kitchen, "remote", "add", "origin", str(kitchen))
    script = "\n".join([*job["before_script"][1:], *job["script"], *job["after_script"]])
    given = {"CI_MERGE_REQUEST_TARGET_BRANCH_NAME": "main"}
    done = subprocess.run(
        ["bash", "-e", "-c", script], cwd=kitchen, env={**tools_for(kitchen), **given}, check=False
    )
    assert done.returncode == 0
    assert "May be merged" in (kitchen / "review.html").read_text()
