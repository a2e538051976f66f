"""Changes in the words of a baker, one line each."""

from __future__ import annotations

from collections.abc import Callable

from perflour.diff.change import Change, Shift
from perflour.diff.difference import Difference
from perflour.kitchen.figures import factor, grams, percent, signed
from perflour.result import one_line

Wording = Callable[[Change, str], str]

# Texts of the header longer than this are cut between words.
LONG = 90
# What masses are shown to where they differ by less than a gram.
FINER_G = 0.1
_RATIO_NAMES = {
    "prefermented-flour": "flour in preferments",
    "yeast-instant": "yeast as instant",
}


def change_text(change: Change, basis: str = "flour") -> str:
    """One change in one line, in the words of a baker."""
    return one_line(_WORDING[change.kind](change, basis))


def ratio_name(name: str) -> str:
    """A derived ratio as people say it: `total water`."""
    return _RATIO_NAMES.get(name, name.replace("-", " "))


def basis_word(difference: Difference) -> str:
    """What 100 % is called: flour, or the one item that stands for it, or the basis."""
    formula = difference.after or difference.before
    if formula is None or not formula.formula.basis:
        return "flour"
    items = formula.formula.basis
    return items[0] if len(items) == 1 else "the basis"


def reads_the_same(change: Change) -> bool:
    """Whether both percentages are one when rounded as they are shown."""
    before, after = change.before or 0.0, change.after or 0.0
    return percent(before, change.fine) == percent(after, change.fine)


def _from_percent_to(change: Change, basis: str, fine: bool = False) -> str:
    before, after = change.before or 0.0, change.after or 0.0
    fine = fine or change.fine
    if not fine and reads_the_same(change):
        return f"still {percent(after)} % of {basis}"
    return f"{percent(before, fine)} % -> {percent(after, fine)} %, {signed(after - before, fine)} % of {basis}"


def _doubt(change: Change) -> str:
    if change.beyond_spread is not False:
        return ""
    if change.spread is not None and abs(change.delta or 0.0) > 2 * change.spread:
        return " (every amount within its measuring spread)"
    spread = "" if change.spread is None else f", ± {change.spread:.2g}"
    return f" (within the measuring spread{spread})"


def _item(change: Change) -> str:
    """The ingredient, with its part where it stands in several."""
    return f"{change.subject} in {change.part}" if change.in_several else change.subject


def _amount(change: Change, basis: str) -> str:
    if reads_the_same(change):
        return _mass_only(change, basis)
    return f"{_item(change)} {_from_percent_to(change, basis)}{_doubt(change)}"


def _follows(change: Change, basis: str) -> str:
    return f"{_item(change)} {_from_percent_to(change, basis)} (its mass is the same)"


def _mass_only(change: Change, basis: str) -> str:
    still = f"still {percent(change.after or 0.0, change.fine)} % of {basis}"
    return f"{_item(change)} {_masses(change)}, {still}{_doubt(change)}"


def _masses(change: Change) -> str:
    return from_g_to(change.grams_before or 0.0, change.grams_after or 0.0)


def from_g_to(before: float, after: float) -> str:
    """Two masses; to a tenth of a gram where they are one in whole grams."""
    if grams(before) == grams(after):
        before_said, after_said = grams(before, FINER_G), grams(after, FINER_G)
        if before_said == after_said:
            return f"still {after_said} g"
        return f"{before_said} g -> {after_said} g"
    return f"{grams(before)} g -> {grams(after)} g"


def _re_measured(change: Change, basis: str) -> str:
    said = f"{change.text_before} -> {change.text_after}"
    masses = [grams(mass or 0.0) for mass in (change.grams_before, change.grams_after)]
    if not change.beyond_spread:
        weighed = f"{masses[0]} g" if masses[0] == masses[1] else _masses(change)
        if change.before is not None and change.after is not None:
            before, after = (percent(p, change.fine) for p in (change.before, change.after))
            weighed += f", still {after} %" if before == after else f", {before} % -> {after} %"
            weighed += f" of {basis}"
        return f"{_item(change)} re-measured only: {said} ({weighed})"
    if change.before is None or reads_the_same(change):
        return f"{_item(change)} {_masses(change)} ({said})"
    return f"{_item(change)} {_from_percent_to(change, basis)} ({said})"


