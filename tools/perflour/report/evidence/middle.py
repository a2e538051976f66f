"""The middle of several formulas in words and as data."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from perflour.balance.ratios import FINE_RATIOS
from perflour.compare.table import FINE_KINDS
from perflour.evidence.best import Scored
from perflour.evidence.middle import BakeMiddle, Middle, RatioSpread
from perflour.evidence.middle_file import MiddleFile
from perflour.evidence.middle_percents import BASIS, LeftOut, MiddlePercent
from perflour.kitchen.figures import percent
from perflour.plain import one_line
from perflour.report.compare.table import ABSENT, TOO_LOW
from perflour.report.form.columns import columns, wrap
from perflour.system.paths import display_path
from perflour.system.terminal import width

#: Of the JSON: one more for each change of a key or of what it means. schema/middle.schema.json.
FORMAT = 1
KINDS_RULE = (
    "flours together are 100 %; sugars and syrups, fats and oils, eggs, milk and water, leavening (by its gas), yeast "
    "(as instant), salts and nuts are each together what their kind is in the middle, so what is "
    "left out of a kind is made up by the others of it"
)
_WHY = {
    "basis not whole": "its 100 % cannot be weighed whole",
    "another basis": "its percentages are of something else than those of most",
}


def middle_text(
    made: Middle,
    scores: Sequence[Scored] = (),
    attribute: str = "",
    written: MiddleFile | None = None,
) -> str:
    """What the middle is, of which formulas, each ratio's spread, where ours stands, what was left out."""
    room = width()
    blocks = [
        _wrapped(_title(made, attribute), room),
        [line for text in _parents(made, scores) for line in _hung(text, room)],
        _percent_lines(made.percents, len(made.parents)),
        [line for text in _percent_notes(made) for line in _wrapped(text, room)],
        _ratio_lines(made),
        [line for text in _ratio_notes(made) for line in _wrapped(text, room)],
        [line for text in (*_bake(made), *_nearest(made)) for line in _wrapped(text, room)],
        [line for text in _file_notes(written) for line in _wrapped(text, room)],
    ]
    return "\n\n".join("\n".join(lines) for lines in blocks if lines) + "\n"


def middle_json(
    made: Middle,
    scores: Sequence[Scored] = (),
    attribute: str = "",
    written: MiddleFile | None = None,
) -> str:
    """All of it in exact values; valid against schema/middle.schema.json."""
    data = {
        "format": FORMAT,
        "way": made.way,
        "scored_by": attribute or None,
        "scores": [{"label": s.label, "mean": s.mean, "bakes": s.bakes} for s in scores],
        "formulas": [asdict(parent) for parent in made.parents],
        "not_counted": [asdict(one) for one in made.not_counted],
        "basis": list(made.basis) or None,
        "percents": [asdict(one) for one in made.percents],
        "left_out": [asdict(one) for one in made.left_out],
        "kinds_missing": [asdict(one) for one in made.kinds_missing],
        "ours": made.ours_label or None,
        "ratios": [asdict(one) for one in made.ratios],
        "beside": [asdict(one) for one in made.beside],
        "nearest": made.nearest_label,
        "distance": made.distance,
        "oven": _bake_data(made.oven),
        "bake_time": _bake_data(made.bake_time),
        "written": _file_data(written),
    }
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _bake_data(bake: BakeMiddle | None) -> dict[str, Any] | None:
    return asdict(bake) if bake else None


def _file_data(written: MiddleFile | None) -> dict[str, Any] | None:
    if written is None:
        return None
    return {
        "path": display_path(str(written.path)),
        "parts_are_one": written.flattened,
        "without_step": list(written.without_step),
        "placed": list(written.placed),
        "left_parts": list(written.left_parts),
    }


def _title(made: Middle, attribute: str) -> str:
    number = len(made.parents)
    of = "1 formula" if number == 1 else f"{number} formulas"
    way = "by median" if made.way == "median" else f"as a blend, weighted by the scores of '{one_line(attribute)}'"  # fmt: skip
    return (
        f"the middle of {of}, {way}, in percent of {_basis(made)}: bases alone, doughs or batters"
    )


def _basis(made: Middle) -> str:
    return one_line(", ".join(made.basis)) if made.basis else "the flour"


def _parents(made: Middle, scores: Sequence[Scored]) -> Iterator[str]:
    means = {score.label: score for score in scores}
    for parent in made.parents:
        weight = f", {parent.weight:.0%} of the blend" if made.way == "blend" else ""
        score = means.get(parent.label)
        mean = f", {_score(score)}" if score else ""
        yield one_line(f"{parent.label} ({parent.revision}): {parent.title}{mean}{weight}")
    for aside in made.not_counted:
        yield one_line(f"not counted: {aside.label}; {_WHY[aside.why]}")
    taken = {parent.label for parent in made.parents} | {one.label for one in made.not_counted}
    for label, score in means.items():
        if label not in taken:
            yield one_line(f"not chosen: {label}, {_score(score)}")


def _score(score: Scored) -> str:
    if score.mean is None:
        return "no score of this revision"
    return f"{score.mean:.1f} in {score.bakes} bake{'s' * (score.bakes != 1)}"


def _percent_lines(percents: Sequence[MiddlePercent], number: int) -> list[str]:
    rows = []
    for one in percents:
        fine = one.kind in FINE_KINDS
        rows.append(
            [
                one.name,
                percent(one.percent, fine),
                f"{percent(one.low, fine)}-{percent(one.high, fine)}",
                f"{one.formulas} of {number}",
            ]
        )
    return columns(["ingredient", "%", "quartiles", "in"], rows, "<>>>")


