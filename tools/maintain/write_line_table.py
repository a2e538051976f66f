"""Write tools/perflour/data/ingredient_line.json: the table of the grammar in data/ingredient_line.lark, made by lark.

lark is the authority for what the grammar takes, but loading it and making its table costs more than reading a
recipe, so the table is written out once. tests/recipe/test_import_lines.py writes it again and compares, and reads
lines by lark beside it.

    python tools/maintain/write_line_table.py
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from lark import Lark
from lark.lexer import Lexer, Token

DATA = Path(__file__).parents[1] / "perflour" / "data"
GRAMMAR, TABLE = DATA / "ingredient_line.lark", DATA / "ingredient_line.json"


class Sorted(Lexer):
    """Hands on what was sorted before."""

    def __init__(self, lexer_conf: Any) -> None:
        pass

    def lex(self, data: Any) -> Iterator[Token]:  # type: ignore[override]
        for lexeme in data:
            yield Token(lexeme.kind, lexeme.text, start_pos=lexeme.start, end_pos=lexeme.end)


def by_lark() -> Lark:
    """The parser of the grammar as lark makes it."""
    grammar = GRAMMAR.read_text(encoding="utf-8")
    return Lark(grammar, start="line", parser="lalr", lexer=Sorted, maybe_placeholders=False)


def as_text() -> str:
    """The table: rules by name and length, and for each state what follows on a symbol.

    A number from 0 on is the next state, one below it a rule to be applied, -1 the first.
    """
    made = by_lark().parser.parser._parse_table  # nothing else of lark tells it
    start = made.start_states["line"]
    order = _in_order(made.states, start)
    rules = sorted({rule for state in order for rule in _rules(made.states[state])}, key=str)
    numbers = {state: at for at, state in enumerate(order)}
    states = [
        {
            symbol: numbers[to] if isinstance(to, int) else -1 - rules.index(to)
            for symbol, (_, to) in sorted(made.states[state].items())
        }
        for state in order
    ]
    named = [[rule.origin.name, len(rule.expansion)] for rule in rules]
    lines = ",\n".join(json.dumps(state) for state in states)
    end = numbers[made.end_states["line"]]
    return f'{{"end": {end},\n"rules": {json.dumps(named)},\n"states": [\n{lines}\n]}}\n'


def _in_order(states: dict[int, dict[str, Any]], start: int) -> list[int]:
    """The states as they are met from the first on, whatever numbers lark gave them."""
    order = [start]
    for state in order:
        for _, (_, to) in sorted(states[state].items()):
            if isinstance(to, int) and to not in order:
                order.append(to)
    return order


def _rules(state: dict[str, Any]) -> list[Any]:
    return [to for _, to in state.values() if not isinstance(to, int)]


if __name__ == "__main__":
    TABLE.write_text(as_text(), encoding="utf-8")
