"""A bar for long runs on a terminal; nothing in a pipe."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence

from perflour.system.terminal import is_terminal, wishes
from perflour.typed import TypeVar

Item = TypeVar("Item")

# A run that is over sooner shows no bar.
LONG_RUN_S = 1.0


def watched(items: Sequence[Item]) -> Iterable[Item]:
    """The items, with a bar on standard error where that is a terminal and the run is long."""
    if wishes().quiet or not is_terminal(sys.stderr):
        return items
    from tqdm import tqdm  # only on a terminal, for runs of many files: docs/performance.md

    bar: Iterable[Item] = tqdm(
        items,
        delay=LONG_RUN_S,
        leave=False,
        file=sys.stderr,
        bar_format="{percentage:3.0f} % |{bar:40}| {remaining} left",
    )
    return bar
