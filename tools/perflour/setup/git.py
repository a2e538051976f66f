"""Sets a repository up so that git shows formulas in ratios and merges them by line and step.

Two places are written. `.gitattributes` says which files (it is committed, so it holds for everybody);
git's own config says which commands (it is of this clone alone, because a command is of this machine).
The commands name the Python that runs now, so that they work from any folder and in a window with no
PATH; where that Python is gone or fails, the shell falls back to what git does by itself.

Sheets that were shown are kept in a folder that is made here (shown_before.py). Git's own `cachetextconv` does not do for
that: it asks after the blob and the text of the command alone, and would show old figures when the house,
its ingredients or perflour have changed; and it commits each sheet, so it fails for who has no name.
"""

from __future__ import annotations

import os
import shlex
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from perflour.plain import visible
from perflour.result import CannotRun
from perflour.system import git
from perflour.system.cache import FOLDER as CACHE_FOLDER
from perflour.system.opening import read
from perflour.system.paths import FORMULA_FILE, FORMULAS, HOUSE_FILE
from perflour.system.shown_before import FOLDER as SHEETS
from perflour.system.shown_before import SCRIPT, is_there, make_room, take_away
from perflour.system.writing import write_file

ATTRIBUTES = ".gitattributes"
MARK = b"# ratios in diffs, merges by ingredient: written by `perflour git-setup`"
PATTERN = f"{FORMULA_FILE} diff=perflour merge=perflour".encode()
#: -P keeps the folder git works in, so the tree itself, from being imported from.
_START = "from perflour.cli import console; console()"
#: A sheet that was shown before is found by a script beside the sheets; `command` has a shell go on without it.
_SHEET = "from perflour.commands.git_sheet import for_git; for_git()"
_TEXTCONV = (
    'f() {{ {{ command . {script} && show_kept "$1" {house}; }} 2>/dev/null; '
    '{run} {house} {kept} "$1" || cat -- "$1"; }}; f'
)
_DRIVER = (
    "{run} git-merge --marker-size %L -- %O %A %B %P; code=$?; if [ $code -gt 1 ]; then "
    "git merge-file --marker-size=%L -L ours -L base -L theirs %A %O %B; code=$?; fi; exit $code"
)


@dataclass(frozen=True)
class Setup:
    """What git-setup writes into one repository."""

    repository: git.Repository
    house: str
    config: dict[str, str]
    sheets: Path

    @property
    def attributes(self) -> Path:
        return self.repository.top / ATTRIBUTES

    @property
    def sheets_shown(self) -> str:
        """The folder of kept sheets as it is told: it may lie in another work tree's git folder."""
        return f".git/{CACHE_FOLDER}/{SHEETS}"


def setup_for(folder: Path, house: str | None = None) -> Setup:
    """What to write in the repository of a folder, nothing written yet. Raises CannotRun outside one.

    ``house`` is the folder whose house file weighs the ratio sheets; None: of the one house file there
    is, of several the one in the default folder, if any.
    """
    repository = git.find_repository(folder)
    inside = _house_folder(repository) if house is None else _checked_house(repository, house)
    run = _python(_START)
    sheets = (repository.git_folder or repository.top / ".git") / CACHE_FOLDER / SHEETS
    textconv = _TEXTCONV.format(
        script=shlex.quote((sheets / SCRIPT).as_posix()),
        house=shlex.quote(inside),
        run=_python(_SHEET),
        kept=shlex.quote(sheets.as_posix()),
    )
    config = {
        "diff.perflour.textconv": textconv,
        # what stands behind the @@ of a hunk
        "diff.perflour.xfuncname": "^formula: (.*)$",
        "merge.perflour.name": "perflour: formulas by ingredient line and step",
        "merge.perflour.driver": _DRIVER.format(run=run.replace("%", "%%")),
    }
    return Setup(repository, inside, config, sheets)


def _python(code: str) -> str:
    """The command for a line of Python, to which arguments may be added."""
    return " ".join(map(shlex.quote, (sys.executable, "-P", "-c", code)))


def _house_folder(repository: git.Repository) -> str:
    """The folder of the house file, as git names it; empty for none and for one of many."""
    listed = repository.run("ls-files", "--cached", "--others", "--exclude-standard", "-z")
    paths = {os.fsdecode(path) for path in listed.split(b"\0")}
    found = [os.path.dirname(path) for path in paths if os.path.basename(path) == HOUSE_FILE]
    if len(found) == 1:
        return found[0] or "."
    return FORMULAS if FORMULAS in found else ""


def _checked_house(repository: git.Repository, house: str) -> str:
    folder = Path(house)
    if not os.path.isfile(folder / HOUSE_FILE):
        raise CannotRun(f"{house}: no {HOUSE_FILE} in it; name the folder that holds it")
    return repository.relative(folder)


