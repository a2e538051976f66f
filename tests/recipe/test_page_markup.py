"""A schema.org Recipe in microdata or RDFa Lite says the same as in JSON-LD.

How each way is written: HTML Standard, section Microdata; RDFa Lite 1.1, W3C (both from memory). The recipe is
invented.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from perflour.recipe.recipe_text import RecipeText
from perflour.recipe.request import import_recipe, import_recipes
from perflour.recipe.web_page import recipes_of_page
from perflour.result import CannotRun
from tests.hostile.test_growth import NEAR_LINEAR, exponent

RECIPE = {
    "@type": "Recipe",
    "name": "Marram & honey squares",
    "author": {"@type": "Person", "name": "N. Baker"},
    "datePublished": "2026-03-01",
    "recipeYield": "16 squares",
    "cookTime": "PT1H5M",
    "recipeIngredient": ["200 g flour", "½ cup honey", "2 Tbsp brandy"],
    "recipeInstructions": ["Mix the flour and honey.", "Bake at 350°F for 25 minutes."],
    "keywords": "honey",
}

MICRODATA = """<html><body>
<div itemscope itemtype="https://schema.org/WebPage"><nav>Home</nav>
<article itemprop="mainEntity" itemscope itemtype="http://schema.org/Recipe">
 <h1 itemprop="name">Marram
   &amp; honey squares</h1>
 By <span itemprop="author" itemscope itemtype="https://schema.org/Person"><a itemprop="name" href="/n">N. Baker</a></span>
 <time itemprop="datePublished" datetime="2026-03-01">in spring</time>
 <span itemprop="recipeYield">16 squares</span> <meta itemprop="cookTime" content="PT1H5M">
 <ul><li itemprop="recipeIngredient">200&nbsp;g <b>flour</b></li>
 <li itemprop="recipeIngredient"><div>½ cup</div><div>honey</div>
 <li itemprop="recipeIngredient">2 Tbsp brandy</ul>
 <ol itemprop="recipeInstructions"><li>Mix the flour
   and honey.<li>Bake at 350°F for 25 minutes.</ol>
 <meta itemprop="keywords" content="honey">
</article></div></body></html>
"""
RDFA = """<body vocab="https://schema.org/" prefix="schema: https://schema.org/">
<div typeof="Recipe" resource="#cake">
 <h1 property="name">Marram &amp; honey squares</h1>
 <p property="author" typeof="Person"><span property="name">N. Baker</span></p>
 <span property="datePublished" content="2026-03-01">in spring</span>
 <p property="schema:recipeYield">16 squares</p><time property="cookTime" datetime="PT1H5M">an hour</time>
 <p property="recipeIngredient">200 g flour</p>
 <p property="https://schema.org/recipeIngredient">½ cup honey</p>
 <p property="recipeIngredient">2 Tbsp brandy</p>
 <div property="recipeInstructions" typeof="HowToStep"><p property="text">Mix the flour and honey.</p></div>
 <div property="recipeInstructions" typeof="HowToStep">Bake at 350°F for 25 minutes.</div>
 <span property="keywords">honey</span>
