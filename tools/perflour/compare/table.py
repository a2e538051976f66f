"""Many formulas of one product side by side: rows of percentages, what they share, who is odd."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median

from perflour.balance.balance import Balance
from perflour.balance.gas import GAS
from perflour.balance.ratios import FINE_RATIOS, is_fine, ratios
from perflour.balance.spread import (
    Measures,
    Number,
    Uncertain,
    number_with,
    spread_of,
    uncertain,
    value_of,
)
from perflour.compare.bake_figures import STATED, Ends
from perflour.compare.collect import Collected, Compared
from perflour.compare.distances import Distances, distances
from perflour.compare.outliers import Outlier, Way, judged, steps_apart
from perflour.diff.difference import Difference, difference_between
from perflour.formula.formula import Formula
from perflour.formula.places import KINDS as KINDS_OF_PARTS
from perflour.kitchen.catalogue import Ingredient
from perflour.kitchen.house import ProductClass
from perflour.kitchen.names import fold
from perflour.plain import one_line
from perflour.result import CannotRun

# What ingredients do in a formula, in the trade's order, with the catalogue's groups of each.
KINDS = {
    "flour and starch": ("flour", "starch"),
    "sugar and syrup": ("sugar", "syrup"),
    "fat and oil": ("fat", "oil"),
    "egg": ("egg",),
    "liquid and dairy": ("liquid", "dairy"),
    "leavening": ("leavening",),
    "yeast": ("yeast",),
    "salt": ("salt",),
    "fruit": ("fruit",),
    "nut": ("nut",),
    "chocolate": ("chocolate",),
    "flavouring and spice": ("flavouring", "spice"),
    "other": ("other",),
}
_KIND_OF = {group: kind for kind, groups in KINDS.items() for group in groups}
_ORDER = {kind: at for at, kind in enumerate(KINDS)}
# Kinds that come in such small shares that two decimals matter.
FINE_KINDS = frozenset(("leavening", "yeast", "salt", "flavouring and spice"))
# A part beside the base that does not say its kind.
UNSAID = "topping or filling"
# The derived ratios that are not the sum of a kind.
SHOWN_RATIOS = ("hydration", "liquid", "total-water", "total-fat", "total-sugar", "cocoa", "yeast-instant", "prefermented-flour")  # fmt: skip


@dataclass(frozen=True)
class Column:
    """One formula with its numbers. ``label`` is its id, with its folder where two are alike."""

    label: str
    path: str
    balance: Balance
    numbers: Uncertain

    @property
    def formula(self) -> Formula:
        return self.balance.formula

    @property
    def basis_items(self) -> tuple[str, ...]:
        return tuple(line.name for line in self.balance.total if line.in_basis)

    @property
    def own_basis(self) -> bool:
        """Whether 100 % is something else than all flours."""
        return any(line.in_basis != _is_flour(line.ingredient) for line in self.balance.total)

    @property
    def not_weighed(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(weighed.name for weighed in self.balance.unweighed))


@dataclass(frozen=True)
class Cell:
    """One value in one formula. ``value`` None where there is none.

    ``too_low`` names what could not be counted in; ``ends`` are those of a range as written.
    """

    value: float | None
    spread: float = 0.0
    too_low: tuple[str, ...] = ()
    ends: tuple[float, float] | None = None


@dataclass(frozen=True)
class Row:
    """One thing compared over all formulas, with what they have in common.

    ``section`` is basis, ingredient, kind, ratio, beside, bake or batch: up to ratio all is of the base. ``count`` says how many formulas
    have it; ``outliers`` are positions of cells, looked for in the way of ``judged``; ``steps`` say of each cell how far
    it stands above or below the median.
    """

    section: str
    name: str
    kind: str
    unit: str
    fine: bool
    cells: tuple[Cell, ...]
    count: int
    median: float | None
    low: float | None
    high: float | None
    outliers: tuple[Outlier, ...]
    judged: Way = ""
    steps: tuple[int, ...] = ()

    @property
    def odd(self) -> frozenset[int]:
        """The positions of the outliers."""
        return frozenset(outlier.at for outlier in self.outliers)


@dataclass(frozen=True)
class SideBySide:
    """All of it. ``turn`` is what would turn the first formula into the one at ``target``.

    ``product`` is the class of the house that all of them are of; None where they are of several, or of none.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    distances: Distances
    target: int | None = None
    turn: Difference | None = None
    product: ProductClass | None = None


def side_by_side(collected: Collected) -> SideBySide:
    """Formulas compared. Raises CannotRun for fewer than two."""
    found = collected.formulas
    if len(found) < 2:
        named = f"only {found[0].shown} is left" if found else "no formula is left"
        raise CannotRun(f"{named} to compare; name two formulas or more, or their folder")
    measures = Measures()  # one cup for all of them
    columns = tuple(
        Column(label, one.shown, one.balance, uncertain(one.balance, measures, str(at)))
        for at, (label, one) in enumerate(zip(labels(found), found, strict=True))
    )
    kinds = list(_kind_rows(columns))
    rows = (
        _basis_row(columns),
        *_ingredient_rows(columns),
        *(row for row in kinds if row.count),
        *_ratio_rows(columns),
        *_beside_rows(columns),
        *_bake_rows(columns),
        *_batch_rows(columns),
    )
    points = [
        [cell.value or 0.0 for cell in each] for each in zip(*(r.cells for r in kinds), strict=True)
    ]
    apart = distances(points, [column.label for column in columns])
    target = collected.target
    turn = None if target is None else difference_between(found[0].balance, found[target].balance)
    products = [one.product for one in found]
    product = products[0] if all(one == products[0] for one in products) else None
    return SideBySide(columns, rows, apart, target, turn, product)


