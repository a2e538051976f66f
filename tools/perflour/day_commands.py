"""The commands `plan` and `cost`: ask, tell what is wrong with files, print."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from perflour.day_request import costed, planned
from perflour.report.costs import costs_rendered
from perflour.report.plan_output import plan_rendered
from perflour.report.results import results_text
from perflour.report_file import write_report
from perflour.result import Result

Print = Callable[[str], None]


def run_plan(names: Sequence[str], asked: Mapping[str, Any], tell: Print) -> int:
    """Plan a day. Returns 1 where a file could not be used. Raises CannotRun."""
    plan, results = planned(names, asked)
    _tell(results)
    if plan is None:
        return 1
    text = plan_rendered(plan, asked["output"], asked["wide"])
    if asked["write"]:
        write_report(asked["write"], text.encode(), [one.batch.source.path for one in plan.made])
    else:
        tell(text)
    return 1 if results else 0


def run_cost(names: Sequence[str], asked: Mapping[str, Any], tell: Print) -> int:
    """Cost batches. Returns 1 where a file could not be used or a price is missing. Raises CannotRun."""
    costing, shopping, results = costed(names, asked)
    _tell(results)
    if costing is None:
        return 1
    tell(costs_rendered(costing, shopping, asked["output"]))
    return 1 if results or any(cost.missing for cost in costing.costs) else 0


def _tell(results: tuple[Result, ...]) -> None:
    if results:
        print(
            results_text(results, len({result.place.path for result in results})),
            end="",
            file=sys.stderr,
        )
