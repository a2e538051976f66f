"""Outlines of formulas by product class: what such a thing is made of and how, from data/outlines.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from perflour.documents.reader import read_document
from perflour.documents.shipped import shipped
from perflour.kitchen.house import House, Window
from perflour.result import CannotRun, request_field
from perflour.system.nearest import advice

FILE = "outlines.yaml"
SOURCE = "common practice, no source"


@dataclass(frozen=True)
class OutlineLine:
    """An ingredient by ``percent`` of the flour, or by its ``share`` of a ratio the house has a window for."""

    item: str
    percent: float
    ratio: str = ""
    share: float = 1.0
    state: str = ""


@dataclass(frozen=True)
class Outline:
    """The usual make-up of one class; ``each_g`` is the scaling weight, ``method`` steps as in a formula."""

    name: str
    pieces: int
    piece: str
    each_g: float
    kind: str
    lines: tuple[OutlineLine, ...]
    method: tuple[Mapping[str, Any], ...]


@dataclass(frozen=True)
class OutlinePercent:
    """An ingredient in percent of the flour, and where the figure comes from."""

    line: OutlineLine
    percent: float
    source: str


def outlines() -> dict[str, Outline]:
    """Every outline by the name of its class."""
    return shipped(FILE, _outlines)


def _outlines(content: bytes) -> dict[str, Outline]:
    data = read_document(content, FILE).data["outlines"]
    return {
        name: Outline(
            name,
            entry["pieces"],
            entry["piece"],
            entry["each-g"],
            entry["kind"],
            tuple(OutlineLine(**line) for line in entry["ingredients"]),
            tuple(entry["method"]),
        )
        for name, entry in data.items()
    }


def outline_for(product_class: str, like: str, house: House) -> Outline:
    """The outline of a class, or of the one it is ``like``. Raises CannotRun."""
    if house.classes and product_class not in house.classes:
        raise CannotRun(
            f"'{product_class}' is no class of house.yaml; "
            + advice(product_class, house.classes, f"use one of {', '.join(sorted(house.classes))}")
        )
    wanted = like or product_class
    if wanted not in outlines():
        known = ", ".join(sorted(outlines()))
        near = advice(like, outlines(), f"say {request_field('like')} with one of {known}")
        raise CannotRun(f"'{wanted}' has no outline; {near}")
    return outlines()[wanted]


def outline_percents(outline: Outline, windows: Mapping[str, Window]) -> tuple[OutlinePercent, ...]:
    """The ingredients in percent of the flour by the windows of a class; what comes to nothing is left out."""
    found = (_percent(line, windows.get(line.ratio)) for line in outline.lines)
    return tuple(share for share in found if share.percent > 0)


def _percent(line: OutlineLine, window: Window | None) -> OutlinePercent:
    if window is None:
        return OutlinePercent(line, line.percent, SOURCE)
    middle = (window.low + window.high) / 2
    usual = middle if window.typical is None else window.typical
    return OutlinePercent(line, usual * line.share, window.source)
