"""The start page and the lists over all formulas: what waits, what changed last, every formula, every test bake."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from perflour.balance.ratios import FINE_RATIOS
from perflour.kitchen.figures import counted
from perflour.report.site.parts import (
    OF_EACH_BASE,
    Cell,
    Frame,
    Part,
    Text,
    formula_page,
    page,
    table,
)
from perflour.report.site.tables import percent_cell
from perflour.report.site.words import asked_for, readings, scores, waits
from perflour.site.summary import BakedOn, Made, Summary
from perflour.site.whole import Whole

MOST_NEWS = 15
#: What somebody has to do, in this order, with the title over those that wait for it.
OPEN = {
    "to-bake": "Waits for a test bake",
    "to-change": "Waits for a change",
    "rejected": "Rejected in its last bake",
    "to-approve": "Waits for approval",
    "approved-doubted": "Approved, and not kept in its last bake",
    "approved-unkept": "Approved, and no bake of it was kept",
    "unreadable": "Cannot be weighed",
}
#: The ratios that the list of formulas shows; the search knows all of them.
SHOWN = ("hydration", "total-fat", "total-sugar", "salt")
SEARCH_HELP = (
    "Words, or: sugar over 60 %, total-fat under 30, contains almond, without egg, class loaf, "
    "status approved; several with commas between them."
)


def start_pages(whole: Whole) -> Mapping[str, bytes]:
    """The start page, all formulas, all test bakes."""
    return {
        "index.html": _start(whole),
        "formulas/index.html": _formulas(whole),
        "bakes/index.html": _bakes(whole),
    }


def link(one: Summary, digest: str = "") -> Cell:
    """A formula's title, leading to its page."""
    return Cell(one.title, formula_page(one.slug, digest))


def _start(whole: Whole) -> bytes:
    title = whole.house or "Test kitchen"
    own = [one for one in whole.summaries if one.standing.waits != "reference"]
    said = f"{counted(len(own), 'formula')} of our own, {counted(len(whole.summaries) - len(own), 'reference')}, {counted(sum(len(one.bakes) for one in whole.summaries), 'test bake')}."
    frame = Frame("index.html", title, whole.house)
    return page(frame, [said], list(_start_parts(whole, own)), "site/start.html", help=SEARCH_HELP)


def _start_parts(whole: Whole, own: Sequence[Summary]) -> Iterator[Part]:
    for waiting, title in OPEN.items():
        found = [one for one in own if one.standing.waits == waiting]
        if found:
            rows = [_waiting(one) for one in found]
            heads = ("formula", "class", "iteration", "since", "what its last test bake asked for")
            asks = any(row[-1] for row in rows)
            shown = len(heads) if asks else len(heads) - 1
            listed = table(title, heads[:shown], "<<><<"[:shown], [row[:shown] for row in rows])
            yield Part(title, waiting, tables=(listed,))
    if not any(one.standing.waits in OPEN for one in own):
        yield Part(
            "Nothing waits",
            before=("Every formula of our own is approved on a test bake, or retired.",),
        )
    to_come = [one for one in whole.trials if one.listed.to_come]
    if to_come:
        lines = tuple(
            Cell(one.listed.trial.id, f"trials/{one.listed.trial.id}.html", note=f"{len(one.listed.to_come)} of {len(one.listed.trial.bakes)} bakes to come: {one.listed.trial.question}")
            for one in to_come
        )  # fmt: skip
        yield Part("Trials that are not done", "trials", lines)
    yield _changed_last(whole)
    if whole.problems:
        yield Part("What could not be read", "problems", before=whole.problems)


def _waiting(one: Summary) -> tuple[Text, ...]:
    standing = one.standing
    newest = one.made[-1] if one.made else None
    since = (newest.date or "not committed yet") if newest else ""
    return link(one), one.product, Cell(str(standing.iteration), value=standing.iteration), since, asked_for(standing)  # fmt: skip


