"""The pages of one formula: as it is now, and each of its revisions."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from perflour.balance.contents import Contents
from perflour.history.iterations import Iteration
from perflour.kitchen.figures import counted
from perflour.plain import one_line
from perflour.records.bake import Bake
from perflour.report.contents import LABELS, figure_texts, leavening_words, shown_figures
from perflour.report.history.changelogs import entries, heading, remarks, summary
from perflour.report.history.events import event_lines, story_lines
from perflour.report.history.html import nested
from perflour.report.site import tables
from perflour.report.site.parts import (
    Cell,
    Frame,
    Part,
    Picture,
    Table,
    Text,
    formula_page,
    page,
    table,
)
from perflour.report.site.words import readings, scores, standing_lines
from perflour.site.build import slug
from perflour.site.of_formula import OfFormula, OfPhoto, OfRevision
from perflour.system.pictures import ScaledPhoto

#: So many of the newest iterations are told in full on the page of a formula.
MOST_IN_FULL = 3
Lines = tuple[dict[str, Any], ...]
ABOVE = Cell("Formulas", "formulas/index.html")


def formula_pages(of: OfFormula) -> Mapping[str, bytes]:
    """Every page of a formula by its address."""
    lines = _told(of)
    pages = {formula_page(of.slug): _formula(of, lines)}
    pages |= {
        _address(one.shown): one.shown.content
        for one in of.photos
        if not isinstance(one.shown, str)
    }
    for revision in of.revisions:
        pages[formula_page(of.slug, revision.digest)] = _revision(of, revision, lines)
    return pages


def _address(shown: ScaledPhoto) -> str:
    """Where a picture is kept: by its bytes, so that the same one is there once."""
    ending = shown.media_type.rpartition("/")[2]
    return f"photos/{hashlib.sha256(shown.content).hexdigest()[:24]}.{ending}"


def _pictures(photos: Iterable[OfPhoto]) -> Iterator[Picture]:
    for one in photos:
        caption = f"Test bake {one.bake}: {one.photo.caption or one.photo.file}"
        if isinstance(one.shown, str):
            yield Picture("", "", caption, lacking=one.shown)
            continue
        alt = one.photo.alt or f"Photo of test bake {one.bake}, which nobody has put into words"
        yield Picture(_address(one.shown), alt, caption, one.shown.width, one.shown.height)


def _formula(of: OfFormula, lines: Mapping[int, Lines]) -> bytes:
    frame = Frame(formula_page(of.slug), one_line(of.changelog.title), of.house, (ABOVE,))
    return page(frame, list(_said(of)), list(_parts(of, lines)))


def _said(of: OfFormula) -> Iterator[Text]:
    changelog, table_now = of.changelog, of.table
    product = of.product or (table_now.formula.product_class if table_now else "")
    known = filter(None, (product, changelog.status or "unreadable", changelog.id))
    revision = table_now.digest if table_now else ""
    yield Cell(", ".join(known), note=f"revision {revision}; {of.path}" if revision else of.path)
    yield from standing_lines(of.standing)
    if table_now and table_now.formula.citation:
        yield f"Source: {table_now.formula.citation}"
    if table_now and table_now.formula.notes:
        yield table_now.formula.notes


def _parts(of: OfFormula, lines: Mapping[int, Lines]) -> Iterator[Part]:
    if of.results:
        wrong = tuple(f"{result.place}: {result.message}" for result in of.results)
        yield Part("What is wrong", before=wrong)
    if of.table and of.contents:
        yield from _weighed(of, of.contents)
    if of.photos:
        yield Part("Photos", "photos", pictures=tuple(_pictures(of.photos)))
    yield from _history(of, lines)
    yield Part("Read on", "read-on", tuple(_read_on(of)))
    yield from _cautions(of)


def _weighed(of: OfFormula, held: Contents) -> Iterator[Part]:
    assert of.table
    own = of.table
    sheets: list[Table] = [tables.by_part(own, of.resolution_g)]
    if any(part.kind == "preferment" for part in own.parts):
        sheets.append(
            tables.in_all(f"{own.base} in all, every ingredient once", own.total, of.resolution_g)
        )
    yield Part(
        "Formula", "formula", tables=tuple(sheets), after=tuple(tables.sizes(own, of.resolution_g))
    )
    if of.method:
        yield Part("Method", "method", steps=of.method)
    if own.ratios:
        judged = tables.ratios(own, of.windows, of.product)
        sources = dict.fromkeys(one.window.source for one in of.windows)
        windows = [f"The usual windows are those of {of.product}: {'; '.join(sources)}. Outside one is no fault, but a reason to look."] if sources else []  # fmt: skip
        yield Part("Ratios", "ratios", (f"In percent of {own.of}.", *windows), (judged,))
    yield Part(
        "What it holds",
        "contents",
        (f"The batch before the oven; percent of {held.of}, of what the {held.base} alone holds.",),
        (_contents(held),),
        after=(*leavening_words(held.leavening, held.of), *(c.text for c in held.limits)),
    )
    yield Part("Allergens", "allergens", tuple(_allergens(held)), quiet=True)


def _contents(held: Contents) -> Table:
    rows: list[tuple[Text, ...]] = []
    for figure in shown_figures(held):
        lacking = f"more: {', '.join(figure.lacking)} not counted" if figure.lacking else ""
        rows.append((Cell(LABELS[figure.name].strip(), note=lacking), *figure_texts(figure)))
    heads = ("g", "batch", "a piece", "in 100 g", "% of base")
    return table("what the batch holds", heads, "<>>>>", rows)


def _allergens(held: Contents) -> Iterator[str]:
    """By both lists; what is not known, and what no list covers."""
    found = held.allergens
    for law, brought in (("US list", found.us), ("EU list", found.eu)):
        said = "; ".join(f"{one.allergen} ({', '.join(one.by)})" for one in brought)
        yield f"By the {law}: {said or 'none by what is known here'}."
    if found.not_known:
        yield f"Not known: {', '.join(found.not_known)}."


def _history(of: OfFormula, lines: Mapping[int, Lines]) -> Iterator[Part]:
    from markupsafe import Markup

    from perflour.report.history.chart import iteration_chart

    changelog = of.changelog
    rows = [_iteration_row(of, iteration) for iteration in reversed(changelog.iterations)]
    heads = ("iteration", "day", "what changed, as it was committed", "test bakes")
    yield Part(
        "History",
        "history",
        (f"{one_line(summary(changelog))}.",),
        (table("iterations, the newest first", heads, "<<<<", rows),),
        tuple(nested(list(story_lines(changelog)))),
        markup=Markup(
            iteration_chart(changelog.iterations)
        ),  # our own drawing, every text in it escaped
    )
    for iteration in changelog.iterations[: -MOST_IN_FULL - 1 : -1]:
        yield Part(
            heading(iteration), f"iteration-{iteration.number}", items=lines[iteration.number]
        )
    if (older := len(changelog.iterations) - MOST_IN_FULL) > 0:
        yield Part(
            "",
            before=(
                f"{counted(older, 'older iteration')} in full on the pages of their revisions: see the table above.",
            ),
        )
    if left := [one_line(line) for line in remarks(changelog)]:
        yield Part("Of no iteration", "apart", before=tuple(left))


def _read_on(of: OfFormula) -> Iterator[Text]:
    """The pages beside this one: its trials, and those of its class."""
    for told in of.changelog.trials:
        trial = told.trial
        yield Cell(f"Trial {trial.id}", f"trials/{slug(trial.id)}.html", note=trial.question)
    yield Cell("Side by side with others", "compare/index.html")
    yield Cell("What was baked and judged, and what goes with what", "evidence/index.html")


def _told(of: OfFormula) -> dict[int, Lines]:
    """By iteration all that is said of it: changes, test bakes, tastings, approvals."""
    changelog = of.changelog
    return {
        iteration.number: tuple(nested([*told, *event_lines(changelog, iteration)]))
        for iteration, told in entries(changelog)
    }


def _iteration_row(of: OfFormula, iteration: Iteration) -> tuple[Text, ...]:
    commit = iteration.commit
    to = formula_page(of.slug, iteration.digest) if iteration.digest else ""
    bakes = ", ".join(f"{bake.name}: {bake.verdict}" for bake in iteration.bakes)
    return (
        Cell(f"iteration {iteration.number}", to, iteration.number),
        commit.date if commit else "not committed yet",
        commit.subject if commit else "",
        bakes,
    )


def _cautions(of: OfFormula) -> Iterator[Part]:
    """Once, at the end, in plain text."""
    if of.contents:
        said = tuple(dict.fromkeys(caution.text for caution in of.cautions))
        yield Part("Cautions", "cautions", before=said, quiet=True)


def _revision(of: OfFormula, revision: OfRevision, lines: Mapping[int, Lines]) -> bytes:
    title = f"{one_line(of.changelog.title)}, revision {revision.digest}"
    trail = (ABOVE, Cell(one_line(of.changelog.title), formula_page(of.slug)))
    frame = Frame(formula_page(of.slug, revision.digest), title, of.house, trail)
    newest = of.table is not None and of.table.digest == revision.digest
    numbers = ", ".join(str(i.number) for i in revision.iterations)
    said = [f"Iteration {numbers} of {counted(len(of.changelog.iterations), 'iteration')}."]
    said.append("This is the formula as it is now." if newest else "The formula has moved on since; see the newest.")  # fmt: skip
    return page(frame, said, list(_revision_parts(of, revision, lines)))


def _revision_parts(
    of: OfFormula, revision: OfRevision, lines: Mapping[int, Lines]
) -> Iterator[Part]:
    own = revision.table
    if own:
        after = tuple(tables.sizes(own, of.resolution_g))
        yield Part(
            "Formula", "formula", tables=(tables.by_part(own, of.resolution_g),), after=after
        )
        if own.ratios:
            said = (f"In percent of {own.of}.",)
            yield Part("Ratios", "ratios", said, (tables.ratios(own, (), ""),))
    else:
        yield Part("Formula", before=("It cannot be weighed today.",))
    for iteration in revision.iterations:
        yield Part(
            heading(iteration), f"iteration-{iteration.number}", items=lines[iteration.number]
        )
    if bakes := revision.iterations[-1].bakes:
        photos = (one for one in of.photos if one.revision == revision.digest)
        yield Part(
            "Test bakes", "bakes", tables=(_bakes(bakes),), pictures=tuple(_pictures(photos))
        )


def _bakes(bakes: tuple[Bake, ...]) -> Table:
    rows: list[tuple[Text, ...]] = []
    for bake in bakes:
        tasters = str(bake.tasters) if bake.tasters else ""
        rows.append((bake.name, bake.date, bake.baker, bake.verdict, tasters, scores(bake.scores), readings(bake.measured), bake.notes))  # fmt: skip
    heads = ("test bake", "day", "baker", "verdict", "tasters", "mean scores, 1 to 9", "measured", "notes")  # fmt: skip
    return table("test bakes of this revision", heads, "<<<<><<<", rows)
