"""A bake day as sections: timetable, ovens, shopping list, a sheet a formula, codes."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.bakeday.clock import hours
from perflour.bakeday.plan import Made, Plan
from perflour.bakeday.search import Progress, Reached
from perflour.bakeday.solver import FINISH, IN_WORK, OVERRUN, SWINGS
from perflour.balance.allergens import allergens
from perflour.kitchen.figures import factor as factor_text
from perflour.report.bakeday.entries import (
    clock_span,
    day_entries,
    day_lanes,
    load_words,
    mixing_words,
    several_days,
)
from perflour.report.bakeday.shopping import shopping_section
from perflour.report.cautions import IN_FULL
from perflour.report.form.lanes import picture
from perflour.report.form.sections import Section
from perflour.report.imported import allergen_lines
from perflour.report.scaled import effect_lines

GOALS = {
    FINISH: ("finish as early as possible", "nothing earlier exists"),
    SWINGS: ("as few swings of an oven's temperature as possible", "fewer do not exist"),
    IN_WORK: ("each formula as short in work as possible", "nothing shorter exists"),
}
SEARCHED = {
    FINISH: "the earliest finish",
    SWINGS: "the fewest swings of an oven",
    IN_WORK: "the shortest time of all formulas",
    OVERRUN: "which limit is in the way",
}
UNPROVEN = "not proven best"


def plan_title(plan: Plan) -> str:
    """What the day is about, in one line."""
    return f"Bake day: {', '.join(one.batch.id for one in plan.made)}"


def plan_sections(plan: Plan, in_short: bool = False) -> list[Section]:
    """Everything to print, in the order in which it is needed; the cautions whole or a sentence of each."""
    ovens = _ovens(plan)
    return [
        _overview(plan),
        _timetable(plan),
        *([ovens] if ovens.rows else []),
        shopping_section(plan.shopping),
        *(_sheet(one) for one in plan.made),
        *_codes(plan),
        Section("Cautions", before=tuple(_cautions(plan, in_short))),
    ]


def _cautions(plan: Plan, in_short: bool) -> Iterator[str]:
    """The allergens of each formula, then each caution once."""
    for one in plan.made:
        yield f"{one.batch.id}: {' '.join(allergen_lines(allergens(one.batch.balance)))}"
    yield from (caution.in_short if in_short else caution.text for caution in plan.cautions)
    if in_short:
        yield IN_FULL


def _overview(plan: Plan) -> Section:
    found, allowances, house = plan.timetable, plan.allowances, plan.house
    begin, end = plan.clock.at(0), plan.clock.at(found.finish)
    rows = tuple((one.batch.id, _batch(one), _pieces(one), str(one.loads)) for one in plan.made)
    sentences = [f"From {begin} to {end}: {hours(found.finish)}, oven swings: {found.swings}."]
    sentences += [
        f"{GOALS[name][0]}: {_how_good(plan, name, far)}." for name, far in found.reached.items()
    ]
    if found.stopped:
        sentences.append("The search was stopped: this is the best that was found until then.")
    ovens = ", ".join(f"{oven.name} ({_places(oven.places)})" for oven in house.ovens)
    sentences += [
        f"Ovens: {ovens}; {house.heat_per_min:g} °C up and {house.cool_per_min:g} °C down in a minute. Bakers: {house.bakers}.",
        f"Taken where a formula is silent: {allowances.step_min} min a step (marked ~), dough in work stands {allowances.pause_most_min} min at most, a time written as one figure may run over by {allowances.grace_min} min where dough waits.",
    ]
    sentences[-1:-1] = _appliances(plan)
    headers = ("formula", "batch", "pieces", "loads")
    return Section("The day", headers, rows, "<>>>", after=tuple(sentences))


def _how_good(plan: Plan, name: str, far: Reached | None) -> str:
    """Whether a goal is met as well as it can be, else how far off it is at most."""
    if far is None:
        return f"{UNPROVEN}, it was not searched in the time given"
    if far.proven:
        return f"proven, {GOALS[name][1]}"
    off = far.value - far.at_least
    most = f"{off} fewer" if name == SWINGS else f"{hours(off)} less"
    whole = " in all" if name == IN_WORK and len(plan.timetable.jobs) > 1 else ""
    return f"{UNPROVEN} in the time given, at most {most}{whole} may be possible"


def search_words(now: Progress) -> str:
    """How a search goes, in a line."""
    best = ""
    if now.best is not None:
        best = f", so far {now.best if now.goal == SWINGS else hours(now.best)}"
    return f"{now.seconds:.0f} s: {SEARCHED[now.goal]}{best}; Ctrl-C ends it"


def _appliances(plan: Plan) -> Iterator[str]:
    """What is shared beside hands and ovens, and what nobody named and everybody may have at once."""
    if plan.house.appliances:
        named = ", ".join(f"{one.name} ({one.number})" for one in plan.house.appliances)
        yield f"Appliances: {named}."
    if plan.idle:
        yield f"Taken by no step: {', '.join(plan.idle)}. Steps name what they take in `do`, `with`, `on` or `into`."
    if plan.not_counted:
        told = ", ".join(f"{name} ({n} step{'s' if n > 1 else ''})" for name, n in plan.not_counted)
        first = plan.not_counted[0][0]
        yield f"Not counted, several steps may take one at a time: {told}. Name each as an appliance (`{first}=1`) to count it."


def _batch(one: Made) -> str:
    times = f"{one.mixings} mixings of " if one.mixings > 1 else ""
    return f"{times}{factor_text(one.rescaled.scaled.factor)}"


def _pieces(one: Made) -> str:
    return f"{one.pieces} ({one.batch.piece})" if one.pieces else ""


def _places(number: int) -> str:
    return f"{number} place{'s' if number > 1 else ''}"


def _timetable(plan: Plan) -> Section:
    ordered: list[tuple[str, ...]] = []
    several = several_days(plan)
    day = ""
    for one in day_entries(plan):
        if several and (now := plan.clock.day(one.start)) != day:
            day = now
            ordered.append(("", "", "", "", day))
        ordered.append((*clock_span(plan, one.start, one.end), one.where, one.formula, one.told))
    headers = ("from", "to", "where", "formula", "what")
    return Section("Timetable", headers, tuple(ordered), ">><<<", picture=picture(day_lanes(plan)))


def _ovens(plan: Plan) -> Section:
    rows = tuple(
        (
            placed.oven,
            plan.clock.at(placed.start),
            plan.clock.at(placed.end),
            f"{placed.task.oven.at_celsius:.0f} °C",
            f"{plan.timetable.jobs[placed.job].formula}{load_words(placed.task, plan.timetable.jobs[placed.job])}",
        )
        for oven in plan.house.ovens
        for placed in plan.timetable.placed
        if placed.oven == oven.name and placed.task.oven
    )
    return Section("Ovens", ("oven", "in", "out", "at", "load"), rows, "<>>><")


def _sheet(one: Made) -> Section:
    rows: list[tuple[str, ...]] = []
    part = None
    said = [line for of_part in one.batch.balance.formula.parts for line in of_part.lines]
    for line, as_said in zip(one.rescaled.scaled.lines, said, strict=True):
        if line.part != part:
            part = line.part
            rows.append((part, "", "", ""))
        exact = "?" if line.exact_g is None else f"{line.exact_g:,.1f}"
        item = ", ".join(filter(None, (line.item, as_said.state)))
        rows.append((f"  {item}", line.before, exact, line.amount))
    times = f" Weigh it {one.mixings} times." if one.mixings > 1 else ""
    before = f"{one.batch.balance.formula.title}, {mixing_words(one)}.{times}"
    headers = ("", "formula", "exact g", "weigh")
    after = tuple(effect_lines(one.rescaled))
    return Section(
        f"Sheet: {one.batch.id}", headers, tuple(rows), "<<>>", (before,), after, new_page=True
    )


def _codes(plan: Plan) -> Iterator[Section]:
    if not plan.serving:
        return
    order = tuple((str(at), code) for at, code in enumerate(plan.serving, 1))
    yield Section(
        "Tasting order", ("plate", "code"), order, ">>", before=("For the tasters: codes only.",)
    )
    key = tuple((one.code, one.batch.id) for one in plan.made)
    yield Section(
        "Key to the codes",
        ("code", "formula"),
        key,
        "><",
        before=("Not for the tasters: keep it apart until all scores are in.",),
        new_page=True,
    )
