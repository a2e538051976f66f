"""Every kind of change in the words of a baker: a line of a report, and a phrase of a summary."""

from collections.abc import Callable

from perflour.diff.change import (
    BlendChange,
    Change,
    Degrees,
    LineChange,
    MassChange,
    PartChange,
    RatioChange,
    Scaling,
    StepChange,
    TextChange,
    WindowChange,
)
from perflour.diff.preferments import FLOUR, WATER, YEAST
from perflour.diff.residual import SPREADS_THAT_COUNT
from perflour.formula.formula import REFERENCE
from perflour.kitchen.figures import factor, grams, percent, spread_text
from perflour.plain import one_line
from perflour.report.diff.figures import (
    against_batch,
    apart,
    doubt,
    from_g_to,
    held_by,
    ratio_name,
    shifts,
)
from perflour.report.diff.line_words import (
    added,
    amount_line,
    amount_phrase,
    brief,
    divided,
    exchanged,
    exchanged_phrase,
    follows,
    item_of,
    leavening,
    leavening_phrase,
    mass_only,
    percents,
    re_measured,
    re_measured_phrase,
    removed,
    shared_out,
    shared_out_phrase,
    shift_said,
    substituted,
)
from perflour.report.diff.ratio_words import (
    basis_unknown,
    piece_unknown,
    ratio,
    ratio_unknown,
    window,
)
from perflour.tuples import NamedTuple
from perflour.typed import Any, Generic, TypeVar

# Texts of the header longer than this are cut between words.
LONG = 90
Told = TypeVar("Told")


class Words(NamedTuple, Generic[Told]):
    """How a kind is told, given the change and what 100 % is called.

    ``counted``: several of them within their spread are one phrase of a summary, `3 amounts …`.
    """

    line: Callable[[Told, str], str]
    phrase: Callable[[Told, str], str]
    counted: bool = True


def change_text(change: Change) -> str:
    """One change in one line, in the words of a baker."""
    return one_line(WORDS[change.kind].line(change, of_what(change)))


def change_phrase(change: Change) -> str:
    """The same for the summary of many, as short as it can be."""
    return one_line(WORDS[change.kind].phrase(change, of_what(change)))


def of_what(change: Change) -> str:
    """What the percentages of a change are of."""
    return getattr(change, "of", "")


# --- the batch, and what 100 % is ---


def _batch(change: Scaling, _: str) -> str:
    tail = ", ratios unchanged" if change.ratios_unchanged else ""
    return f"batch {factor(change.factor)}{tail} ({from_g_to(change.before_g, change.after_g)})"


def _part_scaled(change: Scaling, _: str) -> str:
    return (
        f"{change.subject} {factor(change.factor)} ({from_g_to(change.before_g, change.after_g)})"
    )


def _basis(change: MassChange, basis: str) -> str:
    said = f"{basis} {from_g_to(change.before_g, change.after_g)}"
    if against := against_batch(change):
        said += f", {against}"
    if not change.beyond_spread:
        return f"{said} (within the measuring spread)"
    return f"{said}: every percentage of it moves"


def _basis_phrase(change: MassChange, basis: str) -> str:
    return f"{basis} {from_g_to(change.before_g, change.after_g)}"


def _blend(change: BlendChange, basis: str) -> str:
    return f"{basis}: {shifts(change.shifts)}{doubt(change)}"


def _blend_phrase(change: BlendChange, _: str) -> str:
    moved = {s: s.after_percent - s.before_percent for s in change.shifts}
    largest = max(change.shifts, key=lambda s: (abs(moved[s]), moved[s]))
    return f"{largest.name} {percent(largest.before_percent)} -> {percent(largest.after_percent)} %"


# --- parts, derived ratios, the yield ---


def _part_lone(change: PartChange, _: str) -> str:
    what = "added" if change.kind == "part-added" else "removed"
    return f"part {what}: {change.subject} ({held_by(change)})"


