"""perflour as it is installed without extras, or with some: a folder of links to just those distributions.

The interpreter is started without site-packages, so that what is not linked is not there; nothing is hidden from it.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Iterator
from importlib.metadata import distribution
from pathlib import Path

from packaging.requirements import Requirement

from tests.conftest import GIT_ENVIRONMENT, ROOT, TIMEOUT_S, Outcome

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def requirements(*extras: str) -> Iterator[str]:
    """What pip is asked for by pyproject.toml, what an extra takes of another too."""
    yield from PROJECT["dependencies"]
    for extra in extras:
        for text in PROJECT["optional-dependencies"][extra]:
            asked = Requirement(text)
            if asked.name == "perflour":
                yield from requirements(*asked.extras)
            else:
                yield text


def with_what_they_need(asked: Iterable[str]) -> set[str]:
    """The names of these distributions and of all that they are installed with."""
    todo, found = list(asked), set[str]()
    while todo:
        one = Requirement(todo.pop())
        name = re.sub(r"[-_.]+", "-", one.name).lower()
        if name not in found:
            found.add(name)
            needs = map(Requirement, distribution(name).requires or ())
            todo += [str(need) for need in needs if not need.marker or need.marker.evaluate({"extra": ""})]  # fmt: skip
    return found


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
