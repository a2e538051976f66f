"""The pages of reviews, release logs and tasting sheets: one table a formula, cautions once, headings in order."""

from __future__ import annotations

import json
import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from lxml import html

from perflour.kitchen.cautions import texts
from perflour.kitchen.figures import percent, signed
from tests.browser.launch import launched
from tests.conftest import ROOT, run_cli
from tests.history.test_changelog import commit
from tests.release.conftest import NAME, write
from tests.release.test_release import loaf

SPANS = (
    "HEAD^{/^Record the fourth round}..HEAD",
    "HEAD^{/^Record the first bakes}..HEAD^{/^Record the fourth round}",
    "HEAD^{/^Record the fourth round}..HEAD^{/^Cut the soda of the cookie}",
)
SESSION = "formulas/sessions/2026-11-25.yaml"
PAGES = (
    *(("review", span) for span in SPANS),
    *(("release", SPANS[0], "--for", audience, "--in-full") for audience in ("team", "readers", "editor")),
    ("bake", "sheets", SESSION),
)  # fmt: skip
EVIL = "<script>alert(1)</script></td></table><h1 onclick=x>| a | b |"


def page(*words: str, cwd: Path = ROOT) -> Any:
    return html.document_fromstring(run_cli(*words, "--output", "html", cwd=cwd).out)


def levels(tree: Any) -> list[int]:
    return [int(head.tag[1]) for head in tree.iter("h1", "h2", "h3", "h4", "h5", "h6")]


def cells(row: Any) -> list[str]:
    return [" ".join(cell.text_content().replace("\xa0", " ").split()) for cell in row]


@pytest.mark.parametrize("words", PAGES, ids=" ".join)
def test_headings_go_down_by_one(words: tuple[str, ...]) -> None:
    found = levels(page(*words))
    assert found[0] == 1 and found.count(1) == 1
    assert all(now <= before + 1 for before, now in pairwise(found)), found


@pytest.mark.parametrize("span", SPANS)
def test_headings_of_markdown_go_down_by_one(span: str) -> None:
    for words in (("review", span), ("release", span, "--in-full")):
        told = run_cli(*words, "--output", "markdown", cwd=ROOT).out
        found = [len(mark) for mark in re.findall(r"(?m)^(#+) ", told)]
        assert all(now <= before + 1 for before, now in pairwise(found)), found


@pytest.mark.parametrize("words", PAGES, ids=" ".join)
def test_every_row_of_a_table_has_its_head(words: tuple[str, ...]) -> None:
    for table in page(*words).iter("table"):
        assert all(cell.get("scope") == "col" for cell in table.xpath("./thead/tr/*"))
        for row in table.xpath("./tbody/tr"):
            assert [cell.tag for cell in row].count("th") == 1
            assert (row[0].tag, row[0].get("scope")) == ("th", "row")
            width = sum(int(cell.get("colspan", 1)) for cell in row)
            assert width == len(table.xpath("./thead/tr/th"))


@pytest.mark.parametrize("span", SPANS)
def test_the_table_has_the_figures_of_the_json(span: str) -> None:
    """Every amount and ratio that moved beyond the measuring: both percentages and the move, in one table."""
    told = json.loads(run_cli("review", span, "--output", "json", cwd=ROOT).out)
    tree, compared = page("review", span), 0
    for formula in told["formulas"]:
        if not (formula["revision_before"] and formula["difference"]):
            continue
        (block,) = tree.xpath("//details[summary/span[starts-with(., $path)]]", path=f"{formula['path']},")  # fmt: skip
        assert len(block.xpath(".//table")) <= 1
        found = {row[0]: row[1:] for row in map(cells, block.xpath(".//tbody/tr"))}
        for change in filter(_is_told_in_percent, formula["difference"]["changes"]):
            before, after, moved = next(said for name, said in found.items() if name.startswith(change["subject"]))  # fmt: skip
            fine = len(before.rpartition(".")[2].split()[0]) == 2
            assert before == f"{change['text_before']}, {percent(change['before'], fine)} %"
            assert after == f"{change['text_after']}, {percent(change['after'], fine)} %"
            assert moved == f"{signed(change['delta'], fine)} %"
            (head,) = block.xpath(".//thead/tr/th[4]")
            assert head.text_content() == f"change, in % of {change['of']}"
            compared += 1
    assert compared


def _is_told_in_percent(change: dict[str, Any]) -> bool:
    return change["kind"] in ("amount", "re-measured") and change["beyond_spread"]


