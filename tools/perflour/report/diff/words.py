"""Every kind of change in the words of a baker: a line of a report, and a phrase of a summary."""

from collections.abc import Callable
from typing import Any, Generic, NamedTuple, TypeVar

from perflour.diff.change import (
    BlendChange,
    Change,
    LineChange,
    MassChange,
    PartChange,
    RatioChange,
    Scaling,
    StepChange,
    TextChange,
    WindowChange,
)
from perflour.kitchen.figures import factor, grams, percent, signed
from perflour.plain import one_line
from perflour.report.diff.figures import (
    apart,
    crossing_said,
    doubt,
    from_g_to,
    from_percent_to,
    ratio_name,
    reads_the_same,
    shifts,
)

# Texts of the header longer than this are cut between words.
LONG = 90
# A phrase of a summary longer than this is cut between words.
LONGEST_PHRASE = 44

Told = TypeVar("Told")


class Words(NamedTuple, Generic[Told]):
    """How a kind is told, given the change and what 100 % is called.

    ``counted``: several of them within their spread are one phrase of a summary, `3 amounts …`.
    """

    line: Callable[[Told, str], str]
    phrase: Callable[[Told, str], str]
    counted: bool = True


def change_text(change: Change, basis: str = "flour") -> str:
    """One change in one line, in the words of a baker."""
    return one_line(WORDS[change.kind].line(change, basis))


# --- the batch, and what 100 % is ---


def _batch(change: Scaling, _: str) -> str:
    tail = ", ratios unchanged" if change.ratios_unchanged else ""
    return f"batch {factor(change.factor)}{tail} ({from_g_to(change.before_g, change.after_g)})"


def _part_scaled(change: Scaling, _: str) -> str:
    return (
        f"{change.subject} {factor(change.factor)} ({from_g_to(change.before_g, change.after_g)})"
    )


def _basis(change: MassChange, basis: str) -> str:
    where = f" of {change.part}" if change.part else ""
    said = f"{basis}{where} {from_g_to(change.before_g, change.after_g)}"
    scaled_g = change.after_g - change.moved_g
    if abs(scaled_g - change.before_g) > abs(scaled_g) * 1e-6:
        said += f", {signed(change.moved_g / scaled_g * 100)} % against the batch"
    if not change.beyond_spread:
        return f"{said} (within the measuring spread)"
    return f"{said}: every percentage {'in it ' if change.part else ''}moves against it"


def _basis_phrase(change: MassChange, basis: str) -> str:
    return f"{basis} {from_g_to(change.before_g, change.after_g)}"


def _blend(change: BlendChange, basis: str) -> str:
    return f"{basis} blend: {shifts(change.shifts)} of {basis}{doubt(change)}"


def _blend_phrase(change: BlendChange, basis: str) -> str:
    moved = {s: s.after_percent - s.before_percent for s in change.shifts}
    largest = max(change.shifts, key=lambda s: (abs(moved[s]), moved[s]))
    return f"{largest.name} {percent(largest.before_percent)} -> {percent(largest.after_percent)} % of {basis}"


# --- lines ---


def _item(change: LineChange | TextChange) -> str:
    """The ingredient, with its part where it stands in several."""
    return f"{change.subject} in {change.part}" if change.in_several else change.subject


def _amount(change: LineChange, basis: str) -> str:
    if reads_the_same(change):
        return _mass_only(change, basis)
    return f"{_item(change)} {from_percent_to(change, basis)}{doubt(change)}"


def _amount_phrase(change: LineChange, _: str) -> str:
    said = f"{_item(change)} {_percents(change)}"
    return said if len(said) <= LONGEST_PHRASE else f"{change.subject} {_percents(change)}"


def _percents(change: LineChange | RatioChange) -> str:
    before, after = change.before_percent, change.after_percent
    if isinstance(change, LineChange) and (before is None or after is None):
        return f"{change.text_before or 'none'} -> {change.text_after or 'none'}"
    return f"{percent(before or 0.0, change.fine)} -> {percent(after or 0.0, change.fine)} %"


def _follows(change: LineChange, basis: str) -> str:
    return f"{_item(change)} {from_percent_to(change, basis)} (its mass is the same)"


def _mass_only(change: LineChange, basis: str) -> str:
    still = f"still {percent(change.after_percent or 0.0, change.fine)} % of {basis}"
    return f"{_item(change)} {_masses(change)}, {still}{doubt(change)}"


