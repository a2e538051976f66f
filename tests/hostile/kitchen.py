"""A repository in which every text that a schema allows, and every name, tries to act where it is printed."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

from tests.conftest import GIT_ENVIRONMENT, git, run_cli

#: One sign of each kind that a file may hold, and with those that none may; then what each destination
#: would take for more than text.
HELD = "\r\u061c\u200b\u200e\ufeff\U000e0041"
SIGNS = f"\x1b[31m\x9b2J\x07\x7f\x85\u202e\u2028\u2066{HELD}"
LINES = "\n::error::evil\r\n##[error]evil\n# evil\n\n```\n<u>evil"
MARKUP = (
    "![evil](x) [evil](y) <u title=evil onclick=evil>evil</u> @evil #123 evil@evil.example "
    "https://evil.example www.evil.example | --- | ~~evil~~ &lt;script&gt; `evil` __evil__"
)
EVIL = f"evil {HELD}{LINES}{MARKUP}"
#: Where no file is read: words of a command, a recipe, a commit.
WORST = f"evil {SIGNS}{LINES}{MARKUP}"
#: For fields of at most 80 signs, and for names of files, of which a commit may hold but the tamer one.
SHORT = "\u200b\u200e\ufeff\n::error::evil\n##[error]@evil <u>|`#1"
NAME = "evil\x1b[31m\u202e\n##[error]\x85@evil <u>#1"
TAME_NAME = "evil\u200b\u200e##[error]@evil <u>#1"
AT_START = "::error::evil\x1b[1m\n::evil"
RAW = f"{AT_START}/raw/formula.yaml"

FORMULA: dict[str, Any] = {
    "formula": "trial",
    "title": EVIL[:190],
    "class": "evil",
    "status": "approved",
    "origin": "adapted",
    "citation": EVIL,
    "notes": EVIL,
    "allergens": [f"milk {EVIL}"[:190]],
    "yield": {"pieces": 2, "piece": f"loaf {SHORT}", "scaling-weight": "400 g"},
    "parts": [
        {
            "part": f"dough {SHORT}",
            "kind": "dough",
            "notes": EVIL,
            "ingredients": [
                {"item": "bread flour", "amount": "500 g", "state": SHORT, "note": EVIL},
                {"item": "water", "amount": "320 g"},
                {"item": "table salt", "amount": "10 g"},
                {"item": "instant yeast", "amount": "5 g"},
                {"item": f"=evil {SHORT}", "amount": "20 g"},
                {"item": "cornstarch", "amount": f"1 {SHORT}"},
                {"item": f"honey {SHORT}", "amount": "1 cup"},
                {"item": f"+seed {SHORT}", "amount": "12 g"},
            ],
        }
    ],
    "method": [
        {"do": "mix", "uses": ["bread flour", f"=evil {SHORT}"], "into": EVIL[:290], "with": SHORT},
        {"do": f"evil {SHORT}", "on": SHORT, "speed": SHORT, "fill": SHORT, "makes": SHORT},
        {"do": "knead", "for": "5 min", "to": "25 °C", "note": EVIL},
        {"do": "preheat", "to": "230 °C"},
        {"do": "bake", "at": "230 °C", "for": "35 min", "core": "97 °C", "until": EVIL[:490]},
        {"do": "cool", "for": "1 h", "note": EVIL},
    ],
    "waivers": [{"rule": "no-basis", "item": SHORT, "because": EVIL}],
}
#: Not as the schema says, or no amounts at all.
ODD = {
    **FORMULA,
    "formula": "odd",
    "evil": EVIL,
    "method": [{"do": "knead", "for": f"5 {SHORT}", "to": f"25 °C {SHORT}", "core": SHORT}],
}
HOUSE: dict[str, Any] = {
    "house": EVIL[:190],
    "classes": {
        "evil": {
            "title": EVIL[:190],
            "windows": {"salt": {"low": 3, "high": 4, "source": EVIL[:290]}},
        }
    },
}
CATALOGUE: dict[str, Any] = {
    "ingredients": [
        {
            "name": f"+seed {SHORT}",
            "aliases": [f"@alias {SHORT}"],
            "group": "nut",
            "composition": {"water": 5, "fat": 50, "sugar": 5, "protein": 20},
            "composition-source": EVIL[:290],
            "measures": [{"per": "cup", "grams": 120, "source": EVIL[:290]}],
            "allergens": {"us": ["tree-nuts"], "eu": ["nuts"]},
            "note": EVIL,
        }
    ]
}
PRICES: dict[str, Any] = {
    "currency": "EUR",
    "date": "2026-03-02",
    "note": EVIL,
    "prices": [
        {"item": "bread flour", "packs": ["1.40 for 1 kg"], "source": EVIL[:290], "note": EVIL},
        {"item": f"=evil {SHORT}", "packs": ["3.00 for 100 g"]},
        {"item": f"unknown {EVIL}"[:190], "packs": ["1.00 for 1 kg"], "note": EVIL},
    ],
}
RECIPE = f"""{WORST}

500 g bread flour {SIGNS}
20 g {SIGNS}evil @evil

