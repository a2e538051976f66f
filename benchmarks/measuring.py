"""What the benchmarks share: fresh environments, interleaved runs, memory of a process of its own."""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import time
import venv
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]


def environment(folder: Path, *packages: str) -> Path:
    """The bin folder of a fresh virtual environment with packages in it, compiled."""
    venv.create(folder, with_pip=True)
    python = str(folder / "bin/python")
    subprocess.run(
        [python, "-m", "pip", "install", "-q", *packages], check=True, stderr=subprocess.DEVNULL
    )
    subprocess.run([python, "-m", "compileall", "-q", str(folder / "lib")], check=False)
    return folder / "bin"


def seconds(run: Callable[[], object]) -> float:
    """What one run takes."""
    start = time.perf_counter()
    run()
    return time.perf_counter() - start


def process(command: list[str], folder: Path | None = None) -> Callable[[], None]:
    """A run of a command whose output nobody reads; it may find something, but not fail."""

    def run() -> None:
        done = subprocess.run(
            command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False
        )
        if done.returncode not in (0, 1):
            raise SystemExit(f"{' '.join(command[:3])} failed with {done.returncode}")

    return run


def medians(runs: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Median seconds of each run, interleaved; the first, cold round does not count."""
    times: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(rounds + 1):
        for name, run in runs.items():
            times[name].append(seconds(run))
    return {name: statistics.median(values[1:]) for name, values in times.items()}


class Cost(NamedTuple):
    """Medians of the runs of a command: processor time of the process with its children, and the clock's."""

    cpu_s: float
    wall_s: float


def cost(run: Callable[[], object]) -> Cost:
    """What one run takes."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    wall_s = seconds(run)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return Cost(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime, wall_s)


def median_cost(found: Iterable[Cost]) -> Cost:
    """The median of each figure."""
    return Cost(*(statistics.median(column) for column in zip(*found, strict=True)))


def costs(runs: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, Cost]:
    """What each run costs, interleaved, so that all meet the same machine; the first round does not count.

    On a machine that others use, too, CPU time is the figure to hold ratios against.
    """
    found: dict[str, list[Cost]] = {name: [] for name in runs}
    for _ in range(rounds + 1):
        for name, run in runs.items():
            found[name].append(cost(run))
    return {name: median_cost(took[1:]) for name, took in found.items()}


def memory_mb(command: list[str], folder: Path) -> float:
    """Largest resident size of a run and its children, asked of a process of its own."""
    code = "import subprocess, sys, resource; subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL); print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    done = subprocess.run(
        [sys.executable, "-c", code, *command], cwd=folder, capture_output=True, check=True
    )
    unit = 1024 if sys.platform == "darwin" else 1
    return int(done.stdout) / 1024 / unit


def cpu_seconds(command: list[str], folder: Path | None = None) -> float:
    """User and system time of a run and its children; it may find something, but not fail."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    process(command, folder)()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
