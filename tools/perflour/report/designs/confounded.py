"""What a trial cannot tell apart, in words."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.designs.design import Design

#: From here on nothing tells the two apart.
WHOLE = 0.999
#: So many are told one by one; the JSON holds all.
MOST_TOLD = 12


def term_words(term: tuple[str, ...]) -> str:
    """A term in words: one factor, two that work together, a bend."""
    if len(term) == 2 and term[0] == term[1]:
        return f"a bend of {term[0]}"
    return term[0] if len(term) == 1 else f"{', '.join(term[:-1])} and {term[-1]} together"


def confounded_lines(design: Design) -> Iterator[str]:
    """One sentence for each pair of effects that look alike in this trial, the worst first; none of blends.

    Blends are compared with each other and not by their terms.
    """
    if design.model == "blend":
        return
    whole = [alias for alias in design.aliases if abs(alias.share) >= WHOLE]
    partly = [alias for alias in design.aliases if abs(alias.share) < WHOLE]
    said = [
        f"{term_words(alias.term)} cannot be told from {term_words(alias.other)}: in these bakes the two always move together."
        for alias in whole
    ]
    said += [
        f"{term_words(alias.term)} holds {abs(alias.share):.2f} of what {term_words(alias.other)} would do."
        for alias in sorted(partly, key=lambda alias: -abs(alias.share))
    ]
    said += [
        f"{term_words(term)} loses {share:.0%} of what could be told of it to differences of days and ovens."
        if share < WHOLE
        else f"{term_words(term)} cannot be told from differences of days and ovens."
        for term, share in design.lost
    ]
    blurred = [alias.term for alias in design.aliases] + [term for term, _ in design.lost]
    if not any(len(term) == 1 for term in blurred):
        yield "What each factor does by itself stands clear of days, ovens, the other factors and any two of them together."
    yield from said[:MOST_TOLD]
    if len(said) > MOST_TOLD:
        yield f"{len(said) - MOST_TOLD} more such sentences: see the JSON, under confounded and lost_to_days_and_ovens."
