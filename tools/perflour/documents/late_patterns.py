"""A library whose patterns are compiled when they are used, not when it is loaded."""

import re
from _thread import get_ident  # threading itself takes as long to load as all of this spares
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


@contextmanager
def patterns_when_used() -> Iterator[None]:
    """Import inside without compiling a pattern, in this thread alone: docs/performance.md.

    Each is compiled when the library first asks something of it, so that nothing is lost but the wait.
    """
    real, thread = re.compile, get_ident()

    def late(pattern: Any, flags: Any = 0) -> Any:
        return _Late(real, pattern, flags) if get_ident() == thread else real(pattern, flags)

    re.compile = late
    try:
        yield
    finally:
        re.compile = real


class _Late:
    """Stands for a pattern, and compiles it at the first question."""

    def __init__(self, real: Any, pattern: Any, flags: Any) -> None:
        self._made_by = real, pattern, flags

    def __getattr__(self, name: str) -> Any:
        real, pattern, flags = self._made_by
        answer = getattr(real(pattern, flags), name)
        setattr(self, name, answer)  # asked once: `match` of it is as quick as ever
        return answer
