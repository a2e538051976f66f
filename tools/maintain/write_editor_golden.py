"""Write tests/golden/editor_session.jsonl: what an editor and `perflour editor` say to each other.

Run it when an answer moves, and read what moved:

    python tools/maintain/write_editor_golden.py && git diff tests/golden/editor_session.jsonl
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.editor.recorded import GOLDEN, recorded  # noqa: E402


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        GOLDEN.write_text(recorded(Path(name).resolve()), encoding="utf-8")


if __name__ == "__main__":
    main()