def _added(change: Change, basis: str) -> str:
    return f"{change.subject} added to {change.part}: {change.text_after}{_share(change.after, change, basis)}"


def _removed(change: Change, basis: str) -> str:
    return f"{change.subject} removed from {change.part}: {change.text_before}{_share(change.before, change, basis)}"


def _share(share: float | None, change: Change, basis: str) -> str:
    return "" if share is None else f", {percent(share, change.fine)} % of {basis}"


def _substituted(change: Change, basis: str) -> str:
    texts = dict.fromkeys((change.text_before, change.text_after))
    said = f"{change.subject} for {change.subject_before} in {change.part}: {' -> '.join(texts)}"
    if change.before is not None and change.after is not None:
        said += f", {_from_percent_to(change, basis)}"
    moved = ", ".join(f"{s.name} {signed(s.after - s.before)}" for s in change.shifts)
    return said + (f" ({moved} points)" if moved else "")


def _shared_out(change: Change, _: str) -> str:
    shifts = change.shifts
    if len(shifts) == 1:
        return f"{change.subject} in {change.part} shared out otherwise: {change.text_before} -> {change.text_after}"
    falling = [s for s in shifts if s.after < s.before]
    rising = [s for s in shifts if s.after > s.before]
    if len(falling) == len(rising) == 1:
        mass = f"{grams(rising[0].after - rising[0].before)} g"
        return f"{change.subject}: {mass} moved from {falling[0].name} to {rising[0].name}"
    moved = [s for s in shifts if _g(s.before) != _g(s.after)] or shifts
    said = ", ".join(f"{s.name} {_g(s.before)} -> {_g(s.after)}" for s in moved)
    return f"{change.subject} shared out otherwise: {said}"


def _g(value: float) -> str:
    return f"{grams(value)} g" if value else "none"


def _divided(change: Change, basis: str) -> str:
    what = "split in" if change.kind == "split" else "put together in"
    sides = []
    for lines in (change.lines_before, change.lines_after):
        parts = {line.part for line in (*change.lines_before, *change.lines_after)}
        where = len(parts) > 1
        sides.append(
            " + ".join(line.amount + (f" ({line.part})" if where else "") for line in lines)
        )
    said = f"{change.subject} {what} {change.part}: {sides[0]} -> {sides[1]}"
    if change.before is None or change.after is None or not change.importance:
        return said
    return f"{said}, {_from_percent_to(change, basis)}{_doubt(change)}"


def _batch(change: Change, _: str) -> str:
    tail = f", {change.text_after}" if change.text_after else ""
    masses = from_g_to(change.before or 0.0, change.after or 0.0)
    return f"batch {factor(change.delta or 1)}{tail} ({masses})"


def _part_scaled(change: Change, _: str) -> str:
    masses = from_g_to(change.before or 0.0, change.after or 0.0)
    return f"{change.subject} {factor(change.delta or 1)} ({masses})"


def _basis(change: Change, basis: str) -> str:
    before, after = change.before or 0.0, change.after or 0.0
    where = f" of {change.part}" if change.part else ""
    said = f"{basis}{where} {from_g_to(before, after)}"
    scaled_g = after - (change.delta or 0.0)
    if abs(scaled_g - before) > abs(scaled_g) * 1e-6:
        said += f", {signed((change.delta or 0.0) / scaled_g * 100)} % against the batch"
    if not change.beyond_spread:
        return f"{said} (within the measuring spread)"
    return f"{said}: every percentage {'in it ' if change.part else ''}moves against it"


def _blend(change: Change, basis: str) -> str:
    return f"{basis} blend: {_shifts(change.shifts)} of {basis}{_doubt(change)}"


def _shifts(shifts: tuple[Shift, ...]) -> str:
    moved = [s for s in shifts if percent(s.before) != percent(s.after)] or shifts
    return ", ".join(f"{s.name} {percent(s.before)} -> {percent(s.after)} %" for s in moved)


def _part_lone(change: Change, basis: str) -> str:
    what = "added" if change.kind == "part-added" else "removed"
    held = ", ".join(f"{s.name} {percent(s.after or s.before)} %" for s in change.shifts)
    mass_g = change.grams_before or change.grams_after or 0.0
    return (
        f"part {what}: {change.subject} ({f'{held} of {basis}' if held else f'{grams(mass_g)} g'})"
    )