def _percent_notes(made: Middle) -> Iterator[str]:
    yield "quartiles: the middle half of the formulas that have it and say its mass"
    if any(one.kind != BASIS for one in made.percents):
        yield KINDS_RULE
    for one in made.percents:
        if one.for_its_kind:
            yield f"{one.name}: fewer than half have it, but half have a thing of its kind, of which it is the most usual"
    few = [one for one in made.left_out if one.why == "few"]
    if few:
        share = "half of the weight" if made.way == "blend" else "half"
        told = ", ".join(_left(one, len(made.parents)) for one in few)
        yield f"left out, for fewer than {share} have it: {told}"
    for missing in made.kinds_missing:
        yield (
            f"no {missing.kind} in the middle: {missing.formulas} of {len(made.parents)} have some, of sorts that "
            "too few share"
        )
    if loose := [one for one in made.left_out if one.why == "not weighed"]:
        told = ", ".join(f"{one.name} (in {one.formulas})" for one in loose)
        yield f"left out, for nobody says what it weighs: {told}"


def _left(one: LeftOut, number: int) -> str:
    typical = "" if one.percent is None else f", {percent(one.percent, one.percent < 1)} % there"
    return f"{one.name} (in {one.formulas} of {number}{typical})"


def _ratio_lines(made: Middle) -> list[str]:
    heads = ["ratio", "middle", "quartiles", "median", "of"]
    heads += [f"ours, {made.ours_label}", "below", "equal", "above"] if made.ours_label else []
    return columns(heads, [_ratio(one, bool(made.ours_label)) for one in made.ratios], "<" + ">" * (len(heads) - 1))  # fmt: skip


def _ratio(one: RatioSpread, with_ours: bool) -> list[str]:
    fine = one.ratio in FINE_RATIOS
    row = [
        one.ratio,
        _own(one, fine),
        f"{percent(one.low, fine)}-{percent(one.high, fine)}",
        percent(one.median, fine),
        f"{one.known}",
    ]
    if not with_ours:
        return row
    if one.ours is None:
        return [*row, "?", "", "", ""]
    return [*row, percent(one.ours, fine), f"{one.below}", f"{one.equal}", f"{one.above}"]


def _own(one: RatioSpread, fine: bool) -> str:
    if one.percent is None:
        return ABSENT
    return percent(one.percent, fine) + (TOO_LOW if one.lacking else "")


def _ratio_notes(made: Middle) -> Iterator[str]:
    yield (
        "middle: the ratio of the middle itself; quartiles and median over so many formulas (of) whose ratio is known whole"
    )
    if any(one.percent is None for one in made.ratios):
        yield f"{ABSENT}: it hangs on the parts of a dough, of which a middle has none; a file takes those of the nearest"
    if lacking := {name: None for one in made.ratios for name in one.lacking}:
        yield f"{TOO_LOW}: too low, for it is not known what these bring: {', '.join(lacking)}"
    if made.ours_label:
        yield "below, equal, above: how many of the other formulas have less than ours, as much, more; ?: not known"
    for one in made.beside:
        share = f"{one.formulas} of {len(made.parents)} have it"
        if one.grams_for_100_g is None:
            yield f"beside the base, not in the middle: {one.kind}; {share}, none is weighed whole"
        else:
            yield (
                f"beside the base, not in the middle: {one.kind}, {percent(one.grams_for_100_g)} g for 100 g of base "
                f"(median of {one.known}); {share}"
            )


def _bake(made: Middle) -> Iterator[str]:
    for name, unit, said in (("oven", "°C", made.oven), ("bake time", "min", made.bake_time)):
        if said is None:
            yield f"{name}: {made.nearest_label} says none" + (
                ", and not all of the others do" if len(made.parents) > 1 else ""
            )
        elif len(made.parents) == 1:
            yield f"{name}: {said.value:.0f} {unit}"
        elif said.of == "all":
            yield f"{name}: {said.value:.0f} {unit}, the median of all {said.said}"
        else:
            yield f"{name}: {said.value:.0f} {unit} as {made.nearest_label}; {said.said} of {len(made.parents)} say one"


def _nearest(made: Middle) -> Iterator[str]:
    if len(made.parents) > 1:
        yield f"nearest to the middle: {made.nearest_label}, {percent(made.distance, True)} usual widths away"
    if len(made.classes) > 1:
        yield f"they are of {len(made.classes)} classes: {', '.join(made.classes)}; a middle of one class says more"


def _file_notes(written: MiddleFile | None) -> Iterator[str]:
    if written is None:
        return
    yield f"wrote {display_path(str(written.path))}: a draft, never baked; its parts, method and pan are those of the nearest"
    if written.flattened:
        yield "the parts of its base are one here, for not all of each goes into it; look through the method"
    if written.placed:
        yield f"put into the step of a thing of its kind: {', '.join(written.placed)}; look whether it belongs there"
    if written.without_step:
        yield f"in no step yet: {', '.join(written.without_step)}; write where it goes in"
    if written.left_parts:
        yield f"not in the file: {', '.join(written.left_parts)} of the nearest; add it if it is wanted"


def _wrapped(text: str, width: int) -> list[str]:
    return wrap(text, width, subsequent_indent="  ", break_on_hyphens=False)


def _hung(text: str, width: int) -> list[str]:
    return wrap(text, width, "  ", "    ", break_on_hyphens=False)
