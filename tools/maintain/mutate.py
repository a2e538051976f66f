"""Change one sign of the code at a time, and see whether a test notices.

A mutant is a copy of the package with one small change: a comparison that takes in its bound or no longer
does, + for -, `and` for `or`, one more for a number, a branch taken the other way. The tests that import the
changed module run first, then those of its room. A mutant that no test notices survives: a test is missing,
or the change means nothing, which tools/maintain/equivalent_mutants.txt says with the reason.

    python tools/maintain/mutate.py --count 200 --seed 1
    python tools/maintain/mutate.py --since main~20      # the modules that changed since

Exits with 1 where less than --least percent are noticed.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "tools" / "perflour"
EQUIVALENT = Path(__file__).with_name("equivalent_mutants.txt")
#: Where the computation is; what only prints, asks git or reads arguments is held by golden files.
CORE = (
    "kitchen/quantity", "kitchen/weighing", "kitchen/units", "kitchen/figures", "kitchen/pans", "formula/formula",
    "formula/portions", "balance/balance", "balance/ratios", "balance/ratio_terms", "balance/spread", "balance/leavening",
    "balance/composition", "balance/allergens", "scale/scaling", "diff/difference", "diff/importance",
    "diff/beside_changes", "diff/line_changes", "diff/batch_factor", "diff/basis_changes", "history/lineage",
    "history/iterations", "merge/merge", "merge/order", "lint/judging", "lint/ask/portions", "lint/ask/allergens",
    "trials/judging",
)  # fmt: skip
SECONDS = 300


class Mutant(NamedTuple):
    """One change: ``name`` says where and what; it is the ``nth`` change of the node ``at`` that place."""

    module: str
    name: str
    at: int
    nth: int

    @property
    def text(self) -> str:
        """The whole changed module."""
        tree = _tree(self.module)
        _, node = list(_places(tree))[self.at]
        return ast.unparse(_Put(node, list(changed(node))[self.nth]).visit(tree))


_COMPARED = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_REACHED = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}


def changed(node: ast.AST) -> Iterator[ast.AST]:
    """The nodes that may stand in place of one."""
    match node:
        case ast.Compare(left=left, ops=[op], comparators=right) if type(op) in _COMPARED:
            yield ast.Compare(left, [_COMPARED[type(op)]()], right)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _REACHED:
            yield ast.BinOp(left, _REACHED[type(op)](), right)
        case ast.BoolOp(op=op, values=values):
            yield ast.BoolOp(ast.Or() if isinstance(op, ast.And) else ast.And(), values)
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield operand
        case ast.IfExp(test=test, body=body, orelse=other):
            yield ast.IfExp(test, other, body)
        case ast.Constant(value=bool() as value):
            yield ast.Constant(not value)
        case ast.Constant(value=int() | float() as value):
            yield ast.Constant(value + 1)


def mutants_of(module: str) -> Iterator[Mutant]:
    """Every mutant of a module, in the order of its text."""
    for at, (function, node) in enumerate(_places(_tree(module))):
        for nth, new in enumerate(changed(node)):
            name = f"{module} {function}: {ast.unparse(node)} -> {ast.unparse(new)}"
            yield Mutant(module, " ".join(name.split()), at, nth)


def _tree(module: str) -> ast.AST:
    return ast.parse((PACKAGE / f"{module}.py").read_text(encoding="utf-8"))


class _Put(ast.NodeTransformer):
    """Puts a new node in place of an old one."""

    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        if node is self.old:
            return ast.copy_location(self.new, node)
        return self.generic_visit(node)


def _places(tree: ast.AST, function: str = "") -> Iterator[tuple[str, ast.AST]]:
    """The nodes of all that is computed, with the function they are in.

    No types and no decorators; and no guards, which compute nothing: `assert`, `zip(..., strict=True)`.
    """
    for field, value in ast.iter_fields(tree):
        if field in ("decorator_list", "annotation", "returns"):
            continue
        for node in value if isinstance(value, list) else [value]:
            if not isinstance(node, ast.AST) or _is_guard(node):
                continue
            inner = node.name if isinstance(node, ast.FunctionDef | ast.ClassDef) else function
            yield inner, node
            yield from _places(node, inner)


def _is_guard(node: ast.AST) -> bool:
    return isinstance(node, ast.Assert) or (isinstance(node, ast.keyword) and node.arg == "strict")


def modules_that_test(module: str) -> tuple[list[str], list[str]]:
    """The test modules that import a module, and the rest of those of its room."""
    dotted = f"perflour.{module.replace('/', '.')}"
    every = sorted((ROOT / "tests").rglob("test_*.py"))
    near = [t for t in every if f"{dotted} import" in t.read_text(encoding="utf-8")]
    room = module.partition("/")[0]
    rest = [t for t in every if t not in near and (t.parent.name == room or _imports(t, room))]
    return [str(t.relative_to(ROOT)) for t in near], [str(t.relative_to(ROOT)) for t in rest]


def _imports(test: Path, room: str) -> bool:
    return f"from perflour.{room}." in test.read_text(encoding="utf-8")


def is_noticed(mutant: Mutant) -> bool:
    """Whether a test fails with the mutant in place of its module."""
    with tempfile.TemporaryDirectory(prefix="mutant-") as name:
        copied = Path(name) / "tools"
        shutil.copytree(ROOT / "tools", copied, ignore=shutil.ignore_patterns("__pycache__"))
        (Path(name) / "schema").symlink_to(ROOT / "schema")
        (Path(name) / "docs").symlink_to(ROOT / "docs")
        (copied / "perflour" / f"{mutant.module}.py").write_text(mutant.text, encoding="utf-8")
        return any(_fails(copied, tests) for tests in modules_that_test(mutant.module) if tests)


def _fails(tools: Path, tests: list[str]) -> bool:
    words = [
        sys.executable,
        "-m",
        "pytest",
        "-x",
        "-q",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:randomly",
        *tests,
    ]
    environment = {**os.environ, "PYTHONPATH": str(tools), "HYPOTHESIS_PROFILE": "ci"}
    try:
        done = subprocess.run(
            words, cwd=ROOT, env=environment, capture_output=True, timeout=SECONDS, check=False
        )
    except subprocess.TimeoutExpired:
        return True
    return done.returncode not in (0, 5)


def equivalent() -> frozenset[str]:
    """The mutants that are said to mean the same."""
    rows = EQUIVALENT.read_text(encoding="utf-8").splitlines() if EQUIVALENT.exists() else []
    return frozenset(row.partition(" ## ")[0] for row in rows if row and row[0] != "#")


def modules_since(revision: str) -> list[str]:
    """The core modules that a range of commits touches."""
    done = subprocess.run(
        ["git", "diff", "--name-only", revision],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    touched = {
        path.removeprefix("tools/perflour/").removesuffix(".py")
        for path in done.stdout.splitlines()
    }
    return [module for module in CORE if module in touched]


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("modules", nargs="*", help="like balance/ratios (default: the core)")
    parser.add_argument("--since", metavar="REVISION", help="the core modules changed since")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--least", type=float, default=90, help="percent that must be noticed")
    asked = parser.parse_args()
    modules = modules_since(asked.since) if asked.since else asked.modules or list(CORE)
    same = equivalent()
    every = [m for module in modules for m in mutants_of(module) if m.name not in same]
    chosen = random.Random(asked.seed).sample(every, min(asked.count, len(every)))
    survivors = []
    with ThreadPoolExecutor(asked.jobs) as pool:
        for mutant, noticed in zip(chosen, pool.map(is_noticed, chosen), strict=True):
            if not noticed:
                survivors.append(mutant)
                print(f"survives: {mutant.name}", flush=True)
    share = 100 * (len(chosen) - len(survivors)) / len(chosen) if chosen else 100.0
    print(f"{len(chosen)} of {len(every)} mutants, seed {asked.seed}: {share:.0f} % noticed")
    return 0 if share >= asked.least else 1


if __name__ == "__main__":
    raise SystemExit(main())
