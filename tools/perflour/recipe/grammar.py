"""The grammar of an ingredient line: amounts, names, and what is said around them.

LALR over tokens that `lexemes` has sorted: no ambiguity to search, so the work of a line grows with its
length, whatever stands in it. lark makes the table, ahead: docs/performance.md.
"""

import json
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from perflour.documents.shipped import shipped
from perflour.kitchen.numbers import settled_where_clear
from perflour.recipe.lexemes import Lexeme, lexemes
from perflour.tuples import of_fields

#: The table of the grammar in ingredient_line.lark, written by tools/maintain/write_line_table.py.
TABLE = "ingredient_line.json"
#: What lark calls the end of a line, and how it begins the names of rules that it made for what is repeated.
_END, _REPEATED = "$END", "__"
_LAST = Lexeme(_END, "", 0, 0)


class AmountSaid(NamedTuple):
    """One amount as it stands: ``number`` alone, ``terms`` of number and unit, or a ``container``.

    ``bracket`` is what stands in parentheses beside it, ``manner`` how the measure is filled.
    """

    number: str = ""
    terms: tuple[tuple[str, str], ...] = ()
    container: str = ""
    qualifier: str = ""
    bracket: str = ""
    manner: str = ""
    about: bool = False


class Clause(NamedTuple):
    """What stands behind the name: after a ``comma``, after `plus` or `or` (``also``), in a ``bracket``."""

    kind: str
    text: str


class TakenApart(NamedTuple):
    """A line taken apart, nothing interpreted; ``late`` amounts stand behind the name."""

    amounts: tuple[AmountSaid, ...] = ()
    name: str = ""
    late: tuple[AmountSaid, ...] = ()
    late_name: str = ""
    clauses: tuple[Clause, ...] = ()


class Tree(NamedTuple):
    """What a rule of the grammar took: lexemes, and trees of other rules."""

    rule: str
    children: list[Any]


class _Table(NamedTuple):
    """The rules, each with the number of its symbols, and for each state what follows on a symbol.

    From 0 on that is the next state; below it a rule to be applied, -1 the first. ``end`` is where a line is whole.
    """

    rules: list[tuple[str, int]]
    states: list[dict[str, int]]
    end: int


def _table(content: bytes) -> _Table:
    data = json.loads(content)
    return _Table(data["rules"], data["states"], data["end"])


# Owner: the process; lines and what was read in them. Bound: 256. Pays: what sorts a text asks for each line
# again and again, and so does what reads it.
@lru_cache(maxsize=256)
def take_apart(text: str) -> TakenApart | None:
    """The structure of a tidy line, None where the grammar has none."""
    tree = tree_of(lexemes(text))
    return _Reader(text).line(tree) if tree else None


def tree_of(found: Sequence[Lexeme]) -> Tree | None:
    """The tree of a line's lexemes, None where the grammar has none."""
    rules, states, end = shipped(TABLE, _table)
    passed, taken = [0], list[Any]()
    for lexeme in (*found, _LAST):
        kind = lexeme.kind
        while (to := states[passed[-1]].get(kind)) is not None and to < 0:
            name, length = rules[-1 - to]
            first = len(taken) - length
            row = _in_a_row(taken[first:])
            del taken[first:], passed[first + 1 :]
            taken.append(row if name.startswith(_REPEATED) else of_fields(Tree, (name, row)))
            passed.append(states[passed[-1]][name])
            if passed[-1] == end and lexeme is _LAST:
                return taken[-1]  # type: ignore[no-any-return]
        if to is None:
            return None
        passed.append(to)
        taken.append(lexeme)
    return None


def _in_a_row(children: list[Any]) -> list[Any]:
    """What a rule took, with what is repeated in it, a list, in one row; that of its first child goes on, so work is linear."""
    if list not in map(type, children):
        return children
    row: list[Any] = []
    for child in children:
        if type(child) is list:
            row = child if not row else [*row, *child]
        else:
            row.append(child)
    return row


class _Reader:
    """Trees to what they say; holds the text because clauses keep its spelling."""

    def __init__(self, text: str) -> None:
        self.text = text

    def line(self, tree: Tree) -> TakenApart:
        amounts: tuple[AmountSaid, ...] = ()
        name, late, late_name = "", amounts, ""
        clauses: list[Clause] = []
        for child in tree.children:
            if child.rule == "head":
                amounts = self._head(child)
            elif child.rule == "named":
                name, late, late_name = self._named(child)
            else:
                clauses.append(self._clause(child.children[0]))
        return TakenApart(amounts, name, late, late_name, tuple(clauses))

    def _named(self, tree: Tree) -> tuple[str, tuple[AmountSaid, ...], str]:
        name, *rest = tree.children
        late = self._head(rest[0]) if rest else ()
        late_name = self._spelled(rest[1]) if len(rest) > 1 else ""
        return self._spelled(name), late, late_name

    def _head(self, tree: Tree) -> tuple[AmountSaid, ...]:
        return tuple(self._amount(child) for child in tree.children if isinstance(child, Tree))

    def _amount(self, tree: Tree) -> AmountSaid:
        said = AmountSaid(about=len(tree.children) > 1)
        for child in tree.children[-1].children:
            if isinstance(child, Lexeme) and child.kind == "CONTAINER":
                said = said._replace(container=child.text)
            elif isinstance(child, Lexeme):
                said = said._replace(qualifier=child.text)
            elif child.rule == "number":
                said = said._replace(number=_number(child))
            elif child.rule == "sum":
                said = self._sum(child, said)
            else:
                said = said._replace(bracket=self._inside(child))
        return said

    def _sum(self, tree: Tree, said: AmountSaid) -> AmountSaid:
        terms = [child for child in tree.children if isinstance(child, Tree)]
        manners = [manner.text for term in terms for manner in term.children[1:-1]]
        return said._replace(
            terms=tuple((_number(term.children[0]), term.children[-1].text) for term in terms),
            manner=" ".join(manners),
        )

    def _clause(self, tree: Tree) -> Clause:
        if tree.rule == "bracket":
            return Clause("bracket", self._inside(tree))
        if tree.rule == "also":
            return Clause("also", self._spelled(tree))
        return Clause("comma", self._spelled(tree, first=1))

    def _inside(self, bracket: Tree) -> str:
        return self.text[bracket.children[0].end : bracket.children[-1].start].strip()

    def _spelled(self, tree: Tree, first: int = 0) -> str:
        """The words of a tree as the line spells them."""
        leaves = list(_leaves(tree))[first:]
        return self.text[leaves[0].start : leaves[-1].end] if leaves else ""


def _leaves(tree: Tree) -> Iterator[Lexeme]:
    for child in tree.children:
        if isinstance(child, Tree):
            yield from _leaves(child)
        else:
            yield child


def _number(tree: Tree) -> str:
    """A number or range in plain figures: ``1 1/2``, ``1/4-3/8``."""
    numbers = [_plain(lexeme.text) for lexeme in tree.children if lexeme.kind == "NUM"]
    return "-".join(numbers)


def _plain(number: str) -> str:
    for sign in ("-", "&", " and "):
        number = number.replace(sign, " ")
    return " ".join(settled_where_clear(number).split())


def work(text: str) -> int:
    """How many tokens the parser is given for a line: what its time is made of."""
    return len(lexemes(text))
