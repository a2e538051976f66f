"""The cookbook in print: the PDF is read back, the HTML and its schema.org Recipe are taken apart."""

from __future__ import annotations

import io
import json
import re
import unicodedata
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import pandas
import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from perflour.cookbook.book import Cookbook, Selection, draft
from perflour.cookbook.photos import Photo
from perflour.lint.rules.described import described_rules
from perflour.report import forms
from perflour.report.cookbook.html import cookbook_html
from perflour.report.cookbook.markup import iso_duration, recipe_data
from perflour.report.cookbook.output import unprintable
from perflour.report.cookbook.pdf import SET_WHOLE, cookbook_pdf
from perflour.report.cookbook.printed.book import printed_book
from perflour.report.cookbook.printed.page import is_general, printed_page
from perflour.report.form.signs import WORD_JOINER, typeset
from tests.conftest import ROOT, examples, formula_text, run_cli
from tests.whole.test_architecture import loaded_by

pytestmark = pytest.mark.xdist_group("cookbook")  # each book is set once on each paper

BOOKS = {"demo": "formulas", "by weight": "tests/published/weight", "by measure": "tests/published/measure"}  # fmt: skip


def rendered(made: Cookbook, form: str, paper: str = "a4") -> bytes:
    settled = made.settled._replace(paper=paper)
    made = made._replace(settled=settled)
    return forms.rendered("draft", form, printed_book(made) if form == "pdf" else made)


@cache
def book(name: str) -> Cookbook:
    return draft([str(ROOT / BOOKS[name])], Selection(None)).book


@cache
def pdf(name: str, paper: str = "a4") -> tuple[str, ...]:
    """The text of every page, without any white space: where lines end is typesetting."""
    return read_back(rendered(book(name), "pdf", paper))


def read_back(content: bytes) -> tuple[str, ...]:
    return tuple(
        squeezed(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(content)).pages
    )


def squeezed(text: str) -> str:
    return "".join(text.replace(WORD_JOINER, "").split())


def small_book(folder: Path, *lines: str, method: str = "[]", extra: str = "") -> Cookbook:
    text = formula_text(*lines, method=method, extra=extra)
    (folder / "formula.yaml").write_text(text, encoding="utf-8")
    return draft([str(folder)], Selection(None)).book


def weighed_out(mass_g: float | None, step_g: float) -> str:
    """As scales show it, halves up: under 20 g the small one, ten times finer."""
    if mass_g is None:
        return "–"
    step = Decimal(str(step_g if mass_g >= 20 else step_g / 10)).normalize()
    steps = (Decimal(repr(mass_g)) / step).quantize(Decimal(1), ROUND_HALF_UP)
    return f"{steps * step:,f} g"


