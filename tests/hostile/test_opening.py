"""What a repository links to elsewhere is neither read nor written, whatever command runs in it."""

from __future__ import annotations

import ast
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from perflour.result import CannotRun
from perflour.system.files import named_paths
from perflour.system.opening import MOST_BYTES, Refused, make_folder, names_in, read, read_beside
from perflour.system.writing import write_file
from tests.conftest import ROOT, formula_text, git, run_cli
from tests.hostile.within import run_within

SECRET = "mother of vinegar"
FORMULA = formula_text("{item: all-purpose flour, amount: 500 g}")
BAKE = "date: 2026-03-14\nformula: trial\nof: 0f3a9c21b7de\nbaker: A\nverdict: keep\n"
PACKAGE = ROOT / "tools" / "perflour"


@pytest.fixture
def outside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder beside the repository with what nobody may see or change."""
    folder = tmp_path_factory.mktemp("outside")
    (folder / "secret.yaml").write_text(f"{SECRET}: [1\n")
    (folder / "bakes").mkdir()
    (folder / "bakes" / "2026-03-14.yaml").write_text(f"{SECRET}: 1\n")
    return folder


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A repository with one formula of two revisions."""
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (folder / "formula.yaml").write_text(FORMULA)
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Start")
    return repository


def link(kitchen: Path, name: str, to: str | Path) -> None:
    path = kitchen / name
    path.unlink(missing_ok=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.symlink_to(to)


READERS = [
    ("lint",), ("show",), ("contents",), ("format", "--check"), ("scale", "--factor", "2"), ("compare",),
    ("draft",), ("changelog",), ("bake", "list"), ("bake", "check"), ("cost",), ("diff",),
]  # fmt: skip
LINKED = {
    "a formula": "formulas/other/formula.yaml",
    "the house": "formulas/house.yaml",
    "ingredients": "formulas/ingredients.yaml",
    "prices": "formulas/prices.yaml",
    "a record": "formulas/trial/bakes/2026-03-14.yaml",
    "a changelog": "formulas/trial/CHANGELOG.md",
}


@pytest.mark.parametrize("name", LINKED.values(), ids=LINKED)
@pytest.mark.parametrize("target", ["secret", "environment", "zero", "pipe"])
def test_nothing_is_read_through_a_link_that_leads_out(
    kitchen: Path, outside: Path, name: str, target: str
) -> None:
    os.mkfifo(outside / "pipe")
    link(kitchen, name, {
        "secret": outside / "secret.yaml", "environment": "/proc/self/environ", "zero": "/dev/zero",
        "pipe": outside / "pipe",
    }[target])  # fmt: skip
    for command in READERS:
        done = run_cli(*command, cwd=kitchen)
        assert SECRET not in done.all, command
        assert "PATH=" not in done.all, command
        assert "Traceback" not in done.all, command
    if not name.endswith(".md"):
        done = run_cli("lint", cwd=kitchen)
        assert f"{name}:1:1: error: cannot be read (is " in done.out
        assert done.code == 1


def test_a_folder_of_records_that_leads_out_is_said(kitchen: Path, outside: Path) -> None:
    link(kitchen, "formulas/trial/bakes", outside / "bakes")
    for command in (("bake", "list"), ("changelog",), ("draft", "--all", "--output", "html")):
        done = run_cli(*command, cwd=kitchen)
        assert SECRET not in done.all
        assert "leads out of the repository" in done.all, command


@pytest.mark.parametrize("file", ["photo.jpg", "../../../../secret.yaml", "/etc/hostname"])
def test_no_photo_elsewhere_is_hashed(kitchen: Path, outside: Path, file: str) -> None:
    bakes = kitchen / "formulas" / "trial" / "bakes"
    bakes.mkdir()
    (kitchen.parent / "secret.yaml").write_text(SECRET)
    link(kitchen, "formulas/trial/bakes/photo.jpg", outside / "secret.yaml")
    (bakes / "2026-03-14.yaml").write_text(BAKE + f"photos: [{{file: {file}}}]\n")
    done = run_cli("bake", "check", cwd=kitchen)
    assert "cannot be read (" in done.all
    assert "write sha256" not in done.all


def test_review_says_of_a_link_what_lint_says(kitchen: Path, outside: Path) -> None:
    git(kitchen, "switch", "-qc", "strange")
    link(kitchen, "formulas/trial/formula.yaml", outside / "secret.yaml")
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "Link")
    said = "cannot be read (is a link, or lies behind one, that leads out of the repository)"
    assert said in run_cli("lint", cwd=kitchen).out
    review = run_cli("review", "HEAD~1..HEAD", cwd=kitchen)
    assert said in review.out
    assert review.code == 1


def test_review_says_of_a_large_file_what_lint_says(kitchen: Path) -> None:
    git(kitchen, "switch", "-qc", "strange")
    (kitchen / "formulas/trial/formula.yaml").write_text(FORMULA + "#" * MOST_BYTES)
    git(kitchen, "commit", "-qam", "Grow")
    said = "cannot be read (is larger than the 2 MiB that are read of a file)"
    assert said in run_cli("lint", cwd=kitchen).out
    assert said in run_cli("review", "HEAD~1..HEAD", cwd=kitchen).out


WRITERS = {
    "a report": (("show", "--write", "out.txt"), "out.txt"),
    "a draft": (("draft", "--write", "draft.md"), "draft.md"),
    "a changelog": (("changelog", "--write"), "formulas/trial/CHANGELOG.md"),
    "a baseline": (("lint", "--write-baseline", "known.json"), "known.json"),
    "a log": (("release", "prepare", "2026.1"), "releases/2026.1.md"),
}


