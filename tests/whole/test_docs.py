"""Every command of README.md and docs/ is run, in a clone of this repository, and prints what it is there to show.

What that is stands in the block under the commands, or in examples.py. Setting up a virtual environment
is left out here (`.venv` is the one that runs the tests): .ci/run runs the README's two commands as they
are printed.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from perflour import __version__
from perflour.cli import _TASKS
from perflour.documents.reader import read_document
from perflour.documents.schema import schema
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.lint.check import check_content, check_other
from perflour.system.file_kinds import BY_NAME
from tests.browser.demo_pages import whole_history
from tests.conftest import GIT_ENVIRONMENT, ROOT, git
from tests.whole.examples import EXAMPLES
from tests.whole.pages import PAGES, Block, blocks, shown_in

sys.path.insert(0, str(ROOT / "tools" / "maintain"))
import write_picture

SET_UP = re.compile(
    r"^(?:python3 -m venv \.venv && \. \.venv/bin/activate && )?pip install -q (?:-e )?\S+(?: && |$)"
)
#: The tutorial has a test of its own, which types it in an empty folder.
TYPED = [b for b in blocks("sh") if "pytest" not in b[1].content and b[0] != "docs/tutorial.md"]
#: A commit of the demo, found by how its subject begins.
BY_SUBJECT = re.compile(r"HEAD\^\{/\^(.*?)\}")


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A clone with this tree's files, and the running environment as its .venv."""
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    folder = tmp_path_factory.mktemp("docs") / "perflour"
    subprocess.run(["git", "clone", "-q", str(ROOT), str(folder)], check=True, env=GIT_ENVIRONMENT)
    for name in (
        "README.md",
        "CHANGELOG.md",
        "DEVELOPERS.md",
        "docs",
        "formulas",
        "schema",
        "tests",
        "tools",
    ):
        source, target = ROOT / name, folder / name
        if source.is_dir():
            shutil.copytree(
                source, target, dirs_exist_ok=True, ignore=shutil.ignore_patterns("__pycache__")
            )
        else:
            shutil.copy(source, target)
    binaries = folder / ".venv" / "bin"
    binaries.mkdir(parents=True)
    for tool in ("python", "perflour", "pre-commit"):
        script = binaries / tool
        module = {"perflour": "perflour", "pre-commit": "pre_commit"}.get(tool)
        script.write_text(
            f'#!/bin/sh\nexec "{sys.executable}" {f"-m {module} " if module else ""}"$@"\n',
            encoding="utf-8",
        )
        script.chmod(0o755)
    return folder


