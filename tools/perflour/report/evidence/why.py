"""Why formulas differ, as far as can be told: for a terminal, in Markdown, as data."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from perflour.evidence.pairs import PairScored
from perflour.evidence.why import Level, Question, Why
from perflour.report.evidence import likeness
from perflour.report.evidence.pair_words import pair_lines
from perflour.report.evidence.thing_words import thing_text
from perflour.report.evidence.why_words import (
    MOST_ROWS,
    NO_CAUSE,
    cannot_tell,
    likely_text,
    stands_on,
    title,
    verdict,
)
from perflour.report.form.sections import Section, sections_markdown, sections_text
from perflour.report.trials.figures import p_text
from perflour.trials.means import ALPHA

#: Of the JSON: one more for each change of a key or of what it means. schema/why.schema.json.
FORMAT = 1
TITLE = "Why these differ, as far as it can be told"


def why_text(found: Why) -> str:
    """What cannot be told first, then what goes with what."""
    return sections_text(TITLE, sections(found))


def why_markdown(found: Why) -> str:
    """The same in Markdown."""
    return sections_markdown(TITLE, sections(found))


def sections(found: Why) -> list[Section]:
    """One of what all stands on, two for each question."""
    made = [Section("What this stands on", after=(*stands_on(found), NO_CAUSE))]
    for level in found.levels:
        open_left = tuple(cannot_tell(level))
        if open_left:
            made.append(Section(f"{title(level)}: what cannot be told", after=open_left))
        made.append(_shown(level, found.question))
    for among, count in found.too_few:
        said = f"{count} {among} with scores or readings: too few to hold figures against scores"
        made.append(Section(f"Between {among}" if among == "formulas" else "Within histories", after=(said,)))  # fmt: skip
    if found.pairs:
        made.append(Section("Revisions that differ in one thing", after=tuple(pair_lines(found.pairs))))  # fmt: skip
    if found.likeness:
        made += likeness.sections(found.likeness, found.evidence)
    if found.likely:
        made.append(Section("What published work makes likely, elsewhere", after=tuple(map(likely_text, found.likely))))  # fmt: skip
    return made


def _shown(level: Level, question: Question) -> Section:
    rows = [
        (
            one.outcome,
            one.figure,
            f"{one.rank:+.2f}",
            str(one.things),
            p_text(one.p),
            p_text(one.p_of_all),
        )
        for one in level.relations.found[:MOST_ROWS]
    ]
    headers = ("what came of it", "figure", "rank corr.", level.among, "p alone", "p of all looks")
    more = len(level.relations.found) - len(rows)
    rest = (f"{more} weaker ones are in the JSON",) if more > 0 else ()
    return Section(
        f"{title(level)}: what goes with what",
        headers,
        tuple(rows),
        "<<>>>>",
        before=tuple(verdict(level, question)),
        after=rest,
    )


def why_json(found: Why) -> str:
    """All of it; valid against schema/why.schema.json."""
    data = {
        "format": FORMAT,
        "alpha": ALPHA,
        "asked": {
            "figures": list(found.question.figures),
            "outcomes": list(found.question.outcomes),
        },
        "formulas": sorted({r.formula for r in found.evidence.revisions}),
        "not_baked": [r.formula for r in found.evidence.unbaked],
        "questions": list(map(_level_data, found.levels)),
        "pairs": list(map(_pair_data, found.pairs)),
        "likeness": likeness.likeness_data(found.likeness) if found.likeness else None,
        "likely": [asdict(one) for one in found.likely],
        "too_few": [{"among": among, "count": count} for among, count in found.too_few],
        "in_words": [line for one in sections(found) for line in (*one.before, *one.after)],
    }
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _level_data(level: Level) -> dict[str, Any]:
    related = level.relations
    return {
        "among": level.among,
        "things": list(level.things),
        "without_partner": list(level.alone),
        "sittings": level.sittings,
        "scores": level.scores,
        "looks": related.looks,
        "deals": related.deals,
        "all_deals": related.is_exact,
        "least_p": related.least_p,
        "relations": [{**asdict(one), "is_real": one.is_real} for one in related.found],
        "moved_together": [asdict(pair) for pair in level.together],
        "not_known_of_all": list(related.not_whole),
        "never_moved": list(related.constant),
        "slopes": [asdict(slope) for slope in level.slopes],
    }


def _pair_data(pair: PairScored) -> dict[str, Any]:
    near = pair.near
    return {
        "formula": near.first.formula,
        "first": near.first.iteration,
        "second": near.second.iteration,
        "thing": thing_text(near.thing) if near.thing else None,
        "scores": [asdict(one) for one in pair.scores],
    }
