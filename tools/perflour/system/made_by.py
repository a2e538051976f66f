"""What tells the perflour that runs from any other that may run tomorrow, in terms that a shell can look at.

An installed package has a list of its files with their checksums (RECORD, PEP 376): its content says all. One that
runs from its sources has none, so the times of the files count that are loaded. The Python and the
folders it looks into for modules count by their times too: whatever is installed, taken out or put in
front of perflour changes one of them.
"""

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

#: What a change may be younger than: it may have come between loading a file and looking at its time.
SETTLED_NS = 5_000_000_000
#: The variables that say where Python finds modules.
VARIABLES = ("PYTHONPATH", "PYTHONHOME", "PYTHONUSERBASE", "PYTHONNOUSERSITE", "PYTHONPLATLIBDIR")

# What is loaded of a folder.
_LOADED = (".py", ".so", ".pyd", ".json", ".jsonl")

Sha256 = Callable[[bytes], Any]


class _Package(NamedTuple):
    """A package by its folder, and which of its files count."""

    path: str
    distribution: str
    folders: Sequence[str]
    modules: Sequence[str]


class MadeBy(NamedTuple):
    """Lists of files with their checksums, files and folders with their times, and what is not there."""

    records: tuple[tuple[str, str], ...]
    times: tuple[tuple[str, int], ...]
    absent: tuple[str, ...]
    environment: tuple[str, ...]


def sha256() -> Sha256:
    """The function of that name: hashlib would load a library for it: docs/performance.md."""
    for module in ("_sha2", "_sha256"):  # from Python 3.12 on, and before
        try:
            function: Sha256 = __import__(module).sha256
        except ImportError:
            continue
        return function
    import hashlib

    return hashlib.sha256


def made_by(folders: Sequence[str], modules: Sequence[str], now_ns: int) -> MadeBy | None:
    """This perflour; None where that cannot be told for certain: just installed, or found by a relative path.

    ``folders`` and ``modules`` of the package make what is made, where it runs from its sources.
    """
    import yaml  # what reads every file is part of what makes a sheet

    search = [path for path in sys.path if path] + _user_folders()
    if not all(map(_is_certain, (sys.executable, *search))):
        return None
    try:
        packages = (
            _Package(os.path.dirname(os.path.dirname(__file__)), "perflour", folders, modules),
            _Package(os.path.dirname(yaml.__file__), "pyyaml", ("",), ()),
        )
        records = [(package, _records(package)) for package in packages]
        sources = [path for package, found in records if not found for path in _sources(package)]
        timed = [sys.executable, *filter(os.path.exists, search), *sources]
        times = tuple((path, os.stat(path).st_mtime_ns) for path in dict.fromkeys(timed))
        listed = [path for _, found in records for path in found]
        changed = [os.stat(path).st_mtime_ns for path in listed] + [time for _, time in times]
        if max(changed) > now_ns - SETTLED_NS:
            return None
        digest = sha256()
        sums = tuple((path, digest(_content(path)).hexdigest()) for path in listed)
    except OSError:
        return None
    absent = tuple(path for path in search if not os.path.exists(path))
    return MadeBy(sums, times, absent, tuple(os.environ.get(name, "") for name in VARIABLES))


def _is_certain(path: str) -> bool:
    """Whether a path means the same in any folder, and stands on one line."""
    return os.path.isabs(path) and "\n" not in path


def _user_folders() -> list[str]:
    """The folder where this person's own packages would come to stand, looked into before the machine's."""
    site = sys.modules.get("site")
    folder = getattr(site, "USER_SITE", None) if getattr(site, "ENABLE_USER_SITE", False) else None
    return [folder] if folder and folder not in sys.path else []


def _records(package: _Package) -> list[str]:
    """The RECORD of the distribution that brought the folder of a package, if there is one."""
    beside, name = os.path.split(package.path)
    found = [
        os.path.join(beside, folder, "RECORD")
        for folder in os.listdir(beside)
        if folder.lower().startswith(f"{package.distribution}-") and folder.endswith(".dist-info")
    ]
    of_it = f"{name}/__init__.py,".encode()
    return [path for path in sorted(found) if os.path.isfile(path) and of_it in _content(path)]


def _sources(package: _Package) -> Iterator[str]:
    """The files of some folders of a package, and some modules of others."""
    for folder in package.folders:
        at = os.path.join(package.path, folder)
        names = sorted(os.listdir(at))
        yield from (os.path.join(at, name) for name in names if name.endswith(_LOADED))
    yield from (os.path.join(package.path, module) for module in package.modules)


def _content(path: str) -> bytes:
    with open(path, "rb") as file:
        return file.read()
