"""What was done to ingredients, in the words of a baker."""

from perflour.diff.change import LineChange, PercentShift, RatioChange, TextChange
from perflour.kitchen.figures import grams, percent, signed
from perflour.report.diff.figures import doubt, from_g_to, from_percent_to, reads_the_same

NOT_WEIGHED = ", of no known weight: the batch and every ratio it counts in are too low by it"
# Yeasts that raise as much within this: house choice.
NEARLY_AS_MUCH = 0.05
_SAME_LIFT = ", the same raising power"
# A phrase of a summary longer than this is cut between words.
LONGEST_PHRASE = 56


def item_of(change: LineChange | TextChange) -> str:
    """The ingredient, with its part where it stands in several."""
    return f"{change.subject} in {change.part}" if change.in_several else change.subject


def amount_line(change: LineChange, basis: str) -> str:
    """Another amount: as typed, then in percent."""
    if reads_the_same(change):
        return mass_only(change, basis)
    return f"{item_of(change)} {_typed(change)}: {from_percent_to(change, basis)}{doubt(change)}"


def _typed(change: LineChange) -> str:
    """Both amounts as they are typed, with what they weigh where that is not the same."""
    if change.text_before == change.text_after:
        return f"still {change.text_after}"
    typed = f"{change.text_before} -> {change.text_after}"
    if change.before_g is None or change.after_g is None:
        return typed
    plain = all(
        text.replace(",", "") == f"{mass:g} g"
        for text, mass in (
            (change.text_before, change.before_g),
            (change.text_after, change.after_g),
        )
    )
    return typed if plain else f"{typed} ({from_g_to(change.before_g, change.after_g)})"


def amount_phrase(change: LineChange, _: str) -> str:
    """The ingredient with its percentages."""
    said = f"{item_of(change)} {percents(change)}"
    return said if len(said) <= LONGEST_PHRASE else f"{change.subject} {percents(change)}"


def percents(change: LineChange | RatioChange) -> str:
    """Two percentages; masses or texts where these say more."""
    before, after = change.before_percent, change.after_percent
    if isinstance(change, LineChange) and (before is None or after is None):
        return f"{change.text_before or 'none'} -> {change.text_after or 'none'}"
    if isinstance(change, LineChange) and reads_the_same(change):
        return _masses(change)
    return f"{percent(before or 0.0, change.fine)} -> {percent(after or 0.0, change.fine)} %"


def follows(change: LineChange, basis: str) -> str:
    """A percentage that moved only because the flour did."""
    return f"{item_of(change)} {from_percent_to(change, basis)} (its mass is the same)"


def mass_only(change: LineChange, basis: str) -> str:
    """A mass that moved with its basis."""
    still = f"still {percent(change.after_percent or 0.0, change.fine)} % of {basis}"
    return f"{item_of(change)} {_masses(change)}, {still}{doubt(change)}"


def _masses(change: LineChange) -> str:
    return from_g_to(change.before_g or 0.0, change.after_g or 0.0)


def re_measured(change: LineChange, basis: str) -> str:
    """Another way to measure the same, or what is said to be the same."""
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
        return f"{item_of(change)} re-measured only: {said} ({weighed})"
    if change.before_percent is None or reads_the_same(change):
        return f"{item_of(change)} {_masses(change)} ({said})"
    return f"{item_of(change)} {from_percent_to(change, basis)} ({said})"


def re_measured_phrase(change: LineChange, basis: str) -> str:
    """The same in short."""
    if change.beyond_spread:
        return amount_phrase(change, basis)
    return f"{item_of(change)} re-measured"


def added(change: LineChange, basis: str) -> str:
    """A line more."""
    weight = NOT_WEIGHED if change.after_g is None else _share(change.after_percent, change, basis)
    return f"{change.subject} added to {change.part}: {change.text_after}{weight}"


def removed(change: LineChange, basis: str) -> str:
    """A line less."""
    return f"{change.subject} removed from {change.part}: {change.text_before}{_share(change.before_percent, change, basis)}"


def _share(share: float | None, change: LineChange, basis: str) -> str:
    return "" if share is None else f", {percent(share, change.fine)} % of {basis}"


def brief(share: float | None, text: str, change: LineChange) -> str:
    """A percentage, else the amount as written."""
    return text if share is None else f"{percent(share, change.fine)} %"


def substituted(change: LineChange, basis: str) -> str:
    """An ingredient in the place of another, with what that does."""
    texts = dict.fromkeys((change.text_before, change.text_after))
    said = f"{change.subject} for {change.subject_before} in {change.part}: {' -> '.join(texts)}"
    if change.before_percent is not None and change.after_percent is not None:
        said += f", {from_percent_to(change, basis)}"
    yeast, moved = _as_instant(change), _points(change)
    return said + (f" ({yeast})" if yeast else "") + (f" ({moved})" if moved else "")


