"""Portions taken of an ingredient add up to what is listed.

A step can say how much it takes: `60 g of granulated sugar`, `1/4 cup of whole milk`, `2 of egg`, `1/3 of
butter`, `half of`. Three things are said: that portions come to more than is listed; that they come to
less and no step takes the rest; that there is a "rest of" when everything has been taken. Only stated
portions count: a plain name, "rest of" or "all of" means what is there, and what is stated after it is
counted anew. A portion that one step gets ready (sifts, melts, keeps back) and a later one names again
counts once. A name listed in several parts is counted over all its lines; a share of it may mean any one
of them. Masses are held against masses and volumes against volumes; others are weighed, and differ only
beyond two measuring spreads. Of a part only shares are held against it, and what is left of it is not
told. What cannot be compared is passed over."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.quantity import HALF
from perflour.lint.ask.method import main_name, portioned
from perflour.lint.rule import Context, Finding, Rule
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    from perflour.lint.ask.portions import Fault, Listed

PARAMETERS = {"off-percent-most": 2.0, "rest-percent-least": 0.5}


def check(context: Context) -> Iterator[Finding]:
    uses = [use for use in portioned(context) if use.portion or use.takes == HALF]
    if not uses:
        return
    from perflour.lint.ask.portions import fault, listed, stated, takings  # only where it is needed

    limits = context.limits(RULE.id, PARAMETERS)
    said = {main_name(context, use.name) for use in uses}
    for name, takes in takings(context, said).items():
        portions = [portion for take in takes if (portion := stated(take.use))]
        of = listed(context, name, portions) if portions else None
        if of and (wrong := fault(takes, of, *(limits[key] / 100 for key in PARAMETERS))):
            yield _finding(wrong, of)


def _finding(wrong: Fault, of: Listed) -> Finding:
    from perflour.lint.ask.portions import figure

    taken, whole, rest = (figure(share, of) for share in (wrong.taken, 1.0, 1.0 - wrong.taken))
    use = wrong.use
    if use is None:
        line = of.lines[0].line
        return Finding(
            line.place,
            f"the steps take {taken} of the {whole} of {line.name} listed, and none takes the other {rest}; write `rest of {line.name}` where it goes, or list less",
            line.name,
        )
    if wrong.nothing_left:
        message = f"'{use.said}', but the portions before it take all {whole} of it; mend the portions or leave this out"
    else:
        message = f"with '{use.said}' the portions of {use.name} come to {taken}, but all of it is {whole}; take less or list more"
    return Finding(use.place, message, use.name)


RULE = Rule(
    id="portions-do-not-add-up",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
