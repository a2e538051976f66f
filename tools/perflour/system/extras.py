"""Libraries that come with an extra: loaded where they are needed, or one line that says what to install."""

from __future__ import annotations

from importlib.util import find_spec

from perflour.result import CannotRun

#: What a module is called where it is installed from, where that is not its name.
CALLED = {"sklearn": "scikit-learn"}


def need(extra: str, *modules: str) -> None:
    """Raises CannotRun where a module of an extra is not installed."""
    for module in modules:
        if find_spec(module) is None:
            raise CannotRun(
                f"this needs {CALLED.get(module, module)}, which is not installed; install it with "
                f"`pip install 'perflour[{extra}]'`"
            )
