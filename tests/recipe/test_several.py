"""Plain texts with several recipes: joined from published ones in many layouts; parts are no recipes."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from perflour.recipe.request import ImportRequest, import_recipes
from perflour.recipe.several import cut
from perflour.result import CannotRun
from tests.conftest import ROOT
from tests.hostile.test_growth import NEAR_LINEAR, exponent

TEXTS = sorted((ROOT / "tests" / "published" / "text").glob("*.txt"))
WHOLE = [path.read_text("utf-8").strip("\n") for path in TEXTS]
BARE = [re.sub(r"^Source:.*\n+", "", text) for text in WHOLE]
PAIRS = [text.split("\n", 1) for text in BARE]
TITLES = [title for title, _ in PAIRS]

#: The published recipes in one file: how they are joined, and how many lines are a menu.
LAYOUTS: dict[str, tuple[str, int]] = {
    "source above": ("\n\n".join(WHOLE), 0),
    "titles": ("\n\n".join(BARE), 0),
    "gaps": ("\n\n\n\n".join(BARE), 0),
    "rules": ("\n\n---\n\n".join(BARE), 0),
    "stars": ("\n* * *\n".join(BARE), 0),
    "pages": ("\n\f".join(BARE), 0),
    "capitals": ("\n\n".join(f"{title.upper()}\n{rest}" for title, rest in PAIRS), 0),
    "headings": ("\n\n".join(f"# {title}\n{rest}" for title, rest in PAIRS), 0),
    "underlined": ("\n\n".join(f"{t}\n{'=' * len(t)}\n{rest}" for t, rest in PAIRS), 0),
    "under one heading": (
        "# Our recipes\n\n" + "\n\n".join(f"## {t}\n{rest}" for t, rest in PAIRS), 1,
    ),
    "chapters": (
        "# Old\n\n" + "\n\n".join(f"## {t}\n{rest}" for t, rest in PAIRS[:8])
        + "\n\n# New\n\n" + "\n\n".join(f"## {t}\n{rest}" for t, rest in PAIRS[8:]), 2,
    ),
    "list of titles": (
        "Contents\n\n" + "\n".join(f"- {t}" for t in TITLES) + "\n\n" + "\n\n".join(BARE), 22,
    ),
    "spaced titles": ("Contents\n\n" + "\n\n".join(TITLES) + "\n\n" + "\n\n".join(BARE), 22),
    "links": (
        "# Book\n\n" + "\n".join(f"{n}. [{t}](#x)" for n, t in enumerate(TITLES, 1)) + "\n\n"
        + "\n\n".join(f"## {t}\n{rest}" for t, rest in PAIRS), 22,
    ),
}  # fmt: skip


@pytest.mark.parametrize("layout", LAYOUTS)
def test_joined_recipes_come_apart_again(layout: str) -> None:
    text, menu = LAYOUTS[layout]
    parted = cut(text)
    lines = text.split("\n")
    assert [_title(piece.text) for piece in parted.pieces] == [
        title.upper() if layout == "capitals" else title for title in TITLES
    ]
    assert (len(parted.menu), parted.loose) == (menu, ())
    for piece in parted.pieces:
        first = piece.text.split("\n")[0]
        assert lines[piece.line - 1] == first


def _title(text: str) -> str:
    lines = (line.strip("# \f") for line in text.split("\n"))
    return next(line for line in lines if line and not line.startswith("Source:"))


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_one_recipe_stays_one(path: Path) -> None:
    text = path.read_text("utf-8")
    (piece,) = cut(text).pieces
    assert piece.text == text


CAKE = "200 g flour\n2 eggs\n100 g sugar\n\nMix the flour, sugar and eggs.\nBake for 30 min.\n"
TOP = "100 g sugar\n1 tbsp butter\n\nBeat the sugar with the butter.\n"
LISTED = "\n### Ingredients\n\n{}\n".format(CAKE.replace("\nMix", "\n### Method\n\nMix"))
#: Two lists and two methods in one text, yet one recipe, or not plainly two.
ONE = {
    "for the": f"Carrot cake\n\n{CAKE}\nFor the glaze:\n{TOP}",
    "called like a part": f"Carrot cake\n\n{CAKE}\nOrange glaze\n\n{TOP}",
    "its own yield": f"Carrot cake\nServes 8\n\n{CAKE}\nCream cheese frosting\nMakes 2 cups\n\n{TOP}",
    "named above": f"Peach trifle\n\n{CAKE}Pour on the vanilla pudding.\n\nVanilla pudding\nMakes 1\n\n{TOP}",
    "nothing says so": f"Peach trifle\n\n{CAKE}\nWhipped cheese\n{TOP}",
    "deeper heading": f"# Carrot cake\n{CAKE}\n## Walnut brittle\nMakes 1\n\n{TOP}",
    "parts under the title": f"# Carrot cake\n\n## Cake\n{LISTED}\n## Frosting\n{LISTED}",
    "two under a name": f"# Peach trifle\n\n## Trifle sponge\n{CAKE}\n## Vanilla pudding\n{CAKE}",
    "rules within": f"Carrot cake\n\n---\n\nIngredients\n\n{CAKE}\n---\n\nNotes\n\nKeeps well.\n",
    "variations": f"Carrot cake\n\n{CAKE}\nVariations\n\n{TOP}",
    "a list without a method": f"Carrot cake\n\n{CAKE}\n\n\nPound cake\n\n200 g flour\n2 eggs\n",
    "no second list": f"# Carrot cake\n{CAKE}\n# About carrots\n\nThey are sweet. Grate them well.\n",
}  # fmt: skip


#: The title that may be one of a recipe, where a reader would wonder too.
WONDER = {"named above": "Vanilla pudding", "nothing says so": "Whipped cheese"}


@pytest.mark.parametrize("name", ONE)
def test_in_doubt_it_is_one_recipe_and_the_doubt_is_told(name: str) -> None:
    parted = cut(ONE[name])
    assert len(parted.pieces) == 1
    assert [text for _, text in parted.doubtful] == ([WONDER[name]] if name in WONDER else [])


#: The same with what makes it plain.
TWO = {
    "own yield": f"Carrot cake\nServes 8\n\n{CAKE}\nPeach trifle\nServes 6\n\n{TOP}",
    "own headings": f"# Carrot cake\n{LISTED}\n# Peach trifle\n{LISTED}",
    "under a name": f"# Sundays\n\n## Carrot cake\nServes 8\n{LISTED}\n## Peach trifle\nServes 6\n{LISTED}",
    "a rule": f"Carrot cake\n\n{CAKE}\n***\n\nPeach trifle\n{TOP}",
    "a part with two signs": f"Carrot cake\n\n{CAKE}\n\f\nOrange glaze\nMakes 2 cups\n\n{TOP}",
    "parts under its title": f"A notebook\n\nCarrot cake\n\n{CAKE}\nPeach trifle\n\nFor the base\n{CAKE}",
    "parts of its own": f"# Carrot cake\n{CAKE}\nFor the glaze:\n{TOP}\n# Peach trifle\n{CAKE}",
    "a subtitle": f"Carrot cake\n\n{CAKE}\n\n\nPeach trifle\n\nA summer sweet\n\n{CAKE}",
}  # fmt: skip


@pytest.mark.parametrize("name", TWO)
def test_what_is_plain_makes_two(name: str) -> None:
    first, second = cut(TWO[name]).pieces
    assert "Carrot cake" in first.text.split("\n")[0]
    assert "trifle" in second.text or "Orange glaze" in second.text
    assert "Carrot" not in second.text
    assert "trifle" not in first.text


BOOK = f"""A small book

