"""Shared: one small kitchen, formulas from text, real git repositories, the real command line."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from perflour.balance.balance import Balance, balance
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from tests import forked

ROOT = Path(__file__).parents[1]

# No test is timed. A law is tried on ever new examples; CI takes fewer, the same every time; .ci/nightly many.
UNTIMED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("kitchen", UNTIMED, max_examples=100)
settings.register_profile("ci", UNTIMED, max_examples=50, derandomize=True)
settings.register_profile("nightly", UNTIMED, max_examples=4_000, print_blob=True)
settings.load_profile(
    os.environ.get("HYPOTHESIS_PROFILE") or ("ci" if os.environ.get("CI") else "kitchen")
)


def times(usual: int) -> int:
    """How often what a developer's machine does so often is done in this profile; 20 times at least."""
    return max(min(usual, 20), usual * settings().max_examples // 100)


def examples(usual: int, **others: Any) -> settings:
    """Settings of a law: how many examples a developer's machine tries, more or fewer by the profile."""
    return settings(max_examples=times(usual), **others)


#: How somebody likes a terminal to be is nothing to the tests.
OF_A_TERMINAL = ("CLICOLOR", "CLICOLOR_FORCE", "COLUMNS", "FORCE_COLOR", "LINES", "NO_COLOR", "PAGER", "PERFLOUR_PAGER")  # fmt: skip
# Bakers' numbers do not depend on the machine's git settings.
GIT_ENVIRONMENT = {
    **{name: value for name, value in os.environ.items() if name not in OF_A_TERMINAL},
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_SYSTEM": os.devnull,
    "GIT_AUTHOR_NAME": "A baker",
    "GIT_AUTHOR_EMAIL": "baker@example.org",
    "GIT_COMMITTER_NAME": "A baker",
    "GIT_COMMITTER_EMAIL": "baker@example.org",
    "GIT_AUTHOR_DATE": "2026-03-14T09:00:00Z",
    "GIT_COMMITTER_DATE": "2026-03-14T09:00:00Z",
}


@dataclass(frozen=True)
class Outcome:
    """What a command did."""

    code: int
    out: str
    err: str

    @property
    def all(self) -> str:
        return self.out + self.err


TIMEOUT_S = 60
Cli = Callable[..., Outcome]


def run_cli(*words: str, cwd: Path, stdin: bytes = b"", columns: int = 0) -> Outcome:
    """Run the real command line in a folder, in a process of its own, where it says on so many columns."""
    environment = {**GIT_ENVIRONMENT, **({"COLUMNS": str(columns)} if columns else {})}
    code, out, err = forked.run(words, cwd, stdin, environment, TIMEOUT_S)
    return Outcome(code, out.decode(), err.decode())


def run_python(*words: str, cwd: Path, stdin: bytes = b"") -> Outcome:
    """The same from the start of Python on, which the tests of single commands need not repeat."""
    done = subprocess.run(
        [sys.executable, "-m", "perflour", *words],
        cwd=cwd,
        input=stdin,
        capture_output=True,
        env=GIT_ENVIRONMENT,
        timeout=TIMEOUT_S,
        check=False,
    )
    return Outcome(done.returncode, done.stdout.decode(), done.stderr.decode())


def git(cwd: Path, *words: str) -> str:
    """Run git in a folder; fails the test where git fails."""
    done = subprocess.run(
        ["git", *words], cwd=cwd, capture_output=True, env=GIT_ENVIRONMENT, check=False
    )
    assert done.returncode == 0, done.stderr.decode()
    return done.stdout.decode()


def weigh_text(text: str) -> Balance:
    """A formula's text weighed with the built-in catalogue."""
    return balance(read_formula(text.encode(), "formula.yaml"), built_in())


def formula_text(*lines: str, method: str = "[]", extra: str = "") -> str:
    """A formula of one part with the given ingredient lines."""
    listed = "\n".join(f"      - {line}" for line in lines)
    return (
        "formula: trial\ntitle: Trial\nclass: loaf-cake\nstatus: draft\n"
        f"{extra}parts:\n  - part: batter\n    ingredients:\n{listed}\nmethod: {method}\n"
    )


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """An empty git repository."""
    git(tmp_path, "init", "-q", "-b", "main")
    return tmp_path
