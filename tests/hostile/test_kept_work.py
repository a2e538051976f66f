"""What earlier runs kept never changes what a run says: cached against --forget after whatever happens."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import formula_text, git, run_cli, times

# So many files are enough for lint to keep what it finds.
FILES = 100
COMMANDS = (("lint", "--output", "json"), ("changelog", "--output", "json"), ("changelog",))
Act = Callable[[Path, random.Random], object]


def formula(number: int, grams: int = 500) -> str:
    lines = f"{{item: all-purpose flour, amount: {grams} g}}\n      - {{item: salt, amount: {number + 1} g}}"
    return formula_text(lines).replace("formula: trial", f"formula: loaf-{number}")


def some(kitchen: Path, chance: random.Random) -> Path:
    return chance.choice(sorted(kitchen.glob("formulas/*/formula.yaml"))[:3])


def edit(kitchen: Path, chance: random.Random) -> None:
    path = some(kitchen, chance)
    path.write_text(path.read_text().replace("amount: ", f"amount: {chance.randint(1, 9)}", 1))


def set_house(kitchen: Path, chance: random.Random) -> None:
    levels = chance.choice(["salt-missing: error", "salt-out-of-proportion: error", "yield-missing: off"])  # fmt: skip
    (kitchen / "formulas" / "house.yaml").write_text(
        f"house: Saltmarsh Lane\nrules: {{{levels}}}\n"
    )


def set_ingredient(kitchen: Path, chance: random.Random) -> None:
    (kitchen / "formulas" / "ingredients.yaml").write_text(
        f"ingredients:\n  - {{name: marsh meal, group: flour, source: our scale, water: {chance.randint(5, 15)}}}\n"
    )


def move(kitchen: Path, chance: random.Random) -> None:
    path = some(kitchen, chance).parent
    git(kitchen, "mv", "-k", str(path), f"{path}-{chance.randint(0, 9)}")


def bake(kitchen: Path, chance: random.Random) -> None:
    folder = some(kitchen, chance).parent
    run_cli("bake", "new", str(folder), "--baker", "A", "--verdict", "keep", cwd=kitchen)


def commit(kitchen: Path, chance: random.Random) -> None:
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-q", "--allow-empty", "-m", f"Try {chance.randint(0, 999)}")


def amend(kitchen: Path, chance: random.Random) -> None:
    git(
        kitchen,
        "commit",
        "-qa",
        "--amend",
        "--allow-empty",
        "-m",
        f"Amended {chance.randint(0, 999)}",
    )


def merge(kitchen: Path, chance: random.Random) -> None:
    commit(kitchen, chance)
    git(kitchen, "switch", "-qc", "aside", "HEAD~1")
    (kitchen / "note.txt").write_text(str(chance.random()))
    commit(kitchen, chance)
    git(kitchen, "switch", "-q", "main")
    git(kitchen, "merge", "-q", "-X", "ours", "--no-edit", "aside")
    git(kitchen, "branch", "-qD", "aside")


def go_back(kitchen: Path, chance: random.Random) -> None:
    commit(kitchen, chance)
    git(kitchen, "reset", "-q", "--hard", "HEAD~1")


def replace_a_commit(kitchen: Path, chance: random.Random) -> None:
    commit(kitchen, chance)
    git(kitchen, "replace", "-f", "HEAD", "HEAD~1")


def spoil(kitchen: Path, chance: random.Random) -> None:
    """One byte of one kept file is another, or the file ends early."""
    kept = sorted(p for p in (kitchen / ".git" / "perflour").glob("*"))
    for path in chance.sample(kept, min(2, len(kept))):
        content = bytearray(path.read_bytes() or b"0")
        at = chance.randrange(len(content))
        content[at] ^= chance.choice([1, 3, 16, 255])
        path.write_bytes(content if chance.random() < 0.7 else content[:at])


ACTS: list[Act] = [
    edit, edit, set_house, set_ingredient, move, bake, commit, amend, merge, go_back, replace_a_commit, spoil, spoil,
]  # fmt: skip


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(times(5)))
def test_kept_work_says_what_new_work_says(repository: Path, seed: int) -> None:
    chance = random.Random(seed)
    for number in range(FILES):
        path = repository / "formulas" / f"loaf-{number}" / "formula.yaml"
        path.parent.mkdir(parents=True)
        path.write_text(formula(number))
    commit(repository, chance)
    commit(repository, chance)
    for words in COMMANDS:
        run_cli(*words, cwd=repository)
    for act in chance.choices(ACTS, k=8):
        act(repository, chance)
        for words in COMMANDS:
            kept = run_cli(*words, cwd=repository)
            new = run_cli(*words, "--forget", cwd=repository)
            assert (kept.code, kept.all) == (new.code, new.all), (seed, act.__name__, words)


def test_a_spoilt_byte_anywhere_is_forgotten(repository: Path) -> None:
    """Every fiftieth byte of every kept file, whatever it stands for."""
    path = repository / "formulas" / "loaf-1" / "formula.yaml"
    path.parent.mkdir(parents=True)
    for grams in (500, 510, 520):
        path.write_text(formula(1, grams))
        commit(repository, random.Random(grams))
    words = ("changelog", "--output", "json")
    wanted = run_cli(*words, cwd=repository).all
    kept = {p: p.read_bytes() for p in sorted((repository / ".git" / "perflour").iterdir())}
    assert kept
    for file, content in kept.items():
        for at in range(0, len(content), 50):
            spoilt = bytearray(content)
            spoilt[at] ^= 1
            file.write_bytes(spoilt)
            assert run_cli(*words, cwd=repository).all == wanted, (file.name, at)
        file.write_bytes(content)
