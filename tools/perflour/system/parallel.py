"""The same work over many items on several cores: by fork, so that nothing is imported a second time.

Where there is no fork (Windows), other Pythons are started for what can be sent to them.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence

from perflour.typed import TYPE_CHECKING, Any, Generic, TypeVar

if TYPE_CHECKING:
    from subprocess import Popen

Item = TypeVar("Item")
Outcome = TypeVar("Outcome")

# From about so many files a fork pays for itself: docs/performance.md.
ENOUGH_ITEMS = 100
# Another Python starts and imports all anew: docs/performance.md.
ENOUGH_TO_START = 150
# Stage by stage over so many formulas, code and data stay in the processor's caches: docs/performance.md.
TOGETHER = 32


def usual_jobs() -> int:
    """The cores this process may use."""
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity else os.cpu_count() or 1


def spread_out(
    work: Callable[[Item], Outcome], items: Sequence[Item], jobs: int, enough: int = ENOUGH_ITEMS
) -> list[Outcome]:
    """``work`` over every item, in order of the items, on up to ``jobs`` cores, 0 for all.

    What work raises is raised here. One job, fewer items than are ``enough``, or no fork and work that cannot be
    sent: done in this process. Many items show a bar on a terminal.
    """

    return spread_out_groups(_OneByOne(work), items, jobs, enough, together=1)


class _OneByOne(Generic[Item, Outcome]):
    """Work on items as work on groups; a class, because a function within one cannot be sent."""

    def __init__(self, work: Callable[[Item], Outcome]) -> None:
        self.work = work

    def __call__(self, group: Sequence[Item]) -> list[Outcome]:
        return [self.work(item) for item in group]


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
    finishes = [] if jobs == 1 else _started(work, [groups[at::jobs] for at in range(1, jobs)])
    if not finishes:
        return [outcome for group in watched(groups) for outcome in work(group)]
    outcomes = [[work(group) for group in watched(groups[::jobs])]]
    outcomes += [finish() for finish in finishes]
    return [one for at in range(len(groups)) for one in outcomes[at % jobs][at // jobs]]


def _started(
    work: Callable[[Sequence[Item]], list[Outcome]], shares: Sequence[Sequence[Sequence[Item]]]
) -> list[Callable[[], list[list[Outcome]]]]:
    """Who is at work on each share, as what waits for the answer; nobody where that cannot be or does not pay."""
    from functools import partial

    if hasattr(os, "fork"):
        return [partial(_finish, *_start(work, share)) for share in shares]
    from perflour.system.opening import COMMITS

    # another Python knows nothing of a commit that is held in memory here
    if COMMITS or len(shares[0]) * len(shares[0][0]) < ENOUGH_TO_START:
        return []
    import pickle

    try:
        sent = [pickle.dumps((work, share), pickle.HIGHEST_PROTOCOL) for share in shares]
    except (pickle.PicklingError, AttributeError, TypeError):  # a function within one, an open file
        return []
    return [partial(_finish_started, _start_python(one)) for one in sent]


def _start_python(sent: bytes) -> Popen[bytes]:
    """Another Python with the same modules as this one, never those of the folder it is started in."""
    import subprocess
    import sys

    code = f"import sys; sys.path[:] = sys.argv[1:]; from {__name__} import answer; answer()"
    words = [sys.executable, "-c", code, *sys.path]
    python = subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert python.stdin  # asked for
    with python.stdin:
        python.stdin.write(sent)
    return python


def answer() -> None:
    """What a Python that was started does: its share of the work, told on standard output."""
    import pickle
    import sys

    pipe, sys.stdout = sys.stdout.buffer, sys.stderr  # nothing that is printed gets between
    work, groups = pickle.loads(sys.stdin.buffer.read())
    pickle.dump(_done(work, groups), pipe, protocol=pickle.HIGHEST_PROTOCOL)
    pipe.flush()


def _done(work: Callable[[Any], Any], groups: Sequence[Any]) -> object:
    try:
        return [work(group) for group in groups]
    except Exception as problem:
        return problem


def _finish_started(python: Popen[bytes]) -> list[list[Outcome]]:
    assert python.stdout  # asked for
    with python:
        answered = python.stdout.read()
    return _outcome(answered)


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
    with os.fdopen(writing, "wb") as pipe:
        pickle.dump(_done(work, groups), pipe, protocol=pickle.HIGHEST_PROTOCOL)
    os._exit(0)


def _finish(child: int, reading: int) -> list[list[Outcome]]:
    """What a child answered."""
    with os.fdopen(reading, "rb") as pipe:
        answered = pipe.read()
    os.waitpid(child, 0)
    return _outcome(answered)


def _outcome(answered: bytes) -> list[list[Outcome]]:
    import pickle

    outcome = pickle.loads(answered)
    if isinstance(outcome, Exception):
        raise outcome
    return list(outcome)
