"""Changelogs of a long history against `git log -p` of the same repository, in one run.

Makes 2,000 commits over 200 formulas with merges, renames and test bakes, installs perflour from this
tree, compiled, and interleaves the runs. Prints medians, ratios and memory:

    python benchmarks/changelog.py [--commits 2000] [--rounds 5]

cold: at most 4 x `git log -p`; after one more commit: at most 1/10 of cold; memory flat in the commits.
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
sys.path.insert(0, str(ROOT))

from tests.conftest import GIT_ENVIRONMENT  # noqa: E402
from tests.made_history import Plan, make_history  # noqa: E402


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--commits", type=int, default=2000)
    parser.add_argument("--rounds", type=int, default=5)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        perflour = _installed(folder / "ours")
        many = make_history(folder / "many", _plan(options.commits))
        few = make_history(folder / "few", _plan(options.commits // 4))
        medians = _measured(perflour, many, options.rounds)
        for what, seconds in medians.items():
            print(f"{what:<28}{seconds * 1000:8.0f} ms (median of {options.rounds})")
        cold = medians["changelog, cold"]
        print(f"cold / git log -p           {cold / medians['git log -p']:6.2f}  (at most 4)")
        for what in ("nothing new", "one more commit"):
            print(
                f"{what + ' / cold':<28}{medians[f'changelog, {what}'] / cold:6.3f}  (at most 0.1)"
            )
        sizes = [
            _memory_mb(_changelog(perflour, "--forget", "--jobs", "1"), at) for at in (few, many)
        ]
        print(
            f"memory, cold                {sizes[0]:.0f} MB for {options.commits // 4} commits, {sizes[1]:.0f} MB for {options.commits}"
        )


def _plan(commits: int) -> Plan:
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


def _installed(folder: Path) -> Path:
    venv.create(folder, with_pip=True)
    install = [str(folder / "bin/python"), "-m", "pip", "install", "-q", str(ROOT)]
    subprocess.run(install, check=True, stderr=subprocess.DEVNULL)
    compiled = [str(folder / "bin/python"), "-m", "compileall", "-q", str(folder / "lib")]
    subprocess.run(compiled, check=False)
    return folder / "bin/perflour"


def _changelog(perflour: Path, *words: str) -> list[str]:
    return [str(perflour), "changelog", "formulas", "--output", "markdown", *words]


def _measured(perflour: Path, repository: Path, rounds: int) -> dict[str, float]:
    """Medians of interleaved runs; the first round is left out."""
    times: dict[str, list[float]] = {}
    for number in range(rounds + 1):
        steps = {
            "git log -p": (["git", "log", "-p"], False),
            "changelog, cold": (_changelog(perflour), True),
            "changelog, nothing new": (_changelog(perflour), False),
        }
        for what, (command, fresh) in steps.items():
            times.setdefault(what, []).append(_seconds(command, repository, fresh))
        _commit_one(repository, number)
        again = _seconds(_changelog(perflour), repository)
        times.setdefault("changelog, one more commit", []).append(again)
    return {what: statistics.median(seconds[1:]) for what, seconds in times.items()}


def _commit_one(repository: Path, number: int) -> None:
    path = next(p for p in sorted(repository.glob("formulas/*/formula.yaml")))
    text = path.read_text(encoding="utf-8")
    at = text.index("unsalted butter, amount: ") + len("unsalted butter, amount: ")
    path.write_text(f"{text[:at]}{150 + number}{text[text.index(' g}', at) :]}", encoding="utf-8")
    subprocess.run(
        ["git", "commit", "-qam", "Butter"], cwd=repository, check=True, env=GIT_ENVIRONMENT
    )


def _seconds(command: list[str], folder: Path, fresh: bool = False) -> float:
    if fresh:
        for path in folder.glob(".git/perflour/*"):
            path.unlink()
    start = time.perf_counter()
    subprocess.run(command, cwd=folder, stdout=subprocess.DEVNULL, check=True, env=GIT_ENVIRONMENT)
    return time.perf_counter() - start


def _memory_mb(command: list[str], folder: Path) -> float:
    """Largest resident size of a run and its children, asked of a process of its own."""
    code = "import subprocess, sys, resource; subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL); print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    done = subprocess.run(
        [sys.executable, "-c", code, *command], cwd=folder, capture_output=True, check=True
    )
    unit = 1024 if sys.platform == "darwin" else 1
    return int(done.stdout) / 1024 / unit


if __name__ == "__main__":
    main()
