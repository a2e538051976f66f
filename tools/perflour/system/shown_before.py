"""What was printed for a file, kept in the git folder so that a shell finds it again without Python.

A sheet is named by the checksums of all files that it was made of, and lies in a folder of the perflour that
made it (made_by.py): what is out of date is not looked for. A script beside (data/find_sheet.sh) looks for
them; it is written anew by every perflour that finds another one's. Sheets are text that is printed and never run.

The folder is made by git-setup alone, so a repository that nobody set up keeps nothing. It stands in `.git`, where neither
a commit nor a clone can put a file; who can write there can set git's own config, and needs no sheet to have things run.
Everything is written beside and renamed, the last one wins, and all of it may be deleted at any time.
"""

import os
import re
import shlex
import time
from collections.abc import Sequence
from stat import S_ISDIR

from perflour.system.hashing import sha256_hex
from perflour.system.made_by import VARIABLES, MadeBy, made_by

#: The folder below perflour's own in the git folder, and the script in it.
FOLDER, SCRIPT = "sheets", "find"
#: A sheet that is larger is made again each time.
MOST_BYTES_OF_ONE = 64 << 10
#: Each of 256 folders, by the first two digits of names, holds so much; the oldest go. 64 MiB together.
MOST_IN_FOLDER, MOST_BYTES_IN_FOLDER = 64, 256 << 10
#: Of so many perflours sheets are kept: the one that ran last, and the one before.
MOST_MAKERS = 2
_TEMPLATE = os.path.join(os.path.dirname(os.path.dirname(__file__)), "data", "find_sheet.sh")
_UNFINISHED = ".unfinished"


def keep(
    folder: str,
    sheet: bytes,
    sources: Sequence[bytes],
    files: Sequence[str],
) -> None:
    """Keep a sheet by the contents of all it was made of; nothing, where that is not safe or not possible.

    ``files`` are those of perflour that made it, as made_by takes them.
    """
    try:
        if len(sheet) > MOST_BYTES_OF_ONE or not _is_ours(folder):
            return
        maker = made_by(files, time.time_ns())
        if maker is None:
            return
        name = "-".join(map(sha256_hex, sources))
        shelf = os.path.join(_started(folder, maker), name[:2])
        os.makedirs(shelf, exist_ok=True)
        _write(os.path.join(shelf, name), sheet)
        _drop_oldest(shelf)
    except OSError:  # a full disk, or another git that takes the same away
        return


def make_room(folder: str) -> None:
    """Make the folder that sheets are kept in. Raises OSError."""
    os.makedirs(folder, exist_ok=True)


def is_there(folder: str) -> bool:
    """Whether there is a folder that sheets are kept in."""
    return os.path.isdir(folder) and not os.path.islink(folder)


def take_away(folder: str) -> None:
    """Take away the folder with all that is kept in it."""
    gone = f"{folder}.{os.getpid()}{_UNFINISHED}"
    os.rename(folder, gone)  # at once, so that no script meets half of it
    _remove(gone)


def _is_ours(folder: str) -> bool:
    """Whether it is a folder of whoever runs this, and no link."""
    found = os.lstat(folder)
    return S_ISDIR(found.st_mode) and found.st_uid == getattr(os, "geteuid", lambda: 0)()


def _started(folder: str, maker: MadeBy) -> str:
    """The folder for the sheets of a perflour; the script looks there from now on."""
    digest = sha256_hex(repr((maker, _read(_TEMPLATE))).encode())[:32]
    home = os.path.join(folder, digest)
    wanted = _script(home, maker)
    script = os.path.join(folder, SCRIPT)
    if not os.path.isdir(home):
        _write_times(home, maker)
    if not os.path.isfile(script) or os.path.islink(script) or _read(script) != wanted:
        _write(script, wanted)
        _drop_makers(folder, digest)
    return home


def _script(home: str, maker: MadeBy) -> bytes:
    """The script that finds the sheets of one perflour."""
    holds = [_holds(_word(path), _word(line)) for path, line in maker.lines]
    same = [_is_same(_word(path), at) for at, (path, _) in enumerate(maker.times)]
    gone = [f"[ ! -e {_word(path)} ] || return 1" for path in maker.absent]
    facts = {
        "kept": _word(home),
        "known": "".join(f"-{checksum}" for _, checksum in maker.records),
        "environment": _word("|".join(maker.environment)),
        "asked": "|".join(f"${{{name}-}}" for name in VARIABLES),
        "tests": "\n".join(f"    {test}" for test in (*holds, *same, *gone)),
        "records": " ".join(_word(path) for path, _ in maker.records),
    }
    text = _read(_TEMPLATE).decode()
    return os.fsencode(re.sub("@([a-z]+)@", lambda match: facts[match[1]], text))


def _is_same(word: str, at: int) -> str:
    """The test of a file by its time; dash finds one that is gone neither newer nor older."""
    return (
        f'[ -e {word} ] && [ ! {word} -nt "$at/{at}" ] && [ ! {word} -ot "$at/{at}" ] || return 1'
    )


def _holds(path: str, line: str) -> str:
    """The test of a file by its one line, which a shell reads without a program."""
    return f'read -r line <{path} && [ "$line" = {line} ] || return 1'


def _word(path: str) -> str:
    """A path as one word of a shell, which on Windows knows folders by slashes."""
    return shlex.quote(path.replace(os.sep, "/"))


def _write_times(home: str, maker: MadeBy) -> None:
    """An empty file of the same time for each that counts by its time: a shell can compare two of them."""
    beside = f"{home}.{os.getpid()}{_UNFINISHED}"
    os.makedirs(os.path.join(beside, "times"))
    for at, (_, time_ns) in enumerate(maker.times):
        twin = os.path.join(beside, "times", str(at))
        with open(twin, "xb"):
            pass
        os.utime(twin, ns=(time_ns, time_ns))
    try:
        os.rename(beside, home)
    except OSError:  # another git was faster
        _remove(beside)


def _write(path: str, content: bytes) -> None:
    """Write beside and rename."""
    beside = f"{path}.{os.getpid()}"
    with open(beside, "wb") as file:
        file.write(content)
    os.replace(beside, path)


def _drop_oldest(shelf: str) -> None:
    """Take away the oldest sheets of a folder that holds too many, or too large ones."""
    with os.scandir(shelf) as entries:
        stats = sorted((stat.st_mtime_ns, stat.st_size, entry.path) for entry in entries if (stat := entry.stat(follow_symlinks=False)))  # fmt: skip
    number, held = len(stats), sum(size for _, size, _ in stats)
    for _, size, path in stats:
        if number <= MOST_IN_FOLDER and held <= MOST_BYTES_IN_FOLDER:
            return
        os.unlink(path)
        number, held = number - 1, held - size


def _drop_makers(folder: str, current: str) -> None:
    """Take away the sheets of all perflours but this one and the last before it, and what killed runs left."""
    with os.scandir(folder) as entries:
        others = [entry for entry in entries if entry.name not in (current, SCRIPT)]
    homes = sorted((entry.stat().st_mtime_ns, entry.path) for entry in others if entry.is_dir(follow_symlinks=False))  # fmt: skip
    for entry in others:
        if not entry.is_dir(follow_symlinks=False):
            os.unlink(entry.path)
    for _, home in homes[: 1 - MOST_MAKERS]:
        take_away(home)


def _remove(folder: str) -> None:
    import shutil  # hardly ever met

    shutil.rmtree(folder, ignore_errors=True)


def _read(path: str) -> bytes:
    with open(path, "rb") as file:
        return file.read()
