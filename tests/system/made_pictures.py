"""Pictures made by Pillow, with what cameras note beside the pixels."""

from __future__ import annotations

from io import BytesIO

from PIL import Image

# Tags of the Exif standard (CIPA DC-008-2019, from memory), by number.
MAKE, ORIENTATION, EXIF_FIELDS, GPS_FIELDS = 0x010F, 0x0112, 0x8769, 0x8825
MAKER_NOTE, BODY_SERIAL_NUMBER = 0x927C, 0xA431
GPS_LATITUDE_REF, GPS_LATITUDE, GPS_LONGITUDE_REF, GPS_LONGITUDE = 1, 2, 3, 4
#: What must be in no copy.
SERIAL, MAKER = b"serial 4711", b"Some maker"
#: Of each corner, from the top left, as the clock goes.
CORNERS = ((255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 255, 255))


def picture(
    form: str,
    size: tuple[int, int] = (96, 64),
    orientation: int = 0,
    with_place: bool = False,
    xmp: bytes = b"",
) -> bytes:
    """A picture with a field of one colour in each corner."""
    image = Image.new("RGB", size)
    half = (size[0] // 2, size[1] // 2)
    places = ((0, 0), (half[0], 0), half, (0, half[1]))
    for colour, place in zip(CORNERS, places, strict=True):
        image.paste(Image.new("RGB", (max(half[0], 1), max(half[1], 1)), colour), place)
    exif = Image.Exif()
    if orientation:
        exif[ORIENTATION] = orientation
    if with_place:
        exif[MAKE] = MAKER.decode()
        exif.get_ifd(EXIF_FIELDS).update(
            {BODY_SERIAL_NUMBER: SERIAL.decode(), MAKER_NOTE: b"note " + SERIAL}
        )
        exif.get_ifd(GPS_FIELDS).update(
            {
                GPS_LATITUDE_REF: "N",
                GPS_LATITUDE: (50.0, 30.0, 15.0),
                GPS_LONGITUDE_REF: "W",
                GPS_LONGITUDE: (30.0, 15.0, 45.0),
            }
        )
    made = BytesIO()
    how = {"exif": exif} if len(exif) else {}
    how |= {"xmp": xmp} if xmp else {}
    image.save(made, form, **({} if form == "PNG" else {"quality": 95}), **how)
    return made.getvalue()


def corners(content: bytes) -> list[tuple[int, int, int]]:
    """The colours of the corners, from the top left, as the clock goes, each as the nearest of CORNERS."""
    image = Image.open(BytesIO(content)).convert("RGB")
    right, low = image.width - 3, image.height - 3
    found = [image.getpixel(at) for at in ((2, 2), (right, 2), (right, low), (2, low))]
    return [min(CORNERS, key=lambda c: sum((a - b) ** 2 for a, b in zip(c, seen, strict=True))) for seen in found]  # fmt: skip


def says_place(content: bytes) -> bool:
    """Whether Exif has a GPS directory, as another reader of the file than ours sees it."""
    return bool(Image.open(BytesIO(content)).getexif().get_ifd(GPS_FIELDS))
