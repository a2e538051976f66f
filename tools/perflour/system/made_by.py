"""What tells the perflour that runs from any other that may run tomorrow, in terms that a shell can look at.

An installed package has a list of its files with their checksums (RECORD, PEP 376), and its content says all that
an installation can change. One that runs from its sources has none, so the times of the files count that are
loaded. The Python and the folders it looks into for modules count by their times too: whatever is installed,
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

#: The packages that make what is kept, and what the distributions are called that bring them.
PACKAGES = {"perflour": "perflour", "yaml": "pyyaml"}


class MadeBy(NamedTuple):
    """Lists of files with their checksums, files and folders with their times, and what is not there."""

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
        packages = {_folder(name): PACKAGES[name] for name in PACKAGES if name in sys.modules}
        records = {folder: _records(folder, named) for folder, named in packages.items()}
        listed = [path for found in records.values() for path in found]
        recorded = tuple(f"{folder}{os.sep}" for folder, found in records.items() if found)
        sources = [path for path in files if not path.startswith(recorded)]
        timed = [sys.executable, *filter(os.path.exists, search), *sources]
        times = tuple((path, os.stat(path).st_mtime_ns) for path in dict.fromkeys(timed))
        changed = [os.stat(path).st_mtime_ns for path in listed] + [time for _, time in times]
        if max(changed) > now_ns - SETTLED_NS:
            return None
        sums = tuple((path, sha256_hex(_content(path))) for path in listed)
    except OSError:
        return None
    absent = tuple(path for path in search if not os.path.exists(path))
    return MadeBy(sums, times, absent, tuple(os.environ.get(name, "") for name in VARIABLES))


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


def _records(package: str, distribution: str) -> list[str]:
    """The RECORD of the distribution that brought the folder of a package, if there is one."""
    beside, name = os.path.split(package)
    found = [
        os.path.join(beside, folder, "RECORD")
        for folder in os.listdir(beside)
        if folder.lower().startswith(f"{distribution}-") and folder.endswith(".dist-info")
    ]
    of_it = f"{name}/__init__.py,".encode()
    return [path for path in sorted(found) if os.path.isfile(path) and of_it in _content(path)]


def _content(path: str) -> bytes:
    with open(path, "rb") as file:
        return file.read()
