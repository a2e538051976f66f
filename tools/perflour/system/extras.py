"""The groups of libraries that are installed on request, and the one line that says which of them is lacking."""

from __future__ import annotations

from collections.abc import Mapping

from perflour.result import CannotRun

#: By group what is loaded from it, each module with the name that it is installed by. pyproject.toml has the versions.
EXTRAS: Mapping[str, Mapping[str, str]] = {
    "photos": {"PIL": "pillow"},
    "charts": {"typst": "typst"},
    "book": {"typst": "typst", "PIL": "pillow"},
    "import": {"lxml": "lxml", "pypdf": "pypdf"},
    "plan": {"ortools": "ortools"},
    "sheets": {"xlsxwriter": "xlsxwriter"},
    "tasting": {"numpy": "numpy", "scipy": "scipy"},
    "evidence": {
        "numpy": "numpy",
        "scipy": "scipy",
        "statsmodels": "statsmodels",
        "sklearn": "scikit-learn",
        "pydoe": "pydoe",
    },
}


def lacking(extra: str, *modules: str) -> str:
    """What to install for these modules of a group, all of it if none is named; empty where all are there."""
    from importlib.util import find_spec

    for module in modules or EXTRAS[extra]:
        if find_spec(module) is None:
            name = EXTRAS[extra][module]
            return f"this needs {name}, which comes with perflour[{extra}]; pip install 'perflour[{extra}]'"
    return ""


def present() -> tuple[str, ...]:
    """The groups that are installed as a whole."""
    return tuple(extra for extra in EXTRAS if not lacking(extra))


def need(extra: str, *modules: str) -> None:
    """Raises CannotRun where one of them is not installed: asked before any long work."""
    if said := lacking(extra, *modules):
        raise CannotRun(said)
