"""How long an editor waits for `perflour editor`: a real server, asked by its protocol, key by key.

Formulas of 60 and of 1,000 lines are opened and changed by one sign at a time; after each change one thing is asked, as
if nothing of that version were known yet. Prints the median and the 95th percentile of each answer by the clock and by
the time that the server's thread had a processor (where the system tells), and how the latter stands to a plain reading
of the same text by pyyaml's own loader in the same run:

    python benchmarks/editor.py [--rounds 41]

At the 95th percentile an answer takes at most 50 ms for 60 lines, 200 ms for 1,000. On a machine that does other work
the clock tells of that too: look at the processor's time then, and compare ratios.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any, NamedTuple

import yaml
from measuring import ROOT

sys.path.insert(0, str(ROOT))

from tests.editor.plain_client import PlainClient

LINES = {60: 50.0, 1000: 200.0}
ITEMS = ("bread flour", "water", "table salt", "granulated sugar", "unsalted butter", "egg", "whole milk", "rolled oats", "honey", "cinnamon")  # fmt: skip
HEAD = "formula: long\ntitle: Long loaf\nclass: lean-bread\nstatus: draft\nparts:\n"
LAST = "  - {do: rest, for: 20 min, note: covered}\n"
FILE = "formulas/long/formula.yaml"


def formula_of(lines: int) -> str:
    """A formula of so many lines: two in three an ingredient, in parts of fifty lines; the others are steps."""
    text, parts = HEAD, max(1, lines // 50)
    each = (lines * 2 // 3 - 3 * parts) // parts
    for part in range(parts):
        text += f"  - part: dough {part}\n    kind: dough\n    ingredients:\n"
        for number in range(each):
            item = ITEMS[number % len(ITEMS)]
            text += f"      - {{item: {item}, amount: {10 + number} g}}\n"
    text += "method:\n"
    for step in range(text.count("\n"), lines - 1):
        text += f"  - {{do: mix, uses: [bread flour, water], for: 5 min, until: smooth, note: round {step}}}\n"
    return text + LAST


class Times(NamedTuple):
    """The ms of one answer by the clock, and those that the server worked on it."""

    waited: float
    worked: float


class Typing:
    """A formula that is open and typed in."""

    def __init__(self, client: PlainClient, text: str) -> None:
        self.client, self.version = client, 1
        self.last = text.count("\n") - 1
        self.name = next(n for n, line in enumerate(text.split("\n")) if "item: egg" in line), 18
        self.questions: dict[str, dict[str, Any]] = {
            "inlayHint": {"range": self._range((0, 0), (self.last, 0))},
            "hover": {"at": self.name},
            "completion": {"at": self.name},
            "codeAction": {"range": self._range(self.name, self.name), "context": {"diagnostics": []}},
            "codeLens": {},
            "documentSymbol": {},
            "references": {"at": self.name, "context": {"includeDeclaration": True}},
            "rename": {"at": self.name, "newName": "duck egg"},
            "formatting": {"options": {"tabSize": 2, "insertSpaces": True}},
        }  # fmt: skip

    @staticmethod
    def _range(start: tuple[int, int], end: tuple[int, int]) -> dict[str, Any]:
        places = {"start": start, "end": end}
        return {which: {"line": at[0], "character": at[1]} for which, at in places.items()}

    def key(self) -> None:
        """One sign more in the last note."""
        self.version += 1
        at = self.last, LAST.index("}")
        self.client.change(FILE, self.version, {"range": self._range(at, at), "text": "y"})

    def judged(self) -> None:
        self.client.judged(FILE, self.version)

    def ask(self, what: str) -> None:
        self.client.about(what, FILE, **self.questions[what])

    def worked_ms(self) -> float:
        """How long the server's thread had a processor so far."""
        told = Path(f"/proc/{self.client.process.pid}/schedstat")
        return int(told.read_text().split()[0]) / 1e6 if told.exists() else float("nan")

    def timed(self, work: Callable[[], None]) -> Times:
        clock, worked = time.perf_counter(), self.worked_ms()
        work()
        return Times((time.perf_counter() - clock) * 1000, self.worked_ms() - worked)


def measure(lines: int, rounds: int) -> dict[str, list[Times]]:
    """The times of every answer; the first round, which loads what is needed, does not count."""
    took: dict[str, list[Times]] = {}
    with tempfile.TemporaryDirectory() as name, PlainClient(Path(name).resolve()) as client:
        client.begin()
        text = formula_of(lines)
        client.open(FILE, text)
        client.judged(FILE, 1)
        typing = Typing(client, text)
        for _ in range(rounds + 1):
            typing.key()
            took.setdefault("key to results", []).append(typing.timed(typing.judged))
            for what in typing.questions:
                typing.key()
                took.setdefault(what, []).append(typing.timed(lambda what=what: typing.ask(what)))  # type: ignore[misc]
                typing.judged()
                client.said.clear()
        client.end()
    return {what: times[1:] for what, times in took.items()}


def plain_reading(text: str, rounds: int = 3) -> float:
    """The ms of a processor that pyyaml's own loader takes for the text."""
    took = []
    for _ in range(rounds):
        start = time.process_time()
        yaml.safe_load(text)
        took.append((time.process_time() - start) * 1000)
    return median(took)


def at_95(values: list[float]) -> float:
    return sorted(values)[max(0, round(len(values) * 0.95) - 1)]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=41)
    rounds = parser.parse_args().rounds
    slow = 0
    for lines, most in LINES.items():
        took = measure(lines, rounds)
        peer = plain_reading(formula_of(lines))
        print(f"\n{lines:,} lines, {rounds} rounds; a plain reading by pyyaml {peer:.1f} ms")
        heads = ("p50", "p95", "worked p50", "worked p95", "/ plain reading")
        print(f"{'ms':<16}" + "".join(f"{head:>17}" for head in heads))
        for what, times in took.items():
            waited, worked = ([float(one[at]) for one in times] for at in (0, 1))
            figures = median(waited), at_95(waited), median(worked), at_95(worked)
            mark = f"  over {most:.0f}" if figures[1] > most else ""
            slow += bool(mark)
            row = "".join(f"{figure:17.1f}" for figure in figures)
            print(f"{what:<16}{row}{figures[3] / peer:17.2f}{mark}")
    return int(slow > 0)


if __name__ == "__main__":
    sys.exit(main())