@pytest.mark.parametrize("row", WRITERS.values(), ids=WRITERS)
def test_a_link_is_replaced_and_never_followed(
    kitchen: Path, outside: Path, row: tuple[tuple[str, ...], str]
) -> None:
    words, name = row
    before = (outside / "secret.yaml").read_bytes()
    link(kitchen, name, outside / "secret.yaml")
    run_cli(*words, cwd=kitchen)
    assert (outside / "secret.yaml").read_bytes() == before


@pytest.mark.parametrize(
    ("words", "folder"),
    [
        (("bake", "new", "formulas/trial", "--baker", "A", "--verdict", "keep"), "formulas/trial/bakes"),
        (("new", "formula", "Oat loaf", "--class", "loaf-cake", "--pieces", "1", "--piece-mass", "500 g"), "formulas/oat-loaf"),
    ],
)  # fmt: skip
def test_nothing_is_written_into_a_folder_elsewhere(
    kitchen: Path, outside: Path, words: tuple[str, ...], folder: str
) -> None:
    (outside / "empty").mkdir()
    link(kitchen, folder, outside / "empty")
    done = run_cli(*words, cwd=kitchen)
    assert list((outside / "empty").iterdir()) == [], done.all
    assert done.code == 2, done.all
    assert "Traceback" not in done.all


def test_links_inside_are_followed(kitchen: Path) -> None:
    link(kitchen, "formulas/again/formula.yaml", "../trial/formula.yaml")
    assert read(str(kitchen / "formulas/again/formula.yaml")) == FORMULA.encode()


@pytest.mark.parametrize("what", ["device", "pipe", "folder", "large", "elsewhere"])
def test_only_plain_files_of_a_bounded_size_are_read(
    kitchen: Path, outside: Path, what: str
) -> None:
    path = kitchen / "thing"
    if what == "pipe":
        os.mkfifo(path)
    elif what == "folder":
        path.mkdir()
    elif what == "large":
        path.write_bytes(b" " * (MOST_BYTES + 1))
    else:
        path.symlink_to("/dev/zero" if what == "device" else outside / "secret.yaml")
    with pytest.raises(Refused):
        read(str(path))


@pytest.mark.parametrize(
    ("command", "code"), [("lint", 1), ("show", 2), ("contents", 2), ("import", 2)]
)
def test_standard_input_that_never_ends_is_refused(command: str, code: int, tmp_path: Path) -> None:
    with Path("/dev/zero").open("rb") as endless:
        done = run_within([command, "-"], tmp_path, stdin=endless)
    assert (done.code, "MiB that are read of a file" in done.all) == (code, True), done.err[-300:]


def test_a_named_file_elsewhere_is_no_file_beside(kitchen: Path, outside: Path) -> None:
    with pytest.raises(Refused):
        read_beside(str(kitchen / "a.yaml"), str(outside / "secret.yaml"))


def test_folders_that_lead_out_are_neither_listed_nor_filled(kitchen: Path, outside: Path) -> None:
    link(kitchen, "way", outside)
    for attempt in (
        lambda: names_in(str(kitchen / "way")),
        lambda: make_folder(str(kitchen / "way" / "new")),
        lambda: write_file(kitchen / "way" / "new.yaml", b""),
    ):
        with pytest.raises(Refused):
            attempt()
    assert sorted(os.listdir(outside)) == ["bakes", "secret.yaml"]


def test_a_folder_that_cannot_be_listed_is_said(
    kitchen: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(folder: str) -> None:
        raise PermissionError(13, "Permission denied", folder)

    monkeypatch.setattr(os, "scandir", refused)
    with pytest.raises(CannotRun, match=r"cannot be listed \(Permission denied\)"):
        list(named_paths([str(kitchen)]))


#: Modules that open, list or make something themselves, and what.
OPEN_THEMSELVES = {
    "system/opening.py": "everything of a repository",
    "system/writing.py": "the file beside, in a folder that was asked about",
    "system/cache.py": "our own folder in the git folder",
    "system/files.py": "scandir, which follows no link",
    "system/made_by.py": "what is installed with perflour",
    "system/consists_of.py": "what is installed with perflour, and the names of what is installed beside it",
    "system/shown_before.py": "our own folder in the git folder",
    "history/store.py": "our own folder in the git folder",
    "lint/cache.py": "our own folder in the git folder",
    "documents/shipped.py": "what is installed with perflour",
    "report/cookbook/pdf.py": "what is installed with perflour",
    "setup/kitchen.py": "what is installed with perflour",
    "setup/check.py": "what is installed with perflour",
    "system/pictures.py": "bytes that were read before, by Pillow",
    "report/form/charts.py": "what is installed with perflour",
}
OPENING = {
    "open", "read_text", "read_bytes", "write_text", "write_bytes", "listdir", "scandir", "iterdir", "mkdir",
    "makedirs", "mkstemp", "copyfile", "copytree",
}  # fmt: skip


def _opening(module: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            called = node.func
            name = called.id if isinstance(called, ast.Name) else getattr(called, "attr", "")
            if name in OPENING and not (isinstance(called, ast.Name) and name == "read_bytes"):
                yield f"{name}, line {node.lineno}"


def test_one_module_opens_what_stands_in_a_repository() -> None:
    opening = {
        module.relative_to(PACKAGE).as_posix(): found
        for module in sorted(PACKAGE.rglob("*.py"))
        if (found := list(_opening(module)))
    }
    assert set(opening) == set(OPEN_THEMSELVES), opening
