"""How people start who have not read a page yet: one line says what is wrong and what to do, never a traceback."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.commands.test_bad_input import plant
from tests.conftest import GIT_ENVIRONMENT, ROOT, Outcome, git, run_cli

pytestmark = pytest.mark.xdist_group("wrong starts")  # the kitchen is made once

FORMULA = """formula: {id}
title: {id}
class: loaf-cake
status: draft
yield: {{pieces: 2, piece: loaf}}
parts:
  - part: batter
    ingredients:
      - {{item: all-purpose flour, amount: 300 g}}
      - {{item: granulated sugar, amount: 150 g}}
method:
  - {{do: bake, at: 175 °C, for: 45 min}}
"""
OAT, RYE = "formulas/oat-date-loaf", "formulas/rye-loaf"
HOUSE = "house: Saltmarsh Lane\nclasses:\n  loaf-cake: {title: Loaf cake}\n  pie-dough: {title: Pie dough}\n"
KITCHEN = {
    "formulas/house.yaml": HOUSE,
    f"{OAT}/formula.yaml": FORMULA.format(id="oat-date-loaf"),
    f"{RYE}/formula.yaml": FORMULA.format(id="rye-loaf"),
    "docs/how.txt": "how we bake\n",
    "blank.yaml": "",
    "photo.yaml": b"\x89PNG\r\n\x1a\n\0\0\0\r",
    "yml/cake/formula.yml": FORMULA.format(id="cake"),
    "capital/cake/Formula.yaml": FORMULA.format(id="cake"),
    "twice/formulas/a/rye-loaf/formula.yaml": FORMULA.format(id="rye-loaf"),
    "twice/formulas/b/rye-loaf/formula.yaml": FORMULA.format(id="rye-loaf"),
}
ENDINGS = "end it in one of .txt .md .html .csv .json .svg .png, or say the form with --output"
NOTHING = "nothing was checked: no {what} in {where}; name what to check, or add --if-any where none is fine"
ANY, FORMULAS_ONLY = "formula, record or house file", "formula"
HISTORY = "this clone holds only a part of the history; get all of it with `git fetch --unshallow`"


class Start(NamedTuple):
    """What somebody types in a folder, and what is said: all of stderr but ``perflour: ``, or the start of a line."""

    id: str
    words: str
    line: str
    code: int = 2
    where: str = "kitchen"


STARTS = (
    # a word that is not quite right
    Start("no-words", "", "say what to do, like `perflour lint`; see perflour --help"),
    Start("help", "help", "there is no command 'help'; see perflour --help"),
    Start("halp", "--halp", "there is no option --halp; did you mean --help?"),
    Start("command", "lnit", "there is no command 'lnit'; did you mean lint?"),
    Start("command-of-bake", f"bake nwe {OAT}", "there is no command 'nwe'; did you mean new?"),
    Start("option", "lint --fial-at error", "there is no option --fial-at; did you mean --fail-at?"),
    Start("option-before-what-is-missing", "scale --tims 2", "there is no option --tims; did you mean --times?"),
    Start("option-of-bake", "bake list --outptu json", "there is no option --outptu; did you mean --output?"),
    Start("choice", "lint --output jsno", "--output cannot be 'jsno'; did you mean json?"),
    Start("word-too-many", "explain no-cooling please", "'please' is more than it takes; see perflour explain --help"),
    Start("rule", "explain no-coolng", "there is no rule 'no-coolng'; did you mean no-cooling?"),
    Start("class-of-a-new-formula", "new formula X --class loaf-cak", "'loaf-cak' is no class of house.yaml; did you mean loaf-cake?"),
    Start("class-of-a-book", "draft --class pie-dogh --all", "there is no class 'pie-dogh'; did you mean pie-dough?"),
    Start("id", "show oat-date-loaf --output json", "", 0),
    Start("id-from-elsewhere", "show oat-date-loaf --output json", "", 0, "kitchen/docs"),
    Start("id-not-quite", "show oat-dat-loaf", "'oat-dat-loaf': no such file or folder, and no formula of that id; did you mean oat-date-loaf?"),
    Start("id-of-two", "show rye-loaf", "'rye-loaf' is the id of several formulas; name one of formulas/a/rye-loaf, formulas/b/rye-loaf", 2, "kitchen/twice"),
    Start("path-not-quite", "show formulas/oat-dat-loaf", "'formulas/oat-dat-loaf': no such file or folder; did you mean formulas/oat-date-loaf?"),
    Start("make-not-quite", f"plan {OAT} --make oat-dte-loaf=2", "--make: no formula 'oat-dte-loaf' among oat-date-loaf; did you mean oat-date-loaf?"),
    Start("revision", "diff mian", "'mian' is no revision of this repository; did you mean main?"),
    Start("revision-of-a-review", "review mian..HEAD", "'mian' is no revision of this repository; did you mean main?"),
    Start("revision-of-a-bake", f"bake new {OAT}@HAED --baker N --verdict keep", "'HAED' is neither a revision of formulas/oat-date-loaf/formula.yaml nor one of git; did you mean HEAD?"),
    Start("revision-or-id", "diff oat-dat-loaf", "'oat-dat-loaf' is no revision of this repository; did you mean oat-date-loaf?"),
    Start("revision-and-id", "diff rye-loaf", "'rye-loaf' is the id of formulas/rye-loaf and a revision of git; write formulas/rye-loaf, or rye-loaf^0 for the revision"),
    # a gate over nothing
    Start("lint-nothing", "lint docs", NOTHING.format(what=ANY, where="docs")),
    Start("lint-nothing-here", "lint", NOTHING.format(what=ANY, where="."), 2, "plain"),
    Start("format-nothing", "format --check docs", NOTHING.format(what=FORMULAS_ONLY, where="docs")),
    Start("changelog-nothing", "changelog --check docs", NOTHING.format(what=FORMULAS_ONLY, where="docs")),
    Start("records-nothing", "bake check docs", NOTHING.format(what="formula or record", where="docs")),
    Start("review-nothing", "review HEAD..HEAD --paths docs", NOTHING.format(what=f"{ANY} of HEAD..HEAD", where="docs")),
    Start("release-nothing", "release HEAD..HEAD --paths docs", "no formula in docs at HEAD; name a folder that holds some"),
    Start("nothing-is-fine", "lint docs --if-any", "", 0),
    Start("yml", "lint yml", "yml/cake/formula.yml:1:1: error: is not read under this name; rename it formula.yaml [cannot-be-read]", 1),
    Start("yml-shown", "show yml/cake", "no formula in yml/cake: yml/cake/formula.yml is not read; rename it formula.yaml"),
    Start("yml-formatted", "format --check yml", "nothing was checked: no formula in yml: yml/cake/formula.yml is not read; rename it formula.yaml"),
    Start("capital", "lint capital", "capital/cake/Formula.yaml:1:1: error: is not read under this name; rename it formula.yaml [cannot-be-read]", 1),
    Start("capital-baked", "bake new capital/cake --baker N --verdict keep", "no formula in capital/cake: capital/cake/Formula.yaml is not read; rename it formula.yaml"),
    # a file that is another
    Start("empty-file", "lint blank.yaml", "blank.yaml:1:1: error: the file holds no data; fill it in or remove it [empty-file]", 1),
    Start("binary", "show photo.yaml", "photo.yaml:1:1: error: byte 0x89 is not UTF-8; save the file as UTF-8 [not-utf-8]", 1),
    Start("broken-house", "lint", "formulas/house.yaml:1:9: error: a colon where none can stand; quote text that holds a colon, and check the indent [broken-yaml]", 1, "broken"),
    Start("ending", "compare --write table.doc", f"table.doc: no form is known by that ending; {ENDINGS}"),
    Start("no-ending", "compare --write table", f"table: no form is known by that ending; {ENDINGS}"),
    Start("ending-of-a-plan", f"plan {OAT} --write day.htlm", "day.htlm: no form is known by that ending; end it in one of .txt .md .html .svg .json, or say the form with --output"),
    Start("ending-and-output", "compare --write table.html --output csv", "table.html ends like html, --output says csv; leave that out, or name another file"),
    Start("no-folder-to-write-in", "compare --write none/table.html", "none/table.html: cannot be written (No such file or directory); check the folder"),
    Start("folder-for-a-session", f"bake sheets {OAT}", f"{OAT}: no such file; name the record of a session"),
    Start("folder-for-prices", f"cost {OAT} --prices formulas", "formulas: cannot be read (is a folder); check the path and its rights"),
    Start("folder-for-one-formula", "scale formulas --times 2", "formulas: 2 formulas there; name one of them"),
    Start("folders-to-diff", f"diff {OAT} {RYE}", "rye-loaf: renamed from oat-date-loaf", 1),
    # git in another state than expected
    Start("diff-without-a-repository", "diff", "{plain}: not in a git repository; run `git init` there, or go to the repository, or name two formulas to compare", 2, "plain"),
    Start("review-without-a-repository", "review main..HEAD", "{plain}: not in a git repository; run `git init` there, or go to the repository", 2, "plain"),
    Start("shallow-changelog", "changelog --check", HISTORY, 2, "shallow"),
    Start("shallow-diff", "diff HEAD~1", f"'HEAD~1' is not in this clone, which holds only a part of the history; {HISTORY.partition('; ')[2]}", 2, "shallow"),
    Start("detached", "diff", "", 0, "detached"),
    Start("unborn-diff", "diff", "the branch has no commit yet; commit once, or name two formulas to compare", 2, "unborn"),
    Start("unborn-review", "review main..HEAD", "the branch has no commit yet; commit once", 2, "unborn"),
    Start("unborn-changelog", "changelog --check", "", 0, "unborn"),
)  # fmt: skip


@pytest.fixture(scope="module")
def places(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A kitchen in git, clones of it in odd states, and folders that are none."""
    top = tmp_path_factory.mktemp("starts")
    kitchen = top / "kitchen"
    plant(top, {f"kitchen/{name}": content for name, content in KITCHEN.items()})
    git(kitchen, "init", "-q", "-b", "main")
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Begin")
    git(kitchen, "commit", "-qm", "Go on", "--allow-empty")
    git(kitchen, "branch", "rye-loaf")
    git(top, "clone", "-q", "--depth", "1", kitchen.as_uri(), "shallow")
    git(top, "clone", "-q", str(kitchen), "detached")
    git(top / "detached", "checkout", "-q", "HEAD~1")
    plant(top, {"plain": None, "broken/formulas/house.yaml": "house: a: b: c\n"})
    plant(top, {f"unborn/{name}": KITCHEN[name] for name in list(KITCHEN)[:2]})
    git(top / "unborn", "init", "-q", "-b", "main")
    return top


