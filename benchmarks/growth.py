"""How processor time and memory grow with lines, steps, files and commits, as exponents.

An exponent of 1 is twice the time for twice the input; what every run pays makes it smaller. Each size is four
times the one before; the exponent is that of the last step, which is the steepest.

    python benchmarks/growth.py [lines] [steps] [files] [commits]
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from math import log
from pathlib import Path

RUN = "from perflour.cli import console; console()"
HEAD = "formula: {id}\ntitle: Trial\nclass: loaf-cake\nstatus: testing\nparts:\n  - part: dough\n    kind: dough\n    ingredients:\n"
FLOUR = "      - {item: all-purpose flour, amount: 500 g}\n"
VERBS = ("fold", "whisk", "beat", "stir", "mix", "cream", "rub", "sift")
GIT = {
    **os.environ, "GIT_AUTHOR_NAME": "A", "GIT_AUTHOR_EMAIL": "a@b.c", "GIT_COMMITTER_NAME": "A", "GIT_COMMITTER_EMAIL": "a@b.c",
    "GIT_CONFIG_GLOBAL": os.devnull,
}  # fmt: skip


def formula(lines: int = 5, steps: int = 5, word: str = "thing", id: str = "trial") -> str:
    rows = "".join(f"      - {{item: {word} {n}, amount: {n % 90 + 1} g}}\n" for n in range(lines))
    method = "".join(
        f"  - {{do: {VERBS[n % 8]}, note: {word} {n} until {n * 7 % 100}}}\n" for n in range(steps)
    )
    return HEAD.format(id=id) + FLOUR + rows + "method:\n" + method


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def two(folder: Path, first: str, second: str) -> None:
    """A repository of two commits of one formula; base.yaml and other.yaml beside it."""
    _git(folder, "init", "-q", "-b", "main")
    _write(folder / "third.yaml", first.replace("amount: 7 g", "amount: 8 g"))
    for name, text in (("base", first), ("other", second)):
        _write(folder / f"{name}.yaml", text)
        _write(folder / "formulas" / "trial" / "formula.yaml", text)
        _git(folder, "add", "-A")
        _git(folder, "commit", "-qm", name)


def of_lines(folder: Path, number: int) -> None:
    two(folder, formula(lines=number), formula(lines=number, word="other"))


def of_steps(folder: Path, number: int) -> None:
    two(folder, formula(steps=number), formula(steps=number, word="other"))


def of_files(folder: Path, number: int) -> None:
    _git(folder, "init", "-q", "-b", "main")
    for lines in (5, 6):
        for n in range(number):
            _write(
                folder / "formulas" / f"loaf-{n}" / "formula.yaml", formula(lines, id=f"loaf-{n}")
            )
        _git(folder, "add", "-A")
        _git(folder, "commit", "-qm", "Try")


def of_commits(folder: Path, number: int) -> None:
    _git(folder, "init", "-q", "-b", "main")
    for n in range(number):
        _write(folder / "formulas" / "trial" / "formula.yaml", formula(n % 20 + 1))
        _git(folder, "add", "-A")
        _git(folder, "commit", "-qm", f"Try {n}")


def of_recipe(folder: Path, number: int) -> None:
    _write(
        folder / "recipe.txt",
        "Loaf\n\n" + "".join(f"{n + 1} g flour\n" for n in range(number)) + "\nMix.\n",
    )


def _git(folder: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=folder, env=GIT, check=True, capture_output=True)


SIZES: dict[str, tuple[Callable[[Path, int], None], tuple[int, int, int], tuple[str, ...]]] = {
    "lines": (of_lines, (300, 1200, 4800), (
        "lint --forget", "show", "contents", "format --check", "scale formulas/trial --times 2", "diff base.yaml other.yaml",
            "changelog --forget", "review HEAD~1..HEAD", "release HEAD~1..HEAD", "draft --all --output html", "git-sheet base.yaml",
        "git-merge base.yaml third.yaml other.yaml formulas/trial/formula.yaml")),
    "steps": (of_steps, (125, 500, 2000), ("lint --forget", "show", "format --check", "diff base.yaml other.yaml", "changelog --forget", "review HEAD~1..HEAD")),
    "files": (of_files, (50, 200, 800), (
        "lint --forget --jobs 1", "show", "contents", "format --check", "changelog --forget --jobs 1", "review HEAD~1..HEAD", "release HEAD~1..HEAD")),
    "commits": (of_commits, (25, 100, 400), ("changelog --forget --jobs 1", "changelog --by commit --forget --jobs 1", "release HEAD~20..HEAD", "review HEAD~20..HEAD")),
    "lines of a recipe": (of_recipe, (300, 1200, 4800), ("import recipe.txt",)),
}  # fmt: skip


def used(folder: Path, words: list[str]) -> tuple[float, float]:
    """Processor seconds and most memory in MB of a run."""
    process = subprocess.Popen(
        [sys.executable, "-c", RUN, *words],
        cwd=folder,
        env=GIT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, status, usage = os.wait4(process.pid, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        raise SystemExit(f"{words}: could not run")
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def main() -> None:
    asked = sys.argv[1:] or list(SIZES)
    print(
        "| of | command | s at the most | MB | exponent of time | of memory |\n| --- | --- | --- | --- | --- | --- |"
    )
    for of in asked:
        lay_out, sizes, commands = SIZES[of]
        found: dict[str, list[tuple[float, float]]] = {command: [] for command in commands}
        for size in sizes[1:]:
            with tempfile.TemporaryDirectory() as name:
                lay_out(Path(name), size)
                for command in commands:
                    found[command].append(min(used(Path(name), command.split()) for _ in range(2)))
        for command, ((was_s, was_mb), (s, mb)) in found.items():
            times = log(sizes[2] / sizes[1])
            print(
                f"| {sizes[2]} {of} | `{command}` | {s:.2f} | {mb:.0f} | {log(s / was_s) / times:.2f} | {log(mb / was_mb) / times:.2f} |",
                flush=True,
            )


if __name__ == "__main__":
    main()
