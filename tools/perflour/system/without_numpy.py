"""Libraries that load numpy wherever it is installed, for arrays that we never give them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def without_numpy() -> Iterator[None]:
    """Import inside as if there were no numpy: uncertainties saves 55 ms, deepdiff 300 ms."""
    hidden = "numpy" not in sys.modules
    if hidden:
        sys.modules["numpy"] = None  # type: ignore[assignment]
    try:
        yield
    finally:
        if hidden:
            del sys.modules["numpy"]