@pytest.mark.parametrize("start", STARTS, ids=lambda start: start.id)
def test_a_wrong_start_gets_one_clear_line(start: Start, places: Path) -> None:
    done = run_cli(*start.words.split(), cwd=places / start.where)
    assert "Traceback" not in done.all
    assert done.code == start.code, done
    line = start.line.replace("{plain}", str(places / "plain"))
    if start.code == 2:
        said, colon, rest = done.err.partition(": ")
        assert said.startswith("perflour") and colon and rest == f"{line}\n", done.err
    else:
        assert not line or any(said.startswith(line) for said in done.all.splitlines()), done


def started(cwd: Path, *words: str, **variables: str) -> Outcome:
    """Run the command line with variables of its own, "" for none."""
    environment = {k: v for k, v in {**GIT_ENVIRONMENT, **variables}.items() if v}
    command = [sys.executable, "-m", "perflour", *words]
    done = subprocess.run(command, cwd=cwd, env=environment, capture_output=True, check=False)
    return Outcome(done.returncode, done.stdout.decode(), done.stderr.decode())


def test_without_git_what_needs_it_says_so_and_the_rest_works(places: Path, tmp_path: Path) -> None:
    missing = (2, "", "perflour: git is not installed or not on the PATH; install it\n")
    for words in (("diff",), ("changelog",), ("new", "kitchen", str(tmp_path / "k"))):
        done = started(places / "kitchen", *words, PATH=str(tmp_path))
        assert (done.code, done.out, done.err) == missing
    done = started(places / "kitchen", "show", OAT, PATH=str(tmp_path))
    assert (done.code, "perflour:" in done.err) == (0, False)


