"""Photos of records, read from the work tree: the bytes that a record was made with, or why they are not there."""

from __future__ import annotations

import os
from hashlib import sha256

from perflour.records.bake import Photo
from perflour.system.extras import lacking
from perflour.system.files import cannot_be_read
from perflour.system.opening import MOST_BYTES_OF_BINARY, read_beside
from perflour.system.pictures import PictureProblem, ScaledPhoto, scaled_photo

#: As wide as a page shows a photo at twice the dots of an A4 column.
MOST_PX = 1200


def photo_bytes(record: str, file: str) -> bytes:
    """The bytes of a photo, by its path from the folder of the record. Raises OSError, ValueError.

    Never of a file outside of what the record lies in, be it by ``..`` or by a link.
    """
    return read_beside(record, os.path.join(os.path.dirname(record), file), MOST_BYTES_OF_BINARY)


def shown_photo(record: str, photo: Photo, most_px: int = MOST_PX) -> ScaledPhoto | str:
    """A photo for a page, or why there is none, in words that follow its name.

    Only the very bytes that the record names by their hash are shown: another file of that name may
    show another bake.
    """
    try:
        content = photo_bytes(record, photo.file)
    except FileNotFoundError:
        return "is not here any more"
    except (OSError, ValueError) as error:
        return cannot_be_read(error)
    if not photo.sha256:
        return "has no hash in its record; `perflour bake check` names it"
    if sha256(content).hexdigest() != photo.sha256:
        return "is another photo by now than the one recorded"
    if lacks := lacking("photos"):
        return f"is not shown: {lacks}"
    try:
        return scaled_photo(content, most_px)
    except PictureProblem as problem:
        return str(problem)
