"""Write tools/perflour/compare/odd_rates.py: from where on a value is called odd, by simulation.

For rows of normal values without anything odd in them: the limit of the modified z-score that 95 rows of 100 stay
below, and how many of 100 go beyond 3.5. tests/compare/test_odd_rates.py works some of it out again.

    python tools/maintain/write_odd_rates.py
"""

from __future__ import annotations

from math import ceil
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

TARGET = Path(__file__).parents[1] / "perflour" / "compare" / "odd_rates.py"
SIZES = (*range(8, 61), 70, 80, 100, 150, 200, 300, 500, 1000)
SEED = 20_261
# So many rows are drawn of each size, at once no more than so many values.
DRAWN, AT_ONCE = 400_000, 8_000_000
# Below the 5 % that is promised, by three standard errors of a share of so many rows.
CHANCE = 0.05 - 3 * (0.05 * 0.95 / DRAWN) ** 0.5
USUAL_LIMIT = 3.5
HEAD = '''"""From where on a value is odd, by how many values its row has; written by tools/maintain/write_odd_rates.py.

Of rows of normal values without anything odd in them, ``by_chance_percent`` show at least one beyond ``limit``, and
``beyond_3_5_percent`` one beyond the 3.5 of Iglewicz and Hoaglin. Never edited by hand.
"""

from typing import NamedTuple


class OddRate(NamedTuple):
    """The limit of the modified z-score for rows of so many values, and the chance measured for it."""

    values: int
    limit: float
    by_chance_percent: float
    beyond_3_5_percent: float


ODD_RATES = (
'''


def largest_scores(values: int, rows: int, chance: np.random.Generator) -> NDArray[np.float64]:
    """The largest modified z-score of each of so many rows of normal values."""
    found = []
    while rows:
        drawn = min(rows, AT_ONCE // values)
        numbers = chance.standard_normal((drawn, values))
        distances = np.abs(numbers - np.median(numbers, axis=1, keepdims=True))
        found.append(0.6745 * distances.max(axis=1) / np.median(distances, axis=1))
        rows -= drawn
    return np.concatenate(found)


def rate(values: int, rows: int = DRAWN) -> tuple[float, float, float]:
    """Limit rounded up to two decimals, chance beyond it and beyond 3.5 in percent."""
    scores = largest_scores(values, rows, np.random.default_rng((SEED, values)))
    limit = ceil(float(np.quantile(scores, 1 - CHANCE)) * 100) / 100
    beyond = [round(float((scores > at).mean()) * 100, 2) for at in (limit, USUAL_LIMIT)]
    return limit, beyond[0], beyond[1]


def module() -> str:
    """The source of the table."""
    rows = []
    for values in SIZES:
        limit, by_chance, beyond = rate(values)
        rows.append(f"    OddRate({values}, {limit:.2f}, {by_chance:.2f}, {beyond:.2f}),\n")
    return f"{HEAD}{''.join(rows)})\n"


if __name__ == "__main__":
    TARGET.write_text(module(), encoding="utf-8")
