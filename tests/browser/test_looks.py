"""Each look finds what it is there to find, on small pages that have one fault; and nothing on one that has none."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.looks import LOOKS, faults_below, faults_of

pytestmark = pytest.mark.xdist_group("browser")

POLICY = "<meta http-equiv=Content-Security-Policy content=\"default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'\">"
WHOLE = (
    f"<!doctype html><html lang=en><head><meta charset=utf-8>{POLICY}<title>Loaf</title>"
    "<meta name=viewport content='width=device-width'><style>body {{ margin: 1rem; }} {style}</style></head>"
    "<body><main><h1>Loaf</h1>{body}</main></body></html>"
)


def page(folder: Path, body: str = "", style: str = "", **instead: str) -> Path:
    """A small page, and words in it that are put in place of others."""
    text = WHOLE.format(body=body, style=style)
    for old, new in instead.items():
        assert old in text
        text = text.replace(old, new)
    file = folder / "page.html"
    file.write_text(text, encoding="utf-8")
    return file


WIDE = "<p style='width: 900px'>Twelve columns</p>"
#: Body, style, the look that finds it, a part of what it says.
FAULTY = {
    "wide": (WIDE, "", "width", '390 px, dark: <p> "Twelve columns" stands at 16 to 916 of 390 px'),
    "too far left": ("<p style='margin-left: -2rem'>A</p>", "", "width", "stands at -16 to"),
    "wide on paper": ("<p>A</p>", "@media print { p { width: 900px; } }", "paper", "the page is"),
    "scrolled on paper": (f"<div tabindex=0 style='overflow-x: auto'>{WIDE}</div>", "", "paper", "stands at 16 to 916"),
    "hidden words": ("<p style='width: 9ch; overflow: hidden; white-space: nowrap'>A long remark</p>", "", "width", "hides a part of its words"),
    "cut drawing": ("<svg width=90 height=20><text x=70 y=15>butter</text></svg>", "", "width", '"butter" is cut by the edge'),
    "pale": ("<p class=a>Aniseed</p>", ".a { color: #bbb; }", "axe", "color-contrast"),
    "pale by night": ("<p>Aniseed</p>", "@media (prefers-color-scheme: dark) { p { color: #bbb; } }", "axe", "1440 px, dark: color-contrast"),
    "pale on paper": ("<p>A</p>", "@media print and (prefers-color-scheme: dark) { p { color: #bbb; } }", "paper", "a dark screen prints p: rgb(187, 187, 187)"),
    "picture without words": ("<svg role=img width=9 height=9></svg>", "", "axe", "svg-img-alt"),
    "no ring": ("<a href='#a' id=a>A</a>", "a:focus { outline: none; }", "keyboard", "does not show that it has the focus"),
    "under a bar": ("<a href='#a' id=a>A</a><div style='position: fixed; inset: 0; background: #fff'>A bar</div>", "", "keyboard", "out of sight"),
    "trap": ("<button onkeydown='event.preventDefault()'>A</button><a href='#a' id=a>B</a>", "", "keyboard", 'Tab never reaches <a> "B"'),
    "no name": ("<button></button>", "", "keyboard", "has no name"),
    "mouse alone": ("<svg role=img aria-label=Bar width=9 height=9><rect width=9 height=9><title>52 %</title></rect></svg>", "", "keyboard", "to a mouse alone"),
    "scroller": (f"<div style='overflow-x: auto'>{WIDE}</div>", "@media print { p { width: auto !important; } }", "width", "scrolls, but not by the keyboard"),
    "two of the first order": ("<h1>Loaf</h1>", "", "frame", "2 headings of the first order"),
    "order left out": ("<h3>Dough</h3>", "", "frame", "leaves out an order"),
    "nowhere": ("<a href='#a'>A</a>", "", "links", "'A' leads to #a, a place that is not there"),
    "no file": ("<a href='b.html'>A</a>", "", "links", "leads to b.html, which is not there"),
    "a link that acts": ("<a href='javascript:1'>A</a>", "", "links", "leads to javascript:1"),
    "asks the network": ("<img alt='' src='https://example.org/a.png'>", "", "quiet", "violates the following Content Security Policy"),
    "a fault of a script": ("<script>throw Error('spilt')</script>", "", "quiet", "broke: spilt"),
    "a box": ("<script>alert('spilt')</script>", "", "quiet", "asked the reader: spilt"),
    "complains": ("<script>console.error('spilt')</script>", "", "quiet", "console: spilt"),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTY)
def test_a_fault_is_found(fault: str, browser: Browser, tmp_path: Path) -> None:
    body, style, look, said = FAULTY[fault]
    found = faults_of(browser, page(tmp_path, body, style), {look: LOOKS[look]})
    assert any(said in one.said for one in found), found


@pytest.mark.parametrize(
    ("old", "new", "look", "said"),
    [
        ("<html lang=en>", "<html>", "frame", "no language"),
        ("<title>Loaf</title>", "", "frame", "no title"),
        (POLICY, "", "frame", "no policy"),
        (POLICY, "<img alt='' src='https://example.org/a.png'>", "quiet", "asked for https://example.org/a.png"),
        ("<h1>Loaf</h1>", "", "frame", "0 headings of the first order"),
        ("<h1>", "<h2>Dough</h2><h1>", "frame", "stands before the first heading"),
    ],
)  # fmt: skip
def test_a_fault_of_the_frame_is_found(
    old: str, new: str, look: str, said: str, browser: Browser, tmp_path: Path
) -> None:
    found = faults_of(browser, page(tmp_path, **{old: new}), {look: LOOKS[look]})
    assert any(said in one.said for one in found), found


def test_a_good_page_has_no_fault(browser: Browser, tmp_path: Path) -> None:
    """What scrolls by the keyboard, is hidden from eyes, or is an open link elsewhere is none."""
    body = (
        "<a class=skip href='#a'>To the dough</a><h2 id=a>Dough</h2><p><a href='#a'>Dough</a> <a href='https://example.org/'>Elsewhere</a></p>"
        f"<div class=wide tabindex=0 role=region aria-label=Table>{WIDE}</div>"
        "<span style='position: absolute; left: -9999px; width: 1px; height: 1px; overflow: hidden'>for ears</span>"
        "<details><summary>More</summary><p>Rest it.</p></details>"
        "<svg role=img aria-label=Bars width=90 height=20><g tabindex=0 role=img aria-label='52 %'><rect width=9 height=9><title>52 %</title></rect></g></svg>"
    )
    style = ".skip { position: absolute; left: -99rem; } .skip:focus { left: 0; } .wide { overflow-x: auto; } @media print { .wide p { width: auto !important; } }"
    assert faults_of(browser, page(tmp_path, body, style)) == []


def test_every_page_below_a_folder_is_looked_at(browser: Browser, tmp_path: Path) -> None:
    (tmp_path / "loaves").mkdir()
    page(tmp_path, "<a href='loaves/page.html#dough'>A</a> <a href='loaves/page.html#crust'>B</a>")
    page(tmp_path / "loaves", "<h2 id=dough>Dough</h2><a href='../page.html'>Back</a><h4>Deep</h4>")
    found = faults_below(browser, tmp_path)
    assert found.keys() == {"page.html", "loaves/page.html"}
    assert [one.said for one in found["page.html"]] == [
        "'B' leads to loaves/page.html#crust, a place that is not there"
    ]
    assert [one.look for one in found["loaves/page.html"]] == ["frame"]


def test_a_folder_without_pages_is_no_success(browser: Browser, tmp_path: Path) -> None:
    with pytest.raises(AssertionError, match="holds no page"):
        faults_below(browser, tmp_path)
