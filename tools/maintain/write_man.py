"""The manual page docs/perflour.1, from the parsers of all commands and data/perflour.1 for what holds for all.

python tools/maintain/write_man.py
"""

from __future__ import annotations

import argparse
from pathlib import Path

import jinja2

from perflour import __version__
from perflour.cli import _COMMANDS, _TASKS, _parser
from perflour.commands.parser import Help
from perflour.commands.words import typed

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "perflour.1"
TEMPLATE = Path(__file__).with_name("perflour.1.jinja")


def page() -> str:
    """The manual page, in the macros of man(7)."""
    commands = dict(typed(_parser(whole=True)))
    everywhere = [
        told
        for told in _told(commands["lint"])
        if all(told in _told(parser) for words, parser in commands.items() if words)
    ]
    by_task = {
        task: [
            (
                words,
                _usage(words, parser),
                parser,
                [t for t in _told(parser) if t not in everywhere],
            )
            for words, parser in commands.items()
            if words.split()[:1] in [[name] for name in names]
        ]
        for task, names in _TASKS.items()
    }
    environment = jinja2.Environment(
        trim_blocks=True, lstrip_blocks=True, undefined=jinja2.StrictUndefined
    )
    environment.filters["roff"] = roff
    template = environment.from_string(TEMPLATE.read_text(encoding="utf-8"))
    return template.render(
        version=__version__,
        tasks=_TASKS,
        commands=_COMMANDS,
        everywhere=everywhere,
        by_task=by_task,
    )


def _usage(words: str, parser: argparse.ArgumentParser) -> str:
    """What is typed, options in one: argparse words them differently from version to version."""
    shapes = {"*": "[{0} ...]", "?": "[{0}]", "+": "{0} [{0} ...]"}
    named = [a for a in parser._actions if not a.option_strings]
    behind = [shapes.get(str(a.nargs), "{0}").format(a.metavar or a.dest) for a in named]
    return " ".join(("perflour", words, "[OPTION ...]", *behind))


def _told(parser: argparse.ArgumentParser) -> list[tuple[str, str]]:
    """Each argument as it is typed, and what it is for."""
    help_of = Help(parser.prog)
    found = []
    for action in parser._actions:
        if action.dest == "help" or isinstance(action, argparse._SubParsersAction):
            continue
        name = action.metavar or action.dest
        if action.option_strings:
            value = _value(action)
            name = f"{', '.join(action.option_strings)} {value}".strip()
        said = help_of._get_help_string(action) % {**vars(action), "prog": parser.prog}
        found.append((str(name), said))
    return found


def _value(action: argparse.Action) -> str:
    if action.nargs == 0:
        return ""
    return str(action.metavar or "|".join(map(str, action.choices or (action.dest.upper(),))))


def roff(text: str) -> str:
    """Text safe for roff: no sign of it acts, hyphens are those that are typed."""
    safe = text.replace("\\", "\\e").replace("-", "\\-").replace("'", "\\(aq").replace("`", "\\(ga")
    return f"\\&{safe}" if safe.startswith((".", "\\(aq")) else safe


def main() -> None:
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
