"""Formulas as people might type them: any form of YAML, comments and blank lines anywhere."""

from __future__ import annotations

import json
from dataclasses import dataclass
from random import Random
from typing import Any

from hypothesis import strategies as st

# Names of the catalogue with an amount in the house's own spelling; two of them are flours.
AMOUNTS = {
    "all-purpose flour": "250 g",
    "rye flour": "1 cup",
    "butter": "1/2 cup",
    "granulated sugar": "120 g",
    "egg": "2 large",
    "baking powder": "2 tsp",
    "salt": "1 pinch",
    "whole milk": "4-5 tbsp",
    "rolled oats": "90 g",
    "raisins": "1 can 425 g drained 250 g",
}
VERBS = ("whisk", "cream", "beat in", "fold", "stir", "knead")
NOTES = ("sifted", "soft, warm", "a: b", "1:30", "don't", "no", "[x]", "two\nlines")


@dataclass(frozen=True)
class Untidy:
    """A formula's data, and a text that says it; ``comments`` are in the text, in order."""

    data: dict[str, Any]
    text: str
    comments: tuple[str, ...]


@st.composite
def untidy(draw: st.DrawFn, comments: bool = True) -> Untidy:
    """A formula of one or two parts whose steps use its ingredients in any order."""
    names = draw(st.permutations(list(AMOUNTS)))[: draw(st.integers(1, 8))]
    cut = draw(st.integers(0, len(names) - 1))
    parts = [_part(draw, "batter", names[cut:])]
    if cut:
        parts.insert(0, _part(draw, "soaker", names[:cut]))
        parts[1]["ingredients"].append({"part": "soaker", "amount": draw(_SHARES)})
    data = {
        "formula": "trial",
        "title": "Trial",
        "class": "loaf-cake",
        "status": draw(st.sampled_from(["draft", "approved"])),
        "yield": {"pieces": 2, "scaling-weight": "400 g"},
        "parts": parts,
        "method": draw(st.lists(_steps(names), max_size=6)),
        "waivers": draw(st.lists(_WAIVERS, max_size=3)),
        "corrections": draw(st.lists(_CORRECTIONS, max_size=2)),
    }
    writer = _Writer(draw(st.randoms(use_true_random=False)), comments)
    lines = [*writer.mapping(_shuffled(data, draw), 0), *writer.above(0)]
    return Untidy(data, "\n".join(lines) + "\n", tuple(writer.comments))


def form_of(data: dict[str, Any], random: Random) -> str:
    """A formula's data in any form, without comments."""
    return "\n".join(_Writer(random, False).mapping(data, 0)) + "\n"


_SHARES = st.sampled_from(["all", "1/2", "40 %"])
_CORRECTIONS = st.fixed_dictionaries(
    {"because": st.sampled_from(NOTES[:-1])}, optional={"item": st.sampled_from(list(AMOUNTS))}
)
_WAIVERS = st.fixed_dictionaries(
    {
        "rule": st.sampled_from(["no-cooling", "volume-in-approved", "listed-out-of-order"]),
        "because": st.sampled_from(NOTES[:-1]),
    }
)


def _part(draw: st.DrawFn, name: str, items: list[str]) -> dict[str, Any]:
    lines = []
    for item in items:
        note = draw(st.none() | st.sampled_from(NOTES))
        line = {"item": item, "amount": AMOUNTS[item]} | ({"note": note} if note else {})
        lines.append(_shuffled(line, draw))
    return _shuffled({"part": name, "ingredients": lines}, draw)


def _steps(names: list[str]) -> st.SearchStrategy[dict[str, Any]]:
    optional = {
        "uses": st.lists(st.sampled_from([*names, "soaker"]), max_size=4, unique=True),
        "at": st.sampled_from(["175 °C", "350 °F (175 °C)", "24-26 °C"]),
        "for": st.sampled_from(["5 min", "45-50 min"]),
        "until": st.sampled_from(NOTES[:-1]),
    }
    return st.fixed_dictionaries({"do": st.sampled_from(VERBS)}, optional=optional)


def _shuffled(mapping: dict[str, Any], draw: st.DrawFn) -> dict[str, Any]:
    return {key: mapping[key] for key in draw(st.permutations(list(mapping)))}