def test_nobody_need_have_told_git_a_name(tmp_path: Path) -> None:
    """Nothing of ours commits: who did what is git's to ask."""
    names = {f"GIT_{who}_{what}": "" for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}  # fmt: skip
    done = started(tmp_path, "new", "kitchen", "ours", HOME=str(tmp_path), **names)
    assert (done.code, done.err) == (0, "")


@pytest.mark.skipif(os.geteuid() == 0, reason="everything may be written by root")
def test_a_folder_that_may_not_be_written_in(places: Path, tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    done = run_cli("compare", "--write", str(tmp_path / "table.html"), cwd=places / "kitchen")
    assert (done.code, done.err) == (2, f"perflour: {tmp_path}/table.html: cannot be written (Permission denied); check the folder\n")  # fmt: skip


OLD = """
import runpy, sys
sys.version_info = (3, 9, 18, "final", 0)
runpy.run_module("perflour", run_name="__main__", alter_sys=True)
"""


def test_an_older_python_is_told_so(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", OLD], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    needs = "perflour: needs Python 3.11 or newer, this is 3.9; run a newer one\n"
    assert (done.returncode, done.stdout, done.stderr) == (2, "", needs)


@pytest.mark.parametrize("name", ["__init__.py", "__main__.py"])
def test_an_older_python_can_read_as_far_as_that(name: str) -> None:
    text = (ROOT / "tools" / "perflour" / name).read_text(encoding="utf-8")
    ast.parse(text, feature_version=(3, 7))


def test_pip_installs_it_for_no_older_python() -> None:
    assert '\nrequires-python = ">=3.11"\n' in (ROOT / "pyproject.toml").read_text("utf-8")
