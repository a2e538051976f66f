"""Many files, a folder, and files with several recipes in one run of `perflour import`."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import ROOT, run_cli

CAKE = "{}\n\n200 g flour\n2 large eggs\n{}\nMix the flour and the eggs.\n"
PLAIN, BRANDY = "", "2 tbsp brandy\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two cakes, one to be looked at, in a folder with a photo, a hidden file and a page's own folder."""
    inner = tmp_path / "in"
    (inner / "more").mkdir(parents=True)
    (inner / "page_files").mkdir()
    (inner / "a.txt").write_text(CAKE.format("Tide cake", PLAIN), encoding="utf-8")
    (inner / "more" / "b.md").write_text(CAKE.format("Dune cake", BRANDY), encoding="utf-8")
    (inner / "photo.jpg").write_bytes(b"\xff\xd8")
    (inner / ".hidden.txt").write_text("no", encoding="utf-8")
    (inner / "page_files" / "frame.html").write_text("<p>no</p>", encoding="utf-8")
    (inner / "page.html").write_text(
        '<p itemscope itemtype="https://schema.org/Recipe"><b itemprop="name">Page cake</b>'
        '<b itemprop="recipeIngredient">200 g flour</b>',
        encoding="utf-8",
    )
    return tmp_path


def test_a_folder_at_once(folder: Path) -> None:
    done = run_cli("import", "in", "in/a.txt", "--into", "out", cwd=folder)
    assert done.code == 1
    assert done.out.splitlines() == [
        f"out/{name}/formula.yaml" for name in ("tide-cake", "dune-cake", "page-cake")
    ]
    lines = done.err.splitlines()
    assert "in/more/b.md:5:1: 'brandy' is not in the catalogue; name it otherwise or add it (50 % sure)" in lines  # fmt: skip
    assert "tide-cake: Allergens by what the foods are, US list: egg, wheat; EU list: cereals containing gluten, eggs." in lines  # fmt: skip
    assert len([line for line in lines if "Raw flour is a raw food" in line]) == 1
    assert lines[-2:] == [
        "left alone, no kind that is read here: in/page_files, in/photo.jpg",
        "3 recipes in 3 formulas: 1 line to look at in 1",
    ]
    assert "item: brandy" in (folder / "out/dune-cake/formula.yaml").read_text("utf-8")


def test_one_bad_file_does_not_stop_the_others(folder: Path) -> None:
    (folder / "in" / "b.pdf").write_bytes(b"%PDF-")
    done = run_cli("import", "in/b.pdf", "nothing.txt", "in/a.txt", "--into", "out", cwd=folder)
    assert (done.code, done.out) == (2, "out/tide-cake/formula.yaml\n")
    lines = done.err.splitlines()
    assert lines[:2] == [
        "perflour: in/b.pdf: no PDF that can be read; save it again, or paste the text",
        "perflour: 'nothing.txt': no such file; check the path",
    ]
    assert lines[-1] == "1 recipe in 1 formula: nothing to look at; 2 files not read"


@pytest.mark.parametrize("options", [(), ("--overwrite",)])
def test_two_recipes_never_go_into_one_file(folder: Path, options: tuple[str, ...]) -> None:
    (folder / "c.txt").write_text(CAKE.format("TIDE CAKE", BRANDY), encoding="utf-8")
    done = run_cli("import", "in/a.txt", "c.txt", "--into", "out", *options, cwd=folder)
    assert (done.code, done.out) == (2, "out/tide-cake/formula.yaml\n")
    assert "perflour: c.txt: 'TIDE CAKE' not written: the id tide-cake is made of in/a.txt already; import it alone with another --title" in done.err  # fmt: skip
    assert "brandy" not in (folder / "out/tide-cake/formula.yaml").read_text("utf-8")
    again = run_cli("import", "in/a.txt", "in/more", "--into", "out", *options, cwd=folder)
    assert again.code == (1 if options else 2)
    assert ("is there already" in again.err) is (not options)
    assert "out/dune-cake/formula.yaml" in again.out


