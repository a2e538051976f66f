"""What published work makes likely when a ratio moves. No physics of our own: data/likely.yaml, each with source and limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from perflour.documents.reader import read_document
from perflour.documents.shipped import shipped


@dataclass(frozen=True)
class Likely:
    """More of ``figure`` goes with ``more``; of product classes with one of these words, of any where there are none."""

    figure: str
    classes: tuple[str, ...]
    more: str
    limits: str
    source: str

    def speaks_of(self, product_class: str) -> bool:
        """Whether the relation was seen on such a product."""
        words = product_class.split("-")
        return not self.classes or any(
            word == product_class or word in words for word in self.classes
        )


def published() -> tuple[Likely, ...]:
    """Every relation that has a source."""
    return shipped("likely.yaml", _read)


def likely(moved: Sequence[str], product_classes: Sequence[str]) -> tuple[Likely, ...]:
    """The relations that speak of a figure that moved, and of every class at hand."""
    return tuple(
        one
        for one in published()
        if one.figure in moved and all(map(one.speaks_of, product_classes))
    )


def _read(content: bytes) -> tuple[Likely, ...]:
    rows: list[dict[str, Any]] = read_document(content, "likely.yaml").data["relations"]
    return tuple(
        Likely(row["figure"], tuple(row["classes"]), row["more"], row["limits"], row["source"])
        for row in rows
    )
