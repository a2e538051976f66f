"""Timetables by the solver against trying every schedule, in one interleaved run.

    python benchmarks/bake_day.py [--rounds 5]
    python benchmarks/bake_day.py --large

Small days of mix, proof, bake and cool in one oven; the enumeration is that of the tests. Prints the
ratio for days of growing size. It has no limit to keep: what it shows is that trying grows out of
hand where the solver does not. ``--large`` plans 4, 8, 12 and 16 formulas of the demo, some of them twice
under another id, and says what each goal reached and what is proven that nothing can be below.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from dataclasses import replace

from measuring import ROOT, seconds

sys.path.insert(0, str(ROOT))

from tests.bakeday.test_timetable import COOL, HEAT, Small, best_by_hand, demo_jobs

from perflour.bakeday.ovens import Bakehouse, Oven
from perflour.bakeday.timetable import timetable

DAY = [
    Small(1, 1, 4, 2, 170, 1, 1),
    Small(2, 2, 5, 1, 200, 1, 0),
    Small(1, 1, 6, 3, 170, 1, 2),
    Small(1, 3, 5, 1, 200, 1, 1),
]


def large_days() -> None:
    ids = sorted(path.parent.name for path in (ROOT / "formulas").glob("*/formula.yaml"))
    once = demo_jobs(*ids)
    twice = [*once, *(replace(job, formula=f"{job.formula}-again") for job in once)]
    for number in (4, 8, 12, 16):
        began, cpu = time.monotonic(), time.process_time()
        found = timetable(twice[:number], Bakehouse())
        wall, cpu = time.monotonic() - began, time.process_time() - cpu
        reached = ", ".join(
            f"{name} {far.value} (at least {far.at_least})" if far else f"{name} not searched"
            for name, far in found.reached.items()
        )
        print(f"{number} formulas: {wall:.1f} s, {cpu:.1f} s of a core: {reached}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--large", action="store_true", help="days of up to 16 formulas")
    options = parser.parse_args()
    if options.large:
        large_days()
        return
    rounds = options.rounds
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
