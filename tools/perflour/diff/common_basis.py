"""Two versions in percent of one thing, where 100 % is not the same on both sides.

What 100 % means is a way of reckoning: that it changed is said once, and everything else is told in percent
of what it means now.
"""

from perflour.balance.balance import Balance, TotalLine, rebased, replaced
from perflour.diff.change import TextChange
from perflour.diff.part_matching import match_parts
from perflour.formula.places import KINDS
from perflour.kitchen.figures import grams
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple

# What may stand in the place of flour though it is none.
_LIKE_FLOUR = ("flour", "starch")
# Flour and what is like it, together as heavy as before within this: one took the other's place. House choice.
NEARLY = 0.03
# A basis that fell by less than this share is a change of the flour, as any other.
LEAST_FALL = 0.1


class Common(NamedTuple):
    """Both sides in percent of one thing, and what is said of that."""

    before: Balance
    after: Balance
    said: TextChange | None = None


def placed_alike(before: Balance, after: Balance) -> tuple[Balance, Balance]:
    """Two balances with every part that says no kind in one place: another name moves no figure.

    Where it goes now counts, or where it went if that is not clear any more.
    """
    beside = [{fold(one.part.part.name) for one in side.beside} for side in (before, after)]
    if not any(beside):
        return before, after
    unclear = {fold(part.name) for part in after.unclear}
    changed = False
    for old, now in match_parts(before, after).pairs:
        if (
            old.part.kind in KINDS
            or now.part.kind in KINDS
            or old.used_by_parts
            or now.used_by_parts
        ):
            continue
        names = fold(old.part.name), fold(now.part.name)
        is_beside = [name in side for name, side in zip(names, beside, strict=True)]
        if is_beside[0] == is_beside[1]:
            continue
        changed = True
        at = 1 if names[1] in unclear else 0
        (beside[at].add if is_beside[1 - at] else beside[at].discard)(names[at])
    if not changed:
        return before, after
    return replaced(before, frozenset(beside[0])), replaced(after, frozenset(beside[1]))


def on_common_basis(before: Balance, after: Balance) -> Common:
    """Two balances made comparable; as they are where 100 % is the same already, or is not known on a side."""
    if before.basis_is_whole != after.basis_is_whole:
        was, is_now = (", ".join(side.may_be_flour) for side in (before, after))
        said = TextChange("basis-unknown", "100 %", was, is_now, importance=2.0)
        return Common(before, after, said)
    if {*map(fold, before.formula.basis)} != {*map(fold, after.formula.basis)}:
        return _named_otherwise(before, after)
    if not after.formula.basis and _traded_with_starch(before, after):
        return _of_all_flours(before, after)
    return Common(before, after)


def _named_otherwise(before: Balance, after: Balance) -> Common:
    names = {fold(line.name) for line in after.everything if line.in_basis}
    if not after.formula.basis:
        names |= {fold(line.name) for line in before.everything if _is_flour(line)}
    same = rebased(before, frozenset(names), after.formula.basis)
    if same.basis_g <= 0 or before.basis_g <= 0 or after.basis_g <= 0:
        return Common(before, after)
    said = TextChange("basis-named", "100 %", _called(before), _called(after), importance=1.0)
    return Common(same, after, said)


def _traded_with_starch(before: Balance, after: Balance) -> bool:
    """Whether starches that do not count as flour took the place of flour that does, or the other way round."""
    if not before.basis_g or not after.basis_g:
        return False
    was_g, is_g = (_like_flour_g(side) for side in (before, after))
    if not was_g or not is_g:
        return False
    share = after.basis_g / is_g / (before.basis_g / was_g)
    scale = after.batch_g / before.batch_g if before.batch_g else 1.0
    return (
        min(share, 1 / share) < 1 - LEAST_FALL
        and min(abs(is_g - was_g * times) / is_g for times in (1.0, scale)) <= NEARLY
    )


def _of_all_flours(before: Balance, after: Balance) -> Common:
    lines = [line for side in (after, before) for line in side.everything if _may_stand(line)]
    stated = tuple(dict.fromkeys(line.name for line in lines))
    names = frozenset(map(fold, stated))
    sides = [rebased(side, names, stated) for side in (before, after)]
    *others, last = stated
    subject = f"{', '.join(others)} and {last}"
    said = TextChange("basis-short", subject, _called(before), _called(after), importance=2.0)
    return Common(sides[0], sides[1], said)


def _like_flour_g(side: Balance) -> float:
    return sum(line.mass_g for line in side.total if _may_stand(line))


def _may_stand(line: TotalLine) -> bool:
    return line.in_basis or (line.ingredient is not None and line.ingredient.group in _LIKE_FLOUR)


def _is_flour(line: TotalLine) -> bool:
    return line.ingredient is not None and line.ingredient.counts_as == "flour"


def _called(side: Balance) -> str:
    """What is 100 %, with its mass: `all-purpose flour and almond meal (300 g)`."""
    *others, last = [line.name for line in side.total if line.in_basis] or [""]
    names = f"{', '.join(others)} and {last}" if others else last
    return f"{names} ({grams(side.basis_g)} g)"
