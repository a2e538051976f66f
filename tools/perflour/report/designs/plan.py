"""A planned trial: its bakes for whoever bakes, its codes apart from them, what it can tell, what to type next."""

from __future__ import annotations

import shlex
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import isinf

from perflour.designs.levels import level_text
from perflour.designs.plan import PlannedBake, PlannedTrial
from perflour.designs.power import smallest_between
from perflour.documents.schema import schema
from perflour.formula.verbs import CHILLS, words_of
from perflour.records.trial import Goal, TrialFactor
from perflour.report.designs.confounded import confounded_lines
from perflour.report.form.sections import Section, sections_html, sections_markdown, sections_text
from perflour.system.paths import display_path
from perflour.trials.means import USUAL_SPREAD

KINDS = {
    "full": "every combination of low and high",
    "fraction": "a balanced part of all combinations of low and high",
    "screening": "as few bakes as tell every factor by itself",
    "blend": "a spread of blends within the ranges",
    "best-for": "the combinations that tell most in so many bakes",
}


MODELS = {
    "main": "what each factor does by itself",
    "pairs": "what each factor does, and every two together",
    "blend": "what each does by itself as far as the rest makes up for it, and every two together",
    "curved": "what each factor does, every two together, and where the best lies in between",
}


@dataclass(frozen=True)
class Told:
    """A trial and what was done with it: the path of its record, empty where nothing was written, and the branch."""

    planned: PlannedTrial
    written: str = ""
    branch: str = ""


def trial_text(told: Told, wide: bool = False) -> str:
    """For a terminal, as wide as it is unless ``wide``."""
    return sections_text(_title(told), _sections(told), wide)


def trial_markdown(told: Told, _: bool = False) -> str:
    return sections_markdown(_title(told), _sections(told))


def trial_html(told: Told, _: bool = False) -> str:
    """A page to be printed; the codes start a page of their own."""
    return sections_html(_title(told), _sections(told))


def _title(told: Told) -> str:
    return f"Trial {told.planned.trial.id}: {told.planned.parent.formula.title}"


def _sections(told: Told) -> list[Section]:
    planned = told.planned
    return [
        _overview(told),
        _factors(planned),
        _bakes(planned),
        Section(
            "What it can tell", before=(*_smallest(planned), *confounded_lines(planned.design))
        ),
        Section("Mind", before=tuple(cautions(planned))),
        Section("Next", before=tuple(next_steps(told))),
        _codes(planned),
    ]


def _overview(told: Told) -> Section:
    planned, trial = told.planned, told.planned.trial
    days, ovens = trial.design.days, trial.design.ovens
    lines = [trial.question] if trial.question else []
    kind = KINDS.get(trial.design.kind, "a design")
    lines += [
        f"{len(trial.bakes)} bakes on {_count(days, 'day')} in {_count(ovens, 'oven')}: {kind} ({trial.design.kind}), to tell {MODELS[trial.design.model]}; seed {trial.design.seed}.",
        f"Variants of {trial.formula}, revision {trial.of}; {_count(trial.tasters, 'taster')} for every bake.",
    ]
    if left := planned.said.bakes - len(trial.bakes):
        lines.append(f"There is room for {_count(left, 'more bake')}. Bakes of the same settings (--replicates, --centre) would show how far two alike differ.")  # fmt: skip
    lines += [f"Goal: {goal_words(goal)}." for goal in trial.goals]
    lines += [
        "The batch stays as heavy as the formula's." if hold.what == "batch" else f"{hold.what.replace('-', ' ').capitalize()} stays; {hold.gives_way} gives way."
        for hold in trial.holds
    ]  # fmt: skip
    if told.written:
        where = f" on the new branch {told.branch}" if told.branch else ""
        lines.append(f"Written{where}, not committed: {told.written} and {len(trial.bakes)} variants beside it.")  # fmt: skip
    else:
        lines.append(f"Nothing is written; it would stand in {display_path(str(planned.folder))}.")
    return Section("The trial", before=tuple(lines))


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'s'[: number != 1]}"


def goal_words(goal: Goal) -> str:
    """What is wanted of an attribute, in words."""
    wanted = {
        "most": "as much as can be",
        "least": "as little as can be",
        "target": f"near {goal.at:g}" if goal.at is not None else "",
        "within": f"from {goal.low:g} to {goal.high:g}" if goal.low is not None and goal.high is not None else "",
    }[goal.aim]  # fmt: skip
    weight = f", weight {goal.weight:g}" if goal.weight != 1 else ""
    return f"{goal.attribute} {wanted}{weight}"


