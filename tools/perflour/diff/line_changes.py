"""Matched and lone lines to changes: what the baker did to each ingredient."""

from collections.abc import Iterator, Sequence

from perflour.balance.ratios import INSTANT_EQUIVALENT, is_fine
from perflour.diff.change import LineChange, LineSaid, MassShift, PercentShift, TextChange
from perflour.diff.importance import LINE_DIVIDED, STATE, UNWEIGHED, WORDS, Widths
from perflour.diff.matching import Match, Matches, Scale, is_multiple
from perflour.diff.part_matching import PartMatches
from perflour.diff.placed_lines import PlacedLine, Side
from perflour.diff.residual import FURTHEST_OFF, Residual, is_same_mass, same
from perflour.diff.standing import Standing
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount, Share
from perflour.tuples import NamedTuple
from perflour.typed import Any

# Figures of the composition that a substitution is told for, in percent of the basis; a move under
# the least is none.
TOLD_FIGURES = ("water", "fat", "sugar")
LEAST_TOLD = 0.05

# Lines of each side that other changes tell of.
Told = tuple[frozenset[LineSaid], frozenset[LineSaid]]


class Scene(NamedTuple):
    """Two sides with their lines matched and what they are held against."""

    before: Side
    after: Side
    parts: PartMatches
    matches: Matches
    scale: Scale
    widths: Widths
    in_several: frozenset[str]
    standings: tuple[Standing, Standing]

    def of(self, frame: str) -> str:
        """What percentages of a frame are of, as it is called now."""
        return self.after.of.get(frame) or self.before.of.get(frame) or self.after.of[""]

    def is_told_of_part(self, entry: PlacedLine, is_new: bool) -> bool:
        """Whether a lone line is told of with its part, which is itself new or gone."""
        lone = self.parts.new if is_new else self.parts.gone
        names = {fold(p.part.name) for p in lone}
        return entry.key[0] in names or (entry.is_part and entry.name in names)


def line_changes(scene: Scene, told: Told) -> Iterator[LineChange | TextChange]:
    """Changes of single lines; ``told`` are those that the basis or its blend tells of."""
    for match in scene.matches.found:
        if match.how == "pair":
            if not _is_untouched(scene, match.before[0], match.after[0]):
                yield from _pair(scene, match.before[0], match.after[0], told)
        elif match.how == "divided":
            yield _divided(scene, match)
        elif match.how == "shared out":
            yield _shared_out(scene, match)
        else:
            yield from _stand_in(scene, match.before[0], match.after[0], told)
    lone = scene.matches.gone, scene.matches.new
    if not scene.matches.whole:
        counts = str(len(lone[0])), str(len(lone[1]))
        yield TextChange("lines-not-compared", "lines", *counts, UNWEIGHED)
    for side, kind in enumerate(("removed", "added")):
        for entry in lone[side]:
            if not scene.is_told_of_part(entry, bool(side)) and entry.said not in told[side]:
                yield _lone(scene, kind, entry)


def _is_untouched(scene: Scene, a: PlacedLine, b: PlacedLine) -> bool:
    """Whether a line is written as it was, where it was, and weighs that: most lines, so it is asked before all else."""
    old, new = a.weighed.line, b.weighed.line
    return (
        old.amount.value is new.amount.value
        and old.amount.text == new.amount.text
        and a.grams == b.grams
        and a.part_key == b.part_key
        and (old.name, old.note) == (new.name, new.note)
        and a.weighed.state == b.weighed.state
        and scene.scale.of((a,), (b,)) == 1.0
    )


def _pair(
    scene: Scene, a: PlacedLine, b: PlacedLine, told: Told
) -> Iterator[LineChange | TextChange]:
    yield from _words(scene, a, b)
    if b.is_part and "share" in a.units | b.units:
        yield from _part_share(scene, a, b)
    elif a.grams is None or b.grams is None:
        yield from _unweighed(scene, a, b)
    else:
        is_told = bool(told[0] and told[1]) and a.said in told[0] and b.said in told[1]
        yield from _mass(scene, a, b, is_told)


