"""A review of a branch that changes two hundred formulas: what it takes, and how many lines it prints.

    python benchmarks/review_branch.py [--formulas 200] [--rounds 3]

Each is held against `lint --forget` and `diff` of the same files in the same rounds, at most 1.0 x both together: both
sides are linted, and each formula is weighed once for lint and the comparison. By the clock 0.79 x
were measured as text, 0.76 x as Markdown, 0.84 x as JSON, in processor time about 0.98, 0.96 and 1.03.
"""

from __future__ import annotations

import argparse
import subprocess
import tempfile
from pathlib import Path

from growth import GIT
from measuring import costs, process
from release_log import LOAF, PERFLOUR, _bake

FORMS = ("text", "markdown", "json")


def lay_out(folder: Path, formulas: int) -> None:
    """A repository of two commits: every formula is sweeter at the end, and baked."""
    _git(folder, "init", "-q", "-b", "main")
    for at_end in (False, True):
        for number in range(formulas):
            sugar = 120 + number % 50 + (15 if at_end else 0)
            text = LOAF.format(id=f"loaf-{number}", number=number, status="testing", each=(493 + sugar) // 2, sugar=sugar, corrections="")  # fmt: skip
            path = folder / "formulas" / f"loaf-{number}" / "formula.yaml"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            _bake(path, text)
        _git(folder, "add", "-A")
        _git(folder, "commit", "-qm", "Bake")


def _git(folder: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=folder, env=GIT, check=True, capture_output=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--formulas", type=int, default=200)
    parser.add_argument("--rounds", type=int, default=3)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        lay_out(folder, options.formulas)
        words = {form: ["review", "HEAD~1..HEAD", "--output", form] for form in FORMS}
        runs = {form: process([*PERFLOUR, *said], folder) for form, said in words.items()}
        runs["lint"] = process([*PERFLOUR, "lint", "--forget"], folder)
        runs["diff"] = process([*PERFLOUR, "diff", "HEAD~1", "HEAD"], folder)
        took = costs(runs, options.rounds)
        both = [took["lint"][at] + took["diff"][at] for at in (0, 1)]
        print(f"| review of {options.formulas} changed formulas | s | times lint and diff | of processor time | lines |\n| --- | --- | --- | --- | --- |")  # fmt: skip
        for form, said in words.items():
            done = subprocess.run([*PERFLOUR, *said], cwd=folder, capture_output=True, check=False)
            lines = len(done.stdout.splitlines())
            cpu_s, wall_s = took[form]
            print(f"| `--output {form}` | {wall_s:.2f} | {wall_s / both[1]:.2f} | {cpu_s / both[0]:.2f} | {lines} |")  # fmt: skip


if __name__ == "__main__":
    main()
