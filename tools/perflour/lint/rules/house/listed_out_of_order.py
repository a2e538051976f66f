"""Ingredients are listed in the order of their use.

A reader weighs down the list and works down the method. Flours stand first in many formulas and are
let be, so are parts, ingredients that are in several parts, and neighbouring steps. What is whisked or
sifted into flour that is used again later counts with that flour. Said once a part."""

from collections.abc import Iterator

from perflour.balance.parts import Weighed
from perflour.formula.verbs import MIXES, MIXES_DRY
from perflour.kitchen.names import fold
from perflour.lint.ask.method import names_by_step
from perflour.lint.ask.steps import Named, lines_by_name, verbs
from perflour.lint.rule import Context, Finding, Rule
from perflour.tuples import NamedTuple

PREMIXING = MIXES | MIXES_DRY
# Steps apart, of those that use the ingredients of the part.
LEAST_APART = 2


class Span(NamedTuple):
    """The first and the last step that uses a name."""

    first: int
    last: int


def check(context: Context) -> Iterator[Finding]:
    if _in_order(context):
        return
    from bisect import bisect_left  # most lists are in order

    named = lines_by_name(context)
    spans = spans_of_use(context, named)
    for part in context.balance.parts:
        names = {
            name: w
            for w in part.lines
            if (name := fold(w.name)) in spans
            and len(named.get(name, ())) == 1
            and not is_let_be(w)
        }
        steps = sorted({spans[name].first for name in names})
        above, latest = "", -1
        for name, weighed in names.items():
            first, last = (bisect_left(steps, at) for at in spans[name])
            if latest - last >= LEAST_APART:
                yield Finding(
                    weighed.line.place,
                    f"{weighed.line.name} is listed after {above} but used well before it; list the ingredients of '{part.part.name}' in the order of use",
                    weighed.line.name,
                )
                break
            if first > latest:
                above, latest = weighed.line.name, first


def _in_order(context: Context) -> bool:
    """Whether every list follows the first uses, but for neighbouring steps, as most do."""
    first: dict[str, int] = {}
    for at, names in enumerate(names_by_step(context)):
        for name in names:
            first.setdefault(name, at)
    for part in context.balance.parts:
        latest = 0
        for weighed in part.lines:
            at = first.get(fold(weighed.name), latest)
            if at != latest and not is_let_be(weighed):
                if latest - at >= LEAST_APART:
                    return False
                latest = max(latest, at)
    return True


def is_let_be(weighed: Weighed) -> bool:
    """Whether the rule lets a line stand anywhere: flour, basis, another part."""
    flour = weighed.ingredient is not None and weighed.ingredient.counts_as == "flour"
    return flour or weighed.in_basis or weighed.line.is_part


def spans_of_use(context: Context, named: Named) -> dict[str, Span]:
    """The steps that use each name, the later use of a flour counting for what is mixed into it."""
    steps = names_by_step(context)
    used = [(name, at) for at, names in enumerate(steps) for name in names]
    first, last = dict(reversed(used)), dict(used)
    flours = {name for name in last if any(map(is_let_be, named.get(name, ())))}
    for does, names in zip(verbs(context), steps, strict=True):
        if does in PREMIXING and (floured := flours.intersection(names)):
            latest = max(last[name] for name in floured)
            last |= {name: max(last[name], latest) for name in names}
    return {name: Span(at, last[name]) for name, at in first.items()}


RULE = Rule(
    id="listed-out-of-order",
    level="note",
    family="house format",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
