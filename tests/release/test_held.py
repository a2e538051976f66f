"""Whatever reads a commit's files asks `system.opening` for them: on the disk nothing is at such a path."""

from __future__ import annotations

import io
import os
from collections.abc import Callable
from typing import Any

import pytest

from perflour.system import opening
from tests.conftest import ROOT, run_cli

#: What tells Python's own functions (os.path, pathlib, open) of files.
ASKS = ("stat", "lstat", "access", "scandir", "listdir", "readlink", "open")
SPAN = "HEAD^{/^Record the first bakes}..HEAD"
BRANCHES = (
    ("review", SPAN),
    ("review", SPAN, "--output", "html"),
    ("release", SPAN, "--for", "team", "--in-full"),
    ("release", SPAN, "--for", "readers", "--output", "html"),
    ("diff", *SPAN.split("..")),
)


def on_disk_alone(asks: Callable[..., Any]) -> Callable[..., Any]:
    def ask(path: Any, *more: Any, **named: Any) -> Any:
        if not isinstance(path, int):
            assert not os.fsdecode(path).startswith(opening.NOWHERE_ON_DISK), path
        return asks(path, *more, **named)

    return ask


@pytest.mark.parametrize("words", BRANCHES, ids=" ".join)
def test_nothing_of_a_commit_is_looked_for_on_the_disk(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    as_it_is = run_cli(*words, cwd=ROOT)
    with monkeypatch.context() as patch:
        for name in ASKS:
            patch.setattr(os, name, on_disk_alone(getattr(os, name)))
        patch.setattr(io, "open", on_disk_alone(io.open))
        patch.setattr("builtins.open", on_disk_alone(open))
        watched = run_cli(*words, cwd=ROOT)
    assert as_it_is.out and watched == as_it_is


def test_the_watch_sees_what_asks_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "held_at", lambda _: None)
    for name in ASKS:
        monkeypatch.setattr(os, name, on_disk_alone(getattr(os, name)))
    with pytest.raises(AssertionError):
        opening.is_file(f"{opening.NOWHERE_ON_DISK}a-1/formula.yaml")
