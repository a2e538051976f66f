"""What is installed without extras does the daily work; what an extra brings is asked for in one line."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from lxml import html
from packaging.requirements import Requirement

from perflour.system.extras import EXTRAS
from tests.conftest import ROOT, formula_text, git, run_cli
from tests.lean import PROJECT, link, requirements, run_lean, with_what_they_need

pytestmark = pytest.mark.xdist_group("install")

PACKAGE = ROOT / "tools" / "perflour"
#: Modules that every installation has, by the distribution that is asked for or that comes with it.
CORE = {
    "cachebox", "deepdiff", "jinja2", "jsonschema", "lsprotocol", "markupsafe", "openpyxl", "pint", "pygls", "rapidfuzz", "shtab",
    "tqdm", "wcwidth", "yaml",
}  # fmt: skip
#: Where what an extra brings may be loaded: rooms or modules. Whoever adds one asks `need` or `lacking` on the way to it.
LOADED_IN = {
    "PIL": ("system.pictures",),
    "typst": ("report.form.charts", "report.cookbook.pdf"),
    "lxml": ("recipe.page_markup",),
    "pypdf": ("recipe.pdf_text",),
    "ortools": ("bakeday.search", "bakeday.solver"),
    "xlsxwriter": ("report.live_sheet",),
    "numpy": ("designs", "evidence.leveled", "evidence.maps", "evidence.mixed", "evidence.relations"),
    "scipy": ("designs", "evidence.maps", "evidence.mixed", "evidence.relations", "trials.blocks", "trials.ranking", "trials.sensory"),
    "statsmodels": ("designs", "evidence.mixed"),
    "sklearn": ("designs.next_point",),
    "pydoe": ("designs",),
}  # fmt: skip
OURS = {*sys.stdlib_module_names, "perflour", "_perflour_reader"}


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return link(tmp_path_factory.mktemp("core"))


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The repository of the demo with its history, to write in."""
    folder = tmp_path_factory.mktemp("demo") / "kitchen"
    git(ROOT, "clone", "-q", str(ROOT), str(folder))
    return folder


COOKIE = "formulas/rye-ginger-cookie"
SINCE = "HEAD^{/^Record the first bakes}"
#: Commands of the core over the demo; each says with extras just the same.
DAILY = [
    ("lint",),
    ("show", "formulas"),
    ("contents", "formulas"),
    ("scale", COOKIE, "--times", "2"),
    ("format", "--check"),
    ("diff", SINCE, "HEAD"),
    ("changelog", "--check", "formulas"),
    ("changelog", COOKIE),
    ("changelog", COOKIE, "--output", "html"),
    ("review", f"{SINCE}..HEAD", "--output", "html"),
    ("release", f"{SINCE}..HEAD"),
    ("compare", "formulas"),
    ("compare", "formulas", "--output", "html"),
    ("compare", "formulas", "--output", "svg"),
    ("middle", "formulas", "--ours", "formulas/oat-date-loaf"),
    ("cost", "formulas"),
    ("evidence", "formulas/oat-date-loaf"),
    ("bake", "list", "formulas"),
    ("bake", "sheets", "formulas/sessions/2026-11-25.yaml", "--output", "html"),
    ("bake", "check", "formulas/oat-date-loaf"),
    ("trial", "list", "formulas"),
    ("git-sheet", f"{COOKIE}/formula.yaml"),
    ("explain", "soda-without-acid"),
    ("import", "tests/published/text/10-plain-muffins.txt"),
    ("completion", "bash"),
]


@pytest.mark.parametrize("words", DAILY, ids=" ".join)
def test_daily_work_needs_no_extra(words: tuple[str, ...], core: Path, demo: Path) -> None:
    done = run_lean(core, *words, cwd=demo)
    assert done == run_cli(*words, cwd=demo)
    assert done.code < 2
    assert "perflour[" not in done.all


def test_a_kitchen_is_begun_set_up_and_merged_without_an_extra(core: Path, tmp_path: Path) -> None:
    assert run_lean(core, "new", "kitchen", "ours", cwd=tmp_path).code == 0
    kitchen = tmp_path / "ours"
    begun = run_lean(core, "new", "formula", "Harbour loaf", "--class", "loaf-cake", "--pieces", "2", cwd=kitchen)  # fmt: skip
    assert begun.code == 0, begun.err
    assert run_lean(core, "git-setup", cwd=kitchen).code == 0
    assert "extras       none; not installed: photos," in run_lean(core, "check-setup", cwd=kitchen).out  # fmt: skip
    for name, salt in (("was", 5), ("here", 6), ("there", 5)):
        lines = "{item: bread flour, amount: 300 g}", f"{{item: table salt, amount: {salt} g}}"
        (tmp_path / name).write_text(formula_text(*lines), encoding="utf-8")
    merged = run_lean(core, "git-merge", "was", "here", "there", "formula.yaml", cwd=tmp_path)
    assert (merged.code, merged.err) == (0, "")
    assert "amount: 6 g" in (tmp_path / "here").read_text("utf-8")


