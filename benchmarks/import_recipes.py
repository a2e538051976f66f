"""How the time of `perflour import` grows with the recipe, and against an ambiguous parser of its grammar.

Reads recipes of 200 and of 2,000 lines, lines of 20 and of 200 words, steps of 500 and of 5,000; then the
lines of the small recipe with the same grammar under Lark's Earley parser, the peer. Prints ratios:

    python benchmarks/import_recipes.py

ten times the text: at most 12 x the time; Earley / ours: what LALR over sorted tokens spares.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from perflour.documents.shipped import DATA
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.recipe.grammar import take_apart, work
from perflour.recipe.header import Header
from perflour.recipe.lexemes import lexemes, tidy
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.to_formula import formula_file

TEXTS = Path(__file__).parents[1] / "tests" / "published" / "text"
parse = take_apart.__wrapped__  # without its memory of lines
KITCHEN = Kitchen(House(), built_in())


def main() -> None:
    few, many = recipe(200), recipe(2000)
    read_text(few)  # loads what is loaded once
    pairs = {
        "lines and steps": (lambda: read_text(few), lambda: read_text(many)),
        "words in a line": (lambda: parse(long_line(20)), lambda: parse(long_line(200))),
        "words in a step": (lambda: read_text(one_step(500)), lambda: read_text(one_step(5000))),
    }
    for name, (small, large) in pairs.items():
        print(f"10 x the {name:<16}{seconds(large) / seconds(small):6.1f} x the time (at most 12)")
    tokens = [work(tidy(line)) / len(tidy(line)) for line in lines()]
    print(f"tokens a character      {max(tokens):6.2f} at most")
    earley = _earley()
    ours = seconds(lambda: [parse(tidy(line)) for line in lines()])
    theirs = seconds(lambda: [earley(line) for line in lines()])
    print(f"Earley / ours           {theirs / ours:6.1f}")


def recipe(count: int) -> str:
    """A recipe of so many lines and as many sentences, drawn from the published texts."""
    chance = random.Random(7)
    known = list(lines())
    listed = [f"{chance.choice(known)}" for _ in range(count)]
    steps = [f"Mix the {chance.choice(('flour', 'sugar', 'eggs'))} for 2 minutes." for _ in listed]
    return "\n".join(["Title", "", *listed, "", *steps])


def lines() -> Iterator[str]:
    for path in sorted(TEXTS.glob("*.txt")):
        text = path.read_text(encoding="utf-8")
        for section in sorted_text(text, path.name).part_lines:
            yield from (line.text for line in section.lines)


def long_line(words: int) -> str:
    return "2 cups flour" + ", or 1 cup sifted" * (words // 4)


def one_step(words: int) -> str:
    return "Title\n\n200 g flour\n\nMix" + " the flour until smooth," * (words // 4)


def read_text(text: str) -> Any:
    return formula_file(sorted_text(text, "x"), Header(), KITCHEN)


def _earley() -> Callable[[str], Any]:
    """The same grammar under Earley, its tokens spelled as one letter each."""
    from lark import Lark

    rules, declared = (
        Path(DATA, "ingredient_line.lark").read_text(encoding="utf-8").rsplit("%declare ", 1)
    )
    letters = {name: chr(ord("a") + at) for at, name in enumerate(declared.split())}
    terminals = "\n".join(f'{name}: "{letter}"' for name, letter in letters.items())
    parser = Lark(f"{rules}\n{terminals}", start="line", parser="earley", ambiguity="resolve")
    return lambda line: parser.parse("".join(letters[one.kind] for one in lexemes(tidy(line))))


def seconds(run: Callable[[], Any], times: int = 5) -> float:
    """The best of a few runs."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        run()
        best = min(best, time.perf_counter() - start)
    return best


if __name__ == "__main__":
    main()
