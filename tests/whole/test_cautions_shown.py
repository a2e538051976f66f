"""No surface drops a caution: every formula of tests/published, the demo and the rules' examples, wherever it is told."""

from __future__ import annotations

import re
import shutil
import sys
from functools import cache
from html import unescape
from pathlib import Path

import pytest

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_inputs
from perflour.kitchen.cautions import SITUATIONS, Caution, texts
from perflour.lint.situations import cautions_that_hold
from perflour.system.files import input_files
from tests.conftest import ROOT, git, run_cli

pytestmark = pytest.mark.xdist_group("cautions shown")

#: What can hurt in the failing example of a rule, by the id of the caution that must be said of it.
EXAMPLES = {
    "hot-sugar": "hot-sugar-burns",
    "filling-kept-cold": "filling-cooled",
    "honey-for-infants": "honey-infants",
    "raw-egg-not-cooked": "raw-egg",
    "raw-flour-not-baked": "raw-flour",
    "gluten-claim-with-gluten": "gluten-claim-broken",
}
#: What must be said of what a formula file names: from the files alone, not by the code that is tested.
NAMED = {
    "raw-flour": r"item: \"?(?!.*almond)[\w -]*\bflour\b",
    "raw-egg": r"item: \"?(?:whole )?eggs?\b",
    "honey-infants": r"item: honey\b",
}
Held = dict[str, tuple[Caution, ...]]


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository of all of them, approved so that a release tells them."""
    top = tmp_path_factory.mktemp("cautions")
    git(top, "init", "-q")
    git(top, "commit", "-q", "--allow-empty", "-m", "start")
    (top / "formulas").mkdir()
    for name in ("house.yaml", "ingredients.yaml"):
        shutil.copy(ROOT / "formulas" / name, top / "formulas" / name)
    found = {path.parent.name: path for path in (ROOT / "tests/published").rglob("formula.yaml")}
    found |= {path.parent.name: path for path in (ROOT / "formulas").glob("*/formula.yaml")}
    found |= {f"rule-{rule}": ROOT / "tests/rules" / rule / "fail.yaml" for rule in EXAMPLES}
    for name, path in found.items():
        text = path.read_text(encoding="utf-8")
        text = re.sub(r"^status: .*$", "status: approved", text, flags=re.MULTILINE)
        text = re.sub(r"^formula: .*$", f"formula: {name}", text, flags=re.MULTILINE)
        (top / "formulas" / name).mkdir()
        (top / "formulas" / name / "formula.yaml").write_text(text, encoding="utf-8")
    git(top, "add", "-A")
    git(top, "commit", "-q", "-m", "All of them")
    return top


@cache
def held(top: Path) -> Held:
    """The cautions that hold, by formula."""
    found: Held = {}
    for _, kitchen, outcome in weigh_inputs(input_files([str(top / "formulas")])):
        assert isinstance(outcome, Balance), outcome
        found[outcome.formula.id] = cautions_that_hold(outcome, kitchen)
    return found


def blank(text: str) -> str:
    """Words alone: lines may be wrapped, numbers kept with their units, quotes set."""
    text = re.sub(r"<[^>]*>", " ", unescape(text))
    text = re.sub(r"[\u2060\u00ad]", "", text).replace("“", '"').replace("”", '"').replace("–", "-")
    return " ".join(text.split())


def test_what_a_file_names_is_cautioned_against(kitchen: Path) -> None:
    assert len(held(kitchen)) > 30
    for name, cautions in held(kitchen).items():
        ids = {caution.id for caution in cautions}
        assert {"not-a-label", "read-the-label", "cross-contact", "food-code-decides"} <= ids
        text = (kitchen / "formulas" / name / "formula.yaml").read_text(encoding="utf-8")
        for id, pattern in NAMED.items():
            assert id in ids or not re.search(pattern, text), (name, id)
    for rule, id in EXAMPLES.items():
        assert id in {caution.id for caution in held(kitchen)[f"rule-{rule}"]}, rule


def test_show_and_scale_say_each_in_short(kitchen: Path) -> None:
    """One by one, where nothing tells whose it is; quiet or not, for it must be known."""
    for name, cautions in held(kitchen).items():
        for words in (("show", f"formulas/{name}"), ("scale", "-q", f"formulas/{name}", "--times", "2")):  # fmt: skip
            said = blank(run_cli(*words, cwd=kitchen).err)
            assert "Allergens by what the foods are, US list: " in said
            assert [c.id for c in cautions if c.in_short not in said] == [], (words, said)


def test_a_run_over_all_says_each_once_and_of_which(kitchen: Path) -> None:
    err = run_cli("show", "formulas", cwd=kitchen).err
    said = [blank(text) for text in re.split(r"\n  (?=\S)", err)]
    for caution in {c for cautions in held(kitchen).values() for c in cautions}:
        (line,) = (text for text in said if caution.in_short in text)
        of = {name for name, cautions in held(kitchen).items() if caution in cautions}
        whose = line.partition(": ")[0].split(", ")
        if of == set(held(kitchen)):
            assert not of & set(whose)
        elif whose[0].startswith("all but "):
            assert {whose[0].removeprefix("all but "), *whose[1:]} == set(held(kitchen)) - of
        else:
            assert set(whose) == of


def test_a_recipe_says_each_in_full(kitchen: Path) -> None:
    for name, cautions in held(kitchen).items():
        said = blank(run_cli("show", f"formulas/{name}", "--output", "recipe", cwd=kitchen).out)
        assert [c.id for c in cautions if c.text not in said] == [], name


def test_a_release_says_each_in_full_to_readers_and_in_short_to_others(kitchen: Path) -> None:
    for audience in ("readers", "team", "editor"):
        said = blank(run_cli("release", "HEAD~1..HEAD", "--for", audience, cwd=kitchen).out)
        for caution in {c for cautions in held(kitchen).values() for c in cautions}:
            assert (caution.text if audience == "readers" else caution.in_short) in said


def test_the_book_says_each_in_full(kitchen: Path) -> None:
    """What holds for all once at the front, the others beside each formula."""
    page = run_cli("draft", "formulas", "--all", "--output", "html", cwd=kitchen).out
    front, *pages = (_set(blank(part)) for part in page.split("<article "))
    assert len(pages) == len(held(kitchen))
    for name, cautions in held(kitchen).items():
        text = (kitchen / "formulas" / name / "formula.yaml").read_text(encoding="utf-8")
        title = re.search(r"^title: (.*)$", text, re.MULTILINE)
        assert title
        own = [one for one in pages if _set(title[1]) in one[:200]]
        assert any(all(_set(c.text) in front + one for c in cautions) for one in own), name


def _set(text: str) -> str:
    """A text without what typesetting changes."""
    return re.sub(r"[^\w]", "", text)


def test_the_sheets_of_a_day_say_each(kitchen: Path) -> None:
    """In full on paper, in short in the plan on the terminal; of formulas whose steps have their times."""
    names = ("oat-date-loaf", "gluten-free-currant-loaf", "rye-ginger-cookie")
    words = ("plan", *(f"formulas/{name}" for name in names), "--seconds", "2")
    whole = {c for name in names for c in held(kitchen)[name]}
    plan = blank(run_cli(*words, cwd=kitchen).out)
    assert [c.id for c in whole if c.in_short not in plan] == []
    page = _set(blank(run_cli(*words, "--output", "html", cwd=kitchen).out))
    assert [c.id for c in whole if _set(c.text) not in page] == []
    sheets = run_cli(*words, "--print", "bench", cwd=kitchen).out.split("\f")
    for name, sheet in zip(names, sheets, strict=True):
        assert [c.id for c in held(kitchen)[name] if c.text not in blank(sheet)] == []


def test_the_site_says_each_in_full(kitchen: Path, tmp_path: Path) -> None:
    assert run_cli("site", str(tmp_path / "pages"), cwd=kitchen).code in (0, 1)
    for name, cautions in held(kitchen).items():
        page = tmp_path / "pages" / "formulas" / name / "index.html"
        said = blank(page.read_text(encoding="utf-8"))
        assert [c.id for c in cautions if _set(c.text) not in _set(said)] == [], name


def test_the_page_of_the_docs_is_as_the_data_say() -> None:
    sys.path.insert(0, str(ROOT / "tools" / "maintain"))
    from write_cautions import PAGE, page

    present = PAGE.read_text(encoding="utf-8")
    assert page(present) == present, "run: python tools/maintain/write_cautions.py"


def test_the_terminal_and_the_page_of_the_docs_say_all_of_them() -> None:
    said = blank(run_cli("explain", "cautions", cwd=ROOT).out)
    page = (ROOT / "docs" / "cautions.md").read_text(encoding="utf-8")
    assert set(SITUATIONS) == {caution.when for caution in texts().cautions}
    for caution in texts().cautions:
        assert caution.text in said and caution.source in said
        assert f"**{caution.id}**, said {SITUATIONS[caution.when]}" in page
