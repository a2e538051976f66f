"""All that is wrong with what was asked for, told at once: a slip a line, not one a run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from perflour.result import CannotRun, Result


class Faults(CannotRun):
    """Several reasons why there can be no plan; ``results`` say what is wrong with files besides."""

    def __init__(self, each: Sequence[CannotRun], results: Sequence[Result] = ()) -> None:
        super().__init__("; ".join(str(one.args[0]) for one in each))
        self.each = tuple(each)
        self.results = tuple(results)


def reasons(problem: CannotRun) -> tuple[CannotRun, ...]:
    """Each reason by itself."""
    return problem.each if isinstance(problem, Faults) else (problem,)


class Noted:
    """What went wrong so far; nothing is raised before all was looked at."""

    def __init__(self, problems: Sequence[CannotRun] = ()) -> None:
        self.problems = list(problems)

    @contextmanager
    def each(self) -> Iterator[None]:
        """Note what cannot be done within, and go on behind it."""
        try:
            yield
        except CannotRun as problem:
            self.problems += reasons(problem)

    def raise_any(self, results: Sequence[Result] = ()) -> None:
        """Raises Faults where something was noted; a reason that came twice is told once."""
        once = {str(problem.args[0]): problem for problem in self.problems}
        if once:
            raise Faults(list(once.values()), results)
