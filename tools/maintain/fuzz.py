"""Every command over repositories that nobody should have: changed files of every kind, under strange names.

A round lays out a small repository of files that were ours (the demo, the rules' examples, published formulas),
changed at random places by someone who knows what stands where, commits some of it, and runs random commands
on it. What must hold, of every run: it ends in time and memory; its exit code is 0, 1 or 2; no fault of our
own, no traceback; no raw control or direction sign in what is printed; no half-written file beside another.

    python tools/maintain/fuzz.py --runs 20000 --seed 1

Prints a line for each run that breaks this, keeps its repository, and exits with 1.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests import forked  # noqa: E402
from tests.conftest import GIT_ENVIRONMENT  # noqa: E402

CEILING_S = 20
CEILING_BYTES = 4 << 30  # of address space, of which libraries of arrays and charts take most
#: What no terminal may be sent: C0 but tab and line feed, DEL, C1, directions and separators of Unicode.
RAW = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]"
)
STRANGE = (
    "", "~", "[]", "{}", "[[[[[]]]]]", "-1", "0", "1e400", ".nan", ".inf", "9" * 400, "0x1F", "1_000", "true", "2026-02-30",
    "1/0 g", "0.1 mg", "1 cup plus", "1-", "-3 g", "5 %", "200 %", "rest", "some", "rest of the rest", "1,5 kg", "½", "⅞ cup",
    '"\\u202egnp.exe"', '"\\x1b[2J"', '"a\\nb"', '"\\0"', '"::error::x"', "'@everyone #1'", "'=1+1'", "'<script>'", "'![x](y)'",
    "*a", "&a b", "!!python/object:x", "? x", "|", ">-", "'", '"', "# x", "../../etc/passwd", "/etc/passwd", "a" * 3000,
    "\U0001f35e", "e\u0301", "\ufeff", "\u00a0", "\u3000", "Straße", "ИЖ", "(mixed, in turn)", "180 °C (200 °F)", "gas 99",
)  # fmt: skip
NAMES = (
    "loaf", "-x", "--fix", "a b", "ä", "x" * 200, "$(x)", "a'b", 'a"b', "a;b", "*", "[a]", "\x1b[31m", "a\nb", "\u202ea", "@a", "#1",
    "::error::", "con", ".hidden", "a\tb", "e\u0301", "bakes", "formulas", "sessions",
)  # fmt: skip
COMMANDS: tuple[str, ...] = (
    "lint", "lint --output json", "lint --output sarif", "lint --output markdown", "lint --output lines", "lint --fix", "lint FILE",
    "show", "show --output json", "show --output recipe", "show --per piece", "contents", "contents --output json", "format --check",
    "format --diff", "format", "scale FILE --times 2", "scale FILE --times 1/3 --output formula", "scale FILE --pieces 7 --household",
    "scale FILE --flour 1kg --whole-eggs", "scale FILE --pans volume_2_l", "scale FILE --batch VALUE", "scale FILE --have butter=VALUE",
    "cost", "cost --output markdown", "cost --packs --make loaf=2", "plan --make loaf=2 --seconds 1", "plan --make loaf=VALUE --seconds 1",
    "compare", "compare --output markdown", "compare --output csv", "compare --output html", "compare --output json", "diff",
    "diff HEAD~1 HEAD", "diff --output json", "diff --output subject", "diff FILE FILE", "changelog", "changelog --output markdown",
    "changelog --by commit", "changelog --output html", "changelog --write", "changelog --check", "release HEAD~1..HEAD",
    "release HEAD~1..HEAD --output markdown", "review HEAD~1..HEAD", "review HEAD~1..HEAD --output markdown",
    "review HEAD~1..HEAD --output html", "review HEAD~1..HEAD --output json", "draft --all --output json", "draft --all --output html",
    "bake list", "bake list --output markdown", "bake check", "bake judge", "bake new FILE --baker VALUE --verdict keep",
    "bake session FILE FILE --tasters 4 --seed 1", "import recipe.txt", "import page.html", "import sheet.csv", "import recipe.txt --title VALUE",
    "new formula VALUE --class loaf-cake", "git-sheet --house= FILE", "git-merge FILE FILE FILE FILE", "check-setup", "explain VALUE",
    "show VALUE", "release VALUE..HEAD", "diff VALUE",
)  # fmt: skip
KINDS = {
    "formula.yaml": ("formulas", "tests/rules", "tests/published"),
    "house.yaml": ("formulas", "tests/rules"),
    "ingredients.yaml": ("formulas", "tests/rules"),
    "prices.yaml": ("formulas",),
}
RECIPE = "Oat loaf\n\nMakes 1 loaf\n\n500 g flour\n1 1/2 cups milk\n10 g salt\n2 large eggs, beaten\n\nMix all. Bake at 375 F for 40 minutes.\n"
PAGE = '<script type="application/ld+json">{"@type": "Recipe", "name": "Loaf", "recipeIngredient": ["500 g flour", "2 eggs"], "recipeInstructions": "Mix. Bake at 200 C."}</script>'
SHEET = "Ingredient,Qty,Unit\nflour,500,g\nmilk,1 1/2,cup\nsalt,10,g\n"


class Seeds:
    """The texts that are changed, by kind of file."""

    def __init__(self) -> None:
        self.by_name = {
            name: [p for folder in folders for p in sorted((ROOT / folder).rglob(name))]
            for name, folders in KINDS.items()
        }
        self.by_name["formula.yaml"] += sorted((ROOT / "tests" / "rules").glob("*/*.yaml"))
        self.bakes = sorted((ROOT / "formulas").rglob("bakes/*.yaml"))
        self.sessions = sorted((ROOT / "formulas").rglob("sessions/*.yaml"))

    def text(self, chance: random.Random, paths: list[Path]) -> str:
        return chance.choice(paths).read_text(encoding="utf-8")


def _value(text: str, chance: random.Random) -> str:
    """One value, in a list or behind a key, is another."""
    places = list(re.finditer(r"(?<=: )[^\n,{}\[\]]+|(?<=- )[^\n,{}\[\]:]+", text))
    if not places:
        return text
    at = chance.choice(places)
    return text[: at.start()] + chance.choice(STRANGE) + text[at.end() :]


def _lines(text: str, chance: random.Random) -> str:
    """A line is gone, there twice, elsewhere, further in or many times."""
    lines = text.splitlines(keepends=True)
    if not lines:
        return text
    at, to = chance.randrange(len(lines)), chance.randrange(len(lines))
    how = chance.randrange(5)
    if how == 0:
        del lines[at]
    elif how == 1:
        lines.insert(to, lines[at])
    elif how == 2:
        lines.insert(to, lines.pop(at))
    elif how == 3:
        lines[at] = "  " + lines[at]
    else:
        lines[at:at] = [lines[at]] * chance.choice([3, 30, 300])
    return "".join(lines)


def _signs(text: str, chance: random.Random) -> str:
    """One sign is another, or more stand there."""
    at = chance.randrange(len(text) + 1)
    new = chance.choice(
        [
            "\x00",
            "\x1b",
            "\x85",
            "\u2028",
            "\t",
            "\r\n",
            ":",
            "-",
            "{",
            "]",
            '"',
            "\ud800",
            "9",
            " ",
        ]
    )
    return text[:at] + new + text[at + chance.randrange(2) :]


def _word(text: str, chance: random.Random) -> str:
    """A word stands where another stood."""
    words = list(re.finditer(r"[A-Za-z][A-Za-z-]+", text))
    if len(words) < 2:
        return text
    old, new = chance.choice(words), chance.choice(words)
    return text[: old.start()] + new[0] + text[old.end() :]


def _end(text: str, chance: random.Random) -> str:
    return text[: chance.randrange(len(text) + 1)]


CHANGES: tuple[Callable[[str, random.Random], str], ...] = (
    _value,
    _value,
    _value,
    _lines,
    _lines,
    _signs,
    _word,
    _end,
)


def changed(text: str, chance: random.Random) -> str:
    """A text with up to four changes; one in six is left as it is."""
    for _ in range(chance.choice([0, 1, 1, 2, 3, 4])):
        text = chance.choice(CHANGES)(text, chance)
    return text


def _write(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode("utf-8", "surrogatepass"))
    except (OSError, ValueError):
        return  # a name that the file system has no place for


def lay_out(top: Path, seeds: Seeds, chance: random.Random) -> None:
    """A repository of two commits and what is not committed."""
    _git(top, "init", "-q", "-b", "main")
    for commit in range(2):
        fill(top, seeds, chance)
        _git(top, "add", "-A")
        _git(
            top,
            "commit",
            "-q",
            "--allow-empty",
            "-m",
            chance.choice([f"Try {commit}", "\x1b[1mTry", "::error::", "@all #1 <b>", "\u202etry"]),
        )
    fill(top, seeds, chance)


def fill(top: Path, seeds: Seeds, chance: random.Random) -> None:
    """Files of every kind below formulas/, some of them changed."""
    for _ in range(chance.randint(1, 3)):
        folder = top / "formulas" / chance.choice(["loaf", "loaf", chance.choice(NAMES)])
        _write(
            folder / "formula.yaml",
            changed(seeds.text(chance, seeds.by_name["formula.yaml"]), chance),
        )
        if chance.random() < 0.4:
            _write(
                folder / "bakes" / chance.choice(["2026-03-14.yaml", "x.yaml"]),
                changed(seeds.text(chance, seeds.bakes), chance),
            )
    for name in ("house.yaml", "ingredients.yaml", "prices.yaml"):
        if chance.random() < 0.4:
            _write(
                top / "formulas" / name, changed(seeds.text(chance, seeds.by_name[name]), chance)
            )
    if seeds.sessions and chance.random() < 0.3:
        _write(
            top / "formulas" / "sessions" / "2026-03-14.yaml",
            changed(seeds.text(chance, seeds.sessions), chance),
        )
    for name, text in (("recipe.txt", RECIPE), ("page.html", PAGE), ("sheet.csv", SHEET)):
        _write(top / name, changed(text, chance))


def _git(top: Path, *words: str) -> None:
    subprocess.run(["git", *words], cwd=top, env=GIT_ENVIRONMENT, capture_output=True, check=False)


def words_of(command: str, top: Path, chance: random.Random) -> tuple[str, ...]:
    """A command with files of the repository and strange values in it."""
    files = sorted(str(p.relative_to(top)) for p in (top / "formulas").rglob("*.yaml")) or [
        "formulas"
    ]

    def word(said: str) -> str:
        said = said.replace(
            "VALUE", chance.choice(STRANGE).replace("\0", "") if "VALUE" in said else ""
        )
        return chance.choice(files) if said == "FILE" else said.replace("_", " ")

    return tuple(word(said).encode("utf-8", "replace").decode() for said in command.split())


def wrong(words: tuple[str, ...], top: Path) -> str:
    """What is wrong with a run; empty where nothing is."""
    before = time.monotonic()
    try:
        code, out, err = forked.run(words, top, b"", GIT_ENVIRONMENT, CEILING_S)
    except subprocess.TimeoutExpired:
        return f"over {CEILING_S} s"
    took = time.monotonic() - before
    said = (out + err).decode("utf-8", "replace").replace("\r\n", "\n")
    if code not in (0, 1, 2):
        return f"exit code {code}"
    if "fault of our own" in said or "Traceback" in said:
        return next(line for line in said.splitlines() if "fault" in line or "Traceback" in line)[
            :200
        ]
    if found := RAW.search(said):
        at = max(0, found.start() - 30)
        return f"raw {found[0]!r} in {said[at : found.end() + 20]!r}"
    if any(line.startswith(("::", "##[")) for line in said.splitlines()):
        return "a line that a CI host obeys"
    left = [p.name for p in top.rglob(".*.yaml.*")]
    return f"left {left}" if left else f"{took:.0f} s" if took > CEILING_S / 2 else ""


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--runs", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--keep", default="", metavar="FOLDER", help="where repositories of wrong runs are kept"
    )
    asked = parser.parse_args()
    kept = Path(asked.keep or tempfile.mkdtemp(prefix="fuzz-"))
    resource.setrlimit(resource.RLIMIT_AS, (CEILING_BYTES, CEILING_BYTES))
    seeds, runs, bad = Seeds(), 0, 0
    codes: Counter[str] = Counter()
    number = 0
    while runs < asked.runs:
        number += 1
        chance = random.Random(f"{asked.seed} {number}")
        with tempfile.TemporaryDirectory(prefix="fuzzed-") as name:
            top = Path(name)
            lay_out(top, seeds, chance)
            for command in chance.sample(COMMANDS, 12):
                runs += 1
                words = words_of(command, top, chance)
                codes[command.split()[0]] += 1
                if told := wrong(words, top):
                    bad += 1
                    print(f"{asked.seed}/{number}: {' '.join(words)[:120]!r}: {told}", flush=True)
                    shutil.copytree(
                        top, kept / f"{asked.seed}-{number}", dirs_exist_ok=True, symlinks=True
                    )
    print(f"{runs} runs in {number} repositories, {bad} wrong; {dict(codes)}")
    return 1 if bad else 0


if __name__ == "__main__":
    os.environ.pop("PERFLOUR_TRACEBACK", None)
    raise SystemExit(main())
