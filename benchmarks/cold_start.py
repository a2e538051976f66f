"""Cold start of `perflour lint ONE_FILE` against its peers, in one interleaved run.

Builds a fresh virtual environment in a temporary folder with perflour installed from this tree and
compiled, and check-jsonschema beside it. Prints medians and the ratios that matter:

    python benchmarks/cold_start.py [--rounds 31]

perflour lint / check-jsonschema on the same file: at most 1/3.
perflour lint / python -c pass in the same environment: at most 6.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from measuring import ROOT, environment, medians, process

FILE = ROOT / "formulas" / "rye-ginger-cookie" / "formula.yaml"
MOST_AGAINST_PYTHON = 6.0
MOST_AGAINST_PEER = 1 / 3


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=31)
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ours, peer = (
            environment(folder / "ours", str(ROOT)),
            environment(folder / "peer", "check-jsonschema"),
        )
        schema = str(ROOT / "schema" / "formula.schema.json")
        commands = {
            "python -c pass": [str(ours / "python"), "-c", "pass"],
            "perflour lint": [str(ours / "perflour"), "lint", "--fail-at", "error", str(FILE)],
            "perflour show": [str(ours / "perflour"), "show", str(FILE)],
            "check-jsonschema": [
                str(peer / "check-jsonschema"),
                "--schemafile",
                schema,
                str(FILE),
            ],
        }
        runs = {what: process(command) for what, command in commands.items()}
        took = medians(runs, rounds)
    for what, median in took.items():
        print(f"{what:<20}{median * 1000:8.1f} ms (median of {rounds})")
    against_python = took["perflour lint"] / took["python -c pass"]
    against_peer = took["perflour lint"] / took["check-jsonschema"]
    print(f"lint / python -c pass    {against_python:5.2f}  (at most {MOST_AGAINST_PYTHON:.0f})")
    print(f"lint / check-jsonschema  {against_peer:5.2f}  (at most {MOST_AGAINST_PEER:.2f})")
    print(f"show / lint              {took['perflour show'] / took['perflour lint']:5.2f}")
    return int(against_python > MOST_AGAINST_PYTHON or against_peer > MOST_AGAINST_PEER)


if __name__ == "__main__":
    sys.exit(main())
