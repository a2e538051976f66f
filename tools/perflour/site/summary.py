"""What the pages over all formulas tell of each, in few values that are kept between runs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from perflour.balance.allergens import Brought
from perflour.site.of_formula import OfFormula
from perflour.site.standing import Standing


class Used(NamedTuple):
    """An ingredient of a formula: all of it together in g, and percent of all flour; None where not known."""

    name: str
    mass_g: float
    percent: float | None
    fine: bool
    us: tuple[str, ...]
    eu: tuple[str, ...]


class Made(NamedTuple):
    """An iteration as the newest changes list it; ``date`` is empty where it is not committed."""

    number: int
    date: str
    subject: str
    digest: str


class BakedOn(NamedTuple):
    """A test bake in a list: its record, its revision, and what came of it."""

    name: str
    date: str
    of: str
    iteration: int
    baker: str
    verdict: str
    tasters: int
    scores: tuple[tuple[str, float], ...]
    measured: tuple[tuple[str, str], ...]


class Summary(NamedTuple):
    """One formula among all. ``ratios`` are in percent of the flour of its base, ``not_known`` those that may be more.

    ``trials`` are the records of those planned of it.
    """

    slug: str
    id: str
    title: str
    product_class: str
    product: str
    status: str
    citation: str
    standing: Standing
    made: tuple[Made, ...]
    bakes: tuple[BakedOn, ...]
    ratios: tuple[tuple[str, float], ...]
    not_known: tuple[str, ...]
    used: tuple[Used, ...]
    us: tuple[str, ...]
    eu: tuple[str, ...]
    allergens_not_known: tuple[str, ...]
    wrong: tuple[str, ...]
    trials: tuple[str, ...] = ()


def summary(of: OfFormula) -> Summary:
    """The few values of one formula."""
    changelog, table, held = of.changelog, of.table, of.contents
    formula = table.formula if table else None
    found = held.allergens if held else None
    return Summary(
        slug=of.slug,
        id=changelog.id,
        title=changelog.title,
        product_class=formula.product_class if formula else "",
        product=of.product,
        status=changelog.status or "unreadable",
        citation=formula.citation if formula else "",
        standing=of.standing,
        made=tuple(_made(of)),
        bakes=tuple(_baked(of)),
        ratios=tuple((r.name, r.percent) for r in table.ratios) if table else (),
        not_known=tuple(r.name for r in table.ratios if r.lacking) if table else (),
        used=tuple(_used(of)),
        us=tuple(one.allergen for one in found.us) if found else (),
        eu=tuple(one.allergen for one in found.eu) if found else (),
        allergens_not_known=found.not_known if found else (),
        wrong=tuple(f"{one.place}: {one.message}" for one in of.results),
        trials=tuple(told.path for told in changelog.trials),
    )


def _made(of: OfFormula) -> list[Made]:
    return [
        Made(i.number, i.commit.date if i.commit else "", i.commit.subject if i.commit else "", i.digest)
        for i in of.changelog.iterations
    ]  # fmt: skip


def _baked(of: OfFormula) -> list[BakedOn]:
    """Every test bake once, at the newest iteration that it is of."""
    at = {bake: i for i in of.changelog.iterations for bake in i.bakes}
    told = [(bake, i.number, i.digest) for bake, i in at.items()]
    told += [(bake, 0, "") for bake in of.changelog.loose_bakes]
    return [
        BakedOn(b.name, b.date, digest, n, b.baker, b.verdict, b.tasters, b.scores, b.measured)
        for b, n, digest in sorted(told, key=lambda one: (one[0].date, one[0].name))
    ]


def _used(of: OfFormula) -> list[Used]:
    if not of.table or not of.contents:
        return []
    found = of.contents.allergens
    us, eu = _by_name(found.us), _by_name(found.eu)
    return [
        Used(
            line.item,
            line.mass_g,
            line.percent,
            line.fine,
            us.get(line.item, ()),
            eu.get(line.item, ()),
        )
        for line in of.table.everything
    ]


def _by_name(found: Sequence[Brought]) -> dict[str, tuple[str, ...]]:
    """The allergens of each ingredient, in the order of the law's list."""
    names = dict.fromkeys(name for one in found for name in one.by)
    return {name: tuple(one.allergen for one in found if name in one.by) for name in names}


def summary_row(told: Summary) -> list[object]:
    """A summary as what a row of JSON holds."""
    return list(told)


def summary_from(row: list[object]) -> Summary:
    """The summary in a row. Raises TypeError or ValueError where it is not one."""
    told = Summary._make(_frozen(value) for value in row)
    return told._replace(
        standing=Standing._make(told.standing),
        made=tuple(map(Made._make, told.made)),
        bakes=tuple(map(BakedOn._make, told.bakes)),
        used=tuple(map(Used._make, told.used)),
    )


def _frozen(value: object) -> object:
    return tuple(map(_frozen, value)) if isinstance(value, list) else value
