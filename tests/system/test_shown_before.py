"""Ratio sheets that git showed before: found again without Python, never when anything they depend on is another."""

from __future__ import annotations

import hashlib
import os
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from perflour.setup.git import setup_for
from perflour.system import shown_before
from perflour.system.made_by import MadeBy
from tests.conftest import GIT_ENVIRONMENT, ROOT, formula_text, git, run_cli

FORMULA = "formulas/trial/formula.yaml"
AN_HOUR_AGO_S = time.time() - 3600
TEXT = formula_text(
    "{item: all-purpose flour, amount: 1 cup}", "{item: dark brown sugar, amount: 180.4 g}"
)
INGREDIENTS = (
    "ingredients:\n  - name: all-purpose flour\n    group: flour\n    counts-as: flour\n"
    "    measures: [{per: cup, grams: 111, source: our own scale}]\n"
)


class Shown:
    """A kitchen whose sheets a copy of perflour makes, and how often git started Python for one."""

    def __init__(self, folder: Path) -> None:
        self.top, self.tools, self.log = folder / "kitchen", folder / "tools", folder / "log"
        self.environment = {**GIT_ENVIRONMENT, "PYTHONPATH": str(self.tools)}
        shutil.copytree(ROOT / "tools" / "perflour", self.tools / "perflour")
        for path in (self.tools, *self.tools.rglob("*.py"), *self.tools.rglob("*.json*")):
            os.utime(
                path, (AN_HOUR_AGO_S, AN_HOUR_AGO_S)
            )  # nothing is kept by what has just changed
        self.top.mkdir()
        git(self.top, "init", "-q", "-b", "main")
        self.write(FORMULA, TEXT)
        self.write("formulas/house.yaml", "house: Saltmarsh Lane\n")
        run_cli("git-setup", cwd=self.top)
        git(self.top, "add", "-A")
        git(self.top, "commit", "-q", "-m", "A trial")
        self._count_starts()

    def _count_starts(self) -> None:
        """Have git start a script that tells of it and then is the Python that was set up."""
        counting = self.top.parent / "counting"
        counting.write_text(
            f'#!/bin/sh\necho >>{shlex.quote(str(self.log))}\nexec {shlex.quote(sys.executable)} "$@"\n'
        )
        counting.chmod(0o755)
        command = git(self.top, "config", "diff.perflour.textconv").rstrip()
        self.command = command.replace(shlex.quote(sys.executable), str(counting))
        git(self.top, "config", "diff.perflour.textconv", self.command)

    @property
    def sheets(self) -> Path:
        return self.top / ".git" / "perflour" / "sheets"

    def kept(self) -> list[Path]:
        return [path for path in self.sheets.glob("*/??/*") if path.is_file()]

    def write(self, path: str, text: str) -> None:
        (self.top / path).parent.mkdir(parents=True, exist_ok=True)
        (self.top / path).write_text(text, encoding="utf-8")

    def shown(self, top: Path | None = None) -> tuple[str, bool]:
        """The sheet as git shows it, and whether Python was started for it."""
        self.log.write_text("")
        words = ["git", "cat-file", "--textconv", f"HEAD:{FORMULA}"]
        done = subprocess.run(words, cwd=top or self.top, env=self.environment, capture_output=True, check=False)  # fmt: skip
        assert (done.returncode, done.stderr) == (0, b"")
        return done.stdout.decode(), bool(self.log.read_text())

    def made(self) -> str:
        """The sheet as the command line makes it now, of what is in the work tree."""
        words = [sys.executable, "-P", "-m", "perflour", "git-sheet", "--house=formulas", FORMULA]
        done = subprocess.run(words, cwd=self.top, env=self.environment, capture_output=True, check=True)  # fmt: skip
        return done.stdout.decode()


@pytest.fixture
def kitchen(tmp_path: Path) -> Shown:
    return Shown(tmp_path)


def other_house(kitchen: Shown) -> None:
    kitchen.write("formulas/house.yaml", "house: Saltmarsh Lane\nscale-resolution: 100\n")