def _factors(planned: PlannedTrial) -> Section:
    rows = []
    for one, factor in zip(planned.factors, planned.trial.factors, strict=True):
        ends = (level_text(end, factor) for end in (factor.low, factor.high))
        rows.append((factor.name, one.now, *ends, _moves(one.of, factor, planned)))
    headers = ("factor", "now", "low", "high", "what moves")
    return Section("What is varied", headers, tuple(rows), "<>>><")


def _moves(of: str, factor: TrialFactor, planned: PlannedTrial) -> str:
    method = planned.parent.formula.method
    if factor.field:
        along = "".join(f", with it step {n}, {method[n - 1].do}" for n in factor.along)
        return f"step {factor.step}, {method[factor.step - 1].do}{along}"
    giving = f"; {factor.gives_way} gives way" if factor.gives_way else ""
    moved = "all of its ingredients, " if factor.ratio else ""
    return f"{moved}in percent of {of}{giving}"


def _bakes(planned: PlannedTrial) -> Section:
    """The sheet of whoever bakes: no codes on it."""
    names = [factor.name for factor in planned.trial.factors]
    by_place = sorted(planned.trial.bakes, key=lambda bake: (bake.day, bake.oven, bake.place))
    rows = tuple(
        (bake.letter, str(bake.day), str(bake.oven), str(bake.place), *(bake.said[name] for name in names), "middle" if bake.is_centre else "")
        for bake in by_place
    )  # fmt: skip
    headers = ("bake", "day", "oven", "place", *names, "")
    before = "In the order in which they go into the oven. It was drawn: keep to it, so that a drift of the day is nobody's merit."
    align = "<" + ">" * (len(headers) - 2) + "<"
    return Section("Bakes", headers, rows, align, (before,), tuple(_in_all(planned)), new_page=True)


def _in_all(planned: PlannedTrial) -> Iterator[str]:
    """How much is baked: a trial of whole batches is more than anybody eats."""
    grams = sum(bake.variant.balance.batch_g for bake in planned.bakes)
    yields = planned.parent.formula.yields
    pieces = f", {yields.pieces * len(planned.bakes)} times {yields.piece}" if yields else ""
    yield f"In all {grams / 1000:.3g} kg of {planned.parent.base_name}{pieces}. For less, scale the formula first (perflour scale) and plan the trial of that, or say so to perflour plan."


def _codes(planned: PlannedTrial) -> Section:
    rows = tuple(sorted((bake.code, bake.letter) for bake in planned.trial.bakes))
    before = "For whoever labels and serves. Keep it from the tasters; whoever bakes tastes only without it."
    return Section("Codes", ("code", "bake"), rows, "<<", (before,), new_page=True)


def _smallest(planned: PlannedTrial) -> Iterator[str]:
    """How small a difference the trial would find."""
    said = planned.said
    singles = [s.difference for s in planned.shown if len(s.term) == 1]
    points = (
        max(singles)
        if singles
        else smallest_between(
            planned.design,
            tasters=said.tasters,
            taster_spread=said.taster_spread,
            bake_spread=said.bake_spread,
        )
    )
    freedom = planned.shown[0].freedom
    if isinf(points):
        yield "It shows which effects are large and cannot say which are beyond chance: no bake is left over to tell the spread by. Plan more bakes (--replicates, --centre), or vary less."
        return
    usual = (
        ", the usual one (Hough and others 2006, from memory)"
        if said.taster_spread == USUAL_SPREAD
        else ""
    )
    if not singles:
        yield f"Two of these blends must differ by {points:.2g} points to be told apart with 4 chances in 5 (at 1 in 20, the two named beforehand; {_count(freedom, 'bake')} left over to tell the spread by)."
    else:
        yield f"From its low to its high end a factor must move a mean score by {points:.2g} points to be found with 4 chances in 5 (at 1 in 20; {_count(freedom, 'bake')} left over to tell the spread by)."
    if singles and (others := [s.difference for s in planned.shown if len(s.term) > 1]):
        yield f"For what two do together, or for a bend, it takes {max(others):.2g} points."
    yield f"That is with {_count(said.tasters, 'taster')} and a spread of {said.taster_spread:.3g} points between them{usual}, and of {said.bake_spread:g} between bakes of the same settings."
    if not said.bake_spread:
        yield "No two bakes are quite alike, so the true figure is larger: say what your bakes differ by with --bake-spread once you know."


