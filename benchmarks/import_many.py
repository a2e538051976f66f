"""Many recipes in one `perflour import` against as many imports of one, in one run on this machine.

Recipes are made of tests/published/text, and some of the prose in tests/recipe/gold, each its own: amounts and
foods drawn anew, lines of other recipes among its own, lines left out. Prints CPU time (user and system, children
too) of one recipe in a run of its own (median over some of them) and in the run of all:

    python benchmarks/import_many.py [--files 1000] [--alone 40]

all in one run / as many runs: at most 1/12. The least a run of one can take is a bare Python, printed beside it.
"""

from __future__ import annotations

import argparse
import random
import re
import statistics
import sys
import tempfile
from collections.abc import Iterator
from itertools import product
from pathlib import Path

from measuring import ROOT, cpu_seconds

PUBLISHED = ROOT / "tests" / "published" / "text"
GOLD = ROOT / "tests" / "recipe" / "gold"
#: One in so many recipes is told in running text.
PROSE = 5
MOST = 1 / 12
_NUMBER = re.compile(r"(?<![\w/.])[1-9](?: 1/[2-4])?(?![\w/.])")
_FOODS = ("butter", "lard", "margarine", "shortening"), ("sugar", "brown sugar", "honey", "molasses"), ("raisins", "currants", "dates", "walnuts", "pecans"), ("cinnamon", "nutmeg", "ginger", "cloves", "mace"), ("milk", "buttermilk", "water", "cream")  # fmt: skip
_LISTED = re.compile(r"[0-9]")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=1000)
    parser.add_argument("--alone", type=int, default=40)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        paths = [write(folder, at, text) for at, text in enumerate(recipes(options.files))]
        start = [sys.executable, "-c", "from perflour.cli import console; console()", "import"]
        cpu_seconds([*start, str(paths[0])])  # modules are compiled
        alone, bare = [], []
        for at, path in enumerate(paths[:: max(1, len(paths) // options.alone)]):
            alone.append(cpu_seconds([*start, str(path), "--into", str(folder / f"alone-{at}")]))
            bare.append(cpu_seconds([sys.executable, "-c", "pass"]))
        words = [*map(str, paths), "--into", str(folder / "all")]
        together = cpu_seconds([*start, *words]) / len(paths)
        whole = sum(1 for _ in (folder / "all").glob("*/formula.yaml"))
    one = statistics.median(alone)
    print(f"{len(paths)} recipes, {whole} formulas written")
    print(f"python -c pass           {statistics.median(bare) * 1000:8.1f} ms")
    print(f"one recipe alone         {one * 1000:8.1f} ms (median of {len(alone)})")
    print(f"one recipe of all        {together * 1000:8.1f} ms")
    print(f"all in one / each alone  {together / one:8.4f} (at most {MOST:.4f})")
    return int(together / one > MOST)


def write(folder: Path, at: int, text: str) -> Path:
    path = folder / f"{at:05}.txt"
    path.write_text(text, encoding="utf-8")
    return path


def recipes(number: int, seed: int = 7) -> Iterator[str]:
    """So many recipes, no two the same; the same ones again for a seed."""
    chance = random.Random(seed)
    lists = [path.read_text(encoding="utf-8") for path in sorted(PUBLISHED.glob("*.txt"))]
    prose = [
        path.read_text(encoding="utf-8") for path in sorted(GOLD.glob("prose/[abos][lr-u]*-*.txt"))
    ]
    lines = [line for text in lists for line in text.splitlines() if _LISTED.match(line)]
    names = ("".join(letters) for letters in product("bdfgklmnprstvz", "aeiou", "lmnrst", "aeiou"))
    for at, name in zip(range(number), names, strict=False):
        text = chance.choice(prose if at % PROSE == 0 else lists)
        yield f"{name.capitalize()} {_title(text)}\n\n{_varied(text, lines, chance)}"


def _title(text: str) -> str:
    """What the recipe is called, short: the line behind its source, or its first words."""
    first = next(line for line in text.splitlines() if line and not line.startswith("Source:"))
    return " ".join(re.findall(r"[A-Za-z]+", first)[:2]).lower()


def _varied(text: str, lines: list[str], chance: random.Random) -> str:
    kept = []
    for line in text.splitlines():
        if _LISTED.match(line) and chance.random() < 0.3:
            line = chance.choice(lines)
        if _LISTED.match(line) and chance.random() < 0.05:
            continue
        kept.append(_NUMBER.sub(lambda _: _drawn(chance), line))
    varied = "\n".join(kept)
    for foods in _FOODS:
        one, other = chance.sample(foods, 2)
        varied = re.sub(rf"\b{one}\b", other, varied)
    return varied


def _drawn(chance: random.Random) -> str:
    return f"{chance.randint(1, 9)}{chance.choice(('', '', '', ' 1/2', ' 1/4', ' 3/4', ' 1/3'))}"


if __name__ == "__main__":
    sys.exit(main())
