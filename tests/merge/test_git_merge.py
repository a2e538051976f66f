"""The merge driver: run by git itself, killed, given what it cannot merge."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

from perflour.merge import driver as git_merge
from perflour.merge.driver import Outcome, merge_files
from tests.conftest import GIT_ENVIRONMENT, formula_text, git, run_cli, times
from tests.killed import steps_of
from tests.merge.test_merge import (
    BASE,
    BUTTER,
    edited,
    is_scaled_apart,
    recipe_of,
    said_by,
    settled,
    units_in_conflict,
)
from tests.merge.three_ways import Recipe, answer, changed, some_recipe, text_of

FORMULA = "formulas/trial/formula.yaml"
BATCHES, IN_A_BATCH = 4, times(50)
# Adjacent lines: git's own merge of texts takes these for one conflict.
OURS, THEIRS = edited(("300 g", "310 g")), edited(("soft", "melted"))
BOTH = edited(("300 g", "310 g"), ("soft", "melted"))
CLASH = edited(("300 g", "290 g"))


def attempt(cwd: Path, *words: str) -> subprocess.CompletedProcess[bytes]:
    """Run git where it may stop at a conflict."""
    return subprocess.run(
        ["git", *words], cwd=cwd, capture_output=True, env=GIT_ENVIRONMENT, check=False
    )


def write(repository: Path, text: str) -> None:
    path = repository / FORMULA
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def read(repository: Path) -> str:
    return (repository / FORMULA).read_text(encoding="utf-8")


def commit(repository: Path, text: str, message: str) -> None:
    write(repository, text)
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", message)


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """On branch main more sugar, on branch other melted butter, neighbours in the file."""
    commit(repository, BASE, "A trial")
    assert run_cli("git-setup", cwd=repository).code == 0
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", "Set up")
    git(repository, "branch", "other")
    commit(repository, OURS, "More sugar")
    git(repository, "checkout", "-q", "other")
    commit(repository, THEIRS, "Melt the butter")
    git(repository, "checkout", "-q", "main")
    return repository


def test_without_the_driver_these_are_a_conflict(kitchen: Path) -> None:
    assert run_cli("git-setup", "--undo", cwd=kitchen).code == 0
    git(kitchen, "commit", "-q", "-a", "-m", "Undo")
    assert attempt(kitchen, "merge", "other").returncode == 1


@pytest.mark.parametrize(
    "words",
    [("merge", "-q", "-m", "Both", "other"), ("cherry-pick", "other"), ("rebase", "-q", "other")],
)
def test_git_merges_neighbouring_lines(words: tuple[str, ...], kitchen: Path) -> None:
    git(kitchen, *words)
    assert read(kitchen) == BOTH
    assert git(kitchen, "status", "--porcelain") == ""


def test_git_merges_from_any_folder(kitchen: Path) -> None:
    git(kitchen / "formulas" / "trial", "merge", "-q", "-m", "Both", "other")
    assert read(kitchen) == BOTH


def test_a_stash_comes_back_into_a_changed_file(kitchen: Path) -> None:
    write(kitchen, edited(("soft", "melted"), of=OURS))
    git(kitchen, "stash", "-q")
    commit(kitchen, edited(("100 g, state", "90 g, state"), of=OURS), "Less butter")
    git(kitchen, "stash", "pop")
    assert read(kitchen) == edited(("100 g, state: soft", "90 g, state: melted"), of=OURS)


def test_a_conflict_stops_git_with_both_ratios_at_the_place(kitchen: Path) -> None:
    git(kitchen, "checkout", "-q", "other")
    commit(kitchen, edited(("300 g", "290 g"), of=THEIRS), "Less sugar")
    git(kitchen, "checkout", "-q", "main")
    done = attempt(kitchen, "merge", "other")
    about = "granulated sugar: ours 62.0 % of the batter's flour, theirs 58.0 %, before 60.0 %"
    assert done.returncode == 1
    assert f"perflour: {FORMULA}: {about}\n" in done.stderr.decode()
    assert git(kitchen, "status", "--porcelain") == f"UU {FORMULA}\n"
    assert settled(read(kitchen), "ours") == BOTH
    assert f"<<<<<<< ours # {about}\n" in read(kitchen)
    linted = run_cli("lint", FORMULA, cwd=kitchen)
    assert linted.code == 1
    assert "a merge left a conflict open here; write what shall stand" in linted.out
    write(kitchen, settled(read(kitchen), "ours"))
    git(kitchen, "commit", "-q", "-a", "-m", "Settled")
    assert run_cli("show", FORMULA, cwd=kitchen).code == 0


def test_both_added_one_file(repository: Path) -> None:
    (repository / "readme").write_text("x", encoding="utf-8")
    assert run_cli("git-setup", cwd=repository).code == 0
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", "Set up")
    git(repository, "branch", "other")
    commit(repository, BASE, "Here")
    git(repository, "checkout", "-q", "other")
    commit(repository, CLASH, "There")
    assert attempt(repository, "merge", "main").returncode == 1
    assert settled(read(repository), "ours") == CLASH
    assert settled(read(repository), "theirs") == BASE


def test_without_its_python_git_merges_by_itself(kitchen: Path) -> None:
    """As after the environment with perflour in it was deleted."""
    for key in ("diff.perflour.textconv", "merge.perflour.driver"):
        command = git(kitchen, "config", key).rstrip("\n")
        git(kitchen, "config", key, command.replace(sys.executable, "/no/such/python"))
    assert "item: granulated sugar, amount: 310 g" in git(kitchen, "diff", "HEAD~1")
    assert attempt(kitchen, "merge", "other").returncode == 1
    assert "<<<<<<< ours\n" in read(kitchen)
    assert settled(read(kitchen), "ours") == OURS


def imported(repository: Path, sides: dict[str, list[str]]) -> None:
    """A branch for each side, made by one git process: file N of each is its side of merge N."""
    lines = []
    for name, texts in sides.items():
        lines.append(f"commit refs/heads/{name}\ncommitter A <a@example.org> 0 +0000\ndata 1\nx\n")
        lines.append("" if name == "base" else "from refs/heads/base\n")
        for at, text in enumerate(texts):
            size = len(text.encode())
            lines.append(f"M 100644 inline {at}/formula.yaml\ndata {size}\n{text}\n")
    subprocess.run(
        ["git", "fast-import", "--quiet"],
        cwd=repository,
        input="".join(lines).encode(),
        env=GIT_ENVIRONMENT,
        check=True,
    )


@pytest.mark.nightly
@pytest.mark.parametrize("batch", range(BATCHES))
def test_random_merges_by_git_are_what_plain_dicts_say(batch: int, repository: Path) -> None:
    """Git decides when to call the driver; the answer knows nothing of either."""
    assert run_cli("git-setup", cwd=repository).code == 0
    recipes: list[tuple[Recipe, Recipe, Recipe]] = []
    random = Random(f"by git {batch}")
    while len(recipes) < IN_A_BATCH:
        base = some_recipe(random)
        three = base, changed(base, random, "ours"), changed(base, random, "theirs")
        recipes += () if is_scaled_apart(*map(text_of, three)) else (three,)
    columns = zip(("base", "ours", "theirs"), zip(*recipes, strict=True), strict=True)
    imported(repository, {name: [text_of(recipe) for recipe in side] for name, side in columns})
    done = attempt(repository, "merge-tree", "--write-tree", "--name-only", "ours", "theirs")
    tree, *told = done.stdout.decode().split("\n\n")[0].splitlines()
    expected = [answer(*triple) for triple in recipes]
    in_conflict = [at for at, found in enumerate(expected) if found.conflicts]
    assert {f"{at}/formula.yaml" for at in in_conflict} == set(told), done.stderr.decode()
    assert 0 < len(in_conflict) < IN_A_BATCH
    for at, (base, ours, theirs) in enumerate(recipes):
        text = git(repository, "cat-file", "blob", f"{tree}:{at}/formula.yaml")
        assert units_in_conflict(text) == expected[at].conflicts
        assert recipe_of(settled(text, "ours")) == said_by(expected[at].recipe)
        assert recipe_of(settled(text, "theirs")) == said_by(answer(base, theirs, ours).recipe)


def three_files(folder: Path, *contents: bytes) -> list[str]:
    """The files git gives a driver: base, ours and theirs."""
    paths = [folder / name for name in ("base", "ours", "theirs")]
    for path, content in zip(paths, contents, strict=True):
        path.write_bytes(content)
    return [str(path) for path in paths]


def by_git(files: list[str]) -> tuple[bytes, bool]:
    """Git's own merge of three files, and whether it left conflicts."""
    base, ours, theirs = files
    labels = ["-L", "ours", "-L", "base", "-L", "theirs"]
    words = ["git", "merge-file", "-p", *labels, ours, base, theirs]
    done = subprocess.run(words, capture_output=True, env=GIT_ENVIRONMENT, check=False)
    return done.stdout, done.returncode > 0


