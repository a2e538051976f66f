"""Changelogs as one HTML file that needs no network."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from typing import Any

from perflour.history.changelog import Changelog
from perflour.kitchen.figures import counted
from perflour.plain import one_line
from perflour.records.bake import Bake
from perflour.records.photos import shown_photo
from perflour.report.form.html_page import html_page
from perflour.report.history.changelogs import entries, heading, remarks, summary
from perflour.report.history.chart import iteration_chart
from perflour.report.history.events import event_lines, photo_path, story_lines
from perflour.system.paths import BAKES

#: Photos of one test bake in a page, which may hold hundreds of test bakes.
MOST_SHOWN = 6


def changelog_html(changelog: Changelog) -> str:
    """The section of one formula, to stand in the page of ``changelogs_page``. Text is escaped."""
    from markupsafe import Markup

    return html_page(
        "changelog_formula.html",
        id=changelog.id,
        title=one_line(changelog.title),
        summary=one_line(summary(changelog)),
        # made by a template of ours, which escapes its texts
        chart=Markup(iteration_chart(changelog.iterations)),
        iterations=[
            {
                "heading": one_line(heading(iteration)),
                "items": nested([*told, *event_lines(changelog, iteration)]),
                "photos": [photo for bake in iteration.bakes for photo in _photos(changelog, bake)],
            }
            for iteration, told in entries(changelog)
        ],
        story=[one_line(line) for line in story_lines(changelog)],
        remarks=[one_line(line) for line in remarks(changelog)],
    )


def _photos(changelog: Changelog, bake: Bake) -> Iterator[dict[str, Any]]:
    """The photos of a test bake in the page itself; one that cannot be shown with the reason."""
    from base64 import b64encode

    record = os.path.join(changelog.path.parent, BAKES, f"{bake.name}.yaml")
    for photo in bake.photos[:MOST_SHOWN]:
        alt = photo.alt or f"Photo of test bake {bake.name}, which nobody has put into words"
        told = {"alt": one_line(alt), "caption": one_line(photo.caption or photo_path(photo)), "of": bake.name}  # fmt: skip
        shown = shown_photo(record, photo)
        if isinstance(shown, str):
            yield {**told, "lacking": one_line(f"{photo_path(photo)} {shown}")}
            continue
        source = f"data:{shown.media_type};base64,{b64encode(shown.content).decode()}"
        yield {**told, "source": source, "width": shown.width, "height": shown.height}
    if (more := len(bake.photos) - MOST_SHOWN) > 0:
        yield {
            "of": bake.name,
            "lacking": f"{counted(more, 'more photo')}: named in the list above",
        }


def changelogs_page(blocks: Sequence[str]) -> str:
    """The page of some formulas, from their sections."""
    from markupsafe import Markup

    return html_page("changelog.html", blocks=[Markup(block) for block in blocks])


def nested(lines: Sequence[str]) -> list[dict[str, Any]]:
    """Lines as items, those that are indented below the one before them."""
    items: list[dict[str, Any]] = []
    for line in lines:
        said = one_line(line.strip())
        if line.startswith(" ") and items:
            items[-1]["below"].append(said)
        else:
            items.append({"text": said, "below": []})
    return items
