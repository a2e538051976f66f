"""A trial to be baked: what is asked for to a design, a variant file for each bake, blind codes and the record."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.designs.codes import Coded, coded
from perflour.designs.design import Design, Factor, draw
from perflour.designs.levels import end_text, level_text, rounded_level
from perflour.designs.moves import now, of_what
from perflour.designs.power import Shown, smallest_shown
from perflour.designs.request import blended, factors_from, goals_from, holds_from
from perflour.designs.variants import Head, Variant, variant, without_waivers
from perflour.designs.windows import outside_windows
from perflour.documents.writer import record_text, tidy
from perflour.formula.digests import digest
from perflour.history.revisions import kitchen_folder
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.lint.check import check_content
from perflour.recipe.header import formula_id
from perflour.records.trial import Goal, Hold, Trial, TrialFactor, trial_from
from perflour.result import CannotRun, FileProblem, Result, request_field
from perflour.system.branches import begin_branch, check_new_branch
from perflour.system.files import read_bytes
from perflour.system.git import find_repository
from perflour.system.named import formula_file
from perflour.system.opening import make_folder
from perflour.system.paths import FORMULA_FILE, TRIAL_FILE, TRIALS, display_path
from perflour.system.writing import write_new_folder
from perflour.trials.bake_request import checked_day
from perflour.trials.sensory import USUAL_SPREAD
from perflour.trials.session_request import MOST_SEED, MOST_TASTERS, drawn_seed

#: A variant's id is the trial's with a letter or two behind.
LONGEST_ID = 70
LONGEST_TITLE = 200
#: The model, and the kind, of ingredients that make up for each other.
BLEND = "blend"
MOST_BAKES = 200


@dataclass(frozen=True)
class TrialSaid:
    """What is said of a trial. ``formula`` is a formula file or its folder.

    ``vary`` are ``NAME=LOW..HIGH``, ``hold`` ``batch`` or ``total sugar=INGREDIENT``, ``goal`` ``chew=most`` (see
    ``request``). ``bakes`` is how many there is room for, ``per_oven`` how many an oven takes in a day. ``kind`` and
    ``model`` are those of ``design.draw``; ``seed`` None draws one. ``name`` makes the trial's id. The
    spreads, in points of a score, are those of tasters of one bake and of bakes of the same settings.
    """

    formula: str
    vary: Sequence[str]
    bakes: int
    tasters: int
    days: int = 1
    ovens: int = 1
    per_oven: int | None = None
    replicates: int = 1
    centre: int = 0
    kind: str = ""
    model: str = "main"
    goal: Sequence[str] = ()
    hold: Sequence[str] = ()
    gives_way: str = ""
    question: str = ""
    date: str = ""
    seed: int | None = None
    name: str = ""
    beyond_window: bool = False
    taster_spread: float = USUAL_SPREAD
    bake_spread: float = 0.0


@dataclass(frozen=True)
class PlannedFactor:
    """A factor with what it is in the formula now, and what its percentages are of, both in words."""

    factor: TrialFactor
    now: str
    of: str


@dataclass(frozen=True)
class PlannedBake:
    """One bake with its variant; ``new`` is what lint says of it and not of the formula."""

    letter: str
    code: str
    id: str
    variant: Variant
    of: str
    day: int
    oven: int
    place: int
    is_centre: bool
    new: tuple[Result, ...]


@dataclass(frozen=True)
class PlannedTrial:
    """A trial, nothing of it written yet.

    ``shown`` is how small an effect it finds, with the spreads that ``said`` has; ``beyond`` says which ratios leave
    the windows of the class.
    """

    folder: Path
    parent: Balance
    of: str
    design: Design
    trial: Trial
    factors: tuple[PlannedFactor, ...]
    bakes: tuple[PlannedBake, ...]
    said: TrialSaid
    shown: tuple[Shown, ...]
    beyond: tuple[str, ...]
    files: Mapping[str, bytes]

    @property
    def path(self) -> Path:
        """Where its record will stand."""
        return self.folder / TRIAL_FILE


def plan_trial(said: TrialSaid) -> PlannedTrial:
    """Draw a trial and make its variants; nothing is written. Raises CannotRun."""
    _check(said)
    path = formula_file(said.formula)
    kitchen, content = _kitchen(path), read_bytes(str(path))
    parent = _weighed(content, path, kitchen)
    blend = BLEND in (said.model, said.kind)
    factors = factors_from(said.vary, parent, said.gives_way, blend)
    holds, goals = holds_from(said.hold, parent, factors), goals_from(said.goal)
    whole = blended(factors, parent) if blend else 1.0
    design = _drawn(said, factors, whole if blend else None)
    trial_id, folder = _place(said.name, parent.formula.id, kitchen_folder(path) / TRIALS)
    moves = _Moves(path, content, parent, kitchen, factors, holds, whole)
    codes = coded(design, design.seed)
    bakes = _bakes(moves, design, codes, folder)
    weighed = [bake.variant.balance for bake in bakes]
    beyond = outside_windows(content, parent, kitchen, factors, holds, weighed, not blend)
    if beyond and not said.beyond_window:
        raise CannotRun(f"{beyond[0]}; narrow the range, or say {request_field('beyond_window')}")
    of = digest(parent.formula)
    data = _data(said, trial_id, parent, of, design, factors, holds, goals, bakes, codes)
    files = {f"{bake.id}/{FORMULA_FILE}": bake.variant.content for bake in bakes}
    files[TRIAL_FILE] = record_text("trial", data, folder / TRIAL_FILE).encode()
    shown = smallest_shown(design, tasters=said.tasters, taster_spread=said.taster_spread, bake_spread=said.bake_spread)  # fmt: skip
    now_and_of = tuple(_planned_factor(factor, parent) for factor in factors)
    return PlannedTrial(folder, parent, of, design, trial_from(data), now_and_of, bakes, said, shown, beyond, files)  # fmt: skip


class _Moves(NamedTuple):
    """A formula's file and what of it moves; ``whole`` is what a level of the design is multiplied by."""

    path: Path
    content: bytes
    parent: Balance
    kitchen: Kitchen
    factors: tuple[TrialFactor, ...]
    holds: tuple[Hold, ...]
    whole: float = 1.0


