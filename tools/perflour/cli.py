"""The command line: parses arguments, calls one function, prints, returns the exit code."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, NoReturn

from perflour import __version__
from perflour.options import (
    COULD_NOT_RUN,
    Parser,
    describe_changelog,
    describe_compare,
    describe_contents,
    describe_cost,
    describe_diff,
    describe_draft,
    describe_explain,
    describe_format,
    describe_git_merge,
    describe_git_setup,
    describe_git_sheet,
    describe_import,
    describe_lint,
    describe_release,
    describe_plan,
    describe_scale,
    describe_show,
)
from perflour.result import CannotRun, one_line

if TYPE_CHECKING:
    from perflour.balance import Balance
    from perflour.house import Kitchen
    from perflour.lint_run import Checked

NOTHING, FOUND = 0, 1


def main(arguments: list[str] | None = None) -> int:
    """Run one command. Returns 0 (nothing found), 1 (findings, differences) or 2 (could not run)."""
    words = sys.argv[1:] if arguments is None else arguments
    words, after = _split_at_dashes(words)
    only = words[0] if words and words[0] in _COMMANDS else ""
    options = _parser(only).parse_args(words)
    options.after_dashes = after
    run: Callable[[argparse.Namespace], int] = options.run
    try:
        return run(options)
    except CannotRun as problem:
        print(f"perflour: {one_line(str(problem))}", file=sys.stderr)
        return COULD_NOT_RUN
    except BrokenPipeError:  # `perflour show ... | head`
        return NOTHING
    except KeyboardInterrupt:
        print("perflour: stopped", file=sys.stderr)
        return COULD_NOT_RUN


def _split_at_dashes(words: list[str]) -> tuple[list[str], list[str] | None]:
    """The words before a lone ``--`` and those after it, None without one."""
    if "--" not in words:
        return words, None
    at = words.index("--")
    return words[:at], words[at + 1 :]


def _parser(only: str = "") -> argparse.ArgumentParser:
    """The parser; with the name of a command, without building the other commands' parsers."""
    parser = Parser(
        prog="perflour",
        description="Baking formulas as files in git: weigh, lint, compare in ratios, log.",
    )
    parser.add_argument("--version", action="version", version=f"perflour {__version__}")
    commands = parser.add_subparsers(
        prog="perflour", metavar="COMMAND", required=True, parser_class=Parser
    )
    for name, (describe, run, help_text) in _COMMANDS.items():
        if only in ("", name):
            command = commands.add_parser(name, help=help_text, description=help_text)
            describe(command)
            command.set_defaults(run=run)
    return parser


def _paths(options: argparse.Namespace) -> list[str]:
    from perflour.files import default_names

    return [*options.paths, *(options.after_dashes or ())] or default_names()


def _lint(options: argparse.Namespace) -> int:
    from perflour.lint_run import check_names
    from perflour.result import LEVELS

    if options.fix:
        _mend(options)
    checked = check_names(_paths(options), options.jobs, not options.forget)
    if options.write_baseline or options.baseline:
        from pathlib import Path

        from perflour.baseline import without_known, write_baseline
        from perflour.lint_run import Checked

        if options.write_baseline:
            write_baseline(Path(options.write_baseline), checked.results)
            return NOTHING
        new = without_known(Path(options.baseline), checked.results)
        checked = Checked(checked.files, new)
    _print(_lint_report(options, checked))
    failing = LEVELS[: LEVELS.index(options.fail_at) + 1]
    return FOUND if any(result.level in failing for result in checked.results) else NOTHING


def _mend(options: argparse.Namespace) -> None:
    """Mend the files and say what was mended: beside a report for machines on stderr."""
    from perflour.fixes import mend_files
    from perflour.report.results import mended_text

    mended, overtaken = mend_files(_paths(options), options.jobs)
    text = "".join(mended_text(one.file.shown, one.results) for one in mended)
    if options.output == "text":
        _print(text)
    else:
        print(text, end="", file=sys.stderr)
    _tell_overtaken(overtaken)


def _tell_overtaken(paths: list[str]) -> None:
    for path in paths:
        print(f"perflour: {path} was changed meanwhile and left alone; run again", file=sys.stderr)


