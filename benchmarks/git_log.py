"""What ratio sheets cost `git log -p`, in one interleaved run against `cat` and no conversion at all.

Builds a repository of 200 commits on one formula in a temporary folder, each commit with another amount.
Git starts the conversion for both sides of every commit it shows. Prints medians of time and of processor time, of
git and all that it starts: what one blob costs more than without conversion, and that over what `cat` costs:

    python benchmarks/git_log.py [--commits 200] [--rounds 5]

`seen before` is what the bar is for: at most 3 times `cat`. The least a shell can do at all is `a shell, cat`, and
`a shell, a checksum, cat` the least where nobody says which blob it is: git hands over a copy. Measured: the least 2.2 to 2.6
times `cat`, sheets 2.4 to 2.8, of time and of the processor's.

Then `git show` of one commit with 20 formulas, none of them seen before, beside the same by the command line, which
looks for nothing and keeps nothing; with the bar that it costs a few percent more at most.

Run it with the Python of an installed perflour with compiled files: git-setup records that one. Where perflour runs
from its sources the shell compares the times of some 80 files, too.
"""

from __future__ import annotations

import argparse
import os
import resource
import shlex
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path

from measuring import ROOT, seconds

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
#: How many formulas the last commit has.
NEW = 20
LOG, SHOW = ("log", "-p", "main"), ("show", "new")
COMMAND_LINE = shlex.join([sys.executable, "-P", "-c", "from perflour.cli import console; console()"])  # fmt: skip
CHECKSUM = 'f() { sum=$(sha256sum -- "$1"); exec cat -- "$1"; }; f'

#: Seconds, and processor seconds.
Spent = tuple[float, float]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--commits", type=int, default=200)
    parser.add_argument("--rounds", type=int, default=5)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        repository = Path(folder)
        _build(repository, options.commits)
        _fill(repository)
        seen = _medians(_runs_seen(repository), options.rounds)
        new = _medians(_runs_new(repository), options.rounds)
    print(f"git log -p, {options.commits} commits on one formula, median of {options.rounds}")
    _print(seen, 2 * options.commits - 1, "cat", {"sheets seen before": "at most 3"})
    print(f"git show, {NEW} formulas of one commit")
    _print(new, NEW, "by the command line", {"sheets first seen": "at most 1.05"})
    return 0


def _print(took: Mapping[str, Spent], blobs: int, peer: str, bars: Mapping[str, str]) -> None:
    print(
        f"{'':<26}{'time':>9}{'a blob':>11}{'ratio':>7}{'processor':>11}{'a blob':>11}{'ratio':>7}"
    )
    for name, spent in took.items():
        cells = ""
        for value, plain, by_peer in zip(spent, took["no conversion"], took[peer], strict=True):
            each_ms = (value - plain) / blobs * 1000
            cells += f"{value:9.2f} s{each_ms:8.2f} ms{(value - plain) / (by_peer - plain):7.2f}"
        print(f"{name:<26}{cells}{f'  {bars[name]}' if name in bars else ''}")


def _medians(runs: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, Spent]:
    """The medians of each run, interleaved; the first, cold round does not count."""
    spent: dict[str, list[Spent]] = {name: [] for name in runs}
    for _ in range(rounds + 1):
        for name, run in runs.items():
            before = _processor()
            took = seconds(run)
            spent[name].append((took, _processor() - before))
    return {
        name: (statistics.median(t for t, _ in rows[1:]), statistics.median(c for _, c in rows[1:]))
        for name, rows in spent.items()
    }


def _processor() -> float:
    """Seconds of processor time that all who were started and ended have taken."""
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def _run(repository: Path, *words: str, stdin: str | None = None) -> bytes:
    return subprocess.run(
        words,
        cwd=repository,
        input=None if stdin is None else stdin.encode(),
        stdout=subprocess.PIPE,
        env=ENVIRONMENT,
        check=True,
    ).stdout


def _build(repository: Path, commits: int) -> None:
    _run(repository, "git", "init", "-q", "-b", "main")
    path = "formulas/trial/formula.yaml"
    stream = [_commit("main", at) + _file(path, 300 + at) for at in range(commits)]
    stream.append(_commit("new", commits))
    stream += [_file(f"formulas/new-{at}/formula.yaml", 3000 + at) for at in range(NEW)]
    _run(repository, "git", "fast-import", "--quiet", stdin="".join(stream))
    _run(repository, "git", "checkout", "-q", "main")
    _run(repository, sys.executable, "-m", "perflour", "git-setup")


def _commit(branch: str, at: int) -> str:
    return f"commit refs/heads/{branch}\ncommitter A <a@example.org> {at} +0000\ndata 1\nx\n"


def _file(path: str, grams: int) -> str:
    text = FORMULA.read_text(encoding="utf-8")
    first = text.index("amount: ")
    content = f"{text[:first]}amount: {grams} g{text[_end(text, first) :]}"
    return f"M 100644 inline {path}\ndata {len(content.encode())}\n{content}\n"


def _end(text: str, start: int) -> int:
    """Where the amount that starts there ends."""
    return min(at for sign in ",}\n" if (at := text.find(sign, start)) >= 0)


def _fill(repository: Path) -> None:
    """Have all sheets made and kept, which nothing is in the first seconds after an installation."""
    made = _run(repository, "git", "-c", f"{KEY}={COMMAND_LINE} git-sheet --house= --", *LOG)
    while not (_kept(repository) / "find").exists():
        time.sleep(1)
        _run(repository, "git", *SHOW)
    for found in (_run(repository, "git", *LOG), _run(repository, "git", *LOG)):
        if found != made:
            raise SystemExit("a sheet that was kept is not the one that the command line prints")


def _kept(repository: Path) -> Path:
    return repository / ".git" / "perflour" / "sheets"


def _runs_seen(repository: Path) -> dict[str, Callable[[], object]]:
    git = ("git",)

    def by(command: str) -> Callable[[], object]:
        return lambda: _run(repository, *git, "-c", f"{KEY}={command}", *LOG)

    return {
        "no conversion": lambda: _run(repository, *git, *LOG, "--no-textconv"),
        "cat": by("cat"),
        "a shell, cat": by("exec cat"),
        "a shell, a checksum, cat": by(CHECKSUM),
        "sheets seen before": lambda: _run(repository, *git, *LOG),
    }


def _runs_new(repository: Path) -> dict[str, Callable[[], object]]:
    def first_seen() -> None:
        for folder in _kept(repository).glob("*/[0-9a-f][0-9a-f]"):
            shutil.rmtree(folder)
        _run(repository, "git", *SHOW)

    line = f"{KEY}={COMMAND_LINE} git-sheet --house= --"
    return {
        "no conversion": lambda: _run(repository, "git", *SHOW, "--no-textconv"),
        "by the command line": lambda: _run(repository, "git", "-c", line, *SHOW),
        "sheets first seen": first_seen,
    }


if __name__ == "__main__":
    sys.exit(main())
