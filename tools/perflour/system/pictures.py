"""Photos as bytes: whether they are pictures, what a camera noted beside the pixels, and smaller copies for pages.

What is read here may come from a stranger: only three formats are decoded, none beyond a number of pixels, and
whatever a decoder says of bytes that it cannot read becomes one phrase. Pillow is loaded where it is needed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from perflour.system.extras import need

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageFile import ImageFile

#: What is decoded, by Pillow's name, and how such a file ends that is written.
ENDINGS = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp"}
#: Three bytes each when decoded. Cameras of 64 megapixels are below it.
MOST_PIXELS = 64 << 20
#: The most that a scaled copy weighs: a page with twenty of them stays below 4 MB.
MOST_SCALED_BYTES = 150_000
# Pictures in one JPEG that are looked into for a place: phones put one or two behind the first.
_MOST_BEHIND = 8
_QUALITIES = (85, 75, 65, 50)
# Profiles of cameras have 0.5 to 3.2 kB; a longer one would be most of a small picture.
_LONGEST_PROFILE = 4096

# Tags of the Exif standard (CIPA DC-008), by number.
_ORIENTATION, _GPS_FIELDS, _GPS_VERSION = 0x0112, 0x8825, 0
# Data sets of IPTC's information interchange model, record 2: city, sublocation, province, country code and name.
_IPTC_PLACE = ((2, 90), (2, 92), (2, 95), (2, 100), (2, 101))
# The same in XMP, and the GPS fields of Exif there (Exif in XMP, IPTC photo metadata).
_XMP_PLACE = re.compile(
    rb"\bGPS(?:Latitude|Longitude|Altitude|Dest|AreaInformation)|\bphotoshop:(?:City|State|Country)\b"
    rb"|\bIptc4xmp(?:Core|Ext):(?:Location|City|ProvinceState|Country)"
)
# What says how pixels are meant, and nothing of where, when or with what they were taken.
_OF_PIXELS = frozenset(
    (
        "jfif", "jfif_version", "jfif_unit", "jfif_density", "adobe", "adobe_transform", "dpi", "icc_profile",
        "progressive", "progression", "gamma", "srgb", "chromaticity", "transparency", "interlace", "aspect",
        "loop", "background", "timestamp", "duration", "default_image",
    )
)  # fmt: skip
_SEGMENTS_OF_PIXELS = {"APP0": b"JFIF\0", "APP2": b"ICC_PROFILE\0", "APP14": b"Adobe"}
# Brands of ISO/IEC 23008-12, where a file of that family names itself.
_HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis")  # fmt: skip


class PictureProblem(Exception):
    """Why bytes are not used as a photo, in words that follow the name of the file."""


@dataclass(frozen=True)
class ScaledPhoto:
    """A photo small enough for a page, upright, with nothing that a camera noted beside the pixels."""

    content: bytes
    media_type: str
    width: int
    height: int


def checked_photo(content: bytes) -> None:
    """Raises PictureProblem for what is no photo that pages can show."""
    with _decoding():
        _opened(content).load()


def ending_of(content: bytes) -> str:
    """How the name of such a file ends. Raises PictureProblem."""
    with _decoding():
        return ENDINGS[_format(_opened(content))]


def tells_place(content: bytes) -> bool:
    """Whether a photo says where it was taken, in Exif, XMP or IPTC's fields. Raises PictureProblem."""
    from PIL.IptcImagePlugin import getiptcinfo

    with _decoding():
        image = _opened(content)
        for at in range(min(getattr(image, "n_frames", 1), _MOST_BEHIND)):
            image.seek(
                at
            )  # to a picture that a phone put behind the first: it may have an Exif of its own
            if set(image.getexif().get_ifd(_GPS_FIELDS)) - {_GPS_VERSION}:
                return True
        image.seek(0)
        iptc = getiptcinfo(image) or {}
        texts = [content, *(_bytes_of(value) for value in image.info.values())]
        return any(key in iptc for key in _IPTC_PLACE) or any(map(_XMP_PLACE.search, texts))


def has_notes(content: bytes) -> bool:
    """Whether a file holds more than a picture: what a camera or a program noted. Raises PictureProblem."""
    with _decoding():
        image = _opened(content)
        image.load()  # a PNG may say more behind its pixels
        segments = getattr(image, "applist", ())
        return (
            bool(image.getexif())
            or bool(getattr(image, "text", None))
            or bool(getattr(image, "private_chunks", None))
            or not image.info.keys() <= _OF_PIXELS
            or any(not _is_of_pixels(name, data) for name, data in segments)
            or not _ends_with_picture(content, _format(image))
        )


