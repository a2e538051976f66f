"""How charts are drawn: one style, and no settings from anywhere else."""

from __future__ import annotations

import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

# Deterministic, and with text as text: a reader finds it, a screen reader says it.
STYLE: Any = {  # matplotlib's type of it spells out every key
    "svg.hashsalt": "perflour",
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 8,
    "hatch.linewidth": 0.5,
    "axes.spines.top": False,
    "axes.spines.right": False,
}


@contextmanager
def drawing() -> Iterator[None]:
    """While this lasts, matplotlib draws in our style alone.

    It reads settings of the folder that a program runs in, which may be a stranger's commit: some of
    them start programs. A person's own settings do not count either, so that a chart is the same
    bytes everywhere.
    """
    # it tells of its font cache on stderr when it first runs
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    with _elsewhere():
        import matplotlib  # slow, and only a chart needs it
    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(STYLE)
        yield


@contextmanager
def _elsewhere() -> Iterator[None]:
    """The folder of this module as the working folder for a moment."""
    try:
        here = os.open(".", os.O_RDONLY)
    except OSError:  # deleted meanwhile, so nothing can be read from it
        here = None
    os.chdir(os.path.dirname(os.path.abspath(__file__)))
    try:
        yield
    finally:
        if here is not None:
            os.chdir(here)
            os.close(here)
