"""Recipes in the text of a PDF, made here with typst and pypdf."""

from __future__ import annotations

import io
import time
from functools import lru_cache
from pathlib import Path

import pytest
import typst
from pypdf import PdfReader, PdfWriter

from perflour.recipe import pdf_text
from perflour.recipe.request import import_recipe, import_recipes
from perflour.result import CannotRun
from tests.conftest import run_cli

CAKE = r"""
= Pound cake
Makes 2 loaves

== Ingredients
200 g flour \
3 large eggs \
2 tbsp brandy

== Method
+ Cream the flour and the eggs until light, which takes about ten minutes with a mixer that is good for it.
+ Bake at 180 °C for 40 min.
"""
SIDE_BY_SIDE = r"""
= Honey squares
#grid(columns: (1fr, 2fr), gutter: 1cm,
  [200 g flour \ 3 large eggs \ 2 tbsp brandy],
  [Mix the flour and the eggs together well until smooth. Then bake for 30 min at 180 °C, and cool it.])
"""
TABLE = r"""
= Tin loaf
#table(columns: 2, stroke: none, [flour], [500 g], [water], [325 g], [salt], [10 g])
Mix all.
"""


@lru_cache
def pdf(*pages: str) -> bytes:
    source = '#set page(paper: "a5")\n' + "\n#pagebreak()\n".join(pages)
    return typst.compile(source.encode())  # type: ignore[no-any-return]


def rewritten(content: bytes, password: str = "", times: int = 1) -> bytes:
    writer = PdfWriter()
    for _ in range(times):
        writer.append(PdfReader(io.BytesIO(content)))
    if password:
        writer.encrypt(password, algorithm="RC4-128")
    file = io.BytesIO()
    writer.write(file)
    return file.getvalue()


def test_the_text_layer_is_read_line_by_line(tmp_path: Path) -> None:
    (tmp_path / "cake.pdf").write_bytes(pdf(CAKE))
    done = run_cli("import", "cake.pdf", cwd=tmp_path)
    assert done.code == 1
    assert "yield: {pieces: 2, piece: loaf}" in done.out
    assert "{item: egg, amount: 3 large" in done.out
    assert "do: cream" in done.out
    assert "{do: bake, at: 180 °C, for: 40 min}" in done.out
    assert done.err.startswith("cake.pdf#page=1:6:1: 'brandy' is not in the catalogue")


def test_a_pdf_is_told_by_how_it_starts(tmp_path: Path) -> None:
    assert run_cli("import", "-", cwd=tmp_path, stdin=pdf(CAKE)).out.startswith(
        "formula: pound-cake"
    )
    (tmp_path / "cake.txt").write_bytes(pdf(CAKE))
    assert import_recipe(str(tmp_path / "cake.txt")).id == "pound-cake"


def test_columns_are_read_one_after_the_other_and_tables_across(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(pdf(SIDE_BY_SIDE))
    text = import_recipe(str(tmp_path / "a.pdf")).content.decode()
    assert text.index("item: brandy") < text.index("do: mix")
    assert "{do: bake, at: 180 °C" in text
    (tmp_path / "b.pdf").write_bytes(pdf(TABLE))
    assert "{item: water, amount: 325 g}" in import_recipe(str(tmp_path / "b.pdf")).content.decode()


def test_recipes_on_pages_of_their_own_and_a_page_without_text(tmp_path: Path) -> None:
    second = CAKE.replace("Pound cake", "Rye squares")
    (tmp_path / "two.pdf").write_bytes(pdf(CAKE, "#rect()", second))
    first, other = import_recipes(str(tmp_path / "two.pdf"))
    assert (first.id, other.id) == ("pound-cake", "rye-squares")
    assert [str(one.place).rpartition("/")[2] for one in (*first.unclear, *other.unclear)] == [
        "two.pdf#page=2:1:1",
        "two.pdf#page=1:6:1",
        "two.pdf#page=3:6:1",
    ]
    assert first.unclear[0].message.startswith("no text on this page")


SCAN, WHOLE = "#rect(width: 100%)", pdf(CAKE)
#: Files that cannot be read, and the one line that is told.
REFUSED = {
    "scan": (pdf(SCAN), "holds no text, only pictures; have the text recognised, or type the recipe"),
    "encrypted": (rewritten(WHOLE, "secret"), "is encrypted; save it without a password"),
    "cut off": (WHOLE[:600], "no PDF that can be read; save it again, or paste the text"),
    "only its opening": (b"%PDF-1.7\n\0\0", "no PDF that can be read; save it again, or paste the text"),
    "pages": (rewritten(pdf(SCAN), times=301), "301 pages, more than 300; cut out those with the recipes"),
    "text": (pdf('#("flour " * 100000)'), "over 512 KiB of text, more than a recipe; cut out its pages"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_read_is_told_in_one_line(name: str, tmp_path: Path) -> None:
    content, told = REFUSED[name]
    (tmp_path / "x.pdf").write_bytes(content)
    done = run_cli("import", "x.pdf", cwd=tmp_path)
    assert (done.code, done.out, done.err) == (2, "", f"perflour: x.pdf: {told}\n")


def test_a_pdf_that_takes_too_long_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf_text, "MOST_SECONDS", 0.3)
    monkeypatch.setattr(pdf_text, "_read", lambda content: time.sleep(60))
    start = time.monotonic()
    with pytest.raises(CannotRun, match="not read within"):
        pdf_text.pdf_lines(b"%PDF-", "x.pdf")
    assert time.monotonic() - start < 30
