"""A book in German: no word of ours is left in English, numbers have a comma, allergens their names by the law."""

from __future__ import annotations

import html
import io
import json
import re
from pathlib import Path
from zipfile import ZipFile

import pypdf
import pytest

from perflour.cookbook.page import Page, page_of
from perflour.cookbook.proofreading import Proofreader
from perflour.cookbook.translated.speaker import Speaker
from perflour.cookbook.translated.translator import Translator
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.cautions import texts
from perflour.kitchen.house import House, Kitchen
from perflour.kitchen.language import language
from perflour.report.cookbook.printed.page import printed_page
from perflour.report.cookbook.printed.words import book_words
from tests.conftest import ROOT, Outcome, formula_text, run_cli, weigh_text

pytestmark = pytest.mark.xdist_group("cookbook")

LINES = (
    "{item: bread flour, amount: 1280 g}",
    "{item: finely chopped walnuts, amount: 1 1/2 cup}",
    "{item: strong white flour, amount: 2 cup, state: sifted}",
    "{item: egg, amount: 2 large}",
    "{item: milk chocolate, amount: 62.5 g}",
    "{item: dark brown sugar, amount: 1 cup, state: packed}",
    "{item: apple, amount: 1 large}",
    "{item: salt, amount: 1 pinch}",
)  # fmt: skip
METHOD = (
    "[{do: whisk, uses: [bread flour, strong white flour, salt]}, {do: add, uses: [egg, dark brown sugar]}, "
    "{do: deposit, into: 2 loaf pans 20 x 10.5 cm, fill: 2/3}, {do: bake, at: 350 °F, for: 45-50 min, core: 97 °C}]"
)
SIZES = frozenset(("jumbo", "extra large", "large", "medium", "small", "extra small", "each"))
#: What the kitchen wrote, and words that both languages have; "large" is quoted as an American size.
SAME = frozenset(("Trial", "trial", "Loaf", "cake", "walnut", "dust", "Type", "plus", "min", "Butter", "Lecithin", "large"))  # fmt: skip


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """One formula in which the kitchen says nothing in words of its own."""
    (tmp_path / "trial").mkdir()
    extra = "yield: {pieces: 2, piece: loaf}\nallergens: [wheat, egg, walnut dust]\n"
    text = formula_text(*LINES, method=METHOD, extra=extra)
    (tmp_path / "trial" / "formula.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def drafted(cwd: Path, form: str, *more: str) -> Outcome:
    return run_cli("draft", "--all", "--language", "de", "--output", form, *more, cwd=cwd)


def plain(page: str) -> str:
    """What is read on a page of HTML, in single spaces."""
    page = re.sub(r"(?s)<script.*?</script>|<style.*?</style>", " ", page)
    page = html.unescape(re.sub(r"<[^>]+>", " ", page)).replace("\u2060", "")
    return " ".join(page.split())


def words(text: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]{2,}", text))


def test_no_english_word_of_ours_is_left(kitchen: Path) -> None:
    english = run_cli("draft", "--all", "--output", "html", "trial", cwd=kitchen).out
    german = drafted(kitchen, "html", "trial")
    assert german.err == "" and german.code == 0
    assert {
        word for word in words(plain(english)) & words(plain(german.out)) if len(word) > 2
    } <= SAME
    assert '<html lang="de">' in german.out


def test_what_a_page_says(kitchen: Path) -> None:
    told = plain(drafted(kitchen, "html", "trial").out)
    for said in (
        "1 280 g 9⅓ Tassen",
        "Walnüsse , fein gehackt",
        "2 große Eier",
        "1 großer Apfel",
        "0,4 g 1 Prise Salz",
        "1 Tasse brauner Zucker, dunkel, feucht (Farinzucker) , festgedrückt",
        "1 Prise Salz, fein",
        "Ergibt 2 Kastenkuchen zu je",
        "Ofen 175 °C (350 °F), 45–50 min",
        "Die Masse in 2 Kastenformen (20 × 10,5 cm) einfüllen, ⅔ hoch.",
        "Bei 175 °C (350 °F) 45–50 min backen, Kerntemperatur 97 °C.",
        "Allergene nach der Liste der USA:",
        "nach der Liste der EU: glutenhaltiges Getreide (Weizenmehl); Eier (Ei); Milch (Milchschokolade); Schalenfrüchte (Walnüsse)",
        "von der Küche angegeben: Weizen, Eier, walnut dust",
        "Register der Zutaten A Äpfel, Trial E Eier, Trial M",
        "stehen in ihren eigenen Worten, wie sie aufgeschrieben sind.",
        "Rohen Teig und rohe Masse nicht kosten; Mehl zu Hause zu rösten macht es nicht sicher.",
    ):
        assert said in told, said


#: Signs and names that are the same in German.
ALIKE = frozenset(("mg", "g", "kg", "ml", "cl", "dl", "l", "US", "pint", "gill"))


@pytest.mark.parametrize("unit", [
    name for name, unit in json.loads((ROOT / "tools/perflour/data/units.json").read_text("utf-8")).items()
    if unit["kind"] in ("mass", "volume", "pinch", "container", "count")
])  # fmt: skip
def test_every_unit_is_said_in_german(unit: str, tmp_path: Path) -> None:
    amount = f"3 {unit} 100 g" if unit in ("can", "jar", "packet", "bag", "box") else f"3 {unit}"
    made = page_of_line(f"{{item: apple, amount: {amount}}}")
    (row,) = printed_page(made, book_words("de")).tables[0].rows
    told = " ".join(row.amounts)
    left = {word.lower() for word in unit.split()} & {word.lower() for word in words(told)}
    assert left <= {word.lower() for word in ALIKE}, told
    assert row.name == ("Äpfel" if unit in SIZES else "Apfel")


@pytest.mark.parametrize(("amount", "told"), [
    ("1 large", "1 großer Apfel"),
    ("1 1/2 medium", "1½ mittelgroße Äpfel"),
    ("1/2 small", "½ kleiner Apfel"),
    ("2-3 each", "2–3 Äpfel"),
    ("1 each", "1 Apfel"),
    ("1 1/2 cup", "1½ Tassen Apfel"),
    ("1 can 425 g drained 250 g", "1 Dose zu 425 g, 250 g abgetropft Apfel"),
    ("0.5 l", "Apfel"),
])  # fmt: skip
def test_what_is_counted_agrees_with_its_number(amount: str, told: str) -> None:
    made = page_of_line(f"{{item: apple, amount: {amount}}}")
    (row,) = printed_page(made, book_words("de")).tables[0].rows
    assert f"{row.amounts[1]} {row.name}".strip().endswith(told)


def page_of_line(line: str) -> Page:
    balance, speaker = weigh_text(formula_text(line)), Speaker(language("de"))
    said = Translator(balance, built_in(), speaker)
    kitchen = Kitchen(House(), built_in())
    return said.page(page_of(balance, (), kitchen, Proofreader(()), write=said.sentences))


def test_every_caution_of_the_english_book_is_in_the_german_one() -> None:
    """By their ids: the demo has raw egg, hot sugar and a claim to be without gluten."""
    of = [
        json.loads(run_cli("draft", "--all", "--output", "json", "--language", name, cwd=ROOT).out)
        for name in ("en", "de")
    ]
    ids = [
        [[c["id"] for c in page["cautions"]] for chapter in book["chapters"] for page in chapter["pages"]]
        for book in of
    ]  # fmt: skip
    assert ids[0] == ids[1] and len(ids[0]) > 4
    english = {caution.text for caution in texts().cautions}
    assert not [text for text in english if text in json.dumps(of[1], ensure_ascii=False)]
    masses = [re.findall(r'"(?:mass_g|percent)": [^,]+', json.dumps(book)) for book in of]
    assert masses[0] == masses[1]


def test_the_command_says_what_has_no_word_each_once() -> None:
    told = drafted(ROOT, "json")
    assert told.code == 1
    assert told.err.splitlines() == [
        f"German has no word here for the {what}, which stands as it is written; give it one in book.yaml: words: de"
        for what in ("food 'soft white flour'", "vessel 'the pan for 5 min, then a wire rack'")
    ]
    assert '"name": "soft white flour"' in told.out


def test_a_book_file_settles_the_language_and_gives_own_words(kitchen: Path) -> None:
    (kitchen / "book.yaml").write_text(
        "book: Backen\nlanguage: de\nwords: {de: {Trial: Versuch, bread flour: starkes Weizenmehl}}\n",
        encoding="utf-8",
    )
    told = run_cli("draft", "--all", "trial", "--output", "html", cwd=kitchen)
    assert told.code == 0
    assert "Versuch" in told.out and "starkes Weizenmehl" in told.out
    assert "Trial" not in plain(told.out)


def test_the_pdf_and_the_epub_are_german(kitchen: Path) -> None:
    for form in ("pdf", "epub"):
        drafted(kitchen, form, "trial", "--write", f"book.{form}")
    reader = pypdf.PdfReader(kitchen / "book.pdf")
    assert reader.trailer["/Root"]["/Lang"] == "de"
    text = re.sub(r"[\s\u00ad]+", "", "".join(page.extract_text() for page in reader.pages))
    for said in ("Zubereitung", "82,4", "1280g", "2großeEier", "RegisterderZutaten"):  # fmt: skip
        assert said in text.replace("\u202f", ""), said
    with ZipFile(io.BytesIO((kitchen / "book.epub").read_bytes())) as book:
        assert "<dc:language>de</dc:language>" in book.read("book/package.opf").decode()
        assert 'xml:lang="de"' in book.read("book/formula-1.xhtml").decode()


def test_the_recipe_of_schema_org_is_german(kitchen: Path) -> None:
    page = drafted(kitchen, "html", "trial").out
    (data,) = re.findall(r'(?s)<script type="application/ld\+json">(.*?)</script>', page)
    recipe = json.loads(data)
    assert recipe["inLanguage"] == "de"
    assert recipe["recipeIngredient"][0].startswith("1\u202f280 g (9⅓ Tassen) Weizenmehl")
    assert "Enthält glutenhaltiges Getreide, Eier, Milch und Schalenfrüchte nach der Liste der EU." in recipe["description"]  # fmt: skip
