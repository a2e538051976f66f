"""What pyproject.toml asks for, and what that is installed with here."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator
from importlib.metadata import distribution
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def requirements(*extras: str) -> Iterator[str]:
    """What pip is asked for, what an extra takes of another too."""
    yield from PROJECT["dependencies"]
    for extra in extras:
        for text in PROJECT["optional-dependencies"][extra]:
            asked = Requirement(text)
            if asked.name == PROJECT["name"]:
                yield from requirements(*asked.extras)
            else:
                yield text


def name_of(text: str) -> str:
    """The name that a requirement asks for, as indexes write it."""
    return re.sub(r"[-_.]+", "-", Requirement(text).name).lower()


def with_what_they_need(asked: Iterable[str]) -> set[str]:
    """The names of these distributions and of all that they are installed with."""
    todo, found = list(asked), set[tuple[str, frozenset[str]]]()
    while todo:
        one = Requirement(todo.pop())
        key = (name_of(str(one)), frozenset(one.extras))
        if key not in found:
            found.add(key)
            needs = map(Requirement, distribution(key[0]).requires or ())
            todo += [str(need) for need in needs if _applies(need, one.extras)]
    return {name for name, _ in found}


def _applies(need: Requirement, extras: set[str]) -> bool:
    return not need.marker or any(need.marker.evaluate({"extra": e}) for e in ("", *extras))
