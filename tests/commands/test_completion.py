"""Shell completion: bash itself completes with the script; the others' scripts are read by their shells."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from perflour.cli import _COMMANDS, _OF_GIT
from perflour.commands.completion import SHELLS
from perflour.commands.parts import EVERYWHERE
from perflour.report.forms import forms_of
from tests.conftest import run_cli

TYPED = set(_COMMANDS) - set(_OF_GIT)
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
        (("",), TYPED),
        (("git",), {"git-setup"}),
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


@pytest.mark.parametrize("shell", SHELLS)
def test_every_command_is_in_the_script_and_the_shell_reads_it(folder: Path, shell: str) -> None:
    script = run_cli("completion", shell, cwd=folder).out
    assert all(command in script for command in TYPED)
    assert not any(command in script for command in _OF_GIT)
    if shell == "powershell":  # has no such check; it is read below
        return
    if not shutil.which(shell):
        pytest.skip(f"{shell} is not here to read it")
    done = subprocess.run([shell, "-n"], input=script.encode(), capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")


def test_another_shell_is_refused(folder: Path) -> None:
    done = run_cli("completion", "ed", cwd=folder)
    assert done.code == 2
    assert "write one of bash, zsh, fish" in done.err


@pytest.fixture(scope="module")
def powershell(folder: Path) -> str:
    return run_cli("completion", "powershell", cwd=folder).out


def test_the_script_for_powershell_is_powershell(powershell: str) -> None:
    """By the grammar that editors colour it with: no PowerShell runs on most machines of ours."""
    from tree_sitter import Language, Parser
    from tree_sitter_powershell import language

    parser = Parser(Language(language()))
    assert not parser.parse(powershell.encode()).root_node.has_error
    broken = powershell.replace("$said = @(", "$said = @((", 1)
    assert parser.parse(broken.encode()).root_node.has_error


def test_the_script_for_powershell_knows_what_may_follow(powershell: str) -> None:
    rows = re.findall(r"^        '(.*?)' = @\((.*)\)$", powershell, re.MULTILINE)
    follow = {words: re.findall(r"'(.*?)'", row) for words, row in rows}
    assert set(follow[""]) == {
        *TYPED,
        "-h",
        "--help",
        "--version",
        *(flag for flags, _ in EVERYWHERE for flag in flags),
    }
    named = [word for word in follow["bake"] if word[0] != "-"]
    assert named == ["new", "list", "check", "session", "sheets", "answers", "judge"]
    assert "--scores" in follow["bake new"]
    assert follow["bake new --verdict"] == ["keep", "change", "reject"]
    assert "soda-without-acid" in follow["explain"]
    assert follow["lint --output"] == list(forms_of("lint"))
    assert "lint --baseline" not in follow  # a file: PowerShell offers those by itself


@pytest.mark.skipif(not shutil.which("pwsh"), reason="needs PowerShell")
def test_powershell_completes(folder: Path, powershell: str) -> None:
    (folder / "script.ps1").write_text(powershell, encoding="utf-8")
    for line, expected in (
        ("perflour changel", ["changelog"]),
        ("perflour lint --fi", ["--fix"]),
        ("perflour bake new formulas --verdict ", ["keep", "change", "reject"]),
    ):
        ask = f"[System.Management.Automation.CommandCompletion]::CompleteInput('{line}', {len(line)}, $null)"
        typed = f". ./script.ps1; ({ask}).CompletionMatches.CompletionText"
        done = subprocess.run(
            ["pwsh", "-NoProfile", "-Command", typed], cwd=folder, capture_output=True, check=True
        )
        assert done.stdout.decode().split() == expected
