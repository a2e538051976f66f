"""One step that became two in a row, or two that became one: the same things, worked otherwise."""

from collections import Counter
from collections.abc import Sequence

from perflour.diff.step_matching import Known, Pair, StepMatches
from perflour.tuples import NamedTuple


class Split(NamedTuple):
    """Steps that say together what the other side says in one; one of ``before`` and ``after`` has one."""

    before: tuple[Known, ...]
    after: tuple[Known, ...]


def splits(matches: StepMatches) -> tuple[list[Split], StepMatches]:
    """The steps split and put together, and the matches without them."""
    found: list[Split] = []
    gone, new = list(matches.gone), list(matches.new)
    kept: list[Pair] = []
    for old, now in matches.in_order:
        if extra := _rest_of(old, now, new):
            found.append(Split((old,), _in_order(now, extra)))
            new.remove(extra)
        elif extra := _rest_of(now, old, gone):
            found.append(Split(_in_order(old, extra), (now,)))
            gone.remove(extra)
        else:
            kept.append((old, now))
    return found, matches._replace(in_order=kept, gone=gone, new=new)


def _in_order(one: Known, other: Known) -> tuple[Known, ...]:
    return tuple(sorted((one, other), key=lambda known: known.at))


def _rest_of(whole: Known, piece: Known, lone: Sequence[Known]) -> Known | None:
    """The step beside a piece that does the rest of what a whole step did, no more and no less."""
    if len(whole.uses) < 2 or len(piece.uses) >= len(whole.uses):
        return None
    for other in lone:
        together = Counter(u for u, _ in (*piece.uses, *other.uses))
        is_beside = abs(other.at - piece.at) == 1 and other.bakes == piece.bakes
        if is_beside and other.uses and together == Counter(u for u, _ in whole.uses):
            said = set(whole.said.items())
            if said <= {*piece.said.items(), *other.said.items()}:
                return other
    return None
