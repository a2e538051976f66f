"""Write docs/sources.md from tests/published/sources.yaml and from all that names a source.

What rests on a document is counted where it is named: in the `source` of rules, catalogue, cautions, windows and
published rows, and in the words beside the code and the tests. A `source` is parted at its semicolons; each part
must name a document of the list or say that there is none (``WITHOUT``).

    python tools/maintain/write_sources.py
"""

from __future__ import annotations

import csv
from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from perflour.kitchen.cautions import texts
from perflour.lint.rules.all_rules import RULES

ROOT = Path(__file__).parents[2]
LIST = ROOT / "tests" / "published" / "sources.yaml"
PAGE = ROOT / "docs" / "sources.md"
DATA = ROOT / "tools" / "perflour" / "data"
#: The house of a new kitchen is a template, and write_windows.py writes the same windows into both.
HOUSE = ROOT / "formulas" / "house.yaml"
#: How a part of a source says that no document stands behind it.
WITHOUT = ("common practice", "house choice", "computed", "from memory", "catalogue", "molar masses", "each with its own source", "by geometry")  # fmt: skip
#: Words of something printed, which has a name.
PRINTED = (".csv", "book", "chart", "handout", "household page", "leaflet", "law", "newspaper", "regulation", "standard ", "table", "treatise")  # fmt: skip
START = """\
# Sources

Every document that something in perflour rests on: a figure of the catalogue, a rule, a caution, a window, a
computation, a test. "From memory" means that the document was recalled and not read when the figure was written
down: check it before you rely on it. "Common practice, no source" means that no document stands behind a figure.
Of pages that are protected by copyright only figures are used, never their words; recipes are carried whole where
they are in the public domain or works of the US government, and otherwise their amounts alone.

What rests on a document is counted, not written by hand (`python tools/maintain/write_sources.py`).

| document | date | how it was seen | what rests on it |
| --- | --- | --- | --- |
"""


class Document(NamedTuple):
    """One row of the list; ``named`` are the words by which a source text names it."""

    named: tuple[str, ...]
    document: str
    date: str
    seen: str


class Said(NamedTuple):
    """One source text, with what it is the source of: a kind, and a name where single ones are told."""

    kind: str
    name: str
    text: str


@cache
def documents() -> tuple[Document, ...]:
    """The list."""
    rows = yaml.safe_load(LIST.read_text(encoding="utf-8"))["documents"]
    return tuple(Document(tuple(r["named"]), r["document"], r["date"], r["seen"]) for r in rows)


def sources() -> Iterator[Said]:
    """Every `source` of rules, catalogue, cautions, windows and what is held likely."""
    for rule in RULES:
        yield Said("rule", rule.id, rule.source)
    for caution in texts().cautions:
        yield Said("caution", caution.id, caution.source)
    for path in sorted((DATA / "catalogue").glob("*.yaml")):
        yield from (Said("figure of the catalogue", "", text) for text in _of_data(path))
    yield from (Said("window", "", text) for text in _of_data(HOUSE))
    yield from (Said("likely effect", "", text) for text in _of_data(DATA / "likely.yaml"))


def _of_data(path: Path) -> Iterator[str]:
    yield from _texts(yaml.safe_load(path.read_text(encoding="utf-8")))


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, dict):
        for key, value in data.items():
            if isinstance(value, str) and key.endswith("source"):
                yield value
            else:
                yield from _texts(value)
    elif isinstance(data, list):
        for value in data:
            yield from _texts(value)


def parts(text: str) -> list[str]:
    """The parts of a source text, each of which speaks of one document or of none."""
    return [part.strip() for part in text.split(";") if part.strip()]


def documents_in(text: str) -> list[Document]:
    """The documents that a text names; a name within a longer one of another document does not count."""
    found: list[Document] = []
    rest = text
    for name, document in _by_length():
        if name in rest:
            rest = rest.replace(name, "\0")
            if document not in found:
                found.append(document)
    return found


@cache
def _by_length() -> tuple[tuple[str, Document], ...]:
    named = [(name, document) for document in documents() for name in document.named]
    return tuple(sorted(named, key=lambda pair: len(pair[0]), reverse=True))


