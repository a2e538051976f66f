"""What a conflict is about, in one line for the baker who settles it, both ratios in it."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.ratios import is_fine
from perflour.kitchen.figures import percent
from perflour.kitchen.names import fold
from perflour.merge.order import Trio
from perflour.merge.passages import Passage

REPLACED = "both sides replaced {}, each by something else"
SAME_PLACE = "both sides put steps here: their order is open"
MOVED_AROUND = "the other side moved or removed the steps around this one: where it goes is open"
NOTHING_LEFT = "both sides removed lines, together all of this part"
ORDER = "both sides put the steps in another order"


class PassageRead(NamedTuple):
    """A passage with its data and, for an ingredient line, its baker's percentage as text."""

    passage: Passage
    data: Any
    percentage: str = ""


Percentages = Mapping[tuple[str, int], str]


def percentages_of(weighed: Balance | None) -> Percentages:
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


def about_both(trio: Trio[PassageRead], fields: list[str], basis: str) -> str:
    """Both sides changed one passage, or added it."""
    base, ours, theirs = trio.base, trio.ours, trio.theirs
    assert ours and theirs
    words = _amounts(trio, basis) if "amount" in fields else ""
    others = [field for field in fields if field != "amount"]
    if others:
        did = "changed" if base else "added it with another"
        what = ", ".join(others) if isinstance(ours.value.data, dict) else "it"
        words += f"{'; ' if words else ''}both {did} {what}"
    return f"{name_of(ours.value)}: {words}"


def about_removed(trio: Trio[PassageRead], basis: str) -> str:
    """One side removed what the other changed."""
    base, there = trio.base, trio.there
    gone, stayed = ("theirs", "ours") if trio.ours else ("ours", "theirs")
    percentages = (there.value.percentage, base.value.percentage if base else "")
    if percentages[0] and percentages[0] != percentages[1]:
        change = f"{stayed} {percentages[0]} of {basis}, before {percentages[1]}"
    else:
        change = f"{stayed} changed it"
    return f"{name_of(there.value)}: {gone} removed it, {change}"


def _amounts(trio: Trio[PassageRead], basis: str) -> str:
    """The ratios of both sides; the amounts as written where these are no different, or unknown."""
    sides = (trio.ours, trio.theirs, trio.base)
    texts = [item.value.percentage if item else "" for item in sides]
    of = f" of {basis}"
    if not (texts[0] and texts[1]) or texts[0] == texts[1]:
        texts = [item.value.data["amount"] if item else "" for item in sides]
        of = ""
    before = f", before {texts[2]}" if texts[2] else ""
    return f"ours {texts[0]}{of}, theirs {texts[1]}{before}"


def name_of(said: PassageRead) -> str:
    """What a passage is called: an ingredient, a step by its verb, a field by its key."""
    data = said.data
    if not isinstance(data, dict):
        return said.passage.key
    if "do" in data:
        return f"step {data['do']}"
    if "rule" in data:
        return f"waiver of {data['rule']}"
    return str(data.get("item") or data.get("part") or said.passage.key)
