"""What must be said of the formulas of a run, once and in short, and each caution in full."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.balance.allergens import Allergens
from perflour.kitchen.cautions import SITUATIONS, Caution
from perflour.report.form.columns import prose_width, wrap
from perflour.report.imported import allergen_lines
from perflour.system.terminal import painted

IN_FULL = "`perflour explain cautions` says each in full."
#: Situations of cautions that are told one a line: they hurt at once. All others go with the allergens.
ALONE = frozenset(
    ("flour", "egg", "honey", "hot-sugar", "cooked-filling", "chilled-holding", "cooling",
     "gluten-free", "gluten-claim-broken", "not-known")
)  # fmt: skip


class Held(NamedTuple):
    """A formula by its id, with its allergens and the cautions that hold for it."""

    formula: str
    allergens: Allergens
    cautions: tuple[Caution, ...]


def cautions_in_short(held: Sequence[Held]) -> str:
    """The allergens of each formula, then every caution once, with the formulas it holds for where not for all."""
    lines = [painted("Cautions", "head")]
    for one in held:
        whose = f"{one.formula}: " if len(held) > 1 else ""
        lines += _hung(whose + " ".join(allergen_lines(one.allergens)))
    for whose, said in _by_formulas(held):
        alone = [caution.in_short for caution in said if caution.when in ALONE]
        others = " ".join(caution.in_short for caution in said if caution.when not in ALONE)
        for text in (*alone, *([others] if others else ())):
            lines += _hung(whose + text)
    return "".join(f"{line}\n" for line in (*lines, *_hung(IN_FULL)))


def _by_formulas(held: Sequence[Held]) -> Iterator[tuple[str, list[Caution]]]:
    """The cautions that hold for the same formulas, those of all first."""
    of: dict[Caution, tuple[str, ...]] = {}
    for one in held:
        for caution in dict.fromkeys(one.cautions):
            of[caution] = (*of.get(caution, ()), one.formula)
    for names in sorted(dict.fromkeys(of.values()), key=lambda names: -len(names)):
        others = [one.formula for one in held if one.formula not in names]
        few = f"all but {', '.join(others)}" if len(others) < len(names) else ", ".join(names)
        whose = f"{few}: " if others else ""
        yield whose, [caution for caution, formulas in of.items() if formulas == names]


def _hung(text: str) -> list[str]:
    return wrap(text, prose_width(), "  ", "    ", break_on_hyphens=False)


def cautions_in_full(cautions: Sequence[Caution]) -> str:
    """Each caution with when it is said, its whole text and its source."""
    blocks = []
    for caution in cautions:
        told = [f"{caution.id}: said {SITUATIONS[caution.when]}"]
        told += [f"  {line}" for line in wrap(caution.text, prose_width() - 2)]
        told += [f"  {line}" for line in wrap(f"Source: {caution.source}", prose_width() - 2)]
        blocks.append("".join(f"{line}\n" for line in told))
    return "\n".join(blocks)


def cautions_markdown(cautions: Sequence[Caution]) -> str:
    """The same for the page of the docs."""
    from perflour.plain import markdown

    return "\n".join(
        f"**{caution.id}**, said {SITUATIONS[caution.when]}: {markdown(caution.text)}\n"
        f"*Source: {markdown(caution.source)}*\n"
        for caution in cautions
    )