</div>
"""
#: The old name of a property, one text for all lines, sections, and a property that stands elsewhere.
OLD = """<div itemscope itemtype="http://schema.org/Recipe" itemref="more">
<span itemprop="name">Marram &amp; honey squares</span><a itemprop="author" href="/n">N. Baker</a>
<p itemprop="datePublished">2026-03-01</p><p itemprop="recipeYield">16 squares</p>
<div itemprop="ingredients">200 g flour<br>½ cup honey<br>2 Tbsp brandy</div>
<div itemprop="recipeInstructions" itemscope itemtype="https://schema.org/HowToSection">
<h2 itemprop="name">Squares</h2>
<p itemprop="itemListElement" itemscope itemtype="https://schema.org/HowToStep"><span itemprop="text">Mix the flour and honey.</span>
<p itemprop="itemListElement" itemscope itemtype="https://schema.org/HowToStep"><span itemprop="text">Bake at 350°F for 25 minutes.</span>
</div></div>
<p id="more"><span itemprop="cookTime" content="PT1H5M">an hour</span><span itemprop="keywords">honey</span></p>
"""
WRITTEN = {"microdata": MICRODATA, "rdfa": RDFA, "old names": OLD}


def said(recipe: RecipeText) -> object:
    """What a recipe says, without where."""
    lines = [(part.name, [line.text for line in part.lines]) for part in recipe.part_lines]
    yields = recipe.yields.text if recipe.yields else ""
    method = [paragraph.text for paragraph in recipe.method]
    return recipe.title, recipe.citation, yields, lines, method, recipe.notes, recipe.left_out


@pytest.mark.parametrize("way", WRITTEN)
def test_markup_says_what_json_ld_says(way: str) -> None:
    (as_json,) = recipes_of_page(json.dumps(RECIPE), "p.json")
    (recipe,) = recipes_of_page(WRITTEN[way], "p.html")
    assert said(recipe) == said(as_json)


@pytest.mark.parametrize("way", WRITTEN)
def test_what_is_told_stands_on_its_line(way: str, tmp_path: Path) -> None:
    (tmp_path / "p.html").write_text(WRITTEN[way], encoding="utf-8")
    (told,) = import_recipe(str(tmp_path / "p.html")).unclear
    line = WRITTEN[way].split("\n")[told.place.line - 1]
    assert line[told.place.column - 1 :].startswith("2 Tbsp brandy")


def test_cells_of_a_row_are_words_apart() -> None:
    rows = "".join(f'<tr itemprop="ingredients"><td>{n}<td>cups<td>flour' for n in (1, 2))
    (recipe,) = recipes_of_page(f"<table itemscope itemtype='schema.org/Recipe'>{rows}", "p.html")
    assert [line.text for line in recipe.part_lines[0].lines] == ["1 cups flour", "2 cups flour"]


def test_json_ld_wins_and_a_recipe_said_twice_is_one() -> None:
    node = json.dumps({**RECIPE, "name": "From JSON"})
    script = f'<script type="application/ld+json">{node}</script>'
    (recipe,) = recipes_of_page(script + MICRODATA + script, "p.html")
    assert recipe.title == "From JSON"


def test_several_recipes_of_a_page_have_places_of_their_own(tmp_path: Path) -> None:
    nodes = [{**RECIPE, "name": f"Squares {n}"} for n in range(3)] + [
        {"@type": "Recipe", "name": "A link"}
    ]
    text = json.dumps({"@graph": nodes}, indent=1, ensure_ascii=False)
    (tmp_path / "p.json").write_text(text, encoding="utf-8")
    made = import_recipes(str(tmp_path / "p.json"))
    assert [one.title for one in made] == ["Squares 0", "Squares 1", "Squares 2"]
    assert made[0].left_out[0].message == "recipes without ingredients, left out: A link"
    lines = [one.unclear[0].place.line for one in made]
    at = [n for n, line in enumerate(text.split("\n"), 1) if "brandy" in line]
    assert lines == at
    first, second = OLD, OLD.replace("Marram", "Dune").replace("more", "else")
    (tmp_path / "p.html").write_text(first + second, encoding="utf-8")
    assert [one.title for one in import_recipes(str(tmp_path / "p.html"))] == [
        "Marram & honey squares",
        "Dune & honey squares",
    ]  # fmt: skip


OPENS = '<div itemscope itemtype="https://schema.org/Recipe">'
#: What is repeated in a page that has microdata, and what the page is said to be where it is refused.
REPEATED = {
    "items in items": (OPENS, "deeper than 255"),
    "properties in properties": ('<div itemprop="name">x', "deeper than 255"),
    "items side by side": (f'{OPENS}<p itemprop="ingredients">1 egg</div>', ""),
    "lines": ('<p itemprop="ingredients">1 egg', ""),
    "open tags": ("<b ", ""),
    "unclosed formatting": ("<p><b><i>", ""),
    "references": ('<p itemscope itemprop="a" itemref="all">', "deeper than 255|too many to follow"),
    "references side by side": ('<p itemscope itemprop="a" itemref="all"></p>', "too many to follow"),
}  # fmt: skip


@pytest.mark.parametrize("name", REPEATED)
def test_hostile_pages_take_time_in_step_or_are_refused(name: str) -> None:
    repeated, refused = REPEATED[name]

    def read(size: int) -> str:
        inner = repeated * (size // len(repeated))
        page = f'<div id=all>{OPENS}<p itemprop="ingredients">200 g flour</p>{inner}</div>'
        try:
            recipes_of_page(page, "p.html")
        except CannotRun as problem:
            return str(problem)
        return ""

    told = read(80_000)
    assert any(part in told for part in refused.split("|")) if refused else not told
    assert exponent(lambda size: lambda: read(size), (40_000, 160_000)) <= NEAR_LINEAR


def test_properties_within_properties_are_not_read_over_and_over() -> None:
    depth, text = 200, "flour " * 4000
    inner = "".join(f'<div itemprop="p{n}">' for n in range(depth))
    with pytest.raises(CannotRun, match="properties within properties, too many to follow"):
        recipes_of_page(f"{OPENS}{inner}{text}", "p.html")
