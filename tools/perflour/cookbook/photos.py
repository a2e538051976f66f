"""The photos of a page: those of the bakes of just this version that the kitchen kept, with their words."""

import os
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.cookbook.proofreading import Proofreader
from perflour.formula.digests import marks
from perflour.formula.formula import Formula
from perflour.records.bake import Bake
from perflour.result import Place
from perflour.system.paths import BAKES

#: So many stand on a page beside the formula, those of the newest bakes.
MOST_ON_PAGE = 2


class Photo(NamedTuple):
    """A picture of a bake: JPEG or PNG, of a size for print. ``alt`` says what is seen to who cannot see it."""

    content: bytes
    caption: str
    alt: str


def photos_of(kept: Sequence[tuple[Bake, Place]], proof: Proofreader) -> tuple[Photo, ...]:
    """Of bakes that ``kept_bakes`` gives, at most two; one that cannot be shown, or that nobody has put into words, is told to who makes the book."""
    newest = sorted(kept, key=lambda one: (one[0].date, one[0].name), reverse=True)
    found = (photo for bake, record in newest for photo in _of_bake(bake, record, proof))
    return tuple(photo for photo, _ in zip(found, range(MOST_ON_PAGE), strict=False))


def kept_bakes(formula: Formula, bakes: Sequence[Bake]) -> list[tuple[Bake, Place]]:
    """The bakes of exactly this version that the kitchen kept, each with its record."""
    kept = [bake for bake in bakes if bake.verdict == "keep"]
    if not kept:
        return []
    called = marks(formula)
    folder = os.path.join(os.path.dirname(formula.path), BAKES)
    return [
        (bake, Place(os.path.join(folder, f"{bake.name}.yaml")))
        for bake in kept
        if bake.of in called
    ]


def _of_bake(bake: Bake, place: Place, proof: Proofreader) -> Iterator[Photo]:
    if not bake.photos:
        return
    from perflour.records.photos import shown_photo  # few books have any

    for photo in bake.photos:
        shown = shown_photo(os.path.abspath(place.path), photo)
        alt, caption = proof.keep(photo.alt, place), proof.keep(photo.caption, place)
        if isinstance(shown, str):
            proof.remarks.append(f"{place}: {photo.file} {shown}; it is not in the draft")
        elif not alt:
            proof.remarks.append(
                f"{place}: {photo.file} is not in the draft, for nobody has said what it shows; give it `alt`"
            )
        else:
            yield Photo(shown.content, caption, alt)
