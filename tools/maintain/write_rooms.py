"""Write the table of rooms into DEVELOPERS.md, from the first words of each package.

tests/whole/test_architecture.py makes the table again and compares.

    python tools/maintain/write_rooms.py
"""

from __future__ import annotations

import ast
from configparser import ConfigParser
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "tools" / "perflour"
PAGE = ROOT / "DEVELOPERS.md"
START, END = "<!-- rooms: written by tools/maintain/write_rooms.py -->\n", "<!-- end of rooms -->\n"


def layers() -> list[list[str]]:
    """The rooms of each layer from the roof down, as import-linter holds them."""
    config = ConfigParser()
    config.read(ROOT / ".importlinter", encoding="utf-8")
    lines = config["importlinter:contract:rooms"]["layers"].split("\n")
    return [line.split(" | ") for line in lines if line]


def table() -> str:
    """One row a room, the ground first, with the rooms inside it after it."""
    rows = ["| room | what it is for, and what it touches |", "| --- | --- |"]
    for layer in reversed(layers()):
        for room in layer:
            rows += [f"| `{name}` | {_sentence(path)} |" for name, path in _packages(room)]
    return "\n".join(rows) + "\n"


def page() -> str:
    """DEVELOPERS.md with the table as it should be."""
    before, rest = PAGE.read_text(encoding="utf-8").split(START)
    return before + START + table() + END + rest.split(END)[1]


def _packages(room: str) -> list[tuple[str, Path]]:
    """A room's own file and those of the packages in it, by name."""
    folder = PACKAGE / room
    if not folder.is_dir():
        return [(room, PACKAGE / f"{room}.py")]
    found = sorted(folder.rglob("__init__.py"))
    return [(path.parent.relative_to(PACKAGE).as_posix(), path) for path in found]


def _sentence(path: Path) -> str:
    text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    return " ".join(text.split("\n\n")[0].split())


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