def labels(formulas: Sequence[Compared]) -> list[str]:
    """Ids; of two alike, as much of the ends of their paths as tells them apart."""
    ids = [one.balance.formula.id for one in formulas]
    counts = Counter(ids)
    tails = [_path_parts(one.path) for one in formulas]
    found = []
    for own_id, tail in zip(ids, tails, strict=True):
        alike = [t for i, t in zip(ids, tails, strict=True) if i == own_id]
        found.append(own_id if counts[own_id] == 1 else one_line(_told_apart(tail, alike, counts)))
    return found


def _path_parts(path: str) -> list[str]:
    return path.replace(os.sep, "/").removesuffix("/formula.yaml").split("/")


def _told_apart(parts: list[str], alike: list[list[str]], ids: Container[str]) -> str:
    """The shortest end of a path that no other of the formulas has, nor is an id itself."""
    for depth in range(1, len(parts)):
        label = "/".join(parts[-depth:])
        if label not in ids and sum(other[-depth:] == parts[-depth:] for other in alike) == 1:
            return label
    return "/".join(parts)


def ingredient_kind(ingredient: Ingredient | None) -> str:
    """What an ingredient does; `other` where it is not known."""
    return _KIND_OF.get(ingredient.group, "other") if ingredient else "other"


def _is_flour(ingredient: Ingredient | None) -> bool:
    return ingredient is not None and ingredient.counts_as == "flour"


def _row(
    section: str,
    name: str,
    numbers: Sequence[Number | None],
    *,
    kind: str = "",
    unit: str = "%",
    fine: bool = False,
    too_low: Sequence[tuple[str, ...]] = (),
    ends: Sequence[tuple[float, float] | None] = (),
    may_be_odd: bool = True,
) -> Row:
    """A row from its numbers; None is no value, an uncertain number brings its spread."""
    lacking = too_low or [()] * len(numbers)
    ranges = ends or [None] * len(numbers)
    cells = tuple(
        Cell(None if n is None else value_of(n), spread_of(n), tuple(low), between)
        for n, low, between in zip(numbers, lacking, ranges, strict=True)
    )
    values = [cell.value for cell in cells if cell.value is not None]
    middle = median(values) if values else None
    found = judged(numbers if may_be_odd else ())
    return Row(
        section,
        name,
        kind,
        unit,
        fine,
        cells,
        count=sum(bool(cell.value or cell.too_low) for cell in cells),
        median=middle,
        low=min(values, default=None),
        high=max(values, default=None),
        outliers=tuple(o for o in found.outliers if not _may_be_more(cells[o.at], middle)),
        judged=found.way,
        steps=tuple(
            0 if _may_be_more(c, middle) else n
            for c, n in zip(cells, steps_apart(numbers), strict=True)
        ),
    )


def _may_be_more(cell: Cell, middle: float | None) -> bool:
    """Whether a value is low only by what could not be counted in: nobody can call it odd."""
    return bool(cell.too_low and (cell.value or 0.0) < (middle or 0.0))


def _basis_row(columns: Sequence[Column]) -> Row:
    name = "basis" if any(column.own_basis for column in columns) else "flour basis"
    return _row("basis", name, [100.0 for _ in columns], too_low=_not_whole(columns))


def _not_whole(columns: Sequence[Column]) -> list[tuple[str, ...]]:
    return [column.balance.may_be_flour for column in columns]


def _ingredient_rows(columns: Sequence[Column]) -> list[Row]:
    """By kind, then what most formulas have first, then the largest first."""
    percents = [_percents(column) for column in columns]
    missing = [_missing(column) for column in columns]
    known: dict[str, list[tuple[str, str, bool]]] = {}
    for column in columns:
        for name, ingredient in _listed(column):
            about = (ingredient_kind(ingredient), name, is_fine(ingredient))
            known.setdefault(fold(name), []).append(about)
    rows = []
    for key, said in known.items():
        kind, name, fine = min(said, key=lambda about: (_ORDER[about[0]], about[1]))
        numbers = [share.get(key) for share in percents]
        too_low = [(name,) if key in without else () for without in missing]
        rows.append(
            _row("ingredient", one_line(name), numbers, kind=kind, fine=fine, too_low=too_low)
        )
    return sorted(rows, key=lambda r: (_ORDER[r.kind], -r.count, -(r.median or 0.0), r.name))