def other_house_of_one_size_and_time(kitchen: Shown) -> None:
    house = kitchen.top / "formulas" / "house.yaml"
    times = house.stat().st_atime_ns, house.stat().st_mtime_ns
    house.write_text("house: Saltmarsh Dyke\n", encoding="utf-8")
    os.utime(house, ns=times)


def ingredients_come(kitchen: Shown) -> None:
    kitchen.write("formulas/ingredients.yaml", INGREDIENTS)


def ingredients_change(kitchen: Shown) -> None:
    kitchen.write("formulas/ingredients.yaml", INGREDIENTS.replace("111", "222"))


def ingredients_go(kitchen: Shown) -> None:
    (kitchen.top / "formulas" / "ingredients.yaml").unlink()


def older_code(kitchen: Shown) -> None:
    """Another wording of the sheet, in a file that is older than the one it takes the place of."""
    module = kitchen.tools / "perflour" / "report" / "git_sheet.py"
    module.write_text(module.read_text(encoding="utf-8").replace("g  batch", "g  of it all"))
    os.utime(module, (AN_HOUR_AGO_S - 3600, AN_HOUR_AGO_S - 3600))


def other_figures(kitchen: Shown) -> None:
    data = kitchen.tools / "perflour" / "data" / "units.json"
    os.utime(data, (AN_HOUR_AGO_S + 60, AN_HOUR_AGO_S + 60))


def something_in_front(kitchen: Shown) -> None:
    """A module that would be found before one of perflour's libraries."""
    (kitchen.tools / "prices.py").write_text("")
    os.utime(kitchen.tools, (AN_HOUR_AGO_S + 60, AN_HOUR_AGO_S + 60))


def another_perflour(kitchen: Shown) -> None:
    other = kitchen.tools.with_name("other")
    kitchen.tools.rename(other)
    kitchen.tools = other
    kitchen.environment["PYTHONPATH"] = str(other)


def installed(kitchen: Shown) -> None:
    """From now on a digest in it says what perflour is, and no file's time."""
    built_of(kitchen, "a")


def installed_anew(kitchen: Shown) -> None:
    """Another content of one size and time, as in images whose files all have one time."""
    older_code(kitchen)
    built_of(kitchen, "b")


def built_of(kitchen: Shown, digest: str) -> None:
    path = kitchen.tools / "perflour" / "data" / "built-of"
    path.write_text(f"{digest}\n")
    for one in (path, path.parent):
        os.utime(one, (AN_HOUR_AGO_S, AN_HOUR_AGO_S))


def another_reader(kitchen: Shown) -> None:
    """Another list of what the library consists of that reads YAML, of one size and time; it stands in front."""
    shutil.copytree(Path(str(yaml.__file__)).parent, kitchen.tools / "yaml")
    recorded(kitchen, "a")


def another_reader_anew(kitchen: Shown) -> None:
    recorded(kitchen, "b")


def recorded(kitchen: Shown, digest: str) -> None:
    record = kitchen.tools / "pyyaml-1.0.dist-info" / "RECORD"
    record.parent.mkdir(exist_ok=True)
    record.write_text(f"yaml/__init__.py,sha256={digest},1\n")
    for one in (record, record.parent, kitchen.tools):
        os.utime(one, (AN_HOUR_AGO_S, AN_HOUR_AGO_S))


CHANGES = (
    other_house,
    other_house_of_one_size_and_time,
    ingredients_come,
    ingredients_change,
    ingredients_go,
    older_code,
    other_figures,
    something_in_front,
    another_perflour,
    installed,
    installed_anew,
    another_reader,
    another_reader_anew,
)


def test_a_sheet_is_found_until_something_it_depends_on_is_another(kitchen: Shown) -> None:
    """One after another; each change is followed by a sheet that is made anew, and is right, and found from then on."""
    sheets = {kitchen.made()}
    for change in (None, *CHANGES):
        if change:
            change(kitchen)
        name = change.__name__ if change else "the first"
        first, again, right = kitchen.shown(), kitchen.shown(), kitchen.made()
        assert first == (right, change is not ingredients_go), (
            name
        )  # it is as it was before they came
        assert again == (right, False), name
        sheets.add(right)
    assert len(sheets) == 5  # so they do change what is shown