def test_several_recipes_in_one_file(folder: Path) -> None:
    two = f"{CAKE.format('Tide cake', PLAIN)}\n---\n\n{CAKE.format('Dune cake', BRANDY)}"
    (folder / "two.txt").write_text(two, encoding="utf-8")
    refused = run_cli("import", "two.txt", cwd=folder)
    assert (refused.code, refused.out) == (2, "")
    assert refused.err == (
        "perflour: two.txt: holds 2 recipes; write them all into a folder with --into, "
        "or name one with --recipe: Tide cake, Dune cake\n"
    )
    one = run_cli("import", "two.txt", "--recipe", "dune cake", cwd=folder)
    assert one.out.startswith("formula: dune-cake\n")
    both = run_cli("import", "two.txt", "--into", "out", cwd=folder)
    assert (both.code, both.out.count("\n")) == (1, 2)
    assert both.err.splitlines()[-1] == "2 recipes in 2 formulas: 1 line to look at in 1"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "no recipe to import; name a file that holds one, its folder, or -"),
        (("in",), "3 files; say with --into into which folder the formulas go"),
        (("in", "--into", "out", "--title", "X"), "3 files, and a --title of one; leave it out, or name one file"),
        (("in", "--into", "out", "--recipe", "X"), "3 files, and a --recipe of one; leave it out, or name one file"),
        (("in/page_files/none", "--into", "out"), "'in/page_files/none': no such file; check the path"),
        (("empty", "--into", "out"), "no recipe to import; name a file that holds one, its folder, or -"),
    ],
)  # fmt: skip
def test_requests_that_cannot_be_met(words: tuple[str, ...], told: str, folder: Path) -> None:
    (folder / "empty").mkdir()
    done = run_cli("import", *words, cwd=folder)
    assert (done.code, done.out, done.err) == (2, "", f"perflour: {told}\n")


def test_many_cores_say_what_one_says(tmp_path: Path) -> None:
    folder = ROOT / "tests" / "published" / "text"
    texts = [str(path) for path in sorted(folder.glob("*.txt"))]
    said = []
    for jobs in ("1", "2"):
        done = run_cli("import", *texts, "--into", f"out{jobs}", "--jobs", jobs, cwd=tmp_path)
        said.append((done.code, done.out.replace(f"out{jobs}", "out"), done.err))
    assert said[0] == said[1]
    assert f"{len(texts)} recipes in {len(texts)} formulas: " in said[0][2]


def test_a_recipe_among_many_is_as_it_is_alone(tmp_path: Path) -> None:
    """What a run keeps of names and lines changes nothing: each alone starts without."""
    folder = ROOT / "tests" / "published" / "text"
    texts = [str(path) for path in sorted(folder.glob("*.txt"))]
    run_cli("import", *texts, "--into", "out", "--jobs", "1", cwd=tmp_path)
    among = sorted(path.read_text("utf-8") for path in tmp_path.glob("out/*/formula.yaml"))
    assert among == sorted(run_cli("import", text, cwd=tmp_path).out for text in texts)


def test_a_bad_file_does_not_stop_what_was_read_of_others(folder: Path) -> None:
    words = ("import", "in/a.txt", "nothing.txt", "--output")
    done = run_cli(*words, "json", cwd=folder)
    alone = run_cli("import", "in/a.txt", "--output", "json", cwd=folder)
    told = "perflour: 'nothing.txt': no such file; check the path\n"
    assert (done.code, done.out, done.err) == (2, alone.out, alone.err + told)
    assert "Tide cake" in run_cli(*words, "text", cwd=folder).out


def test_a_kitchen_s_own_food_is_known_to_it_alone(tmp_path: Path) -> None:
    """What was read of a line belongs to the catalogue that it was read with."""
    from perflour.kitchen.catalogue import built_in
    from perflour.recipe.ingredient_line import read_line

    salt = built_in().named("salt")
    assert salt is not None
    own = built_in().but_with(house={"gull dust": salt})
    for catalogue, known in ((built_in(), False), (own, True), (built_in(), False)):
        assert [line.known for line in read_line("2 g gull dust", catalogue)] == [known]


@pytest.mark.parametrize(
    ("content", "wanted"),
    [
        (b"<!-- saved from url -->\n<p itemscope itemtype='https://schema.org/Recipe'><b itemprop=name>Page cake</b><b itemprop=ingredients>200 g flour</b>", "page-cake"),
        (b'\xef\xbb\xbf [ {"@type": "Recipe", "name": "Page cake", "recipeIngredient": ["200 g flour"]}]', "page-cake"),
        (b"[Page cake]\n\n200 g flour\n", "page-cake"),
        (b"PK's page cake\n\n200 g flour\n", "pks-page-cake"),
        ("<div itemscope itemtype='https://schema.org/Recipe'><b itemprop=name>Page cake</b><b itemprop=ingredients>200 g flour</b>".encode("utf-16"), "page-cake"),
    ],
)  # fmt: skip
def test_standard_input_is_told_apart_by_how_it_starts(
    content: bytes, wanted: str, tmp_path: Path
) -> None:
    done = run_cli("import", "-", cwd=tmp_path, stdin=content)
    assert done.out.split("\n")[0] == f"formula: {wanted}", done.err
    assert "{item: flour, amount: 200 g}" in done.out
