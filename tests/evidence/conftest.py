"""A kitchen that most tests of evidence begin with."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import git
from tests.evidence.made import BAKE, cookie, shown_digest


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """Two cookies; of the first three revisions baked on two days, the second never baked."""
    first = repository / "formulas" / "lavender-cookie"
    (first / "bakes").mkdir(parents=True)
    for day, sugar, chill, height, crumb in ((1, 200, "", "11 mm", 5), (1, 240, "", "1.2 cm", 7), (2, 240, "2 h", "a thumb", 8)):  # fmt: skip
        (first / "formula.yaml").write_text(cookie("lavender-cookie", sugar, chill), "utf-8")
        of = shown_digest(repository, "lavender-cookie")
        name = f"2026-03-{day:02}{'-b' if sugar == 240 and day == 1 else ''}.yaml"
        text = BAKE.format(day=day, name="lavender-cookie", of=of, height=height, crumb=crumb)
        (first / "bakes" / name).write_text(text, "utf-8")
        git(repository, "add", "-A")
        git(repository, "commit", "-qm", f"Sugar to {sugar} g")
    second = repository / "formulas" / "samphire-cookie"
    second.mkdir()
    (second / "formula.yaml").write_text(cookie("samphire-cookie", 300), "utf-8")
    return repository