- Carrot cake
- Peach trifle

Baked since 1950 by the sea.

# Carrot cake
{CAKE}
# Peach trifle
Serves 6

200 g flour
  2 tbsp brandy

Mix.
"""


def test_places_are_those_of_the_file_and_a_menu_is_told(tmp_path: Path) -> None:
    (tmp_path / "book.md").write_text(BOOK, encoding="utf-8")
    cake, trifle = import_recipes(str(tmp_path / "book.md"))
    assert (cake.title, cake.id, trifle.id) == ("Carrot cake", "carrot-cake", "peach-trifle")
    (menu,) = cake.left_out
    assert (menu.place.line, menu.message) == (
        1,
        "headings over the recipes, left out: A small book, Carrot cake, Peach trifle",
    )
    assert cake.unclear[0].place.line == 6
    assert cake.unclear[0].message.endswith("Baked since 1950 by the sea.")
    (told,) = trifle.unclear
    line = BOOK.split("\n")[told.place.line - 1]
    assert line[told.place.column - 1 :] == "2 tbsp brandy"


def test_a_doubt_is_told_at_its_line(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(ONE["nothing says so"], encoding="utf-8")
    (made,) = import_recipes(str(tmp_path / "a.txt"))
    (told,) = made.unclear
    assert (told.place.line, told.message) == (
        10,
        "'Whipped cheese' may be the title of another recipe; put it into a file of its own if it is",
    )


def test_one_of_several_is_named(tmp_path: Path) -> None:
    file = tmp_path / "book.md"
    file.write_text(BOOK, encoding="utf-8")
    (made,) = import_recipes(str(file), ImportRequest(recipe="peach TRIFLE"))
    assert (made.id, made.left_out) == ("peach-trifle", ())
    with pytest.raises(
        CannotRun, match=r"no recipe named 'Tart'; it has Carrot cake, Peach trifle"
    ):
        import_recipes(str(file), ImportRequest(recipe="Tart"))
    with pytest.raises(CannotRun, match="holds 2 recipes; a title names one"):
        import_recipes(str(file), ImportRequest(title="Mine"))


@pytest.mark.parametrize(
    "unit",
    ["# A\n", "A\n\n", "---\n", f"Tart\n\n{CAKE}\n", f"# Tart\n{CAKE}", "\f\n", "- " * 40, "=\n"],
)
def test_cutting_takes_time_in_step_with_the_text(unit: str) -> None:
    def at_size(size: int) -> Callable[[], object]:
        text = f"Carrot cake\n\n{CAKE}\n" + unit * (size // len(unit))
        return lambda: cut(text)

    assert exponent(at_size, (20_000, 80_000)) <= NEAR_LINEAR
