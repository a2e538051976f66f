"""Which cautions hold for a formula: for what is in it, and for what its method does."""

from __future__ import annotations

from perflour.balance.allergens import allergens
from perflour.balance.balance import Balance
from perflour.kitchen.cautions import Caution, texts
from perflour.kitchen.house import Kitchen
from perflour.lint.judging import context_of
from perflour.lint.rule import Context
from perflour.lint.rules.cautions.filling_kept_cold import cooked_fillings
from perflour.lint.rules.cautions.hot_sugar import boiled_sugar


def cautions_that_hold(balance: Balance, kitchen: Kitchen) -> tuple[Caution, ...]:
    """All that must be said wherever a formula is handed to somebody who bakes or eats."""
    context = context_of(balance, balance.formula.path, kitchen)
    return allergens(balance).cautions + texts().that_hold(method_situations(context))


def method_situations(context: Context) -> frozenset[str]:
    """What the method calls for cautions with, beside the allergens' own."""
    found = {"food-code"}
    if any(boiled_sugar(context)):
        found.add("hot-sugar")
    if any(cooked_fillings(context)):
        found.add("cooked-filling")
    if any(step.core for step in context.formula.method):
        found.add("core")
    return frozenset(found)