def _masses(change: LineChange) -> str:
    return from_g_to(change.before_g or 0.0, change.after_g or 0.0)


def _re_measured(change: LineChange, basis: str) -> str:
    said = f"{change.text_before} -> {change.text_after}"
    masses = [grams(mass or 0.0) for mass in (change.before_g, change.after_g)]
    if not change.beyond_spread:
        weighed = f"{masses[0]} g" if masses[0] == masses[1] else _masses(change)
        if change.before_percent is not None and change.after_percent is not None:
            before, after = (
                percent(p, change.fine) for p in (change.before_percent, change.after_percent)
            )
            weighed += f", still {after} %" if before == after else f", {before} % -> {after} %"
            weighed += f" of {basis}"
        return f"{_item(change)} re-measured only: {said} ({weighed})"
    if change.before_percent is None or reads_the_same(change):
        return f"{_item(change)} {_masses(change)} ({said})"
    return f"{_item(change)} {from_percent_to(change, basis)} ({said})"


def _re_measured_phrase(change: LineChange, basis: str) -> str:
    if change.beyond_spread:
        return _amount_phrase(change, basis)
    return f"{_item(change)} re-measured"


def _added(change: LineChange, basis: str) -> str:
    return f"{change.subject} added to {change.part}: {change.text_after}{_share(change.after_percent, change, basis)}"


def _removed(change: LineChange, basis: str) -> str:
    return f"{change.subject} removed from {change.part}: {change.text_before}{_share(change.before_percent, change, basis)}"


def _share(share: float | None, change: LineChange, basis: str) -> str:
    return "" if share is None else f", {percent(share, change.fine)} % of {basis}"


def _brief(share: float | None, text: str, change: LineChange) -> str:
    return text if share is None else f"{percent(share, change.fine)} %"


def _substituted(change: LineChange, basis: str) -> str:
    texts = dict.fromkeys((change.text_before, change.text_after))
    said = f"{change.subject} for {change.subject_before} in {change.part}: {' -> '.join(texts)}"
    if change.before_percent is not None and change.after_percent is not None:
        said += f", {from_percent_to(change, basis)}"
    moved = ", ".join(
        f"{s.name} {signed(s.after_percent - s.before_percent)}" for s in change.shifts
    )
    return said + (f" ({moved} points)" if moved else "")


def _shared_out(change: LineChange, _: str) -> str:
    held = change.by_part
    if len(held) == 1:
        return f"{change.subject} in {change.part} shared out otherwise: {change.text_before} -> {change.text_after}"
    falling = [s for s in held if s.after_g < s.before_g]
    rising = [s for s in held if s.after_g > s.before_g]
    if len(falling) == len(rising) == 1:
        mass = f"{grams(rising[0].after_g - rising[0].before_g)} g"
        return f"{change.subject}: {mass} moved from {falling[0].name} to {rising[0].name}"
    moved = [s for s in held if _g(s.before_g) != _g(s.after_g)] or held
    said = ", ".join(f"{s.name} {_g(s.before_g)} -> {_g(s.after_g)}" for s in moved)
    return f"{change.subject} shared out otherwise: {said}"


def _shared_out_phrase(change: LineChange, _: str) -> str:
    rising = [s for s in change.by_part if s.after_g > s.before_g]
    if len(change.by_part) == 2 and len(rising) == 1:
        mass = grams(rising[0].after_g - rising[0].before_g)
        return f"{mass} g {change.subject} to {rising[0].name}"
    return f"{change.subject} shared out otherwise"


def _g(mass_g: float) -> str:
    return f"{grams(mass_g)} g" if mass_g else "none"


def _divided(change: LineChange, basis: str) -> str:
    what = "split in" if change.kind == "split" else "put together in"
    sides = []
    for lines in (change.lines_before, change.lines_after):
        parts = {line.part for line in (*change.lines_before, *change.lines_after)}
        where = len(parts) > 1
        sides.append(
            " + ".join(line.amount + (f" ({line.part})" if where else "") for line in lines)
        )
    said = f"{change.subject} {what} {change.part}: {sides[0]} -> {sides[1]}"
    if change.before_percent is None or change.after_percent is None or not change.importance:
        return said
    return f"{said}, {from_percent_to(change, basis)}{doubt(change)}"


# --- parts, derived ratios, the yield ---


def _part_lone(change: PartChange, basis: str) -> str:
    what = "added" if change.kind == "part-added" else "removed"
    held = ", ".join(
        f"{s.name} {percent(s.after_percent or s.before_percent)} %" for s in change.shifts
    )
    return f"part {what}: {change.subject} ({f'{held} of {basis}' if held else f'{grams(change.mass_g)} g'})"