def cautions(planned: PlannedTrial) -> Iterator[str]:
    """What the baker must know of these variants that no table says."""
    yield from (f"Beyond its window, as asked: {words}." for words in planned.beyond)
    method = planned.parent.formula.method
    for factor in planned.trial.factors:
        step = method[factor.step - 1] if factor.field else None
        if step and step.bakes and factor.field in ("at", "to"):
            yield f"Only the heat of step {factor.step} ({step.do}) moves: its time is the formula's in every bake. Take each out when it is done, and write down when that was."
        if step and factor.field == "for" and step.bakes:
            yield f"Bakes of a short {factor.name} may not be baked through: check the core before anybody tastes."
        if step and factor.field == "for" and not CHILLS.isdisjoint(words_of(step.do)):
            yield "What is chilled stays at 5 °C (41 °F) or colder all the time; how long it may, the food code of the place says."
    yield from _about_pieces(planned)
    yield from _about_lint(planned.bakes)
    yield "Raw dough and raw batter are never tasted. The allergens of every variant are those of the formula."


def _about_pieces(planned: PlannedTrial) -> Iterator[str]:
    masses = [bake.variant.balance.mass_per_piece_g for bake in planned.bakes]
    known = [mass for mass in masses if mass]
    was, piece = planned.parent.mass_per_piece_g, planned.parent.formula.yields
    if known and was and piece and max(abs(mass / was - 1) for mass in known) > 0.01:
        yield f"A {piece.piece} weighs {min(known):.3g} to {max(known):.3g} g, by the batch of each variant; hold the batch to have all weigh {was:.3g} g."


def _about_lint(bakes: tuple[PlannedBake, ...]) -> Iterator[str]:
    """What lint says of variants and not of the formula, each once, with the bakes."""
    found: dict[str, list[str]] = {}
    for bake in bakes:
        for result in bake.new:
            found.setdefault(f"{result.message} ({result.rule})", []).append(bake.letter)
    for words, letters in found.items():
        yield f"Lint says of {_listed(letters)}: {words}."


def _listed(letters: list[str]) -> str:
    return f"bake {letters[0]}" if len(letters) == 1 else f"bakes {', '.join(letters)}"


def next_steps(told: Told) -> Iterator[str]:
    """The commands that go on from here, to be typed as they are."""
    planned, trial = told.planned, told.planned.trial
    folder = display_path(str(planned.folder))
    if not told.written:
        yield "Ask again without the dry run to write it."
    days = Counter(bake.day for bake in trial.bakes)
    for day in sorted(days):
        todays = [bake.formula for bake in trial.bakes if bake.day == day]
        named = folder if len(days) == 1 else " ".join(f"{folder}/{one}" for one in todays)
        yield f"{f'Day {day}, the' if len(days) > 1 else 'The'} timetable: perflour plan {named}"
    yield "That looks for the earliest finish and does not know the order above: take from it how long things take, and when to begin for the oven's order."
    measured = [goal.attribute for goal in trial.goals if _is_measured(goal)]
    readings = "".join(f" --measured {name}=…" for name in measured)
    yield f"Each bake as it comes out: perflour bake new {folder}/{trial.bakes[0].formula} --baker …{readings}"
    scored = [goal.attribute for goal in trial.goals if not _is_measured(goal)]
    attributes = f" --attributes {shlex.quote(', '.join(scored))}" if scored else ""
    for tasting in trial.tastings:
        bakes = (trial.bake(letter) for letter in tasting.bakes)
        named = " ".join(f"{folder}/{bake.formula}" for bake in bakes if bake)
        which = f" of {', '.join(tasting.bakes)}" if len(trial.tastings) > 1 else ""
        yield f"The blind tasting{which}, with the codes below: perflour bake session {named} --tasters {trial.tasters}{attributes} --seed {tasting.seed}"
    together = {letter for tasting in trial.tastings for letter in tasting.bakes}
    if alone := [bake.letter for bake in trial.bakes if bake.letter not in together]:
        yield f"Tasted alone, for want of another bake that day: {', '.join(alone)}; put the scores into the records of these bakes."


def _is_measured(goal: Goal) -> bool:
    """Whether an attribute is read off an instrument, by the names that records of bakes have for such readings."""
    return goal.attribute in schema("bake")["properties"]["measured"]["properties"]