1. Mix the flour {SIGNS}::error::evil
2. ::error::evil
"""


def bake(digest: str) -> dict[str, Any]:
    """A test bake of a revision."""
    return {
        "date": "2026-03-14",
        "formula": "trial",
        "of": digest,
        "baker": SHORT,
        "conditions": {
            "flour-lot": EVIL[:190],
            "room": SHORT,
            "oven": EVIL[:190],
            "altitude": SHORT,
        },
        "measured": {"core": SHORT, "height": SHORT},
        "scores": [
            {"taster": f"{name}{SHORT}", f"crumb {SHORT}": 5 + at, "overall": 6}
            for at, name in enumerate("ABC")
        ],
        "notes": EVIL,
        "photos": [
            {
                "file": f"{TAME_NAME}.jpg",
                "caption": EVIL[:190],
                "alt": EVIL[:490],
                "shows": EVIL[:190],
            }
        ],
        "verdict": "change",
        "next": {"try": EVIL[:490], "because": EVIL},
    }


def session(digests: tuple[str, str]) -> dict[str, Any]:
    """A tasting of two revisions."""
    codes = ("314", "159")
    tasters = [f"{name}{SHORT}" for name in "ABCD"]
    return {
        "date": "2026-03-15",
        "question": EVIL[:490],
        "ask": "scores",
        "attributes": ["crumb"],
        "seed": 7,
        "samples": [
            {"formula": "trial", "of": digest, "codes": [code], "bake": SHORT}
            for digest, code in zip(digests, codes, strict=True)
        ],
        "order": [{"taster": name, "serve": list(codes)} for name in tasters],
        "absent": [tasters[3]],
        "scores": [
            {"taster": name, "code": code, "crumb": 5 + at}
            for name in tasters[:3]
            for at, code in enumerate(codes)
        ],
        "notes": EVIL,
        "decided": EVIL,
    }


def build(folder: Path) -> None:
    """The repository: commits with tags ``a``, ``b``, ``c``, and files that are not committed.

    Of ``c`` no copy can be made: it holds a name with signs that act.
    """
    git(folder, "init", "-q", "-b", "main")
    kitchen = folder / "formulas"
    trial = kitchen / "trial"
    _write(kitchen / "house.yaml", HOUSE)
    _write(kitchen / "ingredients.yaml", CATALOGUE)
    _write(kitchen / "prices.yaml", PRICES)
    _formula(trial, 320)
    _write(kitchen / TAME_NAME / "formula.yaml", FORMULA)
    _write(folder / AT_START / "formula.yaml", ODD)
    _write(
        folder / AT_START / NAME / "formula.yaml",
        {**FORMULA, "formula": "odd", "method": ODD["method"]},
    )
    _write(folder / AT_START / "prices.yaml", {**PRICES, "currency": EVIL, EVIL: EVIL})
    _write(
        folder / AT_START / "house.yaml", {**HOUSE, "classes": {EVIL: {}}, "rules": {EVIL: EVIL}}
    )
    _write(folder / AT_START / "escapes" / "formula.yaml", {**FORMULA, "title": WORST[:190]})
    (folder / AT_START / "raw").mkdir()
    (folder / RAW).write_text(f"title: {SIGNS}evil\n", encoding="utf-8", newline="")
    (folder / "recipe.txt").write_text(RECIPE, encoding="utf-8")
    first = _digest(folder)
    _commit(folder)
    git(folder, "tag", "a")
    _write(trial / "bakes" / "2026-03-14.yaml", bake(first))
    _write(trial / "bakes" / f"2026-03-13{TAME_NAME}.yaml", bake("0" * 12))
    _write(trial / "bakes" / "2026-03-12.yaml", {**bake(first), "evil": EVIL})
    _formula(trial, 340)
    _commit(folder)
    _write(kitchen / "house.yaml", {**HOUSE, "house": f"new {EVIL}"[:190]})
    _write(kitchen / "sessions" / "2026-03-15.yaml", session((first, _digest(folder))))
    _write(trial / "bakes" / "2026-03-15.yaml", bake(_digest(folder)))
    _commit(folder)
    git(folder, "tag", "b")
    _write(kitchen / NAME / "formula.yaml", FORMULA)
    _commit(folder)
    git(folder, "tag", "c")
    _formula(trial, 350, {"title": f"other {EVIL}"[:190], "citation": f"other {EVIL}"})


def _formula(folder: Path, water_g: int, changed: dict[str, str] | None = None) -> None:
    formula = json.loads(json.dumps(FORMULA)) | (changed or {})
    formula["parts"][0]["ingredients"][1]["amount"] = f"{water_g} g"
    formula["parts"][0]["ingredients"][0]["note"] = f"{water_g} {EVIL}"
    formula["method"][2]["note"] = f"{water_g} {EVIL}"
    formula["method"][3]["note"] = f"{water_g} {EVIL}"
    _write(folder / "formula.yaml", formula)


def _write(path: Path, data: dict[str, Any]) -> None:
    """JSON, which YAML reads but for pairs: every sign as an escape, and hostile comments."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = json.dumps(data, indent=1).replace("\\udb40\\udc41", "\\U000e0041")
    path.write_text(f"{text}\n# \u200b{MARKUP}\n##[error]evil\n", encoding="utf-8")


def _digest(folder: Path) -> str:
    shown = run_cli("show", "formulas/trial", "--output", "json", cwd=folder)
    return str(json.loads(shown.out)["revision"])


def _commit(folder: Path) -> None:
    git(folder, "add", "formulas")
    named = GIT_ENVIRONMENT | {
        "GIT_AUTHOR_NAME": f"evil {NAME}",
        "GIT_AUTHOR_EMAIL": "a@evil.example",
    }
    subject = f"evil {SIGNS}{MARKUP}\n\n::error::evil"
    subprocess.run(
        ["git", "commit", "-q", "--cleanup=verbatim", "-m", subject],
        cwd=folder,
        env={**named, "LC_ALL": "C.UTF-8"},
        check=True,
        capture_output=True,
    )
