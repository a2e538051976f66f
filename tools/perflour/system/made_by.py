"""What tells the perflour that runs from any other that may run tomorrow, in terms that a shell can look at.

An installed perflour holds a digest of all that went into its wheel (tools/compiled/hatch_build.py): a line that a
shell reads by itself. The library that reads YAML has a list of its files with their checksums (RECORD, PEP 376), and
its content says all that an installation can change. What runs from its sources has neither, so the times of the files
count that are loaded. The Python and the folders it looks into for modules count by their times too: whatever is installed,
taken out or put in front of perflour changes one of them.
"""

import os
import sys
from collections.abc import Sequence

from perflour.system.hashing import sha256_hex
from perflour.tuples import NamedTuple

#: What a change may be younger than: it may have come between loading a file and looking at its time.
SETTLED_NS = 5_000_000_000
#: The variables that say where Python finds modules.
VARIABLES = ("PYTHONPATH", "PYTHONHOME", "PYTHONUSERBASE", "PYTHONNOUSERSITE", "PYTHONPLATLIBDIR")

#: The packages that make what is kept, and what the distribution is called that brings the other one.
PACKAGES = ("perflour", "yaml")
DISTRIBUTIONS = {"yaml": "pyyaml"}
#: Where the digest stands in the folder of perflour.
_BUILT_OF = os.path.join(os.sep, "data", "built-of")


class MadeBy(NamedTuple):
    """Files that hold a line, lists of files with their checksums, files and folders with their times, and what is not there."""

    lines: tuple[tuple[str, str], ...]
    records: tuple[tuple[str, str], ...]
    times: tuple[tuple[str, int], ...]
    absent: tuple[str, ...]
    environment: tuple[str, ...]


def loaded_files() -> list[str]:
    """The files of perflour and of what reads YAML for it, as far as they are loaded by now."""
    loaded = ((name.partition(".")[0], module) for name, module in list(sys.modules.items()))
    files = (getattr(module, "__file__", None) for package, module in loaded if package in PACKAGES)
    return [file for file in files if file]


def made_by(files: Sequence[str], now_ns: int) -> MadeBy | None:
    """This perflour; None where that cannot be told for certain: just installed, or found by a relative path.

    ``files`` are those that count where a package runs from its sources.
    """
    search = [path for path in sys.path if path] + _user_folders()
    if not all(map(_is_certain, (sys.executable, *search, *files))):
        return None
    try:
        folders = {name: _folder(name) for name in PACKAGES if name in sys.modules}
        told_by = {f"{at}{os.sep}": _told_by(name, at) for name, at in folders.items()}
        told = [path for found in told_by.values() for path in found]
        known = tuple(folder for folder, found in told_by.items() if found)
        sources = [path for path in files if not path.startswith(known)]
        timed = [sys.executable, *filter(os.path.exists, search), *sources]
        times = tuple((path, os.stat(path).st_mtime_ns) for path in dict.fromkeys(timed))
        changed = [*map(_newest_ns, told), *(time for _, time in times)]
        if max(changed) > now_ns - SETTLED_NS:
            return None
        holds = {path: _content(path) for path in told}
    except OSError:
        return None
    lines = tuple(
        (at, line.decode().strip()) for at, line in holds.items() if at.endswith(_BUILT_OF)
    )
    records = tuple((at, sha256_hex(holds[at])) for at in told if not at.endswith(_BUILT_OF))
    awaited = (*search, folders["perflour"] + _BUILT_OF)
    absent = tuple(path for path in awaited if not os.path.exists(path))
    environment = tuple(os.environ.get(name, "") for name in VARIABLES)
    return MadeBy(lines, records, times, absent, environment)


def _folder(package: str) -> str:
    return os.path.dirname(str(sys.modules[package].__file__))


def _is_certain(path: str) -> bool:
    """Whether a path means the same in any folder, and stands on one line."""
    return os.path.isabs(path) and "\n" not in path


def _user_folders() -> list[str]:
    """The folder where this person's own packages would come to stand, looked into before the machine's."""
    site = sys.modules.get("site")
    folder = getattr(site, "USER_SITE", None) if getattr(site, "ENABLE_USER_SITE", False) else None
    return [folder] if folder and folder not in sys.path else []


def _told_by(package: str, folder: str) -> list[str]:
    """What tells one installation of a package from the next, if anything does: its digest, or the RECORD that it came with."""
    if package not in DISTRIBUTIONS:
        return list(filter(os.path.isfile, [folder + _BUILT_OF]))
    beside, name = os.path.split(folder)
    found = [
        os.path.join(beside, one, "RECORD")
        for one in os.listdir(beside)
        if one.lower().startswith(f"{DISTRIBUTIONS[package]}-") and one.endswith(".dist-info")
    ]
    of_it = f"{name}/__init__.py,".encode()
    return [path for path in sorted(found) if os.path.isfile(path) and of_it in _content(path)]


def _newest_ns(path: str) -> int:
    """When a file came to its place: one that is linked out of a store has an old time, its folder has not."""
    return max(os.stat(path).st_mtime_ns, os.stat(os.path.dirname(path)).st_mtime_ns)


def _content(path: str) -> bytes:
    with open(path, "rb") as file:
        return file.read()
