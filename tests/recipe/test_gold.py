"""How well recipes are read, held against what a baker reads in them: no worse than was measured.

Gold: written by hand beside each text (tests/recipe/gold/FORMAT.md), by people who had not seen how the
program reads. `published` are the texts of tests/published/text, each with its source; `prose` and
`unseen` are invented. `unseen` was never looked at while the reader was changed.
"""

from __future__ import annotations

import sys

import pytest

from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))

from score_import import FOLDERS, score_folder  # the path is set above

#: Least share that must be right, a little under what was measured (docs/how-right.md).
LEAST = {
    "published": {"line": 0.99, "amount": 0.99, "food": 0.99, "state": 0.99, "part": 0.98, "verb": 0.98, "uses": 0.94, "time": 0.99, "temperature": 0.99, "yield": 0.99, "pan": 0.99},
    "prose": {"line": 0.96, "amount": 0.96, "food": 0.96, "state": 0.95, "part": 0.95, "verb": 0.9, "uses": 0.82, "time": 0.92, "temperature": 0.99, "yield": 0.99, "pan": 0.87},
    "more": {"line": 0.75, "amount": 0.83, "food": 0.89, "part": 0.88, "verb": 0.77, "uses": 0.62, "time": 0.66, "temperature": 0.6, "yield": 0.6},
    "unseen": {"line": 0.8, "amount": 0.85, "food": 0.87, "verb": 0.68, "uses": 0.53, "temperature": 0.5},
}  # fmt: skip


@pytest.mark.parametrize("name", LEAST)
def test_no_field_is_read_worse_than_was_measured(name: str) -> None:
    score = score_folder(FOLDERS[name])
    shares = {field: score.right[field] / score.asked[field] for field in LEAST[name]}
    assert {f: s for f, s in shares.items() if s < LEAST[name][f]} == {}, "\n".join(score.missed)


def test_there_is_gold_for_every_text_and_manner() -> None:
    texts = {name: {p.stem for p in folder.glob("*.txt")} for name, folder in FOLDERS.items()}
    gold = {name: {p.stem for p in folder.glob("*.yaml")} for name, folder in FOLDERS.items()}
    assert texts == gold
    assert len(texts["published"]) == 21
    assert len(texts["prose"]) >= 20
    assert len(texts["unseen"]) == 10
    assert len(texts["more"]) == 12
    manners = {stem.rsplit("-", 1)[0] for stem in texts["prose"]}
    assert manners == {"speech", "old-book", "british", "australian", "bakery-sheet"}
