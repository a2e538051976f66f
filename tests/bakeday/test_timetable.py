"""Timetables against every schedule there is: small days enumerated without the solver.

No published table of bake days was found. What a day is held against is the enumeration below, which
knows nothing of the solver, and a list of limits that no plan may break.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.bakeday.appliances import Appliance
from perflour.bakeday.ovens import Bakehouse, Hours, Oven
from perflour.bakeday.timetable import Timetable, timetable
from perflour.bakeday.work import Job, Link, OvenNeed, Task, job_of
from perflour.balance.files import weigh_inputs
from perflour.result import CannotRun, Place
from perflour.system.files import input_files
from tests.conftest import ROOT, examples, formula_text, weigh_text

HERE = Place("formula.yaml")
# Fast ovens keep the numbers small: 20 to 170 °C in 3 min, 170 to 200 in 1, and back in 1.
ROOM, HEAT, COOL = 20, 50.0, 30.0


@dataclass(frozen=True)
class Small:
    """Mix by hand, wait between two limits, bake, cool."""

    hands: int
    least: int
    most: int
    bake: int
    celsius: int
    places: int
    cool: int

    def job(self, name: str) -> Job:
        need = OvenNeed(self.celsius, self.celsius, self.places)
        tasks = (
            Task("hands", "mix", 1, 0, self.hands, self.hands, HERE),
            Task("wait", "proof", 2, 0, self.least, self.most, HERE),
            Task("bake", "bake", 3, 0, self.bake, self.bake, HERE, oven=need),
            Task("wait", "cool", 4, 0, self.cool, self.cool, HERE),
        )
        return Job(name, name, 1, tasks, tuple(Link(n, n + 1, 0) for n in range(3)))


@dataclass(frozen=True)
class Choice:
    """Where one small job lies: its start, how long it waits, in which oven."""

    job: Small
    start: int
    wait: int
    oven: int

    @property
    def bake(self) -> tuple[int, int]:
        begin = self.start + self.job.hands + self.wait
        return begin, begin + self.job.bake

    @property
    def end(self) -> int:
        return self.bake[1] + self.job.cool


def change_min(before: int, after: int) -> int:
    by = after - before
    return ceil(by / HEAT) if by > 0 else ceil(-by / COOL)


def choices(job: Small, latest_end: int, ovens: int) -> Iterator[Choice]:
    for wait, oven in product(range(job.least, job.most + 1), range(ovens)):
        for start in range(latest_end):
            choice = Choice(job, start, wait, oven)
            if choice.end <= latest_end and choice.bake[0] >= change_min(ROOM, job.celsius):
                yield choice


def get_along(one: Choice, other: Choice, places: int) -> bool:
    """Whether hands and oven of two jobs keep out of each other's way."""
    if one.start < other.start + other.job.hands and other.start < one.start + one.job.hands:
        return False
    if one.oven != other.oven:
        return True
    first, last = sorted((one, other), key=lambda c: c.bake)
    if first.job.celsius != last.job.celsius:
        return last.bake[0] >= first.bake[1] + change_min(first.job.celsius, last.job.celsius)
    return last.bake[0] >= first.bake[1] or first.job.places + last.job.places <= places


def fits(day: Sequence[Choice], places: int) -> bool:
    """Whether at no minute more places of an oven are taken than it has."""
    for oven in {c.oven for c in day}:
        loads = [c for c in day if c.oven == oven]
        for at in (c.bake[0] for c in loads):
            if sum(c.job.places for c in loads if c.bake[0] <= at < c.bake[1]) > places:
                return False
    return True


def days(jobs: Sequence[Small], end: int, ovens: int, places: int) -> Iterator[tuple[Choice, ...]]:
    """Every way to lay the jobs out before ``end``."""

    def lay(done: tuple[Choice, ...]) -> Iterator[tuple[Choice, ...]]:
        if len(done) == len(jobs):
            if fits(done, places):
                yield done
            return
        for choice in choices(jobs[len(done)], end, ovens):
            if all(get_along(choice, other, places) for other in done):
                yield from lay((*done, choice))

    return lay(())


def swings(day: Sequence[Choice]) -> int:
    number = 0
    for oven in {c.oven for c in day}:
        degrees = [c.job.celsius for c in sorted(day, key=lambda c: c.bake) if c.oven == oven]
        number += sum(a != b for a, b in pairwise(degrees))
    return number


