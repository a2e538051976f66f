"""Photos on their way into a repository: copied beside the record, upright, without what a camera noted.

A file outside of the repository is never written to. One that lies in it already is written anew where it says more
than the picture, since whoever clones the repository would read that.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from string import ascii_lowercase

from perflour.documents.writer import tidy
from perflour.records.bake import any_holds
from perflour.result import CannotRun
from perflour.system.extras import need
from perflour.system.files import read_bytes
from perflour.system.opening import MOST_BYTES_OF_BINARY, make_folder
from perflour.system.paths import display_path, repository_top
from perflour.system.pictures import (
    PictureProblem,
    checked_photo,
    ending_of,
    has_notes,
    tells_place,
    without_notes,
)
from perflour.system.writing import write_file, write_new

_LONGEST_STEM = 60


@dataclass(frozen=True)
class PhotoSaid:
    """A photo that somebody names, by its path from the working folder, and what is said of it."""

    path: str
    caption: str = ""
    alt: str = ""


@dataclass(frozen=True)
class KeptPhoto:
    """A photo as it will stand in the repository. ``content`` is what to write there, None where it is there already.

    ``told`` is what was done to it, one line; empty for nothing.
    """

    path: Path
    entry: dict[str, str]
    content: bytes | None = None
    is_new: bool = False
    told: str = ""


def kept_photos(photos: Sequence[PhotoSaid], folder: Path, day: str) -> list[KeptPhoto]:
    """What is to stand beside a record in ``folder``; nothing is written yet. Raises CannotRun."""
    if photos:
        need("photos")
    kept: list[KeptPhoto] = []
    for said in photos:
        taken = {photo.path for photo in kept}
        kept.append(_kept(said, folder, day, taken))
    return kept


def write_photos(photos: Sequence[KeptPhoto]) -> None:
    """Write those that are not as they are to be. Raises CannotRun."""
    for photo in photos:
        if photo.content is None:
            continue
        try:
            make_folder(str(photo.path.parent))
            (write_new if photo.is_new else write_file)(photo.path, photo.content)
        except OSError as error:
            raise CannotRun(
                f"{display_path(str(photo.path))}: cannot be written ({error.strerror}); check the folder"
            ) from None


def _kept(said: PhotoSaid, folder: Path, day: str, taken: set[Path]) -> KeptPhoto:
    source = Path(os.path.abspath(said.path))
    content = read_bytes(str(source), MOST_BYTES_OF_BINARY)
    try:
        checked_photo(content)
        if source.is_relative_to(repository_top(str(folder.absolute()))):
            return _there_already(said, source, content, folder)
        return _copied(said, source, content, folder, day, taken)
    except PictureProblem as problem:
        raise CannotRun(f"{display_path(str(source))}: {problem}") from None


def _there_already(said: PhotoSaid, source: Path, content: bytes, folder: Path) -> KeptPhoto:
    held = any_holds(str(folder.parent), sha256(content).hexdigest())
    if held and tells_place(content):
        raise CannotRun(
            f"{display_path(str(source))}: tells where it was taken, and another record holds it by its hash; run "
            "`perflour bake check --take-out-places` first, which mends both"
        )
    if held or not has_notes(content):
        return KeptPhoto(source, _entry(said, source, content, folder))
    alone = without_notes(content)
    told = f"{display_path(str(source))}: {_taken_out(content)}, and written anew; commits that have it keep the old one"
    return KeptPhoto(source, _entry(said, source, alone, folder), alone, told=told)


def _copied(
    said: PhotoSaid, source: Path, content: bytes, folder: Path, day: str, taken: set[Path]
) -> KeptPhoto:
    alone = without_notes(content) if has_notes(content) else content
    stem = re.sub(r"[^\w]+", "-", source.stem).strip("-")[:_LONGEST_STEM] or "photo"
    dated = stem if stem.startswith(day) else f"{day}-{stem}"
    for name in _names(dated, ending_of(content)):
        path = folder / name
        if path in taken:
            continue
        is_new = not os.path.lexists(path)
        if is_new or _holds(path, alone):
            what = f"; in the copy {_taken_out(content)}" if alone is not content else ""
            told = f"{display_path(str(source))}: copied to {display_path(str(path))}{what}"
            entry = _entry(said, path, alone, folder)
            return KeptPhoto(path, entry, alone if is_new else None, is_new, told)
    raise CannotRun(f"{display_path(str(folder))}: holds {dated} to {dated}-z; rename the photo")


def _taken_out(content: bytes) -> str:
    if tells_place(content):
        return "place taken out, with all else that the camera noted"
    return "taken out what the camera noted, which was no place"


def _names(stem: str, ending: str) -> Iterator[str]:
    yield f"{stem}{ending}"
    yield from (f"{stem}-{letter}{ending}" for letter in ascii_lowercase[1:])


def _holds(path: Path, content: bytes) -> bool:
    """Whether a file is there with these bytes: a run before was stopped, or another record has it."""
    try:
        return read_bytes(str(path), MOST_BYTES_OF_BINARY) == content
    except CannotRun:
        return False


def _entry(said: PhotoSaid, path: Path, content: bytes, folder: Path) -> dict[str, str]:
    told = {
        "file": os.path.relpath(path, folder.absolute()).replace(os.sep, "/"),
        "sha256": sha256(content).hexdigest(),
        "caption": tidy(said.caption),
        "alt": tidy(said.alt),
    }
    return {key: value for key, value in told.items() if value}