def _lint_report(options: argparse.Namespace, checked: Checked) -> str:
    from perflour.report import results as report

    if options.output == "text":
        from perflour.files import STDIN
        from perflour.lint_run import excerpts
        from perflour.rules.mendable import MENDABLE

        mendable = () if options.fix or STDIN in _paths(options) else MENDABLE
        lines = excerpts(checked.results)
        return report.results_text(checked.results, checked.files, lines, mendable)
    if options.output == "sarif":
        from perflour.rules.described import described_rules

        return report.results_sarif(checked.results, described_rules())
    render = {
        "json": report.results_json,
        "lines": report.results_lines,
        "markdown": report.results_markdown,
    }
    return render[options.output](checked.results, checked.files)


def _show(options: argparse.Namespace) -> int:
    from perflour.report.recipe import recipe_of
    from perflour.report.sheets import View, sheet_json, sheet_text
    from perflour.sheet import sheet

    def render(balance: Balance, kitchen: Kitchen) -> str:
        if options.output == "json":
            return sheet_json(sheet(balance))
        if options.output == "recipe":
            return recipe_of(balance)
        view = View(options.per, options.wide, kitchen.house.scale_resolution_g)
        return sheet_text(sheet(balance), view)

    return _each_formula(options, render)


def _contents(options: argparse.Namespace) -> int:
    from perflour.contents import contents
    from perflour.report.contents import contents_json, contents_text

    report = contents_json if options.output == "json" else contents_text
    return _each_formula(options, lambda balance, _: report(contents(balance, with_spreads=True)))


def _each_formula(options: argparse.Namespace, render: Callable[[Balance, Kitchen], str]) -> int:
    """Print every formula that the paths name; what is wrong with files goes to stderr."""
    from perflour.balance import Balance
    from perflour.check import weigh_sources
    from perflour.files import sources
    from perflour.report.results import results_text
    from perflour.result import Result

    code, texts = NOTHING, []
    told: set[Result] = set()
    found = False
    for _, kitchen, outcome in weigh_sources(sources(_paths(options))):
        found = True
        news = [result for result in kitchen.results if result not in told]
        news += () if isinstance(outcome, Balance) else outcome
        if news:
            told.update(news)
            print(results_text(news, 1), end="", file=sys.stderr)
            code = FOUND
        if isinstance(outcome, Balance):
            texts.append(render(outcome, kitchen))
    if not found:
        raise CannotRun(
            f"no formula in {', '.join(_paths(options))}; name a formula file or its folder"
        )
    several = options.output == "json" and len(texts) != 1
    _print(f"[\n{','.join(texts)}]\n" if several else "\n".join(texts))
    return code


def _scale(options: argparse.Namespace) -> int:
    from perflour.balance import Balance
    from perflour.check import weigh_sources
    from perflour.files import sources
    from perflour.report.results import results_text
    from perflour.report.scaled import scaled_json, scaled_text
    from perflour.scale_request import scale_source

    for source, kitchen, outcome in weigh_sources(sources(options.paths)):
        if not isinstance(outcome, Balance):
            print(results_text(outcome, 1), end="", file=sys.stderr)
            return FOUND
        rescaled = scale_source(source.content, outcome, kitchen, vars(options))
        if options.output == "formula":
            _print(rescaled.content.decode())
        else:
            _print((scaled_json if options.output == "json" else scaled_text)(rescaled))
        return NOTHING
    raise CannotRun(f"no formula in {options.paths[0]}; name a formula file or its folder")


def _plan(options: argparse.Namespace) -> int:
    from perflour.day_commands import run_plan

    return run_plan(_paths(options), vars(options), _print)


def _cost(options: argparse.Namespace) -> int:
    from perflour.day_commands import run_cost

    return run_cost(_paths(options), vars(options), _print)


def _diff(options: argparse.Namespace) -> int:
    from perflour.compare import differences
    from perflour.report.changes import differences_json, differences_markdown, differences_text
    from perflour.report.summary import subjects_text

    found = differences(options.words, options.after_dashes)
    report = {
        "text": differences_text,
        "json": differences_json,
        "markdown": differences_markdown,
        "subject": subjects_text,
    }
    _print(report[options.output](found))
    return FOUND if found else NOTHING


