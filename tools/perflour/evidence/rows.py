"""One row for each thing that was baked and judged: a test bake, or a sample of a tasting, with the revision it is of."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal

from perflour.evidence.figures import Figure, Setting
from perflour.evidence.thing import Thing
from perflour.result import Result

#: Percent of the basis that a figure may be too low by and still stand beside others: a pinch of yeast.
SHORT_BY = 1.0
#: Sections of what is on the list: what is not listed there is none.
LISTED = ("flour", "ingredient")
#: Where scores come from: a test bake, tasted with open eyes, or a blind tasting.
Source = Literal["bake", "tasting"]


@dataclass(frozen=True)
class Revision:
    """One exact revision that was baked. ``iteration`` is its number in the history, ``date`` that of its commit."""

    formula: str
    title: str
    product_class: str
    digest: str
    iteration: int
    figures: tuple[Figure, ...]
    settings: tuple[Setting, ...]

    @property
    def label(self) -> str:
        """How it is called among others."""
        return f"{self.formula} {self.iteration}"

    def values(self) -> dict[tuple[str, str], float | None]:
        """By section and name every figure that can stand beside others; None where it is short by more than ``SHORT_BY``."""
        by_name = {(figure.section, figure.name): figure for figure in self.figures}
        shares = {
            name: inf if figure.value is None else figure.value
            for (section, name), figure in by_name.items()
            if section in LISTED
        }
        return {
            key: None
            if sum(shares.get(name, inf) for name in figure.lacking) > SHORT_BY
            else figure.value
            for key, figure in by_name.items()
        }


@dataclass(frozen=True)
class Given:
    """What one taster gave one sample in one attribute, 1 to 9; in a ranking the place, 1 for the first."""

    taster: str
    attribute: str
    value: float


@dataclass(frozen=True)
class Sample:
    """One test bake, or one sample of a tasting.

    ``record`` is the name of its file without the ending; ``code`` the first blind code. ``measured`` holds the
    readings that could be read, ``unread`` the others as they stand. ``given`` are scores, ``ranks`` the places of
    a ranking (less is nearer the first), ``chosen`` how many of how many chose it.
    """

    revision: Revision
    source: Source
    record: str
    date: str
    code: str = ""
    baker: str = ""
    oven: str = ""
    bake: str = ""
    verdict: str = ""
    notes: str = ""
    measured: tuple[Figure, ...] = ()
    unread: tuple[str, ...] = ()
    given: tuple[Given, ...] = ()
    ranks: tuple[Given, ...] = ()
    chosen: tuple[int, int] | None = None

    @property
    def sitting(self) -> str:
        """What is judged side by side: one blind tasting, or the test bakes of a day."""
        return f"{self.source} {self.record if self.source == 'tasting' else self.date}"

    def mean(self, attribute: str) -> tuple[float, int] | None:
        """The mean of an attribute and the number of tasters; None where nobody gave it."""
        values = [g.value for g in self.given if g.attribute == attribute]
        return (sum(values) / len(values), len(values)) if values else None


@dataclass(frozen=True)
class Near:
    """Two revisions of one formula that differ in one thing, the earlier first; or that are the same: then ``thing`` is None."""

    first: Revision
    second: Revision
    thing: Thing | None


@dataclass(frozen=True)
class Lost:
    """A record of a revision that is not in the history: what was baked cannot be told."""

    formula: str
    record: str
    digest: str


@dataclass(frozen=True)
class Evidence:
    """All of it: samples by formula, date and record; formulas without any; records that say nothing, and why.

    ``paths`` are those of the formulas that were read; ``near`` is there where it was asked for.
    """

    samples: tuple[Sample, ...]
    unbaked: tuple[Revision, ...]
    lost: tuple[Lost, ...] = ()
    results: tuple[Result, ...] = ()
    paths: frozenset[str] = frozenset()
    near: tuple[Near, ...] = ()

    @property
    def attributes(self) -> tuple[str, ...]:
        """Everything that was scored, most often first, then by name."""
        counts: dict[str, int] = {}
        for sample in self.samples:
            for given in sample.given:
                counts[given.attribute] = counts.get(given.attribute, 0) + 1
        return tuple(sorted(counts, key=lambda name: (-counts[name], name)))

    @property
    def revisions(self) -> tuple[Revision, ...]:
        """The revisions that were baked or tasted, each once."""
        return tuple({(s.revision.formula, s.revision.digest): s.revision for s in self.samples}.values())  # fmt: skip