class _Writer:
    """Writes data in any form; a class because it numbers the comments and knows the open block."""

    def __init__(self, random: Random, with_comments: bool) -> None:
        self.random = random
        self.with_comments = with_comments
        self.comments: list[str] = []
        #: How far the lines of a literal block are indented, as long as it is what was written last.
        self.block: int | None = None

    def likely(self, one_in: int) -> bool:
        return (
            self.random.randrange(one_in) == one_in - 1
        )  # hypothesis shrinks towards 0: the plain form

    def comment(self) -> str:
        self.comments.append(f"# c{len(self.comments)}")
        return self.comments[-1]

    def above(self, indent: int) -> list[str]:
        """Now and then a comment, at any indent, or a blank line.

        Under a literal block only less than the block: what is as deep as its lines is text, not a comment.
        """
        if not self.with_comments or not self.likely(6):
            return []
        if self.likely(3):
            return [""]
        deepest = indent + 2 if self.block is None else min(indent + 2, self.block - 1)
        return [" " * self.random.randint(0, deepest) + self.comment()]

    def beside(self) -> str:
        spaces = " " * self.random.randint(1, 3)
        return f"{spaces}{self.comment()}" if self.with_comments and self.likely(6) else ""

    def mapping(self, data: dict[str, Any], indent: int) -> list[str]:
        lines: list[str] = []
        for key, value in data.items():
            lines += self.above(indent)
            lines += self.entry(f"{' ' * indent}{key}:", value, indent)
        return lines

    def items(self, data: list[Any], indent: int) -> list[str]:
        lines: list[str] = []
        for value in data:
            lines += self.above(indent)
            if isinstance(value, dict) and value and self.likely(2):
                first, *others = self.mapping_at_dash(value, indent)
                lines += [first, *others]
            else:
                lines += self.entry(" " * indent + "-", value, indent)
        return lines

    def mapping_at_dash(self, data: dict[str, Any], indent: int) -> list[str]:
        """A mapping whose first key stands beside the dash, or under it."""
        deeper = indent + self.random.randint(2, 4)
        if self.with_comments and self.likely(5):
            return [f"{' ' * indent}-{self.beside()}", *self.mapping(data, deeper)]
        (key, value), *others = data.items()
        opening = f"{' ' * indent}-".ljust(deeper) + f"{key}:"
        return [*self.entry(opening, value, deeper), *self.mapping(dict(others), deeper)]

    def entry(self, opening: str, value: Any, indent: int) -> list[str]:
        self.block = None
        if isinstance(value, str | int):
            return self.scalar(opening, value, indent)
        if not value or self.likely(2):
            return [f"{opening} {self.flow(value, indent)}{self.beside()}"]
        write = self.mapping if isinstance(value, dict) else self.items
        deeper = indent + (self.random.randint(1, 4) if opening[-1] == ":" else 2)
        if opening[-1] == "-" and isinstance(value, list):
            return [f"{opening} {self.flow(value, indent)}"]
        return [f"{opening}{self.beside()}", *write(value, deeper)]

    def scalar(self, opening: str, value: Any, indent: int) -> list[str]:
        if isinstance(value, str) and "\n" in value and self.likely(2):
            self.block = indent + self.random.randint(1, 4)
            lines = [f"{' ' * self.block}{line}" for line in value.split("\n")]
            return [f"{opening} |-{self.beside()}", *lines]
        return [f"{opening} {self.word(value, in_flow=False)}{self.beside()}"]

    def word(self, value: Any, in_flow: bool) -> str:
        if isinstance(value, int):
            return str(value)
        special = "," + "[]" * in_flow
        plain = "\n" not in value and ": " not in value and value[0] != "["
        if plain and not (in_flow and set(value) & set(special)) and not self.likely(6):
            return value
        if "\n" not in value and self.likely(2):
            return "'" + value.replace("'", "''") + "'"
        return json.dumps(value, ensure_ascii=False)

    def flow(self, value: Any, indent: int) -> str:
        if isinstance(value, str | int):
            return self.word(value, in_flow=True)
        words = (
            [f"{key}: {self.flow(inner, indent)}" for key, inner in value.items()]
            if isinstance(value, dict)
            else [self.flow(inner, indent) for inner in value]
        )
        opening, closing = "{}" if isinstance(value, dict) else "[]"
        text = opening
        for number, word in enumerate(words):
            text += self.turn(indent) + word + ("," if number < len(words) - 1 else "")
        return text + self.turn(indent) + closing

    def turn(self, indent: int) -> str:
        """Now and then a new line inside braces, after a comment or before one."""
        if not self.likely(5):
            return " "
        line = "\n" + " " * (indent + 6)
        comment = line + self.comment() if self.with_comments and self.likely(3) else ""
        return self.beside() + comment + line
