"""What each thing done for speed is worth, each against doing without it, interleaved.

Prints for each: CPU time with, without, and the difference, medians of whole processes:

    python benchmarks/what_pays.py [start] [imports] [caches] [ways] [--rounds 15]

``start`` takes the tricks at the start of `perflour lint ONE_FILE` away one by one, ``imports`` loads each
library that is loaded late, ``caches`` checks a thousand files, writes a changelog and reads a recipe
without one cache, ``ways`` does one thing in two ways, in this process. Runs in the environment of this Python, which has
perflour and its development packages installed; PYTHONPATH names another tree.
"""

from __future__ import annotations

import argparse
import gc
import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from changelog import make_history, plan
from import_recipes import recipe
from many_files import make_repository
from measuring import ROOT

FILE = ROOT / "formulas" / "rye-ginger-cookie" / "formula.yaml"
LIBRARIES = ("dataclasses", "pathlib", "shutil", "importlib", "hashlib", "subprocess", "tempfile", "tqdm", "jsonschema", "jsonschema_rs", "deepdiff", "openpyxl", "pypdf", "lxml.etree", "pint", "scipy.stats")  # fmt: skip
#: What is set right at the start of a process, before any of perflour is loaded.
LOADS_MORE = "import {}\n"
NO_CACHE = """
import functools
real = functools.lru_cache
def lru_cache(maxsize=128, typed=False):
    def cached(function):
        name = f"{function.__module__.removeprefix('perflour.')}.{function.__qualname__}"
        return function if name == LEFT_OUT else real(maxsize, typed)(function)
    return cached
functools.lru_cache = lru_cache
"""
RUN = "import sys; from perflour.cli import console; console()"
START = {
    "leaves without taking the interpreter apart": "import os, sys; os._exit = sys.exit\n",
    "collects no garbage": "import gc; gc.disable = bool\n",
    "help of its own width, no shutil": LOADS_MORE.format("shutil"),
    "no importlib": LOADS_MORE.format("importlib"),
    "no dataclasses": LOADS_MORE.format("dataclasses"),
    "no pathlib": LOADS_MORE.format("pathlib"),
    "no subprocess": LOADS_MORE.format("subprocess"),
    "no hashlib": LOADS_MORE.format("hashlib"),
    "usual words read without argparse": "import perflour.cli; perflour.cli.read_plainly = lambda *_: None\n",
    "pyyaml's patterns compiled when they are used": "import yaml\n",
    "the parser of one command": "from perflour.cli import _parser; _parser(whole=True)\n",
    "named tuples of our own": "import perflour.tuples, typing; perflour.tuples.NamedTuple = typing.NamedTuple\n",
}
CACHES = {
    "lint": ("balance.ratios._counting", "kitchen.names.fold", "kitchen.quantity.parse_amount", "kitchen.quantity.parse_duration", "kitchen.quantity.parse_temperature", "lint.ask.steps.words"),
    "changelog": ("balance.ratios._counting", "diff.residual._reading_g", "kitchen.names.fold", "kitchen.quantity.parse_amount"),
    "import": ("recipe.grammar.take_apart",),
}  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("which", nargs="*", default=["start", "imports", "caches", "ways"])
    parser.add_argument("--rounds", type=int, default=15)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if "start" in options.which:
            _start(folder, options.rounds)
        if "imports" in options.which:
            _imports(options.rounds)
        if "caches" in options.which:
            _caches(folder, options.rounds)
        if "ways" in options.which:
            _ways(make_repository(folder / "hundreds", 300), options.rounds)


def _start(folder: Path, rounds: int) -> None:
    """Each trick taken away: what it does without is loaded or done all the same."""
    lint = ["lint", "--fail-at", "error", str(FILE)]
    codes = {"as it is": RUN, **{what: code + RUN for what, code in START.items()}}
    _print_table(_cpu({what: [code, *lint] for what, code in codes.items()}, folder, rounds))


def _imports(rounds: int) -> None:
    codes = {"python -c pass": ["pass"], **{name: [f"import {name}"] for name in LIBRARIES}}
    hidden = "from perflour.system.without_numpy import without_numpy\nwith without_numpy():\n    "
    codes["deepdiff, no numpy"] = [f"{hidden}import deepdiff"]
    _print_table(_cpu(codes, ROOT, rounds), what_it_costs=True)


