"""Who is near whom, in words, as tables, and as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from perflour.compare.odd_rates import ODD_RATES
from perflour.compare.outliers import BY_CHANCE_PERCENT
from perflour.evidence.likeness import Likeness
from perflour.evidence.maps import Axis, Branch
from perflour.evidence.rows import Evidence
from perflour.evidence.twins import Same
from perflour.kitchen.figures import percent
from perflour.report.evidence.thing_words import thing_text
from perflour.report.form.sections import Section

#: So many pairs, odd values and tree lines are told; the data hold all.
MOST_TOLD = 12
SAME_WORDS = {
    "equal": "are equal in all that counts",
    "scaled": "are the same in another batch size",
    "re-measured": "are the same, only measured otherwise",
}


def sections(found: Likeness, evidence: Evidence) -> list[Section]:
    """What sets the formulas apart, as their files are now; beside an odd value how the nearest without it baked."""
    made = [
        Section(
            "As the files are now: who is near whom",
            after=(*_widths(found), *_nearest(found), *_left_out(found)),
        )
    ]
    if one := [*map(_same, found.twins.groups), *_one_thing(found)]:
        made.append(Section("The same, or one thing apart", after=tuple(one)))
    made.append(Section("Odd values", after=tuple(_odd(found, evidence))))
    if found.map.axes:
        made.append(_map(found))
    made.append(Section("A tree: formulas below a line meet at so many widths", after=tuple(_tree(found.tree))))  # fmt: skip
    return made


def _widths(found: Likeness) -> Iterator[str]:
    by = {"window": [], "spread": []}  # type: dict[str, list[str]]
    for width in found.apart.widths:
        by[width.by].append(width.ratio)
    if by["window"]:
        yield f"distances count usual widths: 1 is as far as the whole window of the class is wide ({', '.join(by['window'])})"
    if by["spread"]:
        yield f"without a window, by the spread of these formulas: {', '.join(by['spread'])}"


def _nearest(found: Likeness) -> Iterator[str]:
    """The closest pair, and who is furthest from all others."""
    matrix, names = found.apart.matrix, found.apart.labels
    pairs = [
        (matrix[a][b], names[a], names[b])
        for a in range(len(names))
        for b in range(a + 1, len(names))
    ]
    close, far = min(pairs), max(pairs)
    yield f"nearest: {close[1]} and {close[2]}, {close[0]:.2f} widths apart"
    if len(names) > 2:
        yield f"furthest: {far[1]} and {far[2]}, {far[0]:.2f} widths apart"


def _left_out(found: Likeness) -> Iterator[str]:
    if found.apart.left_out:
        yield f"not on the map, as they share no known ratio with some other: {', '.join(found.apart.left_out)}"
    if found.apart.own_basis:
        yield f"in percent of a basis of their own, not of flour: {', '.join(found.apart.own_basis)}"
    for one in found.apart.not_known[:MOST_TOLD]:
        yield f"{one.label}: its {one.ratio} is not known whole ({', '.join(one.lacking)}) and left out"


def _same(one: Same) -> str:
    return f"{', '.join(one.labels)} {SAME_WORDS[one.way]}"


def _one_thing(found: Likeness) -> Iterator[str]:
    for pair in found.twins.one_thing[:MOST_TOLD]:
        yield f"{pair.first} and {pair.second} differ in one thing: {thing_text(pair.thing)}"
    more = len(found.twins.one_thing) - MOST_TOLD
    if more > 0:
        yield f"and {more} more pairs"


def _odd(found: Likeness, evidence: Evidence) -> Iterator[str]:
    for one in found.odd[:MOST_TOLD]:
        chance = "" if one.way == "median distance" else "; most values are alike, so nobody knows the chance of it"  # fmt: skip
        yield (
            f"{one.label}: {one.ratio} {percent(one.percent)} % stands far from the others{chance}. Nearest without it: "
            f"{one.nearest} with {percent(one.nearest_percent)} %, {one.distance:.2f} widths away in the rest, {_baked(one.nearest, evidence)}"
        )
    count = len(found.apart.labels)
    if count < ODD_RATES[0].values:
        yield f"{count} formulas: odd values are judged from {ODD_RATES[0].values} on"
    elif not found.odd:
        yield f"none in {len(found.apart.widths)} ratios; by chance alone {BY_CHANCE_PERCENT:g} in 100 would have one"
    else:
        yield f"by chance alone {BY_CHANCE_PERCENT:g} in 100 of the {len(found.apart.widths)} ratios would have one"


def _baked(label: str, evidence: Evidence) -> str:
    """How the newest revision of a formula that was scored came out."""
    own = [s for s in evidence.samples if s.revision.formula == label and s.given]
    if not own:
        return "never scored"
    last = max(own, key=lambda sample: (sample.revision.iteration, sample.date))
    names = dict.fromkeys(given.attribute for given in last.given)
    means = ((name, last.mean(name)) for name in names)
    told = ", ".join(f"{name} {mean[0]:.1f}" for name, mean in means if mean)
    return f"which scored {told} ({last.source} {last.record})"


def _map(found: Likeness) -> Section:
    axes = found.map.axes
    rows = tuple(
        (name, *(f"{axis.places[at]:+.2f}" for axis in axes))
        for at, name in enumerate(found.map.labels)
    )
    headers = ("formula", *(f"axis {number}" for number in range(1, len(axes) + 1)))
    told = [_axis(number, axis) for number, axis in enumerate(axes, 1)]
    if found.map.negative_share > 0.05:
        told.append(f"no flat map shows these distances exactly ({100 * found.map.negative_share:.0f} % of them are beyond it)")  # fmt: skip
    return Section(
        "A map, in usual widths", headers, rows, "<" + ">" * len(axes), after=tuple(told)
    )


def _axis(number: int, axis: Axis) -> str:
    made = [f"{'more' if m.correlation > 0 else 'less'} {m.ratio} ({m.correlation:+.2f})" for m in axis.made_of]  # fmt: skip
    said = ", ".join(made) if made else "no single ratio goes along with it"
    return (
        f"axis {number} holds {100 * axis.share:.0f} % of the squared distances; along it: {said}"
    )


def _tree(branch: Branch | str, depth: int = 0) -> Iterator[str]:
    if isinstance(branch, str):
        yield f"{'  ' * depth}{branch}"
        return
    yield f"{'  ' * depth}{branch.height:.2f} widths:"
    for part in branch.parts:
        yield from _tree(part, depth + 1)


def likeness_data(found: Likeness) -> dict[str, Any]:
    """All of it in values."""
    return {
        "formulas": list(found.apart.labels),
        "widths": [asdict(width) for width in found.apart.widths],
        "percents": [list(row) for row in found.apart.percents],
        "distances": [list(row) for row in found.apart.matrix],
        "not_known": [asdict(one) for one in found.apart.not_known],
        "left_out": list(found.apart.left_out),
        "same": [asdict(group) for group in found.twins.groups],
        "one_thing": [
            {"first": p.first, "second": p.second, "thing": thing_text(p.thing)}
            for p in found.twins.one_thing
        ],
        "odd": [asdict(one) for one in found.odd],
        "map": [
            {
                "places": list(axis.places),
                "share": axis.share,
                "made_of": [asdict(m) for m in axis.made_of],
            }
            for axis in found.map.axes
        ],
        "map_negative_share": found.map.negative_share,
        "tree": tree_data(found.tree),
    }


def tree_data(branch: Branch | str) -> dict[str, Any]:
    """A branch with its parts; a formula has no height."""
    if isinstance(branch, str):
        return {"formulas": [branch], "height": None, "parts": []}
    return {
        "formulas": list(branch.labels),
        "height": branch.height,
        "parts": [tree_data(part) for part in branch.parts],
    }
