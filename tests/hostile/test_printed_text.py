"""What stands in a repository is text wherever it is printed: it steers no terminal, log, page or sheet."""

from __future__ import annotations

import csv
import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

from perflour.documents.reader import read_document
from perflour.report.form.markdown import markdown_escape
from perflour.result import UNSEEN, FileProblem, one_line, printed
from tests.conftest import git, run_cli

#: Begins a line of its own where a line break of a value is printed.
FORGED = "FORGED may be merged"
MARKUP = (
    "<b id=x>bold</b> [link](http://example.org/a) ![picture](http://example.org/b.png) @someone #12 `code` *em* ~~gone~~"
    " |cell| https://example.org/c www.example.org mail@example.org &copy; =1+1"
)
VALUE = f"x\\n::error::{FORGED}\\n##[error]x\\n# head\\n{MARKUP}".replace('"', "'")
SIGNS = "\x1b[31m\u202e\u2066\x85\x9b"
FOLDER = f"loaf {SIGNS}\n::error::{FORGED}\n@someone <b id=x>"

FORMULA = f"""\
formula: trial
title: "{VALUE[:190]}"
class: "x\\n::error::{FORGED}"
status: testing
citation: "{VALUE}"
notes: "{VALUE}"
allergens: ["x\\n{FORGED}"]
yield: {{pieces: 2, piece: "x\\n::error::{FORGED}", scaling-weight: 400 g}}
parts:
  - part: "dough\\n::error::{FORGED} <b id=x> @someone"
    kind: dough
    notes: "{VALUE}"
    ingredients:
      - {{item: all-purpose flour, amount: 500 g, state: "x\\n{FORGED}", note: "{VALUE}"}}
      - {{item: "marsh\\n::error::{FORGED} <b id=x> @someone", amount: GRAMS g}}
      - {{item: "=1+1", amount: "1 x\\n::error::{FORGED}"}}
method:
  - {{do: "mix\\n::error::{FORGED}", uses: ["marsh\\n::error::{FORGED} <b id=x> @someone"], until: "{VALUE}", note: "{VALUE}"}}
  - {{do: bake, at: "180 °C\\n{FORGED}", for: 30 min, into: "x\\n::error::{FORGED} <b id=x>", fill: "x\\n{FORGED}"}}
waivers:
  - {{rule: salt-missing, because: "{VALUE}"}}
"""
PLAIN = """\
formula: plain
title: "@someone =1+1 <b id=x> [link](http://example.org/a)"
class: loaf-cake
status: testing
parts:
  - part: dough
    kind: dough
    ingredients:
      - {item: all-purpose flour, amount: 500 g}
      - {item: water, amount: 300 g}
method:
  - {do: mix, uses: [all-purpose flour, water], note: "#12 | @someone ~~gone~~ https://example.org/c"}
"""
BAKE = f"""\
date: 2026-03-14
formula: trial
of: DIGEST
baker: "x\\n::error::{FORGED}"
verdict: keep
notes: "{VALUE}"
conditions: {{oven: "x\\n::error::{FORGED}"}}
scores: [{{taster: "x\\n{FORGED}", overall: 7}}]
next: {{try: "{VALUE[:400]}", because: "{VALUE}"}}
photos: [{{file: "x\\n{FORGED}.jpg", shows: "x\\n{FORGED}"}}]
"""
HOUSE = f"""\
house: "{VALUE[:190]}"
classes:
  loaf-cake: {{title: "x\\n::error::{FORGED} <b id=x> @someone"}}
"""
INGREDIENTS = f"""\
ingredients:
  - {{name: "marsh\\n::error::{FORGED} <b id=x> @someone", group: flour, note: "{VALUE}"}}
"""
COMMANDS = (
    "lint", "lint --output lines", "lint --output markdown", "lint --output json", "lint --output sarif", "show", "show --output json",
    "show --output recipe", "show --per piece", "contents", "contents --output json", "format --diff", "format --check",
    "scale FILE --times 2", "scale FILE --times 2 --output json", "scale FILE --pieces 3 --household", "compare", "compare --output markdown",
    "compare --output html", "compare --output csv", "compare --output json", "compare --output svg", "compare --by group", "cost",
    "cost --output markdown", "cost --output json", "plan --make plain=2 --seconds 1", "plan --make plain=2 --output markdown --seconds 1",
    "plan --make plain=2 --output html --seconds 1", "plan --make plain=2 --output json --seconds 1", "diff", "diff HEAD~1 HEAD",
    "diff HEAD~1 HEAD --output markdown", "diff HEAD~1 HEAD --output json", "diff HEAD~1 HEAD --output subject", "changelog",
    "changelog --output markdown", "changelog --output html", "changelog --output json", "changelog --by commit",
    "changelog --by commit --output markdown", "release HEAD~1..HEAD", "release HEAD~1..HEAD --output markdown",
    "release HEAD~1..HEAD --output html", "release HEAD~1..HEAD --output json", "review HEAD~1..HEAD", "review HEAD~1..HEAD --output markdown",
    "review HEAD~1..HEAD --output html", "review HEAD~1..HEAD --output json", "draft --all --output html", "draft --all --output json",
    "bake list", "bake list --output markdown", "bake list --output json", "bake check", "bake check --output json", "bake judge",
    "git-sheet FILE", "import recipe.txt", "check-setup", "show nowhere\x1b[31m", "lint --output nowhere\x1b[31m", "explain nowhere\u202e",
)  # fmt: skip


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository that says the worst wherever it may say anything."""
    folder = tmp_path_factory.mktemp("kitchen")
    git(folder, "init", "-q", "-b", "main")
    formulas = folder / "formulas"
    for name, text in (("trial", FORMULA), ("plain", PLAIN), (FOLDER, FORMULA)):
        (formulas / name).mkdir(parents=True)
        (formulas / name / "formula.yaml").write_text(text.replace("GRAMS", "10"), encoding="utf-8")
    (formulas / "house.yaml").write_text(HOUSE, encoding="utf-8")
    (formulas / "ingredients.yaml").write_text(INGREDIENTS, encoding="utf-8")
    git(folder, "add", "-A")
    git(folder, "commit", "-qm", f"Start {SIGNS} @someone <b id=x> [link](http://example.org/a)", "--author", f"A {SIGNS} @someone <a@b.c>")  # fmt: skip
    shown = run_cli("show", "formulas/trial", "--output", "json", cwd=folder)
    assert shown.code == 0, shown.all
    revision = json.loads(shown.out)["revision"]
    (formulas / "trial" / "bakes").mkdir()
    (formulas / "trial" / "bakes" / "2026-03-14.yaml").write_text(BAKE.replace("DIGEST", revision))
    for path in formulas.glob("*/formula.yaml"):
        text = path.read_text(encoding="utf-8")
        path.write_text(
            text.replace("amount: 10 g", "amount: 90 g").replace("300 g", "330 g"), encoding="utf-8"
        )
    git(folder, "add", "-A")
    git(folder, "commit", "-qm", f"Try more {SIGNS} @someone ::error:: #12")
    (folder / "recipe.txt").write_text(
        f"Loaf {SIGNS}\n\n500 g flour {SIGNS}\n2 eggs\n\nMix.\n", encoding="utf-8"
    )
    return folder


@pytest.mark.parametrize("command", COMMANDS)
def test_no_text_steers_what_shows_it(kitchen: Path, command: str) -> None:
    words = ["formulas/trial/formula.yaml" if word == "FILE" else word for word in command.split()]
    done = run_cli(*words, cwd=kitchen)
    assert "Traceback" not in done.all
    assert "fault of our own" not in done.all
    for text in (done.out, done.err):
        assert not re.search(UNSEEN, text.replace("\f", "")), re.search(f".*{UNSEEN}.*", text)
        lines = text.splitlines()
        assert not [line for line in lines if line.lstrip().startswith("::") or "##[" in line]
        if "html" not in command:  # whose lines are not what is seen
            assert not [line for line in lines if line.strip().startswith(("FORGED", "::error"))]
    if "--output json" in command or "sarif" in command:
        json.loads(done.out or "{}")
    elif "--output html" in command:
        _assert_inert_page(done.out)
    elif "--output markdown" in command:
        _assert_inert_markdown(done.out)
    elif "--output csv" in command:
        cells = [cell for row in csv.reader(io.StringIO(done.out)) for cell in row]
        assert not [c for c in cells if c.startswith(("=", "@", "+", "\t")) and not _is_number(c)]


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.wrong: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        if tag in ("img", "iframe") or named.get("id") == "x":
            self.wrong.append(self.get_starttag_text() or tag)
        if (named.get("href") or "#").startswith("http") or any(
            name.startswith("on") for name in named
        ):
            self.wrong.append(self.get_starttag_text() or tag)


def _assert_inert_page(text: str) -> None:
    page = _Page()
    page.feed(text)
    assert page.wrong == []


def _assert_inert_markdown(text: str) -> None:
    """No link, picture, element, code or heading of somebody else's, and nobody called."""
    reader = MarkdownIt("gfm-like", {"html": True, "linkify": False})
    for token in reader.parse(text):
        for inner in token.children or []:
            assert inner.type not in ("link_open", "image", "s_open", "html_inline"), (
                inner,
                token.content,
            )
        if token.type == "inline":
            assert not re.search(
                r"(?<![\w\\])@someone|(?<!\\)#12|https?://example|www\.example", token.content
            ), token.content
    assert "mail@example" not in text


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


