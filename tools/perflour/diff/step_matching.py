"""Which step of one method is which of the other: in order, or done at another time.

Methods of any length that people write are held against each other step by step. Longer ones are first
parted by the steps that say the same on both sides, then by those of one verb and one set of things used,
so that time and memory grow with their length and not with its square. What is left over is gone or new.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Sequence

from perflour.diff.assignment import MOST_COMPARED, assign_near
from perflour.formula.formula import Step
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple
from perflour.typed import Any

# What two steps have in common, out of 1000: the verb, what they use, the rest. Those of one verb
# are one step where they stand in order; out of order, or with another verb, only if alike.
VERB, USED, REST = 500, 300, 200
ALIKE_ELSEWHERE, ALIKE_OF_OTHER_VERB = 700, 320


class Known(NamedTuple):
    """A step with what it is compared by. ``uses`` pairs each use's one spelling with the words.

    ``used`` and ``rest`` are what it has in common with others: the spellings, and all it says besides.
    """

    step: Step
    at: int
    uses: tuple[tuple[str, str], ...]
    said: dict[str, str]
    verb: str
    bakes: bool
    used: frozenset[str]
    rest: frozenset[tuple[str, str]]

    @property
    def sort_key(self) -> tuple[Any, ...]:
        return (*self.says, self.at)

    @property
    def says(self) -> tuple[Any, ...]:
        """All that it says, wherever it stands."""
        return (self.verb, self.uses, tuple(sorted(self.said.items())))


Pair = tuple[Known, Known]


class StepMatches(NamedTuple):
    """Every step of both sides; ``whole`` says that every two that may be one were held together."""

    in_order: list[Pair]
    moved: list[Pair]
    gone: list[Known]
    new: list[Known]
    whole: bool


def known_step(
    step: Step, at: int, uses: tuple[tuple[str, str], ...], said: dict[str, str]
) -> Known:
    """A step with all that it is compared by."""
    used, rest = frozenset([spelling for spelling, _ in uses]), frozenset(said.items())
    return Known(step, at, uses, said, fold(step.do), step.bakes, used, rest)


def match_steps(before: list[Known], after: list[Known]) -> StepMatches:
    """The steps of two methods, matched."""
    moved: list[Pair] = []
    if len(before) * len(after) <= MOST_COMPARED:
        in_order, whole = _in_order(before, after), True
    elif [k.says for k in before] <= [k.says for k in after]:
        in_order, moved, whole = _in_long_order(before, after)
    else:  # the way back takes the same pairs
        back, moved_back, whole = _in_long_order(after, before)
        in_order, moved = ([(a, b) for b, a in pairs] for pairs in (back, moved_back))
    gone, new = _lone(before, after, [*in_order, *moved])
    elsewhere, all_compared = _moved(gone, new)
    moved += elsewhere
    gone, new = _lone(gone, new, elsewhere)
    return StepMatches(in_order, moved, gone, new, (whole and all_compared) or not (gone and new))


def _lone(
    before: Sequence[Known], after: Sequence[Known], pairs: Sequence[Pair]
) -> tuple[list[Known], list[Known]]:
    taken = {a.at for a, _ in pairs}, {b.at for _, b in pairs}
    return [k for k in before if k.at not in taken[0]], [k for k in after if k.at not in taken[1]]


def _likeness(a: Known, b: Known) -> int:
    """What two steps have in common, from 0 to 1000; 0 for a bake and something else."""
    if a.bakes != b.bakes:
        return 0
    verb = VERB if a.verb == b.verb else 0
    return verb + round(USED * _common(a.used, b.used) + REST * _common(a.rest, b.rest))


def _common(one: frozenset[Any], other: frozenset[Any]) -> float:
    """The share of two sets that they have in common; a half where both are empty."""
    return len(one & other) / len(one | other) if one or other else 0.5


def _in_order(before: list[Known], after: list[Known]) -> list[Pair]:
    """The pairs that keep their order and are alike most in all.

    Ties go to pairs by what they say (the powers of two), not by where they stand, so that the
    way back takes the same pairs.
    """
    start, ends = 0, min(len(before), len(after))
    while start < ends and _is_wholly_like(before[start], after[start]):
        start += 1
    pairs = list(zip(before[:start], after[:start], strict=True))
    before, after = before[start:], after[start:]
    ranks = {k.says: r for r, k in enumerate(_sorted(before, after))}
    bits = len(ranks) + 1

    def weight(a: Known, b: Known) -> int:
        likeness = _likeness(a, b)
        if likeness < (VERB if a.verb == b.verb else ALIKE_OF_OTHER_VERB):
            return 0
        tie = (1 << ranks[a.says]) + (1 << ranks[b.says])
        return (likeness << bits + len(before) + len(after)) + tie

    return pairs + _heaviest_path(before, after, weight)


def _is_wholly_like(a: Known, b: Known) -> bool:
    """Whether a step is as like another as it is like itself; most are not changed at all."""
    return says_the_same(a, b) or _likeness(a, b) == _likeness(a, a)


def says_the_same(a: Known, b: Known) -> bool:
    """Whether two steps are told alike in all."""
    is_one = a.step.do == b.step.do and a.bakes == b.bakes
    return is_one and a.said == b.said and a.uses == b.uses


def _sorted(before: Sequence[Known], after: Sequence[Known]) -> list[Known]:
    distinct = {k.says: k for k in (*before, *after)}
    return [distinct[key] for key in sorted(distinct)]


def _heaviest_path(before: list[Known], after: list[Known], weight: Any) -> list[Pair]:
    """Pairs in order with the largest sum of weights."""
    best = [[0] * (len(after) + 1) for _ in range(len(before) + 1)]
    weights = [[weight(a, b) for b in after] for a in before]
    for a, row in enumerate(weights):
        for b, value in enumerate(row):
            paired = best[a][b] + value if value else 0
            best[a + 1][b + 1] = max(best[a][b + 1], best[a + 1][b], paired)
    pairs: list[Pair] = []
    a, b = len(before), len(after)
    while a and b:
        value = weights[a - 1][b - 1]
        if value and best[a][b] == best[a - 1][b - 1] + value:
            pairs.append((before[a - 1], after[b - 1]))
            a, b = a - 1, b - 1
        elif best[a][b] == best[a - 1][b]:
            a -= 1
        else:
            b -= 1
    return pairs[::-1]


def _in_long_order(before: list[Known], after: list[Known]) -> tuple[list[Pair], list[Pair], bool]:
    """Of long methods the pairs in order, those that say the same elsewhere; whether all were held together."""
    equal = _one_by_one(before, after, lambda k: k.says)
    in_order = _longest_in_order(equal)
    kept = {a.at for a, _ in in_order}
    moved = [pair for pair in equal if pair[0].at not in kept]
    gone, new = _lone(before, after, moved)
    changed, whole = _between(gone, new, in_order, (lambda k: (k.bakes, k.verb, k.uses),))
    return in_order + changed, moved, whole


_Key = Callable[[Known], Any]


def _between(
    before: Sequence[Known], after: Sequence[Known], known: Sequence[Pair], keys: Sequence[_Key]
) -> tuple[list[Pair], bool]:
    """Pairs between those that are known, and whether every two that may be one were held together."""
    found: list[Pair] = []
    whole = True
    start = (0, 0)
    places = [{k.at: at for at, k in enumerate(side)} for side in (before, after)]
    ends = [(places[0][a.at], places[1][b.at]) for a, b in known]
    for end in (*ends, (len(before), len(after))):
        old, now = list(before[start[0] : end[0]]), list(after[start[1] : end[1]])
        start = (end[0] + 1, end[1] + 1)
        if len(old) * len(now) <= MOST_COMPARED:
            found += _in_order(old, now)
        elif keys:
            alike = _longest_in_order(_one_by_one(old, now, keys[0]))
            inner, inner_whole = _between(old, now, alike, keys[1:])
            found += alike + inner
            whole = whole and inner_whole
        else:
            whole = False
    return found, whole


def _one_by_one(before: Sequence[Known], after: Sequence[Known], key: _Key) -> list[Pair]:
    """Steps of one key, the first with the first, the second with the second."""
    waiting: dict[Any, list[Known]] = defaultdict(list)
    for known in reversed(after):
        waiting[key(known)].append(known)
    return [(known, there.pop()) for known in before if (there := waiting[key(known)])]


def _longest_in_order(pairs: Sequence[Pair]) -> list[Pair]:
    """The most of these pairs that cross no other; they come in the order of their first steps."""
    ends: list[int] = []  # where the shortest way of each length ends on the other side
    last: list[int] = []  # the pair it ends with
    over: list[int] = []  # the pair before each
    for at, (_, known) in enumerate(pairs):
        length = bisect_left(ends, known.at)
        over.append(last[length - 1] if length else -1)
        ends[length : length + 1] = [known.at]
        last[length : length + 1] = [at]
    way: list[Pair] = []
    at = last[-1] if last else -1
    while at >= 0:
        way.append(pairs[at])
        at = over[at]
    return way[::-1]


def _moved(gone: list[Known], new: list[Known]) -> tuple[list[Pair], bool]:
    """Steps that are done at another time; whether every two that may be one were held together."""

    def cost(a: Known, b: Known) -> float | None:
        likeness = _likeness(a, b)
        return 1000.0 - likeness if likeness >= ALIKE_ELSEWHERE else None

    gone, new = (sorted(side, key=lambda k: k.sort_key) for side in (gone, new))
    # of another verb none is that alike
    pairs, whole = assign_near(gone, new, cost, lambda k: k.verb, lambda k: k.sort_key)
    return [(gone[a], new[b]) for a, b in pairs], whole
