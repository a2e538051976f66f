"""Parts that came, went, were renamed or are another sort of part now."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.balance.parts import PartBalance
from perflour.diff.change import PartChange, PercentShift, TextChange
from perflour.diff.importance import PART_LONE, WORDS
from perflour.diff.line_changes import Scene
from perflour.diff.placed_lines import PlacedLine
from perflour.kitchen.names import fold


def part_changes(scene: Scene) -> Iterator[PartChange | TextChange]:
    for old, now in scene.parts.pairs:
        was = old.part.name if fold(old.part.name) != fold(now.part.name) else ""
        name = now.part.name
        if was:
            yield TextChange("part-renamed", name, was, name, part=name, subject_before=was, part_before=was)  # fmt: skip
        if old.part.kind != now.part.kind:
            kinds = old.part.kind, now.part.kind
            yield TextChange("part-kind", name, *kinds, WORDS, part=name, subject_before=was, part_before=was)  # fmt: skip
    for part in scene.parts.gone:
        yield _lone(scene, "part-removed", part, scene.matches.gone)
    for part in scene.parts.new:
        yield _lone(scene, "part-added", part, scene.matches.new)


def _lone(scene: Scene, kind: str, part: PartBalance, lone: tuple[PlacedLine, ...]) -> PartChange:
    """A part with the lines that came or went with it; ``shifts`` has their percentages."""
    name = fold(part.part.name)
    gone = kind == "part-removed"
    others = {fold(p.part.name) for p in (scene.parts.gone if gone else scene.parts.new)}
    lines = [
        e
        for e in lone
        if e.key[0] == name or (e.is_part and e.name == name and e.key[0] not in others)
    ]
    said = tuple(e.said for e in lines)
    side = scene.before if gone else scene.after
    moved = [
        (e.points or 0.0) / scene.widths.of_ingredient(e.weighed.ingredient)
        for e in lines
        if not e.is_part
    ]
    shifts = (
        PercentShift(e.item, e.share if gone else 0.0, 0.0 if gone else e.share)
        for e in lines
        if e.share is not None and not e.is_part
    )
    return PartChange(
        kind,
        part.part.name,
        part.mass_g,
        max([PART_LONE, *moved]),
        lines_before=said if gone else (),
        lines_after=() if gone else said,
        shifts=tuple(shifts),
        of=scene.of(next((side.frame(e.root) for e in lines if not e.is_part), "")),
    )