@pytest.mark.parametrize(
    "contents",
    [
        (b"formula: [", OURS.encode(), THEIRS.encode()),
        (BASE.encode(), OURS.encode(), b"formula: trial\n"),
        (BASE.encode(), b"<<<<<<< ours\na\n=======\nb\n>>>>>>> theirs\n", THEIRS.encode()),
        (b"one\ntwo\nthree\nfour\n", b"ONE\ntwo\nthree\nfour\n", b"one\ntwo\nthree\nFOUR\n"),
    ],
)
def test_what_it_cannot_merge_git_merges_as_text(
    contents: tuple[bytes, ...], tmp_path: Path
) -> None:
    files = three_files(tmp_path, *contents)
    expected, conflicts = by_git(files)
    outcome = merge_files(files, FORMULA)
    assert Path(files[1]).read_bytes() == expected
    assert outcome.has_conflicts == conflicts
    assert outcome.told[0].startswith(f"{FORMULA}: merged as plain text (")


@pytest.mark.parametrize("fault", [ValueError("of ours"), RecursionError(), MemoryError()])
def test_a_fault_of_our_own_leaves_gits_merge(
    fault: Exception, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise fault

    monkeypatch.setattr(git_merge, "merge", fails)
    files = three_files(tmp_path, BASE.encode(), OURS.encode(), THEIRS.encode())
    expected, conflicts = by_git(files)
    assert conflicts
    assert merge_files(files, FORMULA).has_conflicts
    assert Path(files[1]).read_bytes() == expected


def test_a_binary_file_stays_as_it_is(tmp_path: Path) -> None:
    files = three_files(tmp_path, b"\0a", b"\0b", b"\0c")
    assert merge_files(files, FORMULA).has_conflicts
    assert Path(files[1]).read_bytes() == b"\0b"


def test_the_size_of_markers_is_gits(tmp_path: Path) -> None:
    files = three_files(tmp_path, BASE.encode(), OURS.encode(), CLASH.encode())
    outcome = run_cli("git-merge", "--marker-size", "9", "--", *files, FORMULA, cwd=tmp_path)
    assert outcome.code == 1
    lines = Path(files[1]).read_text(encoding="utf-8").splitlines()
    assert [line.split(" ")[0] for line in lines if line[0] in "<=>"] == ["<" * 9, "=" * 9, ">" * 9]


def test_the_house_tells_names_apart(tmp_path: Path) -> None:
    """A name the built-in catalogue does not know is one ingredient with its alias in the house."""
    folder = tmp_path / "formulas" / "trial"
    folder.mkdir(parents=True)
    (tmp_path / "formulas" / "house.yaml").write_text("house: Saltmarsh Lane\n", encoding="utf-8")
    (tmp_path / "formulas" / "ingredients.yaml").write_text(
        "ingredients: [{name: marsh honey, group: syrup, aliases: [our honey]}]\n", encoding="utf-8"
    )
    base, ours, theirs = (
        formula_text("{item: bread flour, amount: 100 g}", text).encode()
        for text in (
            "{item: marsh honey, amount: 10 g}",
            "{item: our honey, amount: 10 g}",
            "{item: marsh honey, amount: 12 g}",
        )
    )
    files = three_files(tmp_path, base, ours, theirs)
    assert merge_files(files, str(folder / "formula.yaml")) == Outcome(False, ())
    assert b"{item: our honey, amount: 12 g}" in Path(files[1]).read_bytes()


def test_wrong_arguments_are_said(tmp_path: Path) -> None:
    outcome = run_cli("git-merge", "one", cwd=tmp_path)
    assert (outcome.code, outcome.out) == (2, "")
    assert outcome.err == "perflour: git-merge takes BASE OURS THEIRS and a path; git calls it\n"


@pytest.mark.parametrize("before", [True, False], ids=["before", "behind"])
def test_a_merge_that_is_killed_leaves_the_old_file_or_the_new_one(
    before: bool, tmp_path: Path
) -> None:
    """At every step that it asks of the system."""
    files = three_files(tmp_path, BASE.encode(), OURS.encode(), THEIRS.encode())
    found = []
    for _ in steps_of(lambda: merge_files(files, FORMULA), before, least=4):
        found.append(Path(files[1]).read_text(encoding="utf-8"))
        Path(files[1]).write_text(OURS, encoding="utf-8")
    assert set(found) <= {OURS, BOTH} and found[0] == OURS
    assert merge_files(files, FORMULA) == Outcome(False, ())
    assert Path(files[1]).read_text(encoding="utf-8") == BOTH


def test_a_merge_that_cannot_be_written_leaves_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    files = three_files(tmp_path, BASE.encode(), OURS.encode(), THEIRS.encode())
    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space"):
        merge_files(files, FORMULA)
    assert Path(files[1]).read_bytes() == OURS.encode()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["base", "ours", "theirs"]


def test_comments_over_a_line_that_git_would_mix_up(kitchen: Path) -> None:
    """Both sides write a comment over one line: both stay, in one file that reads."""
    commit(kitchen, edited((BUTTER, f"      # from the dairy\n{BUTTER}"), of=OURS), "Where from")
    git(kitchen, "checkout", "-q", "other")
    soft = BUTTER.replace("soft", "melted")
    commit(kitchen, edited((soft, f"      # not too hot\n{soft}"), of=THEIRS), "How hot")
    git(kitchen, "checkout", "-q", "main")
    git(kitchen, "merge", "-q", "-m", "Both", "other")
    both = f"      # from the dairy\n      # not too hot\n{soft}"
    assert read(kitchen) == edited((soft, both), of=BOTH)
