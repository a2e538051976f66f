"""Every rule as reporters and docs need it, the reading ones included."""

from __future__ import annotations

from perflour.lint.rule import Rule
from perflour.lint.rules.all_rules import RULES
from perflour.lint.rules.reading import READING
from perflour.result import CannotRun
from perflour.tuples import NamedTuple


class Described(NamedTuple):
    """A rule as reporters need it: id, one line, whole text, default level, source, whether references are asked."""

    id: str
    headline: str
    text: str
    level: str
    source: str
    house_only: bool = False


def described_rules() -> list[Described]:
    """All rules in the order they run."""
    reading = [Described(id, text, text, "error", "house choice") for id, text in READING.items()]
    return reading + [_described(rule) for rule in RULES]


def described_rule(id: str) -> Described:
    """One rule. Raises CannotRun for an unknown id, naming the nearest."""
    rules = {rule.id: rule for rule in described_rules()}
    if id not in rules:
        from difflib import get_close_matches

        near = get_close_matches(id, rules, n=1)
        raise CannotRun(
            f"there is no rule '{id}'; {f'did you mean {near[0]}?' if near else 'list them with perflour explain'}"
        )
    return rules[id]


def _described(rule: Rule) -> Described:
    return Described(
        rule.id, rule.headline, rule.text.strip(), rule.level, rule.source, rule.house_only
    )
