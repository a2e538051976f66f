"""A kitchen whose every text is one that tries to be more than text on a page, and the same in plain words.

The records are those of tests/hostile/kitchen.py, which holds every field that a schema allows; here each text of a
formula and of what stands beside it is the same one, so that each is seen in every place that shows any.
"""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tests.browser.demo_pages import Made
from tests.conftest import GIT_ENVIRONMENT, git, run_cli
from tests.hostile.kitchen import CATALOGUE, EVIL, FORMULA, HOUSE, PRICES, bake, session

#: What stands in the files, by what it would be; whatever runs changes the title of the page or asks the reader.
WORDS = {
    "script": "<script>document.title='broken'</script>",
    "picture": '"><img src=x onerror="document.title=\'broken\'">',
    "end-of-script": "</script><script>document.title='broken'</script>",
    "end-of-data": "]]><b onclick=\"document.title='broken'\">-->",
    "template": "{{7*7}} {% set title = 49 %}",
    "end-of-style": "</style><style>*{display:none}</style>",
    "end-of-title": "</title><script>alert('broken')</script>",
    "end-of-drawing": "</svg><iframe src=\"javascript:alert('broken')\">",
    "address": "javascript:document.title='broken'",
    "attribute": "' autofocus onfocus=alert(1) x='",
    "long": "flour" * 80,
}
#: Files may not hold these; commits may.
TURNED = "\u202eturned\u202c \u2066alone"
PLAIN = {name: f"plain {name}" for name in WORDS}

#: Where the texts of kitchen.py begin that try to act.
_ACTING = re.compile("(?:evil \r|\u200b\u200e).*", re.DOTALL)
#: What a schema allows, where it is less than the longest word.
_ROOM = {"into": 300, "source": 300, "composition-source": 400}
_SHORT, _TITLE, _LONG = 80, 200, 400

SESSION, TRIAL = "formulas/sessions/2026-03-15.yaml", "formulas/trials/plain"
EACH = "a..b"
VARIED = ("trial", "plan", "formulas/script", "--vary", "water=60..70", "--bakes", "4", "--tasters", "3", "--replicates", "2", "--seed", "7", "--date", "2026-03-10")  # fmt: skip


def pages(texts: Mapping[str, str]) -> dict[str, Made]:
    """Every kind of page of such a kitchen."""
    asked = ("--question", " ".join(texts.values())[:500])
    return {
        "compare": Made("compare", ("compare", "formulas")),
        "changelogs": Made("changelogs together", ("changelog", "formulas")),
        "review": Made("review", ("review", EACH)),
        "release for the team": Made("release", ("release", EACH, "--in-full")),
        "release for readers": Made("release", ("release", EACH, "--for", "readers")),
        "release for the editor": Made("release", ("release", EACH, "--for", "editor")),
        "cookbook": Made("draft", ("draft", "--all")),
        "plan": Made("plan", ("plan", *(f"formulas/{name}" for name in texts), "--seconds", "2")),
        "bench sheets": Made(
            "bench sheets",
            ("plan", *(f"formulas/{name}" for name in texts), "--print", "bench", "--seconds", "2"),
        ),
        "sheets": Made("tasting sheets", ("bake", "sheets", SESSION)),
        "trial plan": Made("trial", (*VARIED, *asked, "--name", "other", "--dry-run")),
        "trial results": Made("trial results", ("trial", "results", TRIAL)),
    }


def filled(record: Any, words: str, key: str = "") -> Any:
    """A record of kitchen.py with the words in place of what acts there, as long as their field allows."""
    if isinstance(record, Mapping):
        return {filled(name, words): filled(value, words, name) for name, value in record.items()}
    if isinstance(record, list | tuple):
        return [filled(one, words, key) for one in record]
    found = _ACTING.search(record) if isinstance(record, str) else None
    if not found:
        return record
    room = _ROOM.get(key) or (
        _LONG if found[0] == EVIL else _TITLE if found[0].startswith("evil") else _SHORT
    )
    return record[: found.start()] + words[: room - found.start()]


