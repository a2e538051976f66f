"""Timetables by the solver against trying every schedule, in one interleaved run.

    python benchmarks/bake_day.py [--rounds 5]

Small days of mix, proof, bake and cool in one oven; the enumeration is that of the tests. Prints the
ratio for days of growing size. It has no limit to keep: what it shows is that trying grows out of
hand where the solver does not.
"""

from __future__ import annotations

import argparse
import statistics
import sys

from measuring import ROOT, seconds

sys.path.insert(0, str(ROOT))

from tests.bakeday.test_timetable import COOL, HEAT, Small, best_by_hand

from perflour.bakeday.ovens import Bakehouse, Oven
from perflour.bakeday.timetable import timetable

DAY = [
    Small(1, 1, 4, 2, 170, 1, 1),
    Small(2, 2, 5, 1, 200, 1, 0),
    Small(1, 1, 6, 3, 170, 1, 2),
    Small(1, 3, 5, 1, 200, 1, 1),
]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    rounds = parser.parse_args().rounds
    house = Bakehouse((Oven("oven", 1),), HEAT, COOL)
    timetable([DAY[0].job("warm-up")], house)
    for number in range(2, len(DAY) + 1):
        day = DAY[:number]
        jobs = [job.job(f"job {at}") for at, job in enumerate(day)]
        solver, trying = [], []
        for _ in range(rounds):
            solver.append(seconds(lambda jobs=jobs: timetable(jobs, house)))
            trying.append(seconds(lambda day=day: best_by_hand(day, 1, 1)))
        ratio = statistics.median(trying) / statistics.median(solver)
        print(f"{number} formulas: every schedule / solver {ratio:8.2f} (medians of {rounds})")


if __name__ == "__main__":
    main()