def _listed(column: Column) -> Iterator[tuple[str, Ingredient | None]]:
    """Every ingredient of a formula's base, with a mass or without."""
    yield from ((line.name, line.ingredient) for line in column.balance.total)
    yield from (
        (w.name, w.ingredient) for w in column.balance.unweighed_in_base if not w.line.is_part
    )


def _percents(column: Column) -> dict[str, Number]:
    """Percent of the basis of each ingredient of the base, by its folded name."""
    numbers = column.numbers
    percents: dict[str, Number] = {}
    for name, mass in numbers.totals.items():
        percents[fold(name)] = percents.get(fold(name), 0.0) + mass / numbers.basis_g * 100
    return percents


def _missing(column: Column) -> set[str]:
    return {fold(w.name) for w in column.balance.unweighed_in_base if not w.line.is_part}


def _kind_rows(columns: Sequence[Column]) -> Iterator[Row]:
    """The sum of each kind in every formula, leavening in gas; what a formula does not have counts as 0."""
    for kind in KINDS:
        numbers = [kind_sum(column, kind) for column in columns]
        too_low = [not_in_sum(column, kind) for column in columns]
        yield _row("kind", kind, numbers, kind=kind, fine=kind in FINE_KINDS, too_low=too_low)


def kind_sum(column: Column, kind: str) -> Number:
    numbers = column.numbers
    if kind == "leavening":  # soda and powder added gram for gram mean nothing
        return numbers.ratios[GAS]
    names = [line.name for line in column.balance.total if ingredient_kind(line.ingredient) == kind]
    return sum(numbers.totals[name] for name in names) / numbers.basis_g * 100 if names else 0.0


def not_in_sum(column: Column, kind: str) -> tuple[str, ...]:
    """Lines without a mass that belong to a kind, or may: unknown things may be anything."""
    names = (
        weighed.name
        for weighed in column.balance.unweighed_in_base
        if weighed.ingredient is None or ingredient_kind(weighed.ingredient) == kind
    )
    return tuple(dict.fromkeys(names))


def _ratio_rows(columns: Sequence[Column]) -> Iterator[Row]:
    found = [ratios(column.balance) for column in columns]
    for name in SHOWN_RATIOS:
        numbers = [column.numbers.ratios[name] for column in columns]
        too_low = [of[name].lacking for of in found]
        if any(map(value_of, numbers)):
            yield _row("ratio", name, numbers, fine=name in FINE_RATIOS, too_low=too_low)


def _beside_rows(columns: Sequence[Column]) -> Iterator[Row]:
    """How much topping, filling, icing there is for 100 g of the base, by kind of part."""
    masses = [_beside_masses(column) for column in columns]
    for kind in dict.fromkeys(kind for of in masses for kind in of):
        too_low = [tuple(w.name for w in column.balance.unweighed) for column in columns]
        numbers = [of.get(kind, 0.0) for of in masses]
        yield _row("beside", kind, numbers, unit="g", too_low=too_low)


def _beside_masses(column: Column) -> dict[str, Number]:
    """By kind the mass for 100 g of the base."""
    numbers = column.numbers
    each = {top: sum(masses.values()) for top, masses in numbers.beside.items()}
    base_g = numbers.batch_g - sum(each.values())
    found: dict[str, Number] = {}
    for one in column.balance.beside:
        kind = one.part.part.kind if one.part.part.kind in KINDS_OF_PARTS else UNSAID
        found[kind] = found.get(kind, 0.0) + each[fold(one.part.part.name)] / base_g * 100
    return found if column.balance.base_g else {}


def _bake_rows(columns: Sequence[Column]) -> Iterator[Row]:
    for name, unit, ends_of in STATED:
        ends = [ends_of(column.formula) for column in columns]
        if any(ends):
            yield _row("bake", name, [between(e) for e in ends], unit=unit, ends=ends)


def between(ends: Ends | None) -> Number | None:
    """The middle of a range, its spread that of a uniform one as in weighing."""
    if ends is None or ends[0] == ends[1]:
        return ends and ends[0]
    return number_with((ends[0] + ends[1]) / 2, (ends[1] - ends[0]) / 2 / sqrt(3))


def _batch_rows(columns: Sequence[Column]) -> Iterator[Row]:
    """Sizes of batches. How much somebody made at a time makes no formula odd, a piece may."""
    basis = [column.numbers.basis_g for column in columns]
    batch = [column.numbers.batch_g for column in columns]
    yields = [column.formula.yields for column in columns]
    pieces = [float(y.pieces) if y else None for y in yields]
    each = [whole / n if n else None for whole, n in zip(batch, pieces, strict=True)]
    lacking = [column.not_weighed for column in columns]
    if any(pieces):
        of_pieces = [names if n else () for names, n in zip(lacking, pieces, strict=True)]
        yield _row("batch", "mass per piece", each, unit="g", too_low=of_pieces)
        yield _row("batch", "pieces", pieces, unit="pieces", may_be_odd=False)
    yield _row("batch", "batch", batch, unit="g", too_low=lacking, may_be_odd=False)
    yield _row(
        "batch", "basis mass", basis, unit="g", too_low=_not_whole(columns), may_be_odd=False
    )
