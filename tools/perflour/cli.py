"""The command line: finds the command, runs it, returns the exit code."""

from __future__ import annotations

import gc
import os
import sys
from time import perf_counter

from perflour import __version__
from perflour.commands.parts import (
    CODES,
    COULD_NOT_RUN,
    EVERYWHERE,
    NOTHING,
    ending,
    option_name,
    say,
    sentence,
    wishes_of,
)
from perflour.commands.plain_words import read_plainly
from perflour.plain import visible
from perflour.result import CannotRun
from perflour.system.terminal import settle, tell
from perflour.typed import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    import argparse

# The module of each command below perflour.commands, and what it is for.
_COMMANDS = {
    "lint": ("lint", "check formulas, test bakes and house files"),
    "show": ("show", "print the baker's table of formulas"),
    "watch": ("watch", "what each save of a formula did, told beside the editor"),
    "contents": ("contents", "water, fat, sugar, salt, energy, leavening balance, allergens"),
    "scale": ("scale", "new amounts for another batch, pieces, flour, pans or stock"),
    "plan": ("plan", "a bake day: shopping list, sheets, timetable for the ovens"),
    "cost": ("cost", "what a batch and a piece cost, by the house's price list"),
    "diff": (
        "diff",
        "what changed in ratios: between two files or revisions, or since the last commit",
    ),
    "compare": (
        "compare",
        "many formulas of one product side by side, in percent of the flour of their doughs or batters",
    ),
    "find": ("find", "formulas by ratio, food, class, status and words"),
    "evidence": (
        "evidence",
        "all that was baked and judged, with what it was made of, in one table",
    ),
    "why": ("why", "why formulas differ, as far as what was baked and judged can tell"),
    "middle": (
        "middle",
        "the middle of several formulas by median or scores, and where ours stands in them",
    ),
    "draft": ("draft", "a cookbook of the approved formulas: PDF, HTML, EPUB"),
    "changelog": ("changelog", "iterations from git history with their test bakes"),
    "history": ("history", "how an ingredient, ratio or setting moved through iterations"),
    "release": (
        "release",
        "what is new, changed or taken out between two tags, and on what evidence",
    ),
    "review": (
        "review",
        "one report on a branch for those who decide on it",
    ),
    "site": ("site", "the whole kitchen as a folder of pages that opens without a server"),
    "bake": ("bake", "record, check and judge test bakes and blind tastings"),
    "trial": ("trial", "plan several bakes together: variants of a formula to bake and taste"),
    "new": ("new", "start a repository for a kitchen, or a formula of a product class"),
    "import": ("import_recipe", "formulas from recipes in text, web page, PDF, CSV, XLSX"),
    "format": ("format", "write files in the house format"),
    "editor": (
        "editor",
        "results, grams and percentages in an editor while you type, which starts this itself",
    ),
    "git-setup": ("git_setup", "have git show formulas in ratios and merge them by line and step"),
    "check-setup": ("check_setup", "what this clone still lacks, and what to do about it"),
    "git-sheet": ("git_sheet", "the ratio sheet that git shows (git calls it)"),
    "git-merge": ("git_merge", "merge three formula files (git calls it)"),
    "explain": ("explain", "what a rule checks, and why"),
    "completion": ("completion", "a script that has your shell complete commands and options"),
}
# By what one wants to do, its commands: as `perflour --help` tells them.
_TASKS = {
    "start and collect": ("new", "import"),
    "weigh and check": ("lint", "show", "watch", "contents", "scale", "cost", "explain", "editor"),
    "ask and compare": ("find", "history", "diff", "compare", "middle", "evidence", "why"),
    "bake and taste": ("plan", "bake", "trial"),
    "review and publish": ("changelog", "review", "release", "draft", "site"),
    "keep in order": ("format", "git-setup", "check-setup", "completion"),
}
# What git calls, and nobody types: told in no list.
_OF_GIT = ("git-sheet", "git-merge")


def main(arguments: list[str] | None = None) -> int:
    """Run one command. Returns 0 (nothing found), 1 (findings, differences) or 2 (could not run)."""
    words = sys.argv[1:] if arguments is None else arguments
    words, after = _split_at_dashes(words)
    words = _command_first(words)
    if wrong := _wrong(words):
        say(f"perflour: {wrong}\n")
        return COULD_NOT_RUN
    options = _options(words)
    if after and not (hasattr(options, "paths") or hasattr(options, "words")):
        say("perflour: nothing is taken behind -- here; leave -- out\n")
        return COULD_NOT_RUN
    options.after_dashes = after
    settle(wishes_of(options))
    options.whole_parser = lambda: _parser(whole=True)
    started = perf_counter()
    try:
        code = int(options.run(options))
        tell(f"took {perf_counter() - started:.2f} s")
        return code
    except CannotRun as problem:
        say(f"perflour: {visible(problem.told(option_name))}\n")
        return COULD_NOT_RUN
    except BrokenPipeError:  # `perflour show ... | head`
        return NOTHING
    except KeyboardInterrupt:
        say("perflour: stopped\n")
        return COULD_NOT_RUN


