"""perflour: baking formulas as data, weighed, checked and compared in ratios.

The names below are what scripts may rely on; docs/python.md teaches them. They are loaded when they are
asked for, so that a command which runs in a hook pays for none.
"""

from __future__ import annotations

TYPE_CHECKING = False  # a type checker knows it by its name; to load typing takes a while

if TYPE_CHECKING:
    from typing import Any

    from perflour.api import (
        changelogs,
        check,
        differences,
        formatted,
        imported,
        released,
        rescaled,
        reviewed,
        weigh,
    )
    from perflour.balance.balance import Balance
    from perflour.diff.change import Change, LineChange, RatioChange
    from perflour.diff.difference import Difference
    from perflour.formula.formula import Formula
    from perflour.kitchen.house import Kitchen, kitchen_for
    from perflour.result import CannotRun, FileProblem, Result

__version__ = "0.9.0"
__all__ = [
    "Balance",
    "CannotRun",
    "Change",
    "Difference",
    "FileProblem",
    "Formula",
    "Kitchen",
    "LineChange",
    "RatioChange",
    "Result",
    "changelogs",
    "check",
    "differences",
    "formatted",
    "imported",
    "kitchen_for",
    "released",
    "rescaled",
    "reviewed",
    "weigh",
]
# The module of each name below perflour; the others are in perflour.api.
_ELSEWHERE = {
    "Balance": "balance.balance",
    "CannotRun": "result",
    "Change": "diff.change",
    "Difference": "diff.difference",
    "FileProblem": "result",
    "Formula": "formula.formula",
    "Kitchen": "kitchen.house",
    "LineChange": "diff.change",
    "RatioChange": "diff.change",
    "Result": "result",
    "kitchen_for": "kitchen.house",
}


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module 'perflour' has no attribute {name!r}")
    module = __import__(f"perflour.{_ELSEWHERE.get(name, 'api')}", fromlist=[name])
    return getattr(module, name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