def best_by_hand(jobs: Sequence[Small], ovens: int, places: int) -> tuple[int, int]:
    """The earliest finish of all schedules, and the fewest swings with that finish."""
    end = max(job.hands + job.least + job.bake + job.cool for job in jobs)
    while (found := min(map(swings, days(jobs, end, ovens, places)), default=None)) is None:
        end += 1
    return end, found


smalls = st.builds(
    lambda hands, least, more, bake, celsius, places, cool: Small(
        hands, least, least + more, bake, celsius, places, cool
    ),
    hands=st.integers(1, 2),
    least=st.integers(1, 3),
    more=st.integers(2, 6),
    bake=st.integers(1, 3),
    celsius=st.sampled_from([170, 200]),
    places=st.integers(1, 2),
    cool=st.integers(0, 2),
)


@examples(25)
@given(st.lists(smalls, min_size=1, max_size=3), st.integers(1, 2), st.integers(2, 3))
def test_nothing_is_earlier_or_swings_less(jobs: list[Small], ovens: int, places: int) -> None:
    house = Bakehouse(tuple(Oven(f"oven {n}", places) for n in range(ovens)), HEAT, COOL)
    works = [job.job(f"job {n}") for n, job in enumerate(jobs)]
    try:
        found = timetable(works, house)
    except CannotRun:
        longest = sum(j.hands + j.most + j.bake + j.cool + 8 for j in jobs)
        assert not any(True for _ in days(jobs, longest, ovens, places))
        return
    assert all(found.proven.values())
    assert (found.finish, found.swings) == best_by_hand(jobs, ovens, places)
    assert broken_limits(found, house) == []


@examples(10)
@given(st.lists(smalls, min_size=2, max_size=3))
def test_fewest_swings_first(jobs: list[Small]) -> None:
    """One oven needs as many swings as it has temperatures less one, where waits allow that."""
    house = Bakehouse((Oven("oven", 2),), HEAT, COOL)
    works = [job.job(f"job {n}") for n, job in enumerate(jobs)]
    found = timetable(works, house, first="swings")
    assert found.swings == len({job.celsius for job in jobs}) - 1
    assert found.finish >= timetable(works, house).finish
    assert broken_limits(found, house) == []


def broken_limits(found: Timetable, house: Bakehouse, day: Hours | None = None) -> list[str]:
    """Every limit that a timetable breaks, checked from the plan's own numbers."""
    wrong: list[str] = []
    places = {oven.name: oven.places for oven in house.ovens}
    for p in found.placed:
        lasts = p.end - p.start
        if lasts < p.task.least_min or lasts > (p.task.most_min or lasts) or p.start < 0:
            wrong.append(f"{p.task.what} lasts {lasts}")
    at = {(p.job, p.index): p for p in found.placed}
    for number, job in enumerate(found.jobs):
        for link in job.links:
            gap = at[number, link.after].start - at[number, link.before].end
            if gap < 0 or gap > (gap if link.gap_most_min is None else link.gap_most_min):
                wrong.append(f"{gap} min between {link}")
    for minute in range(found.finish + 1):
        now = [p for p in found.placed if p.start <= minute < p.end]
        if sum(p.task.kind == "hands" for p in now) > house.bakers:
            wrong.append(f"hands at {minute}")
        wrong += [
            f"{one.name} at {minute}"
            for one in house.appliances
            if sum(one.name in p.task.appliances for p in now) > one.number
        ]
        for name, room in places.items():
            loads = [p.task.oven for p in now if p.oven == name and p.task.oven]
            taken = sum(room if need.places is None else need.places for need in loads)
            if taken > room or len({need.at_celsius for need in loads}) > 1:
                wrong.append(f"{name} at {minute}")
    return wrong + list(broken_heatings(found))


def broken_heatings(found: Timetable) -> Iterator[str]:
    """An oven is at its load's temperature, and nothing stands in it while it changes."""
    for heating in found.heatings:
        for p in found.placed:
            if p.oven == heating.oven and p.start < heating.end and heating.start < p.end:
                yield f"{p.task.what} stands in {p.oven} while it changes"
    for p in found.placed:
        if p.task.oven:
            before = [h for h in found.heatings if h.oven == p.oven and h.end <= p.start]
            if not before or before[-1].to_celsius != p.task.oven.heat_to_celsius:
                yield f"{p.task.what} goes into a wrong oven"