@pytest.mark.parametrize(
    "sign", ["\\e", "\\x9b", "\\u202E", "\\u2066", "\\N", "\\L", "\\0", "\\x7F"]
)
def test_no_text_of_a_file_holds_a_sign_that_nobody_sees(sign: str) -> None:
    with pytest.raises(FileProblem, match=r"2:4: control character U\+[0-9A-F]{4}; delete it"):
        read_document(f'a: 1\nb: "x{sign}y"\n'.encode(), "f.yaml")


def test_ordinary_text_stays() -> None:
    text = "Crème brûlée 180 °C ½ 麦粉 שלום \u200fخبز 👩\u200d🍳 a::b\n  tab\there\n"
    assert printed(text) == text
    assert one_line("👩\u200d🍳") == "👩\u200d🍳"
    assert printed("a\x1bb\u202e\r\n") == "a\\u001bb\\u202e\r\n"
    assert printed(" ::error::x\n##[error]") == " \\::error::x\n\\u0023#[error]"
    assert json.loads(printed('"\u202e##[x"')) == "\u202e##[x"


MARKED = (
    "a & b",
    "~~x~~",
    "# x",
    "- x",
    "+ x",
    "1. x",
    "=x",
    "@a",
    "#1",
    "http://a.b",
    "www.a.b",
    "<a>",
    "![x](y)",
    "`x`",
    "a_b_c",
)


@pytest.mark.parametrize("text", MARKED)
def test_markdown_shows_a_text_as_it_is(text: str) -> None:
    made = MarkdownIt("gfm-like", {"linkify": False}).render(markdown_escape(text))
    shown = (
        re.sub("<[^>]*>", "", made).replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
    )
    assert made.startswith("<p>")
    assert shown.replace("\u200b", "").strip() == text
