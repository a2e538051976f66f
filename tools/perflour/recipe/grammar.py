"""The grammar of an ingredient line: amounts, names, and what is said around them.

LALR over tokens that `lexemes` has sorted: no ambiguity to search, so the work of a line grows with its
length, whatever stands in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from perflour.documents.shipped import shipped
from perflour.kitchen.numbers import settled_where_clear
from perflour.recipe.lexemes import lexemes

if TYPE_CHECKING:
    from lark import Lark

GRAMMAR = "ingredient_line.lark"


@dataclass(frozen=True)
class AmountSaid:
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


@dataclass(frozen=True)
class Clause:
    """What stands behind the name: after a ``comma``, after `plus` or `or` (``also``), in a ``bracket``."""

    kind: str
    text: str


@dataclass(frozen=True)
class TakenApart:
    """A line taken apart, nothing interpreted; ``late`` amounts stand behind the name."""

    amounts: tuple[AmountSaid, ...] = ()
    name: str = ""
    late: tuple[AmountSaid, ...] = ()
    late_name: str = ""
    clauses: tuple[Clause, ...] = ()


# Owner: the process; lines and what was read in them. Bound: 256. Pays: what sorts a text asks for each line
# again and again, and so does what reads it.
@lru_cache(maxsize=256)
def take_apart(text: str) -> TakenApart | None:
    """The structure of a tidy line, None where the grammar has none."""
    from lark.exceptions import LarkError

    sorted_lexemes = lexemes(text)
    try:
        tree = shipped(GRAMMAR, _parser).parse(sorted_lexemes)
    except LarkError:
        return None
    return _Reader(text).line(tree)


def _parser(grammar: bytes) -> Lark:
    from lark import Lark, Token  # slow to load: docs/performance.md
    from lark.lexer import Lexer

    class Sorted(Lexer):
        """Hands on what was sorted before."""

        def __init__(self, lexer_conf: Any) -> None:
            pass

        def lex(self, data: Any) -> Iterator[Token]:  # type: ignore[override]
            for lexeme in data:
                yield Token(lexeme.kind, lexeme.text, start_pos=lexeme.start, end_pos=lexeme.end)

    return Lark(
        grammar.decode(), start="line", parser="lalr", lexer=Sorted, maybe_placeholders=False
    )


class _Reader:
    """Trees to dataclasses; holds the text because clauses keep its spelling."""

    def __init__(self, text: str) -> None:
        self.text = text

    def line(self, tree: Any) -> TakenApart:
        said = TakenApart()
        for child in tree.children:
            if child.data == "head":
                said = replace(said, amounts=self._head(child))
            elif child.data == "named":
                said = self._named(child, said)
            else:
                said = replace(said, clauses=(*said.clauses, self._clause(child.children[0])))
        return said

    def _named(self, tree: Any, said: TakenApart) -> TakenApart:
        name, *rest = tree.children
        said = replace(said, name=self._spelled(name))
        for child in rest:
            if child.data == "head":
                said = replace(said, late=self._head(child))
            else:
                said = replace(said, late_name=self._spelled(child))
        return said

    def _head(self, tree: Any) -> tuple[AmountSaid, ...]:
        return tuple(self._amount(child) for child in tree.children if hasattr(child, "data"))

    def _amount(self, tree: Any) -> AmountSaid:
        about = len(tree.children) > 1
        kind = tree.children[-1]
        said = AmountSaid(about=about)
        for child in kind.children:
            if not hasattr(child, "data"):
                is_container = child.type == "CONTAINER"
                said = replace(
                    said,
                    container=str(child) if is_container else said.container,
                    qualifier=said.qualifier if is_container else str(child),
                )
            elif child.data == "number":
                said = replace(said, number=_number(child))
            elif child.data == "sum":
                said = self._sum(child, said)
            else:
                said = replace(said, bracket=self._inside(child))
        return said

    def _sum(self, tree: Any, said: AmountSaid) -> AmountSaid:
        terms = [child for child in tree.children if hasattr(child, "data")]
        manners = [str(t) for term in terms for t in term.children[1:-1]]
        return replace(
            said,
            terms=tuple((_number(term.children[0]), str(term.children[-1])) for term in terms),
            manner=" ".join(manners),
        )

    def _clause(self, tree: Any) -> Clause:
        if tree.data == "bracket":
            return Clause("bracket", self._inside(tree))
        if tree.data == "also":
            return Clause("also", self._spelled(tree))
        return Clause("comma", self._spelled(tree, first=1))

    def _inside(self, bracket: Any) -> str:
        return self.text[bracket.children[0].end_pos : bracket.children[-1].start_pos].strip()

    def _spelled(self, tree: Any, first: int = 0) -> str:
        """The words of a tree as the line spells them."""
        leaves = list(tree.scan_values(lambda _: True))[first:]
        return self.text[leaves[0].start_pos : leaves[-1].end_pos] if leaves else ""


def _number(tree: Any) -> str:
    """A number or range in plain figures: ``1 1/2``, ``1/4-3/8``."""
    numbers = [_plain(str(token)) for token in tree.children if token.type == "NUM"]
    return "-".join(numbers)


def _plain(number: str) -> str:
    for sign in ("-", "&", " and "):
        number = number.replace(sign, " ")
    return " ".join(settled_where_clear(number).split())


def work(text: str) -> int:
    """How many tokens the parser is given for a line: what its time is made of."""
    return len(lexemes(text))
