"""What ratio sheets cost `git log -p`, in one interleaved run against `cat` and no conversion at all.

Builds a repository of 200 commits on one formula in a temporary folder, each commit with another amount.
Git starts the conversion for both sides of every commit it shows. Prints medians, what one commit costs
more than without conversion, and the same with git's cache of conversions filled:

    python benchmarks/git_log.py [--commits 200] [--rounds 5]

Run it with the Python of an installed perflour with compiled files: git-setup records that one.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from measuring import ROOT, medians

FORMULA = ROOT / "formulas" / "rye-ginger-cookie" / "formula.yaml"
KEY = "diff.perflour.textconv"
ENVIRONMENT = {
    **os.environ,
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_SYSTEM": os.devnull,
    "GIT_PAGER": "cat",
    **{
        f"GIT_{who}_{what}": "bench"
        for who in ("AUTHOR", "COMMITTER")
        for what in ("NAME", "EMAIL")
    },
}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--commits", type=int, default=200)
    parser.add_argument("--rounds", type=int, default=5)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        repository = Path(folder)
        _build(repository, options.commits)
        took = medians(_runs(repository), options.rounds)
    plain = took["no conversion"]
    print(f"git log -p, {options.commits} commits on one formula, median of {options.rounds}")
    for name, median in took.items():
        each_ms = (median - plain) / options.commits * 1000
        print(f"{name:<22}{median:8.2f} s{each_ms:9.2f} ms more a commit")
    ratio = (took["ratio sheets"] - plain) / (took["cat"] - plain)
    print(f"ratio sheets / cat    {ratio:8.1f}")
    return 0


def _run(repository: Path, *words: str, stdin: str | None = None) -> None:
    subprocess.run(
        words,
        cwd=repository,
        input=None if stdin is None else stdin.encode(),
        stdout=subprocess.DEVNULL,
        env=ENVIRONMENT,
        check=True,
    )


def _build(repository: Path, commits: int) -> None:
    _run(repository, "git", "init", "-q", "-b", "main")
    text = FORMULA.read_text(encoding="utf-8")
    first = text.index("amount: ")
    stream = []
    for at in range(commits):
        amount = f"amount: {300 + at} g"
        content = text[:first] + amount + text[_end(text, first) :]
        size = len(content.encode())
        stream.append(
            f"commit refs/heads/main\ncommitter A <a@example.org> {at} +0000\ndata 1\nx\n"
            f"M 100644 inline formulas/trial/formula.yaml\ndata {size}\n{content}\n"
        )
    _run(repository, "git", "fast-import", "--quiet", stdin="".join(stream))
    _run(repository, "git", "checkout", "-q", "main")
    _run(repository, sys.executable, "-m", "perflour", "git-setup")


def _end(text: str, start: int) -> int:
    """Where the amount that starts there ends."""
    return min(at for sign in ",}\n" if (at := text.find(sign, start)) >= 0)


def _runs(repository: Path) -> dict[str, Callable[[], None]]:
    ours = subprocess.run(
        ["git", "config", KEY], cwd=repository, capture_output=True, env=ENVIRONMENT, check=True
    ).stdout.decode()
    log = ("git", "log", "-p")
    with_cat = ("git", "-c", f"{KEY}=cat", "log", "-p")
    cached = ("git", "-c", f"{KEY}={ours.rstrip()}", "-c", "diff.perflour.cachetextconv=true")
    return {
        "no conversion": lambda: _run(repository, *log, "--no-textconv"),
        "cat": lambda: _run(repository, *with_cat),
        "ratio sheets": lambda: _run(repository, *log),
        "ratio sheets, cached": lambda: _run(repository, *cached, "log", "-p"),
    }


if __name__ == "__main__":
    sys.exit(main())
