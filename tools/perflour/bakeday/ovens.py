"""Ovens, hands and hours: what a timetable has to work with."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from perflour.bakeday.appliances import Appliance
from perflour.bakeday.work import OvenNeed

# Common practice, no source: household ovens reach 180 °C in a quarter of an hour, and cool far slower.
HEAT_CELSIUS_PER_MIN = 10.0
COOL_CELSIUS_PER_MIN = 4.0
ROOM_CELSIUS = 20.0
DAY_MIN = 24 * 60


@dataclass(frozen=True)
class Oven:
    """An oven by name, with how many pans or trays it takes at a time."""

    name: str
    places: int = 1


@dataclass(frozen=True)
class Bakehouse:
    """The ovens, how fast they change temperature (°C per min), how many bakers work, and with what."""

    ovens: tuple[Oven, ...] = (Oven("oven"),)
    heat_per_min: float = HEAT_CELSIUS_PER_MIN
    cool_per_min: float = COOL_CELSIUS_PER_MIN
    bakers: int = 1
    appliances: tuple[Appliance, ...] = ()

    def change_min(self, before_celsius: float, need: OvenNeed) -> int:
        """Whole minutes from one temperature to what the next load wants; 0 where they are one."""
        by = need.heat_to_celsius - before_celsius
        if by == 0:
            return 0
        minutes = ceil(by / self.heat_per_min if by > 0 else -by / self.cool_per_min)
        return max(minutes, need.heat_least_min)


@dataclass(frozen=True)
class Hours:
    """How a plan lies in the day: ``anchor_min`` (minute of the day) is its start, or its end where
    ``at_end``; nobody is there in the ``closed`` spans, minutes of the day that may pass midnight."""

    anchor_min: int = 0
    at_end: bool = False
    closed: tuple[tuple[int, int], ...] = ()

    def closed_until(self, horizon: int) -> list[tuple[int, int]]:
        """The closed spans in minutes of the plan, from 0 to ``horizon``."""
        zero = self.anchor_min - (horizon if self.at_end else 0)
        spans: list[tuple[int, int]] = []
        for begin, end in self.closed:
            minutes = (end - begin) % DAY_MIN
            first = (begin - zero) % DAY_MIN - DAY_MIN
            spans += [
                (max(start, 0), min(start + minutes, horizon))
                for start in range(first, horizon + 1, DAY_MIN)
            ]
        return [(start, end) for start, end in spans if start < end]
