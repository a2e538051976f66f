"""What keeps perflour running where this suite does not run: Windows, macOS, odd locales, other line ends."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from perflour.system import writing
from tests.conftest import GIT_ENVIRONMENT, ROOT, formula_text, run_cli

PACKAGE = ROOT / "tools" / "perflour"
#: Modules of Python that are not on every system (the library reference names each as "Availability: Unix").
POSIX_ONLY = {"fcntl", "grp", "posix", "pty", "pwd", "readline", "resource", "syslog", "termios", "tty"}  # fmt: skip
#: Names of modules that are not in them everywhere.
POSIX_NAMES = {
    "os": {"fork", "forkpty", "getuid", "geteuid", "getgid", "mkfifo", "chown", "setsid", "killpg", "wait4", "waitid", "sched_getaffinity", "O_NOFOLLOW", "O_DIRECTORY", "O_NONBLOCK", "O_CLOEXEC"},
    "signal": {"SIGPIPE", "SIGALRM", "SIGKILL", "SIGHUP", "SIGWINCH", "alarm", "setitimer", "pthread_sigmask"},
}  # fmt: skip
GUARDS = ("hasattr", "getattr", "ImportError", "AttributeError", "os.name", "sys.platform")


def posix_words(path: Path) -> Iterator[str]:
    """Each word of one system alone that no guard stands before in its function."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    inside: dict[ast.AST, ast.AST] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            inside |= dict.fromkeys(ast.walk(node), node)
    for node in ast.walk(tree):
        for word in words_of(node):
            function = inside.get(node)
            text = ast.unparse(function) if function else ""
            if not any(guard in text for guard in GUARDS):
                yield f"{path.relative_to(PACKAGE)}:{getattr(node, 'lineno', 0)} {word}"


