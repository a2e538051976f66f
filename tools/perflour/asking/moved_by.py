"""Which changes of a changelog are about a figure: what moved it, and what was done to it under another name."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence

from perflour.asking.figures import Figure
from perflour.balance.balance import Balance
from perflour.balance.ratios import BY_COMPOSITION, PREFERMENTED, ratio_masses
from perflour.compare.table import ingredient_kind
from perflour.diff.change import Change, MassChange, StepChange
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.names import fold
from perflour.records.trial import setting_named

#: Kinds that say the batch or the piece became another.
OF_SIZE = frozenset(("batch-scaled", "yield", "mass-per-piece", "piece-unknown"))
#: Which fields of an oven's step are the figure.
FIELDS = {"oven": ("at", "to"), "bake time": ("for",), "core": ("core",)}
#: What makes 100 % another, and so every percentage.
OF_BASIS = frozenset(("basis", "basis-named", "basis-short", "basis-unknown"))


def about(
    figures: Sequence[Figure],
    changes: Iterable[Change],
    before: Balance | None,
    after: Balance | None,
    catalogue: Catalogue,
) -> tuple[Change, ...]:
    """The changes that are about a figure, which may have had several names, in their order."""
    names = frozenset(name for figure in figures for name in _foods(figure, (before, after)))
    figure = figures[0]
    if figure.kind in ("bake", "step"):
        return tuple(c for c in changes if _is_setting(figure, c))
    if figure.kind == "batch":
        return tuple(c for c in changes if c.kind in OF_SIZE or (figure.name == "basis mass" and c.kind in OF_BASIS))  # fmt: skip
    main = catalogue.main_name
    beside = {fold(p.part.name) for b in (before, after) if b for p in b.parts if not p.in_base}
    return tuple(
        c for c in changes if _is_of(figure, c, names, main) and _is_where(figure, c, beside)
    )


def _is_where(figure: Figure, change: Change, beside: Collection[str]) -> bool:
    """Whether a change is in the part that a figure is of: the base, where it names none."""
    parts = {fold(getattr(change, key, "")) for key in ("part", "part_before")} - {""}
    if figure.part:
        return not parts or fold(figure.part) in parts
    return not parts or not parts.issubset(beside)


def _foods(figure: Figure, balances: Iterable[Balance | None]) -> Iterable[str]:
    """The folded names of the ingredients that make a figure up."""
    if figure.kind == "ingredient":
        yield fold(figure.name)
        return
    by_mass = figure.kind == "ratio" and figure.name not in (*BY_COMPOSITION, PREFERMENTED)
    for balance in filter(None, balances):
        if by_mass:
            yield from (fold(line.name) for line, _ in ratio_masses(balance.total, figure.name))
        elif figure.kind == "kind":
            yield from (
                fold(line.name)
                for line in balance.total
                if ingredient_kind(line.ingredient) == figure.name
            )


def _is_of(
    figure: Figure, change: Change, names: frozenset[str], main: Callable[[str], str]
) -> bool:
    if change.kind in OF_BASIS:
        return True
    if isinstance(change, StepChange):
        return False
    if figure.kind == "ratio" and change.subject == figure.name:
        return True
    if isinstance(change, MassChange) or change.kind in ("note", "lines-not-compared"):
        return False
    said = [change.subject, getattr(change, "subject_before", "")]
    if change.kind == "renamed":
        said += [change.text_before, change.text_after]  # type: ignore[union-attr]
    for side in ("lines_before", "lines_after"):
        said += [line.item for line in getattr(change, side, ())]
    return any(main(item) in names for item in said if item)


def _is_setting(figure: Figure, change: Change) -> bool:
    """Whether a change is about what a step says."""
    if not isinstance(change, StepChange):
        return change.kind in ("step-added", "step-removed") and _names_step(figure, change)
    if figure.kind == "bake":
        of_oven = change.is_of_oven if figure.name == "oven" else change.kind == "bake"
        return of_oven and change.field in FIELDS[figure.name]
    called = setting_named(figure.name)
    return bool(
        called and change.field == called.field and fold(change.verb).startswith(called.verb)
    )


def _names_step(figure: Figure, change: Change) -> bool:
    do = "bake" if figure.kind == "bake" else figure.name.split()[0]
    texts = (change.subject, getattr(change, "text_before", ""), getattr(change, "text_after", ""))
    return any(fold(text).startswith(do) for text in texts)
