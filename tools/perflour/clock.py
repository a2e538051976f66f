"""Minutes of a plan as a clock shows them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from perflour.result import CannotRun

_CLOCK = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[ T])?([0-2]?\d:[0-5]\d)", re.ASCII)
# Without a date, the plan's first day is any day: only the difference of days is shown.
_ANY_DAY = "2000-01-01"


@dataclass(frozen=True)
class Clock:
    """When minute 0 of a plan is. ``zero`` None: nobody said, and times count from 0:00."""

    zero: datetime | None = None
    dated: bool = False

    def at(self, minute: int) -> str:
        """``06:30``, ``06:30 (day 2)``, ``2026-03-14 06:30``, or ``1:05`` after the start."""
        if self.zero is None:
            return f"{minute // 60}:{minute % 60:02d}"
        time = self.zero + timedelta(minutes=minute)
        if self.dated:
            return f"{time:%Y-%m-%d %H:%M}"
        days = (time.date() - self.zero.date()).days
        return f"{time:%H:%M}" + (f" (day {days + 1})" if days else "")


def clock(start: str | None, ready_by: str | None, finish: int) -> Clock:
    """The clock of a plan of ``finish`` minutes. Raises CannotRun where the time is too short."""
    begin = _read("start", start) if start else None
    end = _read("ready-by", ready_by) if ready_by else None
    if begin and end:
        if begin[1] != end[1]:
            raise CannotRun("--start and --ready-by: write both with a date, or neither")
        ready = end[0] if end[1] or end[0] > begin[0] else end[0] + timedelta(days=1)
        if (have := int((ready - begin[0]).total_seconds() // 60)) < finish:
            raise CannotRun(
                f"the work takes {hours(finish)}, but from {start} to {ready_by} there are {hours(max(have, 0))}; start earlier, add an oven or make less"
            )
    if begin:
        return Clock(*begin)
    if end:
        return Clock(end[0] - timedelta(minutes=finish), end[1])
    return Clock()


def hours(minutes: int) -> str:
    """``45 min``, ``2 h``, ``2 h 05 min``."""
    whole, rest = divmod(minutes, 60)
    if not whole:
        return f"{rest} min"
    return f"{whole} h {rest:02d} min" if rest else f"{whole} h"


def _read(option: str, text: str) -> tuple[datetime, bool]:
    match = _CLOCK.fullmatch(text.strip())
    try:
        if match:
            day = match[1] or _ANY_DAY
            return datetime.strptime(f"{day} {match[2]}", "%Y-%m-%d %H:%M"), bool(match[1])
    except ValueError:
        pass
    raise CannotRun(
        f"--{option} '{text}' is no time of day; write it like `06:30` or `2026-03-14 06:30`"
    )
