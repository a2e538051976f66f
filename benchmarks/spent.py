"""What commands spend: processor time of a process and its children, and wall time, medians of interleaved runs."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

from measuring import ROOT

#: Python with perflour of this tree, which is compiled by its first run.
PERFLOUR = (sys.executable, "-c", "from perflour.cli import console; console()")
ENVIRONMENT = {
    **{name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"},
    "PYTHONPATH": str(ROOT / "tools"),
    "GIT_CONFIG_GLOBAL": os.devnull,
}


class Spent(NamedTuple):
    """Seconds of one run, or medians of several."""

    cpu: float
    wall: float


def spent(command: list[str], folder: Path) -> Spent:
    """What one run spends; it may find something, but not fail."""
    start = time.perf_counter()
    process = subprocess.Popen(
        command, cwd=folder, env=ENVIRONMENT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, usage = os.wait4(process.pid, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        raise SystemExit(f"{command}: failed")
    return Spent(usage.ru_utime + usage.ru_stime, time.perf_counter() - start)


def medians_of(
    commands: Mapping[str, list[str]],
    folder: Path,
    rounds: int,
    before: Callable[[], object] = lambda: None,
) -> dict[str, Spent]:
    """Medians, the commands by turns; the first, cold round does not count. ``before`` is done before each run."""
    runs: dict[str, list[Spent]] = {name: [] for name in commands}
    for _ in range(rounds + 1):
        for name, command in commands.items():
            before()
            runs[name].append(spent(command, folder))
    return {
        name: Spent(*(statistics.median(column) for column in zip(*found[1:], strict=True)))
        for name, found in runs.items()
    }
