"""The house file and the house's ingredients: one kitchen for all formulas under a folder."""

import os
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from perflour.documents.reader import Document, read_document
from perflour.documents.schema import Kind, check_schema
from perflour.kitchen.catalogue import Catalogue, HouseSays, built_in, with_house
from perflour.kitchen.quantity import Customs
from perflour.kitchen.units import Unit
from perflour.result import FileProblem, Result, with_lines
from perflour.system.files import FileState, cannot_be_read, not_read, state_of
from perflour.system.opening import is_there, read
from perflour.system.paths import HOUSE_FILE, INGREDIENTS_FILE, absolute, display_path
from perflour.tuples import NamedTuple
from perflour.typed import Any

#: Kitchens remembered at once: the files of one come one after another.
KITCHENS_KEPT = 32

#: A document that is valid against its schema; else None and what is wrong.
_Valid = tuple[Document | None, tuple[Result, ...]]


class Window(NamedTuple):
    """The usual range of a ratio, in percent of the basis, and where it comes from."""

    low: float
    high: float
    source: str
    typical: float | None = None


class ProductClass(NamedTuple):
    title: str
    baked: bool
    windows: dict[str, Window]


class House(NamedTuple):
    """What a test kitchen has settled for its own files."""

    name: str = ""
    temperatures: str = "any"
    scale_resolution_g: float = 1.0
    yield_tolerance_percent: float = 5.0
    declare_allergens: bool = False
    classes: Mapping[str, ProductClass] = MappingProxyType({})
    levels: Mapping[str, str] = MappingProxyType({})
    limits: Mapping[str, Mapping[str, float]] = MappingProxyType({})
    review: Mapping[str, str] = MappingProxyType({})
    rule_pages: str = ""


class Kitchen(NamedTuple):
    """The house and the catalogue a formula is judged with; ``results`` of their own files."""

    house: House
    catalogue: Catalogue
    results: tuple[Result, ...] = ()


def kitchen_for(path: str) -> Kitchen:
    """The kitchen of the nearest folder above ``path`` (a file) that holds a house.yaml.

    Without one: no house rules, and the built-in catalogue alone. House files are looked at anew each
    time, so that what was edited, came or went meanwhile is seen.
    """
    return Kitchens().of(path)


class Kitchens:
    """The kitchens of one run: a house file that is edited while it lasts waits for the next run."""

    def __init__(self) -> None:
        # Owner: the run. Bound: folders above formulas, without their own. Pays: all formulas ask for these.
        self._above: dict[str, Kitchen] = {}

    def of(self, path: str) -> Kitchen:
        """The kitchen of a file, as kitchen_for."""
        return self._at(os.path.dirname(absolute(path)))

    def _at(self, folder: str) -> Kitchen:
        if house := state_of(f"{folder}/{HOUSE_FILE}"):
            return _kitchen_at(folder, os.getcwd(), house, state_of(f"{folder}/{INGREDIENTS_FILE}"))
        above = os.path.dirname(folder)
        if above == folder or is_there(f"{folder}/.git"):
            return Kitchen(House(), built_in())
        if above not in self._above:
            self._above[above] = self._at(above)
        return self._above[above]


# Owner: the process. Bound: KITCHENS_KEPT. Pays: a kitchen's files are read once for all its formulas.
# Its key is the state of the files, and the working folder, from which results name them.
@lru_cache(maxsize=KITCHENS_KEPT)
def _kitchen_at(folder: str, here: str, house_file: FileState, ingredients: FileState) -> Kitchen:
    there = read_valid(f"{folder}/{INGREDIENTS_FILE}", "catalogue") if ingredients else (None, ())
    return _kitchen(read_valid(f"{folder}/{HOUSE_FILE}", "house"), there)


def kitchen_from(folder: str, house: bytes, ingredients: bytes | None) -> Kitchen:
    """The kitchen of a folder, were those the contents of its two files."""
    named = [display_path(f"{folder}/{name}") for name in (HOUSE_FILE, INGREDIENTS_FILE)]
    there = (
        (None, ()) if ingredients is None else valid_document(ingredients, named[1], "catalogue")
    )
    return _kitchen(valid_document(house, named[0], "house"), there)


def _kitchen(house_file: _Valid, ingredients: _Valid) -> Kitchen:
    """The kitchen of the two documents, either of which may be missing."""
    house, habit, said = House(), "", HouseSays()
    document, results = house_file
    if document:
        house = house_from(document.data)
        habit = document.data.get("cup-habit", "")
        said, wrong = _said(document)
        results += wrong
    catalogue = built_in().in_habit(habit).saying(said)
    document, found = ingredients
    if document:
        catalogue = with_house(catalogue, document.data["ingredients"])
    return Kitchen(house, catalogue, results + found)


def _said(document: Document) -> tuple[HouseSays, tuple[Result, ...]]:
    """Whose measures the house means and how it writes amounts, and what is wrong with its own units."""
    data = document.data
    units: tuple[tuple[str, Unit], ...] = ()
    results: tuple[Result, ...] = ()
    if data.get("units"):
        from perflour.kitchen.own_units import own_units  # only where a house has some

        try:
            units = own_units(data["units"])
        except ValueError as problem:
            results = (
                Result("own-unit-unreadable", "error", str(problem), document.place("units")),
            )
    customs = Customs(data.get("numbers", ""), units)
    return HouseSays(data.get("measures", ""), data.get("eggs", ""), customs), results


def read_valid(path: str, kind: Kind) -> _Valid:
    """The document of a file that is valid against its schema; else None and what is wrong."""
    shown = display_path(path)
    try:
        content = read(path)
    except (OSError, ValueError) as error:
        return None, (not_read(shown, cannot_be_read(error)),)
    return valid_document(content, shown, kind)


def valid_document(content: bytes, shown: str, kind: Kind) -> _Valid:
    """The document in a content that is valid against its schema; else None and what is wrong."""
    try:
        document = read_document(content, shown)
    except FileProblem as problem:
        return None, with_lines((problem.result(),), shown, content)
    results = with_lines(check_schema(document, kind), shown, content)
    return (None if results else document), results


def house_from(data: dict[str, Any]) -> House:
    """The house in a document that is valid against schema/house.schema.json."""
    classes = {
        name: ProductClass(entry.get("title", name), entry.get("baked", True), _windows(entry))
        for name, entry in data.get("classes", {}).items()
    }
    return House(
        name=data["house"],
        temperatures=data.get("temperatures", "any"),
        scale_resolution_g=data.get("scale-resolution", 1.0),
        yield_tolerance_percent=data.get("yield-tolerance", 5.0),
        declare_allergens=data.get("declare-allergens", False),
        classes=classes,
        levels=data.get("rules", {}),
        limits=data.get("limits", {}),
        review=data.get("review", {}),
        rule_pages=data.get("rule-pages", ""),
    )


def _windows(entry: dict[str, Any]) -> dict[str, Window]:
    return {
        name: Window(w["low"], w["high"], w.get("source", "house choice"), w.get("typical"))
        for name, w in entry.get("windows", {}).items()
    }
