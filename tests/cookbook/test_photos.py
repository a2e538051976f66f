"""Photos in the book: of kept bakes of just this version, with words, or the reason why not."""

from __future__ import annotations

from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from perflour.cookbook.photos import MOST_ON_PAGE, kept_bakes, photos_of
from perflour.cookbook.proofreading import Proofreader
from perflour.formula.digests import digest
from perflour.formula.file import read_formula
from perflour.records.bake import Bake, Photo
from tests.conftest import formula_text

TEXT = formula_text("{item: all-purpose flour, amount: 300 g}")


def picture() -> bytes:
    made = BytesIO()
    Image.new("RGB", (40, 30), "tan").save(made, "PNG")
    return made.getvalue()


def bake(name: str, verdict: str, of: str, *photos: Photo) -> Bake:
    return Bake(name, name, of, "N", verdict, "", (), (), 0, "", "", photos=photos)


@pytest.mark.parametrize(
    ("verdict", "of", "alt", "file", "shown", "told"),
    [
        ("keep", "", "A loaf, cut", "loaf.png", 1, ""),
        ("change", "", "A loaf, cut", "loaf.png", 0, ""),
        ("keep", "another", "A loaf, cut", "loaf.png", 0, ""),
        ("keep", "", "", "loaf.png", 0, "nobody has said what it shows; give it `alt`"),
        ("keep", "", "A loaf, cut", "gone.png", 0, "is not here any more; it is not in the draft"),
    ],
)
def test_a_photo_stands_on_the_page_or_why_not_is_told(
    verdict: str, of: str, alt: str, file: str, shown: int, told: str, tmp_path: Path
) -> None:
    path = tmp_path / "formula.yaml"
    formula = read_formula(TEXT.encode(), str(path))
    (tmp_path / "bakes").mkdir()
    (tmp_path / "bakes" / "loaf.png").write_bytes(picture())
    photo = Photo(file, sha256(picture()).hexdigest(), "The second bake", alt)
    proof = Proofreader(())
    found = photos_of(
        kept_bakes(formula, [bake("2026-03-01", verdict, of or digest(formula), photo)]), proof
    )
    assert len(found) == shown
    assert [told in remark for remark in proof.remarks] == [True] * bool(told)
    for one in found:
        assert (one.caption, one.alt) == ("The second bake", alt)
        assert Image.open(BytesIO(one.content)).size == (40, 30)


def test_of_many_photos_those_of_the_newest_bakes_are_on_the_page(tmp_path: Path) -> None:
    formula = read_formula(TEXT.encode(), str(tmp_path / "formula.yaml"))
    (tmp_path / "bakes").mkdir()
    (tmp_path / "bakes" / "loaf.png").write_bytes(picture())
    hashed = sha256(picture()).hexdigest()
    bakes = [
        bake(f"2026-03-0{n}", "keep", digest(formula), Photo("loaf.png", hashed, f"Bake {n}", "A loaf"))
        for n in (2, 4, 3)
    ]  # fmt: skip
    found = photos_of(kept_bakes(formula, bakes), Proofreader(()))
    assert [one.caption for one in found] == ["Bake 4", "Bake 3"]
    assert len(found) == MOST_ON_PAGE