def _ratio(change: RatioChange, basis: str) -> str:
    narrow = change.crossing is not None and reads_the_same(change)
    said = f"{ratio_name(change.subject)} {from_percent_to(change, basis, fine=narrow)}"
    lacking = change.lacking_before, change.lacking_after
    if lacking[0] != lacking[1]:  # what is unknown on both sides hardly moves
        said += f" (not counted: before {lacking[0] or 'nothing'}, now {lacking[1] or 'nothing'})"
    return said + crossing_said(change.crossing) + doubt(change)


def _window(change: WindowChange, _: str) -> str:
    share = percent(change.percent, change.fine)
    return f"{ratio_name(change.subject)} {share} % as before{crossing_said(change.crossing)} of its new class"


def _piece(change: MassChange, _: str) -> str:
    return f"mass per piece {from_g_to(change.before_g, change.after_g)}{_doubt_g(change)}"


def _beside(change: MassChange, _: str) -> str:
    before, after, moved = apart(change.before_g, change.after_g)
    *others, last = change.per
    rest = f"{', '.join(others)} and {last}" if others else last
    if before == after:
        return f"{change.subject} still {after} g for 100 g of {rest}{_doubt_g(change)}"
    said = f"{change.subject} {before} g -> {after} g for 100 g of {rest}, {moved} g"
    return said + _doubt_g(change)


def _beside_phrase(change: MassChange, _: str) -> str:
    before, after, _moved = apart(change.before_g, change.after_g)
    return f"{change.subject} {before} -> {after} g for 100 g"


def _doubt_g(change: MassChange) -> str:
    return (
        "" if change.beyond_spread else f" (within the measuring spread, ± {change.spread_g:.2g} g)"
    )


# --- the method ---


def _step(change: StepChange, _: str) -> str:
    before, after = change.text_before, change.text_after
    if change.field == "do":
        return f"step now called {after}: {before} -> {after}"
    return f"{change.verb} {change.field}: {before or 'nothing'} -> {after or 'nothing'}"


def _step_phrase(change: StepChange, _: str) -> str:
    if change.field == "do":
        return f"{change.text_before} now {change.verb}"
    if change.field in ("uses", "until", "note"):
        return f"{change.verb}: {change.field} changed"
    before, after = change.text_before or "none", change.text_after or "none"
    return f"{change.verb} {change.field} {before} -> {after}"


# --- words ---


def _from_to(change: LineChange | TextChange, _: str) -> str:
    before, after = change.text_before or "nothing", change.text_after or "nothing"
    return f"{_item(change)}: {before} -> {after}"


def _state(change: TextChange, _: str) -> str:
    before, after = change.text_before or "as it is", change.text_after or "as it is"
    return f"{_item(change)}: {before} -> {after}"


def _in_part(change: TextChange, _: str) -> str:
    lone = f"{change.text_before} removed and {change.text_after} added"
    return f"{change.subject} compared in part: {lone} are too many to hold each against each"


def _header(change: TextChange, _: str) -> str:
    before, after = (_cut(t) or "nothing" for t in (change.text_before, change.text_after))
    return f"{change.subject}: {before} -> {after}"


def _header_phrase(change: TextChange, _: str) -> str:
    if change.subject == "status":
        return f"status {change.text_before} -> {change.text_after}"
    return f"{change.subject} changed"


def _cut(text: str) -> str:
    """A long text up to its last whole word."""
    return text if len(text) <= LONG else f"{text[:LONG].rpartition(' ')[0] or text[:LONG]} …"


