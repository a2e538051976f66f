"""What a terminal is to us: how wide it is, whether it shows colours, and what is put out on it.

Reports mark a text with a look (`painted`), after it was made safe. Only here a look becomes the escape of
a terminal, where one is written to; everywhere else it is taken away. The mark holds a number drawn anew in
each run, so that no text of a file can be taken for one.
"""

import os
import sys

from perflour.tuples import NamedTuple
from perflour.typed import IO

# The eight colours every terminal has, as its owner set them for a dark or a light ground. Yellow, green and
# cyan are hard to read on white in usual sets, blue on black; so these are few, and words say the same.
_RED, _GREEN, _MAGENTA, _BOLD = "31", "32", "35", "1"
#: What each look is on a terminal.
LOOKS = {
    "stop": f"{_BOLD};{_RED}",
    "mind": f"{_BOLD};{_MAGENTA}",
    "go": _GREEN,
    "head": _BOLD,
    "more": _GREEN,
    "less": _RED,
}
# Signs that Unicode keeps for a program's own use: none is escaped by `perflour.plain`, none is in a font.
_OPEN, _CLOSE = "\ufdd0", "\ufdd1"
#: Where nobody knows how wide and high it is.
USUAL_WIDTH, USUAL_HEIGHT = 80, 24


class Wishes(NamedTuple):
    """What was asked for on the command line. ``color`` is auto, always or never."""

    color: str = "auto"
    pages: bool = True
    quiet: bool = False
    verbose: bool = False


class Shown(NamedTuple):
    """How this run shows things. ``mark`` is the number in the marks; without one nothing is marked.

    ``told`` is what was said of the run already.
    """

    wishes: Wishes
    mark: str
    in_colour: frozenset[str]
    told: set[str]


_shown = Shown(Wishes(), "", frozenset(), set())


def settle(wishes: Wishes) -> None:
    """Settle for the run how things are shown: by what is asked for, the streams and the environment."""
    global _shown
    streams = (("stdout", sys.stdout), ("stderr", sys.stderr))
    in_colour = frozenset(name for name, stream in streams if _is_coloured(stream, wishes.color))
    _shown = Shown(wishes, os.urandom(8).hex() if in_colour else "", in_colour, set())


def wishes() -> Wishes:
    """What this run was asked for."""
    return _shown.wishes


def in_colour() -> bool:
    """Whether this run shows colours somewhere, so that what is made for it is for nobody else."""
    return bool(_shown.mark)


def is_terminal(stream: IO[str]) -> bool:
    """Whether somebody looks at a stream; a closed one is nobody's."""
    try:
        return stream.isatty()
    except (AttributeError, ValueError):
        return False


def _is_coloured(stream: IO[str], asked: str) -> bool:
    """What is asked for counts most; then NO_COLOR with any text, then what forces colour, then the stream."""
    if asked != "auto":
        return asked == "always"
    said = os.environ
    if said.get("NO_COLOR"):
        return False
    for name in ("FORCE_COLOR", "CLICOLOR_FORCE"):
        if said.get(name, "0") not in ("", "0", "false"):
            return True
    if said.get("CLICOLOR") == "0" or said.get("TERM") == "dumb":
        return False
    return is_terminal(stream)


def painted(text: str, look: str) -> str:
    """A text, made safe before, in one of the looks; as it is where this run shows no colours.

    It stands on one line and is as wide as before: paint what is laid out already.
    """
    if not _shown.mark or not text.strip():
        return text
    return f"{_OPEN}{_shown.mark}{look}{_CLOSE}{text}{_OPEN}{_shown.mark}{_CLOSE}"


def for_stream(text: str, stream: str) -> str:
    """A text for stdout, stderr or a file: its looks as the stream shows them, or taken away."""
    if not _shown.mark or _OPEN not in text:
        return text
    in_colour = stream in _shown.in_colour
    looks = {"": "0", **LOOKS}
    for look, code in looks.items():
        mark = f"{_OPEN}{_shown.mark}{look}{_CLOSE}"
        text = text.replace(mark, f"\x1b[{code}m" if in_colour else "")
    return text


def bytes_for(content: bytes, stream: str) -> bytes:
    """The same of a report in bytes; a picture or a book has no marks."""
    if not _shown.mark or _shown.mark.encode() not in content:
        return content
    return for_stream(content.decode(), stream).encode()


def width() -> int:
    """Cells in a line of the terminal: as COLUMNS says, as the terminal says, or as usual."""
    return _size("COLUMNS", 0, USUAL_WIDTH)


def line_room() -> int:
    """Cells that a sentence may take: those of the terminal; in a file or a pipe it stays one line, to be searched."""
    return width() if is_terminal(sys.stdout) else sys.maxsize


def height() -> int:
    """Lines of the terminal."""
    return _size("LINES", 1, USUAL_HEIGHT)


def _size(name: str, at: int, usual: int) -> int:
    said = os.environ.get(name, "")
    if said.isdecimal() and int(said) > 0:
        return int(said)
    try:
        return os.get_terminal_size(sys.__stdout__.fileno())[at] or usual  # type: ignore[union-attr]
    except (AttributeError, OSError, ValueError):  # no stream, or none that is a terminal
        return usual


# --- what is put out ---


def put_out(content: bytes) -> None:
    """Write a report, safe already, to standard output; a long one by pages where somebody looks at it."""
    if _shown.wishes.pages and is_terminal(sys.stdout) and _is_paged(content):
        return
    sys.stdout.flush()
    sys.stdout.buffer.write(bytes_for(content, "stdout"))
    sys.stdout.buffer.flush()


def _is_paged(content: bytes) -> bool:
    """Whether a pager has shown it. One that cannot is no reason to lose it."""
    from perflour.system import pager

    plain = bytes_for(content, "").decode(errors="replace")
    if os.environ.get("TERM") == "dumb" or not pager.is_longer(plain, width(), height()):
        return False
    words = pager.command()
    return bool(words) and pager.has_shown(bytes_for(content, "stdout"), words)


def put_beside(text: str) -> None:
    """Write a text, safe already, to standard error, as UTF-8 like what is printed."""
    sys.stderr.flush()
    sys.stderr.buffer.write(for_stream(text, "stderr").encode())
    sys.stderr.buffer.flush()


def tell(text: str) -> None:
    """Say on standard error what a run uses, once, where that was asked for."""
    if _shown.wishes.verbose and text not in _shown.told:
        from perflour.plain import visible

        _shown.told.add(text)
        put_beside(f"perflour: {visible(text)}\n")