def without_notes(content: bytes) -> bytes:
    """The picture alone, upright, with its colour profile. Raises PictureProblem.

    Pixels are decoded and written again: in a JPEG with the tables that they were written with, so that hardly one moves.
    """
    from PIL.ImageOps import exif_transpose
    from PIL.JpegImagePlugin import get_sampling

    with _decoding():
        image = _opened(content)
        is_turned = image.getexif().get(_ORIENTATION, 1) != 1
        kept: dict[str | tuple[int, int], Any] = {
            k: image.info[k] for k in ("icc_profile", "transparency") if k in image.info
        }
        how: dict[str, Any] = {"icc_profile": kept.get("icc_profile")}
        if (form := _format(image)) == "JPEG":
            image.load()
            how["qtables"] = getattr(image, "quantization", None)
            how["subsampling"] = 0 if is_turned else get_sampling(image)
        elif form == "WEBP":
            how["quality"] = 95
        upright = exif_transpose(image) if is_turned else image
        upright.info = kept
        return _written(upright, form, **how)


def scaled_photo(content: bytes, most_px: int) -> ScaledPhoto:
    """A photo as JPEG, neither side longer than ``most_px``, at most MOST_SCALED_BYTES. Raises PictureProblem.

    The same bytes give the same bytes.
    """
    from PIL.ImageOps import exif_transpose

    with _decoding():
        image = _opened(content)
        image.thumbnail((most_px, most_px))
        profile = image.info.get("icc_profile", b"") if image.mode == "RGB" else b""
        flat = _on_white(exif_transpose(image))
        how = {"icc_profile": profile} if 0 < len(profile) <= _LONGEST_PROFILE else {}
        while True:
            for quality in _QUALITIES:
                made = _written(flat, "JPEG", quality=quality, optimize=True, **how)
                if len(made) <= MOST_SCALED_BYTES:
                    return ScaledPhoto(made, "image/jpeg", *flat.size)
            flat = flat.resize((flat.width * 3 // 4, flat.height * 3 // 4))


@contextmanager
def _decoding() -> Iterator[None]:
    """Whatever a decoder raises of hostile bytes, as a PictureProblem. Raises CannotRun without Pillow."""
    from warnings import catch_warnings, simplefilter

    need("photos")
    try:
        with catch_warnings():
            simplefilter("ignore")  # of large and of odd files: what matters is said by us
            yield
    except PictureProblem:
        raise
    except Exception:  # decoders raise a dozen kinds, of which none is ours to mend
        raise PictureProblem("is damaged: its picture cannot be read to the end") from None


def _opened(content: bytes) -> ImageFile:
    """A picture whose pixels are not decoded yet."""
    from PIL import Image, UnidentifiedImageError

    if content[4:8] == b"ftyp" and content[8:12] in _HEIF_BRANDS:
        raise PictureProblem(
            "is HEIC or AVIF (ISO/IEC 23008-12), which is not read; save it as JPEG"
        )
    try:
        image = Image.open(BytesIO(content), formats=tuple(ENDINGS))
    except UnidentifiedImageError:
        raise PictureProblem("is no picture in JPEG, PNG or WebP; save it as one") from None
    except Image.DecompressionBombError:
        raise PictureProblem(_too_many("more than twice as many pixels")) from None
    pixels = image.width * image.height
    if pixels > MOST_PIXELS:
        raise PictureProblem(_too_many(f"{pixels / 1e6:,.0f} million pixels"))
    if _format(image) != "JPEG" and getattr(image, "n_frames", 1) > 1:
        raise PictureProblem("holds several pictures that move; save one of them")
    return image


def _too_many(found: str) -> str:
    return f"has {found}, and at most {MOST_PIXELS / 1e6:,.0f} million are read; save it at a smaller size"


def _format(image: ImageFile) -> str:
    """Phones put a second picture behind a JPEG, which then has a name of its own (CIPA DC-007)."""
    return "JPEG" if image.format == "MPO" else str(image.format)


def _bytes_of(value: object) -> bytes:
    if isinstance(value, bytes):
        return value
    return value.encode("utf-8", "replace") if isinstance(value, str) else b""


def _is_of_pixels(segment: str, data: bytes) -> bool:
    return segment in _SEGMENTS_OF_PIXELS and data.startswith(_SEGMENTS_OF_PIXELS[segment])


def _ends_with_picture(content: bytes, form: str) -> bool:
    """Whether nothing stands behind the picture: phones put a film there, with a place of its own."""
    if form == "JPEG":
        return content.endswith(b"\xff\xd9")
    if form == "PNG":
        return content.endswith(b"IEND\xaeB`\x82")
    return int.from_bytes(content[4:8], "little") + 8 == len(content)


def _on_white(image: Image) -> Image:
    """A picture in RGB, what is clear in it on white, as on paper."""
    from PIL import Image

    if image.mode.startswith("I"):  # 16 bits of grey
        image = image.point(lambda value: value / 256).convert("L")
    if not image.has_transparency_data:
        plain = image.convert("RGB")
    else:
        seen = image.convert("RGBA")
        plain = Image.new("RGB", seen.size, "white")
        plain.paste(seen, mask=seen)
    plain.info = {}
    return plain


def _written(image: Image, form: str, **how: Any) -> bytes:
    made = BytesIO()
    image.save(made, form, **how)
    return made.getvalue()
