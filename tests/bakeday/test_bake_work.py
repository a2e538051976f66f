"""A method as work: what needs hands, what waits and until when, what follows what."""

from __future__ import annotations

import pytest

from perflour.bakeday.work import Allowances, Job, Task, job_of
from perflour.balance.files import weigh_inputs
from perflour.result import CannotRun
from perflour.system.files import input_files
from tests.conftest import ROOT, formula_text, weigh_text


def work(method: str, loads: int = 1) -> Job:
    lines = [f"{{item: {name}, amount: 100 g}}" for name in ("flour", "water", "sugar", "oats")]
    return job_of(weigh_text(formula_text(*lines, method=f"[{method}]")).formula, loads)


def said(job: Job) -> list[str]:
    """Tasks as `kind what least-most`, a `~` where the time is assumed."""

    def limits(task: Task) -> str:
        return f"{task.least_min}-{'' if task.most_min is None else task.most_min}"

    return [f"{t.kind} {t.what} {limits(t)}{'~' if t.assumed else ''}" for t in job.tasks]


BAKE = "{do: bake, at: 200 °C, for: 35-40 min}"
STEPS = [
    # ranges: hands and oven are booked for the longer time, a wait lasts from the shorter to the longer
    ("{do: mix, for: 3-4 min}", ["hands mix 4-4"]),
    ("{do: fold}", ["hands fold 5-5~"]),
    (BAKE, ["bake bake 40-40"]),
    (f"{{do: proof, for: 60-75 min}}, {BAKE}", ["wait proof 60-75", "bake bake 40-40"]),
    # one figure: dough may run over by the allowance, what drains or cools as long as you like
    (f"{{do: proof, for: 1 h}}, {BAKE}", ["wait proof 60-75", "bake bake 40-40"]),
    ("{do: cool, for: 1 h}, {do: glaze}", ["wait cool 60-", "hands glaze 5-5~"]),
    ("{do: cool, for: 30-60 min}, {do: glaze}", ["wait cool 30-", "hands glaze 5-5~"]),
    # the last wait ends the day as soon as it may
    (f"{BAKE}, {{do: cool, for: 30-60 min}}", ["bake bake 40-40", "wait cool 30-30"]),
    # two settings of one stay in the oven
    (f"{BAKE}, {{do: bake, at: 170 °C, for: 10 min}}", ["bake bake 50-50"]),
    # a soaker needs hands to begin with, and stands until it is named
    ("{do: soak, uses: [oats, water], for: 20 min}, {do: mix, uses: [flour]}, {do: fold, uses: [oats]}",
     ["hands soak (set up) 5-5~", "hands mix 5-5~", "hands fold 5-5~", "wait soak 20-"]),
    ("{do: drain, uses: [oats]}", ["hands drain 5-5~"]),
    ("{do: preheat, to: 200 °C}", []),
]  # fmt: skip


@pytest.mark.parametrize(("method", "expected"), STEPS, ids=[s[0][:60] for s in STEPS])
def test_steps_become_work(method: str, expected: list[str]) -> None:
    assert said(work(method)) == expected


def test_a_preheat_hotter_than_the_bake_is_kept() -> None:
    job = work("{do: preheat, to: 240 °C, for: 45 min}, {do: bake, at: 230 °C, for: 40 min}")
    need = job.tasks[0].oven
    assert need and (need.heat_to_celsius, need.at_celsius, need.heat_least_min) == (240, 230, 45)


def links(job: Job) -> set[tuple[str, str, int | None]]:
    return {(job.tasks[k.before].what, job.tasks[k.after].what, k.gap_most_min) for k in job.links}


def test_the_crumb_cake_chills_its_crumbs_until_they_go_on_top() -> None:
    """The demo formula: crumbs chill and peaches drain beside the batter, the pan is lined any time."""
    (_, _, weighed), *_ = weigh_inputs(
        input_files([str(ROOT / "formulas" / "peach-cardamom-crumb-cake")])
    )
    found = links(job_of(weighed.formula))  # type: ignore[union-attr]
    assert {("rub in", "chill", 0), ("chill", "top", 0), ("drain", "top", 0)} <= found
    assert {("line", "deposit", None), ("rub in", "drain (set up)", None)} <= found
    assert {("deposit", "top", 10), ("top", "bake", 10), ("bake", "cool", 0)} <= found
    assert not any(after == "whisk" and gap is not None for _, after, gap in found)


def test_every_load_portions_and_bakes_for_itself() -> None:
    method = (
        f"{{do: mix}}, {{do: chill, for: 1-2 h}}, {{do: portion}}, {BAKE}, {{do: cool, for: 9 min}}"
    )
    job = work(method, loads=2)
    own = ["wait chill 60-120", "hands portion 5-5~", "bake bake 40-40", "wait cool 9-9"]
    assert said(job) == ["hands mix 5-5~", *own, *own]
    assert [task.load for task in job.tasks] == [0, 1, 1, 1, 1, 2, 2, 2, 2]
    assert sorted((k.before, k.after) for k in job.links if k.before == 0) == [(0, 1), (0, 5)]


def test_a_wait_beside_the_work_of_one_load_is_not_begun_by_another() -> None:
    method = f"""{{do: mix, uses: [flour]}}, {{do: divide}}, {{do: soak, uses: [oats], for: 20 min}},
      {{do: roll}}, {{do: top, uses: [oats]}}, {BAKE}"""
    job = work(method, loads=2)
    begins = [
        (job.tasks[k.before].load, job.tasks[k.after].load)
        for k in job.links
        if job.tasks[k.after].what == "soak"
    ]
    assert begins == [(1, 1), (2, 2)]


def test_fat_cut_in_makes_no_pieces() -> None:
    job = work(f"{{do: cut in, uses: [flour]}}, {{do: cut}}, {BAKE}", loads=2)
    assert [(task.what, task.load) for task in job.tasks][:2] == [("cut in", 0), ("cut", 1)]


def test_allowances_are_what_the_plan_says() -> None:
    text = formula_text(
        "{item: flour, amount: 1 g}", method=f"[{{do: mix}}, {{do: rest, for: 9 min}}, {BAKE}]"
    )
    job = job_of(weigh_text(text).formula, allowances=Allowances(2, 3, 4))
    assert said(job)[:2] == ["hands mix 2-2~", "wait rest 9-13"]


SILENT = [
    ("{do: proof}", "formula.yaml:12:10: 'proof' states no time; write `for: 45-50 min`, a plan needs the time of every wait and bake"),
    ("{do: bake, at: 200 °C}", "formula.yaml:12:10: 'bake' states no time; write `for: 45-50 min`, a plan needs the time of every wait and bake"),
    ("{do: cool, for: a while}", "formula.yaml:12:10: 'cool' states no time that can be read ('a while'); write `for: 45-50 min`"),
    ("{do: bake, for: 40 min}", "formula.yaml:12:10: 'bake' states no temperature; write `at: 175 °C`, a plan needs it"),
]  # fmt: skip


@pytest.mark.parametrize(("method", "message"), SILENT)
def test_what_the_formula_must_say(method: str, message: str) -> None:
    with pytest.raises(CannotRun) as told:
        work(method)
    assert str(told.value).startswith(message)
