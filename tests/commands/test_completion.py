"""Shell completion: bash itself completes with the script; the others' scripts are read by their shells."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from perflour.cli import _COMMANDS
from tests.conftest import run_cli

ASK = """source script.bash
words=("$@")
complete -p perflour | grep -q -- "-F _shtab_perflour" || exit 3
COMP_WORDS=("${words[@]}"); COMP_CWORD=$((${#words[@]} - 1)); COMP_LINE="${words[*]}"
COMP_POINT=${#COMP_LINE}; COMPREPLY=()
_shtab_perflour perflour "${words[COMP_CWORD]}" "${words[COMP_CWORD - 1]}"
printf '%s\\n' "${COMPREPLY[@]}"
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("completion")
    script = run_cli("completion", "bash", cwd=folder)
    assert (script.code, script.err) == (0, "")
    (folder / "script.bash").write_text(script.out, encoding="utf-8")
    (folder / "formulas").mkdir()
    return folder


def offered(folder: Path, *words: str) -> set[str]:
    """What bash offers for the last of the words."""
    done = subprocess.run(
        ["bash", "-c", ASK, "ask", "perflour", *words], cwd=folder, capture_output=True, check=False
    )
    assert done.stderr == b""
    return set(done.stdout.decode().split())


@pytest.mark.skipif(not shutil.which("bash"), reason="needs bash")
@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("",), set(_COMMANDS)),
        (("changel",), {"changelog"}),
        (("lint", "--fi"), {"--fix"}),
        (("bake", "ne"), {"new"}),
        (("new", "kitchen", "--ci", ""), {"github", "gitlab", "none"}),
        (("show", "--output", "j"), {"json"}),
        (("lint", "for"), {"formulas"}),
        (("bake", "new", "for"), {"formulas"}),
        (("import", "--into", "for"), {"formulas"}),
        (("explain", "soda"), {"soda-without-acid"}),
        (("lint", "--nothing-like-it"), set()),
    ],
)
def test_bash_completes(folder: Path, words: tuple[str, ...], expected: set[str]) -> None:
    assert offered(folder, *words) == expected


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_every_command_is_in_the_script_and_the_shell_reads_it(folder: Path, shell: str) -> None:
    script = run_cli("completion", shell, cwd=folder).out
    assert all(command in script for command in _COMMANDS)
    if not shutil.which(shell):
        pytest.skip(f"{shell} is not here to read it")
    done = subprocess.run([shell, "-n"], input=script.encode(), capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")


def test_another_shell_is_refused(folder: Path) -> None:
    done = run_cli("completion", "ed", cwd=folder)
    assert done.code == 2
    assert "write one of bash, zsh, fish" in done.err
