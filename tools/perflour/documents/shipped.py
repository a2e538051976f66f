"""Files that ship with perflour, each read once and kept as what is made of it."""

import os
from collections.abc import Callable
from functools import cache

from perflour.typed import Any, TypeVar

T = TypeVar("T")
DATA = os.path.join(os.path.dirname(os.path.dirname(__file__)), "data")


def shipped(name: str, make: Callable[[bytes], T]) -> T:
    """What ``make`` makes of a file in data/, or of one whose path is given in full."""
    made: T = _made(name, make)
    return made


# Owner: the process, whose own files do not change. Bound: our tables. Pays: each is asked for by the word.
@cache
def _made(name: str, make: Callable[[bytes], Any]) -> Any:
    with open(os.path.join(DATA, name), "rb") as file:
        return make(file.read())
