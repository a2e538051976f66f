"""The same work over many items on several cores, by fork: nothing is imported a second time."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import TypeVar

from perflour.progress import watched

Item = TypeVar("Item")
Outcome = TypeVar("Outcome")

# From about so many files a fork pays for itself.
ENOUGH_ITEMS = 100


def usual_jobs() -> int:
    """The cores this process may use."""
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity else os.cpu_count() or 1


def spread_out(
    work: Callable[[Item], Outcome], items: Sequence[Item], jobs: int, enough: int = ENOUGH_ITEMS
) -> list[Outcome]:
    """``work`` over every item, in order of the items, on up to ``jobs`` cores, 0 for all.

    What work raises is raised here. One job, fewer items than are ``enough`` or no fork: done in this
    process. Many items show a bar on a terminal.
    """
    if len(items) < enough:
        return [work(item) for item in items]
    jobs = jobs or usual_jobs()
    if jobs == 1 or not hasattr(os, "fork"):
        return [work(item) for item in watched(items)]
    readers = [_start(work, items[at::jobs]) for at in range(1, jobs)]
    outcomes: list[list[Outcome]] = [[work(item) for item in watched(items[::jobs])]]
    outcomes += [_finish(*reader) for reader in readers]
    return [outcomes[at % jobs][at // jobs] for at in range(len(items))]


def _start(work: Callable[[Item], Outcome], items: Sequence[Item]) -> tuple[int, int]:
    """Fork a child over some items; its process and the end of the pipe it answers on."""
    import pickle

    reading, writing = os.pipe()
    child = os.fork()
    if child:
        os.close(writing)
        return child, reading
    os.close(reading)
    try:
        answer: object = [work(item) for item in items]
    except Exception as problem:
        answer = problem
    with os.fdopen(writing, "wb") as pipe:
        pickle.dump(answer, pipe, protocol=pickle.HIGHEST_PROTOCOL)
    os._exit(0)


def _finish(child: int, reading: int) -> list[Outcome]:
    """What a child answered."""
    import pickle

    with os.fdopen(reading, "rb") as pipe:
        answer = pipe.read()
    os.waitpid(child, 0)
    outcome = pickle.loads(answer)
    if isinstance(outcome, Exception):
        raise outcome
    return list(outcome)