def _preferment(change: PartChange, basis: str) -> str:
    """`poolish takes 20.0 % -> 30.0 % of the dough's flour, at 100.0 % hydration; the whole as before`."""
    first = change.shifts[0]
    tail = "; the whole as before" if change.rest_unchanged else ""
    if first.name == FLOUR and not first.after_percent:
        took = percent(first.before_percent)
        return f"{change.subject} gone, which took {took} % of {basis}{tail}"
    moved = {s.name: shift_said(s, s.name == YEAST) for s in change.shifts}
    told = [f"takes {moved[FLOUR]} of {basis}"] if FLOUR in moved else []
    told += [f"at {moved[WATER]} hydration"] if WATER in moved else []
    told += [f"with {moved[YEAST]} yeast (as instant) of its own flour"] if YEAST in moved else []
    return f"{change.subject} {', '.join(told)}{tail}"


def _preferment_phrase(change: PartChange, _: str) -> str:
    first = change.shifts[0]
    moved = f"{percent(first.before_percent)} -> {percent(first.after_percent)} %"
    of = " of the flour" if first.name == FLOUR else f" {first.name}"
    return f"{change.subject} {moved}{of}"


def _piece(change: MassChange, _: str) -> str:
    return f"mass per piece {from_g_to(change.before_g, change.after_g)}{_doubt_g(change)}"


def _yield_off(change: MassChange, _: str) -> str:
    apart_g, less = grams(abs(change.moved_g)), "less" if change.moved_g > 0 else "more"
    said = f"yield {change.subject}, {grams(change.before_g)} g in all"
    return f"{said}, is {apart_g} g {less} than the batch weighs now ({grams(change.after_g)} g)"


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
        ""
        if change.beyond_spread
        else f" (within the measuring, ± {spread_text(SPREADS_THAT_COUNT * change.spread_g)} g)"
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
    if change.field == "into":
        return f"{change.text_before or 'no pan'} -> {change.text_after or 'no pan'}"
    if change.field in ("uses", "until", "note"):
        return f"{change.verb}: {change.field} changed"
    before, after = change.text_before or "none", change.text_after or "none"
    match change.figures:
        case Degrees(float() as was, float() as now):
            oven = "oven" if change.is_of_oven else change.verb
            return f"{oven} {was:.0f} -> {now:.0f} °C"
    return f"{change.verb} {change.field} {before} -> {after}"


# --- words ---


def _from_to(change: LineChange | TextChange, _: str) -> str:
    before, after = change.text_before or "nothing", change.text_after or "nothing"
    return f"{item_of(change)}: {before} -> {after}"


def _state(change: TextChange, _: str) -> str:
    before, after = change.text_before or "as it is", change.text_after or "as it is"
    return f"{item_of(change)}: {before} -> {after}"


def _in_part(change: TextChange, _: str) -> str:
    lone = f"{change.text_before} removed and {change.text_after} added"
    return f"{change.subject} compared in part: {lone} are too many to hold each against each"


def _header(change: TextChange, _: str) -> str:
    before, after = (_cut(t) or "nothing" for t in (change.text_before, change.text_after))
    said = f" ({whose})" if (whose := whose_now(change)) else ""
    return f"{change.subject}: {before} -> {after}{said}"


def whose_now(change: TextChange) -> str:
    """Of a status that makes a formula somebody else's or the house's own, what that means."""
    if change.subject == "status" and change.text_after == REFERENCE:
        return "not the house's own any more"
    if change.subject == "status" and change.text_before == REFERENCE:
        return "somebody else's until now"
    return ""


