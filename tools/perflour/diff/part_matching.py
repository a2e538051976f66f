"""Which part of one side is which on the other: by name, else by what is in it."""

from perflour.balance.balance import Balance
from perflour.balance.parts import PartBalance
from perflour.diff.assignment import assign
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple

# Parts of two names are one part renamed when they share this much of their mass, ingredient by
# ingredient.
RENAMED_SHARE = 0.5


class PartMatches(NamedTuple):
    """Parts on both sides, and those on one; ``names`` gives folded old names the folded new one."""

    pairs: tuple[tuple[PartBalance, PartBalance], ...]
    gone: tuple[PartBalance, ...]
    new: tuple[PartBalance, ...]

    @property
    def names(self) -> dict[str, str]:
        return {fold(a.part.name): fold(b.part.name) for a, b in self.pairs}


def match_parts(before: Balance, after: Balance) -> PartMatches:
    """Parts by name, the rest by what they hold."""
    old = {fold(p.part.name): p for p in before.parts}
    now = {fold(p.part.name): p for p in after.parts}
    pairs = [(old[name], now[name]) for name in old if name in now]
    gone = sorted((p for n, p in old.items() if n not in now), key=lambda p: fold(p.part.name))
    new = sorted((p for n, p in now.items() if n not in old), key=lambda p: fold(p.part.name))
    found = assign(gone, new, _unlikeness) if gone and new else []
    pairs += [(gone[a], new[b]) for a, b in found]
    taken = {a for a, _ in found}, {b for _, b in found}
    return PartMatches(
        tuple(pairs),
        tuple(p for at, p in enumerate(gone) if at not in taken[0]),
        tuple(p for at, p in enumerate(new) if at not in taken[1]),
    )


def _unlikeness(before: PartBalance, after: PartBalance) -> float | None:
    shares = _shares(before), _shares(after)
    common = sum(min(share, shares[1].get(name, 0.0)) for name, share in shares[0].items())
    return 1 - common if common >= RENAMED_SHARE else None


def _shares(part: PartBalance) -> dict[str, float]:
    """Each ingredient's share of the part's mass."""
    shares: dict[str, float] = {}
    for weighed in part.lines:
        if part.mass_g:
            name = fold(weighed.name)
            shares[name] = shares.get(name, 0.0) + weighed.grams / part.mass_g
    return shares
