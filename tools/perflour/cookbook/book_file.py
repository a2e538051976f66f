"""What a kitchen has settled for its cookbook: book.yaml, beside house.yaml."""

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Any, NamedTuple

from perflour.cookbook.measures import Owned
from perflour.documents.reader import Document, read_document
from perflour.documents.schema import check_schema
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.numbers import number_of
from perflour.result import CannotRun, FileProblem, Result
from perflour.system.files import read_bytes
from perflour.system.paths import display_path

#: Nobody looks these up.
USUAL_WITHOUT = ("water", "ice", "salt", "table salt", "kosher salt", "sea salt")
# WCAG 2.2, 1.4.3: text against its background. The papers are those of data/look.css.
LEAST_CONTRAST = 4.5
_NONE: Mapping[str, Any] = MappingProxyType({})
PAPER, DARK_PAPER = "#ffffff", "#16181a"


class Look(NamedTuple):
    """Fonts that come with the typesetter, sizes in points, colours as ``#rrggbb``."""

    text_font: str = "Libertinus Serif"
    heading_font: str = "Libertinus Serif"
    text_size: float = 10.5
    accent: str = "#7a3b12"
    accent_dark: str = "#e2a37c"


class Extras(NamedTuple):
    """What the book adds to one formula; ``story`` None: as the rest of the book."""

    variations: tuple[str, ...] = ()
    story: bool | None = None


class BookFile(NamedTuple):
    """The settings of a book; ``results`` say what in the file is wrong, and then it is not used."""

    title: str = ""
    subtitle: str = ""
    authors: tuple[str, ...] = ()
    imprint: tuple[str, ...] = ()
    foreword: tuple[str, ...] = ()
    language: str = "en"
    paper: str = "a4"
    amounts: str = "both"
    owned: Owned = Owned()
    story: bool = False
    index_without: tuple[str, ...] = USUAL_WITHOUT
    chapters: Mapping[str, str] = _NONE
    formulas: Mapping[str, Extras] = _NONE
    look: Look = Look()
    words: Mapping[str, Mapping[str, str]] = _NONE
    path: str = ""
    results: tuple[Result, ...] = ()

    def extras(self, id: str) -> Extras:
        return self.formulas.get(id, Extras())

    def tells_story(self, id: str) -> bool:
        """Whether a formula tells how it came about."""
        own = self.extras(id).story
        return self.story if own is None else own


def read_book(path: str) -> BookFile:
    """The settings in a file. Raises CannotRun where it cannot be read or something in it is wrong."""
    found = book_file(read_bytes(path), display_path(path))
    if found.results:
        raise CannotRun(f"{found.results[0].place}: {found.results[0].message}")
    return found


def book_file(content: bytes, path: str, _: Catalogue | None = None) -> BookFile:
    """The settings in the content of a file."""
    try:
        document = read_document(content, path)
    except FileProblem as problem:
        return BookFile(path=path, results=(problem.result(),))
    results = check_schema(document, "book") or _pale(document)
    return BookFile(path=path, results=results) if results else _settled(document.data, path)


def _settled(data: dict[str, Any], path: str) -> BookFile:
    usual, measures, look = Owned(), data.get("measures", {}), data.get("look", {})
    texts = {name: data[name] for name in ("subtitle", "language", "paper", "amounts", "story") if name in data}  # fmt: skip
    lists: dict[str, Any] = {
        name: tuple(data.get(name, ())) for name in ("authors", "imprint", "foreword")
    }
    return BookFile(
        title=data["book"],
        **texts,
        **lists,
        index_without=tuple(data.get("index-without", USUAL_WITHOUT)),
        owned=Owned(
            _sizes(measures, "cups", usual.cups),
            _sizes(measures, "teaspoons", usual.teaspoons),
            measures.get("near", 100 * usual.near) / 100,
            measures.get("scant", 100 * usual.scant) / 100,
        ),
        chapters=data.get("chapters", {}),
        words=data.get("words", {}),
        formulas={
            id: Extras(tuple(said.get("variations", ())), said.get("story"))
            for id, said in data.get("formulas", {}).items()
        },
        look=Look(**{name.replace("-", "_"): value for name, value in look.items()}),
        path=path,
    )


def _sizes(
    measures: dict[str, Any], name: str, usual: tuple[Fraction, ...]
) -> tuple[Fraction, ...]:
    return tuple(map(number_of, measures[name])) if name in measures else usual


def _pale(document: Document) -> tuple[Result, ...]:
    """Colours that cannot be read on their paper."""
    look = document.data.get("look", {})
    found = []
    for name, paper in (("accent", PAPER), ("accent-dark", DARK_PAPER)):
        colour = look.get(name)
        if colour and (ratio := contrast(colour, paper)) < LEAST_CONTRAST:
            darker = "darker" if paper == PAPER else "lighter"
            said = f"`{name}` {colour} stands {ratio:.1f} to 1 against {paper}, and letters want {LEAST_CONTRAST:g}; take a {darker} one"
            found.append(Result("colour-too-pale", "error", said, document.place("look", name)))
    return tuple(found)


def contrast(one: str, other: str) -> float:
    """How far two colours are apart, from 1 to 21, as WCAG 2.2 reckons it."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    shares = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
