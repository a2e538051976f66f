"""Processor time of `perflour diff` of two formulas of 1,000 lines that have little in common.

Held against the same diff with names compared as they were before the bound: by the letters in common in whatever
order, then by difflib. Where names are long that was nearly all of the time, so there ours takes at most a tenth. Short
names leave little to save: what is left is reading, weighing and telling. Python alone and `git diff --no-index`, which
knows nothing of formulas, are printed for orientation.

    python benchmarks/unrelated.py [--rounds 5]
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path
from random import Random

from growth import FLOUR, HEAD, VERBS
from spent import PERFLOUR, medians_of

MOST_OF_PLAIN = 0.1
PLAIN = """\
from difflib import SequenceMatcher
from perflour.diff import alike_names, matching
matching.bound_for = lambda pairs: alike_names.may_be_alike
matching.alikeness = lambda a, b: SequenceMatcher(None, a, b, autojunk=False).ratio()
from perflour.cli import console
console()
"""
WORDS = [
    "marsh",
    "stone",
    "milled",
    "heritage",
    "golden",
    "toasted",
    "fine",
    "coarse",
    "flaked",
    "rolled",
    "dried",
    "smoked",
    "candied",
    "roasted",
    "ground",
    "whole",
    "split",
    "soft",
    "ripe",
    "early",
    "late",
    "winter",
    "spring",
    "summer",
    "wild",
    "garden",
    "salted",
    "cultured",
    "raw",
    "pressed",
    "crushed",
    "chopped",
    "grated",
    "sea",
    "river",
    "hill",
    "valley",
    "oat",
    "barley",
    "spelt",
    "einkorn",
    "emmer",
    "millet",
    "sorghum",
    "teff",
    "hazel",
    "almond",
    "walnut",
    "pecan",
    "beech",
    "acorn",
    "plum",
    "damson",
    "quince",
    "medlar",
    "sloe",
    "bramble",
    "rowan",
    "elder",
    "berry",
    "syrup",
    "paste",
    "powder",
    "flakes",
    "groats",
    "bran",
    "germ",
]


def text_of(names: list[str], random: Random, steps: int = 0) -> str:
    """A formula with a line for each name, at any mass, and steps with notes of their own."""
    lines = "".join(
        f"      - {{item: {name}, amount: {random.randint(1, 400)} g}}\n" for name in names
    )
    method = "".join(
        f"  - {{do: {random.choice(VERBS)}, until: {some(random, 3)}, note: {some(random, 5)}}}\n"
        for _ in range(steps)
    )
    return HEAD.format(id="trial") + FLOUR + lines + (f"method:\n{method}" if steps else "method: []\n")  # fmt: skip


def some(random: Random, words: int) -> str:
    return " ".join(random.sample(WORDS, words))


def pairs() -> dict[str, tuple[str, str]]:
    """Two texts each, by what is in them; long names first."""
    random = Random("unrelated")

    def two(words: int, lines: int = 1000, steps: int = 0) -> tuple[str, str]:
        texts = [
            text_of([some(random, words) for _ in range(lines)], random, steps) for _ in range(2)
        ]
        return texts[0], texts[1]

    lots = [[f"sea salt of lot {random.randint(1000, 9999)}" for _ in range(1000)] for _ in "ab"]
    names = [some(random, 5) for _ in range(1000)]
    edited = [some(random, 5) if at % 10 == 0 else name for at, name in enumerate(names)]
    return {
        "names of 25 words": two(25),
        "names of 12 words": two(12),
        "names of 2 words": two(2),
        "1,000 steps too": two(5, steps=1000),
        "steps alone": two(2, lines=5, steps=1000),
        "names alike": (text_of(lots[0], random), text_of(lots[1], random)),
        "one name": (text_of(["honey"] * 1000, random), text_of(["honey"] * 1000, random)),
        "a tenth renamed": (text_of(names, Random("same")), text_of(edited, Random("same"))),
    }


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    rounds = parser.parse_args().rounds
    worst = 0.0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for title, texts in pairs().items():
            for file, text in zip(("a.yaml", "b.yaml"), texts, strict=True):
                (folder / file).write_text(text, encoding="utf-8")
            commands = {
                "ours": [*PERFLOUR, "diff", "a.yaml", "b.yaml"],
                "plain": [sys.executable, "-c", PLAIN, "diff", "a.yaml", "b.yaml"],
                "git diff": ["git", "diff", "--no-index", "a.yaml", "b.yaml"],
                "python": [sys.executable, "-c", "pass"],
            }
            took = medians_of(commands, folder, rounds)
            ratio, *others = (took["ours"].cpu / took[peer].cpu for peer in list(commands)[1:])
            if "12" in title or "25" in title:
                worst = max(worst, ratio)
            times = ", ".join(f"{what} {s.cpu * 1000:.0f}" for what, s in took.items())
            print(
                f"{title:<18} ours / plain {ratio:5.3f}, / git diff {others[0]:5.0f}, / python {others[1]:4.0f}"
                f"  (CPU ms: {times})",
                flush=True,
            )
    print(f"long names: worst {worst:.3f} of medians of {rounds}  (at most {MOST_OF_PLAIN})")
    return int(worst > MOST_OF_PLAIN)


if __name__ == "__main__":
    sys.exit(main())
