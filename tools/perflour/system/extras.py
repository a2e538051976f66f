"""Libraries that come with an extra: loaded where they are needed, or one line that says what to install."""

from __future__ import annotations

from importlib.util import find_spec

from perflour.result import CannotRun


def need(extra: str, *modules: str) -> None:
    """Raises CannotRun where a module of an extra is not installed."""
    for module in modules:
        if find_spec(module) is None:
            raise CannotRun(
                f"this needs {module}, which is not installed; install it with "
                f"`pip install 'perflour[{extra}]'`"
            )
