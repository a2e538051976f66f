"""The one module that starts git."""

import os
import re
from collections.abc import Callable
from contextlib import suppress

from perflour.result import CannotRun
from perflour.typed import IO, TYPE_CHECKING, TypeVar

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
T = TypeVar("T")
# So many bytes git may print before it waits for whoever asked, where the system lets it.
_ROOM = 1 << 20


def run_git(
    words: list[str], stdin: bytes | None = None, patterns: bool = False
) -> "subprocess.CompletedProcess[bytes]":
    """Run git; only with ``patterns`` a path may be one."""
    return start_git(words, stdin, patterns)()


def start_git(
    words: list[str], stdin: bytes | None = None, patterns: bool = False
) -> "Callable[[], subprocess.CompletedProcess[bytes]]":
    """Start git, which works while other things are done; the function waits until it is done.

    Nobody may come for the answer: what git is asked then is to change nothing.
    """
    process = _started(words, stdin, patterns)

    def answer() -> "subprocess.CompletedProcess[bytes]":
        from subprocess import CompletedProcess

        with process:
            out, err = process.communicate()
        return CompletedProcess(process.args, process.returncode, out, err)

    return answer


def start_reading(
    words: list[str], stdin: bytes, read: "Callable[[IO[bytes]], T | None]"
) -> "Callable[[], T | None]":
    """The same, with what git prints taken apart as it comes; None where ``read`` breaks off with that, or git fails."""
    process = _started(words, stdin, hears=False)

    def answer() -> "T | None":
        assert process.stdout  # asked for
        with process:
            found = read(process.stdout)
            if found is None:
                process.kill()
        return found if process.returncode == 0 else None

    return answer


def _started(
    words: list[str], stdin: bytes | None = None, patterns: bool = False, hears: bool = True
) -> "subprocess.Popen[bytes]":
    """Git at work; ``hears`` what it complains of."""
    import subprocess  # a diff of two files does without: docs/performance.md

    try:
        process = subprocess.Popen(
            ["git", *_SETTINGS, *words],
            stdin=None if stdin is None else subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE if hears else subprocess.DEVNULL,
            env=_variables(patterns),
        )
    except FileNotFoundError:
        raise CannotRun("git is not installed or not on the PATH; install it") from None
    with suppress(ImportError, AttributeError, OSError):  # another system, or no room left
        from fcntl import F_SETPIPE_SZ, fcntl

        fcntl(process.stdout, F_SETPIPE_SZ, _ROOM)  # type: ignore[arg-type]
    if process.stdin:
        from threading import Thread  # git may print before it has read all

        Thread(target=_hand_over, args=(process.stdin, stdin), daemon=True).start()
        process.stdin = None
    return process


def _hand_over(pipe: "IO[bytes]", text: bytes) -> None:
    with suppress(OSError), pipe:
        pipe.write(text)


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
