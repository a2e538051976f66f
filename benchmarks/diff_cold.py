"""Cold start of `perflour diff A B` against deepdiff on the same two parsed files, interleaved.

Builds two fresh virtual environments in a temporary folder, each compiled: perflour installed from
this tree, which brings deepdiff, and deepdiff with PyYAML alone: without numpy beside it, which it loads
where it finds it. The pairs are revisions of the demo's cookie (one ratio, a step as well, first against
last) and a published recipe by weight and by measure. Prints the medians of whole processes and ratios:

    python benchmarks/diff_cold.py [--rounds 21]

perflour diff / deepdiff in the same environment: at most 1 for every pair. The ratio to deepdiff alone is
printed beside it.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path

from measuring import ROOT, environment, medians, process

COOKIE = "formulas/rye-ginger-cookie/formula.yaml"
BANANA = "usda-1988-banana-bread/formula.yaml"
MOST_AGAINST_PEER = 1.0
PEERS = ("deepdiff", "deepdiff alone")
PEER = """\
import sys, yaml
from deepdiff import DeepDiff
a, b = (yaml.load(open(p, "rb"), Loader=yaml.CSafeLoader) for p in sys.argv[1:])
print(DeepDiff(a, b).pretty())
"""


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=21)
    rounds = parser.parse_args().rounds
    worst = 0.0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        environment(folder / "ours", str(ROOT))
        environment(folder / "peer", "deepdiff", "pyyaml")
        (folder / "peer.py").write_text(PEER, encoding="utf-8")
        for title, files in _pairs(folder).items():
            commands = _commands(folder, files)
            took = medians({what: process(command) for what, command in commands.items()}, rounds)
            ratio, alone = (took["perflour diff"] / took[peer] for peer in PEERS)
            worst = max(worst, ratio)
            times = ", ".join(f"{what} {s * 1000:.0f} ms" for what, s in took.items())
            print(f"{title:<22} diff / deepdiff {ratio:5.2f}, alone {alone:5.2f}  ({times})")
    print(f"worst {worst:.2f} of medians of {rounds}  (at most {MOST_AGAINST_PEER:.0f})")
    return int(worst > MOST_AGAINST_PEER)


def _pairs(folder: Path) -> dict[str, tuple[str, str]]:
    """Two files each, by what differs between them."""
    commits = _git("log", "--reverse", "--format=%H", "--", COOKIE).split()
    versions = []
    for number, commit in enumerate(commits):
        path = folder / f"cookie-{number}.yaml"
        path.write_text(_git("show", f"{commit}:{COOKIE}"), encoding="utf-8")
        versions.append(str(path))
    published = ROOT / "tests" / "published"
    return {
        "one ratio": (versions[0], versions[1]),
        "a step and the bake": (versions[3], versions[4]),
        "first against last": (versions[0], versions[-1]),
        "weight against measure": (
            str(published / "weight" / BANANA),
            str(published / "measure" / BANANA),
        ),
    }


def _git(*words: str) -> str:
    done = subprocess.run(["git", "-C", str(ROOT), *words], check=True, capture_output=True)
    return done.stdout.decode()


def _commands(folder: Path, files: tuple[str, str]) -> dict[str, list[str]]:
    return {
        "python -c pass": [str(folder / "peer/bin/python"), "-c", "pass"],
        "perflour diff": [str(folder / "ours/bin/perflour"), "diff", *files],
        PEERS[0]: [str(folder / "ours/bin/python"), str(folder / "peer.py"), *files],
        PEERS[1]: [str(folder / "peer/bin/python"), str(folder / "peer.py"), *files],
    }


if __name__ == "__main__":
    sys.exit(main())
