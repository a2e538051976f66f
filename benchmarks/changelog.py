"""Changelogs of a long history against `git log -p` of the same repository, in one run.

Makes 2,000 commits over 200 formulas with merges, renames and test bakes, installs perflour from this
tree, compiled, and interleaves the runs. Prints medians, ratios and memory:

    python benchmarks/changelog.py [--commits 2000] [--rounds 5]

By the clock and in processor time, on two cores. cold: at most 20 x `git log -p`, the floor of which, `git log --raw` and
one `git cat-file --batch` of all formulas, is about 1 x; 11 to 12 by the clock and 18.8 to 19.9 in processor time were
measured. After one more commit: at most 10 x `python -c pass`; 9 to 9.6 and 9.1 to 10 were measured. Memory flat in the commits.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path

from measuring import ROOT, Cost, cost, environment, median_cost, memory_mb, process

sys.path.insert(0, str(ROOT))

from tests.conftest import GIT_ENVIRONMENT
from tests.history.made_history import Plan, make_history

#: What is held against what, and how many times it may be.
BARS = (
    ("changelog, cold", "git log -p", 20),
    ("changelog, nothing new", "python -c pass", 10),
    ("changelog, one more commit", "python -c pass", 10),
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--commits", type=int, default=2000)
    parser.add_argument("--rounds", type=int, default=5)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        perflour = environment(folder / "ours", str(ROOT)) / "perflour"
        many = make_history(folder / "many", plan(options.commits))
        few = make_history(folder / "few", plan(options.commits // 4))
        took = _measured(perflour, many, options.rounds)
        for what, median in took.items():
            print(f"{what:<28}{median.wall_s * 1000:8.0f} ms, of processors {median.cpu_s * 1000:.0f} (median of {options.rounds})")  # fmt: skip
        for what, peer, most in BARS:
            one, other = took[what], took[peer]
            print(f"{f'{what} / {peer}':<52}{one.wall_s / other.wall_s:6.2f}, of processors {one.cpu_s / other.cpu_s:6.2f}  (at most {most})")  # fmt: skip
        sizes = [
            memory_mb(_changelog(perflour, "--forget", "--jobs", "1"), at) for at in (few, many)
        ]
        print(
            f"memory, cold                {sizes[0]:.0f} MB for {options.commits // 4} commits, {sizes[1]:.0f} MB for {options.commits}"
        )


def plan(commits: int) -> Plan:
    """A tenth as many formulas as commits, and a few of all that may happen."""
    return Plan(
        2,
        commits=commits,
        formulas=commits // 10,
        bakes=commits // 7,
        merges=commits // 33,
        renames=5,
        reverts=5,
        swaps=2,
    )


def _changelog(perflour: Path, *words: str) -> list[str]:
    return [str(perflour), "changelog", "formulas", "--output", "markdown", *words]


def _measured(perflour: Path, repository: Path, rounds: int) -> dict[str, Cost]:
    """Medians of interleaved runs, each round with one more commit."""
    again = process(_changelog(perflour), repository)
    times: dict[str, list[Cost]] = {}
    for number in range(rounds + 1):
        for path in repository.glob(".git/perflour/*"):
            path.unlink()
        for what, run in (
            ("git log -p", process(["git", "log", "-p"], repository)),
            (
                "python -c pass",
                process([str(perflour.parent / "python"), "-c", "pass"], repository),
            ),
            ("changelog, cold", again),
            ("changelog, nothing new", again),
        ):
            times.setdefault(what, []).append(cost(run))
        _commit_one(repository, number)
        times.setdefault("changelog, one more commit", []).append(cost(again))
    return {what: median_cost(took[1:]) for what, took in times.items()}


def _commit_one(repository: Path, number: int) -> None:
    path = next(p for p in sorted(repository.glob("formulas/*/formula.yaml")))
    text = path.read_text(encoding="utf-8")
    at = text.index("unsalted butter, amount: ") + len("unsalted butter, amount: ")
    path.write_text(f"{text[:at]}{150 + number}{text[text.index(' g}', at) :]}", encoding="utf-8")
    subprocess.run(
        ["git", "commit", "-qam", "Butter"], cwd=repository, check=True, env=GIT_ENVIRONMENT
    )


if __name__ == "__main__":
    main()
