"""Figures as changes say them: from what to what, of what, and what the measuring leaves open."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.diff.change import (
    BlendChange,
    Crossing,
    LineChange,
    MassChange,
    PartChange,
    PercentShift,
    RatioChange,
)
from perflour.diff.residual import SPREADS_THAT_COUNT
from perflour.kitchen.figures import grams, percent, signed, spread_text

# What masses are shown to where they differ by less than a gram.
FINER_G = 0.1
_RATIO_NAMES = {
    "prefermented-flour": "flour in preferments",
    "yeast-instant": "yeast as instant",
    "leavening-gas": "carbon dioxide of the leavening",
}


def ratio_name(name: str) -> str:
    """A derived ratio as people say it: `total water`."""
    return _RATIO_NAMES.get(name, name.replace("-", " "))


def reads_the_same(change: LineChange | RatioChange) -> bool:
    """Whether both percentages are one when rounded as they are shown."""
    before, after = change.before_percent or 0.0, change.after_percent or 0.0
    if abs(after - before) > 0.2:  # however they are rounded
        return False
    return percent(before, change.fine) == percent(after, change.fine)


def from_percent_to(change: LineChange | RatioChange, basis: str, fine: bool = False) -> str:
    """Two percentages and their difference; one where they read the same."""
    before, after = change.before_percent or 0.0, change.after_percent or 0.0
    fine = fine or change.fine
    if not fine and reads_the_same(change):
        return f"still {percent(after)} % of {basis}"
    return f"{percent(before, fine)} % -> {percent(after, fine)} %, {signed(after - before, fine)} % of {basis}"


def from_g_to(before_g: float, after_g: float) -> str:
    """Two masses; to a tenth of a gram where they are one in whole grams."""
    if grams(before_g) == grams(after_g):
        before_said, after_said = grams(before_g, FINER_G), grams(after_g, FINER_G)
        if before_said == after_said:
            return f"still {after_said} g"
        return f"{before_said} g -> {after_said} g"
    return f"{grams(before_g)} g -> {grams(after_g)} g"


def apart(before: float, after: float) -> tuple[str, str, str]:
    """Two figures and their difference, to a tenth; to a hundredth where the two would read the same."""
    fine = percent(before) == percent(after)
    return percent(before, fine), percent(after, fine), signed(after - before, fine)


def shifts(moved: Sequence[PercentShift]) -> str:
    """Each by its name; those that read the same are left out where others do not."""
    return ", ".join(
        f"{s.name} {percent(s.before_percent)} -> {percent(s.after_percent)} %"
        for s in differing(moved)
    )


def differing(moved: Sequence[PercentShift]) -> Sequence[PercentShift]:
    """Those that do not read the same; all where none does."""
    found = [s for s in moved if percent(s.before_percent) != percent(s.after_percent)]
    return found or moved


def against_batch(change: MassChange) -> str:
    """How much what is 100 % moved beside the batch as a whole; empty where it was only scaled with it."""
    scaled_g = change.after_g - change.moved_g
    if abs(scaled_g - change.before_g) <= abs(scaled_g) * 1e-6:
        return ""
    return f"{signed(change.moved_g / scaled_g * 100)} % against the batch"


def held_by(change: PartChange) -> str:
    """What a part that came or went holds, in percent; its mass where that is not known."""
    held = ", ".join(
        f"{s.name} {percent(s.after_percent or s.before_percent)} %" for s in change.shifts
    )
    return f"{held} of {change.of}" if held else f"{grams(change.mass_g)} g"


def doubt(change: LineChange | RatioChange | BlendChange) -> str:
    """What is said behind percentages that the measuring explains."""
    if change.beyond_spread is not False:
        return ""
    if isinstance(change, BlendChange) or change.spread_percent is None:
        return " (within the measuring spread)"
    if abs(change.moved_percent or 0.0) > SPREADS_THAT_COUNT * change.spread_percent:
        return " (every amount within its measuring spread)"
    return f" (within the measuring, ± {spread_text(SPREADS_THAT_COUNT * change.spread_percent)})"


def crossing_said(crossing: Crossing | None) -> str:
    """That a ratio enters or leaves a range."""
    if crossing is None:
        return ""
    return f", {crossing.way} the usual {crossing.low_percent:g}-{crossing.high_percent:g} %"
