"""Write the list of docs/cautions.md from data/cautions.yaml, between its marks.

python tools/maintain/write_cautions.py
"""

from __future__ import annotations

from pathlib import Path

from perflour.kitchen.cautions import texts
from perflour.report.cautions import cautions_markdown

PAGE = Path(__file__).parents[2] / "docs" / "cautions.md"
START = "<!-- cautions: written by tools/maintain/write_cautions.py -->\n"
END = "<!-- end of cautions -->\n"


def page(present: str) -> str:
    """The page with its list as the data have it."""
    before, _, rest = present.partition(START)
    after = rest.partition(END)[2]
    return f"{before}{START}\n{cautions_markdown(texts().cautions)}\n{END}{after}"


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
