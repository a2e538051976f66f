"""The shape of the code: imports point one way, heavy libraries stay off the hook's path."""

from __future__ import annotations

import argparse
import ast
import re
import subprocess
import sys
from collections import Counter
from importlib.util import find_spec
from pathlib import Path
from statistics import median

import pytest

from tests.conftest import ROOT, formula_text

PACKAGE = ROOT / "tools" / "perflour"
sys.path.insert(0, str(ROOT / "tools" / "maintain"))
MOST_MODULES = 28  # a folder that one takes in at a glance, with some to spare


def modules() -> dict[str, Path]:
    return {
        ".".join(path.relative_to(PACKAGE).with_suffix("").parts): path
        for path in sorted(PACKAGE.rglob("*.py"))
        if path.name != "__init__.py" and "validators" not in path.parts
    }


def test_imports_point_one_way() -> None:
    """import-linter reads every import, those inside functions too, and the rooms of .importlinter."""
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout


def test_the_rooms_are_told_as_they_tell_themselves() -> None:
    from write_rooms import PAGE, page

    assert page() == PAGE.read_text(encoding="utf-8"), "run: python tools/maintain/write_rooms.py"


def test_no_folder_must_be_searched() -> None:
    counts = Counter(path.parent for path in modules().values())
    counts.pop(PACKAGE / "commands")  # found by the name of the command
    assert max(counts.values()) <= MOST_MODULES
    assert median(counts.values()) <= 8


#: Commands to be typed, which a message may name whole.
A_COMMAND = re.compile(r"\b(?:perflour|git) [a-z-]+(?: [a-z-]+)? --[a-z-]+")
AN_OPTION = re.compile(r"(?<![\w-])--(?:[a-z]|$)")  # an f-string may break off behind the dashes
#: These speak to git, whose options are another thing.
SPEAKS_TO_GIT = ("system.git", "system.blobs", "system.branches", "setup.git")
#: Reports of one command each, which say what to type next.
READ_ON_A_TERMINAL = (
    "report.lint",
    "report.cookbook.output",
    "report.started",
    "report.designs.plan",
)


def test_the_core_knows_no_command_line() -> None:
    """No options in what it says, nothing of argparse in what it takes: see CannotRun and its fields."""
    wrong = []
    for module, path in modules().items():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if module.split(".")[0] in ("cli", "__main__", "commands"):
            continue
        docs = {id(n.body[0].value) for n in ast.walk(tree) if isinstance(n, ast.Module | ast.ClassDef | ast.FunctionDef) and n.body and isinstance(n.body[0], ast.Expr)}  # fmt: skip
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and id(node) not in docs
            ):
                said = AN_OPTION.search(A_COMMAND.sub("", node.value))
                if said and module not in SPEAKS_TO_GIT + READ_ON_A_TERMINAL:
                    wrong.append(f"{module}:{node.lineno} names an option")
            if isinstance(node, ast.Import | ast.ImportFrom) and "argparse" in ast.unparse(node):
                wrong.append(f"{module}:{node.lineno} imports argparse")
            is_request = isinstance(node, ast.arg) and node.arg in ("asked", "options")
            if is_request and "Any" in ast.unparse(node.annotation or node):
                wrong.append(f"{module}:{node.lineno} takes anything as a request")
    assert wrong == []


def test_a_request_that_cannot_be_met_names_fields_and_a_command_its_options() -> None:
    from perflour.commands.parts import option_name
    from perflour.result import CannotRun, request_field

    problem = CannotRun(f"{request_field('from_pans')} goes with {request_field('pans')}")
    assert str(problem) == "from pans goes with pans"
    assert problem.told(option_name) == "--from-pans goes with --pans"
    quoted = "odd \0pieces\0 root"  # what a file may hold, as YAML's "\0"
    problem = CannotRun(f"{quoted}: see {request_field('each')}")
    assert problem.told(option_name) == f"{quoted}: see --each"
    assert str(problem) == f"{quoted}: see each"


def test_three_modules_run_programs() -> None:
    users = [m for m, path in modules().items() if "subprocess" in path.read_text(encoding="utf-8")]
    assert users == [
        "system.pager",
        "system.parallel",  # Pythons of its own
        "system.run_git",
    ]


def loaded_by(*words: str) -> set[str]:
    """The modules that one command loads."""
    code = f"import sys; from perflour.cli import main; main({list(words)!r}); print(','.join(sys.modules))"
    # -S: site-packages' own .pth files may import anything; add the paths by hand instead
    paths = ":".join(p for p in sys.path if p)
    done = subprocess.run(
        [sys.executable, "-S", "-c", code],
        capture_output=True,
        env={"PYTHONPATH": f"{ROOT / 'tools'}:{paths}"},
        check=True,
    )
    return set(done.stdout.decode().splitlines()[-1].split(","))


def test_spreads_load_no_library() -> None:
    """They are reckoned wherever a cup is measured, in commands that a hook waits for."""
    loaded = loaded_by("show", str(ROOT / "tests/published/measure/usda-1988-banana-bread"))
    assert "perflour.balance.linear" in loaded
    assert loaded & {"uncertainties", "numpy"} == set()
    assert find_spec("uncertainties") and find_spec("numpy")  # or this would show nothing


PUBLISHED = str(ROOT / "tests/published/weight")


@pytest.mark.parametrize(
    "words",
    [
        ("lint", PUBLISHED),
        ("compare", PUBLISHED),
        ("compare", PUBLISHED, "--output", "json"),
        ("changelog", str(ROOT / "formulas/rye-poolish-loaf")),
        ("why", str(ROOT / "formulas/rye-ginger-cookie")),
    ],
    ids=lambda words: " ".join(words[::2]),
)
def test_only_what_draws_loads_charts(words: tuple[str, ...]) -> None:
    assert not [module for module in loaded_by(*words) if "report.form.chart" in module]


