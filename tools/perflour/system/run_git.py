"""The one module that starts git."""

import os
import re
from collections.abc import Callable
from pathlib import Path

from perflour.result import CannotRun
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    import subprocess

# The variables of git that say where the repository is, and a person's settings; no other counts.
_KEPT_VARIABLES = (  # compiled where there is one of git at all: docs/performance.md
    "GIT_(DIR|WORK_TREE|INDEX_FILE|COMMON_DIR|OBJECT_DIRECTORY|ALTERNATE_OBJECT_DIRECTORIES|QUARANTINE_PATH"
    "|CEILING_DIRECTORIES|DISCOVERY_ACROSS_FILESYSTEM|EXEC_PATH|CONFIG.*)"
)
# A folder of a commit that looks like a repository is none, and nothing but git itself is started.
_SETTINGS = (
    "-c", "safe.bareRepository=explicit", "-c", "core.fsmonitor=false", "-c", "diff.ignoreSubmodules=all",
    "-c", f"diff.orderFile={os.devnull}", "-c", "core.bigFileThreshold=4m",
)  # fmt: skip
_NO_GIT = "git is not installed or not on the PATH; install it"


def run_git(
    words: list[str], stdin: bytes | None = None, patterns: bool = False
) -> "subprocess.CompletedProcess[bytes]":
    """Run git; only with ``patterns`` a path may be one."""
    import subprocess  # a diff of two files does without: docs/performance.md

    try:
        return subprocess.run(
            ["git", *_SETTINGS, *words],
            input=stdin,
            capture_output=True,
            env=_variables(patterns),
            check=False,
        )
    except FileNotFoundError:
        raise CannotRun(_NO_GIT) from None


def meanwhile(folder: Path, *words: str) -> Callable[[], bytes]:
    """Start git, which works while other things are done; the function waits for what it prints.

    For answers of a few lines, and for what changes nothing, as nobody may come for it. The function raises
    CannotRun where git fails.
    """
    import subprocess

    command = ["git", *_SETTINGS, "-C", str(folder), *words]
    quiet, told = subprocess.DEVNULL, subprocess.PIPE
    try:
        started = subprocess.Popen(
            command, stdin=quiet, stdout=told, stderr=quiet, env=_variables()
        )
    except FileNotFoundError:
        raise CannotRun(_NO_GIT) from None

    def answer() -> bytes:
        content, _ = started.communicate()
        if started.returncode:
            raise CannotRun(f"git {words[0]} failed")
        return content

    return answer


def _variables(patterns: bool = False) -> dict[str, str]:
    """The variables that git is run with, none of a person's but those that say where the repository is."""
    environment = {
        **_environment(),
        "LC_ALL": "C",
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_NO_REPLACE_OBJECTS": "1",
        "GIT_GRAFT_FILE": os.devnull,
        "GIT_LITERAL_PATHSPECS": "0" if patterns else "1",
    }
    if "GIT_WORK_TREE" not in environment:
        # in a hook of a linked work tree git sets it, and then takes any folder for the top
        environment.pop("GIT_DIR", None)
    return environment


def _environment() -> dict[str, str]:
    variables = os.environ.items()
    return {k: v for k, v in variables if k[:4] != "GIT_" or re.fullmatch(_KEPT_VARIABLES, k)}
