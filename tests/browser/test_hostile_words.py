"""Words that try to be more than words, through every page, in a browser that would run them."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.demo_pages import make
from tests.browser.hostile_words import PLAIN, WORDS, build, pages
from tests.browser.known import KNOWN
from tests.browser.looks import WIDTHS, Opened, opened, pages_below
from tests.browser.test_looks import page
from tests.conftest import run_cli

pytestmark = pytest.mark.xdist_group("browser, hostile words")

#: How many there are hangs on the words: the letters of an index, names that resemble another, labels of a drawing
#: that have room, and where a table sets sentence beside sentence, their number.
BY_WORDS = {"p", "li", "text", "tspan"}
BY_SENTENCES = {"release for the editor": {"tr", "th", "td"}}
#: Formulas whose revisions are looked at too.
SOME = ("script", "long")
#: What turns the order of reading about: none may come that far.
TURNS = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
#: The cookbook sets quotation marks as a printer would.
AS_TYPED = str.maketrans("‘’“”", "''\"\"", "\u2060")


@pytest.fixture(scope="module")
def kitchens(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The kitchen of hostile words, and the same in plain ones."""
    made = {"hostile": tmp_path_factory.mktemp("hostile"), "plain": tmp_path_factory.mktemp("plain")}  # fmt: skip
    build(made["hostile"], WORDS)
    build(made["plain"], PLAIN)
    return made


@pytest.mark.parametrize("name", pages(WORDS))
def test_words_are_words_on_a_page(
    name: str, kitchens: dict[str, Path], browser: Browser, tmp_path: Path
) -> None:
    plain = make("plain", pages(PLAIN)[name], tmp_path, kitchens["plain"])
    with opened(browser, plain) as quiet:
        counted = quiet.ask("counted")
    file = make("hostile", pages(WORDS)[name], tmp_path, kitchens["hostile"])
    with opened(browser, file) as hostile:
        assert [*breaks_out(hostile, counted, BY_SENTENCES.get(name, set()))] == []
        assert hostile.page.title().startswith(title_of(file))
        seen = words_on(hostile)
        assert [words for words in WORDS.values() if words[:70] not in seen] == []
        assert not TURNS.search(hostile.page.content())
        out = [*sticks_out(hostile, paper=(name, "paper") not in KNOWN)]
        assert not out, "\n".join(out)


def breaks_out(
    opened: Opened, counted: dict[str, int], by_words: Collection[str] = ()
) -> Iterator[str]:
    """What became of words that is more than words, beside the same page with plain ones."""
    yield from opened.did
    yield from opened.ask("acting")
    if opened.page.title() == "broken":
        yield "a script ran"
    now = opened.ask("counted")
    for element in sorted({*now, *counted} - BY_WORDS.union(by_words)):
        if now.get(element) != counted.get(element):
            yield f"<{element}>: {now.get(element, 0)} for {counted.get(element, 0)}"


def title_of(file: Path) -> str:
    """The title as the file has it, by another reader of HTML; a browser takes its blanks together."""
    from lxml import html

    title = html.fromstring(file.read_bytes()).findtext(".//title") or ""
    assert title
    return " ".join(title.split())


def words_on(opened: Opened) -> str:
    """All that can be read on a page, with what it folds away."""
    opened.page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    read = opened.page.locator("body").inner_text().translate(AS_TYPED)
    return " ".join(read.split())


def sticks_out(opened: Opened, paper: bool) -> Iterator[str]:
    """What is too wide for a telephone, or for paper."""
    opened.page.set_viewport_size({"width": WIDTHS[0], "height": 900})
    yield from opened.ask("sticksOut", False)
    if paper:
        opened.page.set_viewport_size({"width": opened.ask("paperWidth"), "height": 900})
        opened.page.emulate_media(media="print")
        yield from opened.ask("sticksOut", True)


@pytest.mark.parametrize(
    "name", sorted(WORDS.keys() - {"template", "address", "attribute", "long"})
)
def test_what_breaks_out_is_found(name: str, browser: Browser, tmp_path: Path) -> None:
    """The same words put into a page as they are, each where it would break out."""
    body = {
        "end-of-script": "<script>let said = '{}';</script>",
        "end-of-style": "<style>p::after {{ content: '{}'; }}</style>",
        "end-of-drawing": "<svg><text>{}</text></svg>",
        "picture": '<p title="{}">',
    }.get(name, "<p>{}</p>")
    with opened(browser, page(tmp_path, body.format("plain"))) as quiet:
        counted = quiet.ask("counted")
    with opened(browser, page(tmp_path, body.format(WORDS[name]))) as hostile:
        assert [*breaks_out(hostile, counted)]


def test_an_address_that_acts_is_found(browser: Browser, tmp_path: Path) -> None:
    for body in (
        f'<a href="{WORDS["address"]}">A</a>',
        f"<button title='{WORDS['attribute']}'>A</button>",
    ):
        with opened(browser, page(tmp_path, body)) as hostile:
            assert [*breaks_out(hostile, hostile.ask("counted"))]


@pytest.fixture(scope="module")
def sites(kitchens: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The pages of both kitchens."""
    made = {name: tmp_path_factory.mktemp(name) / "site" for name in kitchens}
    for name, kitchen in kitchens.items():
        done = run_cli("site", str(made[name]), "--review", "a..b", cwd=kitchen)
        assert done.code in (0, 1), done.err
    return made


def test_words_are_words_on_the_pages_of_the_kitchen(
    sites: dict[str, Path], browser: Browser
) -> None:
    """Pages that both kitchens have hold the same elements; on those of revisions, too, nothing acts."""
    wrong: list[str] = []
    seen = ""
    addresses = [path.relative_to(sites["hostile"]) for path in pages_below(sites["hostile"])]
    assert len(addresses) > 4 * len(WORDS)
    # pages of revisions are made as those of formulas are: some stand for all
    for address in (
        a
        for a in addresses
        if a.parts[0] != "formulas" or a.name == "index.html" or a.parts[1] in SOME
    ):
        plain = sites["plain"] / address
        counted = {}
        if plain.exists():
            with opened(browser, plain) as quiet:
                counted = quiet.ask("counted")
        with opened(browser, sites["hostile"] / address) as hostile:
            found = [*breaks_out(hostile, counted or hostile.ask("counted"))]
            found += ["a sign turns the order of reading"] * bool(TURNS.search(hostile.page.content()))  # fmt: skip
            found += [*sticks_out(hostile, paper=False)]
            wrong += [f"{address}: {said}" for said in found]
            seen += words_on(hostile)
    assert not wrong, "\n".join(wrong)
    assert [words for words in WORDS.values() if words[:70] not in seen] == []
