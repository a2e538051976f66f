"""Photos as bytes: nothing but the picture is kept, upright; hostile files end in one phrase."""

from __future__ import annotations

import struct
import zlib
from functools import partial
from io import BytesIO

import pytest
from PIL import Image

from perflour.system.pictures import (
    MOST_SCALED_BYTES,
    PictureProblem,
    checked_photo,
    has_notes,
    scaled_photo,
    tells_place,
    without_notes,
)
from tests.system.made_pictures import CORNERS, MAKER, SERIAL, corners, picture, says_place

FORMATS = ("JPEG", "PNG", "WEBP")
RED, GREEN, BLUE, WHITE = CORNERS
# Orientation 6 of the Exif standard: the first row is the right-hand side, the first column the top.
TURNED = [WHITE, RED, GREEN, BLUE]


@pytest.mark.parametrize("form", FORMATS)
def test_only_the_picture_is_kept_and_upright(form: str) -> None:
    taken = picture(form, orientation=6, with_place=True)
    assert says_place(taken)
    assert SERIAL in taken
    assert (tells_place(taken), has_notes(taken)) == (True, True)
    kept = without_notes(taken)
    assert not says_place(kept)
    assert not any(mark in kept for mark in (SERIAL, MAKER, b"Exif", b"eXIf", b"EXIF"))
    assert (tells_place(kept), has_notes(kept)) == (False, False)
    assert corners(kept) == TURNED
    assert Image.open(BytesIO(kept)).size == (64, 96)
    assert Image.open(BytesIO(kept)).format == form


@pytest.mark.parametrize("form", FORMATS)
def test_a_scaled_photo_is_small_upright_and_alike_each_time(form: str) -> None:
    taken = picture(form, size=(1000, 600), orientation=6, with_place=True)
    shown = scaled_photo(taken, 300)
    assert (shown.media_type, shown.width, shown.height) == ("image/jpeg", 180, 300)
    assert Image.open(BytesIO(shown.content)).size == (180, 300)
    assert corners(shown.content) == TURNED
    assert not has_notes(shown.content)
    assert scaled_photo(taken, 300) == shown


def test_a_scaled_photo_weighs_little_whatever_it_shows() -> None:
    """Noise is what JPEG makes least small."""
    noise = BytesIO()
    Image.effect_noise((1600, 1600), 100).save(noise, "PNG")
    shown = scaled_photo(noise.getvalue(), 1200)
    assert len(shown.content) <= MOST_SCALED_BYTES
    assert Image.open(BytesIO(shown.content)).size == (shown.width, shown.height)


def test_a_small_photo_is_not_blown_up() -> None:
    assert (scaled_photo(picture("PNG"), 1200).width, scaled_photo(picture("PNG"), 1200).height) == (96, 64)  # fmt: skip


MODES = [
    (Image.new("RGBA", (40, 40), (0, 0, 0, 0)), 255),
    (Image.new("LA", (40, 40), (0, 0)), 255),
    (Image.new("I;16", (40, 40), 0x8000), 128),
    (Image.new("1", (40, 40), 1), 255),
    (Image.new("CMYK", (40, 40), (0, 0, 0, 0)), 255),
]


@pytest.mark.parametrize(("image", "grey"), MODES, ids=[image.mode for image, _ in MODES])
def test_other_kinds_of_pixels(image: Image.Image, grey: int) -> None:
    """What is clear is seen on white; 16 bits of grey keep their lightness."""
    made = BytesIO()
    image.save(made, "JPEG" if image.mode == "CMYK" else "PNG")
    shown = Image.open(BytesIO(scaled_photo(made.getvalue(), 40).content))
    pixel = shown.getpixel((20, 20))
    assert isinstance(pixel, tuple)
    assert max(abs(value - grey) for value in pixel) <= 2
    assert Image.open(BytesIO(without_notes(made.getvalue()))).mode == Image.open(made).mode


XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:Description %s/></x:xmpmeta>'


@pytest.mark.parametrize(
    ("said", "is_place"),
    [
        (b'exif:GPSLatitude="50,30.25N"', True),
        (b'photoshop:City="Saltmarsh"', True),
        (b'Iptc4xmpCore:Location="Saltmarsh Lane"', True),
        (b'xmp:CreatorTool="a program"', False),
    ],
)
def test_a_place_in_xmp(said: bytes, is_place: bool) -> None:
    taken = picture("JPEG", xmp=XMP % said)
    assert (tells_place(taken), has_notes(taken)) == (is_place, True)
    assert not has_notes(without_notes(taken))


def test_a_picture_behind_the_picture_tells_its_place_too() -> None:
    """As phones write them (CIPA DC-007, multi-picture format)."""
    second = Image.open(BytesIO(picture("JPEG", with_place=True)))
    # Pillow writes what stands behind without its Exif, unless told to
    second.save = partial(second.save, exif=second.info["exif"])
    made = BytesIO()
    Image.open(BytesIO(picture("JPEG"))).save(made, "MPO", save_all=True, append_images=[second])
    taken = made.getvalue()
    assert SERIAL in taken
    assert (tells_place(taken), has_notes(taken)) == (True, True)
    kept = without_notes(taken)
    assert (SERIAL in kept, tells_place(kept), has_notes(kept)) == (False, False, False)
    assert Image.open(BytesIO(kept)).format == "JPEG"


def test_a_film_behind_the_picture_is_no_part_of_it() -> None:
    taken = picture("JPEG") + b"\0\0\0\x18ftypmp42" + b"\0" * 12
    assert has_notes(taken)
    assert b"ftyp" not in without_notes(taken)


def chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def bomb(side: int) -> bytes:
    """A PNG that says it has side times side pixels (PNG specification, IHDR), and holds next to nothing."""
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 99)) + chunk(b"IEND", b"")  # fmt: skip


def moving() -> bytes:
    made = BytesIO()
    Image.new("RGB", (9, 9)).save(
        made, "PNG", save_all=True, append_images=[Image.new("RGB", (9, 9), "red")]
    )
    return made.getvalue()


def gif() -> bytes:
    made = BytesIO()
    Image.new("P", (9, 9)).save(made, "GIF")
    return made.getvalue()


REFUSED = [
    (b"", "is no picture in JPEG, PNG or WebP; save it as one"),
    (b"root:x:0:0:root:/root:/bin/sh\n", "is no picture in JPEG, PNG or WebP; save it as one"),
    (gif(), "is no picture in JPEG, PNG or WebP; save it as one"),
    (b"\0\0\0\x18ftypheic" + b"\0" * 40, "is HEIC or AVIF (ISO/IEC 23008-12), which is not read; save it as JPEG"),
    (bomb(9000), "has 81 million pixels, and at most 67 million are read; save it at a smaller size"),
    (bomb(60000), "has more than twice as many pixels, and at most 67 million are read; save it at a smaller size"),
    (bomb(100), "is damaged: its picture cannot be read to the end"),
    (picture("JPEG", size=(400, 400))[:-900], "is damaged: its picture cannot be read to the end"),
    (moving(), "holds several pictures that move; save one of them"),
]  # fmt: skip


@pytest.mark.parametrize(("content", "why"), REFUSED)
def test_what_is_no_photo(content: bytes, why: str) -> None:
    for read in (checked_photo, without_notes, lambda content: scaled_photo(content, 100)):
        with pytest.raises(PictureProblem) as told:
            read(content)
        assert str(told.value) == why
