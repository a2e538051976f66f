"""What a terminal shows, on a real one (a pty): colours, pages, widths; and that a pipe and a file get none of it."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import sys
import termios
from pathlib import Path
from typing import NamedTuple

import pytest

from perflour.system.terminal import LOOKS
from tests.conftest import GIT_ENVIRONMENT, ROOT, run_cli

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a pty")

ESCAPE = re.compile(r"\x1b\[([0-9;]*)m")


class Seen(NamedTuple):
    """What a terminal got, its line ends as we write them, and the exit code."""

    text: str
    code: int

    @property
    def plain(self) -> str:
        return ESCAPE.sub("", self.text)

    @property
    def is_coloured(self) -> bool:
        return bool(ESCAPE.search(self.text))


def on_terminal(*words: str, cwd: Path = ROOT, size: tuple[int, int] = (80, 500), **said: str) -> Seen:  # fmt: skip
    """Run on a terminal of so many columns and rows; ``said`` is put into the environment."""
    environment = {**GIT_ENVIRONMENT, "TERM": "xterm", **said}
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(cwd)
        os.execve(sys.executable, [sys.executable, "-m", "perflour", *words], environment)
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
    got = b""
    while select.select([terminal], [], [], 60)[0]:
        try:
            piece = os.read(terminal, 65_536)
        except OSError:  # all of its other ends are closed
            break
        if not piece:
            break
        got += piece
    _, status = os.waitpid(child, 0)
    return Seen(got.decode().replace("\r\n", "\n"), os.waitstatus_to_exitcode(status))


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A formula with an error, in which texts try to colour the terminal by themselves."""
    folder = tmp_path_factory.mktemp("odd")
    (folder / "formula.yaml").write_text(
        "formula: odd\ntitle: \"Loaf \\ufdd0stop\\ufdd1 [31m\"\nclass: loaf-cake\nstatus: draft\nparts:\n"
        "  - part: batter\n    ingredients:\n      - {item: \"\\ufdd0stop\\ufdd1dust\", amount: 1 grab}\nmethod:\n  - {do: mix}\n",
        encoding="utf-8",
    )  # fmt: skip
    return folder


def test_colour_says_what_the_words_say(odd: Path) -> None:
    seen = on_terminal("lint", ".", cwd=odd)
    assert f"\x1b[{LOOKS['stop']}merror\x1b[0m: " in seen.text
    assert seen.plain == run_cli("lint", ".", cwd=odd).out
    assert seen.code == 1


def test_only_the_colours_that_every_terminal_has() -> None:
    """The eight of ECMA-48 (30 to 37) and bold (1), as the standard numbers them (from memory)."""
    for code in LOOKS.values():
        assert all(part == "1" or 30 <= int(part) <= 37 for part in code.split(";"))


@pytest.mark.parametrize(
    ("words", "said", "coloured"),
    [
        ((), {}, True),
        ((), {"NO_COLOR": "1"}, False),
        ((), {"NO_COLOR": ""}, True),
        ((), {"TERM": "dumb"}, False),
        (("--color", "never"), {}, False),
        (("--color=always",), {"NO_COLOR": "1"}, True),
    ],
)
def test_who_decides_on_colour(odd: Path, words: tuple[str, ...], said: dict[str, str], coloured: bool) -> None:  # fmt: skip
    """https://no-color.org: any text that is not empty; what is typed counts more (from memory)."""
    assert on_terminal(*words, "lint", ".", cwd=odd, **said).is_coloured is coloured
    assert on_terminal("lint", ".", *words, cwd=odd, **said).is_coloured is coloured


@pytest.mark.parametrize(("words", "coloured"), [((), False), (("--color", "always"), True)])
def test_a_pipe_gets_colour_where_it_is_asked_for(odd: Path, words: tuple[str, ...], coloured: bool) -> None:  # fmt: skip
    out = run_cli("lint", ".", *words, cwd=odd).out
    assert bool(ESCAPE.search(out)) is coloured
    assert "\x1b" not in ESCAPE.sub("", out)


def test_no_text_of_a_file_is_taken_for_a_colour(odd: Path) -> None:
    out = run_cli("--color", "always", "lint", ".", cwd=odd).out
    codes = set(ESCAPE.findall(out)) - {"0"}
    assert codes <= {LOOKS[level] for level in ("stop", "mind", "head")}
    assert "\ufdd0stop\ufdd1dust" in out  # as it is written, no mark of ours


def test_a_file_gets_no_colour(tmp_path: Path) -> None:
    table = tmp_path / "table.txt"
    words = ("compare", "formulas", "--write", str(table))
    assert run_cli("--color", "always", *words, cwd=ROOT).code == 0
    assert "\x1b" not in table.read_text(encoding="utf-8") and "\ufdd0" not in table.read_text(encoding="utf-8")  # fmt: skip


@pytest.mark.parametrize("form", ["json", "sarif", "markdown"])
def test_no_form_for_programs_is_coloured(odd: Path, form: str) -> None:
    words = ("lint", ".", "--output", form)
    assert run_cli("--color", "always", *words, cwd=odd).out == run_cli(*words, cwd=odd).out
    assert run_cli("-q", *words, cwd=odd).out == run_cli(*words, cwd=odd).out


# --- pages ---


def pager(folder: Path, body: str) -> str:
    script = folder / "pager"
    script.write_text(f"#!/bin/sh\n{body}\n", encoding="utf-8")
    script.chmod(0o755)
    return str(script)


