"""The same work over many items on several cores, by fork: nothing is imported a second time."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import TypeVar

Item = TypeVar("Item")
Outcome = TypeVar("Outcome")

# From about so many files a fork pays for itself: docs/performance.md.
ENOUGH_ITEMS = 100
# Stage by stage over so many formulas, code and data stay in the processor's caches: docs/performance.md.
TOGETHER = 6


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

    def one_by_one(group: Sequence[Item]) -> list[Outcome]:
        return [work(item) for item in group]

    return spread_out_groups(one_by_one, items, jobs, enough, together=1)


def spread_out_groups(
    work: Callable[[Sequence[Item]], list[Outcome]],
    items: Sequence[Item],
    jobs: int,
    enough: int = ENOUGH_ITEMS,
    together: int = TOGETHER,
) -> list[Outcome]:
    """As spread_out, with ``work`` done on ``together`` items at a time."""
    groups = [items[at : at + together] for at in range(0, len(items), together)]
    if len(items) < enough:
        return [outcome for group in groups for outcome in work(group)]
    from perflour.system.progress import watched  # a run of few files shows no bar

    jobs = jobs or usual_jobs()
    if jobs == 1 or not hasattr(os, "fork"):
        return [outcome for group in watched(groups) for outcome in work(group)]
    readers = [_start(work, groups[at::jobs]) for at in range(1, jobs)]
    outcomes = [[work(group) for group in watched(groups[::jobs])]]
    outcomes += [_finish(*reader) for reader in readers]
    return [one for at in range(len(groups)) for one in outcomes[at % jobs][at // jobs]]


def _start(
    work: Callable[[Sequence[Item]], list[Outcome]], groups: Sequence[Sequence[Item]]
) -> tuple[int, int]:
    """Fork a child over some groups; its process and the end of the pipe it answers on."""
    import pickle

    reading, writing = os.pipe()
    child = os.fork()
    if child:
        os.close(writing)
        return child, reading
    os.close(reading)
    try:
        answer: object = [work(group) for group in groups]
    except Exception as problem:
        answer = problem
    with os.fdopen(writing, "wb") as pipe:
        pickle.dump(answer, pipe, protocol=pickle.HIGHEST_PROTOCOL)
    os._exit(0)


def _finish(child: int, reading: int) -> list[list[Outcome]]:
    """What a child answered."""
    import pickle

    with os.fdopen(reading, "rb") as pipe:
        answer = pipe.read()
    os.waitpid(child, 0)
    outcome = pickle.loads(answer)
    if isinstance(outcome, Exception):
        raise outcome
    return list(outcome)
