"""The pages of a kitchen: complete, linked, the same each time, and no more written than changed."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from lxml import html
from PIL import Image

from perflour.site.build import slug
from tests.conftest import ROOT, formula_text, git, run_cli
from tests.history.made_history import Plan, make_history

#: A history that is short enough to be told again and again.
PLAN = Plan(commits=120, formulas=6, bakes=24, merges=4)
ACTS = re.compile(r"^(?:https?:|//)", re.IGNORECASE)


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository with a long history, a release and a branch that is not merged."""
    there = tmp_path_factory.mktemp("kitchen")
    make_history(there, PLAN)
    git(there, "tag", "spring", "HEAD~40")
    git(there, "tag", "summer", "HEAD~5")
    git(there, "switch", "-q", "-c", "less sugar".replace(" ", "-"))
    file = next(there.glob("formulas/*/formula.yaml"))
    file.write_text(file.read_text().replace("dark brown sugar, amount: 1", "dark brown sugar, amount: 2"))  # fmt: skip
    git(there, "commit", "-q", "-am", "Cut the sugar")
    git(there, "switch", "-q", "main")
    return there


@pytest.fixture(scope="module")
def site(kitchen: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("site") / "pages"
    done = run_cli("site", str(folder), cwd=kitchen)
    assert done.code == 0, done.err
    return folder


def pages(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its address."""
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def links(page: html.HtmlElement) -> Iterator[str]:
    for _, attribute, target, _ in page.iterlinks():
        if attribute in ("href", "src", "action"):
            yield target


def astray(folder: Path) -> list[tuple[str, str]]:
    """The links of pages that lead out of the folder, to no page, or to no place on it."""
    trees = {a: html.fromstring(c) for a, c in pages(folder).items() if a.endswith(".html")}
    found = []
    for address, tree in trees.items():
        for target in links(tree):
            parts = urlsplit(target)
            path = folder / address if not parts.path else (folder / address).parent / unquote(parts.path)  # fmt: skip
            if not path.resolve().is_relative_to(folder.resolve()) or not path.is_file() or ACTS.match(target):  # fmt: skip
                found.append((address, target))
            elif parts.fragment:
                page = trees[path.resolve().relative_to(folder.resolve()).as_posix()]
                if page.get_element_by_id(unquote(parts.fragment), None) is None:
                    found.append((address, target))
    return found


def test_every_link_leads_to_a_page_of_the_folder_and_a_place_on_it(
    site: Path, demo_site: Path, tmp_path: Path
) -> None:
    run_cli("site", str(tmp_path / "one"), "--paths", "formulas/rye-ginger-cookie", cwd=ROOT)
    for folder, fewest in ((site, 60), (demo_site, 50), (tmp_path / "one", 20)):
        assert len(pages(folder)) > fewest
        assert astray(folder) == []


def test_every_page_is_reached_from_the_start(site: Path) -> None:
    reached, waiting = set(), ["index.html"]
    while waiting:
        address = waiting.pop()
        if address not in reached:
            reached.add(address)
            here = site / address
            found = (urlsplit(target).path for target in links(html.fromstring(here.read_bytes())))
            there = ((here.parent / unquote(path)).resolve() for path in found if path)
            waiting += [path.relative_to(site.resolve()).as_posix() for path in there]
    assert reached == {a for a in pages(site) if a.endswith(".html")}


def test_a_second_run_writes_nothing_and_another_folder_gets_the_same_bytes(
    kitchen: Path, site: Path, tmp_path: Path
) -> None:
    again = run_cli("site", str(site), cwd=kitchen)
    assert re.search(r"^\d+ pages, 0 written: ", again.out), again.out
    run_cli("site", str(tmp_path / "other"), "--forget", "--jobs", "1", cwd=kitchen)
    assert pages(tmp_path / "other") == pages(site)


def test_only_pages_that_say_something_else_are_written(tmp_path: Path) -> None:
    make_history(tmp_path, PLAN)
    folder = tmp_path / "out"
    run_cli("site", "out", cwd=tmp_path)
    before = pages(folder)
    changed = next(tmp_path.glob("formulas/*/formula.yaml"))
    changed.write_text(changed.read_text().replace("table salt, amount: 1/2", "table salt, amount: 1"))  # fmt: skip
    done = run_cli("site", "out", cwd=tmp_path)
    after = pages(folder)
    differ = {a for a in after if before.get(a) != after[a]}
    assert f", {len(differ - {'pages.txt'})} written" in done.out
    formulas = {a.split("/")[1] for a in differ if a.startswith("formulas/") and a != "formulas/index.html"}  # fmt: skip
    assert formulas == {changed.parent.name}


def test_pages_of_a_formula_that_is_gone_go_and_other_files_stay(tmp_path: Path) -> None:
    make_history(tmp_path, PLAN)
    run_cli("site", "out", cwd=tmp_path)
    folder, gone = tmp_path / "out", next(tmp_path.glob("formulas/*/formula.yaml")).parent
    (folder / "formulas" / gone.name / "mine.txt").write_text("kept")
    (folder / "pages.txt").write_bytes((folder / "pages.txt").read_bytes() + b"../outside.txt\n")
    (tmp_path / "outside.txt").write_text("kept")
    git(tmp_path, "rm", "-rq", str(gone.relative_to(tmp_path)))
    git(tmp_path, "commit", "-q", "-m", "Drop it")
    assert "taken away" in run_cli("site", "out", cwd=tmp_path).out
    assert [p.name for p in (folder / "formulas" / gone.name).iterdir()] == ["mine.txt"]
    assert (tmp_path / "outside.txt").exists()


def test_a_folder_of_somebody_else_is_left_alone(kitchen: Path, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("kept")
    done = run_cli("site", str(tmp_path), cwd=kitchen)
    assert done.code == 2
    assert "holds something that is not ours; name an empty folder" in done.err
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_branches_and_releases_have_pages(site: Path) -> None:
    branches = html.fromstring((site / "reviews/index.html").read_bytes()).text_content()
    assert "HEAD..less-sugar" in branches
    releases = html.fromstring((site / "releases/index.html").read_bytes()).text_content()
    assert "spring..summer" in releases
    assert "summer..HEAD" in releases


@pytest.mark.parametrize(
    "folder", sorted(path.parent.name for path in (ROOT / "formulas").glob("*/formula.yaml"))
)
def test_the_page_of_a_formula_says_what_show_says(folder: str, demo_site: Path) -> None:
    shown = json.loads(run_cli("show", f"formulas/{folder}", "--output", "json", cwd=ROOT).out)
    page = html.fromstring((demo_site / f"formulas/{folder}/index.html").read_bytes())
    rows = page.xpath("//section[@id='formula']//table[1]//tr[td]")
    values = [[cell.get("data-value") for cell in row.xpath("th|td")] for row in rows]
    lines = [line for part in shown["parts"] for line in part["ingredients"]]
    weighed = [(line["mass_g"], line["percent"]) for line in lines if line["mass_g"] is not None]
    said = [(v[2], v[4]) for v in values[: len(lines)] if v[2] is not None]
    assert [(float(m), p and float(p)) for m, p in said] == weighed
    ratios = {row.xpath("string(th)").split("  ")[0].strip(): row.xpath("td[1]/@data-value") for row in page.xpath("//section[@id='ratios']//tbody/tr")}  # fmt: skip
    for name, ratio in shown["total"]["ratios"].items():
        if ratio["percent"] > 0 and not ratio["not_counted"]:
            assert float(ratios[name.replace("-", " ")][0]) == ratio["percent"], name


@pytest.fixture(scope="module")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "pages"
    assert run_cli("site", str(folder), cwd=ROOT).code == 0
    return folder


def test_a_page_of_each_revision_is_what_that_revision_was(demo_site: Path) -> None:
    data = json.loads(run_cli("changelog", "--output", "json", cwd=ROOT).out)["formulas"]
    for formula in data:
        for iteration in formula["iterations"]:
            page = demo_site / f"formulas/{formula['formula']}/{iteration['revision']}.html"
            text = html.fromstring(page.read_bytes()).text_content()
            assert f"revision {iteration['revision']}" in text
            for bake in iteration["bakes"]:
                assert bake["bake"] in text


@pytest.mark.parametrize(
    ("name", "kept"),
    [("rye-loaf", True), ("Brot mit Körnern", False), ("../../etc", False), ("a" * 200, False)],
)
def test_a_name_becomes_an_address_that_stays_in_its_folder(name: str, kept: bool) -> None:
    assert (slug(name) == name) is kept
    assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]*", slug(name))
    assert len(slug(name)) < 100


def test_names_that_are_alike_in_plain_letters_have_addresses_of_their_own() -> None:
    assert len({slug(name) for name in ("käse", "kåse", "k-se", "k se")}) == 4


def test_a_formula_that_cannot_be_weighed_has_a_page_that_says_so(repository: Path) -> None:
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (folder / "formula.yaml").write_text(formula_text("{item: all-purpose flour, amount: 300 g}"))
    git(repository, "add", ".")
    git(repository, "commit", "-q", "-m", "Start")
    (folder / "formula.yaml").write_text("formula: trial\nparts: 3\n")
    done = run_cli("site", "out", cwd=repository)
    assert done.code == 1
    assert "formulas/trial/formula.yaml:" in done.err
    page = html.fromstring((repository / "out/formulas/trial/index.html").read_bytes())
    assert "It cannot be weighed as it is." in page.text_content()
    start = html.fromstring((repository / "out/index.html").read_bytes()).text_content()
    assert "Cannot be weighed" in start


def test_photos_are_files_beside_the_pages_in_the_words_of_their_record(demo_site: Path) -> None:
    folder = "formulas/rye-poolish-loaf"
    page = html.fromstring((demo_site / folder / "index.html").read_bytes())
    shown = page.xpath("//section[@id='photos']//img")
    records = "".join(path.read_text() for path in (ROOT / folder / "bakes").glob("*.yaml"))
    assert len(shown) == records.count("sha256:") > 0
    for image in shown:
        alt = " ".join(image.get("alt").split())
        assert alt in " ".join(records.split())
        picture = Image.open(demo_site / folder / image.get("src"))
        assert picture.size == (int(image.get("width")), int(image.get("height")))
        assert not picture.getexif()


def test_a_photo_that_is_gone_is_told_and_taken_off_its_page(tmp_path: Path) -> None:
    kitchen = tmp_path / "kitchen"
    git(tmp_path, "clone", "-q", str(ROOT), str(kitchen))
    run_cli("site", "out", "--paths", "formulas/rye-poolish-loaf", cwd=kitchen)
    pictures = sorted((kitchen / "out/photos").iterdir())
    for photo in (kitchen / "formulas/rye-poolish-loaf/bakes").glob("*.png"):
        photo.unlink()
    run_cli("site", "out", "--paths", "formulas/rye-poolish-loaf", cwd=kitchen)
    page = (kitchen / "out/formulas/rye-poolish-loaf/index.html").read_text()
    assert "is not here any more" in page
    assert "<img" not in page
    assert pictures
    assert not (kitchen / "out/photos").exists()


def test_a_kitchen_without_a_commit_has_pages(repository: Path) -> None:
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (folder / "formula.yaml").write_text(formula_text("{item: all-purpose flour, amount: 300 g}"))
    done = run_cli("site", "out", cwd=repository)
    assert (done.code, done.err) == (0, "")
    page = html.fromstring((repository / "out/formulas/trial/index.html").read_bytes())
    assert "not committed yet" in page.text_content()


def test_a_formula_at_another_size_is_not_said_to_be_baked(repository: Path) -> None:
    file = repository / "formulas" / "trial" / "formula.yaml"
    file.parent.mkdir(parents=True)
    for batch in (1, 2):
        lines = (f"{{item: {item}, amount: {grams * batch} g}}" for item, grams in (("all-purpose flour", 300), ("table salt", 6)))  # fmt: skip
        file.write_text(formula_text(*lines).replace("draft", "testing"))
        git(repository, "add", ".")
        git(repository, "commit", "-q", "-m", f"Batch {batch}")
        if batch == 1:
            words = ("bake", "new", "formulas/trial", "--baker", "N", "--verdict", "keep", "--date", "2026-03-14")  # fmt: skip
            assert run_cli(*words, cwd=repository).code == 0
    run_cli("site", "out", cwd=repository)
    page = html.fromstring((repository / "out/formulas/trial/index.html").read_bytes())
    said = "Waits for approval: iteration 2 is iteration 1 at another size, which was kept."
    assert said in page.text_content()


@pytest.mark.parametrize(
    ("span", "said"),
    [
        ("main", "main: 'main' is no span of commits; write it like main..my-branch"),
        ("HEAD..nosuch", "HEAD..nosuch: "),
    ],
)
def test_a_review_that_cannot_be_told_is_said_and_is_no_success(
    span: str, said: str, kitchen: Path, tmp_path: Path
) -> None:
    done = run_cli("site", str(tmp_path / "out"), "--review", span, cwd=kitchen)
    assert (done.code, done.err.startswith(said)) == (1, True), done.err
    page = html.fromstring((tmp_path / "out/reviews/index.html").read_bytes()).text_content()
    assert said in " ".join(page.split()).replace(f"{span} ", f"{span}: ")
