"""What stands in a repository is harmless wherever it is printed: every command, in every form.

The files, names and commits of ``kitchen`` try to move a terminal's cursor, to turn the order of reading
about, to be a command to a CI runner, a heading, a link, a mention, an element, a computation.
"""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from perflour import plain
from perflour.documents.on_screen import on_screen
from perflour.documents.reader import read_document
from perflour.report.forms import BINARY, forms_of
from perflour.result import FileProblem
from tests.conftest import GIT_ENVIRONMENT, Outcome, run_cli
from tests.hostile.kitchen import AT_START, EVIL, NAME, RAW, WORST, build

pytestmark = pytest.mark.xdist_group("hostile kitchen")

ACTS = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ufffe\uffff\U000e0041]"
)
# The tasting sheets have pages, each begun by a form feed on a line of its own.
OUR_PAGES = re.compile("^\x0c$", re.MULTILINE)
COMMAND = re.compile(r"^\s*::|##\[", re.MULTILINE)
# A line of a payload's own would say what we do not.
FORGED = re.compile(r"^\s*# evil$", re.MULTILINE)

#: The words that ask for a report on each subject of the table of forms.
REPORTS = {
    "lint": ("lint .", "lint formulas/trial"),
    "show": (
        "show formulas",
        "show formulas/trial --per total --wide",
        "show formulas --per piece",
    ),
    "contents": ("contents formulas",),
    "scale": ("scale formulas/trial --times 2", "scale formulas/trial --pieces 3 --household"),
    "plan": ("plan formulas/trial --wide",),
    "bench sheets": ("plan formulas/trial --print bench",),
    "cost": ("cost formulas/trial",),
    "diff": ("diff", "diff a b"),
    "compare": ("compare formulas --wide", "compare formulas --by group"),
    "draft": ("draft formulas --all",),
    "changelog": ("changelog formulas",),
    "changelog by commit": ("changelog formulas --by commit",),
    "release": ("release a..b",),
    "review": ("review a..b",),
    "bakes": ("bake list formulas",),
    "records": ("bake check formulas",),
    "tasting sheets": ("bake sheets formulas/sessions/2026-03-15.yaml",),
    "judgements": ("bake judge formulas",),
    "setup": ("check-setup",),
}
#: What is printed in one form alone, and what is said on stderr.
OTHERS: tuple[tuple[str, ...], ...] = (
    ("format", "--diff", "formulas"),
    ("format", "--check", "."),
    ("git-sheet", "formulas/trial/formula.yaml"),
    ("git-sheet", f"{AT_START}/formula.yaml"),
    ("git-sheet", RAW),
    ("git-merge", "recipe.txt", "recipe.txt", "recipe.txt", WORST),
    ("import", "recipe.txt", "--title", "Trial"),
    ("new", "formula", WORST[:100], "--class", "loaf-cake"),
    ("lint", WORST),
    ("lint", "--evil", WORST),
    ("lint", "--output", WORST),
    (WORST,),
    ("show", AT_START),
    ("diff", WORST, AT_START),
    ("review", f"{WORST}..b"),
    ("review", "a..c"),
    ("explain", WORST),
    ("bake", "new", "formulas/trial", "--baker", WORST, "--verdict", "keep", "--date", WORST),
    ("bake", "new", "formulas/trial", "--baker", "A", "--verdict", "keep", "--scores", WORST),
    ("bake", "answers", "formulas/sessions/2026-03-15.yaml", "recipe.txt"),
    ("bake", "answers", "formulas/sessions/2026-03-15.yaml", WORST, "--sheet", WORST),
    (
        "bake",
        "session",
        "formulas/trial",
        "formulas/trial",
        "--tasters",
        WORST,
        "--expect-order",
        WORST,
    ),
    ("cost", "formulas/trial", "--make", WORST),
    ("scale", "formulas/trial", "--have", WORST),
    ("release", "prepare", WORST),
    ("changelog", "--check", "formulas"),
    ("compare", "formulas", "--write", AT_START),
)
RUNS = [
    (subject, form, words)
    for subject, asked in REPORTS.items()
    for form in forms_of(subject)
    for words in asked
    if form not in BINARY
]


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile")
    build(folder)
    return folder


