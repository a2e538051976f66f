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
import tempfile
from pathlib import Path

from measuring import ROOT, environment, memory_mb, process, seconds

DEMO = ROOT / "formulas"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=10_000)
    parser.add_argument("--without-peers", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        ours = environment(Path(folder, "ours"), str(ROOT))
        few = make_repository(Path(folder, "few"), options.files // 10)
        many = make_repository(Path(folder, "many"), options.files)
        times = {
            "few": seconds(process(_lint(ours, "--forget"), few)),
            "cold": seconds(process(_lint(ours), many)),
        }
        times["warm"] = seconds(process(_lint(ours), many))
        for name, took in times.items():
            print(f"perflour lint, {name:<6}{took:8.2f} s")
        print(f"warm / cold              {times['warm'] / times['cold']:6.3f}  (at most 0.1)")
        print(
            f"10 x the files           {times['cold'] / times['few']:6.1f} x the time (at most 12)"
        )
        memory = [memory_mb(_lint(ours, "--forget", "--jobs", "1"), at) for at in (few, many)]
        print(
            f"memory                   {memory[0]:.0f} MB for {options.files // 10}, {memory[1]:.0f} MB for {options.files}"
        )
        if not options.without_peers:
            _peers(Path(folder), many, times["cold"])


def _peers(folder: Path, many: Path, cold: float) -> None:
    peers = environment(folder / "peers", "check-jsonschema", "yamllint")
    schema = str(ROOT / "schema" / "formula.schema.json")
    files = [str(path) for path in sorted(many.glob("formulas/*/formula.yaml"))]
    check = [str(peers / "check-jsonschema"), "--schemafile", schema]
    lint = [str(peers / "yamllint"), "-d", "relaxed", "formulas"]
    total = 0.0
    for name, command in (("check-jsonschema", [*check, *files]), ("yamllint", lint)):
        took = seconds(process(command, many))
        total += took
        print(f"{name:<18}{took:10.1f} s")
    print(f"cold / both peers        1/{total / cold:.0f}  (at most 1/60)")


def make_repository(folder: Path, files: int) -> Path:
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


def _lint(programs: Path, *words: str) -> list[str]:
    return [str(programs / "perflour"), "lint", "--fail-at", "error", *words, "formulas"]


if __name__ == "__main__":
    main()
