"""What goes with what among things that were baked, in sentences that claim no cause."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from perflour.evidence.likely import Likely
from perflour.evidence.related import Pairing, Relation
from perflour.evidence.why import FEWEST, Level, Question, Why
from perflour.kitchen.figures import counted
from perflour.report.trials.figures import interval_text, p_text
from perflour.trials.means import ALPHA

if TYPE_CHECKING:
    from perflour.evidence.slopes import Slope

#: So many are named one by one.
MOST_NAMED = 6
MOST_ROWS = 12
NO_CAUSE = (
    "what goes together is told, never why: whoever wants a cause plans a trial, in which nothing else moves "
    "(`perflour trial plan`)"
)


def named(names: Sequence[str], most: int = MOST_NAMED) -> str:
    """Some names, and how many more there are."""
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")


def stands_on(found: Why) -> Iterator[str]:
    """What all of it is made from."""
    evidence = found.evidence
    formulas = {revision.formula for revision in evidence.revisions}
    tasters = {g.taster for sample in evidence.samples for g in (*sample.given, *sample.ranks)}
    sittings = {sample.sitting for sample in evidence.samples}
    yield (
        f"{counted(len(formulas), 'formula')} baked in {counted(len(evidence.revisions), 'revision')}, "
        f"{counted(len(evidence.samples), 'sample')} in {counted(len(sittings), 'sitting')}, "
        f"{counted(len(tasters), 'taster')}"
    )
    classes = {revision.product_class for revision in evidence.revisions}
    if len(classes) > 1:
        yield (
            f"of {len(classes)} product classes ({named(sorted(classes))}): what differs between them is the class "
            "first of all; name formulas of one class"
        )
    if evidence.unbaked:
        yield f"never baked here, so no score speaks of it: {named([r.formula for r in evidence.unbaked])}"


def cannot_tell(level: Level) -> Iterator[str]:
    """What these data leave open, before anything is said of what they show."""
    things = of_things(level)
    if level.together:
        yield from (pairing_text(pair, things) for pair in level.together[:MOST_NAMED])
        more = len(level.together) - MOST_NAMED
        told = f"; {counted(more, 'more pair')} moved so" if more > 0 else ""
        yield f"of two that moved so these data cannot tell which one a score goes with{told}"
    if level.alone:
        yield (
            f"{counted(len(level.alone), things[:-1], things)} had no sitting in common with another that they are "
            f"compared with ({named(level.alone, 3)}): a kind day and a good bake cannot be told apart there"
        )
    if level.relations.not_whole:
        yield (
            f"not looked at, as not known of every one: {named(level.relations.not_whole)}; "
            "`perflour evidence` says where"
        )
    if not level.relations.can_tell and level.relations.looks:
        yield (
            f"with so few {things} not even perfect order would be beyond chance "
            f"(p {p_text(level.relations.least_p)} at the least)"
        )


def pairing_text(pair: Pairing, things: str) -> str:
    """Two figures that these data can hardly part."""
    moved = "moved against each other" if pair.opposite else "moved together"
    return f"{pair.first} and {pair.second} {moved} in {pair.times} of {pair.things} {things}"


def of_things(level: Level) -> str:
    """What is counted: formulas, or revisions of one formula or of several."""
    return str(level.among)


def title(level: Level) -> str:
    """What the question is."""
    if level.among == "formulas":
        return f"Between {len(level.things)} formulas"
    families = {name.rpartition(" ")[0] for name in level.things}
    if len(families) == 1:
        return f"Within the history of {families.pop()}: {len(level.things)} revisions"
    return f"Within the histories of {len(families)} formulas: {len(level.things)} revisions, each held against its own"


def verdict(level: Level, question: Question) -> Iterator[str]:
    """What is beyond chance with all looks counted, or that nothing is."""
    found, things = level.relations, of_things(level)
    if not found.looks:
        yield f"nothing to hold against each other: no figure and no score moved in {FEWEST} {things} or more"
        return
    real = [one for one in found.found if one.is_real]
    for one in real:
        yield f"beyond chance: {relation_text(one)}"
    looks = counted(found.looks, "look")
    if not real:
        least = min((one.p_of_all for one in found.found), default=1.0)
        yield (
            f"nothing is beyond chance with {looks} counted: as strong a relation as the strongest here comes by chance "
            f"in {100 * least:.0f} of 100 sets without any"
        )
    else:
        yield f"each is held against the strongest of all {looks} in scores dealt anew: one such set in {round(1 / ALPHA)} says so by chance"
    shown = {(one.figure, one.outcome) for one in real}
    for slope in level.slopes:
        yield slope_text(slope, bool(question.figures), (slope.figure, slope.outcome) in shown)
    if level.no_slopes:
        yield f"how much of a score goes with it is not told: {level.no_slopes}"
    if strongest := next((o for o in found.found if not o.is_real and o.needed), None):
        yield (
            f"to show {strongest.figure} with {strongest.outcome}, if it is as strong as here, would take about "
            f"{strongest.needed} {things} with {looks} counted; fewer, if it alone is asked beforehand (`perflour why --figure`)"
        )


def relation_text(one: Relation) -> str:
    """A relation in words."""
    less = "less" if one.rank < 0 else "more"
    alike = f" (and with it {named(one.alike, 3)})" if one.alike else ""
    return (
        f"where there is more {one.figure}{alike}, there is {less} {one.outcome} "
        f"(rank correlation {one.rank:+.2f} over {one.things}, p {p_text(one.p_of_all)} with all looks counted)"
    )


def slope_text(slope: Slope, asked: bool, borne_out: bool) -> str:
    """How much of a score goes with one more unit of a figure."""
    held = f", {named(slope.held)} held" if slope.held else ""
    if slope.estimate is None:
        return f"{slope.figure} and {slope.outcome}{held}: no model of single scores can be fitted to so few"
    one = slope.estimate
    interval = interval_text(one.low, one.high)
    return (
        f"one more of {slope.figure}{held} goes with {one.value:+.2f} points of {slope.outcome} "
        f"({interval} with 19 chances in 20), tasters, sittings and bakes allowed for"
        f"{'' if asked else '; chosen after looking, such a figure is too hopeful'}"
        f"{'' if borne_out else '; that is a straight line and takes errors as normal: the ranks do not bear it out'}"
    )


def likely_text(one: Likely) -> str:
    """A published relation with its limits and source."""
    return f"more {one.figure}: {one.more}. Limits: {one.limits}. Source: {one.source}"