def _compare(options: argparse.Namespace) -> int:
    from perflour.collect import collect
    from perflour.report.results import results_text
    from perflour.report.side_by_side_output import rendered
    from perflour.report_file import refuse_in_terminal, write_report
    from perflour.side_by_side import side_by_side

    refuse_in_terminal(options.output, "png", options.write)
    collected = collect(_paths(options), options.to)
    if collected.results:
        print(results_text(collected.results, len(collected.paths)), end="", file=sys.stderr)
    content = rendered(side_by_side(collected), options.output, options.by, options.wide)
    write_report(options.write, content, collected.paths)
    return FOUND if collected.results else NOTHING


def _draft(options: argparse.Namespace) -> int:
    from perflour.cookbook import Selection, draft
    from perflour.report.cookbook_output import rendered, unprintable
    from perflour.report.results import results_text
    from perflour.report_file import by_ending, refuse_in_terminal, write_report

    output = options.output or by_ending(options.write, ("html", "json"), "pdf")
    refuse_in_terminal(output, "pdf", options.write)
    statuses = None if options.all else frozenset(options.status or ("approved",))
    selection = Selection(statuses, frozenset(options.classes or ()))
    drafted = draft(_paths(options), selection, options.title)
    if drafted.results:
        print(results_text(drafted.results, len(drafted.paths)), end="", file=sys.stderr)
    remarks = [*drafted.remarks, *unprintable(drafted.book, output)]
    print("".join(f"{remark}\n" for remark in remarks), end="", file=sys.stderr)
    write_report(options.write, rendered(drafted.book, output, options.paper), drafted.paths)
    return FOUND if drafted.results or remarks else NOTHING


def _changelog(options: argparse.Namespace) -> int:
    from perflour.history_commands import changelog_command

    text, found = changelog_command(options, _paths(options))
    _print(text)
    return FOUND if found else NOTHING


def _release(options: argparse.Namespace) -> int:
    from perflour.history_commands import release_command

    text, blocked = release_command(options, _paths(options))
    _print(text)
    return FOUND if blocked else NOTHING


def _describe_bake(command: argparse.ArgumentParser) -> None:
    from perflour.bake_options import describe_bake  # only where it is asked for

    describe_bake(command)


def _bake(options: argparse.Namespace) -> int:
    from perflour.bake_commands import run_bake

    printed = run_bake(options, lambda: _paths(options))
    _print(printed.text)
    return printed.code


def _format(options: argparse.Namespace) -> int:
    from perflour.house_format import format_files, write_formatted
    from perflour.report.results import results_text

    changed, problems = format_files(_paths(options))
    overtaken = [] if options.check or options.diff else write_formatted(changed)
    done = [file for file in changed if file.shown not in overtaken]
    _print("".join(file.diff() if options.diff else f"{file.shown}\n" for file in done))
    _tell_overtaken(overtaken)
    if problems:
        print(results_text(problems, len(problems)), end="", file=sys.stderr)
    return FOUND if changed or problems else NOTHING


def _git_setup(options: argparse.Namespace) -> int:
    from pathlib import Path

    from perflour.git_setup import missing, set_up, setup_for, shown, undo

    setup = setup_for(Path(), options.house)
    if options.check:
        lacking = missing(setup)
        _print(shown(lacking or ["set up"]))
        return FOUND if lacking else NOTHING
    _print(shown(undo(setup) if options.undo else set_up(setup)))
    return NOTHING


def _git_sheet(options: argparse.Namespace) -> int:
    from perflour.git_sheet import sheet_of_file

    for path in (*options.paths, *(options.after_dashes or ())):
        _print_bytes(sheet_of_file(path, options.house))
    return NOTHING