def unnamed(text: str) -> list[str]:
    """The parts of a source text that should name a document of the list, or say that there is none, and do not.

    The first part has to. The others may be remarks, but none that speaks of something printed.
    """
    return [
        part
        for at, part in enumerate(parts(text))
        if (at == 0 or any(word in part.lower() for word in PRINTED))
        and not documents_in(part)
        and not any(word in part for word in WITHOUT)
    ]


def published() -> Iterator[Said]:
    """The sources of what tests/published holds: rows of tables, recipes, texts."""
    folder = ROOT / "tests" / "published"
    for path in sorted(folder.rglob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                yield Said("published row", "", row.get("source") or "")
    for path in sorted((*folder.rglob("*.txt"), *folder.rglob("formula.yaml"))):
        yield Said("published recipe", "", path.read_text(encoding="utf-8"))
    for entry in yaml.safe_load((folder / "worked_examples.yaml").read_text(encoding="utf-8"))["examples"]:  # fmt: skip
        yield Said("worked example", entry["id"], " ".join(map(str, entry["source"].values())))
    by_class = yaml.safe_load((folder / "recipes_by_class.yaml").read_text(encoding="utf-8"))
    for recipe in by_class["recipes"]:
        yield Said("published recipe", "", by_class["sources"][recipe["source"]])
    for recipe in yaml.safe_load((folder / "pound_cakes.yaml").read_text(encoding="utf-8"))["recipes"]:  # fmt: skip
        yield Said("published recipe", "", recipe["source"])


def in_words() -> Iterator[Said]:
    """The words of the code and of the tests, by file."""
    for folder, kind in ((ROOT / "tools" / "perflour", "code"), (ROOT / "tests", "test")):
        for path in sorted(folder.rglob("*.py")):
            if "validators" not in path.parts and "lint/rules" not in path.as_posix():
                name = path.relative_to(ROOT).as_posix()
                yield Said(kind, name, path.read_text(encoding="utf-8"))


def resting() -> dict[Document, dict[str, list[str]]]:
    """What rests on each document, by kind, with the names of single ones ("" where they are only counted)."""
    found: dict[Document, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for said in (*sources(), *published(), *in_words()):
        for document in documents_in(said.text):
            found[document][said.kind].append(said.name)
    return found


def page() -> str:
    """docs/sources.md as it should be."""
    on = resting()
    rows = [
        f"| {d.document} | {d.date} | {d.seen} | {_rests(on.get(d, {}))} |\n" for d in documents()
    ]
    return START + "".join(rows) + _without()


def _rests(kinds: dict[str, list[str]]) -> str:
    return ", ".join(_one_kind(kind, names) for kind, names in kinds.items())


def _one_kind(kind: str, names: list[str]) -> str:
    if not any(names):
        return f"{len(names)} {_plural(kind, len(names))}"
    quoted = ", ".join(f"`{name}`" for name in dict.fromkeys(names))
    return f"{kind} {quoted}"


def _plural(kind: str, number: int) -> str:
    if number == 1:
        return kind
    first, *rest = kind.split(" of ")
    return " of ".join([f"{first}s", *rest])


def _without() -> str:
    """How much stands without a document, and says so."""
    counts: Counter[tuple[str, str]] = Counter()
    for said in sources():
        if not any(documents_in(part) for part in parts(said.text)):
            word = next((w for w in ("house choice", "published recipes", "common practice", "from memory", "computed") if w in said.text), "other figures of perflour, each with its source")  # fmt: skip
            counts[(word, said.kind)] += 1
    lines = [
        f"| {word} | {', '.join(f'{n} {_plural(kind, n)}' for (w, kind), n in counts.items() if w == word)} |\n"
        for word in dict.fromkeys(word for word, _ in counts)
    ]
    return (
        '\n## Without a document\n\nWhat names no document says so. "Published recipes" are those of [the windows](windows.md),'
        " which tell their books.\n\n| said of it | how much |\n| --- | --- |\n" + "".join(lines)
    )


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
