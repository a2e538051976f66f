"""A report that is longer than the screen, shown by pages: by the program that the environment names."""

from __future__ import annotations

import os
import signal
import sys

#: It ends by itself where all is seen, shows colours, and leaves what was read on the screen.
USUAL = ("less", "-FRX")
#: How a pager that is named alone behaves the same, unless its owner says otherwise.
USUAL_OF_LESS = "FRX"
_NONE = ("", "cat")
#: Ended by whoever reads: they have seen enough.
_BY_HAND = tuple(-getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGPIPE") if hasattr(signal, name))  # fmt: skip


def is_longer(text: str, width: int, height: int) -> bool:
    """Whether a text takes more lines than a screen has above its prompt."""
    rows = 0
    for line in text.splitlines():
        rows += max(1, -(-len(line) // width))
        if rows >= height:
            return True
    return False


def command() -> list[str]:
    """The words of the pager; none where there is none, or none is wanted."""
    for name in ("PERFLOUR_PAGER", "PAGER"):
        said = os.environ.get(name)
        if said is not None:
            return [] if said.strip() in _NONE else _words(said)
    from shutil import which

    return [*USUAL] if which(USUAL[0]) else []


def _words(said: str) -> list[str]:
    import shlex

    try:
        return shlex.split(said, posix=os.name != "nt")
    except ValueError:  # a quote without its other half
        return said.split()


def has_shown(content: bytes, words: list[str]) -> bool:
    """Show all of it and wait until it was read; False where the pager could not do that."""
    import subprocess

    sys.stdout.flush()
    environment = {**os.environ, "LESS": os.environ.get("LESS", USUAL_OF_LESS)}
    try:
        pager = subprocess.Popen(words, stdin=subprocess.PIPE, env=environment)
    except OSError:
        return False
    # a key that stops what the pager does is for the pager
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        pager.communicate(content)  # who leaves early breaks the pipe, which is no fault
    finally:
        signal.signal(signal.SIGINT, before)
    return pager.returncode == 0 or pager.returncode in _BY_HAND