def _mass(scene: Scene, a: PlacedLine, b: PlacedLine, is_told: bool) -> Iterator[LineChange]:
    """A line whose mass moved against the scaled batch, or that is measured another way."""
    if _is_as_it_was(scene, a, b):
        return
    moved = scene.scale.residual([a], [b])
    change = _with_mass(_between("amount", scene, (a,), (b,)), scene, moved, [a], [b])
    if _measured_otherwise(scene, a, b, moved):
        larger_g = max((a.grams or 0.0) * scene.scale.of([a], [b]), b.grams or 0.0)
        real = moved.beyond or abs(moved.grams) > FURTHEST_OFF * larger_g
        told = 0.0 if is_told else change.importance
        yield change._replace(kind="re-measured", beyond_spread=real, importance=told)
    elif _is_range_edited(scene, a, b):
        yield change._replace(beyond_spread=True, importance=max(change.importance, WORDS))
    elif moved.is_same or is_told:
        return
    elif change.moved_percent is None:
        yield change._replace(kind="amount-as-written", importance=UNWEIGHED)
    elif same(change.before_percent or 0.0, change.after_percent or 0.0):
        yield change._replace(kind="mass-only", importance=0.0)
    else:
        yield change


def _is_as_it_was(scene: Scene, a: PlacedLine, b: PlacedLine) -> bool:
    """Whether there is nothing to tell of a line: most lines of a revision, so it is asked first."""
    is_same = is_same_mass((a,), (b,), scene.scale.of((a,), (b,)))
    return is_same and a.units == b.units and not _is_range_edited(scene, a, b)


def _is_range_edited(scene: Scene, a: PlacedLine, b: PlacedLine) -> bool:
    """Whether a range was narrowed, widened or moved by hand: what is typed is what is meant."""
    values = [entry.weighed.line.amount.value for entry in (a, b)]
    if not any(isinstance(v, Amount) and any(t.is_range for t in v.terms) for v in values):
        return False
    return a.units == b.units and not is_multiple(a, b, scene.scale.of([a], [b]))


def _measured_otherwise(scene: Scene, a: PlacedLine, b: PlacedLine, moved: Residual) -> bool:
    """Whether two lines are measured in two ways: grams for cups, or 8 tbsp for the half cup.

    A scaled batch takes another spoon, or pounds for ounces, without being measured otherwise.
    """
    if a.units == b.units:
        return False
    if _system(a) != _system(b):
        return True
    return scene.scale.of([a], [b]) == 1.0 and moved.is_same


# Units of one scale or one set of spoons.
_SYSTEMS = (frozenset(("g", "kg")), frozenset(("oz", "lb")))


def _system(entry: PlacedLine) -> frozenset[str]:
    """What a line is measured with."""
    for system in _SYSTEMS:
        if entry.units <= system:
            return system
    value = entry.weighed.line.amount.value
    kinds = value.kinds if isinstance(value, Amount) else frozenset()
    return kinds if kinds == {"volume"} else entry.units


def _between(
    kind: str, scene: Scene, old: tuple[PlacedLine, ...], now: tuple[PlacedLine, ...]
) -> LineChange:
    """What changed from some lines to others, summed."""
    points = _sum(old, "points"), _sum(now, "points")
    frame = _frame(scene, old, now)
    before, after = points if frame is None else (_sum(old, "share"), _sum(now, "share"))
    moved = abs((points[1] or 0.0) - (points[0] or 0.0))
    width = scene.widths.of_ingredient((now or old)[-1].weighed.ingredient)
    return LineChange(
        kind,
        (now or old)[0].part,
        (now or old)[0].item,
        before,
        after,
        None if before is None or after is None else after - before,
        " + ".join(e.text for e in old),
        " + ".join(e.text for e in now),
        _sum(old, "grams"),
        _sum(now, "grams"),
        is_fine((now or old)[0].weighed.ingredient),
        moved / width,
        subject_before=old[0].item if old and now and old[0].item != now[0].item else "",
        part_before=old[0].part if old and now and old[0].part != now[0].part else "",
        lines_before=tuple(e.said for e in old),
        lines_after=tuple(e.said for e in now),
        in_several=(now or old)[0].name in scene.in_several,
        of=scene.of(frame or ""),
    )


