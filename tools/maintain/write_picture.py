"""The picture in the README: the top of a formula's page, as `perflour site` makes it of the demo.

    python tools/maintain/write_picture.py

Needs a browser. The picture carries the words that it shows, so that a test without one knows when it is stale.
"""

from __future__ import annotations

import io
import re
import subprocess
import sys
import tempfile
from html import unescape
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

PICTURE = ROOT / "docs" / "pictures" / "formula-page.png"
FORMULA = "rye-ginger-cookie"
#: From the title to the heading that comes after what is shown.
SHOWN = re.compile(r"<h1.*?(?=<h2[^>]*>Method</h2>)", re.DOTALL)
WIDTH_PX = 840
COLOURS = 32


def made_page(into: Path) -> Path:
    """The page of the formula, in a folder of pages of that formula alone."""
    words = ("site", str(into), "--paths", f"formulas/{FORMULA}")
    subprocess.run(
        [sys.executable, "-m", "perflour", *words], cwd=ROOT, check=True, stdout=subprocess.DEVNULL
    )
    return into / "formulas" / FORMULA / "index.html"


def words_shown(page: Path) -> str:
    """The words of the part that the picture shows."""
    found = SHOWN.search(page.read_text(encoding="utf-8"))
    assert found
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", found[0])).split())


def main() -> int:
    from PIL import Image, PngImagePlugin
    from playwright.sync_api import FloatRect
    from tests.browser.launch import launched

    with tempfile.TemporaryDirectory() as folder, launched() as browser:
        page = made_page(Path(folder))
        shown = browser.new_page(viewport={"width": WIDTH_PX, "height": 900})
        shown.goto(page.as_uri())
        end = shown.get_by_role("heading", name="Method", exact=True).bounding_box()
        assert end
        area: FloatRect = {"x": 0, "y": 0, "width": WIDTH_PX, "height": end["y"] - 12}
        picture = Image.open(io.BytesIO(shown.screenshot(clip=area, full_page=True)))
        carried = PngImagePlugin.PngInfo()
        carried.add_itxt("Description", words_shown(page))
    PICTURE.parent.mkdir(exist_ok=True)
    picture.convert("RGB").quantize(COLOURS).save(PICTURE, optimize=True, pnginfo=carried)
    print(f"{PICTURE.relative_to(ROOT)}: {PICTURE.stat().st_size:,} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main())
