"""The house file and the house's ingredients: one kitchen for all formulas under a folder."""

import os
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any, NamedTuple

from perflour.documents.reader import Document, read_document
from perflour.documents.schema import Kind, check_schema
from perflour.kitchen.catalogue import Catalogue, built_in, with_house
from perflour.result import FileProblem, Place, Result, with_lines
from perflour.system.paths import FOLDERS_KEPT, HOUSE_FILE, INGREDIENTS_FILE, absolute, display_path


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


class Kitchen(NamedTuple):
    """The house and the catalogue a formula is judged with; ``results`` of their own files."""

    house: House
    catalogue: Catalogue
    results: tuple[Result, ...] = ()


def kitchen_for(path: str) -> Kitchen:
    """The kitchen of the nearest folder above ``path`` (a file) that holds a house.yaml.

    Without one: no house rules, and the built-in catalogue alone.
    """
    return _kitchen_at(os.path.dirname(absolute(path)))


@lru_cache(maxsize=FOLDERS_KEPT)
def _kitchen_at(folder: str) -> Kitchen:
    # Most folders have neither; access says so without raising, at a third of the cost.
    if os.access(f"{folder}/{HOUSE_FILE}", os.F_OK) and os.path.isfile(f"{folder}/{HOUSE_FILE}"):
        return _read_kitchen(folder)
    above = os.path.dirname(folder)
    at_top = above == folder or os.access(f"{folder}/.git", os.F_OK)
    return Kitchen(House(), built_in()) if at_top else _kitchen_at(above)


def _read_kitchen(folder: str) -> Kitchen:
    house, habit = House(), ""
    document, results = read_valid(os.path.join(folder, HOUSE_FILE), "house")
    if document:
        house = house_from(document.data)
        habit = document.data.get("cup-habit", "")
    catalogue = built_in()._replace(cup_habit=habit)
    ingredients = os.path.join(folder, INGREDIENTS_FILE)
    if os.path.isfile(ingredients):
        document, found = read_valid(ingredients, "catalogue")
        if document:
            catalogue = with_house(catalogue, document.data["ingredients"])
        results += found
    return Kitchen(house, catalogue, results)


def read_valid(path: str, kind: Kind) -> tuple[Document | None, tuple[Result, ...]]:
    """The document of a file that is valid against its schema; else None and what is wrong."""
    shown = display_path(path)
    try:
        with open(path, "rb") as file:
            content = file.read()
    except OSError as error:
        message = f"cannot be read ({error.strerror}); check its rights"
        return None, (Result("broken-yaml", "error", message, Place(shown)),)
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
    )


def _windows(entry: dict[str, Any]) -> dict[str, Window]:
    return {
        name: Window(w["low"], w["high"], w.get("source", "house choice"), w.get("typical"))
        for name, w in entry.get("windows", {}).items()
    }