_SCALINGS: dict[str, Words[Scaling]] = {
    "batch-scaled": Words(_batch, lambda c, _: f"batch {factor(c.factor)}"),
    "part-scaled": Words(_part_scaled, lambda c, _: f"{c.subject} {factor(c.factor)}"),
}
_MASSES: dict[str, Words[MassChange]] = {
    "basis": Words(_basis, _basis_phrase, counted=False),
    "part-beside": Words(_beside, _beside_phrase),
    "mass-per-piece": Words(_piece, lambda c, _: f"piece {from_g_to(c.before_g, c.after_g)}"),
}
_BLENDS: dict[str, Words[BlendChange]] = {"blend": Words(_blend, _blend_phrase, counted=False)}
_LINES: dict[str, Words[LineChange]] = {
    "amount": Words(_amount, _amount_phrase),
    "re-measured": Words(_re_measured, _re_measured_phrase),
    "amount-as-written": Words(
        _from_to, lambda c, _: f"{c.subject} {c.text_before} -> {c.text_after}"
    ),
    "mass-only": Words(_mass_only, lambda c, _: f"{c.subject} with the flour"),
    "follows-basis": Words(_follows, _amount_phrase),
    "added": Words(
        _added, lambda c, _: f"{c.subject} {_brief(c.after_percent, c.text_after, c)} added"
    ),
    "removed": Words(
        _removed, lambda c, _: f"{c.subject} {_brief(c.before_percent, c.text_before, c)} removed"
    ),
    "substituted": Words(_substituted, lambda c, _: f"{c.subject} for {c.subject_before}"),
    "shared-out": Words(_shared_out, _shared_out_phrase),
    "split": Words(_divided, lambda c, _: f"{c.subject} split"),
    "merged": Words(_divided, lambda c, _: f"{c.subject} put together"),
    "part-share": Words(
        lambda c, _: f"{c.subject} used in {c.part}: {c.text_before} -> {c.text_after}",
        lambda c, _: f"{c.subject} {c.text_before} -> {c.text_after}",
    ),
}
_PARTS: dict[str, Words[PartChange]] = {
    "part-added": Words(_part_lone, lambda c, _: f"{c.subject} added"),
    "part-removed": Words(_part_lone, lambda c, _: f"{c.subject} removed"),
}
_RATIOS: dict[str, Words[RatioChange]] = {
    "ratio": Words(_ratio, lambda c, _: f"{ratio_name(c.subject)} {_percents(c)}"),
}
_WINDOWS: dict[str, Words[WindowChange]] = {
    "window": Words(
        _window, lambda c, _: f"{ratio_name(c.subject)} {c.crossing.way} its usual range"
    ),
}
_STEPS: dict[str, Words[StepChange]] = {
    "step-time": Words(_step, _step_phrase),
    "step-temperature": Words(_step, _step_phrase),
    "step-speed": Words(_step, _step_phrase),
    "step-sign": Words(_step, _step_phrase),
    "step-uses": Words(_step, _step_phrase),
    "step-reworded": Words(_step, _step_phrase),
    "bake": Words(_step, _step_phrase),
}
_TEXTS: dict[str, Words[TextChange]] = {
    "moved": Words(
        lambda c, _: f"{c.subject} moved from {c.text_before} to {c.text_after}",
        lambda c, _: f"{c.subject} moved to {c.text_after}",
    ),
    "renamed": Words(
        lambda c, _: f"{c.text_before} now called {c.text_after}",
        lambda c, _: f"{c.text_before} now called {c.text_after}",
    ),
    "state": Words(_state, lambda c, _: f"{c.subject} {c.text_after or 'as it is'}"),
    "note": Words(
        lambda c, _: f"note of {_from_to(c, '')}", lambda c, _: f"note of {c.subject} changed"
    ),
    "part-renamed": Words(
        lambda c, _: f"part {c.text_before} now called {c.text_after}",
        lambda c, _: f"{c.text_before} now called {c.text_after}",
    ),
    "part-kind": Words(
        lambda c, _: f"kind of {_from_to(c, '')}",
        lambda c, _: f"{c.subject} now {c.text_after or 'of no kind'}",
    ),
    "step-added": Words(
        lambda c, _: f"step added: {c.subject}", lambda c, _: f"{c.text_after} added"
    ),
    "step-removed": Words(
        lambda c, _: f"step removed: {c.subject}", lambda c, _: f"{c.text_before} removed"
    ),
    "step-moved": Words(
        lambda c, _: f"step moved: {c.subject} ({c.text_before} -> {c.text_after})",
        lambda c, _: f"{c.subject} as {c.text_after}",
    ),
    "steps-not-compared": Words(_in_part, lambda _c, _: "steps compared in part"),
    "lines-not-compared": Words(_in_part, lambda _c, _: "lines compared in part"),
    "yield": Words(_from_to, lambda c, _: f"yield {c.text_after or 'not said'}"),
    "header": Words(_header, _header_phrase),
}
WORDS: dict[str, Words[Any]] = {
    **_SCALINGS, **_MASSES, **_BLENDS, **_LINES, **_PARTS, **_RATIOS, **_WINDOWS, **_STEPS, **_TEXTS,
}  # fmt: skip
