"""Both ends of a branch worked out: their formulas weighed, judged and compared, on several cores where that pays."""

from collections.abc import Callable, Mapping
from functools import partial
from itertools import chain

from perflour.balance.balance import Balance
from perflour.diff.difference import Difference, changes_between, difference_of
from perflour.release.branch import Branch
from perflour.release.sides import Side, Weighed, weighed_at
from perflour.system.checkout import checked_out
from perflour.system.parallel import spread_out
from perflour.typed import Any


def worked_out(
    branch: Branch, whole: bool, came_from: Mapping[str, str]
) -> tuple[Side, Side, dict[str, Difference]]:
    """Both sides, and by its path now the difference of every formula that both hold and that can be read.

    Of the formulas beside changed files, with ``whole`` of all; ``came_from`` are the paths before of those that moved.
    """
    there, here = {c.old_path for c in branch.changes}, {c.new_path for c in branch.changes}
    with (
        checked_out(branch.blobs, branch.old) as old_files,
        checked_out(branch.blobs, branch.new) as new_files,
    ):
        before = weighed_at(old_files, branch.limits, None if whole else there)
        after = weighed_at(new_files, branch.limits, None if whole else here)
        pairs = _pairs(before, after, came_from)
        asked, asked_now = list(before.asks()), list(after.asks())
        compared = [partial(changes_between, *pair, after.kitchens.of(f"{after.top}/{path}").house) for path, pair in pairs.items()]  # fmt: skip
        # together, so that one fork is enough; what another process says is handed back without the balances
        every: list[Callable[[], Any]] = [*asked, *asked_now, *compared]
        told = spread_out(_answer, every, 0)
        at, end = len(asked), len(asked) + len(asked_now)
        old, new = before.side(chain(*told[:at])), after.side(chain(*told[at:end]))
    differences = {
        path: difference_of(*pair, path, changes)
        for (path, pair), changes in zip(pairs.items(), told[end:], strict=True)
    }
    known = frozenset(called.digest for side in (old, new) for called in side.called.values())
    return old._replace(known=known), new._replace(known=known), differences


def _pairs(
    old: Weighed, new: Weighed, came_from: Mapping[str, str]
) -> dict[str, tuple[Balance, Balance]]:
    """The formulas that both sides hold and that can be read, by their paths now."""
    every = ((path, old.balances.get(came_from.get(path, path)), now) for path, now in new.balances.items())  # fmt: skip
    return {path: (before, now) for path, before, now in every if isinstance(before, Balance) and isinstance(now, Balance)}  # fmt: skip


def _answer(ask: Callable[[], Any]) -> Any:
    return ask()
