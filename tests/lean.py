"""perflour as it is installed without extras, or with some: a folder of links to just those distributions.

The interpreter is started without site-packages, so that what is not linked is not there; nothing is hidden from it.
"""

from __future__ import annotations

import subprocess
import sys
from importlib.metadata import distribution
from pathlib import Path

from maintain.installed import PROJECT, name_of, requirements, with_what_they_need
from tests.conftest import GIT_ENVIRONMENT, ROOT, TIMEOUT_S, Outcome

__all__ = ["PROJECT", "link", "name_of", "requirements", "run_lean", "with_what_they_need"]


def link(folder: Path, *extras: str) -> Path:
    """A folder with nothing but what perflour is installed with."""
    for name in with_what_they_need(requirements(*extras)):
        files = distribution(name).files
        assert files, name
        for top in {file.parts[0] for file in files} - {"..", "__pycache__"}:
            source = Path(str(distribution(name).locate_file(top)))
            if not (folder / top).exists():
                (folder / top).symlink_to(source)
    return folder


def run_lean(site: Path, *words: str, cwd: Path) -> Outcome:
    """Run the real command line with the distributions of a folder alone."""
    done = subprocess.run(
        [sys.executable, "-S", "-m", "perflour", *words],
        cwd=cwd,
        capture_output=True,
        env={**GIT_ENVIRONMENT, "PYTHONPATH": f"{ROOT / 'tools'}:{site}"},
        timeout=TIMEOUT_S,
        check=False,
    )
    return Outcome(done.returncode, done.stdout.decode(), done.stderr.decode())
