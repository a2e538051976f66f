"""Cookies of the tests of evidence, and how their bakes are recorded."""

from __future__ import annotations

import json
from pathlib import Path

from tests.conftest import run_cli

BAKE = """date: 2026-03-{day:02}
formula: {name}
of: "{of}"
baker: R
batch: 1
conditions: {{oven: deck}}
measured: {{mass-before: 800 g, mass-after: 720 g, height: {height}}}
scores:
  - {{taster: A, crumb: {crumb}}}
  - {{taster: B, crumb: 6}}
verdict: change
"""


def cookie(name: str, sugar_g: int, chill: str = "") -> str:
    step = f"  - {{do: chill, for: {chill}}}\n" if chill else ""
    return f"""formula: {name}
title: Sea lavender cookie
class: drop-cookie
status: testing
yield: {{pieces: 24, piece: cookie}}
parts:
  - part: dough
    ingredients:
      - {{item: all-purpose flour, amount: 400 g}}
      - {{item: unsalted butter, amount: 240 g, state: soft}}
      - {{item: granulated sugar, amount: {sugar_g} g}}
      - {{item: egg, amount: 100 g}}
method:
  - {{do: cream, uses: [unsalted butter, granulated sugar], for: 2-4 min}}
  - {{do: mix, uses: [egg, all-purpose flour]}}
{step}  - {{do: bake, at: 175 °C, for: 12 min}}
"""


def shown_digest(folder: Path, name: str) -> str:
    told = run_cli("show", f"formulas/{name}", "--output", "json", cwd=folder)
    return str(json.loads(told.out)["revision"])