def brought_along(change: LineChange) -> str:
    """What a substitute brings along, in a few words."""
    return ", ".join(filter(None, (_as_instant(change), _points(change))))


def _as_instant(change: LineChange) -> str:
    return ", ".join(
        f"as instant yeast {shift_said(shift, fine=True)}{_SAME_LIFT if _is_near(shift) else ''}"
        for shift in change.shifts
        if shift.name == "yeast-instant"
    )


def _points(change: LineChange) -> str:
    moved = ", ".join(
        f"{s.name} {signed(s.after_percent - s.before_percent)}"
        for s in change.shifts
        if s.name != "yeast-instant"
    )
    return f"{moved} points" if moved else ""


def _is_near(shift: PercentShift) -> bool:
    return abs(shift.after_percent - shift.before_percent) <= NEARLY_AS_MUCH * shift.before_percent


def leavening(change: LineChange, basis: str) -> str:
    """Powder for soda or soda for powder, in gas."""
    said = f"leavening: {change.text_before} -> {change.text_after}"
    if change.before_percent is None or change.after_percent is None:
        return said
    before, after = (percent(p, fine=True) for p in (change.before_percent, change.after_percent))
    return f"{said}; carbon dioxide {before} g -> {after} g for 100 g of {basis}"


def leavening_phrase(change: LineChange, _: str) -> str:
    """What lifts now for what lifted."""
    return f"{change.lines_after[0].item} for {change.lines_before[0].item}"


def _in_all(change: LineChange, basis: str) -> str:
    if reads_the_same(change):
        return f"still {percent(change.after_percent or 0.0, change.fine)} % of {basis}"
    return from_percent_to(change, basis)


def exchanged(change: LineChange, basis: str) -> str:
    """What stays in all, then what each was and is."""
    sides = [
        {line.item: line for line in lines} for lines in (change.lines_before, change.lines_after)
    ]
    each = []
    for item in dict.fromkeys((*sides[0], *sides[1])):
        was, is_now = (side[item].amount if item in side else "none" for side in sides)
        each.append(f"{item} {was} -> {is_now}")
    return f"{change.subject} in all {_in_all(change, basis)}: {', '.join(each)}"


def exchanged_phrase(change: LineChange, _: str) -> str:
    """What took the place of what."""
    gone = {line.item for line in change.lines_before}
    come = [line.item for line in change.lines_after if line.item not in gone]
    left = [line.item for line in change.lines_before]
    if not come:
        return f"{change.lines_after[0].item} for {left[-1]}"
    stays = {line.item for line in change.lines_after} & gone
    part = "part of the " if stays else ""
    return f"{come[0]} for {part}{left[0]}"


def shared_out(change: LineChange, _: str) -> str:
    """What moved from part to part."""
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


def shared_out_phrase(change: LineChange, _: str) -> str:
    """The same in short."""
    rising = [s for s in change.by_part if s.after_g > s.before_g]
    if len(change.by_part) == 2 and len(rising) == 1:
        mass = grams(rising[0].after_g - rising[0].before_g)
        return f"{mass} g {change.subject} to {rising[0].name}"
    return f"{change.subject} shared out otherwise"


def _g(mass_g: float) -> str:
    return f"{grams(mass_g)} g" if mass_g else "none"


def divided(change: LineChange, basis: str) -> str:
    """One line that became several, or several that became one."""
    what = "split in" if change.kind == "split" else "put together in"
    sides = []
    for lines in (change.lines_before, change.lines_after):
        parts = {line.part for line in (*change.lines_before, *change.lines_after)}
        where = len(parts) > 1
        sides.append(
            " + ".join(
                line.amount + (f" ({line.part})" if where else "")
                for line in sorted(lines, key=lambda line: (line.part, line.place))
            )
        )
    said = f"{change.subject} {what} {change.part}: {sides[0]} -> {sides[1]}"
    if change.before_percent is None or change.after_percent is None:
        return said
    return f"{said}, in all {_in_all(change, basis)}{doubt(change)}"


def shift_said(shift: PercentShift, fine: bool) -> str:
    """From what to what; what was not there, or is not any more, has one figure."""
    figures = (shift.before_percent, shift.after_percent)
    if not shift.after_percent:
        return f"{percent(shift.before_percent, fine)} % -> none"
    return " -> ".join(f"{percent(figure, fine)} %" for figure in figures if figure)
