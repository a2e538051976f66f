"""Rules explained, as text."""

from __future__ import annotations

from collections.abc import Iterable

from perflour.lint.rules.described import Described
from perflour.lint.rules.reading import READING


def rule_text(rule: Described) -> str:
    """One rule in full."""
    references = "\nNot asked of formulas of status reference.\n" if rule.house_only else ""
    return f"{rule.id} ({rule.level})\n\n{rule.text}\n\nSource: {rule.source}\n{references}"


def rule_page(rule: str) -> str:
    """Where the page of a rule is, below docs/rules/."""
    return "README.md#reading" if rule in READING else f"{rule}.md"


def rules_text(rules: Iterable[Described]) -> str:
    """One line a rule."""
    return "".join(f"{rule.id:<28} {rule.level:<8} {rule.headline}\n" for rule in rules)
