"""Import mutated and made-up texts until something gives: a crash, an invalid file, a number lost, too much time.

The texts are those of tests/published/text and tests/recipe/gold, mutated as tests/recipe/test_import.py does.

    python tools/maintain/fuzz_import.py [--runs 20000] [--seed 1]
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from pathlib import Path

from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.recipe.header import Header
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.to_formula import formula_file

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.recipe.law import lost  # noqa: E402 the path is set above
from tests.recipe.test_import import mutated  # noqa: E402

KITCHEN = Kitchen(House(), built_in())
TEXTS = sorted([*(ROOT / "tests/published/text").glob("*.txt"), *(ROOT / "tests/recipe/gold").glob("*/*.txt")])  # fmt: skip
#: Seconds that no text of a few pages may take.
MOST_S = 2.0


def fault(text: str) -> str:
    """What is wrong with the import of a text; empty for nothing."""
    begun = time.perf_counter()
    try:
        made = formula_file(sorted_text(text, "x"), Header(), KITCHEN)
        read_formula(made.text.encode(), "x")
    except Exception as problem:
        import traceback

        where = traceback.extract_tb(problem.__traceback__)[-1]
        return f"{type(problem).__name__} at {Path(where.filename).name}:{where.lineno}: {problem}"[:200]  # fmt: skip
    if time.perf_counter() - begun > MOST_S:
        return "took too long"
    gone = lost(text, made.text, {result.place.line for result in made.unclear})
    return f"lost {gone[0][1]}" if gone else ""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    chance = random.Random(options.seed)
    sources = [path.read_text("utf-8") for path in TEXTS]
    faults: Counter[str] = Counter()
    first: dict[str, str] = {}
    for _ in range(options.runs):
        text = mutated(chance.choice(sources), chance, chance.randint(1, 14))
        if found := fault(text):
            kind = found.split(" of ")[0] if found.startswith("lost") else found
            faults["lost" if found.startswith("lost") else kind] += 1
            first.setdefault(kind, found + "\n" + text[:0])
    print(f"{options.runs} texts, seed {options.seed}: {sum(faults.values())} faults")
    for kind, number in faults.most_common(12):
        print(number, first.get(kind, kind).strip())
    for kind in [k for k in first if k.startswith("lost")][:8]:
        print(first[kind].strip())


if __name__ == "__main__":
    main()
