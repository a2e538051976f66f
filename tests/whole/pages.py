"""README.md and docs/ as their tests read them: fenced blocks, and what a block shows.

A block of text or diff directly under a block of commands shows all that these print; a line of three
dots stands for any lines. With a sentence between the two it is an illustration, which nothing compares.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from tests.conftest import ROOT

PAGES = [
    *(ROOT / f"{name}.md" for name in ("README", "CHANGELOG", "DEVELOPERS")),
    *sorted((ROOT / "docs").rglob("*.md")),
]
FENCE = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Block(NamedTuple):
    """A fenced block, and of commands what the block directly under it shows."""

    language: str
    content: str
    shown: str = ""

    @property
    def lines(self) -> list[str]:
        """The commands, without the words behind them."""
        return [re.split(r"\s+# ", line)[0].strip() for line in self.content.splitlines() if line]


def blocks_of(text: str) -> list[Block]:
    """Every fenced block of a page."""
    found: list[Block] = []
    end = 0
    for m in FENCE.finditer(text):
        block = Block(m[1], m[2])
        under = found and found[-1].language == "sh" and not text[end : m.start()].strip()
        if under and block.language in ("text", "diff"):
            found[-1] = found[-1]._replace(shown=block.content)
        found.append(block)
        end = m.end()
    return found


def blocks(language: str) -> list[tuple[str, Block]]:
    """Page and block of every fenced block in a language."""
    return [
        (page.relative_to(ROOT).as_posix(), block)
        for page in PAGES
        for block in blocks_of(page.read_text(encoding="utf-8"))
        if block.language == language
    ]


def shown_in(shown: str, printed: str) -> bool:
    """Whether the lines shown stand in what was printed, in order; ``...`` is any lines."""
    rest = f"\n{printed}"
    for piece in re.split(r"^\.\.\.\n", shown, flags=re.MULTILINE):
        wanted = f"\n{piece.rstrip()}\n" if piece.strip() else ""
        at = rest.find(wanted)
        if at < 0:
            return False
        rest = rest[at + len(wanted) - 1 :] if wanted else rest
    return True