def _git_merge(options: argparse.Namespace) -> int:
    from perflour.git_merge import merge_files

    *files, path = (*options.paths, *(options.after_dashes or ())) or ("",)
    if len(files) != 3:
        raise CannotRun("git-merge takes BASE OURS THEIRS and a path; git calls it")
    outcome = merge_files(files, path, options.marker_size)
    for line in outcome.told:
        print(f"perflour: {line}", file=sys.stderr)
    return FOUND if outcome.has_conflicts else NOTHING


def _import(options: argparse.Namespace) -> int:
    from perflour.import_request import import_recipe, write_import
    from perflour.report.imported import imported_text

    made = import_recipe(options.file, options.kind or "", vars(options))
    written = write_import(made, options.into, options.overwrite) if options.into else ""
    _print_bytes(f"{written}\n".encode() if written else made.content)
    print(imported_text(made.unclear, made.allergens), end="", file=sys.stderr)
    return FOUND if made.unclear else NOTHING


def _explain(options: argparse.Namespace) -> int:
    from perflour.report.rules import rule_text, rules_text
    from perflour.rules.described import described_rule, described_rules

    _print(
        rule_text(described_rule(options.rule)) if options.rule else rules_text(described_rules())
    )
    return NOTHING


def _print(text: str) -> None:
    """Write text as UTF-8 whatever the terminal's locale."""
    _print_bytes(text.encode("utf-8", "replace"))


def _print_bytes(content: bytes) -> None:
    sys.stdout.flush()
    sys.stdout.buffer.write(content)
    sys.stdout.buffer.flush()


_Describe = Callable[[argparse.ArgumentParser], None]
_Run = Callable[[argparse.Namespace], int]
_COMMANDS: dict[str, tuple[_Describe, _Run, str]] = {
    "lint": (describe_lint, _lint, "check formulas, test bakes and house files"),
    "show": (describe_show, _show, "print the baker's table of formulas"),
    "contents": (
        describe_contents,
        _contents,
        "water, fat, sugar, salt, energy, leavening balance, allergens",
    ),
    "scale": (
        describe_scale,
        _scale,
        "new amounts for another batch, pieces, flour, pans or stock",
    ),
    "plan": (describe_plan, _plan, "a bake day: shopping list, sheets, timetable for the ovens"),
    "cost": (describe_cost, _cost, "what a batch and a piece cost, by the house's price list"),
    "diff": (describe_diff, _diff, "compare in ratios: A B | [REV [REV]] [-- PATH...]"),
    "compare": (
        describe_compare,
        _compare,
        "many formulas of one product side by side, in percent of flour",
    ),
    "draft": (describe_draft, _draft, "a cookbook of the approved formulas: PDF, HTML"),
    "changelog": (
        describe_changelog,
        _changelog,
        "iterations from git history with their test bakes",
    ),
    "release": (
        describe_release,
        _release,
        "release log between two tags: FROM..TO | prepare VERSION",
    ),
    "bake": (_describe_bake, _bake, "record, check and judge test bakes and blind tastings"),
    "import": (describe_import, _import, "a formula from a recipe in text, web page, CSV, XLSX"),
    "format": (describe_format, _format, "write files in the house format"),
    "git-setup": (
        describe_git_setup,
        _git_setup,
        "have git show formulas in ratios and merge them by line and step",
    ),
    "git-sheet": (describe_git_sheet, _git_sheet, "the ratio sheet that git shows (git calls it)"),
    "git-merge": (describe_git_merge, _git_merge, "merge three formula files (git calls it)"),
    "explain": (describe_explain, _explain, "what a rule checks, and why"),
}


def console() -> NoReturn:
    """The console script: main, then out at once, without taking the interpreter apart (8 ms)."""
    gc.disable()  # short runs: collecting costs more than it frees
    try:
        code = main()
        sys.stdout.flush()
        sys.stderr.flush()
    except BrokenPipeError:
        code = NOTHING
    except Exception as fault:
        if os.environ.get("PERFLOUR_TRACEBACK"):
            raise
        what = one_line(f"{type(fault).__name__}: {fault}")
        print(
            f"perflour: a fault of our own ({what}); run again with PERFLOUR_TRACEBACK=1 and report what it prints",
            file=sys.stderr,
        )
        code = COULD_NOT_RUN
    os._exit(code)