def _wrong(words: list[str]) -> str:
    """What is wrong with words before they are read as options; empty where nothing is."""
    try:
        os.getcwd()
    except OSError:
        return "the folder this runs in is gone; change to another"
    if not words:
        return "say what to do, like `perflour lint`; see perflour --help"
    for word in words:
        if _is_file_like_option(word):
            return f"'{visible(word)}' is a file here, and looks like an option; write -- before the files, or rename it"
        if word.startswith("--") and word.endswith("=--"):  # argparse would pass on no value at all
            return f"{visible(word)}: no value behind =; write one"
    return ""


def _is_file_like_option(word: str) -> bool:
    """Whether a file is called like an option: a hook that passes its name would have it obeyed."""
    return len(word) > 1 and word[0] == "-" and "\0" not in word and os.path.lexists(word)


def _split_at_dashes(words: list[str]) -> tuple[list[str], list[str] | None]:
    """The words before a lone ``--`` and those after it, None without one."""
    if "--" not in words:
        return words, None
    at = words.index("--")
    return words[:at], words[at + 1 :]


def _command_first(words: list[str]) -> list[str]:
    """The words with what every command takes behind the command's name, where its parser reads it."""
    flags = {flag: "choices" in told for names, told in EVERYWHERE for flag in names}
    at = 0
    while at < len(words) and words[at].partition("=")[0] in flags:
        at += 1 + (flags[words[at].partition("=")[0]] and "=" not in words[at])
    return [words[at], *words[:at], *words[at + 1 :]] if words[at : at + 1] else words


def _options(words: list[str]) -> Any:
    """What the words say: read plainly, or by the parser of their command alone: docs/performance.md."""
    if not words or words[0] not in _COMMANDS:
        return _parser().parse_args(words)
    loaded = _module(words[0])
    if plain := read_plainly(loaded.describe, words[1:]):
        plain.run = loaded.run
        return plain
    from perflour.commands.parser import Parser

    parser = Parser(prog=f"perflour {words[0]}", description=sentence(_COMMANDS[words[0]][1]))
    _describe(parser, words[0])
    return parser.parse_args(words[1:])


def _parser(whole: bool = False) -> argparse.ArgumentParser:
    """The parser with the names of all commands; ``whole``, with what each of them takes."""
    from perflour.commands.parser import Overview, Parser

    parser = Overview(
        prog="perflour",
        description="Baking formulas as files in git: weigh, lint, compare in ratios, log.",
        epilog="`perflour COMMAND --help` says what a command takes, with an example. Exit codes: 0 nothing "
        "found, 1 findings or differences, 2 could not run.",
    )
    parser.add_argument("--version", action="version", version=f"perflour {__version__}")
    parser.tasks = {task: [(n, _COMMANDS[n][1]) for n in names] for task, names in _TASKS.items()}
    commands = parser.add_subparsers(
        prog="perflour", metavar="COMMAND", required=True, parser_class=Parser
    )
    for name, (_, help_text) in _COMMANDS.items():
        listed: dict[str, Any] = {} if name in _OF_GIT else {"help": help_text}
        command = commands.add_parser(name, description=sentence(help_text), **listed)
        if whole:
            _describe(command, name)
    return parser


def _describe(parser: argparse.ArgumentParser, name: str) -> None:
    """Have a parser take what a command takes, whose module alone is loaded."""
    loaded = _module(name)
    loaded.describe(parser)
    parser.epilog = ending(loaded.EXAMPLE, getattr(loaded, "CODES", CODES))
    parser.set_defaults(run=loaded.run)


def _module(name: str) -> Any:
    """The module of a command, loaded now."""
    return __import__(f"perflour.commands.{_COMMANDS[name][0]}", fromlist=["describe"])


def console() -> NoReturn:
    """The console script: main, then out at once, without taking the interpreter apart: docs/performance.md."""
    gc.disable()  # runs are short, what is alive stays alive: docs/performance.md
    try:
        code = main()
        sys.stdout.flush()
        sys.stderr.flush()
    except BrokenPipeError:
        code = NOTHING
    except Exception as fault:
        if os.environ.get("PERFLOUR_TRACEBACK"):
            raise
        what = visible(f"{type(fault).__name__}: {fault}")
        say(
            f"perflour: a fault of our own ({what}); run again with PERFLOUR_TRACEBACK=1 and report what it prints\n"
        )
        code = COULD_NOT_RUN
    os._exit(code)
