"""The words that may be typed, from a parser with every command in it: for completion and for the man page."""

from __future__ import annotations

import argparse
from collections.abc import Iterator


def typed(
    parser: argparse.ArgumentParser, words: str = ""
) -> Iterator[tuple[str, argparse.ArgumentParser]]:
    """Each parser by the words that lead to it, itself first; without what no help tells."""
    yield words, parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for told in action._choices_actions:
                yield from typed(action.choices[told.dest], f"{words} {told.dest}".strip())