class Reader(HTMLParser):
    """What a reader sees of a page, and what machines find in its scripts."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[str] = []
        self.data: list[Any] = []
        self.inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.inside = tag
        if tag == "script":
            assert dict(attrs) == {"type": "application/ld+json"}

    def handle_endtag(self, tag: str) -> None:
        self.inside = ""

    def handle_data(self, data: str) -> None:
        if self.inside == "script":
            self.data.append(json.loads(data))
        elif self.inside != "style":
            self.seen.append(data)


def taken_apart(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    return reader


# --- PDF ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", BOOKS)
@pytest.mark.parametrize("paper", ["a4", "a5", "us-letter"])
def test_the_pdf_holds_all_of_every_page(name: str, paper: str) -> None:
    """Every line with its amounts in one row, every step, title, note and caution."""
    text = "".join(pdf(name, paper))
    for page in book(name).pages:
        told = printed_page(page)
        rows = [row for table in told.tables for row in table.rows]
        lines = [*(line for part in page.parts for line in part.lines), *page.total]
        for row, line in zip(rows, lines, strict=True):
            assert row.amounts[0] == weighed_out(line.mass_g, page.scale_resolution_g)
            remark = f", {row.remark}" if row.remark else ""
            said = f"{''.join(row.amounts)}{row.name}{remark}{row.percent}"
            assert squeezed(said) in text, said
        said = [page.title, page.headnote, *page.steps]
        said += [caution.text for caution in page.cautions]
        said += [note.text for note in page.kitchen_notes]
        said += [f"{b.allergen} ({', '.join(b.by)})" for b in page.allergens.eu]
        for words in said:
            assert squeezed(typeset(words)).lower() in text.lower(), words


def test_what_holds_for_all_is_said_once_and_before_the_formulas() -> None:
    pages = pdf("demo")
    general = {c.text for page in book("demo").pages for c in page.cautions if is_general(c)}
    assert len(general) == 5
    for text in general:
        assert [at for at, page in enumerate(pages) if squeezed(typeset(text)) in page] == [4]
    raw_egg = squeezed("Raw egg is not for tasting.")
    assert [raw_egg in page for page in pages].count(True) == 5  # of seven formulas


def test_percentages_stand_in_the_row_of_their_line() -> None:
    """The cookie, against the arithmetic: butter 339 g of 604 g flour is 56.1 %."""
    text = "".join(pdf("demo"))
    assert squeezed("339 g 1½ cups unsalted butter, soft 56.1") in text
    assert pytest.approx(56.1, abs=0.05) == 339 / 604 * 100
    assert squeezed("400 g all poolish 50.0") in text


@pytest.mark.parametrize("output", ["pdf", "html"])
def test_nothing_internal_is_shown(output: str) -> None:
    """No ids, digests, rules, verdicts, statuses or bakers; the JSON-LD counts as shown."""
    if output == "pdf":
        text = " ".join(
            page.extract_text()
            for page in pypdf.PdfReader(io.BytesIO(rendered(book("demo"), "pdf"))).pages
        )
    else:
        reader = taken_apart(cookbook_html(book("demo")))
        text = " ".join([*reader.seen, json.dumps(reader.data)])
    text = " ".join(text.split())
    folders = [path.parent for path in (ROOT / "formulas").glob("*/formula.yaml")]
    bakes = [path.read_text(encoding="utf-8") for f in folders for path in f.glob("bakes/*.yaml")]
    digests = {m[1] for bake in bakes for m in [re.search(r'of: "(\w{12})"', bake)] if m}
    words = {rule.id for rule in described_rules()} | {f.name for f in folders} | digests
    words |= {"drop-cookie", "lean-bread", "loaf-cake", "crumb-cake", "flourless-torte"}
    words |= {"second baker", "approved", "testing", "draft", "retired", "reject", "verdict", "waiver", "None"}  # fmt: skip
    assert len(digests) > 10
    assert [w for w in words if re.search(rf"(?<![\w-]){re.escape(w)}(?![\w-])", text)] == []


@pytest.mark.parametrize("paper", ["a4", "a5"])
def test_page_numbers_in_contents_and_index_lead_to_the_formulas(paper: str) -> None:
    pages = pdf("demo", paper)
    contents, register = pages[2].removesuffix("3"), "".join(pages[-2:])
    number = {}
    for page in book("demo").pages:
        title = squeezed(page.title)
        found = re.search(rf"{re.escape(title)}\.+(\d+)", contents)
        assert found, page.title
        number[page.title] = int(found[1])
        assert title in pages[int(found[1]) - 1]
        assert (
            found[1] in pages[int(found[1]) - 1][-3:] + pages[int(found[1]) - 1][:60]
        )  # the folio
    for entry in book("demo").index:
        if not entry.see:
            listed = ",".join(str(number[book("demo").pages[at].title]) for at in entry.pages)
            assert squeezed(f"{entry.name},{listed}") in register
    assert "treacle,black,seemolasses" in register
    index = re.search(r"Indexbyingredient\.+(\d+)", contents)
    assert index and "Indexbyingredient" in pages[int(index[1]) - 1]


@pytest.mark.parametrize("name", BOOKS)
@pytest.mark.parametrize("paper", ["a4", "a5", "us-letter"])
def test_a_formula_is_whole_or_breaks_before_its_method(name: str, paper: str) -> None:
    """Every step is on the page of the first, with the allergens; the ingredients are on one page too."""
    pages = pdf(name, paper)
    for formula in printed_book(book(name)).pages:
        rows = [
            squeezed(f"{''.join(row.amounts)}{row.name}") for t in formula.tables for row in t.rows
        ]
        assert any(all(row in text for row in rows) for text in pages), formula.title
        together = [
            *map(squeezed, formula.steps),
            squeezed(f"{formula.allergens[0].label}: {formula.allergens[0].text}"),
        ]
        assert any(all(said in text for said in together) for text in pages), formula.title


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_what_needs_two_pages_lies_on_one_spread(paper: str) -> None:
    pages = pdf("demo", paper)
    for formula in printed_book(book("demo")).pages:
        start = next(
            at
            for at, text in enumerate(pages, 1)
            if squeezed(formula.title) in text and squeezed(formula.headnote) in text
        )
        end = next(at for at, text in enumerate(pages, 1) if squeezed(formula.steps[-1]) in text)
        assert end - start <= 1
        assert end == start or start % 2 == 0
    for chapter in printed_book(book("demo")).chapters:
        opener = [
            at
            for at, text in enumerate(pages, 1)
            if text.startswith(squeezed(chapter.title + chapter.pages[0].title))
        ]
        assert opener and opener[0] % 2 == 1


def test_a_long_table_flows(tmp_path: Path) -> None:
    lines = [f"{{item: bread flour, amount: {n} g}}" for n in range(1, 121)]
    pages = read_back(rendered(small_book(tmp_path, *lines), "pdf"))
    assert len([text for text in pages if "breadflour" in text]) >= 3
    assert all(f"{n}g" in "".join(pages) for n in range(21, 121))


def test_a_part_longer_than_a_page_and_a_step_longer_than_a_page_are_set(tmp_path: Path) -> None:
    note = "knead and wait " * 130
    method = ", ".join([f"{{do: rest, note: '{note}'}}"] * 5)
    made = small_book(tmp_path, "{item: bread flour, amount: 1 kg}", method=f"[{method}]")
    pages = read_back(rendered(made, "pdf"))
    assert "".join(pages).count("kneadandwait") + "".join(pages).count("Kneadandwait") >= 5 * 129


def test_the_same_book_gives_the_same_bytes(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    first = {out: rendered(book("demo"), out) for out in ("pdf", "html", "json")}
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    monkeypatch.setenv("TZ", "Pacific/Kiritimati")
    done = run_cli("draft", "--all", "--write", str(tmp_path / "a.pdf"), cwd=ROOT)
    assert (done.code, done.all) == (0, "")
    assert (tmp_path / "a.pdf").read_bytes() == first["pdf"]
    assert {out: rendered(book("demo"), out) for out in first} == first
    assert "/CreationDate" not in pypdf.PdfReader(io.BytesIO(first["pdf"])).metadata


# ISO 216 A4 and A5, ANSI letter; in points of 1/72 inch.
PAPERS = {"a4": (210, 297), "a5": (148, 210), "us-letter": (215.9, 279.4)}


@pytest.mark.parametrize("paper", PAPERS)
def test_a_printer_can_take_the_pdf(paper: str) -> None:
    """The paper is as asked for, every font is in the file, and the text has a language and title."""
    made = pypdf.PdfReader(io.BytesIO(rendered(book("demo"), "pdf", paper)))
    for page in made.pages:
        size = [float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height)]
        assert size == pytest.approx(PAPERS[paper], abs=0.1)
        for font in page["/Resources"].get("/Font", {}).values():
            descriptor = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"]
            assert {"/FontFile2", "/FontFile3"} & descriptor.get_object().keys()
    assert made.metadata.title == "Saltmarsh Lane"
    assert made.trailer["/Root"]["/Lang"] == "en"
    titles = [item.title for item in made.outline if hasattr(item, "title")]
    chapters = [chapter.title for chapter in book("demo").chapters]
    assert titles == ["Contents", "Before you bake", "Allergens and care", *chapters, "Index by ingredient"]  # fmt: skip
    below = [item.title for item in made.outline if isinstance(item, list) for item in item]
    assert below == [page.title for page in book("demo").pages]


def test_who_reads_with_the_ears_finds_the_structure() -> None:
    """ISO 32000-1, 14.7 and 14.8: the file says that it is tagged, and its tree names headings, tables and lists."""
    root = pypdf.PdfReader(io.BytesIO(rendered(book("demo"), "pdf"))).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 (a BooleanObject)
    kinds: set[str] = set()
    left = [root["/StructTreeRoot"]]
    while left:
        node = left.pop().get_object()
        if isinstance(node, list):
            left += node
        elif isinstance(node, dict):
            kinds.add(str(node.get("/S", "")))
            left += [node["/K"]] if "/K" in node else []
    assert {"/H1", "/H2", "/H3", "/P", "/Table", "/TR", "/TD", "/Link"} <= kinds


SIGNS = [
    chr(code)
    for low, high in SET_WHOLE
    for code in range(low, high + 1)
    if unicodedata.category(chr(code))[0] not in "CZM"
]


def test_the_fonts_have_the_signs_we_say(tmp_path: Path) -> None:
    """Each is set and read back; what is beyond is told, and html is offered."""
    assert len(SIGNS) > 2000
    notes = " ".join(SIGNS).replace("\\", "\\\\").replace('"', '\\"')
    made = small_book(tmp_path, "{item: salt, amount: 1 g}", extra=f'notes: "{notes}"\n')
    read = set("".join(read_back(rendered(made, "pdf"))))
    # Some letters are read back as the letters they are made of: NFKC tells them alike.
    alike = read | {unicodedata.normalize("NFKC", sign) for sign in read}
    lost = [
        sign
        for sign in map(unicodedata.normalize, ["NFC"] * len(SIGNS), SIGNS)
        if not {sign, *unicodedata.normalize("NFKC", sign)} & alike
    ]
    assert lost == []
    assert unprintable(printed_book(made)) == []


def test_signs_that_no_font_has_are_told(tmp_path: Path) -> None:
    small_book(tmp_path, "{item: 麦, amount: 1 g}")
    done = run_cli("draft", "--all", "--write", "a.pdf", "formula.yaml", cwd=tmp_path)
    assert done.code == 1
    assert "the fonts of the PDF have no '麦' (U+9EA6), used in 'Trial'; spell it in other letters, or take --output html, which uses the reader's fonts\n" in done.err  # fmt: skip
    html = run_cli("draft", "--all", "--output", "html", "formula.yaml", cwd=tmp_path)
    assert "麦" in html.out
    assert "U+9EA6" not in html.err


def test_titles_as_long_as_can_be_still_have_their_page_number(tmp_path: Path) -> None:
    title = "Long title of a loaf " * 9
    small_book(tmp_path, "{item: salt, amount: 1 g}")
    path = tmp_path / "formula.yaml"
    path.write_text(path.read_text().replace("Trial", title.strip()), encoding="utf-8")
    contents = read_back(rendered(draft([str(path)], Selection(None)).book, "pdf", "a5"))[2]
    assert re.search(rf"{squeezed(title)}\.+8", contents)


def test_accents_written_in_two_signs_are_set_as_one(tmp_path: Path) -> None:
    made = small_book(tmp_path, "{item: cre\u0300me, amount: 1 1/2 cup}")
    assert "–1½cupscrème" in "".join(read_back(rendered(made, "pdf")))


ANYTHING = st.text(st.characters(codec="utf-8", exclude_categories=("C",)), min_size=1, max_size=60)


@examples(15)
@given(st.lists(ANYTHING, min_size=10, max_size=30))
def test_whatever_a_formula_says_is_text_and_never_markup(texts: list[str]) -> None:
    steps = tuple(f"#panic() $x$ *{text}* <script>" for text in texts)
    odd = book("demo").pages[0]._replace(title=texts[0], headnote=texts[1], steps=steps)
    chapter = book("demo").chapters[0]._replace(pages=(odd,))
    made = book("demo")._replace(chapters=(chapter,), index=(), title=texts[2])
    assert "#panic()$x$" in "".join(read_back(cookbook_pdf(printed_book(made), "a5")))
    reader = taken_apart(cookbook_html(made))
    assert len(reader.data) == 1
    said = [step["text"] for step in reader.data[0]["recipeInstructions"]]
    assert said == [typeset(step) for step in steps]


# --- HTML --------------------------------------------------------------------------------------


def test_the_html_shows_what_the_pdf_shows() -> None:
    """Both are made of one printed page; the index has titles where the PDF has numbers."""
    seen = squeezed("".join(taken_apart(cookbook_html(book("demo"))).seen))
    printed = printed_book(book("demo"))
    for page in printed.pages:
        texts = [page.title, page.headnote, page.table_note, *page.steps]
        texts += [*page.kitchen_notes, *page.cautions]
        texts += [f"{x.label}{x.text}" for x in page.facts]
        texts += [f"{x.label}:{x.text}" for x in page.allergens]
        for row in (row for table in page.tables for row in table.rows):
            remark = f", {row.remark}" if row.remark else ""
            texts.append(f"{''.join(row.amounts)}{row.name}{remark}{row.percent}")
        for text in texts:
            assert squeezed(text) in seen, text
    assert "molasses,Rye,gingerandtreaclecookie" in seen


def test_the_whole_book_of_one_loaf() -> None:
    """What a reader of the HTML sees, then its markup; the loaf is a published worked example.

    Outside: masses and percentages, as in test_reports. Cups and spoons are held by tests/scale, cautions and
    allergens by tests/balance; the wording and order: as first printed.
    """
    path = ROOT / "tests/published/worked/poolish-baguette"
    reader = taken_apart(cookbook_html(draft([str(path)], Selection(None)).book))
    seen = [" ".join(text.replace(WORD_JOINER, "").split()) for text in reader.seen]
    markup = json.dumps(reader.data, ensure_ascii=False, indent=1)
    golden = ROOT / "tests/golden/poolish-baguette-draft.txt"
    assert "\n".join([*filter(None, seen), markup, ""]) == golden.read_text(encoding="utf-8")


def test_links_of_the_html_lead_somewhere_and_nothing_is_fetched() -> None:
    html = cookbook_html(book("demo"))
    ids = set(re.findall(r' id="([^"]+)"', html))
    assert set(re.findall(r'href="#([^"]+)"', html)) <= ids
    assert not re.search(r'(?:src|href)="(?!#|data:image/)', html)
    assert "<script>" not in html and "url(" not in html


def test_a_note_cannot_end_the_script(tmp_path: Path) -> None:
    made = small_book(
        tmp_path,
        "{item: salt, amount: 1 g}",
        extra='notes: "</script><b>&amp; <!--"\ntitle: "<i>x</i>"\n'.replace(
            'title: "<i>x</i>"\n', ""
        ),
    )
    reader = taken_apart(cookbook_html(made))
    assert reader.data[0]["description"].startswith("</script><b>&amp; <!--")


# --- schema.org Recipe -------------------------------------------------------------------------

# Types of the properties we use, read in schema-dts 2.1.0 (typings generated from schema.org):
# recipeIngredient ItemList | PropertyValue | Text, recipeInstructions CreativeWork | ItemList | Text
# (a HowToStep is a CreativeWork), recipeYield QuantitativeValue | Text, cookTime and totalTime Duration,
# author Organization | Person, isPartOf CreativeWork | URL, citation CreativeWork | Text.
TEXT, DURATION, TEXTS, STEPS = "Text", "Duration", "Texts", "HowToSteps"
PROPERTIES = {
    "name": TEXT, "description": TEXT, "author": "Organization", "isPartOf": "Book", "citation": TEXT,
    "inLanguage": TEXT, "recipeCategory": TEXT, "recipeYield": TEXT, "cookTime": DURATION,
    "totalTime": DURATION, "recipeIngredient": TEXTS, "recipeInstructions": STEPS,
}  # fmt: skip
NEEDED = {"name", "description", "recipeIngredient", "recipeInstructions"}
# ISO 8601 durations as XML Schema has them, part 2: years to days, then T and hours to seconds.
ISO_8601 = re.compile(r"P(?=.)(\d+D)?(T(?=\d)(\d+H)?(\d+M)?(\d+S)?)?")


def assert_type(value: Any, kind: str) -> None:
    match kind:
        case "Text":
            assert isinstance(value, str) and value.strip()
        case "Duration":
            assert ISO_8601.fullmatch(value)
            assert pandas.Timedelta(value) > pandas.Timedelta(0)
        case "Texts":
            assert value and all(isinstance(text, str) and text.strip() for text in value)
        case "HowToSteps":
            assert [step["position"] for step in value] == list(range(1, len(value) + 1))
            for step in value:
                assert step.keys() == {"@type", "position", "text"}
                assert step["@type"] == "HowToStep"
                assert_type(step["text"], TEXT)
        case _:
            assert value.keys() == {"@type", "name"}
            assert value["@type"] == kind
            assert_type(value["name"], TEXT)


@pytest.mark.parametrize("name", BOOKS)
def test_every_formula_is_a_schema_org_recipe(name: str) -> None:
    """Names against the vocabulary that rdflib 7 ships (its SDO namespace), types as above."""
    from rdflib.namespace import SDO  # pytest would ask it for names if it stood above

    found = taken_apart(cookbook_html(book(name))).data
    pages = book(name).pages
    assert len(found) == len(pages)
    for data, page in zip(found, pages, strict=True):
        assert data.pop("@context") == "https://schema.org"
        assert data.pop("@type") == "Recipe" and "Recipe" in SDO
        assert data.keys() >= NEEDED - (set() if page.steps else {"recipeInstructions"})
        for key, value in data.items():
            assert key in SDO
            assert_type(value, PROPERTIES[key])
        lines = [line for part in page.parts for line in part.lines if not line.is_part]
        for said, line in zip(data["recipeIngredient"], lines, strict=True):
            assert typeset(line.name) in said
            if line.mass_g is not None:
                weighed = weighed_out(line.mass_g, page.scale_resolution_g)
                assert said.startswith(f"{weighed} ")
        assert [s["text"] for s in data.get("recipeInstructions", [])] == [
            *map(typeset, page.steps)
        ]
        for caution in page.cautions:
            assert typeset(caution.text) in data["description"]
    assert "Recipes" not in SDO


def test_the_recipe_of_the_demo_cookie() -> None:
    page = next(p for p in book("demo").pages if "cookie" in p.title)
    data = recipe_data(page, book("demo"))
    assert data["recipeYield"] == "48 cookies of 34 g each, weighed before baking"
    assert data["author"] == {"@type": "Organization", "name": "Saltmarsh Lane"}
    assert (data["cookTime"], data["totalTime"]) == ("PT14M", "PT2H48M")
    assert data["recipeIngredient"][7] == "339 g (1½ cups) unsalted butter, soft"
    assert "contains milk, egg and wheat by the us list" in data["description"].lower()
    assert not data.keys() & {"nutrition", "suitableForDiet", "datePublished", "image"}


def test_parts_are_named_where_there_are_several() -> None:
    page = next(p for p in book("demo").pages if "Peach" in p.title)
    said = recipe_data(page, book("demo"))["recipeIngredient"]
    assert said[0] == "120 g (scant 1 cup) all-purpose flour (for the crumb topping)"


@given(st.integers(1, 99 * 86400))
def test_durations_are_iso_8601(seconds: int) -> None:
    """Read back by pandas, which reads ISO 8601."""
    said = iso_duration(seconds / 60)
    assert ISO_8601.fullmatch(said)
    assert pandas.Timedelta(said).total_seconds() == seconds


# --- start-up ----------------------------------------------------------------------------------


def test_the_compiler_is_loaded_only_for_print() -> None:
    words = ("draft", str(ROOT / "formulas"), "--write", "/dev/null/x", "--output")
    assert "typst" not in loaded_by(*words, "json")
    assert "typst" not in loaded_by("contents", str(ROOT / "formulas/oat-date-loaf"))


# --- how it looks ------------------------------------------------------------------------------


def test_headings_of_the_html_are_in_order_and_its_colours_have_dark_twins() -> None:
    html = cookbook_html(book("demo"))
    levels = [int(level) for level in re.findall(r"<h([1-6])", html)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(below - above <= 1 for above, below in pairwise(levels))
    style = html.partition("<style>")[2].partition("</style>")[0]
    own = style.partition("--accent")[2]
    assert set(re.findall(r"#[0-9a-f]{3,6}\b", own)) == {"#7a3b12", "#e2a37c"}


@pytest.mark.parametrize("form", ["PNG", "JPEG"])
def test_a_photo_stands_at_its_formula_with_its_caption(form: str) -> None:
    """Whoever cannot see it is told by its words: ISO 32000-1, 14.9.3, and HTML's `alt`."""
    picture = io.BytesIO()
    Image.new("RGB", (60, 40), "#bb9988").save(picture, form)
    chapter = book("demo").chapters[0]
    page = chapter.pages[0]._replace(photos=(Photo(picture.getvalue(), "An hour old.", "A loaf, cut"),))  # fmt: skip
    made = book("demo")._replace(chapters=(chapter._replace(pages=(page,)),), index=())
    html = cookbook_html(made)
    assert f'<img src="data:image/{form.lower()};base64,' in html and "img-src data:" in html
    assert 'alt="A loaf, cut"' in html and "<figcaption>An hour old.</figcaption>" in html
    content = rendered(made, "pdf")
    assert content == rendered(made, "pdf")
    reader = pypdf.PdfReader(io.BytesIO(content))
    assert [len(page.images) for page in reader.pages].count(1) == 1
    assert "Anhourold." in "".join(read_back(content))
    assert "content" not in json.loads(rendered(made, "json"))["chapters"][0]["pages"][0]["photos"][0]  # fmt: skip


@pytest.mark.parametrize("amounts", ["grams", "household"])
def test_other_amounts_are_set_in_one_column(amounts: str) -> None:
    settled = book("demo").settled._replace(amounts=amounts)
    text = "".join(read_back(rendered(book("demo")._replace(settled=settled), "pdf")))
    said = {"grams": "339 g unsalted butter, soft 56.1", "household": "1½ cups unsalted butter, soft 56.1"}  # fmt: skip
    assert squeezed(said[amounts]) in text
