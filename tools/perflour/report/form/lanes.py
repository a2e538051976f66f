"""Who does what when, as a picture: lanes side by side, time downwards, in panels as wide as a phone.

A page sets panels beside each other where it has room. Hours in which nothing begins or ends are left
out between two panels and told in words, so that a minute is as long in every panel.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import ceil

from perflour.plain import one_line
from perflour.report.form.cells import cells, wrap
from perflour.report.form.chart.text import Text

#: What a screen of 390 px leaves between the margins of a page, and what the clock takes of it.
WIDTH, AXIS = 358.0, 42.0
#: A step of 4 min is one line of text high.
PX_PER_MIN = 3.2
LINE, LEAST_ROW, PAD = 13.0, 11.5, 4.0
#: A sign of 12 px, rather wide than narrow; what sticks out all the same is cut at the block's edge.
SIGN = 7.0
HEAD = 52.0
TICK_MIN = 30
QUIET_MIN = 150
LONGEST_MIN = 270
#: Room for the name of a lane, and how much wider than it must be a lane is drawn where there are few.
NARROWEST_HEAD, WIDEST = 36.0, 2.5


@dataclass(frozen=True)
class Lane:
    """A column. ``narrowest`` px for what goes on in it at a time; ``turned`` text runs downwards; one
    that is ``always`` there shows that nothing goes on, too."""

    name: str
    narrowest: float
    turned: bool = False
    always: bool = True


@dataclass(frozen=True)
class Block:
    """Something that goes on in a lane, by its number. ``look`` is one of the template's; ``told`` says it all."""

    lane: int
    start: int
    end: int
    look: str
    label: tuple[str, ...]
    told: str


@dataclass(frozen=True)
class Lanes:
    """All that goes on, in minutes. ``clock`` says a minute, ``day`` the day of it; ``zero`` is what the
    clock shows at minute 0, in minutes. ``looks`` are what the looks of blocks stand for."""

    title: str
    unit: str
    lanes: tuple[Lane, ...]
    blocks: tuple[Block, ...]
    looks: tuple[tuple[str, str], ...]
    clock: Callable[[int], str]
    day: Callable[[int], str]
    zero: int = 0


@dataclass(frozen=True)
class Box:
    """A block as drawn; ``rect_y`` and ``rect_height`` reach over the edge where it goes on in another panel.

    ``tip`` says in lines what the label leaves out; empty where it is all there.
    """

    block: Block
    told: str
    x: float
    y: float
    width: float
    height: float
    rect_y: float
    rect_height: float
    turned: bool
    lines: tuple[Text, ...]
    tip: tuple[str, ...]
    tip_y: float


@dataclass(frozen=True)
class Panel:
    """Some hours of some lanes. ``ticks`` and ``edges`` are lines across and down."""

    told: str
    height: float
    since: int
    until: int
    heads: tuple[Text, ...]
    ticks: tuple[Text, ...]
    edges: tuple[float, ...]
    boxes: tuple[Box, ...]
    notes: tuple[Text, ...]


@dataclass(frozen=True)
class Picture:
    """Panels in the order they are read, and what the looks stand for."""

    title: str
    panels: tuple[Panel, ...]
    looks: tuple[tuple[str, str], ...]

    @property
    def tops(self) -> tuple[float, ...]:
        """Where each panel begins when all stand in one column below the key, and where the last ends."""
        tops = [70.0]
        for panel in self.panels:
            tops.append(tops[-1] + panel.height + 24)
        return tuple(tops)


@dataclass(frozen=True)
class _Column:
    lane: Lane
    blocks: tuple[Block, ...]
    narrowest: float


def picture(day: Lanes) -> Picture:
    """The panels of a day."""
    stretches = _stretches(day)
    panels: list[Panel] = []
    for at, (since, until) in enumerate(stretches):
        following = stretches[at + 1][0] if at + 1 < len(stretches) else until
        groups = _groups(list(_columns(day, since, until)))
        for group in groups:
            quiet = _quiet(day, until, following) if group is groups[-1] else ""
            panels.append(_panel(day, since, until, group, quiet))
    return Picture(one_line(day.title), tuple(panels), day.looks)