def _drawn(said: TrialSaid, factors: Sequence[TrialFactor], whole: float | None) -> Design:
    """The design; of a blend by shares of ``whole``, the percent that its ingredients are together."""
    of = whole or 1.0
    return draw(
        [Factor(f.name, f.low / of, f.high / of) for f in factors],
        bakes=said.bakes,
        kind=said.kind,
        days=said.days,
        ovens=said.ovens,
        per_oven=said.per_oven,
        replicates=said.replicates,
        centre=said.centre,
        model=BLEND if whole else said.model,
        seed=drawn_seed() if said.seed is None else said.seed,
    )


def _bakes(moves: _Moves, design: Design, codes: Coded, folder: Path) -> tuple[PlannedBake, ...]:
    """A variant for each run of the design, in the order of the work."""
    path, content, parent, kitchen, factors, holds, whole = moves
    old = {(r.rule, r.message) for r in check_content(content, str(path), kitchen)}
    bakes = []
    for run, letter in zip(design.runs, codes.letters, strict=True):
        wanted = zip(factors, design.actual(run.levels), strict=True)
        levels = {f.name: rounded_level(level * whole, f.unit) for f, level in wanted}
        name = f"{folder.name}-{letter}"
        which = f": {folder.name}, bake {letter}"
        title = parent.formula.title[: LONGEST_TITLE - len(which)] + which
        head = Head(name, title, folder / name / FORMULA_FILE, path)
        made = variant(content, parent, kitchen, factors, levels, holds, head)
        made, found = _linted(made, str(head.path), kitchen)
        new = tuple(r for r in found if (r.rule, r.message) not in old)
        of, code = digest(made.balance.formula), codes.by_letter[letter]
        place = (run.day, run.oven, run.place, run.is_centre)
        bakes.append(PlannedBake(letter, code, name, made, of, *place, new))
    return tuple(bakes)


def _planned_factor(factor: TrialFactor, parent: Balance) -> PlannedFactor:
    is_now = level_text(now(factor, parent).value, factor)
    return PlannedFactor(factor, is_now, of_what(factor, parent) if not factor.field else "")


def _linted(made: Variant, path: str, kitchen: Kitchen) -> tuple[Variant, tuple[Result, ...]]:
    """A variant without the waivers that its new amounts need no more, and what lint says of it."""
    found = check_content(made.content, path, kitchen)
    idle = {result.place[1:] for result in found if result.rule == "waiver-not-needed"}
    waivers = made.balance.formula.waivers
    numbers = [at for at, waiver in enumerate(waivers) if waiver.place[1:] in idle]
    if not numbers:
        return made, found
    content = without_waivers(made.content, numbers)
    balance = weigh_file(content, path, kitchen)
    return replace(made, content=content, balance=balance), check_content(content, path, kitchen)


def write_trial(planned: PlannedTrial, branch: str = "") -> str:
    """Write record and variants, all or nothing, on a new branch where one is named; the record's path as typed.

    Nothing is committed. Raises CannotRun, for work that is not committed too where a branch is named.
    """
    shown = display_path(str(planned.folder))
    repository = find_repository(planned.folder) if branch else None
    if repository:
        check_new_branch(repository, branch)
    try:
        make_folder(str(planned.folder.parent))
        write_new_folder(planned.folder, planned.files)
    except OSError as error:
        if os.path.isdir(planned.folder):  # somebody was faster
            raise _is_there(planned.folder) from None
        raise CannotRun(f"{shown}: cannot be written ({error.strerror}); check the folder and its rights") from None  # fmt: skip
    if repository:
        try:
            begin_branch(repository, branch)
        except CannotRun:
            _take_back(planned)
            raise
    return display_path(str(planned.path))


