"""Write .ci/tested.txt: the versions of everything that `.[dev]` brought here, when all tests passed with them.

python tools/maintain/write_tested.py
"""

from __future__ import annotations

from importlib.metadata import version

from maintain.installed import ROOT, requirements, with_what_they_need

FILE = ROOT / ".ci" / "tested.txt"
HEAD = "# What every test was last run with, written by tools/maintain/write_tested.py. CI installs just these.\n"


def tested() -> str:
    """A constraint for each distribution, in the order of their names."""
    names = sorted(with_what_they_need(requirements("dev")))
    return HEAD + "".join(f"{name}=={version(name)}\n" for name in names)


if __name__ == "__main__":
    FILE.write_text(tested(), encoding="utf-8")