def set_up(setup: Setup) -> list[str]:
    """Write what is missing; what was done, a line each. Everything else there stays."""
    present = _config(setup.repository)
    done = []
    content = _read(setup.attributes)
    if _block_at(content) is None:
        is_new = not os.path.lexists(setup.attributes)
        _write(setup.attributes, with_block(content, is_new))
        done.append(f"{ATTRIBUTES}: {PATTERN.decode()} (commit it: it holds for everybody)")
    for key, value in setup.config.items():
        if present.get(key) != value:
            setup.repository.run("config", "--local", "--replace-all", key, value)
            done.append(f"git config {key}")
    if not is_there(str(setup.sheets)):
        _make_room(setup.sheets)
        done.append(f"{setup.sheets_shown}: sheets that were shown are kept here")
    house = f"{setup.house}/{HOUSE_FILE}" if setup.house else f"no {HOUSE_FILE}"
    return [*done, f"ratio sheets by {house}"] if done else ["already set up"]


def undo(setup: Setup) -> list[str]:
    """Remove what `set_up` added and nothing else; what was done, a line each."""
    present = _config(setup.repository)
    done = []
    content = _read(setup.attributes)
    if _block_at(content) is not None:
        rest = without_block(content)
        if rest or not content.startswith(MARK):
            _write(setup.attributes, rest)
        else:
            setup.attributes.unlink()
        done.append(f"{ATTRIBUTES}: removed {PATTERN.decode()}")
    for key in setup.config:
        if key in present:
            setup.repository.run("config", "--local", "--unset-all", key)
            done.append(f"git config: removed {key}")
    if is_there(str(setup.sheets)):
        take_away(str(setup.sheets))
        done.append(f"{setup.sheets_shown}: removed")
    return done or ["was not set up"]


def missing(setup: Setup) -> list[str]:
    """What is not as `set_up` would write it, a line each; empty where all is there."""
    present = _config(setup.repository)
    lacking = [] if _block_at(_read(setup.attributes)) is not None else [_no(ATTRIBUTES)]
    for key, value in setup.config.items():
        if key not in present:
            lacking.append(_no(f"git config {key}"))
        elif present[key] != value:
            lacking.append(f"git config {key}: is not what would be set now; run git-setup again")
    return lacking if is_there(str(setup.sheets)) else [*lacking, _no(setup.sheets_shown)]


def _no(where: str) -> str:
    return f"{where}: nothing of perflour; run git-setup"


def _config(repository: git.Repository) -> dict[str, str]:
    """What this clone's own config says."""
    listed = repository.run("config", "--local", "--list", "-z")
    entries = (entry.partition(b"\n") for entry in listed.split(b"\0"))
    return {os.fsdecode(key): os.fsdecode(value) for key, _, value in entries}


def _read(path: Path) -> bytes:
    try:
        return read(str(path))
    except FileNotFoundError:
        return b""
    except OSError as error:
        raise CannotRun(f"{path}: cannot be read ({error.strerror}); check its rights") from None


def _write(path: Path, content: bytes) -> None:
    try:
        write_file(path, content)
    except OSError as error:
        raise CannotRun(f"{path}: cannot be written ({error.strerror}); check its rights") from None


def _make_room(path: Path) -> None:
    try:
        make_room(str(path))
    except OSError as error:
        raise CannotRun(f"{path}: cannot be made ({error.strerror}); check its rights") from None


def _line_end(content: bytes) -> bytes:
    return b"\r\n" if b"\r\n" in content else b"\n"


def _block_at(content: bytes) -> tuple[int, int] | None:
    """Where our two lines stand, whichever line end is between them; None where they are not."""
    for end in (b"\n", b"\r\n"):
        block = MARK + end + PATTERN
        if (at := content.find(block)) >= 0:
            return at, at + len(block)
    return None


def with_block(content: bytes, is_new: bool = False) -> bytes:
    """A file of attributes with our lines at its end, where they win over lines for `*.yaml`.

    A last line without an end gets one, and ours has none then: so it can be undone exactly. So does a
    file that is there with nothing in it, which is told by that from one that ``is_new``.
    """
    end = _line_end(content)
    block = MARK + end + PATTERN
    ended = is_new or content.endswith(b"\n")
    return content + block + end if ended else content + end + block


def without_block(content: bytes) -> bytes:
    """The file as it was before `with_block`, and with what was written since."""
    found = _block_at(content)
    if found is None:
        return content
    before, after, end = content[: found[0]], content[found[1] :], _line_end(content)
    if after.startswith(end):
        return before + after.removeprefix(end)
    return before.removesuffix(end) + after


def shown(lines: Iterable[str]) -> str:
    """Lines to print."""
    return "".join(f"{visible(line)}\n" for line in lines)
