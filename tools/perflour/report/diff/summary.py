"""A difference in one line, fit for the subject of a commit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from perflour.diff.change import Change
from perflour.diff.difference import Difference, is_consequence
from perflour.diff.importance import YIELD_SAID
from perflour.kitchen.figures import factor, grams, percent
from perflour.report.diff.words import basis_word, from_g_to, ratio_name
from perflour.result import one_line

LONGEST = 72
LONGEST_PHRASE = 44
# Room that is left for what changed; a longer id stands alone in its line's front no more.
LEAST_FOR_CHANGES = 24


def summary_line(difference: Difference) -> str:
    """What changed the bake most, first; at most 72 characters, no word cut.

    The id of the formula stands in front where it leaves room.
    """
    name = one_line(difference.id)
    front = f"{name}: " if len(name) + 2 <= LONGEST - LEAST_FOR_CHANGES else ""
    return front + _fitted(_phrases(difference), LONGEST - len(front))


def _phrases(difference: Difference) -> list[str]:
    if difference.unreadable:
        return ["cannot be compared"]
    if difference.before is None:
        return ["new formula"]
    if difference.after is None:
        return ["formula removed"]
    told = [c for c in difference.changes if not _is_consequence(c)] or difference.changes
    basis = basis_word(difference)
    pieces = (_brief(one_line(phrase)) for phrase in _in_order(told, basis))
    return list(dict.fromkeys(pieces)) or ["nothing changed"]


def _in_order(changes: Sequence[Change], basis: str) -> Iterator[str]:
    """A phrase for each change; what lies within the measuring spread is counted in one."""
    doubted = [c for c in changes if c.beyond_spread is False and c.kind not in ("basis", "blend")]
    if len(doubted) < 2:
        yield from (_phrase(c, basis) for c in changes)
        return
    counted = False
    for change in changes:
        if change.beyond_spread is not False:
            yield _phrase(change, basis)
        elif not counted:
            yield _counted(doubted)
            counted = True


def _counted(doubted: Sequence[Change]) -> str:
    measured = sum(c.kind == "re-measured" for c in doubted)
    if measured == len(doubted):
        return f"{measured} ingredients re-measured"
    return f"{len(doubted)} amounts within their spread"


def _phrase(change: Change, basis: str) -> str:
    if change.kind == "basis":
        return f"{basis} {from_g_to(change.before or 0.0, change.after or 0.0)}"
    if change.kind == "blend":
        return f"{_blend(change)} of {basis}"
    return _PHRASES[change.kind](change)


def _is_consequence(change: Change) -> bool:
    """Whether something else that changed says it; a yield of as many pieces follows the batch."""
    same_pieces = change.kind == "yield" and change.importance <= YIELD_SAID
    return is_consequence(change) or same_pieces


def _brief(phrase: str) -> str:
    return phrase if len(phrase) <= LONGEST_PHRASE else _shortened(phrase, LONGEST_PHRASE)


def _fitted(phrases: list[str], room: int) -> str:
    """As many phrases as fit, and how many more there are."""
    for number in range(len(phrases), 0, -1):
        said = ", ".join(phrases[:number]) + _more(len(phrases) - number)
        if len(said) <= room:
            return said
    return _shortened(phrases[0], room - len(_more(len(phrases) - 1))) + _more(len(phrases) - 1)


def _more(number: int) -> str:
    return f", {number} more" if number else ""


def _shortened(phrase: str, room: int) -> str:
    """A phrase up to the last whole word that fits; what is one long word is only counted."""
    words, kept = phrase.split(), ""
    for word in words:
        longer = f"{kept} {word}".strip()
        if len(longer) + 2 > room:
            break
        kept = longer
    return f"{kept} …" if kept else "1 change"


def _percents(change: Change) -> str:
    if change.before is None or change.after is None:
        return f"{change.text_before or 'none'} -> {change.text_after or 'none'}"
    return f"{percent(change.before, change.fine)} -> {percent(change.after, change.fine)} %"


def _of(share: float | None, text: str, change: Change) -> str:
    return text if share is None else f"{percent(share, change.fine)} %"


def _item(change: Change) -> str:
    return f"{change.subject} in {change.part}" if change.in_several else change.subject


def _amount(change: Change) -> str:
    said = f"{_item(change)} {_percents(change)}"
    return said if len(said) <= LONGEST_PHRASE else f"{change.subject} {_percents(change)}"


def _re_measured(change: Change) -> str:
    return _amount(change) if change.beyond_spread else f"{_item(change)} re-measured"


def _step(change: Change) -> str:
    verb, _, key = change.subject.rpartition(": ")
    if key in ("uses", "until", "note", "do"):
        return f"{verb}: {key} changed" if key != "do" else f"{change.text_before} now {verb}"
    return f"{verb} {key} {change.text_before or 'none'} -> {change.text_after or 'none'}"


def _header(change: Change) -> str:
    if change.subject == "status":
        return f"status {change.text_before} -> {change.text_after}"
    return f"{change.subject} changed"


def _blend(change: Change) -> str:
    largest = max(change.shifts, key=lambda s: (abs(s.after - s.before), s.after - s.before))
    return f"{largest.name} {percent(largest.before)} -> {percent(largest.after)} %"


def _shared_out(change: Change) -> str:
    rising = [s for s in change.shifts if s.after > s.before]
    if len(change.shifts) == 2 and len(rising) == 1:
        return f"{grams(rising[0].after - rising[0].before)} g {change.subject} to {rising[0].name}"
    return f"{change.subject} shared out otherwise"


_STEP_FIELDS = ("step-time", "step-temperature", "step-speed", "step-sign", "step-uses", "step-reworded", "bake")  # fmt: skip
_PHRASES: dict[str, Callable[[Change], str]] = {
    "batch-scaled": lambda c: f"batch {factor(c.delta or 1)}",
    "part-scaled": lambda c: f"{c.subject} {factor(c.delta or 1)}",
    "amount": _amount,
    "re-measured": _re_measured,
    "amount-as-written": lambda c: f"{c.subject} {c.text_before} -> {c.text_after}",
    "mass-only": lambda c: f"{c.subject} with the flour",
    "follows-basis": _amount,
    "added": lambda c: f"{c.subject} {_of(c.after, c.text_after, c)} added",
    "removed": lambda c: f"{c.subject} {_of(c.before, c.text_before, c)} removed",
    "substituted": lambda c: f"{c.subject} for {c.subject_before}",
    "moved": lambda c: f"{c.subject} moved to {c.text_after}",
    "shared-out": _shared_out,
    "split": lambda c: f"{c.subject} split",
    "merged": lambda c: f"{c.subject} put together",
    "renamed": lambda c: f"{c.text_before} now called {c.text_after}",
    "state": lambda c: f"{c.subject} {c.text_after or 'as it is'}",
    "note": lambda c: f"note of {c.subject} changed",
    "part-added": lambda c: f"{c.subject} added",
    "part-removed": lambda c: f"{c.subject} removed",
    "part-renamed": lambda c: f"{c.text_before} now called {c.text_after}",
    "part-kind": lambda c: f"{c.subject} now {c.text_after or 'of no kind'}",
    "part-share": lambda c: f"{c.subject} {c.text_before} -> {c.text_after}",
    "ratio": lambda c: f"{ratio_name(c.subject)} {_percents(c)}",
    "window": lambda c: f"{ratio_name(c.subject)} {c.crossing} its usual range",
    "step-added": lambda c: f"{c.text_after} added",
    "step-removed": lambda c: f"{c.text_before} removed",
    "step-moved": lambda c: f"{c.subject} as {c.text_after}",
    **dict.fromkeys(_STEP_FIELDS, _step),
    "yield": lambda c: f"yield {c.text_after or 'not said'}",
    "mass-per-piece": lambda c: f"piece {from_g_to(c.before or 0.0, c.after or 0.0)}",
    "header": _header,
}


def subjects_text(differences: Sequence[Difference]) -> str:
    """One line for each formula."""
    return "".join(f"{summary_line(difference)}\n" for difference in differences)