def _from_to(change: Change, _: str) -> str:
    before, after = change.text_before or "nothing", change.text_after or "nothing"
    return f"{_item(change)}: {before} -> {after}"


def _state(change: Change, _: str) -> str:
    before, after = change.text_before or "as it is", change.text_after or "as it is"
    return f"{_item(change)}: {before} -> {after}"


def _step_field(change: Change, basis: str) -> str:
    verb, _, key = change.subject.rpartition(": ")
    if key == "do":
        return f"step now called {change.text_after}: {change.text_before} -> {change.text_after}"
    before, after = change.text_before or "nothing", change.text_after or "nothing"
    return f"{verb} {key}: {before} -> {after}"


def _header(change: Change, _: str) -> str:
    before, after = (_cut(t) or "nothing" for t in (change.text_before, change.text_after))
    return f"{change.subject}: {before} -> {after}"


def _cut(text: str) -> str:
    """A long text up to its last whole word."""
    return text if len(text) <= LONG else f"{text[:LONG].rpartition(' ')[0] or text[:LONG]} …"


def _ratio(change: Change, basis: str) -> str:
    narrow = bool(change.crossing) and reads_the_same(change)
    said = f"{ratio_name(change.subject)} {_from_percent_to(change, basis, fine=narrow)}"
    if change.text_before != change.text_after:  # what is unknown on both sides hardly moves
        before, after = change.text_before or "nothing", change.text_after or "nothing"
        said += f" (not counted: before {before}, now {after})"
    return said + _crossing(change) + _doubt(change)


def _window(change: Change, _: str) -> str:
    share = percent(change.after or 0.0, change.fine)
    return f"{ratio_name(change.subject)} {share} % as before{_crossing(change)} of its new class"


def _crossing(change: Change) -> str:
    if not change.window or not change.crossing:
        return ""
    low, high = change.window
    return f", {change.crossing} the usual {low:g}-{high:g} %"


def _piece(change: Change, _: str) -> str:
    masses = from_g_to(change.before or 0.0, change.after or 0.0)
    return f"mass per piece {masses}{_doubt_g(change)}"


def _doubt_g(change: Change) -> str:
    if change.beyond_spread is not False:
        return ""
    return f" (within the measuring spread, ± {change.spread or 0:.2g} g)"


def _step_moved(change: Change, _: str) -> str:
    return f"step moved: {change.subject} ({change.text_before} -> {change.text_after})"


_STEP_FIELDS = ("step-time", "step-temperature", "step-speed", "step-sign", "step-uses", "step-reworded", "bake")  # fmt: skip
_WORDING: dict[str, Wording] = {
    "batch-scaled": _batch,
    "part-scaled": _part_scaled,
    "basis": _basis,
    "blend": _blend,
    "amount": _amount,
    "re-measured": _re_measured,
    "amount-as-written": _from_to,
    "mass-only": _mass_only,
    "follows-basis": _follows,
    "added": _added,
    "removed": _removed,
    "substituted": _substituted,
    "moved": lambda c, _: f"{c.subject} moved from {c.text_before} to {c.text_after}",
    "shared-out": _shared_out,
    "split": _divided,
    "merged": _divided,
    "renamed": lambda c, _: f"{c.text_before} now called {c.text_after}",
    "state": _state,
    "note": lambda c, _: f"note of {_from_to(c, '')}",
    "part-added": _part_lone,
    "part-removed": _part_lone,
    "part-renamed": lambda c, _: f"part {c.text_before} now called {c.text_after}",
    "part-kind": lambda c, _: f"kind of {_from_to(c, '')}",
    "part-share": lambda c, _: f"{c.subject} used in {c.part}: {c.text_before} -> {c.text_after}",
    "ratio": _ratio,
    "window": _window,
    "step-added": lambda c, _: f"step added: {c.subject}",
    "step-removed": lambda c, _: f"step removed: {c.subject}",
    "step-moved": _step_moved,
    **dict.fromkeys(_STEP_FIELDS, _step_field),
    "yield": _from_to,
    "mass-per-piece": _piece,
    "header": _header,
}