def _frame(scene: Scene, old: Sequence[PlacedLine], now: Sequence[PlacedLine]) -> str | None:
    """The root whose 100 % all lines are counted in, "" for the base's.

    None between two with a 100 % of their own: all is told in percent of the base's then.
    """
    frames = {scene.before.frame(e.root) for e in old} | {scene.after.frame(e.root) for e in now}
    return frames.pop() if len(frames) == 1 else None


def _sum(placed: tuple[PlacedLine, ...], figure: str) -> float | None:
    values = [getattr(entry, figure) for entry in placed]
    return None if not values or None in values else sum(values)


def _with_mass(
    change: LineChange,
    scene: Scene,
    moved: Residual,
    old: Sequence[PlacedLine],
    now: Sequence[PlacedLine],
) -> LineChange:
    """With what the mass says of the move: its spread in percent of the basis, and whether it counts."""
    basis_g = (scene.after if now else scene.before).basis_g(_frame(scene, old, now) or "")
    spread = moved.spread_g / basis_g * 100 if basis_g else None
    return change._replace(spread_percent=spread, beyond_spread=moved.beyond)


def _unweighed(scene: Scene, a: PlacedLine, b: PlacedLine) -> Iterator[LineChange]:
    """Lines with no mass on one side: the amounts as written say what can be said."""
    if a.grams is None and b.grams is None and is_multiple(a, b, scene.scale.of([a], [b])):
        return
    change = _between("amount-as-written", scene, (a,), (b,))
    yield _without_percent(change)


def _without_percent(change: LineChange) -> LineChange:
    return change._replace(before_percent=None, after_percent=None, moved_percent=None, importance=UNWEIGHED)  # fmt: skip


def _part_share(scene: Scene, a: PlacedLine, b: PlacedLine) -> Iterator[LineChange]:
    """Another share of a part that is used; what the part weighs is told of where it is made."""
    was, now = _share_taken(scene.before, a), _share_taken(scene.after, b)
    if was is None or now is None:
        importance = UNWEIGHED
    elif same(was, now):
        return
    else:
        importance = abs(now - was)
    change = _between("part-share", scene, (a,), (b,))
    yield change._replace(beyond_spread=True, importance=importance)


def _share_taken(side: Side, entry: PlacedLine) -> float | None:
    value: Any = entry.weighed.line.amount.value
    if isinstance(value, Share):
        return float(value.fraction)
    inner = next((p for p in side.balance.parts if fold(p.part.name) == fold(entry.item)), None)
    return entry.grams / inner.mass_g if inner and inner.mass_g and entry.grams else None


def _words(scene: Scene, a: PlacedLine, b: PlacedLine) -> Iterator[TextChange]:
    """Moves to another part, other names, states and notes."""
    old, new = a.weighed.line, b.weighed.line
    if a.part_key != b.part_key:
        points = max(filter(None, (a.points, b.points)), default=None)
        width = scene.widths.of_ingredient(b.weighed.ingredient)
        moved = UNWEIGHED if points is None else points / width
        yield _with_lines(_worded("moved", scene, a, b, a.part, b.part, moved), a, b)
    if old.name != new.name and fold(old.name) != fold(new.name) and not b.is_part:
        yield _with_lines(_worded("renamed", scene, a, b, old.name, new.name, 0.0), a, b)
    # "packed" goes with the cup: weighed instead, there is nothing to pack
    if a.state != b.state and ((a.state and b.state) or a.units == b.units):
        yield _worded("state", scene, a, b, a.weighed.state, b.weighed.state, STATE)
    if old.note != new.note:
        yield _worded("note", scene, a, b, old.note, new.note, WORDS)


def _worded(
    kind: str,
    scene: Scene,
    a: PlacedLine,
    b: PlacedLine,
    before: str,
    after: str,
    importance: float,
) -> TextChange:
    """A change of words of one line."""
    return TextChange(
        kind,
        b.item,
        before,
        after,
        importance,
        b.part,
        subject_before=a.item if a.item != b.item else "",
        part_before=a.part if a.part != b.part else "",
        in_several=b.name in scene.in_several,
    )


def _with_lines(change: TextChange, a: PlacedLine, b: PlacedLine) -> TextChange:
    return change._replace(lines_before=(a.said,), lines_after=(b.said,))


