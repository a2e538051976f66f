"""Pictures of every kind of page in each width and scheme, and of the pages of the printed book, to look at.

    python tools/maintain/picture_pages.py FOLDER [PAGE ...]

Without pages, those of the demo are made; a page is a file or a folder of them.
"""

from __future__ import annotations

import argparse
import io
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Browser, FloatRect

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.browser.demo_pages import SITE_KINDS, make_all, make_site  # noqa: E402
from tests.browser.launch import found, launched  # noqa: E402
from tests.browser.looks import SCHEMES, WIDTHS, opened  # noqa: E402

#: A longer picture than this no viewer shows.
LONGEST_PX = 6_000
DOTS_AN_INCH = 96


def main() -> int:
    command = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    command.add_argument("folder", type=Path, help="where the pictures are put")
    command.add_argument("pages", nargs="*", type=Path, help="files, folders (default: the demo's)")
    options = command.parse_args()
    if not found():
        print("needs a browser: apt-get install chromium", file=sys.stderr)
        return 2
    options.folder.mkdir(parents=True, exist_ok=True)
    with launched() as browser, tempfile.TemporaryDirectory() as made:
        pages = [*_below(options.pages)] if options.pages else [*_of_demo(Path(made))]
        for page in pages:
            picture(browser, page.resolve(), options.folder)
    if not options.pages:
        picture_book(options.folder)
    print(f"{len(list(options.folder.glob('*.png')))} pictures in {options.folder}")
    return 0


def _of_demo(into: Path) -> Iterator[Path]:
    """Every kind of page, and of the pages of the kitchen the longest of each kind."""
    yield from make_all(into)
    site = make_site(into / "site")
    for kind in SITE_KINDS:
        yield max(site.glob(kind), key=lambda page: page.stat().st_size)


def _below(named: list[Path]) -> Iterator[Path]:
    for one in named:
        yield from sorted(one.rglob("*.html")) if one.is_dir() else [one]


def picture(browser: Browser, file: Path, into: Path) -> None:
    """A page in each width by day and by night, and the sheets that a printer would give."""
    named = "-".join((*file.parts[-3:-1], file.stem)) if "site" in file.parts else file.stem
    with opened(browser, file) as shown:
        page = shown.page
        for width in WIDTHS:
            for scheme in SCHEMES:
                page.set_viewport_size({"width": width, "height": 900})
                page.emulate_media(media="screen", color_scheme=scheme)
                tall = page.evaluate("document.documentElement.scrollHeight")
                area: FloatRect = {"x": 0, "y": 0, "width": width, "height": min(tall, LONGEST_PX)}
                name = into / f"{named}-{width}-{scheme}.png"
                page.screenshot(path=name, clip=area, full_page=True)
        page.emulate_media(media="print", color_scheme="light")
        sheets = page.pdf(prefer_css_page_size=True, print_background=False)
    picture_sheets(sheets, into, f"{named}-paper")


def picture_book(into: Path) -> None:
    """The sheets of the demo's cookbook in print."""
    words = [sys.executable, "-m", "perflour", "draft", "--all", "--output", "pdf"]
    made = subprocess.run(words, cwd=ROOT, check=True, capture_output=True)
    picture_sheets(made.stdout, into, "book")


def picture_sheets(pdf: bytes, into: Path, name: str) -> None:
    """A picture of each sheet of a PDF, by typst, which sets sheets of other PDFs as pictures."""
    import typst
    from pypdf import PdfReader

    for number in range(1, len(PdfReader(io.BytesIO(pdf)).pages) + 1):
        with tempfile.TemporaryDirectory() as folder:
            (Path(folder) / "sheets.pdf").write_bytes(pdf)
            sheet = Path(folder) / "sheet.typ"
            sheet.write_text(
                "#set page(width: auto, height: auto, margin: 0pt, fill: white)\n"
                f'#image("sheets.pdf", page: {number})\n',
                encoding="utf-8",
            )
            typst.compile(
                sheet, output=into / f"{name}-{number:02}.png", format="png", ppi=DOTS_AN_INCH
            )


if __name__ == "__main__":
    sys.exit(main())
