"""What a conflict is about, in one line for the baker who settles it, both ratios in it."""

from collections.abc import Sequence
from typing import Any

from perflour.documents.reader import read_document
from perflour.merge.order import Arranged, Trio
from perflour.merge.passages import Passage
from perflour.merge.ratios import Place, Ratios
from perflour.tuples import NamedTuple

REPLACED = "both sides replaced {}, each by something else"
SAME_PLACE = "both sides put steps here: their order is open"
MOVED_AROUND = "the other side moved or removed the steps around this one: where it goes is open"
NOTHING_LEFT = "both sides removed lines, together all of this part"
ORDER = "both sides put the steps in another order"


# A text longer than this is cut off in what is said of a conflict; the marks hold it all.
MOST_SAID = 60
_SAID_OF = ("ours", "theirs", "before")


class PassageRead(NamedTuple):
    """A passage with its data and, for an ingredient line, where it stands.

    The data of a field, which says something only with its key, is ``held``.
    """

    passage: Passage
    data: Any
    place: Place | None = None
    held: Any = None


def about_both(
    trio: Trio[PassageRead], fields: list[str], parts: Sequence[str], ratios: Ratios
) -> str:
    """Both sides changed one passage, or added it; ``parts``: the part in base, ours and theirs."""
    ours = trio.there.value
    shares = _shares(trio, parts, ratios)
    words = [_amounts(trio, shares, ratios)] if "amount" in fields else []
    others = [field for field in fields if field != "amount"]
    if others:
        did = "changed" if trio.base else "added it with another"
        named = isinstance(ours.data, dict)
        words += [
            f"both {did} {field if named else 'it'}{_values(trio, field)}" for field in others
        ]
    if "amount" not in fields and any(shares):
        takes = "it takes " if "do" in (ours.data or ()) else ""
        words.append(takes + _sides(shares, ratios))
    return f"{name_of(trio.base.value if trio.base else ours)}: {'; '.join(words)}"


def about_removed(trio: Trio[PassageRead], ratios: Ratios) -> str:
    """One side removed what the other changed."""
    base, there = trio.base, trio.there
    gone, stayed = ("theirs", "ours") if trio.ours else ("ours", "theirs")
    shares = _shares(trio, ("", "", ""), ratios)
    now, before = shares[0] or shares[1], shares[2]
    is_step = "do" in (there.value.data or ())
    if now and now != before and not is_step:
        did = f" {now} of {ratios.basis}"
    else:
        did = f" changed it{changes(base.value, there.value) if base else ''}"
        did += f", {'taking ' if is_step else ''}{now} of {ratios.basis}" if now else ""
    said = f"{name_of((base or there).value)}: {gone} removed it, {stayed}{did}"
    return f"{said}, before {before}" if now and before else said


def taken_by(trio: Trio[PassageRead], side: str, ratios: Ratios, words: str) -> str:
    """What a step takes in percent, behind words; empty where that is not known."""
    item = getattr(trio, side)
    number = ("base", "ours", "theirs").index(side)
    share = ratios.of_step(number, item.value.data) if item else ""
    return f"{words}{share}" if share else ""


def replaced_by_both(found: Arranged[PassageRead], ratios: Ratios) -> str:
    """Both sides removed lines of a part, and each put others there."""
    trios = (slot.trio for slot in found.slots if slot.trio)
    gone = [trio.there.value for trio in trios if not trio.ours and not trio.theirs]
    put = [
        [trio.there.value for slot in found.slots for trio in getattr(slot, side)]
        for side in ("ours", "theirs")
    ]

    def named(lines: Sequence[PassageRead]) -> str:
        return ", ".join(f"{name_of(line)} {_share(line, ratios)}".rstrip() for line in lines)

    removed = ", ".join(name_of(line) for line in gone)
    shares = ", ".join(share for line in gone if (share := _share(line, ratios)))
    said = f"ours {named(put[0])}, theirs {named(put[1])}, before {shares}"
    return f"{REPLACED.format(removed)}: {said.replace(' %', f' % of {ratios.basis}', 1)}"


def _shares(trio: Trio[PassageRead], parts: Sequence[str], ratios: Ratios) -> list[str]:
    """The percentage of a line, of all that a step takes or of a part, in ours, theirs and the base."""
    found = []
    for side, item in ((1, trio.ours), (2, trio.theirs), (0, trio.base)):
        data = item.value.data if item else None
        if item and item.value.place:
            found.append(_share(item.value, ratios))
        elif item and isinstance(data, dict) and "do" in data:
            found.append(ratios.of_step(side, data))
        elif item and isinstance(data, dict) and "ingredients" in data:
            found.append(ratios.of_part(side, data["part"]))
        elif item and data is None and item.value.passage.key == "part":
            found.append(ratios.of_part(side, parts[side]))
        else:
            found.append("")
    return found


def _share(line: PassageRead, ratios: Ratios) -> str:
    return ratios.of_line(line.place) if line.place else ""


def _amounts(trio: Trio[PassageRead], shares: Sequence[str], ratios: Ratios) -> str:
    """The ratios of both sides; the amounts as written where these are no different, or unknown."""
    if shares[0] and shares[1] and shares[0] != shares[1]:
        return _sides(shares, ratios)
    amounts = [item.value.data["amount"] if item else "" for item in _in_order(trio)]
    said = ", ".join(f"{who} {what}" for who, what in zip(_SAID_OF, amounts, strict=True) if what)
    return f"{said}; {_sides(shares, ratios)}" if any(shares) else said


def _sides(shares: Sequence[str], ratios: Ratios) -> str:
    """The ratios of the three, what they are of said once."""
    said = ", ".join(f"{who} {what}" for who, what in zip(_SAID_OF, shares, strict=True) if what)
    return said.replace(" %", f" % of {ratios.basis}", 1)


def _in_order(trio: Trio[PassageRead]) -> tuple[Any, ...]:
    return trio.ours, trio.theirs, trio.base


def _values(trio: Trio[PassageRead], field: str) -> str:
    """A field as the three files have it."""
    values = [_value(item.value, field) if item else "" for item in _in_order(trio)]
    said = (f"{who} {what}" for who, what in zip(_SAID_OF, values, strict=True) if what)
    return f" ({', '.join(said)})"


def changes(base: PassageRead, there: PassageRead) -> str:
    """The fields that one side changed, with what they were."""
    if not isinstance(base.data, dict):
        return ""
    keys = [key for key in {**base.data, **there.data} if _value(base, key) != _value(there, key)]
    said = (
        f"{key} {_value(there, key) or 'gone'}, before {_value(base, key) or 'none'}"
        for key in keys
    )
    return f" ({'; '.join(said)})" if keys else ""


def _value(said: PassageRead, field: str) -> str:
    """A field in short."""
    if said.data is None:
        value = read_document(said.passage.text.encode(), "field").data.get(field, "")
    else:
        value = said.data.get(field, "")
    words = value if isinstance(value, list) else [value]
    if isinstance(value, dict):
        words = [f"{key} {inner}" for key, inner in value.items()]
    text = " ".join(", ".join(map(str, words)).split())
    return text if len(text) <= MOST_SAID else f"{text[:MOST_SAID]}..."


def name_of(said: PassageRead) -> str:
    """What a passage is called: an ingredient, a step by its verb, a field by its key."""
    data = said.data
    if not isinstance(data, dict):
        return said.passage.key
    if "do" in data:
        return f"step {data['do']}"
    if "rule" in data:
        return f"waiver of {data['rule']}"
    if "because" in data:
        return f"correction of {data['item']}" if "item" in data else "correction"
    return str(data.get("item") or data.get("part") or said.passage.key)
