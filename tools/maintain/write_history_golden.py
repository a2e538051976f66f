"""Write tests/golden/history.md: the changelogs of the made history of 300 commits.

Run it when the wording of changes moves, and read what moved:

    python tools/maintain/write_history_golden.py && git diff tests/golden/history.md
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.history.made_history import PLAN, make_history  # noqa: E402

from perflour.history.changelog_files import told  # noqa: E402
from perflour.report.forms import maker  # noqa: E402

GOLDEN = ROOT / "tests" / "golden" / "history.md"


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = make_history(Path(name).resolve(), PLAN)
        os.chdir(folder)
        found = told(["formulas"], "markdown", maker("changelog", "markdown"), True, remember=False)
        text = maker("changelogs together", "markdown")([one.text for one in found])
        os.chdir(ROOT)
    GOLDEN.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
