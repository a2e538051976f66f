"""Changes of what 100 % is: the batch as a whole, the flour, its blend, and what follows from them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from math import sqrt

from perflour.balance.ratios import is_fine
from perflour.diff.change import BlendChange, LineChange, MassChange, PercentShift, Scaling
from perflour.diff.importance import BASIS_MASS, WIDTHS, by_factor
from perflour.diff.line_changes import Scene
from perflour.diff.matching import Match
from perflour.diff.placed_lines import PlacedLine
from perflour.diff.residual import SPREADS_THAT_COUNT, residual, same
from perflour.kitchen.names import fold


def batch_changes(scene: Scene, ratios_moved: bool) -> Iterator[Scaling]:
    """The whole batch scaled, and parts on top that were scaled otherwise."""
    factor = scene.scale.factor
    before, after = scene.before.balance, scene.after.balance
    if factor != 1.0:
        yield Scaling("batch-scaled", "", before.batch_g, after.batch_g, factor, ratios_unchanged=not ratios_moved)  # fmt: skip
    for old, now in scene.parts.pairs:
        root = fold(now.part.name)
        own = scene.scale.root_factors.get(root, factor)
        if not same(own, factor):
            yield Scaling(
                "part-scaled",
                now.part.name,
                old.mass_g,
                now.mass_g,
                own,
                importance=_moved_points(scene, old.mass_g, now.mass_g) / WIDTHS["blend"],
                subject_before=old.part.name if fold(old.part.name) != root else "",
            )


def _moved_points(scene: Scene, before_g: float, after_g: float) -> float:
    """The move of a mass in percent of the base's flour."""
    if not scene.before.total_g or not scene.after.total_g:
        return WIDTHS["blend"]
    return abs(after_g / scene.after.total_g - before_g / scene.before.total_g) * 100


def basis_changes(scene: Scene) -> Iterator[MassChange | LineChange]:
    """Flour that moved against the scaled batch, and the lines that only follow it."""
    beyond: dict[str, MassChange] = {}
    for frame in _frames(scene):
        change = _basis(scene, frame)
        if change:
            yield change
            if change.beyond_spread:
                beyond[frame] = change
    if beyond:
        yield from _followers(scene, beyond)


def _frames(scene: Scene) -> list[str]:
    """Every root with flour; "" too where flour goes into several."""
    frames = dict.fromkeys((*scene.before.bases, *scene.after.bases))
    placed = (*scene.before.placed, *scene.after.placed)
    shared = "" in {e.root for e in placed if e.in_basis}
    return [*frames, *([""] if shared else [])]


def _basis(scene: Scene, frame: str) -> MassChange | None:
    factor = scene.scale.root_factors.get(frame, scene.scale.factor)
    before, after = (
        side.bases.get(frame, 0.0) if frame else side.total_g
        for side in (scene.before, scene.after)
    )
    if same(before * factor, after) or not before or not after:
        return None
    lines = [m for m in _of_basis(scene) if _is_moved(scene, m) and _is_in(m, frame)]
    spread_g = _spread_g(scene, frame, factor)
    moved_g = after - before * factor
    names = next(((a, b) for a, b in _part_names(scene) if fold(b) == frame), ("", ""))
    return MassChange(
        "basis",
        "",
        names[1],
        before,
        after,
        moved_g,
        spread_g,
        abs(moved_g) > SPREADS_THAT_COUNT * spread_g,
        by_factor(before * factor, after, BASIS_MASS),
        part_before=names[0] if fold(names[0]) != frame else "",
        of=scene.of(frame),
        lines_before=tuple(e.said for m in lines for e in m.before),
        lines_after=tuple(e.said for m in lines for e in m.after),
    )


def _part_names(scene: Scene) -> Iterator[tuple[str, str]]:
    """The names of each part before and after."""
    for old, now in scene.parts.pairs:
        yield old.part.name, now.part.name


def _of_basis(scene: Scene) -> Iterator[Match]:
    """Pairs of lines that count as flour on both sides."""
    for match in scene.matches.found:
        if match.how == "pair" and all(e.in_basis for e in (*match.before, *match.after)):
            yield match


def _is_beside(match: Match) -> bool:
    return any(e.is_beside for e in (*match.before, *match.after))


def _is_moved(scene: Scene, match: Match) -> bool:
    return not scene.scale.residual(match.before, match.after).is_same


def _is_in(match: Match, frame: str) -> bool:
    """Whether all of it is below a root; what came from another one is told of as moved."""
    return all(entry.root == frame for entry in (*match.before, *match.after))


def _spread_g(scene: Scene, frame: str, factor: float) -> float:
    """The spread of the flour's move. Lines measured alike are off together on both sides."""
    names: dict[str, tuple[list[PlacedLine], list[PlacedLine]]] = defaultdict(lambda: ([], []))
    for at, side in enumerate((scene.before, scene.after)):
        for e in side.placed:
            if e.in_basis and e.grams and e.root in (frame, "" if frame else e.root):
                names[e.name][at].append(e)
    spreads = [
        residual(old, now, factor, scene.scale.resolution_g).spread_g for old, now in names.values()
    ]
    return sqrt(sum(s * s for s in spreads))