def words_of(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [one.name for one in node.names if one.name.split(".")[0] in POSIX_ONLY]
    if isinstance(node, ast.ImportFrom):
        names = POSIX_NAMES.get(node.module or "", set())
        whole = [node.module] if node.module in POSIX_ONLY else []
        return [*filter(None, whole), *(one.name for one in node.names if one.name in names)]
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
        return [node.attr] if node.attr in POSIX_NAMES.get(node.value.id, set()) else []
    return []


#: Called only where the function that calls it has looked: a fork is asked for once, in parallel._started.
LOOKED_BEFORE = {"fork"}


def test_what_one_system_lacks_is_asked_for_first() -> None:
    found = [word for path in sorted(PACKAGE.rglob("*.py")) for word in posix_words(path)]
    assert [word for word in found if word.split()[-1] not in LOOKED_BEFORE] == []
    assert [word.split(":")[0] for word in found] == ["system/parallel.py"] * len(found)


@pytest.mark.parametrize(
    ("source", "faults"),
    [
        ("import fcntl", 1),
        ("def f():\n    import pwd", 1),
        ("def f():\n    try:\n        import fcntl\n    except ImportError:\n        pass", 0),
        ("import os\nos.getuid()", 1),
        ("import os\ndef f():\n    return os.getuid() if hasattr(os, 'getuid') else 0", 0),
        ("from signal import SIGPIPE", 1),
    ],
)
def test_the_search_finds_what_it_looks_for(
    source: str, faults: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.modules[__name__], "PACKAGE", tmp_path)
    (tmp_path / "one.py").write_text(source, encoding="utf-8")
    assert len(list(posix_words(tmp_path / "one.py"))) == faults


def test_no_file_is_moved_while_it_is_open_where_there_are_no_locks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows moves no open file and opens no folder: Python's documentation of os.replace and os.open, from memory."""
    monkeypatch.setitem(sys.modules, "fcntl", None)
    usual, open_then = Path.replace, []

    def replace(self: Path, target: Path) -> Path:
        handles = Path("/proc/self/fd").iterdir()
        open_then.append([h for h in handles if os.path.realpath(h) == os.path.realpath(self)])
        return usual(self, target)

    def opened(path: str | Path, *words: int, **said: int) -> int:
        assert not os.path.isdir(path)
        return usual_open(path, *words, **said)

    usual_open = os.open
    monkeypatch.setattr(Path, "replace", replace)
    monkeypatch.setattr(os, "open", opened)
    writing.write_file(tmp_path / "note.md", b"one")
    writing.write_file(tmp_path / "note.md", b"two")
    writing.write_new_folder(tmp_path / "new", {"a/b.txt": b"three"})
    assert (tmp_path / "note.md").read_bytes() == b"two"
    assert (tmp_path / "new" / "a" / "b.txt").read_bytes() == b"three"
    assert open_then == [[], []]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["new", "note.md"]


COMMANDS = [
    ["lint", "formulas"],
    ["show", "formulas/rye-poolish-loaf"],
    ["format", "--check", "formulas"],
    ["changelog", "formulas", "--check"],
    ["contents", "formulas"],
    ["diff", "HEAD~3"],
    ["lint", "br\u00f6tchen"],
]


@pytest.fixture(scope="module")
def clones(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The demo as it is, and as git lays it out with line ends of Windows; both hold a file that says something."""
    folder = tmp_path_factory.mktemp("clones")
    for name, ends in (("lf", "false"), ("crlf", "true")):
        words = ["git", "clone", "-q", "-c", f"core.autocrlf={ends}", str(ROOT), name]
        subprocess.run(words, cwd=folder, env=GIT_ENVIRONMENT, check=True)
        where = folder / name
        attributes = "" if ends == "false" else "* text=auto eol=crlf\n"
        (where / ".git" / "info").mkdir(exist_ok=True)
        (where / ".git" / "info" / "attributes").write_text(attributes, encoding="utf-8")
        for path in where.glob("formulas/**/*"):
            if path.is_file():
                path.unlink()
        subprocess.run(["git", "checkout", "-q", "--", "formulas"], cwd=where, env=GIT_ENVIRONMENT, check=True)  # fmt: skip
        (where / "br\u00f6tchen").mkdir()
        text = formula_text("{item: flour, amount: 100 g}").replace("\n", "\r\n" if ends == "true" else "\n")  # fmt: skip
        (where / "br\u00f6tchen" / "formula.yaml").write_bytes(text.encode())
    return folder / "lf", folder / "crlf"


def test_line_ends_of_windows_say_the_same(clones: tuple[Path, Path]) -> None:
    one, other = clones
    assert b"\r\n" in (other / "formulas" / "house.yaml").read_bytes()
    for words in COMMANDS:
        assert run_cli(*words, cwd=one) == run_cli(*words, cwd=other), words
    before = (other / "formulas" / "oat-date-loaf" / "formula.yaml").read_bytes()
    assert run_cli("format", "formulas", cwd=other).code == 0
    assert (other / "formulas" / "oat-date-loaf" / "formula.yaml").read_bytes() == before


def test_a_locale_without_letters_says_the_same(clones: tuple[Path, Path]) -> None:
    """Standard output and error are UTF-8 whatever the locale; a name that the locale cannot read is escaped."""
    bare = {**GIT_ENVIRONMENT, "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    for words in COMMANDS[:4]:
        told = [
            subprocess.run([sys.executable, "-m", "perflour", *words], cwd=clones[0], env=env, capture_output=True, check=False)
            for env in (GIT_ENVIRONMENT, bare)
        ]  # fmt: skip
        assert (told[0].returncode, told[0].stdout, told[0].stderr) == (told[1].returncode, told[1].stdout, told[1].stderr), words  # fmt: skip


@pytest.mark.parametrize("id", ["con", "lpt1", "cons", "com10"])
def test_an_id_is_a_name_that_a_folder_can_have_everywhere(tmp_path: Path, id: str) -> None:
    """Microsoft, "Naming Files, Paths, and Namespaces" (from memory): COM and LPT with one digit are kept."""
    file = tmp_path / id / "formula.yaml"
    file.parent.mkdir()
    file.write_text(
        formula_text("{item: bread flour, amount: 1 kg}").replace(
            "formula: trial", f"formula: {id}"
        ),
        encoding="utf-8",
    )
    told = run_cli("lint", str(file), cwd=tmp_path).out
    assert ("kept by Windows" in told) == (id in ("con", "lpt1"))
