"""Names as they are compared."""

from functools import lru_cache


@lru_cache(maxsize=8192)
def fold(name: str) -> str:
    """A name as it is compared: lower case, single spaces."""
    return " ".join(name.lower().split())