def typed(line: str, folder: Path) -> tuple[int, str]:
    """Type one line in a folder, in a window 80 characters wide: exit code, what is printed."""
    binaries = f"{folder / '.venv/bin'}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        ["sh", "-c", line],
        cwd=folder,
        env={**GIT_ENVIRONMENT, "PATH": binaries, "COLUMNS": "80"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    return done.returncode, done.stdout.decode()


def wrong_with(block: Block, folder: Path) -> list[str]:
    """Type a block line by line; each line that failed or did not print what it is there to show."""
    wrong, all_printed = [], ""
    for line in block.lines:
        code, printed = typed(SET_UP.sub("", line), folder)
        all_printed += printed
        if code not in may_exit_with(line) or "Traceback" in printed:
            wrong.append(f"{line}\nexits with {code}:\n{printed}")
        elif line in EXAMPLES:
            wrong += not_shown(line, printed, folder)
    whole = block.shown and "...\n" not in block.shown
    if all_printed != block.shown if whole else not shown_in(block.shown, all_printed):
        wrong.append(f"{block.content}\nprints\n{all_printed}\nwhich does not hold\n{block.shown}")
    return wrong


def may_exit_with(line: str) -> tuple[int, ...]:
    """0; of perflour 1 as well, which only says that something was found."""
    return (0, 1) if re.search(r"\bperflour ", line) else (0,)


def not_shown(line: str, printed: str, folder: Path) -> list[str]:
    """What a command is there to show and did not."""
    words, file = EXAMPLES[line]
    if not words and printed:
        return [f"{line}\nshould find nothing and say nothing:\n{printed}"]
    text = (folder / file).read_text(encoding="utf-8", errors="replace") if file else printed
    return [f"{line}\ndoes not show {word!r}:\n{text[:1500]}" for word in words if word not in text]


@pytest.mark.parametrize("page", sorted({page for page, _ in TYPED}))
def test_the_commands_of_a_page_show_what_they_are_there_for(
    page: str, clone: Path, tmp_path: Path
) -> None:
    """One page after the other in a fresh clone, as somebody reads it."""
    folder = tmp_path / "perflour"
    shutil.copytree(clone, folder, symlinks=True)
    wrong = [w for of_page, block in TYPED if of_page == page for w in wrong_with(block, folder)]
    assert not wrong, "\n\n".join(wrong)


def test_what_a_command_is_there_to_show_is_known_of_each() -> None:
    """Of every line of the README, and of every perflour line of the pages."""
    lines = {line for _, block in TYPED for line in block.lines}
    shown = {block.lines[0] for _, block in TYPED if block.shown and len(block.lines) == 1}
    asked = {line for page, block in TYPED for line in block.lines if page == "README.md"}
    asked |= {line for line in lines if "perflour " in line}
    unknown = sorted(asked - set(EXAMPLES) - shown)
    assert not unknown, f"say in tests/whole/examples.py what these show: {unknown}"
    assert not set(EXAMPLES) - lines, "of commands that no page has any more"


def test_only_checks_and_what_writes_may_say_nothing() -> None:
    """An example that has nothing to show shows nothing."""
    silent = {line for line, shows in EXAMPLES.items() if not shows.words}
    assert all(re.search(r" --check| --write|^git |^pip ", line) for line in silent), silent


def test_the_readme_tells_the_commands_by_the_tasks_of_the_help() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    by_task = re.findall(r"[Tt]o ([\w ]+)(?:, beside `perflour (.*)`)?:\n\n```sh\n((?:perflour .*\n)+)", readme)  # fmt: skip
    told = {
        task: {beside, *re.findall(r"^perflour (\S+)", lines, re.MULTILINE)} - {""}
        for task, beside, lines in by_task
    }
    staying = {"watch"}  # it ends when somebody ends it
    assert told == {task: set(names) - staying for task, names in _TASKS.items()}


@whole_history
def test_the_picture_of_the_readme_shows_what_its_page_says(tmp_path: Path) -> None:
    from PIL import Image

    (named,) = re.findall(r"!\[[^\]]{80,}\]\((docs/pictures/.+?)\)", (ROOT / "README.md").read_text("utf-8"))  # fmt: skip
    assert ROOT / named == write_picture.PICTURE
    assert write_picture.PICTURE.stat().st_size < 200_000
    with Image.open(write_picture.PICTURE) as picture:
        words = picture.info["Description"]
    shown = write_picture.words_shown(write_picture.made_page(tmp_path))
    assert words == shown, "run: python tools/maintain/write_picture.py"


def test_pages_on_what_is_printed_show_it() -> None:
    pages = [page for page, block in TYPED if block.shown]
    for name, least in {"diff": 2, "release": 4, "review": 1, "compare": 1, "git": 1}.items():
        assert pages.count(f"docs/{name}.md") >= least


def test_a_command_that_shows_nothing_is_noticed(clone: Path) -> None:
    line = "perflour lint --fail-at error"
    assert wrong_with(Block("sh", f"{line}\n", "0 files read\n"), clone)
    assert wrong_with(Block("sh", f"{line} none\n"), clone)
    assert not wrong_with(Block("sh", f"{line}\n", "...\n"), clone)
    assert wrong_with(Block("sh", "git diff --exit-code --no-index README.md LICENSE\n"), clone)
    assert not_shown(line, "36 files read, nothing found\n", clone)
    assert not_shown("perflour format --check", "formulas/x/formula.yaml\n", clone)
    assert not not_shown(line, "36 files read: 2 warnings in 1\n", clone)


def test_commits_of_the_demo_are_named_by_a_subject_that_only_one_has() -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    commands = "\n".join(block.content for _, block in blocks("sh"))
    assert not re.search(r"HEAD~\d", commands), "the last commits need not touch a formula"
    named = set(BY_SUBJECT.findall(commands))
    subjects = git(ROOT, "log", "--format=%s").splitlines()
    found = {begin: sum(subject.startswith(begin) for subject in subjects) for begin in named}
    assert len(named) >= 3
    assert found == dict.fromkeys(named, 1)


@pytest.mark.parametrize("whole", [False, True])
def test_without_the_history_the_readme_says_so_in_one_line(
    clone: Path, tmp_path: Path, whole: bool
) -> None:
    """In a shallow clone, and in a copy without .git."""
    folder, said = tmp_path / "perflour", "holds only a part of the history"
    if whole:
        said = "not in a git repository"
        shutil.copytree(clone, folder, ignore=shutil.ignore_patterns(".git"))
    else:
        git(tmp_path, "clone", "-q", "--depth", "1", f"file://{clone}", str(folder))
        shutil.copytree(clone / ".venv", folder / ".venv", dirs_exist_ok=True)
    lines = [line for page, block in TYPED if page == "README.md" for line in block.lines]
    asked = [line for line in lines if BY_SUBJECT.search(line)]
    assert len(asked) == 3
    for line in asked:
        code, printed = typed(line, folder)
        assert (code, printed.count("\n")) == (2, 1), printed
        assert said in printed


def test_the_readme_opens_with_two_set_ups_and_ci_runs_both() -> None:
    commands = [block.content for page, block in blocks("sh") if page == "README.md"]
    assert all(SET_UP.match(command) for command in commands[:2])
    assert "tour.sh" in commands[0]
    assert "pytest" in commands[1]
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "$(readme_command 1)" in ci
    assert "$(readme_command 2)" in ci


def kind_shown(block: str) -> str:
    """The kind of file that a block shows: the one that asks for no field but those that are there."""
    there = set(read_document(block.encode(), "block").data)
    (kind,) = [name for name in BY_NAME if set(schema(name)["required"]) <= there]
    return kind


@pytest.mark.parametrize(
    ("page", "block"),
    [(page, b.content) for page, b in blocks("yaml") if not page.startswith("docs/rules/")],
)
def test_every_yaml_block_is_what_it_shows(page: str, block: str) -> None:
    kind = kind_shown(block)
    if kind == "formula":
        house = kitchen_for(str(ROOT / "formulas" / "x")).house._replace(classes={})
        results = check_content(block.encode(), "block", Kitchen(house, kitchen_for("/").catalogue))
        assert [r.message for r in results] == []
    else:
        assert check_other(block.encode(), "block", kind) == ()


def test_files_named_in_pages_are_there() -> None:
    """By their place in the repository, or in the package."""
    named = re.compile(r"`(?:python )?((?:[\w-]+/)+[\w-]+\.(?:py|jsonl|typ|html|txt|cfg))\b[^`]*`")
    for page in PAGES:
        if page.name == "python.md":  # names places in a script of its own
            continue
        for path in named.findall(page.read_text(encoding="utf-8")):
            places = (ROOT / path, ROOT / "tools" / "perflour" / path)
            assert any(place.exists() for place in places), f"{page.name}: {path}"


def test_the_newest_version_of_the_changelog_is_this_one() -> None:
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    versions = re.findall(r"^## (\d+\.\d+\.\d+) \(\d{1,2} \w+ 20\d\d", text, re.MULTILINE)
    assert versions[0] == __version__
    assert len(versions) == text.count("\n## ")


def test_links_between_pages_lead_somewhere() -> None:
    for page in PAGES:
        for target in re.findall(r"\]\((?!https?:)([^)#]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_every_page_is_reached_from_the_readme() -> None:
    reached, ahead = set(), {ROOT / "README.md"}
    while ahead:
        page = ahead.pop()
        reached.add(page)
        named = re.findall(r"\]\(([^):#]+\.md)", page.read_text(encoding="utf-8"))
        ahead |= {(page.parent / target).resolve() for target in named} - reached
    assert {page.relative_to(ROOT) for page in set(PAGES) - reached} == set()
