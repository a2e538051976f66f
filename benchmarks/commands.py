"""CPU time of each command, run once and again on a copy of the demo, in ratio to a bare Python of the same run.

    python benchmarks/commands.py [--rounds 3] [--only REGEX]

Run it with the environment that perflour is installed in; PYTHONPATH=OTHER/tools measures another tree. It has no
limit to keep: it is looked at before and after a change of what commands load. The least is a bare Python.
"""

from __future__ import annotations

import argparse
import re
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from measuring import ROOT, cpu_seconds

START = [sys.executable, "-c", "from perflour.cli import console; console()"]
RECIPE = "tests/published/text/10-plain-muffins.txt"
COMMANDS = (
    "lint --forget formulas",
    "lint formulas/oat-date-loaf",
    "show formulas/oat-date-loaf",
    "show formulas/oat-date-loaf --output recipe",
    "contents formulas/oat-date-loaf",
    "scale formulas/oat-date-loaf --times 2",
    "cost formulas/oat-date-loaf",
    "plan formulas/oat-date-loaf formulas/rye-ginger-cookie --ready-by 15:00",
    "diff HEAD~120 HEAD",
    "compare formulas",
    "compare formulas --output svg",
    "compare formulas --output html",
    "find --words soak",
    "evidence formulas",
    "why formulas",
    "middle formulas",
    "draft --all --output html",
    "changelog --forget formulas",
    "changelog --forget formulas --output html",
    "history formulas/oat-date-loaf hydration",
    "release HEAD~120..HEAD",
    "review HEAD~120..HEAD",
    "bake list formulas",
    "bake check formulas",
    "bake judge formulas/sessions",
    "trial list",
    f"import {RECIPE}",
    "format --check formulas",
    "check-setup",
    "git-sheet formulas/oat-date-loaf/formula.yaml",
    "explain",
    "completion bash",
    "--help",
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--only", default="")
    options = parser.parse_args()
    commands = [command for command in COMMANDS if re.search(options.only, command)]
    with tempfile.TemporaryDirectory() as name:
        copy = Path(name, "demo")
        subprocess.run(["git", "clone", "-q", str(ROOT), str(copy)], check=True)
        bare = _median([sys.executable, "-c", "pass"], copy, options.rounds)
        print(f"{'python -c pass':<70}{bare * 1000:8.1f} ms")
        for command in commands:
            took = _median([*START, *command.split()], copy, options.rounds)
            print(f"{command:<70}{took * 1000:8.1f} ms {took / bare:6.1f} x", flush=True)


def _median(command: list[str], folder: Path, rounds: int) -> float:
    """The median of some runs; the first, in which modules are compiled, does not count."""
    return statistics.median([cpu_seconds(command, folder) for _ in range(rounds + 1)][1:])


if __name__ == "__main__":
    main()
