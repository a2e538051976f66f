"""One figure of a formula through its history: what it was at each iteration, and what moved it.

Every iteration is weighed with the kitchen as it is now, as the changelog does. Nothing between two iterations is
made up: what could not be read, is not known or was not there is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from perflour.asking.figures import Figure, Measured, figure_named, measured
from perflour.asking.moved_by import about
from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.balance.ratios import RATIOS
from perflour.balance.spread import Measures, Number, Uncertain, uncertain, value_of
from perflour.diff.change import Change
from perflour.formula.digests import digest
from perflour.history.changelog import Asked, AskedFormula, Changelog, asked, worked_out
from perflour.history.iterations import Iteration, Move
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.kitchen.names import fold
from perflour.result import CannotRun
from perflour.system.blobs import read_blobs
from perflour.system.files import read_bytes

#: Ratios that are told where nothing is asked for, those that moved most.
MOST_MOVED = 3
#: A share of the largest value below which nothing moved: what rounding in the kitchen makes.
LEAST_MOVED = 0.002


class Moved(NamedTuple):
    """What a figure did against an earlier iteration, and the changes that are about it.

    ``by`` is after less before, None where one of them is not known.
    """

    against: int
    by: Number | None
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Stand:
    """A figure at one iteration; ``one`` is None where the file could not be read."""

    iteration: Iteration
    one: Measured | None
    moved: tuple[Moved, ...] = ()


@dataclass(frozen=True)
class Line:
    """A figure through time, oldest first. ``names`` are all that an ingredient was called, the last one first."""

    figure: Figure
    stands: tuple[Stand, ...]
    names: tuple[str, ...] = ()

    @property
    def is_told_whole(self) -> bool:
        """Whether it is known at every iteration, or not there."""
        known = (s.one and (s.one.number is not None or not s.one.is_there) for s in self.stands)
        return all(known) and not any(s.one and s.one.lacking for s in self.stands)


@dataclass(frozen=True)
class Story:
    """What was asked of a formula's history; ``moved_most`` where nothing was named."""

    changelog: Changelog
    lines: tuple[Line, ...]
    moved_most: bool = False

    @property
    def is_told_whole(self) -> bool:
        return not self.changelog.problems and all(line.is_told_whole for line in self.lines)


def story(file: Path, what: Sequence[str]) -> Story:
    """The figures named, or those that moved most, through the history of a formula.

    Raises CannotRun outside a repository, and for a name that means nothing in any iteration.
    """
    found = asked([str(file)], committed=False)
    (formula,) = found.formulas
    (changelog,) = worked_out(found, [formula], lambda changelog: changelog)
    kitchen = kitchen_for(str(file))
    balances = _balances(found, formula, changelog, kitchen)
    if not balances:
        raise CannotRun(f"{formula.path}: no iteration of it can be weighed; see `perflour lint`")
    told = _Told(changelog.iterations, balances, kitchen)
    if what:
        figures = [figure for name in what for figure in told.figures(name)]
        return Story(changelog, tuple(told.line(figure) for figure in dict.fromkeys(figures)))
    return Story(changelog, tuple(told.moved_most()), moved_most=True)


def _balances(
    found: Asked, formula: AskedFormula, changelog: Changelog, kitchen: Kitchen
) -> dict[int, Balance]:
    """The iterations that can be read, weighed, by number."""
    blobs: dict[str, list[str]] = {}
    for snapshot in formula.lineage.snapshots if formula.lineage else ():
        blobs.setdefault(snapshot.commit.sha, []).append(snapshot.blob)
    wanted = [i for i in changelog.iterations if not i.unreadable]
    names = [b for i in wanted if i.commit for b in blobs.get(i.commit.sha, ())]
    contents = read_blobs(found.repository, names)
    made: dict[int, Balance] = {}
    for iteration in wanted:
        there = blobs.get(iteration.commit.sha, ()) if iteration.commit else ()
        here = [contents[b] for b in there] or [read_bytes(str(formula.file))]
        for content in here:
            weighed = weigh_or_tell(content, formula.path, kitchen)
            if isinstance(weighed, Balance) and digest(weighed.formula) == iteration.digest:
                made[iteration.number] = weighed
                break
    return made


