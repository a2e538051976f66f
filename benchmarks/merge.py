"""Processor time of `perflour git-merge`, which git starts for each formula that both sides changed.

Of 40 lines it is held against Python alone. The floor is what any merge in Python must do before it can merge: start
the command line, load the reader, the kitchen and what weighs a formula, and weigh the three texts. It is printed
beside, as the bar lies below it. Of 5,000 lines it is held against `git merge-file`, which compares lines and reads
nothing. Both sides change lines far from each other; the other case is one in conflict.

    python benchmarks/merge.py [--rounds 11]
"""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import tempfile
from pathlib import Path
from random import Random

from growth import FLOUR, HEAD, VERBS
from measuring import ROOT
from spent import PERFLOUR, medians_of

MOST_OF_PYTHON, MOST_OF_MERGE_FILE = 5, 200
FILES = ("base.yaml", "ours.yaml", "theirs.yaml")
FLOOR = """\
import gc, sys
gc.disable()
import perflour.cli, perflour.commands.git_merge
from perflour.balance.balance import balance
from perflour.formula.file import read_formula
from perflour.kitchen.house import kitchen_for
from perflour.system.writing import write_file
catalogue = kitchen_for("formulas/trial/formula.yaml").catalogue
for name in sys.argv[1:]:
    balance(read_formula(open(name, "rb").read(), name, catalogue.said.customs), catalogue)
"""


def text_of(lines: int) -> str:
    """A formula of about so many lines of text, two thirds of them of ingredients."""
    random = Random("merge")
    rows = (ROOT / "tools/perflour/data/catalogue.jsonl").read_text(encoding="utf-8").splitlines()
    known = [row["name"] for row in map(json.loads, rows) if isinstance(row, dict) and "name" in row]  # fmt: skip
    names = [random.choice(known) for _ in range(lines * 2 // 3)]
    listed = "".join(f"      - {{item: {name}, amount: {random.randint(1, 400)} g}}\n" for name in names)  # fmt: skip
    steps = "".join(
        f"  - {{do: {random.choice(VERBS)}, uses: [{random.choice(names)}], note: at {at}}}\n"
        for at in range(lines - len(names) - 10)
    )
    return HEAD.format(id="trial") + FLOUR + listed + "method:\n" + steps


def sides(base: str, in_conflict: bool) -> tuple[str, str, str]:
    """The base with an amount changed by each side: the first line's and the last one's, or one by both."""
    rows = base.split("\n")
    listed = [at for at, row in enumerate(rows) if "amount" in row]
    places = (listed[1], listed[1] if in_conflict else listed[-1])
    texts = []
    for at, grams in zip(places, (401, 402), strict=True):
        changed = f"{rows[at].rpartition(':')[0]}: {grams} g}}"
        texts.append("\n".join([*rows[:at], changed, *rows[at + 1 :]]))
    return base, texts[0], texts[1]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=11)
    rounds = parser.parse_args().rounds
    failed = False
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for lines in (40, 5000):
            for in_conflict in (False, True):
                for file, text in zip(FILES, sides(text_of(lines), in_conflict), strict=True):
                    (folder / file).write_text(text, encoding="utf-8")
                files = ["base.yaml", "merged.yaml", "theirs.yaml"]
                commands = {
                    "ours": [*PERFLOUR, "git-merge", *files, "formulas/trial/formula.yaml"],
                    "floor": [sys.executable, "-c", FLOOR, *files],
                    "merge-file": ["git", "merge-file", "-p", "ours.yaml", *files[::2]],
                    "python": [sys.executable, "-c", "pass"],
                }
                took = medians_of(
                    commands,
                    folder,
                    rounds,
                    lambda: shutil.copy(folder / "ours.yaml", folder / "merged.yaml"),
                )
                peer = "python" if lines == 40 else "merge-file"
                bar = MOST_OF_PYTHON if lines == 40 else MOST_OF_MERGE_FILE
                ratio, floor = (took[what].cpu / took[peer].cpu for what in ("ours", "floor"))
                failed = failed or ratio > max(bar, floor * 1.5)
                times = ", ".join(f"{what} {s.cpu * 1000:.1f}" for what, s in took.items())
                print(
                    f"{lines:>5} lines{', in conflict' if in_conflict else '':<13} git-merge / {peer} {ratio:6.1f}"
                    f"  (at most {bar}; floor {floor:.1f}; CPU ms: {times})",
                    flush=True,
                )
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
