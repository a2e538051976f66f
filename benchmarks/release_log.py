"""A release of a hundred formulas: what its logs take, and how many lines they print.

    python benchmarks/release_log.py [--rounds 5]

Forty formulas are as before, twenty changed, five of them corrected, ten are new, twenty in work and ten retired. All that
go out were baked and have a changelog, so that nothing blocks them. Each log is held against `lint --forget` of the same files in the same rounds, since every formula
that goes out is linted.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path

from growth import GIT, RUN
from measuring import medians, process

from perflour.formula.digests import digest
from perflour.formula.file import read_formula

LOAF = """\
formula: {id}
title: Loaf {number}
class: loaf-cake
status: {status}
yield: {{pieces: 2, piece: loaf, scaling-weight: {each} g}}
parts:
  - part: batter
    ingredients:
      - {{item: all-purpose flour, amount: 300 g}}
      - {{item: dark brown sugar, amount: {sugar} g}}
      - {{item: egg, amount: 100 g}}
      - {{item: buttermilk, amount: 90 g}}
      - {{item: baking soda, amount: 3 g}}
method:
  - {{do: preheat, to: 175 °C}}
  - {{do: mix, uses: [all-purpose flour, dark brown sugar, egg, buttermilk, baking soda]}}
  - {{do: line, into: 2 loaf pans 16 x 9 x 7 cm}}
  - {{do: bake, at: 175 °C, for: 30-35 min, until: a skewer comes out clean}}
  - {{do: cool, on: wire rack, for: 60 min}}
{corrections}"""
CORRECTION = "corrections: [{item: dark brown sugar, because: too little was printed}]\n"
#: How many, their status at the start and at the end, and what is more of the sugar at the end.
KINDS = (
    (40, "approved", "approved", 0),
    (20, "approved", "approved", 15),
    (10, "testing", "approved", 0),
    (20, "testing", "testing", 5),
    (10, "approved", "retired", 0),
)
PERFLOUR = [sys.executable, "-c", RUN]
AUDIENCES = ("team", "readers", "editor")


def lay_out(folder: Path) -> None:
    """A repository of two commits."""
    _git(folder, "init", "-q", "-b", "main")
    kinds = [kind for kind in KINDS for _ in range(kind[0])]
    for at_end in (False, True):
        for number, (_, before, after, more) in enumerate(kinds):
            sugar = 120 + number + (more if at_end else 0)
            text = LOAF.format(
                id=f"loaf-{number}",
                number=number,
                status=after if at_end else before,
                each=(493 + sugar) // 2,
                sugar=sugar,
                corrections=CORRECTION if at_end and more == 15 and number % 4 == 0 else "",
            )
            path = folder / "formulas" / f"loaf-{number}" / "formula.yaml"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            _bake(path, text)
        _git(folder, "add", "-A")
        _git(folder, "commit", "-qm", "Bake")
        process([*PERFLOUR, "changelog", "--write", "formulas"], folder)()
        _git(folder, "add", "-A")
        _git(folder, "commit", "-qm", "Release")


def _bake(path: Path, text: str) -> None:
    """A record that keeps exactly this revision, while the formula is on its way or out."""
    formula = read_formula(text.encode(), str(path))
    of = digest(formula)
    record = path.parent / "bakes" / f"2026-03-14-{of[0]}.yaml"
    record.parent.mkdir(exist_ok=True)
    record.write_text(
        f'date: 2026-03-14\nformula: {formula.id}\nof: "{of}"\nbaker: N\nverdict: keep\n'
    )


def _git(folder: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=folder, env=GIT, check=True, capture_output=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    rounds = parser.parse_args().rounds
    logs = {f"--for {who}": ["release", "HEAD~2..HEAD", "--for", who] for who in AUDIENCES}
    logs["--in-full"] = ["release", "HEAD~2..HEAD", "--in-full"]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        lay_out(folder)
        runs = {said: process([*PERFLOUR, *words], folder) for said, words in logs.items()}
        runs["lint"] = process([*PERFLOUR, "lint", "--forget"], folder)
        took = medians(runs, rounds)
        print(
            "| release of 100 formulas | s | times `lint --forget` | lines |\n| --- | --- | --- | --- |"
        )
        for said, words in logs.items():
            done = subprocess.run([*PERFLOUR, *words], cwd=folder, capture_output=True, check=True)
            lines = len(done.stdout.splitlines())
            print(f"| `{said}` | {took[said]:.2f} | {took[said] / took['lint']:.1f} | {lines} |")


if __name__ == "__main__":
    main()