def test_a_drawing_loads_no_typesetter() -> None:
    loaded = loaded_by("compare", PUBLISHED, "--output", "svg")
    assert "perflour.report.form.charts" in loaded and "typst" not in loaded


def test_a_small_diff_loads_no_scipy() -> None:
    """scipy and numpy take longer to load than all the rest: only where many could go with many."""
    pair = [str(ROOT / f"tests/published/{way}/usda-1988-banana-bread/formula.yaml") for way in ("weight", "measure")]  # fmt: skip
    loaded = loaded_by("diff", *pair)
    assert "perflour.balance.linear" in loaded
    assert (
        loaded & {"scipy", "numpy", "deepdiff", "subprocess", "uncertainties", "inspect"} == set()
    )
    assert find_spec("scipy")


def test_lint_imports_nothing_heavy() -> None:
    """What performance asks of a command that runs in a hook."""
    heavy = {
        "pint",
        "deepdiff",
        "jsonschema",
        "jsonschema_rs",
        "tabulate",
        "rapidfuzz",
        "scipy",
        "rich",
        "tqdm",
        "ortools",
        "pandas",
        "typst",
        "pathlib",
        "dataclasses",
        "subprocess",
        "argparse",
        "gettext",
        "locale",
        "hashlib",
    }
    path = ROOT / "tests/published/weight/usda-1988-banana-bread/formula.yaml"
    approved = ROOT / "formulas/rye-ginger-cookie/formula.yaml"
    assert "status: approved" in approved.read_text(encoding="utf-8")
    for one in (path, approved):
        assert loaded_by("lint", "--fail-at", "error", str(one)) & heavy == set()


def test_an_editor_s_server_starts_light_and_nothing_else_loads_it() -> None:
    """Only the protocol's libraries are its own; what else is heavy comes with the first text that needs it."""
    code = "import sys; from perflour.editor.server import make_server; make_server(); print(','.join(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, env={"PYTHONPATH": str(ROOT / "tools")}, check=True)  # fmt: skip
    loaded = {module.split(".")[0] for module in done.stdout.decode().strip().split(",")}
    assert {"pygls", "lsprotocol"} <= loaded
    heavy = {"pint", "deepdiff", "jsonschema", "scipy", "numpy", "ortools", "typst", "lark", "lxml", "openpyxl", "jinja2", "PIL"}  # fmt: skip
    assert loaded & heavy == set()
    for words in (("lint", PUBLISHED), ("show", PUBLISHED), ("editor", "--settings", "helix")):
        assert loaded_by(*words) & {"pygls", "lsprotocol", "perflour.editor.server"} == set()


def test_diff_of_weighed_formulas_starts_without_dataclasses(tmp_path: Path) -> None:
    files = [tmp_path / "one.yaml", tmp_path / "other.yaml"]
    for file, salt in zip(files, (3, 4), strict=True):
        lines = "{item: bread flour, amount: 300 g}", f"{{item: table salt, amount: {salt} g}}"
        file.write_text(formula_text(*lines), encoding="utf-8")
    loaded = loaded_by("diff", *map(str, files))
    assert {"perflour.diff.difference", "perflour.report.diff.words"} <= loaded
    assert loaded & {"dataclasses", "inspect", "scipy"} == set()


def test_lint_starts_without_typing() -> None:
    """To load it, and to make its named tuples, takes longer than to weigh a formula: docs/performance.md."""
    path = ROOT / "tests/published/weight/usda-1988-banana-bread/formula.yaml"
    loaded = loaded_by("lint", str(path))
    assert "perflour.typed" in loaded and "typing" not in loaded


def test_figures_of_speed_stand_on_one_page() -> None:
    """A figure beside the code is out of date unseen; the page says how to measure it again."""
    page = ROOT / "docs" / "performance.md"
    text = page.read_text(encoding="utf-8")
    for module, path in modules().items():
        source = path.read_text(encoding="utf-8")
        assert not re.search(r"#.*\b[0-9.]+ ?(ms|us|µs)\b", source), module
        assert "performance.md" not in source or "docs/performance.md" in source, module
    for script in re.findall(r"\b[a-z_]+\.py\b", text):
        found = [ROOT / "benchmarks" / script, ROOT / "tests" / "whole" / script]
        assert any(path.exists() for path in found), script
    for name in re.findall(r"`((?:cli|commands|documents|kitchen|result|system)(?:\.\w+)*)`", text):
        assert any((PACKAGE / Path(*name.split(".")[:at])).with_suffix(".py").exists() for at in (1, 2)), name  # fmt: skip


def test_modules_and_functions_stay_readable() -> None:
    for module, path in modules().items():
        source = path.read_text(encoding="utf-8")
        assert source.count("\n") <= 420, module
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.FunctionDef):
                assert node.end_lineno and node.end_lineno - node.lineno <= 60, (
                    f"{module}.{node.name}"
                )


def test_every_field_that_a_text_names_is_an_option_of_a_command() -> None:
    from perflour.cli import _parser
    from perflour.commands.parts import option_name

    named = set()
    for path in modules().values():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            is_field = isinstance(node, ast.Call) and ast.unparse(node.func) == "request_field"
            if is_field and isinstance(node.args[0], ast.Constant):
                named.add(option_name(node.args[0].value))
    assert len(named) > 20
    assert named <= options_of(_parser(whole=True))


def options_of(parser: argparse.ArgumentParser) -> set[str]:
    """The options of a parser and of those below it."""
    found = {option for action in parser._actions for option in action.option_strings}
    below = (a.choices.values() for a in parser._actions if isinstance(a.choices, dict))
    return found.union(*(options_of(inner) for parsers in below for inner in parsers))