def _caches(folder: Path, rounds: int) -> None:
    repository = make_repository(folder / "thousand", 1000)
    lint = ["lint", "--fail-at", "error", "--forget", "--jobs", "1", "formulas"]
    history = make_history(folder / "history", plan(600))
    changelog = ["changelog", "--forget", "--jobs", "1", "formulas"]
    (folder / "recipe.txt").write_text(recipe(300), encoding="utf-8")
    read = ["import", "recipe.txt"]
    for words, where in ((lint, repository), (changelog, history), (read, folder)):
        codes = {"as it is": [f"LEFT_OUT = ''\n{NO_CACHE}{RUN}", *words]}
        codes |= {
            f"no {name}": [f"LEFT_OUT = {name!r}\n{NO_CACHE}{RUN}", *words]
            for name in CACHES[words[0]]
        }
        print(f"perflour {words[0]}")
        _print_table(_cpu(codes, where, rounds))


def _ways(repository: Path, rounds: int) -> None:
    """What one formula takes, in us: in our way, then in the plain one."""
    import jsonschema
    import jsonschema_rs

    from perflour.documents import by_pyyaml, reader
    from perflour.documents.schema import is_valid, schema
    from perflour.kitchen.house import Kitchens
    from perflour.lint.check import check_inputs
    from perflour.system.files import read_input
    from perflour.system.parallel import TOGETHER

    gc.disable()  # as the command line does
    paths = [str(path) for path in sorted(repository.glob("formulas/*/formula.yaml"))]
    texts = [Path(path).read_text(encoding="utf-8") for path in paths]
    data = [reader.read_document(text.encode(), "f").data for text in texts]
    sources, kitchens = list(map(read_input, paths)), Kitchens()
    rust = jsonschema_rs.validator_for(schema("formula"))
    plain = jsonschema.Draft202012Validator(schema("formula"))
    control = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")

    def together(number: int) -> None:
        for at in range(0, len(sources), number):
            check_inputs(sources[at : at + number], kitchens)

    ways: dict[str, tuple[Callable[[], object], Callable[[], object]]] = {
        "verdict by written code / by jsonschema-rs": (
            lambda: [is_valid(one, "formula") for one in data],
            lambda: [rust.is_valid(one) for one in data],
        ),
        "verdict by written code / by jsonschema": (
            lambda: [is_valid(one, "formula") for one in data],
            lambda: [plain.is_valid(one) for one in data],
        ),
        "nodes composed in C / event by event": (
            lambda: [by_pyyaml._composed(text, "f") for text in texts],
            lambda: [by_pyyaml._read_events(text, "f") for text in texts],
        ),
        "control characters by table / by search": (
            lambda: [reader._decode(text.encode(), "f") for text in texts],
            lambda: [control.search(text.encode().decode("utf-8-sig")) for text in texts],
        ),
        f"checked {TOGETHER} together / one by one": (
            lambda: together(TOGETHER),
            lambda: together(1),
        ),
    }
    print(f"{'':<46}{'us':>8}{'us':>8}")
    for what, both in ways.items():
        took = _alternating(both, rounds)
        print(f"{what:<46}" + "".join(f"{s / len(paths) * 1e6:8.1f}" for s in took))


def _alternating(runs: Sequence[Callable[[], object]], rounds: int) -> list[float]:
    """Median seconds of CPU of each, the first round left out."""
    times: list[list[float]] = [[] for _ in runs]
    for _ in range(rounds + 1):
        for run, took in zip(runs, times, strict=True):
            before = time.process_time()
            run()
            took.append(time.process_time() - before)
    return [statistics.median(took[1:]) for took in times]


def _cpu(
    codes: Mapping[str, Sequence[str]], folder: Path, rounds: int
) -> dict[str, tuple[float, float]]:
    """Median ms of CPU of each, and of its difference to the first in the same round."""
    times: dict[str, list[float]] = {what: [] for what in codes}
    paths = os.pathsep.join([str(folder), os.environ.get("PYTHONPATH", "")])
    for _ in range(rounds + 1):
        for what, (code, *words) in codes.items():
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            done = subprocess.run(
                [sys.executable, "-c", code, *words],
                cwd=folder,
                env={**os.environ, "PYTHONPATH": paths},
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                check=False,
            )
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            if done.returncode not in (0, 1):
                raise SystemExit(f"{what} failed with {done.returncode}")
            spent = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
            times[what].append(spent * 1000)
    first = next(iter(times.values()))[1:]
    return {
        what: (
            statistics.median(took[1:]),
            statistics.median(a - b for a, b in zip(took[1:], first, strict=True)),
        )
        for what, took in times.items()
    }


def _print_table(found: Mapping[str, tuple[float, float]], what_it_costs: bool = False) -> None:
    title = "takes more" if what_it_costs else "spares"
    print(f"{'':<46}{'ms':>8}{title:>12}")
    for what, (took, more) in found.items():
        print(f"{what:<46}{took:8.1f}{more:12.1f}")


if __name__ == "__main__":
    main()