def _stretches(day: Lanes) -> list[tuple[int, int]]:
    """Spans from tick to tick that hold every beginning and end, none longer than a sheet of paper."""
    marks = sorted({minute for block in day.blocks for minute in (block.start, block.end)})
    lasting = [(block.start, block.end) for block in day.blocks if block.end > block.start]
    runs: list[list[int]] = []
    for before, mark in pairwise([marks[0] - QUIET_MIN - 1, *marks]) if marks else ():
        if mark - before > QUIET_MIN:
            runs.append([])
        runs[-1].append(mark)
    # what ends with the first minute of a stretch or begins with its last is to be seen in it
    starts, ends = ({times[at] for times in lasting} for at in (0, 1))
    return [
        span
        for run in runs
        for span in _split(run[0] - (run[0] in ends), run[-1] + (run[-1] in starts), day.zero)
    ]


def _split(first: int, last: int, zero: int) -> list[tuple[int, int]]:
    since = (first + zero) // TICK_MIN * TICK_MIN - zero
    until = max(ceil((last + zero) / TICK_MIN) * TICK_MIN - zero, since + TICK_MIN)
    number = ceil((until - since) / LONGEST_MIN)
    step = ceil((until - since) / number / TICK_MIN) * TICK_MIN
    return [(start, min(start + step, until)) for start in range(since, until, step)]


def _columns(day: Lanes, since: int, until: int) -> Iterator[_Column]:
    """The lanes of a stretch; one in which several things go on at a time takes several columns."""
    for number, lane in enumerate(day.lanes):
        here = [b for b in day.blocks if b.lane == number and _meets(b, since, until)]
        tracks = _tracks(here) or ([[]] if lane.always else [])
        least = lane.narrowest if len(tracks) > 1 else max(lane.narrowest, NARROWEST_HEAD)
        for track in tracks:
            yield _Column(lane, tuple(track), least)


def _meets(block: Block, since: int, until: int) -> bool:
    return block.start < until and (block.end > since or block.start == block.end == since)


def _tracks(blocks: Sequence[Block]) -> list[list[Block]]:
    """As few columns as hold all blocks without one on another."""
    tracks: list[list[Block]] = []
    for block in sorted(blocks, key=lambda b: (b.start, b.end)):
        free = next((track for track in tracks if track[-1].end <= block.start), None)
        if free is None:
            tracks.append([block])
        else:
            free.append(block)
    return tracks


def _groups(columns: Sequence[_Column]) -> list[list[_Column]]:
    """Columns that fit beside each other, in their order; a lane is parted only where it is too wide by itself."""
    groups: list[list[_Column]] = [[]]
    for _, of_lane in groupby(columns, key=lambda column: column.lane):
        lane = list(of_lane)
        if groups[-1] and not _fit([*groups[-1], *lane]):
            groups.append([])
        for column in lane:
            if groups[-1] and not _fit([*groups[-1], column]):
                groups.append([])
            groups[-1].append(column)
    return groups


def _fit(columns: Sequence[_Column]) -> bool:
    return sum(column.narrowest for column in columns) <= WIDTH - AXIS


def _quiet(day: Lanes, until: int, following: int) -> str:
    """What goes on between two panels."""
    if following == until:
        return ""
    on = [", ".join(b.label) for b in day.blocks if b.start <= until and b.end >= following]
    return f"Left out: {day.clock(until)} to {day.clock(following)}, when {'; '.join(on) or 'nothing'} goes on."