@cache
def printed(kitchen: Path, form: str, words: str) -> Outcome:
    return run_cli(*words.split(), "--output", form, cwd=kitchen)


def assert_harmless(text: str) -> None:
    for found in (ACTS.search(OUR_PAGES.sub("", text)), COMMAND.search(text)):
        assert not found, text[max(0, found.start() - 200) : found.end() + 40]
    assert not re.search(r"^\s*(Traceback|File )", text, re.MULTILINE)


@pytest.mark.parametrize(("subject", "form", "words"), RUNS)
def test_no_report_acts_on_what_shows_it(
    subject: str, form: str, words: str, kitchen: Path
) -> None:
    done = printed(kitchen, form, words)
    assert done.code in (0, 1), done.err
    assert done.out
    if subject != "setup" and form != "subject":
        assert "vil" in done.out, "nothing hostile came that far"
    if form == "html":  # whose lines are not what is seen
        assert_harmless(done.out.replace("\u2060", ""))
    else:
        assert_harmless(done.out)
        assert not FORGED.search(done.out)
    assert_harmless(done.err)


@pytest.mark.parametrize("words", OTHERS)
def test_no_command_and_no_error_acts(words: tuple[str, ...], kitchen: Path) -> None:
    done = run_cli(*words, cwd=kitchen)
    assert_harmless(done.out)
    assert_harmless(done.err)
    if done.code == 2:
        assert done.err.count("\n") == 1, done.err


def test_a_diff_of_sheets_in_git_acts_on_nothing(kitchen: Path) -> None:
    run_cli("git-setup", cwd=kitchen)
    words = ("diff", "--no-color", "a", "b", "--", "formulas/trial/formula.yaml")
    done = subprocess.run(["git", *words], cwd=kitchen, env=GIT_ENVIRONMENT, capture_output=True)
    assert done.returncode == 0
    assert b"vil" in done.stdout
    assert_harmless(done.stdout.decode())


@pytest.mark.parametrize(
    ("form", "words"), [(form, words) for _, form, words in RUNS if form in ("json", "sarif")]
)
def test_json_reads_to_the_values_that_stand_in_the_files(
    form: str, words: str, kitchen: Path
) -> None:
    text = printed(kitchen, form, words).out
    assert isinstance(json.loads(text), dict | list)


def test_json_keeps_every_sign_of_a_title(kitchen: Path) -> None:
    text = printed(kitchen, "json", "show formulas/trial --per total --wide").out
    assert json.loads(text)["title"] == f"other {EVIL}"[:190]


# --- Markdown ---

CALLS = re.compile(
    r"(?<![`\w])@\w|(?<![&\w])#\d|\bGH-\d|https?://|\bwww\.|\b[\w.]+@[\w.]+\.\w", re.IGNORECASE
)
OF_OURS = {"details", "/details", "summary", "/summary"}


def assert_plain_markdown(text: str) -> None:
    """Nothing hostile is more than text, by a parser of CommonMark with tables and strikethrough."""
    parser = pytest.importorskip("markdown_it").MarkdownIt("commonmark").enable("table")
    parser.enable("strikethrough")
    allowed = {
        "text",
        "softbreak",
        "strong_open",
        "strong_close",
        "code_inline",
        "em_open",
        "em_close",
    }
    for token in parser.parse(text):
        assert token.type not in ("fence", "code_block", "hr"), token
        if token.type == "html_block":
            assert set(re.findall(r"<([^\s>]+)[^>]*>", token.content)) <= OF_OURS, token.content
            assert not CALLS.search(re.sub("<[^>]*>", "", token.content)), token.content
        for inline in token.children or ():
            assert inline.type in allowed, (inline, token.content)
            if inline.type == "code_inline":
                assert "evil" not in inline.content
            if inline.type == "text":
                assert not CALLS.search(inline.content), token.content