def _take_back(planned: PlannedTrial) -> None:
    """The folder that was just written goes again, as long as nobody put anything into it."""
    for name in planned.files:
        (planned.folder / name).unlink(missing_ok=True)
    for folder in {(planned.folder / name).parent for name in planned.files} - {planned.folder}:
        folder.rmdir()
    planned.folder.rmdir()


def _check(said: TrialSaid) -> None:
    if not 1 <= said.tasters <= MOST_TASTERS:
        raise CannotRun(f"a trial takes 1 to {MOST_TASTERS} tasters; say how many taste every bake with {request_field('tasters')}")  # fmt: skip
    if said.bakes > MOST_BAKES:
        raise CannotRun(f"{said.bakes} bakes are more than anybody bakes for one question; plan {MOST_BAKES} at most")  # fmt: skip
    if said.seed is not None and not 0 <= said.seed <= MOST_SEED:
        raise CannotRun(f"a seed is a whole number from 0 to {MOST_SEED}")


def _kitchen(path: Path) -> Kitchen:
    kitchen = kitchen_for(str(path))
    if kitchen.results:
        first = kitchen.results[0]
        raise CannotRun(f"{first.place}: {first.message}")
    return kitchen


def _weighed(content: bytes, path: Path, kitchen: Kitchen) -> Balance:
    try:
        return weigh_file(content, display_path(str(path)), kitchen)
    except FileProblem as problem:
        raise CannotRun(str(problem)) from None


def _place(name: str, parent: str, beside: Path) -> tuple[str, Path]:
    """The id of the trial and its folder; without a name the first number that is free. Raises CannotRun."""
    if name:
        if not any(sign.isalnum() for sign in name):
            raise CannotRun(f"'{tidy(name)}' is no name; write one like chew")
        trial_id = formula_id(name)[:LONGEST_ID].strip("-")
        if os.path.lexists(beside / trial_id):
            raise _is_there(beside / trial_id)
        return trial_id, beside / trial_id
    number = 1
    stem = parent[: LONGEST_ID - 5].strip("-")
    while os.path.lexists(beside / f"{stem}-{number}"):
        number += 1
    return f"{stem}-{number}", beside / f"{stem}-{number}"


def _is_there(folder: Path) -> CannotRun:
    return CannotRun(f"{display_path(str(folder))}: is there already; give the trial another {request_field('name')}")  # fmt: skip


def _data(
    said: TrialSaid,
    trial_id: str,
    parent: Balance,
    of: str,
    design: Design,
    factors: Sequence[TrialFactor],
    holds: Sequence[Hold],
    goals: Sequence[Goal],
    bakes: Sequence[PlannedBake],
    codes: Coded,
) -> dict[str, Any]:
    """The record as data in the order of the schema."""
    data = {
        "trial": trial_id,
        "date": checked_day(said.date),
        "question": tidy(said.question),
        "formula": parent.formula.id,
        "of": of,
        "design": _design_data(said, design),
        "factors": [_factor_data(factor) for factor in factors],
        "holds": [_filled({"hold": h.what, "gives-way": h.gives_way}) for h in holds],
        "goals": [_goal_data(goal) for goal in goals],
        "tasters": said.tasters,
        "tastings": [{"bakes": list(t.bakes), "seed": t.seed} for t in codes.tastings],
        "bakes": [_bake_data(bake) for bake in bakes],
    }
    return _filled(data)


def _filled(data: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in data.items() if value}


def _design_data(said: TrialSaid, design: Design) -> dict[str, Any]:
    data: dict[str, Any] = {"kind": design.kind, "model": design.model, "seed": design.seed}
    if said.replicates > 1:
        data["replicates"] = said.replicates
    if said.centre:
        data["centre"] = said.centre
    data |= {"days": said.days, "ovens": said.ovens}
    return data | ({"per-oven": said.per_oven} if said.per_oven else {})


def _factor_data(factor: TrialFactor) -> dict[str, Any]:
    moved = {
        "factor": factor.name,
        "ingredient": factor.ingredient,
        "part": factor.part,
        "ratio": factor.ratio,
        "step": factor.step,
        "field": factor.field,
        "along": list(factor.along),
        "gives-way": factor.gives_way,
    }
    ends = {key: end_text(getattr(factor, key), factor) for key in ("low", "high")}
    return {**_filled(moved), **ends}


def _goal_data(goal: Goal) -> dict[str, Any]:
    figures = {key: _plain(value) for key in ("at", "low", "high") if (value := getattr(goal, key)) is not None}  # fmt: skip
    weight = {"weight": _plain(goal.weight)} if goal.weight != 1 else {}
    return {"attribute": goal.attribute, "aim": goal.aim, **figures, **weight}


def _plain(value: float) -> int | float:
    """A whole number without its point."""
    return int(value) if value == int(value) else value


def _bake_data(bake: PlannedBake) -> dict[str, Any]:
    data: dict[str, Any] = {
        "bake": bake.letter,
        "code": bake.code,
        "formula": bake.id,
        "of": bake.of,
        "levels": dict(bake.variant.said),
        "day": bake.day,
        "oven": bake.oven,
        "place": bake.place,
    }
    return data | ({"centre": True} if bake.is_centre else {})
