"""The search for a timetable: what it keeps when it is cut short, and what it says of that.

Days worked out by hand are common practice, no source.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from perflour.bakeday.appliances import Appliance, not_counted, taken_by
from perflour.bakeday.ovens import Bakehouse, Oven
from perflour.bakeday.search import Progress
from perflour.bakeday.solver import FINISH, IN_WORK, SWINGS
from perflour.bakeday.timetable import timetable
from perflour.bakeday.work import Job, job_of
from perflour.formula.formula import Step
from tests.bakeday.test_timetable import broken_limits, demo_jobs
from tests.conftest import ROOT, formula_text, run_cli, weigh_text

DEMO = tuple(sorted(path.parent.name for path in (ROOT / "formulas").glob("*/formula.yaml")))
MIXED = """[
  {do: mix, uses: [flour, water], with: dough hook, for: 10 min},
  {do: preheat, to: 120 °C}, {do: bake, at: 120 °C, for: 30 min}]"""


def mixed(name: str, *appliances: Appliance) -> Job:
    text = formula_text(
        "{item: flour, amount: 100 g}", "{item: water, amount: 60 g}", method=MIXED
    ).replace("formula: trial", f"formula: {name}")
    return job_of(weigh_text(text).formula, appliances=appliances)


@pytest.mark.parametrize(
    "house",
    [Bakehouse(), Bakehouse((Oven("a"), Oven("b", 2)), bakers=2)],
    ids=["one oven", "two ovens"],
)
def test_a_search_that_is_cut_short_keeps_every_limit_and_says_how_far_it_came(
    house: Bakehouse,
) -> None:
    """The poolish loaf alone takes 18 h: 12 h, 3 + 20 + 6 + 90 + 5 + 5 + 60 + 5 + 40 + 120 min and 5 of mixing."""
    found = timetable(demo_jobs(*DEMO), house, seconds=1.5)
    assert broken_limits(found, house) == []
    for name, far in found.reached.items():
        assert far is None or 0 <= far.at_least <= far.value, name
    finish = found.reached[FINISH]
    assert finish and finish.at_least <= 1080 <= finish.value == found.finish
    swings = found.reached[SWINGS]
    assert swings is None or swings.value == found.swings


def test_the_same_question_has_the_same_plan() -> None:
    jobs = demo_jobs("oat-date-loaf", "gluten-free-currant-loaf", "peach-cardamom-crumb-cake")
    assert timetable(jobs, Bakehouse()) == timetable(jobs, Bakehouse())


def test_who_interrupts_gets_the_best_so_far() -> None:
    def weary(now: Progress) -> None:
        if now.best is not None:
            raise KeyboardInterrupt

    found = timetable(demo_jobs(*DEMO), Bakehouse(), seconds=60, watch=weary)
    assert found.stopped and not found.proven[IN_WORK]
    assert broken_limits(found, Bakehouse()) == []


def test_two_doughs_take_turns_at_one_mixer() -> None:
    """Two bakers, two ovens that are hot from 10 min on: 10 + 30 min, or ten more for the one that waits."""
    ovens = (Oven("a"), Oven("b"))
    for number, finish in ((0, 40), (1, 50), (2, 40)):
        named = (Appliance("stand mixer", number),) if number else ()
        house = Bakehouse(ovens, bakers=2, appliances=named)
        found = timetable([mixed("one", *named), mixed("two", *named)], house)
        assert (found.finish, broken_limits(found, house)) == (finish, [])


TAKES = [
    ("mixer", {"do": "mix", "with": "dough hook"}, True),
    ("stand mixer", {"do": "whip", "with": "whisk", "speed": "high"}, True),
    ("stand mixer", {"do": "whisk", "with": "balloon whisk"}, False),
    ("hob", {"do": "simmer"}, True),
    ("stove", {"do": "melt", "with": "water bath"}, True),
    ("hob", {"do": "grill"}, False),
    ("deep fryer", {"do": "fry"}, True),
    ("waffle iron", {"do": "cook", "on": "waffle iron"}, True),
    ("blast freezer", {"do": "freeze"}, True),
    ("fridge", {"do": "freeze"}, False),
    ("fridge", {"do": "chill"}, True),
    ("proofer", {"do": "proof"}, True),
    ("sheeter", {"do": "roll", "with": "the dough sheeter"}, True),
    ("sheeter", {"do": "roll", "with": "pin"}, False),
    ("mixer", {"do": "bake", "with": "paddle"}, False),
]  # fmt: skip


def step(said: dict[str, str]) -> Step:
    words = ", ".join(f"{key}: {text}" for key, text in said.items())
    text = formula_text("{item: flour, amount: 100 g}", method=f"[{{{words}}}]")
    return weigh_text(text).formula.method[0]


@pytest.mark.parametrize(("name", "said", "taken"), TAKES, ids=[f"{t[0]} {t[1]}" for t in TAKES])
def test_what_a_step_takes(name: str, said: dict[str, str], taken: bool) -> None:
    assert taken_by(step(said), [Appliance(name)]) == ((name,) if taken else ())


def test_what_nobody_named_is_counted_by_steps() -> None:
    steps = [step(said) for name, said, taken in TAKES if taken]
    told = dict(not_counted(steps, [Appliance("sheeter"), Appliance("mixer")]))
    assert told == {"hob": 3, "fryer": 1, "waffle iron": 1, "freezer": 1, "fridge": 1}


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """Two formulas; one of them has a bake and a proof that state no time."""
    for name, method in (("good-roll", MIXED), ("mute-roll", "[{do: proof}, {do: bake}]")):
        text = formula_text(
            "{item: flour, amount: 500 g}", method=method, extra="yield: {pieces: 10}\n"
        ).replace("formula: trial", f"formula: {name}")
        (tmp_path / name).mkdir()
        (tmp_path / name / "formula.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def test_all_that_is_wrong_is_told_in_one_run(kitchen: Path) -> None:
    words = ["--make", "sad-roll=2", "--make", "good-roll=some", "--oven", "deck=0", "--oven", "=1"]
    words += ["--load", "grey-roll=4", "--load", "good-roll=q", "--appliance", "hob=0", "--step", "soon"]  # fmt: skip
    done = run_cli("plan", ".", *words, cwd=kitchen)
    told = [line.removeprefix("perflour: ") for line in done.err.splitlines()]
    assert (done.code, done.out) == (2, "")
    wanted = ["--make: no formula 'sad-roll'", "--make 'some'", "--oven 'deck=0'", "--oven '=1'", "--load: no formula 'grey-roll'", "--load 'good-roll=q'", "--appliance 'hob=0'", "--step: 'soon'", "'proof' states no time", "'bake' states no time", "'bake' states no temperature"]  # fmt: skip
    assert len(told) == len(wanted)
    for words_of_one in wanted:
        assert sum(words_of_one in line for line in told) == 1, words_of_one


def test_a_plan_says_which_appliances_it_counts(kitchen: Path) -> None:
    plain = run_cli("plan", "good-roll", "--wide", cwd=kitchen).out
    assert "Not counted, several steps may take one at a time: mixer (1 step)." in plain
    named = run_cli("plan", "good-roll", "--wide", "--appliance", "mixer", "--appliance", "press", cwd=kitchen)  # fmt: skip
    assert "Appliances: mixer (1), press (1)." in named.out
    assert "Taken by no step: press." in named.out
    assert "hands, mixer" in named.out and "Not counted" not in named.out


def test_nothing_is_lost_in_a_narrow_terminal(kitchen: Path) -> None:
    """Every word of a wide plan stands in the narrow one as well, and no row is wider than the terminal."""
    words = ("plan", str(ROOT / "formulas" / "oat-date-loaf"), "--start", "06:30")
    narrow = run_cli(*words, cwd=kitchen).out
    wide = run_cli(*words, "--wide", cwd=kitchen).out

    def signs(text: str) -> list[str]:
        return sorted(re.sub(r"[\s-]", "", text))

    assert signs(narrow) == signs(wide)
    table, whole = (text[text.index("TIMETABLE") : text.index("OVENS")] for text in (narrow, wide))
    assert max(map(len, table.splitlines())) <= 80 < max(map(len, whole.splitlines()))
    assert "…" not in narrow


def test_a_wait_of_any_length_takes_its_room_in_the_cold() -> None:
    """The cookie chills 2 h at least; with one fridge two doughs chill one after the other."""
    fridge = (Appliance("fridge"),)
    jobs = demo_jobs("rye-ginger-cookie", appliances=fridge) * 2
    house = Bakehouse(bakers=2, appliances=fridge)
    found = timetable(jobs, house)
    chills = sorted((p.start, p.end) for p in found.placed if p.task.appliances)
    assert len(chills) == 2 and chills[0][1] <= chills[1][0]
    assert broken_limits(found, house) == []


def test_a_formula_without_steps_takes_no_room_in_a_long_search(kitchen: Path) -> None:
    """Among so many that nothing is proven in the time, so that some are moved while others stay."""
    bare = kitchen / "bare" / "formula.yaml"
    bare.parent.mkdir()
    bare.write_text(formula_text("{item: bread flour, amount: 100 g}"), encoding="utf-8")
    done = run_cli("plan", str(ROOT / "formulas"), str(bare), "--seconds", "4", cwd=kitchen)
    assert (done.code, "not proven best" in done.out) == (0, True), done.err