@pytest.mark.parametrize("words", [words for _, form, words in RUNS if form == "markdown"])
def test_markdown_makes_nothing_of_a_payload(words: str, kitchen: Path) -> None:
    text = printed(kitchen, "markdown", words).out
    headings = re.findall(r"^#+ .*", text, re.MULTILINE)
    assert not [one for one in headings if one.lstrip("# ").startswith("evil") and len(one) < 9]
    assert_plain_markdown(text.replace("\n---\n", "\n"))  # our rule between tasting sheets
    widths = [len(re.findall(r"(?<!\\)\|", line)) for line in text.split("\n") if line[:1] == "|"]
    rules = [
        w
        for w, line in zip(widths, (x for x in text.split("\n") if x[:1] == "|"), strict=True)
        if "---" in line[:6]
    ]
    assert set(widths) == set(rules)


MARKS = st.sampled_from(
    [
        *"*_`~[]()<>#|&!:-+=.1 \\\n\t@",
        "@evil",
        "#1",
        "http://",
        "www.",
        "a@b.example",
        "&lt;",
        "``",
        "---",
        "1. ",
        "    ",
        "\x1b",
        "\u2028",
        "é",
        "![",
    ]
)


# What a host reads at the start of a text, and whole forms.
MARKED = [
    *("a & b", "~~x~~", "~x~", "# x", "- x", "+ x", "1. x", "=x", "@a", "#1", "http://a.b", "www.a.b"),
    *("<a>", "![x](y)", "`x`", "a_b_c", "&copy;", "mail@a.example", "GH-1", "a|b"),
]  # fmt: skip


@pytest.mark.parametrize("text", MARKED)
def test_markdown_shows_each_mark_as_it_is(text: str) -> None:
    assert_shown_in_markdown(text)


@given(st.lists(MARKS, max_size=12).map("".join))
def test_markdown_shows_a_text_as_it_is(text: str) -> None:
    assert_shown_in_markdown(text)


def assert_shown_in_markdown(text: str) -> None:
    parser = pytest.importorskip("markdown_it").MarkdownIt("commonmark")
    for before in ("", "- ", "## ", "| "):
        page = before + plain.markdown(f"x{text}" if before == "| " else text)
        assert_plain_markdown(page)
        shown = "".join(
            inline.content
            for token in parser.parse(page)
            for inline in token.children or ()
            if inline.type == "text"
        )
        said = plain.one_line(f"| x{text}" if before == "| " else text)
        assert "".join(shown.replace("\u200b", "").split()) == "".join(said.split())


def test_a_fold_in_markdown_is_text_of_html() -> None:
    shown = plain.markdown_in_html("<b> &lt; @a #1 https://b www.c\n\x1b")
    assert shown == ("&lt;b&gt; &amp;lt; @&#8203;a #&#8203;1 https:&#8203;//b www&#8203;.c \\x1b")


# --- HTML, SVG, CSV ---


