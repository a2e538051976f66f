"""A percentage that a text states is the one the formula has.

"60 % brown sugar" or "hydration 72 %" in `notes`, a line's note or a step's note stays behind when the
amount changes. Read only where the number stands directly beside one listed ingredient or ratio; a
number that fits the whole formula or any one part is right. Cups widen what fits by two spreads.
Percentages of something else (70 % chocolate, "of the syrup", "more", "less") are left alone."""

from collections.abc import Iterator
from math import hypot

from perflour.balance.ratios import ratios
from perflour.kitchen.names import normal_name
from perflour.kitchen.quantity import Amount
from perflour.lint.rule import Context, Finding, Rule
from perflour.result import Place
from perflour.tuples import NamedTuple

PARAMETERS = {"apart-points": 1.0}
# Before such an item a number is a grade: fat of cream, cocoa of chocolate, strength of vinegar.
GRADED = frozenset(("dairy", "chocolate", "fat", "flavouring", "liquid"))
BEFORE = r"(?:^|[.,;:(!?]\s*|\b(?:the|and|with|for|of|total|has|keep|gives)\s+)"
AFTER = r"(?=\s*(?:$|[.,;:)!?]|(?:and|in|for|is|on|here|now|gives|keeps|makes|holds|works)\b|of (?:the )?flour\b))"
NUMBER = r"(?<![\d.\-–/])(\d+(?:\.\d+)?)\s*%"


class Computed(NamedTuple):
    """The percentages a name stands for, how far apart a stated one may be, and its group."""

    percents: list[float]
    spread: float
    graded: bool


def check(context: Context) -> Iterator[Finding]:
    texts = list(_texts(context))
    if not texts or not context.has_whole_basis:
        return
    apart = context.limits(RULE.id, PARAMETERS)["apart-points"]
    computed = _computed(context)
    for place, text in texts:
        for name, stated in _stated(text, computed):
            known = computed[name]
            nearest = min(known.percents, key=lambda percent: abs(percent - stated))
            if abs(nearest - stated) > apart + known.spread:
                yield Finding(
                    place,
                    f"the text says {stated:g} % {name}, the formula has {nearest:.1f} %; change the text or the amount",
                    name,
                )


def _texts(context: Context) -> Iterator[tuple[Place, str]]:
    """The texts with a percent sign, and where they stand."""
    formula = context.formula
    if "%" in formula.notes:
        yield formula.place("notes"), formula.notes
    for weighed in context.balance.lines:
        if "%" in weighed.line.note:
            yield weighed.line.place, weighed.line.note
    for step in formula.method:
        if "%" in step.said.get("note", ""):
            yield step.place, step.said["note"]


def _stated(text: str, computed: dict[str, Computed]) -> Iterator[tuple[str, float]]:
    """Names with the number that stands directly beside them."""
    import re  # patterns are made only for a text with a percent sign

    plain = " ".join(text.lower().split())
    names = "|".join(re.escape(name) for name in sorted(computed, key=len, reverse=True))
    beside = rf"{BEFORE}({names})(?:\s+(?:is|at|of)|:)?\s+{NUMBER}{AFTER}"
    for match in re.finditer(beside, plain):
        yield match[1], float(match[2])
    for match in re.finditer(rf"{BEFORE}{NUMBER}\s+({names}){AFTER}", plain):
        if not computed[match[2]].graded:
            yield match[2], float(match[1])


def _computed(context: Context) -> dict[str, Computed]:
    balance = context.balance
    in_basis = [w for p in balance.parts for w in p.lines if w.in_basis and w.mass]
    basis = hypot(*(w.mass.spread_g for w in in_basis if w.mass)) / balance.basis_g
    found: dict[str, Computed] = {}
    for ratio in ratios(balance).values():
        if not ratio.lacking:
            spread = 2 * ratio.percent * hypot(basis, _loosest(context))
            found[ratio.name.replace("-", " ")] = Computed([ratio.percent], spread, False)
    for line in balance.total:
        mine = [w for p in balance.parts for w in p.lines if w.name == line.name]
        if line.percent is None or not all(
            w.mass and not _drained(w.line.amount.value) for w in mine
        ):
            continue
        own = hypot(*(w.mass.spread_g for w in mine if w.mass)) / max(line.mass_g, 0.1)
        spread = 2 * line.percent * hypot(basis, own)
        percents = [line.percent, *(w.percent for w in mine if w.percent is not None)]
        aliases = line.ingredient.aliases if line.ingredient else ()
        graded = line.ingredient is None or (
            line.ingredient.group in GRADED and line.name != "water"
        )
        for name in {normal_name(n) for n in (line.name, *aliases, *(w.line.name for w in mine))}:
            before = found.get(name, Computed([], 0.0, False))
            found[name] = Computed(
                before.percents + percents, max(before.spread, spread), before.graded or graded
            )
    found.pop("flour", None)
    return found


def _loosest(context: Context) -> float:
    """The largest spread of any line, as a share of its mass."""
    masses = [w.mass for p in context.balance.parts for w in p.lines if w.mass]
    return max((m.spread_g / m.grams for m in masses if m.grams > 0), default=0.0)


def _drained(value: object) -> bool:
    return isinstance(value, Amount) and value.drained is not None


RULE = Rule(
    id="percent-in-text-outdated",
    level="note",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
