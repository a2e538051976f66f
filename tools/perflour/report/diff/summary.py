"""A difference in one line, fit for the subject of a commit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.diff.change import (
    BlendChange,
    Change,
    LineChange,
    PartChange,
    StepChange,
    TextChange,
    is_doubted,
)
from perflour.diff.difference import Difference, is_consequence
from perflour.diff.importance import YIELD_SAID
from perflour.formula.portions import taken
from perflour.kitchen.names import fold
from perflour.plain import one_line
from perflour.report.diff.line_words import LONGEST_PHRASE
from perflour.report.diff.words import WORDS, change_phrase

LONGEST = 72
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
    told = [c for c in _newest(difference.changes) if not _is_consequence(c)] or difference.changes
    pieces = map(_brief, _in_order(told))
    return list(dict.fromkeys(pieces)) or ["nothing changed"]


def _newest(changes: Sequence[Change]) -> list[Change]:
    """Without what only follows from something else that is said: see each test below."""
    has_preferment = any(c.kind == "preferment" for c in changes)
    named = {fold(name) for change in changes for name in _named(change)}
    return [
        c
        for c in changes
        if not (has_preferment and _shows_a_preferment(c))
        and not (isinstance(c, StepChange) and c.field == "uses" and _uses(c) <= named)
        and not (c.kind == "re-measured" and not c.importance and not is_doubted(c))
    ]


def _shows_a_preferment(change: Change) -> bool:
    """Lines that only show what a preferment took of the rest."""
    lone = isinstance(change, PartChange) and change.kind != "preferment" and not change.shifts
    return change.kind == "shared-out" or lone


def _named(change: Change) -> Iterator[str]:
    """The ingredients and parts that a change of the list tells of."""
    if isinstance(change, LineChange | PartChange | TextChange) and (
        change.lines_before or change.lines_after
    ):
        yield from (line.item for line in (*change.lines_before, *change.lines_after))
        yield change.subject
    elif isinstance(change, BlendChange):
        yield from (line.item for line in (*change.lines_before, *change.lines_after))
    elif isinstance(change, LineChange | PartChange):
        yield change.subject


def _uses(change: StepChange) -> set[str]:
    said = [
        words.strip()
        for text in (change.text_before, change.text_after)
        for words in text.split(", ")
    ]
    return {fold(taken(words).name) for words in said if words}


def _in_order(changes: Sequence[Change]) -> Iterator[str]:
    """A phrase for each change; what lies within the measuring spread is counted in one."""
    doubted = [c for c in changes if is_doubted(c) and WORDS[c.kind].counted]
    if len(doubted) < 2:
        yield from (change_phrase(c) for c in changes)
        return
    counted = False
    for change in changes:
        if not is_doubted(change):
            yield change_phrase(change)
        elif not counted:
            yield _counted(doubted)
            counted = True


def _counted(doubted: Sequence[Change]) -> str:
    measured = sum(c.kind == "re-measured" for c in doubted)
    if measured == len(doubted):
        return f"{measured} ingredients re-measured"
    return f"{len(doubted)} amounts within their spread"


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


def subjects_text(differences: Sequence[Difference]) -> str:
    """One line for each formula."""
    return "".join(f"{summary_line(difference)}\n" for difference in differences)
