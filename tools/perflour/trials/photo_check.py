"""Photos of records against their hashes, for what they tell besides the picture, and how that is taken out."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from hashlib import sha256
from pathlib import Path

from perflour.documents.reader import Document
from perflour.records.photos import photo_bytes
from perflour.result import CannotRun, Result
from perflour.system.files import cannot_be_read
from perflour.system.opening import read
from perflour.system.paths import display_path
from perflour.system.pictures import PictureProblem, tells_place, without_notes
from perflour.system.writing import write_file

_HASH = re.compile(rb"\b[0-9a-f]{64}\b")


def photo_results(path: Path, document: Document) -> Iterator[Result]:
    """What is wrong with the photos that a record names."""
    for at, entry in enumerate(document.data.get("photos", ())):
        place = ("photos", at)
        file = entry["file"]
        if not os.path.lexists(os.path.join(path.parent, file)):
            text = f"{file} is not there; put it back, or remove the entry"
            yield Result("photo-missing", "error", text, document.place(*place, "file"))
            continue
        try:
            content = photo_bytes(str(path), file)
        except (OSError, ValueError) as error:
            text = f"{file} {cannot_be_read(error)}"
            yield Result("photo-not-read", "error", text, document.place(*place, "file"))
            continue
        found = sha256(content).hexdigest()
        if "sha256" not in entry:
            text = f'{file} has no hash; write sha256: "{found}"'
            yield Result("photo-without-hash", "error", text, document.place(*place))
        elif entry["sha256"] != found:
            text = f'{file} is another photo than the one recorded; put the old one back, or write sha256: "{found}"'
            yield Result("photo-differs", "error", text, document.place(*place, "sha256"))
        yield from _about_picture(entry, content, document, at)


def _about_picture(
    entry: dict[str, str], content: bytes, document: Document, at: int
) -> Iterator[Result]:
    """What the bytes show and tell."""
    file, place = entry["file"], document.place("photos", at, "file")
    try:
        if tells_place(content):
            text = f"{file} tells where it was taken; `perflour bake check --take-out-places` writes it without"
            yield Result("photo-tells-place", "warning", text, place)
    except PictureProblem as problem:
        yield Result("photo-not-shown", "note", f"{file} {problem}; no page shows it", place)
    if "alt" not in entry:
        text = f"{file} has no words for those who do not see it; write in `alt` what it shows"
        yield Result("photo-without-words", "note", text, document.place("photos", at))


def take_out_places(records: Sequence[tuple[Path, Document]]) -> list[str]:
    """Write photos that tell a place anew, without what the camera noted, and their hashes in the records.

    What was done, a line each. A photo whose hash is not that of its record is left alone. Raises CannotRun.
    """
    told, now = [], {}
    for path, document in records:
        for entry in document.data.get("photos", ()):
            photo = Path(os.path.normpath(path.parent / entry["file"]))
            try:
                content = photo_bytes(str(path), entry["file"])
                was = sha256(content).hexdigest()
                if entry.get("sha256", was) != was or not tells_place(content):
                    continue
                alone = without_notes(content)
            except (OSError, ValueError, PictureProblem):
                continue  # the check, which comes after this, says what is wrong
            write_over(photo, alone)
            now[was.encode()] = sha256(alone).hexdigest().encode()
            told.append(
                f"{display_path(str(photo))}: place taken out, with all else that the camera noted; commits that have it keep the old one"
            )
    for path, _ in records:
        content = read(str(path))
        if (mended := _HASH.sub(lambda mark: now.get(mark[0], mark[0]), content)) != content:
            write_over(path, mended)
            told.append(f"{display_path(str(path))}: hash of the photo renewed")
    return told


def write_over(path: Path, content: bytes) -> None:
    """Write a record or a photo that is there already. Raises CannotRun."""
    try:
        write_file(path, content)
    except OSError as error:
        raise CannotRun(
            f"{display_path(str(path))}: cannot be written ({error.strerror or error})"
        ) from None
