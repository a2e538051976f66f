"""Runs that are killed at each step that they ask of the system: before it, or behind it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from typing import Any

import pytest

STEPS = ("mkdir", "open", "fsync", "chmod", "link", "replace", "unlink")
KILLED = 9


def killed_at(step: int, run: Callable[[], object], before: bool) -> bool:
    """Run in a process that dies without a word at one of its steps; whether it came that far."""
    child = os.fork()
    if child == 0:
        count = 0

        def dying(call: Callable[..., Any]) -> Callable[..., Any]:
            def stepped(*words: Any, **named: Any) -> Any:
                nonlocal count
                count += 1
                if count == step and before:
                    os._exit(KILLED)
                try:
                    return call(*words, **named)
                finally:
                    if count == step:
                        os._exit(KILLED)

            return stepped

        for name in STEPS:
            setattr(os, name, dying(getattr(os, name)))
        try:
            run()
        finally:
            os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == KILLED


def steps_of(run: Callable[[], object], before: bool, least: int = len(STEPS)) -> Iterator[int]:
    """Kill a run at its first step, its second and so on, until it comes to its end; it has so many at least."""
    for step in range(1, 200):
        if not killed_at(step, run, before):
            assert step > least
            return
        yield step
    pytest.fail("a run has no end")