def test_what_has_just_changed_is_not_relied_on(kitchen: Shown) -> None:
    os.utime(kitchen.tools / "perflour" / "plain.py")
    assert kitchen.shown() == kitchen.shown() == (kitchen.made(), True)
    assert kitchen.kept() == []


def sheet_is_a_link(kitchen: Shown) -> None:
    (sheet,) = kitchen.kept()
    elsewhere = kitchen.top / "elsewhere"
    sheet.rename(elsewhere)
    sheet.symlink_to(elsewhere)


def sheet_is_of_somebody_else(kitchen: Shown) -> None:
    if os.geteuid():
        pytest.skip("only root can give a file away")
    os.chown(kitchen.kept()[0], 12345, 12345)


def sheet_is_a_folder(kitchen: Shown) -> None:
    (sheet,) = kitchen.kept()
    sheet.unlink()
    sheet.mkdir()


def folder_is_gone(kitchen: Shown) -> None:
    shutil.rmtree(kitchen.sheets)


def folder_is_a_link(kitchen: Shown) -> None:
    home = kitchen.kept()[0].parents[1]
    home.rename(kitchen.top / "home")
    home.symlink_to(kitchen.top / "home")


def script_is_cut_off(kitchen: Shown) -> None:
    script = kitchen.sheets / "find"
    script.write_bytes(script.read_bytes()[:-300])


def script_is_empty(kitchen: Shown) -> None:
    (kitchen.sheets / "find").write_bytes(b"")


def times_are_gone(kitchen: Shown) -> None:
    shutil.rmtree(kitchen.kept()[0].parents[1] / "times")


def house_is_a_link(kitchen: Shown) -> None:
    house = kitchen.top / "formulas" / "house.yaml"
    house.rename(house.with_name("ours.yaml"))
    house.symlink_to("ours.yaml")


def house_is_above(kitchen: Shown) -> None:
    (kitchen.top / "formulas" / "house.yaml").unlink()
    kitchen.write("house.yaml", "house: Saltmarsh Lane\nscale-resolution: 10\n")


def formulas_is_a_link(kitchen: Shown) -> None:
    (kitchen.top / "formulas").rename(kitchen.top / "moved")
    (kitchen.top / "formulas").symlink_to("moved")


def checksum(kitchen: Shown, script: str) -> None:
    program = kitchen.top.parent / "bin" / "sha256sum"
    program.parent.mkdir()
    program.write_text(f"#!/bin/sh\n{script}\n")
    program.chmod(0o755)
    kitchen.environment["PATH"] = f"{program.parent}{os.pathsep}{os.environ['PATH']}"


def no_checksum(kitchen: Shown) -> None:
    checksum(kitchen, "exit 127")


def another_checksum(kitchen: Shown) -> None:
    checksum(kitchen, "echo SHA256 '(formula.yaml)' = 00")


def another_search_path(kitchen: Shown) -> None:
    kitchen.environment["PYTHONPATH"] += f"{os.pathsep}{kitchen.top.parent / 'nowhere'}"


@pytest.mark.parametrize(
    "odd",
    [
        sheet_is_a_link,
        sheet_is_of_somebody_else,
        sheet_is_a_folder,
        folder_is_gone,
        folder_is_a_link,
        script_is_cut_off,
        script_is_empty,
        times_are_gone,
        house_is_a_link,
        house_is_above,
        formulas_is_a_link,
        no_checksum,
        another_checksum,
        another_search_path,
    ],
)
def test_where_anything_is_odd_the_sheet_is_made(
    odd: Callable[[Shown], None], kitchen: Shown
) -> None:
    assert kitchen.shown()[1]
    assert not kitchen.shown()[1]
    odd(kitchen)
    assert kitchen.shown() == (kitchen.made(), True)


