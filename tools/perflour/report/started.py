"""What `new kitchen` did, and what to do next."""

from __future__ import annotations

import os
import shlex

from perflour.plain import visible
from perflour.setup.kitchen import Started


def started_text(started: Started) -> str:
    """Every file, a line each, then the next commands."""
    lines = ["new git repository, branch main"] if started.new_repository else []
    lines += [f"wrote {path}" for path in started.written]
    lines += [f"kept {path}, which was there" for path in started.kept]
    lines += started.git
    go = [] if os.path.samefile(started.folder, ".") else [f"cd {shlex.quote(str(started.folder))}"]
    in_ci = any(path.endswith(".yml") for path in (*started.written, *started.kept))
    next_commands = (*go, *_NEXT, *(() if in_ci else (_CI,)))
    lines += ["", "Next:", *(f"  {command}" for command in next_commands)]
    return "\n".join(map(visible, lines)) + "\n"


_NEXT = (
    "pre-commit install",
    "git add -A && git commit -m 'Start the repository'",
    "perflour new formula TITLE --class CLASS",
    "perflour import FILE --into formulas",
)
_CI = "perflour new kitchen --ci github    # or gitlab: a review of every branch"
