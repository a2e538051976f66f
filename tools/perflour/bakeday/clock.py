"""Minutes of a plan as a clock shows them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from perflour.result import CannotRun, request_field

_CLOCK = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[ T])?([0-2]?\d:[0-5]\d)", re.ASCII)
_SPAN = re.compile(r"(\d{1,2}):([0-5]\d) ?[-–] ?(\d{1,2}):([0-5]\d)", re.ASCII)
DAY_MIN = 24 * 60
YEARS = range(1900, 3000)
# Without a date, the plan's first day is any day: only the difference of days is shown.
_ANY_DAY = "2000-01-01"


@dataclass(frozen=True)
class Clock:
    """When minute 0 of a plan is. ``zero`` None: nobody said, and times count from 0:00."""

    zero: datetime | None = None
    dated: bool = False

    def at(self, minute: int) -> str:
        """``06:30``, ``06:30 (day 2)``, ``2026-03-14 06:30``, or ``1:05`` after the start."""
        if self.dated:
            return f"{self.day(minute)} {self.time(minute)}"
        day = self.day(minute)
        return self.time(minute) + (f" ({day})" if day and minute and day != self.day(0) else "")

    def time(self, minute: int) -> str:
        """The time of day alone, or hours after the start."""
        if self.zero is None:
            return f"{minute // 60}:{minute % 60:02d}"
        return f"{self.zero + timedelta(minutes=minute):%H:%M}"

    def day(self, minute: int) -> str:
        """The date, or which day of the plan it is; empty where nobody said when it starts."""
        if self.zero is None:
            return ""
        time = self.zero + timedelta(minutes=minute)
        if self.dated:
            return f"{time:%Y-%m-%d}"
        return f"day {(time.date() - self.zero.date()).days + 1}"

    def end_time(self, start: int, end: int) -> str:
        """The time of an end; with its day where that is not the day of the start."""
        days = 0
        if self.zero is not None:
            first, last = (self.zero + timedelta(minutes=m) for m in (start, end))
            days = (last.date() - first.date()).days
        return self.time(end) + (f" +{days} d" if days else "")


@dataclass(frozen=True)
class AskedTimes:
    """The times of day somebody asks for, and the hours in which nobody is there."""

    start: datetime | None
    ready_by: datetime | None
    dated: bool
    closed: tuple[tuple[int, int], ...]

    @property
    def anchor_min(self) -> int:
        """Minute of the day of the start, else of the end; 0 where neither is told."""
        anchor = self.start or self.ready_by
        return anchor.hour * 60 + anchor.minute if anchor else 0

    def clock(self, lead_min: int) -> Clock:
        """The clock of a plan that takes that long. Raises CannotRun where there is less time."""
        if self.start is None:
            zero = self.ready_by - timedelta(minutes=lead_min) if self.ready_by else None
            return Clock(zero, self.dated)
        if self.ready_by:
            have = int((self.ready_by - self.start).total_seconds() // 60)
            if have < lead_min:
                raise CannotRun(
                    f"the work takes {hours(lead_min)}, but from {request_field('start')} to {request_field('ready_by')} there are {hours(have)}; start earlier, add an oven or make less"
                )
        return Clock(self.start, self.dated)


def asked_times(start: str | None, ready_by: str | None, closed: Sequence[str] = ()) -> AskedTimes:
    """The times in words. Raises CannotRun for those that cannot be read or do not fit together."""
    begin = _read("start", start) if start else None
    end = _read("ready_by", ready_by) if ready_by else None
    if begin and end:
        if begin[1] != end[1]:
            raise CannotRun(
                f"{request_field('start')} and {request_field('ready_by')}: write both with a date, or neither"
            )
        if not end[1] and end[0] <= begin[0]:
            end = end[0] + timedelta(days=1), False
        if end[0] <= begin[0]:
            raise CannotRun(
                f"{request_field('ready_by')} is not after {request_field('start')}; check the dates"
            )
    if closed and not (begin or end):
        raise CannotRun(
            f"{request_field('closed')} needs a time of day; add {request_field('start')} or {request_field('ready_by')}"
        )
    dated = bool((begin or end or (None, False))[1])
    spans = tuple(map(_closed, closed))
    if sum((to - since) % DAY_MIN for since, to in spans) > DAY_MIN - 60:
        raise CannotRun(
            f"{request_field('closed')} leaves less than an hour of the day; shorten it"
        )
    return AskedTimes(begin[0] if begin else None, end[0] if end else None, dated, spans)


def _closed(text: str) -> tuple[int, int]:
    match = _SPAN.fullmatch(text.strip())
    if match and all(int(hour) < 24 for hour in match.group(1, 3)):
        since, to = (int(match[at]) * 60 + int(match[at + 1]) for at in (1, 3))
        if since != to:
            return since, to
    raise CannotRun(
        f"{request_field('closed')} '{text}' is no span of hours; write it like `22:00-06:00`"
    )


def hours(minutes: int) -> str:
    """``45 min``, ``2 h``, ``2 h 05 min``."""
    whole, rest = divmod(minutes, 60)
    if not whole:
        return f"{rest} min"
    return f"{whole} h {rest:02d} min" if rest else f"{whole} h"


def _read(name: str, text: str) -> tuple[datetime, bool]:
    match = _CLOCK.fullmatch(text.strip())
    try:
        if match:
            day = match[1] or _ANY_DAY
            moment = datetime.strptime(f"{day} {match[2]}", "%Y-%m-%d %H:%M")
            if moment.year in YEARS:
                return moment, bool(match[1])
    except ValueError:
        pass
    raise CannotRun(
        f"{request_field(name)} '{text}' is no time of day; write it like `06:30` or `2026-03-14 06:30`"
    )