SHELLS = (("dash",), ("bash",), ("bash", "--posix"), ("busybox", "sh"), ("zsh", "--emulate", "sh"), ("ksh",), ("mksh",))  # fmt: skip


def test_every_shell_finds_it(kitchen: Shown) -> None:
    """All that are here; git has one of them run the setting with the name of the file behind it."""
    made = kitchen.shown()[0]
    assert kitchen.shown() == (made, False)
    for words in SHELLS:
        if shutil.which(words[0]):
            line = [*words, "-c", f'{kitchen.command} "$@"', "x", FORMULA]
            done = subprocess.run(line, cwd=kitchen.top, env=kitchen.environment, capture_output=True, check=False)  # fmt: skip
            assert (done.stdout.decode(), done.stderr) == (made, b""), words
            assert not kitchen.log.read_text(), words


def test_names_with_anything_in_them(kitchen: Shown) -> None:
    made = kitchen.shown()[0]
    for name in ("-x", "two words", "it's", 'a "b"', "$(echo)", "back\\slash", "line\nend", "å"):
        (kitchen.top / name).write_text(TEXT, encoding="utf-8")
        line = ["sh", "-c", f'{kitchen.command} "$@"', "x", name]
        done = subprocess.run(line, cwd=kitchen.top, env=kitchen.environment, capture_output=True, check=False)  # fmt: skip
        assert (done.stdout.decode(), done.stderr) == (made, b""), name


def test_a_linked_work_tree_shares_the_sheets_and_has_its_own_house(kitchen: Shown) -> None:
    linked = kitchen.top.parent / "linked"
    git(kitchen.top, "worktree", "add", "-q", str(linked))
    made = kitchen.shown()[0]
    assert kitchen.shown(linked) == (made, False)
    (linked / "formulas" / "house.yaml").write_text("house: x\nscale-resolution: 50\n")
    other = kitchen.shown(linked)
    assert other[1]
    assert other[0] != made
    assert kitchen.shown(linked) == (other[0], False)
    assert kitchen.shown() == (made, False)


def test_many_gits_at_once(kitchen: Shown) -> None:
    words = ["git", "log", "-p"]
    running = [
        subprocess.Popen(words, cwd=kitchen.top, env=kitchen.environment, stdout=subprocess.PIPE)
        for _ in range(6)
    ]
    shown = {process.communicate()[0] for process in running}
    assert len(shown) == 1
    assert b"+    180.4 g  batter: dark brown sugar\n" in shown.pop()
    assert len(kitchen.kept()) == 1
    (home,) = {path.parents[1] for path in kitchen.kept()}
    assert sorted(path.name for path in kitchen.sheets.iterdir()) == sorted(["find", home.name])
    assert not kitchen.shown()[1]


def test_what_is_loaded_counts(kitchen: Shown) -> None:
    """Every file of perflour that is opened or loaded for a sheet is one whose time the script compares."""
    kitchen.write("formulas/ingredients.yaml", INGREDIENTS)
    kitchen.write(
        "formulas/house.yaml",
        "house: Saltmarsh Lane\nunits: [scoop = 30 ml]\n",
    )
    code = (
        "import os, sys; opened = []\n"
        "sys.addaudithook(lambda event, about: opened.append(str(about[0])) if event == 'open' else None)\n"
        "kept = os._exit; os._exit = lambda code: None\n"
        "from perflour.commands.git_sheet import for_git; for_git()\n"
        "files = [m.__file__ for n, m in list(sys.modules.items()) if n.startswith('perflour')]\n"
        "sys.stderr.write('\\n'.join([*opened, *files]))"
    )
    words = [sys.executable, "-P", "-c", code, "formulas", str(kitchen.sheets), FORMULA]
    done = subprocess.run(words, cwd=kitchen.top, env=kitchen.environment, capture_output=True, check=True)  # fmt: skip
    package = f"{kitchen.tools / 'perflour'}/"
    used = {
        path.removeprefix(package)
        for path in done.stderr.decode().splitlines()
        if path.startswith(package) and "__pycache__" not in path
    }
    script = (kitchen.sheets / "find").read_text(encoding="utf-8")
    looked_at = {path for path in used if f" {package}{path} " in script}
    # what keeps a sheet does not make it
    assert used - looked_at == {"data/find_sheet.sh"}
    assert "kitchen/own_units.py" in looked_at


