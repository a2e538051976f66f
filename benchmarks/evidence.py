"""Evidence of 500 bakes of 50 formulas, and the drawing of a trial: what they take.

    python benchmarks/evidence.py [--rounds 5]

Fifty cookies of ten revisions each, every revision baked once by three tasters. Evidence and why are held against
`git log -p` of the same files in the same rounds; the design of 16 bakes of five factors against importing scipy.stats,
without which it could not begin.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path
from random import Random

from growth import GIT, RUN
from measuring import medians, process

from perflour.formula.digests import digest
from perflour.formula.file import read_formula

FORMULAS, REVISIONS = 50, 10
COOKIE = """\
formula: cookie-{number}
title: Cookie {number}
class: drop-cookie
status: testing
yield: {{pieces: 24, piece: cookie}}
parts:
  - part: dough
    ingredients:
      - {{item: all-purpose flour, amount: 400 g}}
      - {{item: unsalted butter, amount: {butter} g, state: soft}}
      - {{item: dark brown sugar, amount: {sugar} g}}
      - {{item: egg, amount: 100 g}}
      - {{item: baking soda, amount: 4 g}}
      - {{item: table salt, amount: 6 g}}
method:
  - {{do: cream, uses: [unsalted butter, dark brown sugar], for: 3 min}}
  - {{do: beat in, uses: [egg]}}
  - {{do: mix, uses: [all-purpose flour, baking soda, table salt]}}
  - {{do: chill, for: {chill} min}}
  - {{do: bake, at: 175 °C, for: 12 min}}
  - {{do: cool, for: 30 min}}
"""
BAKE = """\
date: 2026-{month:02}-{day:02}
formula: cookie-{number}
of: "{of}"
baker: R
batch: 1
measured: {{mass-before: 800 g, mass-after: {after} g, spread: {spread} mm}}
scores:
{scores}verdict: change
"""
PERFLOUR = [sys.executable, "-c", RUN]
DRAW = """
from perflour.designs.design import Factor, draw
factors = [Factor(name, 0.0, 1.0) for name in "abcde"]
draw(factors, kind="best-for", bakes=16, model="pairs", seed=1)
"""


def lay_out(folder: Path) -> None:
    """A repository of ten commits, a round of bakes each."""
    draw = Random(1)
    _git(folder, "init", "-q", "-b", "main")
    for month in range(1, REVISIONS + 1):
        for number in range(FORMULAS):
            text = COOKIE.format(
                number=number,
                butter=draw.randint(200, 260),
                sugar=draw.randint(220, 320),
                chill=draw.choice((0, 30, 60, 120)),
            )
            path = folder / "formulas" / f"cookie-{number}" / "formula.yaml"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            _bake(path, text, number, month, draw)
        _git(folder, "add", "-A")
        _git(folder, "commit", "-qm", f"Bake round {month}")


def _bake(path: Path, text: str, number: int, month: int, draw: Random) -> None:
    day = 1 + number % 7
    rows = (f"  - {{taster: {t}, chew: {draw.randint(3, 9)}, overall: {draw.randint(3, 9)}}}\n" for t in "ABC")  # fmt: skip
    record = BAKE.format(
        number=number,
        month=month,
        day=day,
        of=digest(read_formula(text.encode(), str(path))),
        after=draw.randint(690, 720),
        spread=draw.randint(70, 100),
        scores="".join(rows),
    )
    bakes = path.parent / "bakes"
    bakes.mkdir(exist_ok=True)
    (bakes / f"2026-{month:02}-{day:02}.yaml").write_text(record, encoding="utf-8")


def _git(folder: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=folder, env=GIT, check=True, capture_output=True)


def main() -> None:
    parser = argparse.ArgumentParser(description="Evidence of 500 bakes, and the design of a trial.")  # fmt: skip
    parser.add_argument("--rounds", type=int, default=5)
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        lay_out(folder)
        runs = {
            "git log -p": process(["git", "log", "-p", "--", "formulas"], folder),
            "evidence --output csv": process([*PERFLOUR, "evidence", "--output", "csv"], folder),
            "why --output json": process([*PERFLOUR, "why", "--output", "json"], folder),
            "import scipy.stats": process([sys.executable, "-c", "import scipy.stats"], folder),
            "16 bakes of 5 factors": process([sys.executable, "-c", DRAW], folder),
        }
        found = medians(runs, rounds)
    peers = {name: "import scipy.stats" if "factors" in name else "git log -p" for name in runs}
    for name, seconds in found.items():
        peer = peers[name]
        ratio = (
            "" if name == peer or "import" in name else f"  {seconds / found[peer]:6.1f} x {peer}"
        )
        print(f"{name:24} {seconds:6.2f} s{ratio}")


if __name__ == "__main__":
    main()
