"""How far two careful readers of the same texts agree: the bar that no program can be asked to pass.

Each NAME.yaml of tests/recipe/gold/second is a second reading of tests/recipe/gold/prose/NAME.txt, written
without sight of the first. It is scored against the first as the program's reading is, and the program's against it: the
program was made by the first.

    python tools/maintain/score_readers.py [--missed]
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tools"))

from maintain.score_import import FOLDERS, Score, Sheet, score_folder, score_recipe, table  # noqa: E402

SECOND = ROOT / "tests" / "recipe" / "gold" / "second"
_NOTHING: dict[str, Any] = {"parts": [], "steps": [], "pans": []}


def _first(names: Any) -> Any:
    return names[0] if isinstance(names, list) else names


def as_formula(reading: Any) -> dict[str, Any]:
    """A reading in the shape of a formula file; its pans stand in steps of their own."""
    parts = [
        {
            "part": _first(part["part"]),
            "ingredients": [
                {
                    "item": str(line["food"]),
                    "amount": str(line.get("amount", "")),
                    "state": str(line.get("state", "")),
                }
                for line in part["lines"]
            ],
        }
        for part in reading["parts"]
    ]
    steps = [{**step, "do": _first(step["do"])} for step in reading.get("steps", [])]
    return {"parts": parts, "method": steps, "yield": reading.get("yield", {}), "pans": reading.get("pans", [])}  # fmt: skip


def agreement(first: Path = FOLDERS["prose"], second: Path = SECOND) -> Score:
    """The second reading of every text held against the first."""
    total = Score(Counter(), Counter(), ())
    for path in sorted(first.glob("*.yaml")):
        sheet = Sheet(path.stem)
        wanted, read = (
            yaml.safe_load(p.read_text("utf-8"))["recipes"] for p in (path, second / path.name)
        )
        for number, recipe in enumerate(wanted):
            score_recipe(
                sheet, recipe, as_formula(read[number] if number < len(read) else _NOTHING)
            )
        one = sheet.score()
        total = Score(total.asked + one.asked, total.right + one.right, total.missed + one.missed)
    return total


def main(words: Sequence[str]) -> None:
    score = agreement()
    by_second = score_folder(FOLDERS["prose"], SECOND)
    print(table([("two readers", score), ("the import, by the second", by_second)]))
    if "--missed" in words:
        print("\n".join(score.missed))


if __name__ == "__main__":
    main(sys.argv[1:])