MAKER = MadeBy((), (), (), (), ())


def test_the_folder_is_bounded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shown_before, "made_by", lambda *_: MAKER)
    monkeypatch.setattr(shown_before, "MOST_IN_FOLDER", 2)
    monkeypatch.setattr(shown_before, "MOST_BYTES_IN_FOLDER", 50)
    for at in range(700):
        shown_before.keep(str(tmp_path), b"sheet", [b"%d" % at], [])
    shelves = list(tmp_path.glob("*/??"))
    assert len(shelves) > 200
    assert {len(list(shelf.iterdir())) for shelf in shelves} == {1, 2}
    (last,) = tmp_path.glob(f"*/??/{hashlib.sha256(b'699').hexdigest()}")
    assert last.read_bytes() == b"sheet"  # the newest stay
    shown_before.keep(str(tmp_path), b"s" * 51, [b"x"], [])
    assert not list(tmp_path.glob(f"*/??/{hashlib.sha256(b'x').hexdigest()}"))
    shown_before.keep(str(tmp_path), b"s" * (shown_before.MOST_BYTES_OF_ONE + 1), [b"y"], [])
    for at in range(4):
        other = MAKER._replace(records=(("/RECORD", str(at)),))
        monkeypatch.setattr(shown_before, "made_by", lambda *_, other=other: other)
        shown_before.keep(str(tmp_path), b"sheet", [b"x"], [])
    assert len([path for path in tmp_path.iterdir() if path.is_dir()]) == shown_before.MOST_MAKERS


def test_nothing_is_kept_where_nobody_set_up_or_somebody_else_did(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shown_before, "made_by", lambda *_: MAKER)
    shown_before.keep(str(tmp_path / "none"), b"sheet", [b"x"], [])
    (tmp_path / "link").symlink_to(tmp_path)
    shown_before.keep(str(tmp_path / "link"), b"sheet", [b"x"], [])
    monkeypatch.setattr(os, "geteuid", lambda: os.getuid() + 1)
    shown_before.keep(str(tmp_path), b"sheet", [b"x"], [])
    assert [path.name for path in tmp_path.iterdir()] == ["link"]


def test_the_script_stands_where_no_commit_can_put_one(kitchen: Shown) -> None:
    """The git folder, by its whole path; a folder of that name elsewhere is not looked into."""
    setup = setup_for(kitchen.top / "formulas")
    assert setup.sheets == kitchen.sheets
    assert f"command . {kitchen.sheets}/find " in setup.config["diff.perflour.textconv"]
    with pytest.raises(AssertionError, match=r"(?i)invalid path"):
        blob = git(kitchen.top, "hash-object", "-w", FORMULA).strip()
        git(kitchen.top, "update-index", "--add", "--cacheinfo", f"100644,{blob},.git/perflour/sheets/find")  # fmt: skip


def test_setup_knows_of_the_folder(kitchen: Shown) -> None:
    git(kitchen.top, "config", "diff.perflour.textconv", setup_for(kitchen.top).config["diff.perflour.textconv"])  # fmt: skip
    shutil.rmtree(kitchen.sheets)
    lacking = run_cli("git-setup", "--check", cwd=kitchen.top)
    assert (lacking.code, lacking.out) == (
        1,
        ".git/perflour/sheets: nothing of perflour; run git-setup\n",
    )
    assert run_cli("git-setup", cwd=kitchen.top).out.splitlines() == [
        ".git/perflour/sheets: sheets that were shown are kept here",
        "ratio sheets by formulas/house.yaml",
    ]
    kitchen.shown()
    undone = run_cli("git-setup", "--undo", cwd=kitchen.top)
    assert undone.out.splitlines()[-1] == ".git/perflour/sheets: removed"
    assert not list((kitchen.top / ".git").glob("perflour/sheets*"))
