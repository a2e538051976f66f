"""One page as a reader's browser has it: what is wrong with it in every width, by day, by night and on paper.

Each look is a function that opens nothing and yields sentences. ``faults_of`` takes all of them of one page
with a single load, ``faults_below`` of every page of a folder.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any, Literal, NamedTuple
from urllib.parse import unquote, urljoin, urlsplit

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Browser, Dialog, Page, Route

#: A telephone, a tablet, a desk.
WIDTHS = (390, 820, 1440)
HEIGHT = 900
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
MEASURES = (Path(__file__).parent / "measures.js").read_text(encoding="utf-8")
#: What axe-core calls the two upper impacts; what it finds below them is a hint.
HINDERS = ("serious", "critical")


class Fault(NamedTuple):
    """What one look found wrong with a page."""

    look: str
    said: str


class Opened(NamedTuple):
    """A page that is open, and what it has done since that nobody asked for."""

    page: Page
    file: Path
    did: list[str]

    def ask(self, question: str, *values: Any) -> Any:
        """What a function of measures.js answers."""
        given = ", ".join(json.dumps(value) for value in values)
        return self.page.evaluate(f"measures.{question}({given})")


def _dismissed(box: Dialog, did: list[str]) -> None:
    did.append(f"asked the reader: {box.message}")
    box.dismiss()


@contextmanager
def opened(browser: Browser, file: Path) -> Iterator[Opened]:
    """A page of a file, with no network, and every sign of life noted."""
    context = browser.new_context(viewport={"width": WIDTHS[-1], "height": HEIGHT}, offline=True)
    page = context.new_page()
    did: list[str] = []

    def only_files(route: Route) -> None:
        address = route.request.url
        if address.startswith("file:"):
            route.continue_()
        else:
            did.append(f"asked for {address}")
            route.abort()

    context.route("**/*", only_files)
    page.on("console", lambda said: did.append(f"console: {said.text}") if said.type in ("error", "warning") else None)  # fmt: skip
    page.on("pageerror", lambda error: did.append(f"broke: {error}"))
    page.on("popup", lambda other: did.append(f"opened {other.url}"))
    page.on("dialog", lambda box: _dismissed(box, did))
    try:
        page.goto(file.as_uri())
        page.evaluate(f"window.measures = {MEASURES}")
        page.evaluate(AXE_SCRIPT)
        yield Opened(page, file, did)
    finally:
        context.close()


def by_keyboard(opened: Opened) -> Iterator[str]:
    """Tab reaches whatever can be pressed, and shows where it is."""
    for _ in range(opened.ask("beginWalk")):
        opened.page.keyboard.press("Tab")
    yield from opened.ask("endWalk")


def framed(opened: Opened) -> Iterator[str]:
    """Language, title, policy, order of headings."""
    yield from opened.ask("frame")


def lead_somewhere(opened: Opened) -> Iterator[str]:
    """Every link leads to a place of this page, to a file beside it, or openly elsewhere."""
    yield from astray(opened.file, opened.ask("links"), set(opened.ask("ids")))


def astray(file: Path, links: Iterable[Sequence[str]], ids: set[str]) -> Iterator[str]:
    """The links of a page, words and address, that lead nowhere."""
    for words, address in links:
        target = urlsplit(urljoin(file.as_uri(), address))
        there = Path(unquote(target.path))
        if target.scheme in ("http", "https"):
            continue
        if target.scheme != "file":
            yield f"'{words}' leads to {address}"
        elif not there.is_file():
            yield f"'{words}' leads to {address}, which is not there"
        elif target.fragment:
            places = ids if there == file else read_links(there)[1]
            if unquote(target.fragment) not in places:
                yield f"'{words}' leads to {address}, a place that is not there"


@cache
def read_links(file: Path) -> tuple[list[tuple[str, str]], set[str]]:
    """The links and places of a page that is not open."""
    from lxml import html

    page = html.fromstring(file.read_bytes())
    links = [(link.text_content(), link.get("href")) for link in page.iterfind(".//a[@href]")]
    return links, set(page.xpath("//@id"))


def fits(opened: Opened) -> Iterator[str]:
    """No width has to be scrolled sideways, and no word is cut."""
    for width in WIDTHS:
        opened.page.set_viewport_size({"width": width, "height": HEIGHT})
        for scheme in SCHEMES:
            opened.page.emulate_media(media="screen", color_scheme=scheme)
            for said in (*opened.ask("sticksOut", False), *opened.ask("cutOff")):
                yield f"{width} px, {scheme}: {said}"


def prints(opened: Opened) -> Iterator[str]:
    """On its paper nothing sticks out or is cut, and a dark screen prints as a light one."""
    opened.page.set_viewport_size({"width": opened.ask("paperWidth"), "height": HEIGHT})
    colours = []
    for scheme in SCHEMES:
        opened.page.emulate_media(media="print", color_scheme=scheme)
        colours.append(opened.ask("colours"))
    yield from opened.ask("sticksOut", True)
    yield from opened.ask("cutOff")
    for colour in sorted({*colours[1]} - {*colours[0]}):
        yield f"a dark screen prints {colour}"


def hinders_nobody(opened: Opened) -> Iterator[str]:
    """axe-core finds nothing serious, contrast included."""
    asked = {"resultTypes": ["violations"], "preload": False}
    for width, scheme in zip((WIDTHS[0], WIDTHS[-1]), SCHEMES, strict=True):
        opened.page.set_viewport_size({"width": width, "height": HEIGHT})
        opened.page.emulate_media(media="screen", color_scheme=scheme)
        for rule in opened.page.evaluate("asked => axe.run(asked)", asked)["violations"]:
            if rule["impact"] in HINDERS:
                times, first = len(rule["nodes"]), rule["nodes"][0]["target"][-1]
                yield f"{width} px, {scheme}: {rule['id']}: {rule['help']} ({times} times, first {first})"


def is_quiet(opened: Opened) -> Iterator[str]:
    """Nothing was asked for, nothing was complained of, from the first look to the last."""
    yield from opened.did


Look = Callable[[Opened], Iterator[str]]
#: The walk comes first, from where a reader begins; what a page did is asked last.
LOOKS: Mapping[str, Look] = {
    "keyboard": by_keyboard,
    "frame": framed,
    "links": lead_somewhere,
    "width": fits,
    "paper": prints,
    "axe": hinders_nobody,
    "quiet": is_quiet,
}


def faults_of(browser: Browser, file: Path, looks: Mapping[str, Look] = LOOKS) -> list[Fault]:
    """Everything that is wrong with a page."""
    with opened(browser, file) as page:
        return [Fault(name, said) for name, look in looks.items() for said in look(page)]


def pages_below(folder: Path) -> list[Path]:
    """Every page below a folder."""
    pages = sorted(folder.rglob("*.html"))
    assert pages, f"{folder} holds no page"
    return pages


def faults_below(browser: Browser, folder: Path) -> dict[str, list[Fault]]:
    """What is wrong with each page below a folder; only pages of which something is."""
    pages = pages_below(folder)
    found = {page.relative_to(folder).as_posix(): faults_of(browser, page) for page in pages}
    return {name: faults for name, faults in found.items() if faults}