def _header_phrase(change: TextChange, _: str) -> str:
    if change.subject == "formula":
        return f"renamed from {change.text_before}"
    if change.subject == "waivers" and not (change.text_before and change.text_after):
        rules = (change.text_after or change.text_before).partition(":")[0]
        return f"waiver of {rules} {'added' if change.text_after else 'removed'}"
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
    "yield-off": Words(_yield_off, lambda c, _: "yield does not come to the batch"),
    "mass-per-piece": Words(_piece, lambda c, _: f"piece {from_g_to(c.before_g, c.after_g)}"),
}
_BLENDS: dict[str, Words[BlendChange]] = {"blend": Words(_blend, _blend_phrase, counted=False)}
_LINES: dict[str, Words[LineChange]] = {
    "amount": Words(amount_line, amount_phrase),
    "re-measured": Words(re_measured, re_measured_phrase),
    "amount-as-written": Words(
        _from_to, lambda c, _: f"{c.subject} {c.text_before} -> {c.text_after}"
    ),
    "mass-only": Words(mass_only, lambda c, _: f"{c.subject} with the flour"),
    "follows-basis": Words(follows, amount_phrase),
    "added": Words(
        added, lambda c, _: f"{c.subject} {brief(c.after_percent, c.text_after, c)} added"
    ),
    "removed": Words(
        removed, lambda c, _: f"{c.subject} {brief(c.before_percent, c.text_before, c)} removed"
    ),
    "substituted": Words(substituted, lambda c, _: f"{c.subject} for {c.subject_before}"),
    "shared-out": Words(shared_out, shared_out_phrase),
    "leavening": Words(leavening, leavening_phrase),
    "exchanged": Words(exchanged, exchanged_phrase),
    "split": Words(divided, lambda c, _: f"{c.subject} split"),
    "merged": Words(divided, lambda c, _: f"{c.subject} put together"),
    "part-share": Words(
        lambda c, _: f"{c.subject} used in {c.part}: {c.text_before} -> {c.text_after}",
        lambda c, _: f"{c.subject} {c.text_before} -> {c.text_after}",
    ),
}
_PARTS: dict[str, Words[PartChange]] = {
    "part-added": Words(_part_lone, lambda c, _: f"{c.subject} added"),
    "part-removed": Words(_part_lone, lambda c, _: f"{c.subject} removed"),
    "preferment": Words(_preferment, _preferment_phrase),
}
_RATIOS: dict[str, Words[RatioChange]] = {
    "ratio-unknown": Words(
        ratio_unknown,
        lambda c, _: (
            f"{ratio_name(c.subject)} {'not known any more' if c.lacking_after else 'now known'}"
        ),
    ),
    "ratio": Words(ratio, lambda c, _: f"{ratio_name(c.subject)} {percents(c)}"),
}
_WINDOWS: dict[str, Words[WindowChange]] = {
    "window": Words(
        window, lambda c, _: f"{ratio_name(c.subject)} {c.crossing.way} its usual range"
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
    "basis-named": Words(
        lambda c, _: (
            f"100 % now means {c.text_after}, no longer {c.text_before}; told in percent of that"
        ),
        lambda c, _: f"100 % now means {c.text_after.partition(' (')[0]}",
    ),
    "basis-short": Words(
        lambda c, _: (
            f"100 % was {c.text_before} and is {c.text_after} now: percentages cannot be compared as "
            f"they stand; told in percent of {c.subject}, name all of that in `basis`"
        ),
        lambda c, _: f"100 % now only {c.text_after}",
    ),
    "basis-unknown": Words(
        basis_unknown, lambda c, _: f"100 % {'not whole any more' if c.text_after else 'whole now'}"
    ),
    "piece-unknown": Words(
        piece_unknown,
        lambda c, _: f"{c.subject} {'not known any more' if c.text_after else 'now known'}",
    ),
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
    "step-split": Words(
        lambda c, _: f"step split: {c.text_before} -> {c.text_after}",
        lambda c, _: f"{c.subject.partition(' -> ')[0]} in two steps",
    ),
    "steps-joined": Words(
        lambda c, _: f"steps joined: {c.text_before} -> {c.text_after}",
        lambda c, _: f"{c.subject.partition(' -> ')[0]} in one step",
    ),
    "steps-not-compared": Words(_in_part, lambda _c, _: "steps compared in part"),
    "lines-not-compared": Words(_in_part, lambda _c, _: "lines compared in part"),
    "yield": Words(_from_to, lambda c, _: f"yield {c.text_after or 'not said'}"),
    "header": Words(_header, _header_phrase),
}
WORDS: dict[str, Words[Any]] = {
    **_SCALINGS, **_MASSES, **_BLENDS, **_LINES, **_PARTS, **_RATIOS, **_WINDOWS, **_STEPS, **_TEXTS,
}  # fmt: skip
