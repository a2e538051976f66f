"""The command line in a process that cannot have more than so much memory."""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path
from typing import IO

from tests.conftest import GIT_ENVIRONMENT, TIMEOUT_S, Outcome

GIB = 1024**3


def run_within(
    words: list[str], cwd: Path, most_bytes: int = GIB, stdin: IO[bytes] | None = None
) -> Outcome:
    """Run the command line in a folder within a limit of memory."""
    done = subprocess.run(
        [sys.executable, "-m", "perflour", *words],
        cwd=cwd,
        stdin=stdin,
        capture_output=True,
        env={**GIT_ENVIRONMENT, "OPENBLAS_NUM_THREADS": "1"},
        timeout=TIMEOUT_S,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes)),
    )
    return Outcome(done.returncode, done.stdout.decode(), done.stderr.decode())
