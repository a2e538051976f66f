"""The order in which the lines of a part are used by the method, for a list that has it wrong.

Only a part of which the rule listed-out-of-order has something to say gets a new order. The strict
order of first use for every list would make ordinary ones worse: canned fruit that drains first would
lead the batter it is laid on, and flour sifted before the butter is creamed would part from its place.
"""

from __future__ import annotations

from collections.abc import Collection

from perflour.balance.parts import PartBalance, inner_first
from perflour.kitchen.names import fold
from perflour.lint.ask.steps import Named, lines_by_name
from perflour.lint.rule import Context
from perflour.lint.rules.house.listed_out_of_order import Span, is_let_be, spans_of_use
from perflour.result import Place


def orders_of_use(context: Context, told: Collection[Place]) -> dict[int, tuple[int, ...]]:
    """By number of a part that holds a line with a place in ``told``: its lines in their new order.

    None where two parts share a name or contain each other: there the order may matter to masses.
    """
    parts = context.balance.parts
    unclear = len(parts) != len(context.formula.parts) or inner_first(context.formula)[1]
    if not told or unclear:
        return {}
    named = lines_by_name(context)
    spans = spans_of_use(context, named)
    return {
        number: order_of_use(part, named, spans)
        for number, part in enumerate(parts)
        if any(weighed.line.place in told for weighed in part.lines)
    }


def order_of_use(part: PartBalance, named: Named, spans: dict[str, Span]) -> tuple[int, ...]:
    """The numbers of a part's lines by the first step that uses them.

    Flours and the basis stay in front where they lead. Lines of another part, lines no step names
    and names that stand on several lines stay behind the line before them. The rest is sorted, so
    that the first use of a line is never later than that of a line below it: the rule is content.
    """
    blocks: list[tuple[int, list[int]]] = [(-1, [])]
    leading = True
    for number, weighed in enumerate(part.lines):
        name = fold(weighed.name)
        leading = leading and is_let_be(weighed)
        one_of_its_name = name in spans and len(named.get(name, ())) == 1
        if leading or weighed.line.is_part or not one_of_its_name:
            blocks[-1][1].append(number)
        else:
            blocks.append((spans[name].first, [number]))
    blocks.sort(key=lambda block: block[0])
    return tuple(number for _, numbers in blocks for number in numbers)