ROSE = '<div itemscope itemtype="https://schema.org/Recipe"><h1 itemprop="name">Loaf</h1></div>'
#: What needs an extra, what it lacks first and which extra has it.
ASKING = [
    (("bake", "check"), "pillow", "photos"),
    (("bake", "new", COOKIE, "--baker", "N", "--verdict", "keep", "--photo", "README.md"), "pillow", "photos"),
    (("compare", "formulas", "--write", "ratios.png"), "typst", "charts"),
    (("draft", "--write", "book.pdf"), "typst", "book"),
    (("import", "page.html"), "lxml", "import"),
    (("import", "recipe.pdf"), "pypdf", "import"),
    (("plan", "formulas/oat-date-loaf", "--ready-by", "15:00"), "ortools", "plan"),
    (("bake", "judge", "formulas/sessions"), "numpy", "tasting"),
    (("why", "formulas/oat-date-loaf"), "numpy", "evidence"),
    (("trial", "results", "formulas/trials/cookie-chew"), "numpy", "evidence"),
    (("trial", "plan", COOKIE, "--vary", "sugar=85..95", "--bakes", "4", "--tasters", "3"), "numpy", "evidence"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "name", "extra"), ASKING, ids=lambda value: " ".join(value[:2]) if isinstance(value, tuple) else value)  # fmt: skip
def test_what_needs_an_extra_says_so_and_does_nothing(
    words: tuple[str, ...], name: str, extra: str, core: Path, demo: Path
) -> None:
    (demo / "page.html").write_text(f"<!doctype html>{ROSE}", encoding="utf-8")
    (demo / "recipe.pdf").write_bytes(b"%PDF-1.4\n")
    said = f"perflour: this needs {name}, which comes with perflour[{extra}]; pip install 'perflour[{extra}]'\n"
    done = run_lean(core, *words, cwd=demo)
    assert (done.code, done.out, done.err) == (2, "", said)
    assert not [*demo.glob("*.png"), *demo.glob("book.pdf")]


def test_with_the_one_extra_it_is_done(tmp_path: Path, demo: Path) -> None:
    site = link(tmp_path, "book")
    done = run_lean(site, "draft", "--write", "said.pdf", cwd=demo)
    assert (demo / "said.pdf").read_bytes().startswith(b"%PDF-"), done.err
    assert run_lean(site, "bake", "check", cwd=demo).code == 0
    assert run_lean(site, "plan", "formulas/oat-date-loaf", cwd=demo).code == 2


def test_pages_say_what_is_left_out_and_have_it_once_the_extra_is_there(
    core: Path, demo: Path, tmp_path: Path
) -> None:
    def lacking(of: str, extra: str) -> str:
        return (
            f"this needs {of}, which comes with perflour[{extra}]; pip install 'perflour[{extra}]'"
        )

    out = tmp_path / "pages"
    done = run_lean(core, "site", str(out), cwd=demo)
    assert (done.code, done.err) == (0, "")

    def text(page: str) -> str:
        return str(html.fromstring((out / page).read_bytes()).text_content())

    assert lacking("numpy", "evidence") in text("trials/cookie-chew.html")
    assert lacking("numpy", "evidence") in text("evidence/index.html")
    assert f"is not shown: {lacking('pillow', 'photos')}" in text("formulas/rye-poolish-loaf/index.html")  # fmt: skip
    assert run_cli("site", str(out), cwd=demo).code == 0
    for page in out.rglob("*.html"):
        assert "perflour[" not in page.read_text("utf-8"), page


def test_a_page_without_pillow_names_the_photo_that_it_does_not_show(core: Path, demo: Path) -> None:  # fmt: skip
    page = run_lean(core, "changelog", "formulas/rye-poolish-loaf", "--output", "html", cwd=demo)
    assert "is not shown: this needs pillow, which comes with perflour[photos]" in page.out
    book = run_lean(core, "draft", "--output", "html", "--write", "book.html", cwd=demo)
    assert book.code == 1
    assert "pip install 'perflour[photos]'; it is not in the draft" in book.err


# --- the lists agree


def test_extras_are_those_of_the_project() -> None:
    declared = PROJECT["optional-dependencies"]
    assert declared.keys() == {*EXTRAS, "all", "dev"}
    core = with_what_they_need(requirements())
    for extra, modules in EXTRAS.items():
        named = {Requirement(text).name for text in requirements(extra)} - {Requirement(text).name for text in requirements()}  # fmt: skip
        assert named == set(modules.values()), extra
        assert not named & core, "every installation has it: take it out of the extra"
    assert {*requirements("all")} == {text for extra in EXTRAS for text in requirements(extra)}
    rows = re.findall(r"(?m)^\| `(\w+)` \|", (ROOT / "docs/install.md").read_text("utf-8"))
    assert rows == [*EXTRAS, "all", "perflour"]  # the last of what it weighs


def imports(path: Path) -> Iterator[str]:
    """The names of outside that a module loads, at once or late; what only type checkers read left out."""
    tree = ast.parse(path.read_text("utf-8"))
    skipped = {
        id(node)
        for block in ast.walk(tree)
        if isinstance(block, ast.If) and "TYPE_CHECKING" in ast.unparse(block.test)
        for part in block.body
        for node in ast.walk(part)
    }
    for node in ast.walk(tree):
        if id(node) in skipped:
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield str(node.module).partition(".")[0]


def test_each_library_is_loaded_where_its_group_allows() -> None:
    wrong, used = [], set()
    for path in sorted(PACKAGE.rglob("*.py")):
        module = ".".join(path.relative_to(PACKAGE).with_suffix("").parts)
        for name in {*imports(path)} - OURS - CORE:
            homes = [home for home in LOADED_IN.get(name, ()) if f"{module}.".startswith(f"{home}.")]  # fmt: skip
            used |= {(name, home) for home in homes}
            if not homes:
                wrong.append(f"{module} loads {name}")
    assert wrong == []
    assert used == {(name, home) for name, homes in LOADED_IN.items() for home in homes}
    assert LOADED_IN.keys() == {module for modules in EXTRAS.values() for module in modules}
