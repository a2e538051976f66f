"""Halve figures of the catalogue, one at a time in a copy, and see that the tests find each.

    python tools/maintain/mutate_catalogue.py [--figures 20] [--seed 1]

Exits with 1 when a halved figure goes unnoticed, with 2 when the tests fail before anything is halved.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import Queue
from typing import NamedTuple

import yaml

ROOT = Path(__file__).parents[2]
CATALOGUE = Path("tools/perflour/data/catalogue")
COPIED = ("tools", "schema", "tests", "pyproject.toml")
TESTS = (
    "tests/kitchen/test_usda.py",
    "tests/kitchen/test_usda_composition.py",
    "tests/kitchen/test_catalogue.py",
)
WORKERS = 2


class Figure(NamedTuple):
    """A number in a file of the catalogue: whose, which, and where its digits stand."""

    file: str
    ingredient: str
    name: str
    start: int
    end: int
    value: float

    @property
    def half(self) -> str:
        return f"{self.value / 2:.10g}"

    def __str__(self) -> str:
        return f"{self.file} {self.ingredient}, {self.name} {self.value:g} -> {self.half}"


def figures() -> list[Figure]:
    """Every number above zero of every file, in order."""
    found: list[Figure] = []
    for path in sorted((ROOT / CATALOGUE).glob("*.yaml")):
        root = yaml.compose(path.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
        entries = dict(_items(root))["ingredients"]
        for entry in entries.value:
            ingredient = str(dict(_items(entry))["name"].value)
            found += [
                Figure(path.name, ingredient, name, n.start_mark.index, n.end_mark.index, value)
                for name, n in _numbers(entry, "")
                if (value := float(n.value)) > 0
            ]
    return found


def _items(node: yaml.Node | None) -> list[tuple[str, yaml.Node]]:
    assert isinstance(node, yaml.MappingNode)
    return [(key.value, value) for key, value in node.value]


def _numbers(node: yaml.Node, name: str) -> Iterator[tuple[str, yaml.ScalarNode]]:
    """The numbers below a node; a measure goes by its words: `cup sifted grams`."""
    match node:
        case yaml.MappingNode():
            words = {k: v.value for k, v in _items(node) if k in ("per", "state")}
            prefix = " ".join([words["per"], words.get("state", "")]) if "per" in words else name
            for key, value in _items(node):
                yield from _numbers(value, " ".join(f"{prefix} {key}".split()))
        case yaml.SequenceNode():
            for value in node.value:
                yield from _numbers(value, name)
        case yaml.ScalarNode() if node.tag in ("tag:yaml.org,2002:int", "tag:yaml.org,2002:float"):
            yield name, node


def copy_to(folder: Path) -> Path:
    """What the tests need, in a folder of its own."""
    ignore = shutil.ignore_patterns("__pycache__")
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=ignore)
        else:
            shutil.copy(source, folder / name)
    return folder


def found_by(copy: Path) -> str:
    """Compile the catalogue of a copy and test it: the first that fails, or nothing."""
    environment = {**os.environ, "PYTHONPATH": str(copy / "tools"), "PYTHONDONTWRITEBYTECODE": "1"}

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, *words],
            cwd=copy,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )

    if run("tools/maintain/write_catalogue.py").returncode:
        return "write_catalogue.py"
    done = run("-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *TESTS)
    if done.returncode == 0:
        return ""
    failed = re.search(r"^(?:FAILED|ERROR) \S*?([\w.]+(?:\[.*\])?)(?: - |$)", done.stdout, re.M)
    return failed[1] if failed else f"pytest, exit code {done.returncode}"


def try_out(figure: Figure, copies: Queue[Path]) -> str:
    """Halve one figure in a free copy; which test finds it, or nothing."""
    copy = copies.get()
    path = copy / CATALOGUE / figure.file
    text = path.read_text(encoding="utf-8")
    try:
        path.write_text(text[: figure.start] + figure.half + text[figure.end :], encoding="utf-8")
        return found_by(copy)
    finally:
        path.write_text(text, encoding="utf-8")
        copies.put(copy)


def main() -> int:
    """The command line."""
    parser = argparse.ArgumentParser(description="Halve figures of the catalogue; tests must see it.")  # fmt: skip
    parser.add_argument("--figures", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    known = figures()
    chosen = random.Random(asked.seed).sample(known, min(asked.figures, len(known)))
    with tempfile.TemporaryDirectory() as folder:
        copies: Queue[Path] = Queue()
        for worker in range(WORKERS):
            (place := Path(folder) / str(worker)).mkdir()
            copies.put(copy_to(place))
        if failing := found_by(copies.queue[0]):
            print(f"the tests fail before any figure is halved: {failing}", file=sys.stderr)
            return 2
        missed = 0
        with ThreadPoolExecutor(WORKERS) as pool:
            tests = pool.map(lambda figure: try_out(figure, copies), chosen)
            for figure, test in zip(chosen, tests, strict=True):
                print(f"{figure}: {f'found by {test}' if test else 'NOT FOUND'}", flush=True)
                missed += not test
    print(f"{len(chosen) - missed} of {len(chosen)} found; {len(known)} figures in the catalogue")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
