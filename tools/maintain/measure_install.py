"""Write the table of docs/install.md: what each group of libraries weighs and how long it takes to install.

Each in a fresh virtual environment, from this folder, with pip's cache as a run before left it; the hooks' environment is
the one that pre-commit builds. `--of REVISION` measures another commit as it is, and prints instead.

    python tools/maintain/measure_install.py
    python tools/maintain/measure_install.py --of main
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import venv
from collections.abc import Iterator, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from perflour.system.extras import EXTRAS

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "install.md"
START = "<!-- sizes: written by tools/maintain/measure_install.py -->\n"
END = "<!-- end of sizes -->\n"
#: What venv itself puts into an environment.
OF_VENV = ("pip", "setuptools", "pkg_resources", "_distutils_hack", "distutils-precedence.pth")
HEADS = (
    "| what | MB | with pip, MB | packages | CPU seconds |",
    "| --- | ---: | ---: | ---: | ---: |",
)


class Measured(NamedTuple):
    """What was installed, on the disk; pip's own part apart."""

    what: str
    megabytes: float
    of_pip: float
    packages: int
    seconds: float

    def __str__(self) -> str:
        whole = self.megabytes + self.of_pip
        return f"| {self.what} | {self.megabytes:.0f} | {whole:.0f} | {self.packages} | {self.seconds:.0f} |"


def measured(what: str, packages: Path, seconds: float) -> Measured:
    """The size of what stands in a folder of packages, in blocks of the disk."""
    pip = whole = 0.0
    for top in packages.iterdir():
        files = [top, *top.rglob("*")] if top.is_dir() else [top]
        size = sum(file.lstat().st_blocks * 512 for file in files) / 1e6
        whole += size
        pip += size if top.name.split("-")[0] in OF_VENV or top.name in OF_VENV else 0.0
    count = sum(1 for one in packages.glob("*.dist-info") if one.name.split("-")[0] not in OF_VENV)
    return Measured(what, whole - pip, pip, count, seconds)


def spent() -> float:
    """Seconds of CPU time that processes took which have ended: the clock would tell what else the machine does."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def packages_of(environment: Path) -> Path:
    return next(environment.glob("lib/python*/site-packages"))


def installed(what: str, asked: str, folder: Path) -> Measured:
    """A fresh environment with what pip is asked for."""
    environment = folder / what.strip("`").replace("[", "-").strip("]")
    venv.create(environment, with_pip=True)
    start = spent()
    subprocess.run([environment / "bin" / "pip", "install", "-q", asked], check=True)
    return measured(what, packages_of(environment), spent() - start)


def of_hooks(tree: Path, folder: Path) -> Measured:
    """The environment that pre-commit builds for a kitchen."""
    kitchen, home = folder / "kitchen", folder / "pre-commit"
    kitchen.mkdir()
    subprocess.run(["git", "init", "-q"], cwd=kitchen, check=True)
    revision = subprocess.check_output(["git", "rev-parse", "HEAD"], cwd=tree, text=True).strip()
    hooks = f"repos: [{{repo: {tree}, rev: {revision}, hooks: [{{id: perflour-lint}}]}}]\n"
    (kitchen / ".pre-commit-config.yaml").write_text(hooks, encoding="utf-8")
    start = spent()
    subprocess.run(
        [sys.executable, "-m", "pre_commit", "install-hooks"],
        cwd=kitchen,
        env={**os.environ, "PRE_COMMIT_HOME": str(home)},
        check=True,
    )
    return measured("the hooks", packages_of(next(home.glob("*/py_env-*"))), spent() - start)


def rows(tree: Path, extras: Sequence[str], folder: Path) -> Iterator[Measured]:
    """Without extras, with each of them, with all, and as hooks have it."""
    asked = {"`perflour`": f"{tree}", **{f"`perflour[{e}]`": f"{tree}[{e}]" for e in extras}}
    for what, text in asked.items():
        yield installed(what, text, folder)
    yield of_hooks(tree, folder)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--of", metavar="REVISION", help="measure this commit, and print")
    revision = parser.parse_args().of
    with TemporaryDirectory() as name:
        folder, tree, extras = Path(name), ROOT, [*EXTRAS, "all"]
        if revision:
            tree, extras = folder / "tree", []
            subprocess.run(["git", "worktree", "add", "-q", "--detach", tree, revision], cwd=ROOT, check=True)  # fmt: skip
        try:
            lines = list(HEADS)
            for row in rows(tree, extras, folder):
                print(row, flush=True)
                lines.append(str(row))
        finally:
            if revision:
                subprocess.run(["git", "worktree", "remove", "--force", tree], cwd=ROOT, check=True)
    if revision:
        return
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(START)
    after = rest.partition(END)[2]
    PAGE.write_text(f"{before}{START}" + "\n".join(lines) + f"\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    main()
