"""Where a kitchen is found, and what the words of a command line name."""

from __future__ import annotations

from pathlib import Path

import pytest

from perflour.system.nearest import advice, nearest
from perflour.system.paths import display_path, kitchen_above
from tests.commands.test_bad_input import GOOD, plant

HOUSE = "house: Saltmarsh Lane\n"
#: Folders and files, the folder one stands in, and the kitchen that is found: None for none.
ABOVE = (
    ("here", {"formulas": None}, ".", "formulas"),
    ("above", {".git": None, "formulas": None, "docs/ci": None}, "docs/ci", "formulas"),
    ("inside", {".git": None, "formulas/oat/bakes": None}, "formulas/oat/bakes", "formulas"),
    ("by-the-house", {".git": None, "kitchen/house.yaml": HOUSE, "kitchen/oat": None}, "kitchen/oat", "kitchen"),
    ("nearest", {".git": None, "formulas": None, "other/house.yaml": HOUSE, "other/rye": None}, "other/rye", "other"),
    ("beside-the-house", {".git": None, "house.yaml": HOUSE, "formulas": None, "docs": None}, "docs", "formulas"),
    ("not-past-the-repository", {"formulas/house.yaml": HOUSE, "inner/.git": None}, "inner", None),
    ("repository-without", {".git": None, "docs": None}, "docs", None),
    ("no-git-but-a-house", {"formulas/house.yaml": HOUSE, "docs": None}, "docs", "formulas"),
    ("no-git-no-house", {"formulas": None, "docs": None}, "docs", None),
    ("no-git-not-past-home", {"formulas/house.yaml": HOUSE, "home/docs": None}, "home/docs", None),
)  # fmt: skip


@pytest.mark.parametrize(
    ("tree", "stands", "found"), [row[1:] for row in ABOVE], ids=[row[0] for row in ABOVE]
)
def test_a_kitchen_is_found_above(
    tree: dict[str, str | None],
    stands: str,
    found: str | None,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    for name, content in tree.items():
        if content is None:
            (tmp_path / name).mkdir(parents=True, exist_ok=True)
        else:
            plant(tmp_path, {name: content})
    assert kitchen_above(str(tmp_path / stands)) == (found and str(tmp_path / found))


@pytest.mark.parametrize(
    ("path", "shown"),
    [
        ("repo/docs/a.yaml", "a.yaml"),
        ("repo/formulas/a.yaml", "../formulas/a.yaml"),
        ("elsewhere/a.yaml", "{top}/elsewhere/a.yaml"),
        ("repo-2/a.yaml", "{top}/repo-2/a.yaml"),
    ],
)
def test_paths_are_shown_from_where_one_stands(
    path: str, shown: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plant(tmp_path, {"repo/docs/a.yaml": GOOD})
    (tmp_path / "repo/.git").mkdir()
    monkeypatch.chdir(tmp_path / "repo/docs")
    assert display_path(str(tmp_path / path)) == shown.format(top=tmp_path)


def test_what_may_have_been_meant() -> None:
    words = ("lint", "review", "Oat-Date-Loaf")
    assert [nearest(word, words) for word in ("lnit", "brew", "oat-dat-loaf", "")] == [
        "lint",
        "",
        "Oat-Date-Loaf",
        "",
    ]
    assert advice("lnit", words, "list them") == "did you mean lint?"
    assert advice("brew", words, "list them") == "list them"
