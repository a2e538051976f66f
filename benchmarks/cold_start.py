"""Cold start of `perflour lint ONE_FILE` against its peers, in one interleaved run.

Builds a fresh virtual environment in a temporary folder with perflour installed from this tree and
compiled, and check-jsonschema beside it. Prints medians and the ratios that matter:

    python benchmarks/cold_start.py [--rounds 31]

perflour lint / check-jsonschema on the same file: at most 1/3.
perflour lint / python -c pass in the same environment: at most 6.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
import venv
from pathlib import Path

ROOT = Path(__file__).parents[1]
FILE = ROOT / "formulas" / "rye-ginger-cookie" / "formula.yaml"
MOST_AGAINST_PYTHON = 6.0
MOST_AGAINST_PEER = 1 / 3


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=31)
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory() as folder:
        ours, peer = Path(folder, "ours"), Path(folder, "peer")
        _install(ours, str(ROOT))
        _install(peer, "check-jsonschema")
        schema = str(ROOT / "schema" / "formula.schema.json")
        commands = {
            "python -c pass": [str(ours / "bin/python"), "-c", "pass"],
            "perflour lint": [str(ours / "bin/perflour"), "lint", "--fail-at", "error", str(FILE)],
            "perflour show": [str(ours / "bin/perflour"), "show", str(FILE)],
            "check-jsonschema": [
                str(peer / "bin/check-jsonschema"),
                "--schemafile",
                schema,
                str(FILE),
            ],
        }
        medians = _medians(commands, rounds)
    for name, seconds in medians.items():
        print(f"{name:<20}{seconds * 1000:8.1f} ms (median of {rounds})")
    against_python = medians["perflour lint"] / medians["python -c pass"]
    against_peer = medians["perflour lint"] / medians["check-jsonschema"]
    print(f"lint / python -c pass    {against_python:5.2f}  (at most {MOST_AGAINST_PYTHON:.0f})")
    print(f"lint / check-jsonschema  {against_peer:5.2f}  (at most {MOST_AGAINST_PEER:.2f})")
    print(f"show / lint              {medians['perflour show'] / medians['perflour lint']:5.2f}")
    return int(against_python > MOST_AGAINST_PYTHON or against_peer > MOST_AGAINST_PEER)


def _install(folder: Path, what: str) -> None:
    venv.create(folder, with_pip=True)
    python = str(folder / "bin/python")
    subprocess.run(
        [python, "-m", "pip", "install", "-q", what], check=True, stderr=subprocess.DEVNULL
    )
    subprocess.run([python, "-m", "compileall", "-q", str(folder / "lib")], check=False)


def _medians(commands: dict[str, list[str]], rounds: int) -> dict[str, float]:
    times: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(rounds + 1):
        for name, command in commands.items():
            start = time.perf_counter()
            subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
            times[name].append(time.perf_counter() - start)
    return {name: statistics.median(values[1:]) for name, values in times.items()}


if __name__ == "__main__":
    sys.exit(main())