def _changed_last(whole: Whole) -> Part:
    """The newest iterations of all formulas; what is not committed yet comes first."""
    news: list[tuple[Summary, Made]] = [(one, made) for one in whole.summaries for made in one.made]
    news.sort(key=lambda pair: (pair[1].date or "9999", pair[1].number), reverse=True)
    rows = [
        (
            link(one, made.digest),
            made.date or "not committed yet",
            Cell(f"iteration {made.number}", value=made.number),
            made.subject,
        )
        for one, made in news[:MOST_NEWS]
    ]
    left = len(news) - len(rows)
    after = (
        (f"{counted(left, 'older iteration')} on the pages of the formulas.",) if left > 0 else ()
    )
    heads = ("formula", "day", "iteration", "what changed, as it was committed")
    return Part(
        "Changed last",
        "changed",
        tables=(table("the newest iterations", heads, "<<<<", rows),),
        after=after,
    )


def _formulas(whole: Whole) -> bytes:
    rows = [_formula_row(one) for one in whole.summaries]
    heads = ("formula", "class", "status", "stands", "iterations", "bakes", *(f"{name.replace('-', ' ')} %" for name in SHOWN))  # fmt: skip
    listed = table("all formulas", heads, "<<<<>>>>>>", rows, sorts=True)
    frame = Frame("formulas/index.html", "Formulas", whole.house)
    known = {formula_page(one.slug): _found_by(one) for one in whole.summaries}
    return page(frame, [OF_EACH_BASE], [Part("", tables=(listed,))], "site/formulas.html", known=known, help=SEARCH_HELP)  # fmt: skip


def _formula_row(one: Summary) -> tuple[Text, ...]:
    return (
        link(one),
        one.product or one.product_class,
        one.status,
        waits(one.standing),
        Cell(str(len(one.made)), value=len(one.made)),
        Cell(str(len(one.bakes)), value=len(one.bakes)),
        *(ratio_cell(one, name) for name in SHOWN),
    )


def ratio_cell(one: Summary, name: str) -> Cell:
    """A ratio of a formula's base; empty where it has no flour to be held against."""
    value = dict(one.ratios).get(name)
    return percent_cell(value, name in FINE_RATIOS, name in one.not_known)


def _found_by(one: Summary) -> dict[str, Any]:
    """What the search of the page looks into."""
    words = (one.title, one.id, one.product, one.product_class, one.status, one.citation, waits(one.standing))  # fmt: skip
    return {
        "words": " ".join(words).casefold(),
        "class": f"{one.product} {one.product_class}".casefold(),
        "status": one.status,
        "ratios": {name: round(value, 4) for name, value in one.ratios},
        "items": [[used.name.casefold(), None if used.percent is None else round(used.percent, 4)] for used in one.used],
        "allergens": [name.casefold() for name in dict.fromkeys((*one.us, *one.eu))],
        "unknown": bool(one.allergens_not_known or not one.used),
    }  # fmt: skip


def _bakes(whole: Whole) -> bytes:
    found = [(one, bake) for one in whole.summaries for bake in one.bakes]
    found.sort(key=lambda pair: (pair[1].date, pair[1].name, pair[0].slug), reverse=True)
    rows = [_bake_row(one, bake) for one, bake in found]
    heads = ("formula", "day", "test bake", "iteration", "baker", "verdict", "tasters", "mean scores, 1 to 9", "measured")  # fmt: skip
    listed = table("all test bakes", heads, "<<<><<><<", rows, sorts=True)
    said = ["Every test bake of the formulas, the newest first; bakes of trials stand on the trials' pages."]  # fmt: skip
    frame = Frame("bakes/index.html", "Test bakes", whole.house)
    return page(frame, said, [Part("", tables=(listed,))])


def _bake_row(one: Summary, bake: BakedOn) -> tuple[Text, ...]:
    at = Cell(str(bake.iteration), formula_page(one.slug, bake.of), bake.iteration) if bake.iteration else Cell("not in the history")  # fmt: skip
    return (
        link(one),
        bake.date,
        bake.name,
        at,
        bake.baker,
        bake.verdict,
        Cell(str(bake.tasters), value=bake.tasters) if bake.tasters else "",
        scores(bake.scores),
        readings(bake.measured),
    )
