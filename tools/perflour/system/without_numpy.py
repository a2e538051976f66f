"""Libraries that load numpy wherever it is installed, for arrays that we never give them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import get_ident
from types import ModuleType


@contextmanager
def without_numpy() -> Iterator[None]:
    """Import inside as if there were no numpy, in this thread alone: docs/performance.md.

    A program that has loaded numpy before, or wants it after, has it.
    """
    hidden = _NoNumpy(get_ident())
    sys.meta_path.insert(0, hidden)
    try:
        yield
    finally:
        sys.meta_path.remove(hidden)


class _NoNumpy:
    """Told to find numpy by one thread, says that there is none; by another, leaves it to those behind."""

    def __init__(self, thread: int) -> None:
        self.thread = thread

    def find_spec(self, name: str, path: object = None, target: ModuleType | None = None) -> None:
        if name == "numpy" and get_ident() == self.thread:
            raise ModuleNotFoundError("numpy is not asked for here", name=name)
