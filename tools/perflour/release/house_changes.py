"""What changed in house and ingredients files, entry by entry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from perflour.documents.reader import data_of
from perflour.system.without_numpy import without_numpy
from perflour.tuples import NamedTuple
from perflour.typed import Any


class HouseChange(NamedTuple):
    """One entry of a house or ingredients file that changed; None on the side where it is not."""

    path: str
    entry: str
    before: Any
    after: Any


def house_changes(before: Mapping[str, bytes], after: Mapping[str, bytes]) -> Iterator[HouseChange]:
    """What changed in house and ingredients files, entry by entry."""
    for path in sorted({*before, *after}):
        if before.get(path) == after.get(path):
            continue
        old, new = data_of(before.get(path)), data_of(after.get(path))
        if old == new:
            continue
        with without_numpy():
            from deepdiff import DeepDiff  # slow to load: docs/performance.md
            from deepdiff.helper import NotPresent
        tree = DeepDiff(
            old,
            new,
            view="tree",
            ignore_order=True,
            threshold_to_diff_deeper=0,
        )
        # it tells of two at one path in an order of its own in each run
        for found in sorted(
            (item for items in tree.values() for item in items),
            key=lambda f: (str(f.path()), str(f.t1), str(f.t2)),
        ):
            entry = ", ".join(map(str, found.path(output_format="list"))) or "the whole file"
            there = (None if isinstance(s, NotPresent) else s for s in (found.t1, found.t2))
            yield HouseChange(path, entry, *there)
