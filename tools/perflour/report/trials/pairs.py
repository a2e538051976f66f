"""Comparisons two by two: the rows of their table, and the sentences where all moved alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.plain import one_line
from perflour.report.trials.figures import LEAST, count_text, interval_text, p_text
from perflour.trials.judged import JudgedPair
from perflour.trials.means import NO_SPREAD

GAPS = ("", "attribute", "difference", "95 % interval", "p", "for 1 point")
GAPS_ALIGN = "<<>>>>"


def gap_rows(compared: Sequence[JudgedPair]) -> list[list[str]]:
    """A row for each comparison, its pair named once."""
    rows = []
    last = ""
    for one in compared:
        pair = f"{one.first} -> {one.second}"
        rows.append(
            [
                "" if pair == last else pair,
                one_line(one.attribute),
                f"{one.gap.difference:+.1f}",
                interval_text(one.gap.low, one.gap.high),
                "" if one.gap.p is None else p_text(one.gap.p),
                _wanted(one),
            ]
        )
        last = pair
    return rows


def _wanted(one: JudgedPair) -> str:
    """Tasters who would show one point: with the spread here, then with the usual one."""
    if one.tasters_usual is None and one.tasters_here is None:
        return ""
    here = count_text(one.tasters_here) if one.gap.spread else "-"
    return f"{here}; {count_text(one.tasters_usual)}"


def alike_words(compared: Sequence[JudgedPair], called: str) -> Iterator[str]:
    """What there is to say of comparisons without any spread, and of single tasters."""
    for one in compared:
        if one.gap.method in ("sign", "permutation") and one.gap.p is not None:
            yield _alike(one, one.gap.p, called)
    single = sum(one.gap.p is None for one in compared)
    if single:
        yield (
            f"{single} of {len(compared)} comparisons rest on a single taster, of whom no test can be made."
        )


def _alike(one: JudgedPair, p: float, called: str) -> str:
    gap, name = one.gap, one_line(one.attribute)
    first, second = f"{called}{one.first}", f"{called}{one.second}"
    if abs(gap.difference) < NO_SPREAD:
        who = f"All {gap.tasters} tasters" if gap.paired else "Both groups of tasters"
        return f"{who} gave {first} and {second} the same in {name}."
    if not gap.paired:
        return (
            f"{first} and {second} were each scored alike by all of their tasters in {name}, {gap.difference:+.1f} "
            f"points apart: with no spread for a t test, the exact permutation test gives p {p_text(p)}."
        )
    few = f"; fewer than {LEAST} tasters cannot show more" if gap.tasters < LEAST else ""
    return (
        f"All {gap.tasters} tasters moved by the same {gap.difference:+.1f} points from {first} to {second} in "
        f"{name}: with no spread for a t test, the exact sign test gives p {p_text(p)}{few}."
    )