def _panel(day: Lanes, since: int, until: int, columns: Sequence[_Column], quiet: str) -> Panel:
    spare = min((WIDTH - AXIS) / sum(column.narrowest for column in columns), WIDEST)
    edges = [AXIS]
    for column in columns:
        edges.append(edges[-1] + column.narrowest * spare)
    foot = HEAD + (until - since) * PX_PER_MIN
    notes = [
        Text(0.0, foot + 6 + LINE * at, line)
        for at, line in enumerate(wrap(quiet, _signs(WIDTH)), 1)
    ]
    span = f"{_day(day, since)}{day.clock(since)} to {day.clock(until)}"
    names = dict.fromkeys(column.lane.name for column in columns)
    return Panel(
        told=f"{span}: {', '.join(map(one_line, names))}",
        height=foot + (LINE * len(notes) + 10 if notes else 2),
        since=since,
        until=until,
        heads=(Text(0.0, 12.0, f"{span} ({day.unit})"), *_heads(columns, edges)),
        ticks=tuple(
            Text(0.0, HEAD + (minute - since) * PX_PER_MIN, day.clock(minute))
            for minute in range(since, until + 1, TICK_MIN)
        ),
        edges=tuple(edges),
        boxes=tuple(
            _box(block, column.lane, left, right - left, since, until)
            for column, left, right in zip(columns, edges, edges[1:], strict=False)
            for block in column.blocks
        ),
        notes=tuple(notes),
    )


def _day(day: Lanes, minute: int) -> str:
    told = day.day(minute)
    return f"{told}, " if told else ""


def _heads(columns: Sequence[_Column], edges: Sequence[float]) -> Iterator[Text]:
    """The name of every lane above its columns, in two lines at most."""
    numbered = enumerate(column.lane for column in columns)
    for lane, group in groupby(numbered, key=lambda pair: pair[1]):
        ats = [at for at, _ in group]
        left, right = edges[ats[0]], edges[ats[-1] + 1]
        lines, _ = _label((lane.name,), _signs(right - left), 2)
        for at, line in enumerate(lines):
            yield Text(left + PAD, 30 + LINE * at, line)


def _box(block: Block, lane: Lane, left: float, width: float, since: int, until: int) -> Box:
    start, end = max(block.start, since), min(block.end, until)
    y, height = HEAD + (start - since) * PX_PER_MIN, max((end - start) * PX_PER_MIN - 1, 2.0)
    above = 9.0 if block.start < since else 0.0
    below = 9.0 if block.end > until else 0.0
    width -= 2
    along, across = (height, width) if lane.turned else (width, height)
    rows = int((across - 1) // LINE) or int(across >= LEAST_ROW)
    lines, cut = _label(block.label, _signs(along), rows)
    first = (across - LINE * (len(lines) - 1)) / 2 + 4.2 if len(lines) == 1 else 12.0
    tip = tuple(wrap(block.told, _signs(WIDTH - AXIS))) if cut else ()
    tip_height = LINE * len(tip) + 8
    room = HEAD + (until - since) * PX_PER_MIN - tip_height
    return Box(
        block=block,
        told=one_line(block.told),
        x=left + 1,
        y=y,
        width=width,
        height=height,
        rect_y=0.5 - above,
        rect_height=height - 1 + above + below,
        turned=lane.turned,
        lines=tuple(Text(PAD, first + LINE * at, line) for at, line in enumerate(lines)),
        tip=tip,
        tip_y=max(min(y + height + 2, room), 0.0),
    )


def _signs(width: float) -> int:
    return int((width - PAD) / SIGN)


def _label(words: Sequence[str], signs: int, rows: int) -> tuple[list[str], bool]:
    """The lines of a label in the room there is, and whether something of it is left out."""
    if rows < 1 or signs < 2:
        return [], True
    apart = [line for word in words for line in wrap(word, signs)]
    together = wrap(", ".join(words), signs)
    for lines in (apart, together):
        if len(lines) <= rows and all(cells(line) <= signs for line in lines):
            return lines, False
    kept = together[: rows - 1]
    # wrapping takes a blank from between two lines at most, which is no sign that anyone misses
    rest = one_line(", ".join(words))[sum(map(len, kept)) :][:signs]
    while cells(rest) >= signs:
        rest = rest[:-1]
    return [*kept, f"{rest.strip()}…"], True