def _divided(scene: Scene, match: Match) -> LineChange:
    """One line that became several, or several that became one, of one ingredient."""
    kind = "split" if len(match.after) > len(match.before) else "merged"
    change = _between(kind, scene, match.before, match.after)
    if change.before_g is None or change.after_g is None:
        return _without_percent(change)
    moved = scene.scale.residual(match.before, match.after)
    change = _with_mass(change, scene, moved, match.before, match.after)
    if moved.is_same:
        return change._replace(importance=LINE_DIVIDED, beyond_spread=None)
    return change


def _shared_out(scene: Scene, match: Match) -> LineChange:
    """One ingredient shared out among lines anew."""
    # by mass: the order of parts hangs on names, which the way back turns round
    old, now = (
        tuple(sorted(side, key=lambda e: (-(e.grams or 0.0), e.text, e.item)))
        for side in (match.before, match.after)
    )
    change = _between("shared-out", scene, old, now)
    parts: dict[str, list[float]] = {}
    names: dict[str, str] = {}
    points: dict[str, float] = {}
    for at, placed in enumerate((match.before, match.after)):
        for entry in placed:
            key = entry.part_key
            names[key] = entry.part
            parts.setdefault(key, [0.0, 0.0])[at] += entry.grams or 0.0
            points[key] = points.get(key, 0.0) + (entry.points or 0.0) * (1 if at else -1)
    by_part = tuple(MassShift(names[key], was, now) for key, (was, now) in parts.items())
    width = scene.widths.of_ingredient(match.after[0].weighed.ingredient)
    has_points = scene.before.total_g and scene.after.total_g
    moved = sum(map(abs, points.values())) / 2 / width if has_points else UNWEIGHED
    called = {
        key: [next((e.part for e in s if e.part_key == key), name) for s in (old, now)]
        for key, name in names.items()
    }
    # the part that holds most of it on both sides, so that the way back names the same
    was_in, is_in = called[min(parts, key=lambda key: (-sum(parts[key]), sorted(called[key])))]
    return change._replace(
        beyond_spread=True,
        by_part=by_part,
        importance=moved,
        part=is_in,
        part_before=was_in if was_in != is_in else "",
    )


def _stand_in(
    scene: Scene, a: PlacedLine, b: PlacedLine, told: Told
) -> Iterator[LineChange | TextChange]:
    """An ingredient in the place of another, with what that does to water, fat and sugar."""
    if a.weighed.ingredient is None and b.weighed.ingredient is None:
        yield from _pair(scene, a, b, told)  # one name respelled
        return
    effects = tuple(_effects(a, b))
    alone = max(
        abs(e.points or 0.0) / scene.widths.of_ingredient(e.weighed.ingredient) for e in (a, b)
    )
    yield _between("substituted", scene, (a,), (b,))._replace(
        beyond_spread=True,
        shifts=effects,
        importance=alone or UNWEIGHED,
        subject_before=a.item,
    )


def _effects(a: PlacedLine, b: PlacedLine) -> Iterator[PercentShift]:
    """Percent of the basis that the two bring of each figure; what no table knows is left out."""
    old, now = a.weighed.ingredient, b.weighed.ingredient
    if old is None or now is None or a.points is None or b.points is None:
        return
    if old.name in INSTANT_EQUIVALENT and now.name in INSTANT_EQUIVALENT:
        lifts = (p * INSTANT_EQUIVALENT[i.name] for p, i in ((a.points, old), (b.points, now)))
        yield PercentShift("yeast-instant", *lifts)
    for figure in TOLD_FIGURES:
        if figure in old.composition and figure in now.composition:
            was = a.points * old.composition[figure] / 100
            brings = b.points * now.composition[figure] / 100
            if abs(brings - was) >= LEAST_TOLD:
                yield PercentShift(figure, was, brings)


def _lone(scene: Scene, kind: str, entry: PlacedLine) -> LineChange:
    """A line that is only on one side."""
    old, now = ((entry,), ()) if kind == "removed" else ((), (entry,))
    change = _between(kind, scene, old, now)
    moved = scene.scale.residual(old, now)
    share = entry.share
    delta = None if share is None else (-share if kind == "removed" else share)
    change = _with_mass(change, scene, moved, old, now)._replace(
        moved_percent=delta, beyond_spread=True
    )
    return change if change.importance else change._replace(importance=UNWEIGHED)