def _followers(scene: Scene, moved: dict[str, MassChange]) -> Iterator[LineChange]:
    """Lines whose own mass is the same and whose percentage moved only because the flour did."""
    for match in scene.matches.found:
        if match.how != "pair" or match.after[0].is_part:
            continue
        a, b = match.before[0], match.after[0]
        frame = scene.after.frame(b.root)
        if a.root != b.root or scene.before.frame(a.root) != frame:
            continue  # what went to another flour is told of as moved
        cause = moved.get(frame) or (None if frame else next(iter(moved.values())))
        if cause is None or a.in_basis or a.share is None or b.share is None:
            continue
        if scene.scale.residual([a], [b]).is_same and not same(a.share, b.share):
            yield _follower(scene, a, b, cause)


def _follower(scene: Scene, a: PlacedLine, b: PlacedLine, cause: MassChange) -> LineChange:
    assert a.share is not None and b.share is not None and cause.after_g
    points = abs((b.points or 0.0) - (a.points or 0.0))
    return LineChange(
        "follows-basis",
        b.part,
        b.item,
        a.share,
        b.share,
        b.share - a.share,
        a.text,
        b.text,
        a.grams,
        b.grams,
        is_fine(b.weighed.ingredient),
        points / scene.widths.of_ingredient(b.weighed.ingredient),
        spread_percent=b.share * cause.spread_g / cause.after_g,
        beyond_spread=True,
        subject_before=a.item if a.item != b.item else "",
        part_before=a.part if a.part != b.part else "",
        in_several=b.name in scene.in_several,
        of=scene.of(scene.after.frame(b.root)),
    )


def blend_changes(scene: Scene) -> Iterator[BlendChange]:
    """The shares of the base's flours among themselves, said once; a flour for another counts as one."""
    shares = _shares(scene)
    shifts = tuple(s for s in shares if not same(s.before_percent, s.after_percent))
    if len(shares) < 2 or not shifts:
        return
    pairs = [m for m in _of_basis(scene) if _is_moved(scene, m) and not _is_beside(m)]
    gone, new = (
        [e for e in lone if e.in_basis and not e.is_beside and not scene.is_told_of_part(e, is_new)]
        for lone, is_new in ((scene.matches.gone, False), (scene.matches.new, True))
    )
    beyond = any(
        scene.scale.residual(m.before, m.after).beyond
        for m in scene.matches.found
        if any(e.in_basis and not e.is_beside for e in (*m.before, *m.after))
    )
    beyond = (
        beyond
        or _portions_moved(scene)
        or any(e.in_basis and not e.is_beside for e in (*scene.matches.gone, *scene.matches.new))
    )
    points = sum(abs(s.after_percent - s.before_percent) for s in shifts) / 2
    yield BlendChange(
        "blend",
        shifts,
        beyond,
        points / scene.widths.of_ratio("blend"),
        lines_before=tuple(e.said for e in (*(e for m in pairs for e in m.before), *gone)),
        lines_after=tuple(e.said for e in (*(e for m in pairs for e in m.after), *new)),
        of=scene.of(""),
    )


def _portions_moved(scene: Scene) -> bool:
    """Whether a part with flour in it was scaled, or more or less of it goes into the base."""
    parts = {e.part_key for e in scene.after.placed if e.in_basis and not e.is_beside}
    old, now = scene.before.in_base, scene.after.in_base
    scaled = any(
        not same(factor, scene.scale.factor)
        for root, factor in scene.scale.root_factors.items()
        if root in scene.after.bases and not scene.after.is_beside(root)
    )
    return scaled or any(not same(old[key], now[key]) for key in parts & set(old))


def _shares(scene: Scene) -> list[PercentShift]:
    """Every flour's share of the flour before and after, in percent, the largest first.

    A flour that stands in for another is one with it: `rye flour for wheat flour`.
    """
    pairs = [(m.before[0], m.after[0]) for m in scene.matches.found if m.how == "substituted"]
    stands_for = {
        (at, pair[at].key): (pair[0].name, pair[1].name) for pair in pairs for at in (0, 1)
    }
    shares: dict[tuple[str, str], list[float]] = {}
    for at, side in enumerate((scene.before, scene.after)):
        for entry in side.placed:
            if entry.in_basis and not entry.is_beside and entry.points is not None:
                names = stands_for.get((at, entry.key), (entry.name, entry.name))
                shares.setdefault(names, [0.0, 0.0])[at] += entry.points
    found = [
        PercentShift(new if new == old else f"{new} for {old}", was, now)
        for (old, new), (was, now) in shares.items()
    ]
    return sorted(found, key=lambda s: (-max(s.before_percent, s.after_percent), s.name))