def demo_jobs(*ids: str, loads: int = 1, appliances: tuple[Appliance, ...] = ()) -> list[Job]:
    names = [str(ROOT / "formulas" / name) for name in ids]
    return [
        job_of(balance.formula, loads, 1, appliances=appliances)  # type: ignore[union-attr]
        for _, _, balance in weigh_inputs(input_files(names))
    ]


DAYS = [
    (("oat-date-loaf", "peach-cardamom-crumb-cake"), 1, Bakehouse(), Hours()),
    (("rye-ginger-cookie", "gluten-free-currant-loaf"), 2, Bakehouse((Oven("a"), Oven("b", 2))), Hours()),
    (("rye-poolish-loaf", "almond-prune-torte"), 1, Bakehouse(bakers=2), Hours(13 * 60, True, ((22 * 60, 6 * 60),))),
    (("rye-poolish-loaf", "oat-date-loaf"), 1, Bakehouse(), Hours(18 * 60, False, ((21 * 60, 7 * 60),))),
]  # fmt: skip


@pytest.mark.parametrize(("ids", "loads", "house", "day"), DAYS)
def test_demo_days_keep_every_limit(
    ids: tuple[str, ...], loads: int, house: Bakehouse, day: Hours
) -> None:
    found = timetable(demo_jobs(*ids, loads=loads), house, day=day)
    assert broken_limits(found, house) == []
    zero = day.anchor_min - (found.lead_min if day.at_end else 0)
    for begin, end in day.closed:
        for p in found.placed:
            if p.task.kind != "wait":
                minutes = {(zero + m) % 1440 for m in range(p.start, p.end)}
                closed = {(begin + m) % 1440 for m in range((end - begin) % 1440)}
                assert not minutes & closed, p.task.what


BREAD = """[
  {do: mix, uses: [flour, water], for: 5 min}, {do: proof, for: 20-30 min},
  {do: preheat, to: 200 °C}, {do: bake, at: 200 °C, for: 30 min}, {do: cool, for: 10 min}]"""


def bread(method: str = BREAD, loads: int = 1) -> Job:
    text = formula_text(
        "{item: flour, amount: 100 g}", "{item: water, amount: 60 g}", method=method
    )
    return job_of(weigh_text(text).formula, loads)


def test_a_day_worked_out_by_hand() -> None:
    """5 min of mixing, 20 of proof, 30 in the oven, 10 of cooling: 65 min. The second loaf waits for
    the oven: 55 + 30 + 10 = 95 min, mixed after 20 min at the earliest (30 of proof at most)."""
    one, two = bread(), bread()
    assert timetable([one], Bakehouse()).finish == 65
    found = timetable([one, two], Bakehouse())
    assert (found.finish, found.swings) == (95, 0)
    assert timetable([one, two], Bakehouse((Oven("a"), Oven("b")))).finish == 70


IMPOSSIBLE = [
    # two loads of one dough in one oven: the second would have to wait for the first to be baked
    (bread(BREAD, 2), Bakehouse(), Hours(), "'proof' of load 2 of trial may last 30 min, 20 min more are needed; add an oven or a baker"),
    (bread(BREAD.replace("20-30 min", "20 min"), 2), Bakehouse(), Hours(), "'proof' of load 2 of trial may last 35 min, 15 min more are needed"),
    # closed but for an hour: proof and bake do not fit, however long the proof
    (bread(BREAD.replace("20-30 min", "4000 h")), Bakehouse(), Hours(), "the work may take 166 days, more than 90; plan it in parts"),
    (bread(BREAD.replace("for: 30 min}, {do: cool", "for: 70 min}, {do: cool")), Bakehouse(), Hours(0, False, ((60, 0),)), "in these hours and ovens"),
]  # fmt: skip


@pytest.mark.parametrize(("job", "house", "day", "message"), IMPOSSIBLE)
def test_what_cannot_be_done_is_told_in_one_line(
    job: Job, house: Bakehouse, day: Hours, message: str
) -> None:
    with pytest.raises(CannotRun) as told:
        timetable([job], house, day=day)
    assert message in str(told.value)
    assert "\n" not in str(told.value)
