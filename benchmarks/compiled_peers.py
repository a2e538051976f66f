"""`perflour lint` against compiled tools that do less of its work, and warm against `git status`.

The pair: a YAML linter in Rust (`ryl` of PyPI, its relaxed rules, its cache off), which looks at form, and a validator in C++
(`@sourcemeta/jsonschema` of npm, with --fast), which gives the schema's verdict. Neither weighs anything. Both are
installed in a temporary folder, beside perflour from this tree, compiled. `git status` looks at as many files and
folders to say which changed, and prints nothing. All runs of a size are interleaved; CPU time of the process with
its children counts, the clock is printed beside it:

    python benchmarks/compiled_peers.py [--files 10000] [--rounds 31] [--long-rounds 5]

Bars, in CPU time: one file at most 4.5 times `python -c pass` of the same environment and 5.5 times the pair;
10,000 files cold at most one and a half times the pair (twice without the compiled reader), warm at most twice
`git status`.

Floors, measured beside the bars and printed: of one file what a program of this kind must load (the compiled reader, else
pyyaml's C parser; re, fractions and json, nothing of ours); of a warm run to list all folders and look at all files from
Python, which git does from C, without a report of what was found.
"""

from __future__ import annotations

import argparse
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from many_files import make_repository
from measuring import ROOT, Cost, costs, environment, process

FILE = ROOT / "formulas" / "rye-ginger-cookie" / "formula.yaml"
SCHEMA = ROOT / "schema" / "formula.schema.json"
MOST_OF_PYTHON, MOST_OF_PAIR_ONE, MOST_OF_PAIR_MANY, MOST_OF_GIT = 4.5, 5.5, 1.5, 2.0
LOADS = """
import fractions, json, os, re
try:
    import _perflour_reader
except ImportError:
    import yaml
os._exit(0)
"""
LOOKS = """
import os
for folder, folders, names in os.walk("formulas"):
    for name in names:
        os.lstat(f"{folder}/{name}")
os._exit(0)
"""
Runs = dict[str, Callable[[], object]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=10_000)
    parser.add_argument("--rounds", type=int, default=31)
    parser.add_argument("--long-rounds", type=int, default=5)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ours, pair = environment(folder / "ours", str(ROOT)), _pair(folder)
        _one_file(ours, pair, options.rounds)
        for files in (options.files // 10, options.files):
            repository = make_repository(folder / f"kitchen-{files}", files)
            _cold(ours, pair, repository, files, options.long_rounds)
        _warm(ours, repository, files, options.long_rounds)


def _pair(folder: Path) -> dict[str, list[str]]:
    """How each of the pair is called, as far as it can be installed."""
    pair = {
        "ryl": [
            str(environment(folder / "ryl", "ryl") / "ryl"),
            "check",
            "--no-cache",
            "-d",
            "relaxed",
        ]
    }
    if validator := _validator(folder / "npm"):
        pair["jsonschema"] = [str(validator), "validate", "--fast", str(SCHEMA)]
    return pair


def _validator(folder: Path) -> Path | None:
    """The validator's own program, without the JavaScript that npm starts it by."""
    if shutil.which("npm") is None:
        print("no validator in C++: there is no npm here; the pair is ryl alone")
        return None
    words = ["npm", "install", "--silent", "--prefix", str(folder), "@sourcemeta/jsonschema"]
    subprocess.run(words, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    for program in sorted(folder.rglob("jsonschema-*")):
        if program.is_file():
            program.chmod(0o755)
            if _runs_here(program):
                return program
    print("no validator in C++: npm has none for this machine; the pair is ryl alone")
    return None


def _runs_here(program: Path) -> bool:
    try:
        done = subprocess.run([str(program), "version"], capture_output=True, check=False)
    except OSError:  # for another processor
        return False
    return done.returncode == 0


def _one_file(ours: Path, pair: Mapping[str, list[str]], rounds: int) -> None:
    runs: Runs = {
        "python -c pass": process([str(ours / "python"), "-c", "pass"]),
        "floor: what it must load": process([str(ours / "python"), "-c", LOADS]),
        "perflour lint": process(_lint(ours, str(FILE))),
        **{name: process([*words, str(FILE)]) for name, words in pair.items()},
    }
    took = costs(runs, rounds)
    _print("one file", took)
    lint = took["perflour lint"].cpu_s
    _ratio("lint / python -c pass", lint, took["python -c pass"].cpu_s, MOST_OF_PYTHON)
    _ratio("lint / the pair", lint, _sum(took, pair), MOST_OF_PAIR_ONE)


def _cold(
    ours: Path, pair: Mapping[str, list[str]], repository: Path, files: int, rounds: int
) -> None:
    formulas = sorted(str(path) for path in repository.glob("formulas/*/formula.yaml"))
    runs: Runs = {"perflour lint": process(_lint(ours, "--forget", "formulas"), repository)}
    for name, words in pair.items():
        named = formulas if name == "jsonschema" else ["formulas"]
        runs[name] = process([*words, *named], repository)
    took = costs(runs, rounds)
    _print(f"{files} files, cold", took)
    _ratio("lint / the pair", took["perflour lint"].cpu_s, _sum(took, pair), MOST_OF_PAIR_MANY)


def _warm(ours: Path, repository: Path, files: int, rounds: int) -> None:
    subprocess.run(["git", "add", "-A"], cwd=repository, check=True)
    lint = process(_lint(ours, "formulas"), repository)
    lint()  # what it finds is kept
    runs: Runs = {
        "perflour lint": lint,
        "git status": process(["git", "status"], repository),
        "floor: listed and looked at": process([str(ours / "python"), "-c", LOOKS], repository),
    }
    took = costs(runs, rounds)
    _print(f"{files} files, warm", took)
    _ratio("lint / git status", took["perflour lint"].cpu_s, took["git status"].cpu_s, MOST_OF_GIT)


def _lint(programs: Path, *words: str) -> list[str]:
    return [str(programs / "perflour"), "lint", "--fail-at", "error", *words]


def _sum(took: Mapping[str, Cost], pair: Mapping[str, object]) -> float:
    return sum(took[name].cpu_s for name in pair)


def _print(what: str, took: Mapping[str, Cost]) -> None:
    print(what)
    for name, cost in took.items():
        print(f"  {name:<28}{cost.cpu_s * 1000:10.1f} ms CPU {cost.wall_s * 1000:10.1f} ms")


def _ratio(what: str, ours: float, theirs: float, most: float) -> None:
    print(f"  {what:<28}{ours / theirs:10.2f} (at most {most:g})")


if __name__ == "__main__":
    main()