class _Elements(HTMLParser):
    """Every tag and attribute of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [tag, *(name for name, _ in attrs)]


@pytest.mark.parametrize("words", [words for _, form, words in RUNS if form == "html"])
def test_html_has_no_element_or_attribute_of_a_payload(words: str, kitchen: Path) -> None:
    page = printed(kitchen, "html", words).out
    found = set(_Elements(page).found)
    assert not found & {"u", "onclick", "img"}, found
    for script in re.findall(r'<script type="application/ld\+json">(.*?)</script>', page, re.S):
        assert "evil" in json.loads(script)["name"]


@pytest.mark.parametrize("words", ["compare formulas --wide", "plan formulas/trial --wide"])
def test_a_chart_is_xml(words: str, kitchen: Path) -> None:
    ElementTree.fromstring(printed(kitchen, "svg", words).out)


def test_no_cell_of_csv_is_computed(kitchen: Path) -> None:
    rows = list(csv.reader(io.StringIO(printed(kitchen, "csv", "compare formulas --wide").out)))
    cells = [cell for row in rows for cell in row]
    assert any(cell.startswith("'=evil") for cell in cells)
    assert not [
        c for c in cells if c.lstrip()[:1] in tuple("=+@\t\r") or re.match(r"\s*-(?!\d)", c)
    ]


# --- YAML, and the signs themselves ---


@pytest.mark.parametrize(
    "sign", [r"\e", r"\x9b", r"\u202E", r"\u2066", r"\N", r"\L", r"\0", r"\x7F"]
)
def test_no_text_of_a_file_holds_a_sign_that_acts(sign: str) -> None:
    with pytest.raises(FileProblem, match=r"2:4: control character U\+[0-9A-F]{4}; delete it"):
        read_document(f'a: 1\nb: "x{sign}y"\n'.encode(), "f.yaml")


SIGNS = st.text(
    st.sampled_from("a :#[]'\"\\\n\t\x1b\x85\u200b\u202e\u2028\ufeff\U000e0041é👩\u200d🍳"),
    max_size=20,
)


@given(SIGNS, SIGNS)
def test_yaml_on_a_screen_has_the_same_data(key: str, value: str) -> None:
    for style in ("'", '"', "|", ">", None):
        data = {key: [value, "::error::evil ##[error]evil", 1]}
        text = yaml.safe_dump(data, default_style=style, allow_unicode=True, width=20)
        text += "# \u202e##[error]evil\n"
        shown = on_screen(text)
        assert yaml.load(shown, yaml.CSafeLoader) == yaml.load(text, yaml.CSafeLoader)
        assert plain.is_printable(shown)


@given(st.text())
def test_a_text_in_print_has_no_sign_that_acts(text: str) -> None:
    for shown in (plain.visible(text), plain.one_line(text), plain.printable(text)):
        assert plain.is_printable(plain.printable(shown))
    assert "\n" not in plain.one_line(text) + plain.visible(text)
    assert json.loads(plain.json_safe(json.dumps(text, ensure_ascii=False))) == text
    assert yaml.safe_load(plain.yaml_quoted(text)) == text


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("crème brûlée 175 °C ½", None),
        ("抹茶 麦粉 שלום خبز", None),
        ("👩\u200d🍳 ❤\ufe0f", None),
        ("می\u200cخواهم", None),
        ("fl\u200dour\u200c", r"fl\u200dour\u200c"),
        ("a\u00a0b", None),
        ("\x1b[31m\x07\x9b\u202e\u2066", r"\x1b[31m\x07\x9b\u202e\u2066"),
        ("a\U000e0041\u200b\ufeff\xad", r"a\U000e0041\u200b\ufeff\xad"),
        ("a\udcffb", r"a\xffb"),
        ("a\r\n\tb", r"a\r  b"),
    ],
)
def test_ordinary_signs_stay_and_others_are_seen(text: str, shown: str | None) -> None:
    assert plain.one_line(text) == (text if shown is None else shown)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("::error::a", r"\x3a:error::a"),
        ("a\n \u2003::b", "a\n \u2003\\x3a:b"),
        ("a ::b", "a ::b"),
        ("a::b", "a::b"),
        ("a ##[error]##vso[b]", r"a #\x23[error]#\x23vso[b]"),
        ("## heading", "## heading"),
        ("a\n\x0c\nb\x0c", "a\n\x0c\nb\\x0c"),
    ],
)
def test_no_line_of_a_log_is_a_command(text: str, shown: str) -> None:
    assert plain.printable(text) == shown


def test_the_name_of_a_file_can_be_read_off_a_result(kitchen: Path) -> None:
    said = run_cli("lint", f"formulas/{NAME}", "--output", "lines", cwd=kitchen).out
    assert said.startswith(
        r"formulas/evil\x1b[31m\u202e\n#\x23[error]\x85@evil <u>#1/formula.yaml:"
    )


def test_the_quick_look_passes_no_sign_that_is_escaped() -> None:
    every = [chr(code) for code in range(0x110000)]
    named = [sign for sign in every if not plain.visible(f"a{sign}b").startswith(f"a{sign}")]
    assert len(named) > 2000  # halves of pairs alone are 2,048
    assert all(re.search(plain._IN_NAME, f"a{sign}b") for sign in named)
    assert not [sign for sign in every if plain.visible(f"a{sign}b") == f"a{sign}b" and re.search(plain._IN_NAME, f"a{sign}b")]  # fmt: skip
