"""Lint of thousands of formula files against its peers, in one run on this machine.

Generates formulas in a temporary git repository; installs perflour (from this tree, compiled),
check-jsonschema and yamllint in fresh environments. Prints times, the ratios that matter, and memory:

    python benchmarks/many_files.py [--files 10000] [--without-peers]

cold, all rules: at most 1/60 of check-jsonschema plus yamllint on the same files; warm from the cache:
at most 1/10 of cold; memory flat in the number of files; ten times the files in at most 12 x the time.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
import venv
from pathlib import Path

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "formulas"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=10_000)
    parser.add_argument("--without-peers", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        ours = _environment(Path(folder, "ours"), [str(ROOT)])
        few = _repository(Path(folder, "few"), options.files // 10)
        many = _repository(Path(folder, "many"), options.files)
        times = {"few": _time(_lint(ours, "--forget"), few), "cold": _time(_lint(ours), many)}
        times["warm"] = _time(_lint(ours), many)
        for name, seconds in times.items():
            print(f"perflour lint, {name:<6}{seconds:8.2f} s")
        print(f"warm / cold              {times['warm'] / times['cold']:6.3f}  (at most 0.1)")
        print(
            f"10 x the files           {times['cold'] / times['few']:6.1f} x the time (at most 12)"
        )
        memory = [_memory_mb(_lint(ours, "--forget", "--jobs", "1"), at) for at in (few, many)]
        print(
            f"memory                   {memory[0]:.0f} MB for {options.files // 10}, {memory[1]:.0f} MB for {options.files}"
        )
        if not options.without_peers:
            _peers(Path(folder), many, times["cold"])


def _peers(folder: Path, many: Path, cold: float) -> None:
    peers = _environment(folder / "peers", ["check-jsonschema", "yamllint"])
    schema = str(ROOT / "schema" / "formula.schema.json")
    files = [str(path) for path in sorted(many.glob("formulas/*/formula.yaml"))]
    check = [str(peers / "bin/check-jsonschema"), "--schemafile", schema]
    lint = [str(peers / "bin/yamllint"), "-d", "relaxed", "formulas"]
    total = 0.0
    for name, command in (("check-jsonschema", [*check, *files]), ("yamllint", lint)):
        seconds = _time(command, many)
        total += seconds
        print(f"{name:<18}{seconds:10.1f} s")
    print(f"cold / both peers        1/{total / cold:.0f}  (at most 1/60)")


def _environment(folder: Path, packages: list[str]) -> Path:
    venv.create(folder, with_pip=True)
    install = [str(folder / "bin/python"), "-m", "pip", "install", "-q", *packages]
    subprocess.run(install, check=True, stderr=subprocess.DEVNULL)
    subprocess.run(
        [str(folder / "bin/python"), "-m", "compileall", "-q", str(folder / "lib")], check=False
    )
    return folder


def _repository(folder: Path, files: int) -> Path:
    """Formulas like those of the demo, each with masses of its own."""
    chance = random.Random(7)
    originals = [path.read_text(encoding="utf-8") for path in sorted(DEMO.glob("*/formula.yaml"))]
    formulas = folder / "formulas"
    formulas.mkdir(parents=True)
    subprocess.run(["git", "init", "-q", str(folder)], check=True)
    for name in ("house.yaml", "ingredients.yaml"):
        shutil.copy(DEMO / name, formulas / name)
    for number in range(files):
        text = originals[number % len(originals)]
        id = text.split("formula: ", 1)[1].split("\n", 1)[0]
        for grams in (100, 120, 150, 200, 250, 300):
            text = text.replace(f" {grams} g", f" {grams + chance.randrange(-9, 10)} g")
        path = formulas / f"{id}-{number}" / "formula.yaml"
        path.parent.mkdir()
        path.write_text(
            text.replace(f"formula: {id}\n", f"formula: {id}-{number}\n"), encoding="utf-8"
        )
    os.sync()  # nothing is measured while the disk is still writing
    return folder


def _lint(environment: Path, *words: str) -> list[str]:
    return [str(environment / "bin/perflour"), "lint", "--fail-at", "error", *words, "formulas"]


def _time(command: list[str], folder: Path) -> float:
    start = time.perf_counter()
    done = subprocess.run(
        command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False
    )
    assert done.returncode in (0, 1), command[:3]
    return time.perf_counter() - start


def _memory_mb(command: list[str], folder: Path) -> float:
    """Largest resident size of a run, asked of a process of its own."""
    code = "import subprocess, sys, resource; subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL); print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    done = subprocess.run(
        [sys.executable, "-c", code, *command], cwd=folder, capture_output=True, check=True
    )
    unit = 1024 if sys.platform == "darwin" else 1
    return int(done.stdout) / 1024 / unit


if __name__ == "__main__":
    main()
