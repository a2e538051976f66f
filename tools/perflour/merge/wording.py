"""What a conflict is about, in one line for the baker who settles it, both ratios in it."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.ratios import is_fine
from perflour.kitchen.figures import percent
from perflour.kitchen.names import fold
from perflour.merge.order import Row
from perflour.merge.units import Unit

REPLACED = "both sides replaced {}, each by something else"
SAME_PLACE = "both sides put steps here: their order is open"
MOVED_AROUND = "the other side moved or removed the steps around this one: where it goes is open"
NOTHING_LEFT = "both sides removed lines, together all of this part"
ORDER = "both sides put the steps in another order"


class Said(NamedTuple):
    """A unit with its data and, for an ingredient line, its baker's percentage as text."""

    unit: Unit
    data: Any
    share: str = ""


Shares = Mapping[tuple[str, int], str]


def shares_of(weighed: Balance | None) -> Shares:
    """The baker's percentage of every line, by part and number."""
    return {
        (fold(part.part.name), at): f"{percent(line.percent, is_fine(line.ingredient))} %"
        for part in (weighed.parts if weighed else ())
        for at, line in enumerate(part.lines)
        if line.percent is not None
    }


def basis_word(weighed: Balance) -> str:
    """What 100 % is called."""
    named = weighed.formula.basis
    return "flour" if not named else named[0] if len(named) == 1 else "the basis"


def about_both(row: Row[Said], fields: list[str], basis: str) -> str:
    """Both sides changed one unit, or added it."""
    base, ours, theirs = row.base, row.ours, row.theirs
    assert ours and theirs
    words = _amounts(row, basis) if "amount" in fields else ""
    others = [field for field in fields if field != "amount"]
    if others:
        did = "changed" if base else "added it with another"
        what = ", ".join(others) if isinstance(ours.value.data, dict) else "it"
        words += f"{'; ' if words else ''}both {did} {what}"
    return f"{name_of(ours.value)}: {words}"


def about_removed(row: Row[Said], basis: str) -> str:
    """One side removed what the other changed."""
    base, there = row.base, row.there
    gone, stayed = ("theirs", "ours") if row.ours else ("ours", "theirs")
    shares = (there.value.share, base.value.share if base else "")
    if shares[0] and shares[0] != shares[1]:
        change = f"{stayed} {shares[0]} of {basis}, before {shares[1]}"
    else:
        change = f"{stayed} changed it"
    return f"{name_of(there.value)}: {gone} removed it, {change}"


def _amounts(row: Row[Said], basis: str) -> str:
    """The ratios of both sides; the amounts as written where these are no different, or unknown."""
    sides = (row.ours, row.theirs, row.base)
    texts = [item.value.share if item else "" for item in sides]
    of = f" of {basis}"
    if not (texts[0] and texts[1]) or texts[0] == texts[1]:
        texts = [item.value.data["amount"] if item else "" for item in sides]
        of = ""
    before = f", before {texts[2]}" if texts[2] else ""
    return f"ours {texts[0]}{of}, theirs {texts[1]}{before}"


def name_of(said: Said) -> str:
    """What a unit is called: an ingredient, a step by its verb, a field by its key."""
    data = said.data
    if not isinstance(data, dict):
        return said.unit.key
    if "do" in data:
        return f"step {data['do']}"
    if "rule" in data:
        return f"waiver of {data['rule']}"
    return str(data.get("item") or data.get("part") or said.unit.key)