def build(folder: Path, texts: Mapping[str, str]) -> None:
    """The repository: a formula for each text, baked, tasted together, varied in a trial; tags ``a`` and ``b``."""
    git(folder, "init", "-q", "-b", "main")
    kitchen = folder / "formulas"
    every = " ".join(text for text in texts.values() if len(text) < _SHORT)
    _write(kitchen / "house.yaml", filled(HOUSE, texts["end-of-title"]) | {"house": every[:_TITLE]})
    made = [filled(CATALOGUE, text)["ingredients"][0] for text in texts.values()]
    _write(kitchen / "ingredients.yaml", {"ingredients": made})
    _write(kitchen / "prices.yaml", filled(PRICES, texts["script"]) | {"note": every})
    for name, text in texts.items():
        put_formula(kitchen / name, text, 320)
    commit(folder, "Start", "a")
    first = digests(folder, texts)
    for name, text in texts.items():
        _write(
            kitchen / name / "bakes" / "2026-03-14.yaml",
            filled(bake(first[name]), text) | {"formula": name},
        )
        put_formula(kitchen / name, text, 340)
        commit(folder, text)
    tasted(folder, texts, digests(folder, texts))
    tried(folder, texts)
    commit(folder, f"{TURNED} {every}", "b")


def put_formula(folder: Path, text: str, water_g: int) -> None:
    """A formula of one text; its second version has more water and other notes."""
    formula = filled(FORMULA, text) | {"formula": folder.name, "title": text[:_TITLE]}
    formula["parts"][0]["ingredients"][1]["amount"] = f"{water_g} g"
    formula["method"][2]["note"] = f"{water_g} {text}"
    _write(folder / "formula.yaml", formula)


def tasted(folder: Path, texts: Mapping[str, str], of: Mapping[str, str]) -> None:
    """All formulas in one session, by tasters of these names."""
    codes = {name: str(301 + at) for at, name in enumerate(texts)}
    tasters = [text[:_SHORT] for text in texts.values()]
    record = filled(session((of["script"], of["picture"])), texts["script"]) | {
        "question": " ".join(texts.values())[:500],
        "samples": [
            {"formula": name, "of": of[name], "codes": [code]} for name, code in codes.items()
        ],
        "order": [{"taster": name, "serve": [*codes.values()]} for name in tasters],
        "absent": [],
        "scores": [
            {"taster": name, "code": code, "crumb": 5}
            for name in tasters
            for code in codes.values()
        ],
    }
    _write(folder / SESSION, record)


def tried(folder: Path, texts: Mapping[str, str]) -> None:
    """A trial of the first formula, baked and scored, with these texts in its records."""
    import yaml

    done = run_cli(*VARIED, "--name", "plain", cwd=folder)
    assert done.code == 0, done.err
    file = folder / TRIAL / "trial.yaml"
    trial = yaml.safe_load(file.read_text(encoding="utf-8"))
    every = " ".join(texts.values())
    named = texts["picture"][:_SHORT]
    trial["factors"][0]["factor"] = named
    for at, run in enumerate(trial["bakes"]):
        run["levels"] = dict(zip([named], run["levels"].values(), strict=True))
        record = filled(bake(run["of"]), texts["end-of-drawing"]) | {
            "formula": run["formula"],
            "date": "2026-03-12",
            "scores": [
                {"taster": text[:_SHORT], "crumb": 4 + (at + who) % 3}
                for who, text in enumerate(texts.values())
            ],
        }
        _write(folder / TRIAL / run["formula"] / "bakes" / "2026-03-12.yaml", record)
    _write(file, trial | {"question": every[:500], "notes": every, "decided": every[:1000]})


def digests(folder: Path, texts: Mapping[str, str]) -> dict[str, str]:
    """The revision of each formula."""
    return {
        name: str(
            json.loads(run_cli("show", f"formulas/{name}", "--output", "json", cwd=folder).out)[
                "revision"
            ]
        )
        for name in texts
    }


def commit(folder: Path, subject: str, tag: str = "") -> None:
    """All files, by an author who is called like the subject."""
    git(folder, "add", "formulas")
    named = GIT_ENVIRONMENT | {"GIT_AUTHOR_NAME": subject, "LC_ALL": "C.UTF-8"}
    words = ["git", "commit", "-q", "--cleanup=verbatim", "-m", subject]
    subprocess.run(words, cwd=folder, env=named, check=True, capture_output=True)
    if tag:
        git(folder, "tag", tag)


def _write(path: Path, data: Any) -> None:
    """JSON, which YAML reads."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(data, indent=1, default=str), encoding="utf-8")