class _Told:
    """The iterations of one formula, weighed with the same cups: their spreads are shared."""

    def __init__(
        self, iterations: Sequence[Iteration], balances: dict[int, Balance], kitchen: Kitchen
    ) -> None:
        self.iterations, self.balances, self.kitchen = iterations, balances, kitchen
        measures = Measures()
        self.numbers: dict[int, Uncertain] = {
            number: uncertain(balance, measures, str(number))
            for number, balance in balances.items()
        }

    def figures(self, name: str) -> Iterator[Figure]:
        """What a name means; an ingredient of the base and of each part beside it. Raises CannotRun."""
        newest_first = [self.balances[number] for number in sorted(self.balances, reverse=True)]
        found = figure_named(name, [self.kitchen.catalogue], newest_first)
        for figure in found:
            if figure.kind != "ingredient" or figure.part:
                yield figure
                continue
            places = [part for b in newest_first for part in _beside_with(figure.name, b)]
            in_base = any(_is_in_base(figure.name, balance) for balance in newest_first)
            if not in_base and not places:
                raise CannotRun(f"'{name}' was in no iteration of it; name an ingredient, a ratio or a setting of it")  # fmt: skip
            if in_base:
                yield figure
            yield from (figure._replace(part=part) for part in dict.fromkeys(places))

    def line(self, figure: Figure) -> Line:
        """A figure through all iterations."""
        names = self._names(figure)
        asked_for = [figure._replace(name=name) for name in names] if names else [figure]
        values = {n: self._measured(asked_for, n) for n in self.balances}
        stands = [
            Stand(
                iteration,
                values.get(iteration.number),
                tuple(self._moved(asked_for, iteration, move, values) for move in iteration.moves),
            )
            for iteration in self.iterations
        ]
        return Line(figure, tuple(stands), tuple(names))

    def _moved(
        self,
        figures: Sequence[Figure],
        iteration: Iteration,
        move: Move,
        values: dict[int, Measured],
    ) -> Moved:
        """What the figure did against one parent; of a ratio that the changelog calls unknown nobody can say."""
        now, before = iteration.number, move.against
        weighed = self.balances.get(before), self.balances.get(now)
        changes = about(figures, move.changes, *weighed, self.kitchen.catalogue)
        unknown = any(c.kind == "ratio-unknown" and c.subject == figures[0].name for c in changes)
        by = None if unknown else _apart(values.get(now), values.get(before))
        return Moved(before, by, changes)

    def _measured(self, figures: Sequence[Figure], number: int) -> Measured:
        """A figure at an iteration, an ingredient under whatever it was called."""
        balance, numbers = self.balances[number], self.numbers[number]
        found = [measured(figure, balance, numbers) for figure in figures]
        there = [one for one in found if one.is_there]
        return there[0] if there else found[0]

    def _names(self, figure: Figure) -> list[str]:
        """All names of an ingredient: the changelog says where it was renamed."""
        if figure.kind != "ingredient":
            return []
        main = self.kitchen.catalogue.main_name
        names = {fold(figure.name): figure.name}
        for iteration in reversed(self.iterations):
            for change in (c for move in iteration.moves for c in move.changes):
                if change.kind == "renamed" and main(change.subject) in names:
                    before = change.text_before  # type: ignore[union-attr]
                    names.setdefault(main(before), before)
        return list(names.values())

    def moved_most(self) -> Iterator[Line]:
        """The ratios that moved most, as shares of their largest value."""
        lines = [self.line(figure) for name in RATIOS for figure in self.figures(name)]
        shares = {line.figure.name: _share(line) for line in lines}
        moving = [line for line in lines if shares[line.figure.name] > LEAST_MOVED]
        moving.sort(key=lambda line: -round(shares[line.figure.name], 6))
        kept: list[Line] = []
        for line in moving:
            if all(_values(line) != _values(other) for other in kept):  # all liquid may be water
                kept.append(line)
        return iter(kept[:MOST_MOVED])


def _beside_with(name: str, balance: Balance) -> Iterator[str]:
    """The parts that stand beside the base, or go into one that does, and list an ingredient."""
    for part in balance.parts:
        if not part.in_base and any(fold(w.name) == fold(name) for w in part.lines):
            yield part.part.name


def _is_in_base(name: str, balance: Balance) -> bool:
    lines = (w for p in balance.parts if p.in_base for w in p.lines)
    return any(fold(w.name) == fold(name) and not w.line.is_part for w in lines)


def _apart(now: Measured | None, before: Measured | None) -> Number | None:
    """After less before; None where one is not known."""
    if now is None or before is None or now.number is None or before.number is None:
        return None
    return now.number - before.number


def _values(line: Line) -> list[float]:
    numbers = (s.one.number for s in line.stands if s.one and s.one.number is not None)
    return [round(value_of(number), 6) for number in numbers]


def _share(line: Line) -> float:
    """How far a figure moved, as a share of its largest value."""
    values = _values(line)
    largest = max(values, default=0.0)
    return (largest - min(values, default=0.0)) / largest if largest else 0.0
