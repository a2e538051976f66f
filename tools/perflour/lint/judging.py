"""Rules asked of one formula: with the levels of the house, and without what is waived."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from perflour.balance.balance import Balance
from perflour.balance.ratios import RatiosOnDemand
from perflour.formula.formula import Waiver
from perflour.kitchen.house import House, Kitchen
from perflour.kitchen.names import fold
from perflour.lint.rule import Context, Finding, Rule
from perflour.result import Level, Result


def context_of(weighed: Balance, path: str, kitchen: Kitchen) -> Context:
    """What the rules are given of one formula."""
    ratios = RatiosOnDemand(weighed)
    return Context(path, weighed.formula, weighed, ratios, kitchen.house, kitchen.catalogue, {})


def told_by(rules: Iterable[Rule], context: Context) -> Iterator[Result]:
    """What some rules find in a formula, as far as the house has them on and nothing is waived."""
    found = [
        result_of(rule, finding, context.house)
        for rule in rules
        if context.house.levels.get(rule.id) != "off" and rule.is_asked_of(context.formula.status)
        for finding in rule.check(context)
    ]
    yield from waive(found, context.formula.waivers)[0]


def result_of(rule: Rule, finding: Finding, house: House) -> Result:
    """A finding with the level that the house gives its rule."""
    level: Level = house.levels.get(rule.id, rule.level)  # type: ignore[assignment]
    return Result(rule.id, level, finding.message, finding.place, finding.subject)


def waive(found: list[Result], waivers: tuple[Waiver, ...]) -> tuple[list[Result], set[Waiver]]:
    """The results no waiver covers, and the waivers that cover something."""
    kept: list[Result] = []
    used: set[Waiver] = set()
    for result in found:
        covering = [w for w in waivers if covers(w, result.rule, result.subject)]
        used.update(covering)
        if not covering:
            kept.append(result)
    return kept, used


def covers(waiver: Waiver, rule: str, subject: str) -> bool:
    """Whether a waiver is of a rule, and of what it has found."""
    return waiver.rule == rule and fold(waiver.item) in ("", fold(subject))
