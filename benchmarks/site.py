"""The pages of a large kitchen: all made for the first time, one formula changed, nothing changed.

    python benchmarks/site.py [--formulas 500] [--iterations 20] [--rounds 1]

Each is held against `changelog --forget` of the same kitchen in the same rounds: it too weighs every revision.
"""

from __future__ import annotations

import argparse
import subprocess
import tempfile
from pathlib import Path

from growth import GIT
from measuring import medians, process, seconds
from release_log import LOAF, PERFLOUR

CLASSES = ("loaf-cake", "crumb-cake", "drop-cookie", "biscuit", "lean-bread")
HOUSE = "house: Saltmarsh Lane\nclasses:\n" + "".join(f"  {c}: {{title: {c}, baked: true}}\n" for c in CLASSES)  # fmt: skip


def lay_out(folder: Path, formulas: int, iterations: int) -> None:
    """A repository in which every formula has so many iterations, written by one `git fast-import`."""
    subprocess.run(["git", "init", "-q", "-b", "main"], cwd=folder, env=GIT, check=True)
    stream = [_commit(1, [("formulas/house.yaml", HOUSE)])]
    for turn in range(iterations):
        files = [(f"formulas/loaf-{n}/formula.yaml", loaf(n, turn)) for n in range(formulas)]
        stream.append(_commit(turn + 2, files))
    subprocess.run(["git", "fast-import", "--quiet"], cwd=folder, env=GIT, check=True, input="".join(stream).encode())  # fmt: skip
    subprocess.run(["git", "reset", "-q", "--hard"], cwd=folder, env=GIT, check=True)


def loaf(number: int, turn: int) -> str:
    """A formula at one of its iterations."""
    sugar = 100 + number % 50 + turn
    text = LOAF.format(id=f"loaf-{number}", number=number, status="testing", each=(493 + sugar) // 2, sugar=sugar, corrections="")  # fmt: skip
    return text.replace("class: loaf-cake", f"class: {CLASSES[number % len(CLASSES)]}")


def _commit(mark: int, files: list[tuple[str, str]]) -> str:
    subject = f"Turn {mark}"
    head = f"commit refs/heads/main\nmark :{mark}\ncommitter N <n@example.org> {1_767_600_000 + mark * 7200} +0000\ndata {len(subject)}\n{subject}\n"  # fmt: skip
    came = f"from :{mark - 1}\n" if mark > 1 else ""
    return head + came + "".join(f"M 100644 inline {path}\ndata {len(text.encode())}\n{text}\n" for path, text in files)  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--formulas", type=int, default=500)
    parser.add_argument("--iterations", type=int, default=20)
    parser.add_argument("--rounds", type=int, default=1)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        lay_out(folder, options.formulas, options.iterations)
        site = [*PERFLOUR, "site", "out"]
        subprocess.run(site, cwd=folder, check=False, capture_output=True)  # what is kept stays
        runs = {
            "all anew": process([*site, "--forget"], folder),
            "nothing changed": process(site, folder),
            "changelog": process([*PERFLOUR, "changelog", "--forget"], folder),
        }
        took = medians(runs, options.rounds)
        one = folder / "formulas" / "loaf-0" / "formula.yaml"
        one.write_text(loaf(0, options.iterations + 5), encoding="utf-8")
        took |= {"one formula changed": seconds(process(site, folder))}
        pages = sum(1 for path in (folder / "out").rglob("*.html"))
        print(f"| {pages:,} pages of {options.formulas} formulas | s | times `changelog --forget` |\n| --- | --- | --- |")  # fmt: skip
        for title in ("all anew", "one formula changed", "nothing changed"):
            print(f"| {title} | {took[title]:.1f} | {took[title] / took['changelog']:.1f} |")


if __name__ == "__main__":
    main()