SHOWN = ("lint", "tests/published/measure/military-h002-brownies/formula.yaml")


def test_a_long_report_goes_through_the_pager(tmp_path: Path) -> None:
    said = pager(tmp_path, "echo by pages; cat")
    assert on_terminal(*SHOWN, size=(80, 6), PAGER=said).text.startswith("by pages\n")
    seen = on_terminal(*SHOWN, size=(80, 6), PAGER="false", PERFLOUR_PAGER=said)
    assert seen.text.startswith("by pages\n")
    assert seen.code == run_cli(*SHOWN, cwd=ROOT).code == 1
    assert seen.plain == "by pages\n" + run_cli(*SHOWN, cwd=ROOT).out


@pytest.mark.parametrize(
    ("words", "size", "said"),
    [
        ((), (80, 500), {}),
        (("--no-pager",), (80, 6), {}),
        ((), (80, 6), {"PERFLOUR_PAGER": ""}),
        ((), (80, 6), {"TERM": "dumb"}),
    ],
)
def test_what_goes_through_no_pager(tmp_path: Path, words: tuple[str, ...], size: tuple[int, int], said: dict[str, str]) -> None:  # fmt: skip
    seen = on_terminal(*words, *SHOWN, size=size, PAGER=pager(tmp_path, "echo by pages; cat"), **said)  # fmt: skip
    assert seen.plain == run_cli(*SHOWN, cwd=ROOT).out


@pytest.mark.parametrize("body", ["exit 3", "exec no-such-program", "head -c 10; exit 1"])
def test_a_pager_that_fails_loses_nothing(tmp_path: Path, body: str) -> None:
    seen = on_terminal(*SHOWN, size=(80, 6), PAGER=pager(tmp_path, body))
    assert seen.plain.endswith(run_cli(*SHOWN, cwd=ROOT).out) and seen.code == 1
    seen = on_terminal(*SHOWN, size=(80, 6), PAGER=str(tmp_path / "nowhere"))
    assert seen.plain == run_cli(*SHOWN, cwd=ROOT).out


def test_who_leaves_the_pager_early_has_seen_enough(tmp_path: Path) -> None:
    seen = on_terminal(*SHOWN, size=(80, 6), PAGER=pager(tmp_path, "head -n 1 >/dev/null"))
    assert (seen.text, seen.code) == ("", 1)


# --- less and more ---


def test_quiet_says_what_must_be_known_alone(odd: Path) -> None:
    usual, quiet = run_cli("lint", ".", cwd=odd), run_cli("-q", "lint", ".", cwd=odd)
    assert usual.out.startswith(quiet.out) and quiet.out.startswith("formula.yaml:")
    assert usual.out[len(quiet.out) :].startswith("1 file read: ") and quiet.code == usual.code
    assert run_cli("lint", "formulas/oat-date-loaf", "--quiet", cwd=ROOT).out == ""


def test_verbose_says_what_was_used_beside_what_was_asked_for() -> None:
    words = ("cost", "formulas/oat-date-loaf")
    usual, verbose = run_cli(*words, cwd=ROOT), run_cli(*words, "-v", cwd=ROOT)
    assert (verbose.out, verbose.code) == (usual.out, usual.code)
    for line in (
        "house file: formulas/house.yaml",
        "ingredients of the house: formulas/ingredients.yaml",
        "price list: formulas/prices.yaml",
        "read: formulas/oat-date-loaf/formula.yaml",
    ):
        assert verbose.err.count(f"perflour: {line}\n") == 1
    assert re.search(r"^perflour: took \d+\.\d\d s$", verbose.err, re.M)
    assert "perflour: " not in usual.err


# --- widths ---

#: Text reports with tables of the demo; every other form of table goes through the same columns.
TABLES = (
    "show formulas/oat-date-loaf", "scale formulas/gluten-free-currant-loaf --times 3", "contents formulas/oat-date-loaf",
    "cost formulas/oat-date-loaf --packs", "compare formulas", "bake list formulas", "bake judge formulas/sessions",
    "evidence formulas", "trial list formulas", "plan formulas/rye-ginger-cookie --ready-by 15:00",
)  # fmt: skip
RULE = re.compile(r"^ *-+(?:  -+)+$")


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_no_table_is_wider_than_the_terminal_and_none_is_cut(columns: int) -> None:
    for words in TABLES:
        lines = run_cli(*words.split(), cwd=ROOT, columns=columns).out.splitlines()
        for at, line in enumerate(lines):
            if RULE.match(line):
                end = next((n for n in range(at, len(lines)) if not lines[n].strip()), len(lines))
                gaps = [gap.start() for gap in re.finditer(r"(?<=-)  (?=-)", line)]
                rows = [row for row in lines[at - 1 : end] if all(not row[g : g + 2].strip() for g in gaps)]  # fmt: skip
                assert max(map(len, rows)) <= columns, (words, max(rows, key=len))
                assert not any("…" in row for row in rows), words


def test_a_terminal_tells_how_wide_it_is() -> None:
    narrow = on_terminal("show", "formulas/oat-date-loaf", size=(60, 500)).plain
    assert max(map(len, narrow.splitlines()[1:])) <= 60  # sentences too
    assert narrow.split() != [] and "unsalted" in narrow
    wide = on_terminal("show", "formulas/oat-date-loaf", size=(60, 500), COLUMNS="100").plain
    assert "  unsalted butter    1 stick melted" in wide