def test_numbers_stand_right_and_words_left(kitchen: Path) -> None:
    write(kitchen, NAME, loaf(status="testing", sugar=150, oven=190))
    commit(kitchen, "Sweeter and hotter")
    tree = page("review", "main..work", cwd=kitchen)
    rows = {cells(row)[0]: row for row in tree.xpath("//tbody/tr")}
    assert {cell.get("class") for cell in rows["dark brown sugar"][1:]} == {"figure"}
    assert {cell.get("class") for cell in rows["bake, at"][1:]} == {None}
    assert cells(rows["bake, at"]) == ["bake, at", "175 °C", "190 °C"]
    told = run_cli("review", "main..work", "--output", "markdown", cwd=kitchen).out
    assert "\n| --- | ---: | ---: | ---: |\n| dark brown sugar | 120 g, 40.0 % | 150 g, 50.0 % | +10.0 % |\n" in told  # fmt: skip


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
@pytest.mark.parametrize("words", PAGES[:-1], ids=" ".join)
def test_each_caution_stands_once(words: tuple[str, ...], form: str) -> None:
    told = run_cli(*words, "--output", form, cwd=ROOT).out
    if form == "html":
        told = html.document_fromstring(told).text_content()
    told = " ".join(told.replace("\\", "").split())
    whole, short = ([told.count(text) for text in said] for said in _usual())
    assert max(whole) <= 1 and max(short) <= 1
    if words[0] == "release":
        assert sum(whole if "readers" in words else short) > 3


def _usual() -> tuple[list[str], list[str]]:
    """The cautions of contents, whole and in short; what is written into a formula is its author's."""
    usual = [caution for caution in texts().cautions if caution.when in ("allergens", "cereal-not-us", "flour", "egg")]  # fmt: skip
    return [caution.text for caution in usual], [caution.in_short for caution in usual]


def test_a_review_names_the_formulas_that_its_cautions_hold_for(kitchen: Path) -> None:
    for name in (NAME, "tea-loaf"):
        write(kitchen, name, loaf(name, status="draft", extra="ground almonds"))
    commit(kitchen, "Almonds")
    tree = page("review", "main..work", cwd=kitchen)
    (block,) = tree.xpath("//details[summary/h2='Cautions']")
    assert block.xpath(".//h3/text()") == ["Plain loaf; Tea loaf"]
    assert [item.text for item in block.iter("li")] == [
        caution.text for caution in texts().cautions if caution.when == "allergens"
    ]
    assert "newly there: nuts / tree nuts, from ground almonds" in tree.text_content()
    write(kitchen, NAME, loaf(status="draft", sugar=150))
    (kitchen / "formulas" / "tea-loaf" / "formula.yaml").unlink()
    commit(kitchen, "No almonds")
    assert not page("review", "main..work", cwd=kitchen).xpath("//h2[.='Cautions']")


def test_what_stands_in_a_formula_stays_text(kitchen: Path) -> None:
    text = loaf(status="testing", sugar=150, title=f"'{EVIL}'")
    write(kitchen, NAME, text.replace("dark brown sugar", "'<b>dark | brown</b> sugar'") + f"notes: '{EVIL}'\n")  # fmt: skip
    commit(kitchen, f"Sweeter {EVIL}")
    for command in (("review", "main..work"), ("release", "main..work", "--in-full")):
        tree = page(*command, cwd=kitchen)
        assert EVIL in tree.text_content()
        assert not tree.xpath("//script | //b | //*[@onclick]")
        assert levels(tree).count(1) == 1
        told = run_cli(*command, "--output", "markdown", cwd=kitchen).out
        for line in told.splitlines():
            assert "<script" not in line.replace("\\<", "") or "<summary>" in line
        tables = [line for line in told.splitlines() if line.startswith("| ")]
        assert {len(re.findall(r"(?<!\\)\|", line)) for line in tables} <= {4, 5}


@pytest.mark.xdist_group("browser")
def test_pages_fit_a_telephone_and_axe_finds_nothing(tmp_path: Path) -> None:
    """By axe-core, in both colours; folded parts opened."""
    axe = Axe()
    with launched() as browser:
        for number, words in enumerate(PAGES):
            path = tmp_path / f"{number}.html"
            path.write_text(run_cli(*words, "--output", "html", cwd=ROOT).out, encoding="utf-8")
            for scheme in ("light", "dark"):
                context = browser.new_context(viewport={"width": 390, "height": 800}, color_scheme=scheme, bypass_csp=True)  # fmt: skip
                shown = context.new_page()
                shown.goto(path.as_uri())
                shown.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
                assert shown.evaluate("document.documentElement.scrollWidth") <= 390, words
                found = [(each["id"], each["nodes"][0]["html"]) for each in axe.run(shown).response["violations"]]  # fmt: skip
                assert found == [], words
                context.close()
