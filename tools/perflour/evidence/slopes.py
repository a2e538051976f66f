"""How much of a score goes with how much of a figure, by the mixed model of single scores."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from perflour.evidence.leveled import Score
from perflour.evidence.mixed import Estimate, estimates
from perflour.evidence.related import Relation

#: So many things for each figure that is in a model: common practice, no source.
THINGS_A_FIGURE = 10
MOST_SLOPES = 8


@dataclass(frozen=True)
class Slope:
    """What one more unit of a figure goes with, in points of a score, tasters and sittings and bakes allowed for.

    ``held`` names figures that are in the model with it. ``estimate`` is None where no model could be fitted.
    """

    figure: str
    outcome: str
    held: tuple[str, ...]
    estimate: Estimate | None


def slopes(
    wanted: Sequence[Relation],
    scores: Mapping[str, Sequence[Score]],
    figures: Mapping[str, Sequence[float | None]],
    things: Sequence[str],
    family: Mapping[str, str],
) -> Iterator[Slope]:
    """One for each relation wanted; where things allow it a second with the other figures wanted of this score held."""
    for relation in wanted[:MOST_SLOPES]:
        rows = list(scores[relation.outcome])
        yield _slope(relation, (), rows, figures, things, family)
        room = len(things) // THINGS_A_FIGURE - 1
        others = [
            other.figure
            for other in wanted
            if other.outcome == relation.outcome and other.figure != relation.figure
        ][:room] if room > 0 else []  # fmt: skip
        if others:
            yield _slope(relation, tuple(others), rows, figures, things, family)


def _slope(
    relation: Relation,
    held: tuple[str, ...],
    rows: Sequence[Score],
    figures: Mapping[str, Sequence[float | None]],
    things: Sequence[str],
    family: Mapping[str, str],
) -> Slope:
    at = {thing: number for number, thing in enumerate(things)}
    columns = {
        name: [float(figures[name][at[row.thing]] or 0.0) for row in rows]
        for name in (relation.figure, *held)
    }
    there = {row.thing for row in rows}
    families = {family[thing] for thing in there}
    sittings = {row.sitting for row in rows}
    freedom = len(there) - len(families) - len(columns) - (len(sittings) - 1 if len(sittings) < len(there) else 0)  # fmt: skip
    if freedom < 1:
        return Slope(relation.figure, relation.outcome, held, None)
    groups = {
        "taster": [row.taster for row in rows],
        "sitting": [row.sitting for row in rows],
        "thing": [row.thing for row in rows],
        "formula": [family[row.thing] for row in rows],
    }
    found = estimates([row.value for row in rows], columns, groups, freedom)
    estimate = next(one for one in found[0] if one.name == relation.figure) if found else None
    return Slope(relation.figure, relation.outcome, held, estimate)
