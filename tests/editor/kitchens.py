"""A small repository to type in: a house, a formula with a preferment, git or none."""

from __future__ import annotations

from pathlib import Path

from tests.conftest import git

HOUSE = "house: Saltmarsh Lane\nclasses:\n  lean-bread: {title: Lean bread, windows: {salt: {low: 1, high: 2.5}}}\n"
FORMULA = "formulas/harbour-loaf/formula.yaml"
TEXT = """\
formula: harbour-loaf
title: Harbour loaf
class: lean-bread
status: testing
yield: {pieces: 2, piece: loaf}
parts:
  - part: poolish
    kind: preferment
    ingredients:
      - {item: bread flour, amount: 200 g}
      - {item: water, amount: 200 g}
      - {item: instant yeast, amount: 0.5 g}
  - part: dough
    kind: dough
    ingredients:
      - {item: bread flour, amount: 600 g}
      - {item: water, amount: 320 g}
      - {item: table salt, amount: 16 g}
      - {item: honey, amount: 1 tbsp, state: warm}
      - {part: poolish, amount: all}
method:
  - {do: mix, uses: [bread flour, water, instant yeast], makes: poolish}
  - {do: ferment, uses: [poolish], for: 12 h}
  - {do: mix, uses: [poolish, rest of bread flour, rest of water, table salt, honey], makes: dough}
  - {do: proof, for: 1 h}
  - {do: preheat, to: 230 °C}
  - {do: bake, at: 230 °C, for: 40-45 min, until: deep brown}
  - {do: cool, for: 2 h}
"""


def make_kitchen(folder: Path, with_git: bool = False) -> Path:
    """The folder with house and formula written, and committed with git."""
    path = folder / FORMULA
    path.parent.mkdir(parents=True)
    path.write_text(TEXT, encoding="utf-8")
    (folder / "formulas/house.yaml").write_text(HOUSE, encoding="utf-8")
    if with_git:
        git(folder, "init", "-q", "-b", "main")
        git(folder, "add", "-A")
        git(folder, "commit", "-q", "-m", "Start the harbour loaf")
    else:
        (folder / ".git").mkdir()
    return folder


def place_of(text: str, words: str, inside: int = 0) -> tuple[int, int]:
    """Line and column of the first such words, so many signs in; of a text within the first plane."""
    at = text.index(words) + inside
    return text.count("\n", 0, at), at - (text.rfind("\n", 0, at) + 1)
