"""Every change as rows of one table: what moved, before, after, by how much, of whose flour."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.balance.gas import GAS  # the one derived figure that is no percentage
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
    is_doubted,
)
from perflour.diff.preferments import FLOUR, WATER
from perflour.kitchen.figures import factor, grams, percent, signed
from perflour.report.diff.figures import (
    FINER_G,
    against_batch,
    apart,
    crossing_said,
    differing,
    held_by,
    ratio_name,
    reads_the_same,
)
from perflour.report.diff.line_words import NOT_WEIGHED, brought_along, item_of
from perflour.report.diff.text import change_text, sections
from perflour.report.diff.words import whose_now
from perflour.report.form.moves import Moves, Row, figures, words

#: What is in the measuring, and no change that anybody made out.
DOUBTED = "within the measuring"
NOTHING = "-"
#: Changes of a line whose subject alone says what they are of, and those that name what was done as well.
_LINES = frozenset(("amount", "amount-as-written", "mass-only", "follows-basis", "re-measured", "leavening", "added", "removed"))  # fmt: skip
_DONE = {"split": "split", "merged": "put together", "part-share": "used"}
_SAID = {"re-measured": "re-measured only", "follows-basis": "only follows 100 %", "added": "added to {}", "removed": "taken out of {}"}  # fmt: skip
#: Changes of a text that have two sides, and what their row is called.
_TEXTS = {
    "yield": "{}", "header": "{}", "state": "{}, state", "note": "{}, note", "part-kind": "{}, kind of part",
    "moved": "{}, in which part", "renamed": "ingredient called", "part-renamed": "part called",
    "step-split": "one step, now two", "steps-joined": "two steps, now one", "step-moved": "{}",
}  # fmt: skip


def moves_of(changes: Sequence[Change]) -> Moves:
    """The changes worth saying: figures first, then words; what has no two sides is a remark."""
    told = [change for _, said in sections(changes) for change in said]
    basis = basis_of(told)
    found = [(change, list(_rows(change, basis))) for change in told]
    rows = [row for _, each in found for row in each]
    rows.sort(key=lambda row: not row.is_figures)  # stable
    heads: tuple[str, ...] = ("what", "before", "after")
    if any("".join(row.sides[2:]) for row in rows):
        heads += (f"change, in % of {basis}" if basis else "change",)
    return Moves(heads, rows, [change_text(change) for change, each in found if not each])


def basis_of(changes: Sequence[Change]) -> str:
    """What most percentages of some changes are of."""
    named = [change.of for change in changes if isinstance(change, LineChange | RatioChange | BlendChange) and change.of]  # fmt: skip
    named += [change.of for change in changes if isinstance(change, PartChange) and change.kind == "preferment"]  # fmt: skip
    return max(dict.fromkeys(named), key=named.count, default="")


def _rows(change: Change, basis: str) -> Iterator[Row]:
    """The rows of a change; none of one that only a sentence can say."""
    match change:
        case Scaling():
            tail = ", ratios unchanged" if change.ratios_unchanged else ""
            yield _masses(change.subject or "batch", change, f"{factor(change.factor)}{tail}")
        case LineChange():
            yield from _line(change, basis)
        case RatioChange():
            yield _ratio(change, basis)
        case WindowChange():
            share = f"{percent(change.percent, change.fine)} %"
            said = f"{crossing_said(change.crossing).lstrip(', ')} of its new class"
            yield figures(ratio_name(change.subject), share, share, said)
        case BlendChange():
            yield from _blend(change, basis)
        case MassChange():
            yield from _mass(change)
        case PartChange():
            yield from _part(change, basis)
        case StepChange():
            field = "what is done" if change.field == "do" else change.field
            yield words(f"{change.verb}, {field}", change.text_before or NOTHING, change.text_after or NOTHING)  # fmt: skip
        case TextChange():
            yield from _text(change)


def _of(named: str, basis: str) -> str:
    return f" (of {named})" if named and named != basis else ""


def _masses(name: str, change: Scaling | MassChange, said: str = "") -> Row:
    """Two masses and their move, to a tenth of a gram where they are one in whole grams."""
    before_g, after_g = change.before_g, change.after_g
    finest = FINER_G if grams(before_g) == grams(after_g) else 1.0
    sign = "-" if after_g < before_g else "+"
    moved = f"{sign}{abs(after_g - before_g):,.{1 if finest < 1 else 0}f} g"
    said = DOUBTED if is_doubted(change) else said or moved
    return figures(name, f"{grams(before_g, finest)} g", f"{grams(after_g, finest)} g", said)


# --- ingredients ---


def _line(change: LineChange, basis: str) -> Iterator[Row]:
    before = _side(change.text_before, change.before_percent, change.fine)
    after = _side(change.text_after, change.after_percent, change.fine)
    of = _of(change.of, basis)
    match change.kind:
        case "leavening" if change.before_percent is not None and change.after_percent is not None:
            # its figures are gas, not percent
            was, now = change.before_percent, change.after_percent
            name = f"carbon dioxide of these, for 100 g of {change.of}"
            yield words("leavening", change.text_before, change.text_after)
            yield figures(name, f"{percent(was, True)} g", f"{percent(now, True)} g", f"{signed(now - was, True)} g")  # fmt: skip
        case "substituted":
            name = f"{change.subject} for {change.subject_before} in {change.part}"
            said = ", ".join(filter(None, (_moved(change), brought_along(change))))
            yield figures(name + of, before, after, said)
        case "exchanged":
            yield from _exchanged(change, of)
        case "shared-out" if len(change.by_part) > 1:
            for held in change.by_part:
                sides = (f"{grams(mass_g)} g" if mass_g else NOTHING for mass_g in (held.before_g, held.after_g))  # fmt: skip
                yield figures(f"{change.subject} in {held.name}", *sides, "shared out otherwise")
        case "shared-out":
            yield words(f"{change.subject} in {change.part}", change.text_before, change.text_after, "shared out otherwise")  # fmt: skip
        case kind if kind in _LINES:
            yield figures(item_of(change) + of, before, after, _moved(change))
        case kind if kind in _DONE:
            yield figures(f"{change.subject} {_DONE[kind]} in {change.part}{of}", before, after, _moved(change))  # fmt: skip


def _side(text: str, share: float | None, fine: bool) -> str:
    if share is None:
        return text or NOTHING
    return ", ".join(filter(None, (text, f"{percent(share, fine)} %")))


def _exchanged(change: LineChange, of: str) -> Iterator[Row]:
    """What all of them are together, then each as it is written."""
    sides = [change.before_percent, change.after_percent]
    shares = [NOTHING if share is None else f"{percent(share, change.fine)} %" for share in sides]
    yield figures(f"{change.subject} in all{of}", *shares, _moved(change))
    was, now = ({line.item: line.amount for line in lines} for lines in (change.lines_before, change.lines_after))  # fmt: skip
    for item in dict.fromkeys((*was, *now)):
        yield figures(item, was.get(item, NOTHING), now.get(item, NOTHING))


def _moved(change: LineChange | RatioChange) -> str:
    """By how much, or why that is no change of the recipe; what range is entered or left."""
    doubt = DOUBTED if is_doubted(change) else ""
    said = _SAID.get(change.kind, "").format(getattr(change, "part", ""))
    if change.kind == "re-measured" and not doubt and not reads_the_same(change):
        said = ""  # another amount in another measure
    said = said or doubt
    if not said and change.moved_percent is not None:
        unit = "g" if change.subject == GAS else "%"
        said = f"{signed(change.moved_percent, change.fine)} {unit}"
        if isinstance(change, LineChange) and reads_the_same(change):
            said = "the same share"
    if isinstance(change, RatioChange):
        return said + crossing_said(change.crossing)
    weighed = change.kind != "added" or change.after_g is not None
    return said if weighed else f"{said}{NOT_WEIGHED}"


def _blend(change: BlendChange, basis: str) -> Iterator[Row]:
    for shift in differing(change.shifts):
        before, after = percent(shift.before_percent), percent(shift.after_percent)
        moved = f"{signed(shift.after_percent - shift.before_percent)} %"
        name = f"{shift.name}, share of the flours{_of(change.of, basis)}"
        yield figures(name, f"{before} %", f"{after} %", DOUBTED if is_doubted(change) else moved)


# --- ratios and masses ---


def _ratio(change: RatioChange, basis: str) -> Row:
    of = _of(change.of, basis)
    name = ratio_name(change.subject)
    if change.subject == GAS:
        name, of = f"{name}, for 100 g of {change.of}" if change.of else name, ""
    unit = "g" if change.subject == GAS else "%"
    # a range may be left by less than a decimal
    fine = change.fine or (change.crossing is not None and reads_the_same(change))
    before, after = (f"{percent(side, fine)} {unit}" for side in (change.before_percent, change.after_percent))  # fmt: skip
    if change.kind == "ratio-unknown":
        known = "no weight is known of"
        before = f"not known: {known} {change.lacking_before}" if change.lacking_before else before
        after = f"not known: {known} {change.lacking_after}" if change.lacking_after else after
        return words(name + of, before, after)
    return figures(f"{name}{of}{_not_counted(change)}", before, after, _moved(change))


def _not_counted(change: RatioChange) -> str:
    lacking = (change.lacking_before or "nothing", change.lacking_after or "nothing")
    if change.lacking_before != change.lacking_after:
        return " (not counted: before {}, now {})".format(*lacking)
    return f" (not counted: {change.lacking_after})" if change.lacking_after else ""


def _mass(change: MassChange) -> Iterator[Row]:
    match change.kind:
        case "basis":
            yield _masses(change.of or change.subject, change, against_batch(change))
        case "part-beside":
            before, after, moved = apart(change.before_g, change.after_g)
            name = f"{change.subject}, for 100 g of {' and '.join(change.per)}"
            said = DOUBTED if is_doubted(change) else f"{moved} g"
            yield figures(name, f"{before} g", f"{after} g", said)
        case "mass-per-piece":
            yield _masses("mass per piece", change)


def _part(change: PartChange, basis: str) -> Iterator[Row]:
    if change.kind == "preferment":
        yield from _preferment(change, basis)
        return
    held, is_new = held_by(change), change.kind == "part-added"
    yield words(f"part {change.subject}", *((NOTHING, held, "added") if is_new else (held, NOTHING, "taken out")))  # fmt: skip


def _preferment(change: PartChange, basis: str) -> Iterator[Row]:
    """What it takes of the flour, and its water and yeast in percent of its own flour."""
    tail = "; the whole as before" if change.rest_unchanged else ""
    for shift in change.shifts:
        if shift.name == FLOUR:
            name = f"flour that {change.subject} takes{_of(change.of, basis)}"
        else:
            what = "hydration" if shift.name == WATER else "yeast as instant"
            name = f"{change.subject}, {what} (of its own flour)"
        fine = shift.name not in (FLOUR, WATER)
        sides = (f"{percent(share, fine)} %" if share else NOTHING for share in (shift.before_percent, shift.after_percent))  # fmt: skip
        moved = f"{signed(shift.after_percent - shift.before_percent, fine)} %"
        yield figures(name, *sides, moved + tail)
        tail = ""


# --- words ---


def _text(change: TextChange) -> Iterator[Row]:
    before, after = change.text_before or NOTHING, change.text_after or NOTHING
    match change.kind:
        case "step-added":
            yield words("step added", NOTHING, change.subject)
        case "step-removed":
            yield words("step taken out", change.subject, NOTHING)
        case kind if kind in _TEXTS:
            name = item_of(change) if change.subject else change.kind
            said = whose_now(change) if kind == "header" else ""
            yield words(_TEXTS[kind].format(name), before, after, said)
