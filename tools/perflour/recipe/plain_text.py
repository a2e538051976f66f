"""Plain text to a sorted recipe: title, yield, ingredient lines by part, method, notes.

With headings ("Ingredients", "For the glaze", "Method") or without: then an amount in front makes an
ingredient line, a verb in front a step.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from perflour.formula.portions import taken
from perflour.kitchen.catalogue import Catalogue, built_in
from perflour.kitchen.quantity import ALL, HALF, REST
from perflour.recipe.grammar import take_apart
from perflour.recipe.lexemes import tidy
from perflour.recipe.method.sentences import clauses, sentences
from perflour.recipe.method.steps import Paragraph
from perflour.recipe.recipe_text import PartLines, RecipeText, TextLine
from perflour.recipe.words import phrases, word_map, word_set
from perflour.result import Place

_SOURCE = re.compile(r"(?:source|from|adapted from|recipe by)\s*:\s*(.+)", re.IGNORECASE)
_YIELD = re.compile(
    r"\(?(?:this (?:recipe )?)?(?:makes|yields?|serves|servings|sufficient (?:to serve|for)|enough for|portions)\b",
    re.IGNORECASE,
)
#: An old book's title in front of its paragraph: "Plain Seed Cake. - Cream ...".
_LED_TITLE = re.compile(r"(?P<title>[A-Z][^.;:]{2,70})\.\s?(?:[-–—]{1,2})\s+")
_BASIS = re.compile(r"(?:basis \(100 %\)|100 % is)\s*:\s*(.+)", re.IGNORECASE)
_NUMBERED = re.compile(r"^\s*(?:step\s+)?[0-9]{1,2}(?:[.)]|:)\s+(?=\S)", re.IGNORECASE)
_BULLET = re.compile(r"^\s*(?:[-*•–·▢☐□]|\[ ?\])\s+")
_MARKS = re.compile(r"^[#=*_\s]+|[#=*_\s]+$")
#: Longer lines without an amount are sentences.
LONGEST_LINE, MOST_WORDS_OF_HEADING = 70, 6
#: A first sentence of more words is no title.
LONGEST_NAMED = 9


@dataclass(frozen=True)
class _Line:
    """A line with its place, its indent, and whether a blank line stands above it."""

    text: str
    place: Place
    indent: int
    opens_block: bool


def sorted_text(text: str, path: str, catalogue: Catalogue | None = None) -> RecipeText:
    """Sort a text. Every line ends up somewhere: what nothing claims becomes a note.

    ``catalogue`` knows the foods of running text; the one that comes with perflour without it.
    """
    lines = list(_lines(text, path))
    return _running_text(lines, catalogue or built_in()) or _Sorter(lines).sorted()


def _running_text(lines: list[_Line], catalogue: Catalogue) -> RecipeText | None:
    """The recipe of a text without a list, told in sentences; None where there is a list or no recipe."""
    from perflour.recipe.prose import MOST_OF_TITLE, is_prose, sorted_prose

    blocks = _blocks(lines)
    listed = [line for block in blocks if not _runs(block) for line in block if is_ingredient(line.text)]  # fmt: skip
    if len(listed) > 1:
        return None
    recipe, title = RecipeText(), ""
    kept: list[list[_Line]] = []
    for number, block in enumerate(blocks):
        for line in list(block):
            if (match := _SOURCE.fullmatch(line.text)) and not recipe.citation:
                recipe = replace(recipe, citation=match[1])
                block = [other for other in block if other is not line]
        if block and not title and not kept:
            head = _MARKS.sub("", block[0].text).rstrip(":")
            alone = len(block) == 1 and len(blocks) > 1
            is_title = len(head.split()) <= MOST_OF_TITLE and (
                alone or head[-1:] not in (".", ",", ";")
            )
            if head and is_title and (len(block) == 1 or len(blocks) > 1 or len(block[1].text) > len(head)) and not (is_ingredient(head) and not number):  # fmt: skip
                title, block = head.rstrip(" ."), block[1:]
        if block:
            kept.append(block)
    paragraphs = [_paragraph([_unmarked(line) for line in block]) for block in kept]
    if not title and paragraphs and (led := _LED_TITLE.match(paragraphs[0].text)):
        title, paragraphs[0] = led["title"], paragraphs[0].behind(led.end())
    if not title and paragraphs and (head := _first_sentence(paragraphs[0].text)):
        title, paragraphs[0] = head.rstrip("."), paragraphs[0].behind(len(head)).trimmed()
    if not is_prose([paragraph.text for paragraph in paragraphs], catalogue):
        return None
    return sorted_prose(title, paragraphs, catalogue, recipe)


def _first_sentence(text: str) -> str:
    """The first sentence where it names the thing and says nothing to do; empty for none."""
    first, *others = sentences(text)
    _, head = first
    short = others and len(head.split()) <= LONGEST_NAMED and not any(c.isdigit() for c in head)
    return head if short and not any(clause.do for clause in clauses(head)) and head[0].isupper() else ""  # fmt: skip


def _unmarked(line: _Line) -> _Line:
    """A line without its bullet or number."""
    text = _BULLET.sub("", _NUMBERED.sub("", line.text))
    column = line.place.column + len(line.text) - len(text)
    return replace(line, text=text, place=line.place._replace(column=column))


def _blocks(lines: list[_Line]) -> list[list[_Line]]:
    """Lines without a blank one between them."""
    found: list[list[_Line]] = []
    for line in lines:
        if line.opens_block or not found:
            found.append([])
        found[-1].append(line)
    return found


def _runs(block: list[_Line]) -> bool:
    """Whether a block is a paragraph: long lines that go on, with the ends of sentences in it."""
    text = " ".join(line.text for line in block)
    long = [line for line in block[:-1] if len(line.text) > LONGEST_LINE - 25]
    wrapped = len(block) == 1 or len(long) >= (len(block) - 1) * 0.7
    return len(text) > LONGEST_LINE and wrapped and bool(re.search(r"[a-z)][.!?](?:\s|$)", text))


def _lines(text: str, path: str) -> Iterator[_Line]:
    """The lines that hold anything, unprintable characters as spaces, long gaps as one."""
    opens = True
    for number, raw in enumerate(text.split("\n"), 1):
        clean = "".join(c if c.isprintable() else " " for c in raw)
        bare = re.sub(r"\.{3,}", " ", clean).strip()
        if not bare:
            opens = True
            continue
        indent = len(clean) - len(clean.lstrip())
        yield _Line(" ".join(bare.split()), Place(path, number, indent + 1), indent, opens)
        opens = False


class _Sorter:
    """Goes through the lines once; a class because a line is read by what came before it."""

    def __init__(self, lines: list[_Line]) -> None:
        self.lines = lines
        self.recipe = RecipeText()
        self.part_lines: list[tuple[str, list[TextLine]]] = []
        self.paragraphs: list[list[_Line]] = []
        self.notes: list[str] = []
        self.mode = "head"
        self.last_indent = 0

    def sorted(self) -> RecipeText:
        for at, line in enumerate(self.lines):
            self._line(at, line)
        return replace(
            self.recipe,
            part_lines=tuple(
                PartLines(name, tuple(lines)) for name, lines in self.part_lines if lines
            ),
            method=tuple(map(_paragraph, self.paragraphs)),
            notes=(*self.notes, *(name for name, lines in self.part_lines if name and not lines)),
        )

    def _line(self, at: int, line: _Line, headed: bool = False) -> None:
        """Sort a line; behind a heading on the same line stands no other one."""
        if (not headed and self._heading(line)) or self._special(line):
            return
        if self.mode == "head":
            self._in_head(at, line)
        elif self.mode == "ingredients":
            self._in_ingredients(at, line)
        elif self.mode == "method":
            self._in_method(at, line)
        else:
            self._note(line)

    def _heading(self, line: _Line) -> bool:
        """A heading of the whole recipe; text behind its colon belongs to what it opens."""
        opening, colon, rest = line.text.partition(":")
        words = _MARKS.sub("", opening).lower()
        for mode, headings in word_map("headings").items():
            if words in headings and (colon or line.opens_block or not rest):
                self.mode = mode
                if rest.strip():
                    column = line.place.column + len(opening) + 1
                    place = line.place._replace(column=column)
                    self._line(0, replace(line, text=rest.strip(), place=place), headed=True)
                return True
        return False

    def _special(self, line: _Line) -> bool:
        """Source, yield and basis, wherever they stand before the method."""
        if self.mode in ("method", "notes"):
            return False
        recipe = self.recipe
        if (match := _SOURCE.fullmatch(line.text)) and not recipe.citation:
            self.recipe = replace(recipe, citation=match[1])
        elif (match := _BASIS.fullmatch(line.text)) and not recipe.basis:
            self.recipe = replace(recipe, basis=TextLine(match[1], line.place))
        elif _YIELD.match(line.text) and recipe.title and not recipe.yields:
            self.recipe = replace(recipe, yields=TextLine(line.text.strip("()"), line.place))
        else:
            return False
        return True

    def _in_head(self, at: int, line: _Line) -> None:
        following = self.lines[at + 1] if at + 1 < len(self.lines) else None
        in_list = following and not following.opens_block and is_ingredient(following.text)
        if not self.recipe.title and not (in_list and is_ingredient(line.text)):
            self.recipe = replace(
                self.recipe, title=_MARKS.sub("", line.text).rstrip(":") or line.text
            )
        elif self._opens_part(at, line) or is_ingredient(line.text):
            self.mode = "ingredients"
            self._in_ingredients(at, line)
        elif self.recipe.title and is_instruction(line.text):
            self.mode = "method"
            self._in_method(at, line)
        else:
            self._note(line)

    def _in_ingredients(self, at: int, line: _Line) -> None:
        if self._opens_part(at, line):
            self.part_lines.append((part_name(line.text), []))
        elif is_ingredient(line.text):
            self._ingredient(line)
        elif is_instruction(line.text) or (line.opens_block and _is_sentence(line.text)):
            self.mode = "method"
            self._in_method(at, line)
        elif self._goes_on(line):
            lines = self.part_lines[-1][1]
            lines[-1] = replace(lines[-1], text=f"{lines[-1].text} {line.text}")
        else:
            self._ingredient(line)

    def _ingredient(self, line: _Line) -> None:
        if not self.part_lines:
            self.part_lines.append(("", []))
        self.last_indent = line.indent
        self.part_lines[-1][1].append(TextLine(_BULLET.sub("", line.text), line.place))

    def _goes_on(self, line: _Line) -> bool:
        """Whether a line is the end of the ingredient line above: indented deeper, no capital."""
        if not self.part_lines or not self.part_lines[-1][1] or line.opens_block:
            return False
        return (
            line.indent > self.last_indent
            and line.text[0].islower()
            and not _BULLET.match(line.text)
        )

    def _in_method(self, at: int, line: _Line) -> None:
        if self._opens_part(at, line):
            self.mode = "ingredients"
            self.part_lines.append((part_name(line.text), []))
            return
        if line.opens_block and is_ingredient(line.text) and _has_unit(line.text):
            self.mode = "ingredients"
            self.part_lines.append(("", []))
            self._ingredient(line)
            return
        text = _NUMBERED.sub("", line.text)
        text = _BULLET.sub("", text)
        column = line.place.column + len(line.text) - len(text)
        kept = replace(line, text=text, place=line.place._replace(column=column))
        numbered = text != line.text
        if self.paragraphs and _is_heading(self.paragraphs[-1]):
            pass  # it stands with the first of its steps
        elif numbered or line.opens_block or not self.paragraphs or self._step_ends(text):
            self.paragraphs.append([])
        self.paragraphs[-1].append(kept)

    def _step_ends(self, text: str) -> bool:
        """Whether the line above ends a step, and a capital or a figure opens this one."""
        above = self.paragraphs[-1][-1].text
        if above[-1] in ".!?" and (text[0].isupper() or text[0].isdigit()):
            return True
        opens = text[0].isupper() and (is_instruction(text) or len(above) < LONGEST_LINE - 15)
        return above[-1] not in ".,;:-" and opens

    def _opens_part(self, at: int, line: _Line) -> bool:
        """Whether a line is the heading of a part: short, no amount, ingredients below it."""
        text = _MARKS.sub("", line.text)
        named = text.endswith(":")
        if not text or (is_ingredient(text) and not named):
            return False
        if len(text.split()) > MOST_WORDS_OF_HEADING + 2:
            return False
        below = self.lines[at + 1].text if at + 1 < len(self.lines) else ""
        if not below or not is_ingredient(below):
            return False
        if named or re.match(r"for (?:the )?\w", text, re.IGNORECASE):
            return True
        short = len(text.split()) <= MOST_WORDS_OF_HEADING and text[-1] not in ".,;"
        return short and line.opens_block and not is_instruction(text) and "," not in text

    def _note(self, line: _Line) -> None:
        text = line.text
        if self.notes and not line.opens_block:
            self.notes[-1] = f"{self.notes[-1]} {text}"
        else:
            self.notes.append(text)


def _is_heading(lines: list[_Line]) -> bool:
    """Whether a paragraph so far is one short line with a colon: "For the glaze:"."""
    text = lines[-1].text
    return len(lines) == 1 and text.endswith(":") and len(text.split()) <= MOST_WORDS_OF_HEADING


def _paragraph(lines: list[_Line]) -> Paragraph:
    starts: list[tuple[int, Place]] = []
    offset = 0
    for line in lines:
        starts.append((offset, line.place))
        offset += len(line.text) + 1
    return Paragraph(" ".join(line.text for line in lines), tuple(starts))


def part_name(text: str) -> str:
    """The name of a part from its heading: "For the crumb topping:" is the crumb topping."""
    bare = _MARKS.sub("", text).strip().rstrip(":").strip()
    return re.sub(r"^(?:ingredients )?for (?:the )?", "", bare, flags=re.IGNORECASE).strip().lower()


def is_ingredient(text: str) -> bool:
    """Whether a line reads as an ingredient: an amount in front, or behind a short name."""
    bare = _BULLET.sub("", text)
    if _NUMBERED.match(bare) and is_instruction(_NUMBERED.sub("", bare)):
        return False
    said = take_apart(tidy(bare)) if len(bare) <= 4 * LONGEST_LINE else None
    if said is None:
        return bare[:1].isdigit() and len(bare) <= LONGEST_LINE and not is_instruction(bare)
    if said.amounts:
        return bool(said.name or said.clauses or said.amounts[0].terms)
    if _is_portion(bare) and len(bare.split()) <= MOST_WORDS_OF_HEADING:
        return True
    return (
        bool(said.late)
        and len(bare) <= LONGEST_LINE
        and not is_instruction(bare)
        and not bare.endswith(".")
    )


def _is_portion(text: str) -> bool:
    """Whether a line takes a portion of something; on a list "of" may be left out ("half poolish")."""
    first, _, rest = text.removeprefix("the ").partition(" ")
    return bool(taken(text).takes or taken(f"{first} of {rest}").takes in (ALL, HALF, REST))


def is_instruction(text: str) -> bool:
    """Whether a line opens like a step: a verb in front, or an opening phrase and a verb."""
    words = [word.strip(",;:.").lower() for word in text.split()[:12]]
    at = 0
    while at < len(words) - 1 and words[at] in word_set("before-verbs"):
        at += 1
    if not words or not (length := phrases("verbs").at(words, at)):
        return bool(words) and words[0] in word_set("openings") and _is_sentence(text)
    if words[at] in word_set("verbs-that-are-nouns") and length == 1:
        follower = words[at + 1] if at + 1 < len(words) else ""
        return follower in word_set("after-verbs") or _is_sentence(text)
    return True


def _is_sentence(text: str) -> bool:
    return len(text) > LONGEST_LINE or (text.endswith(".") and len(text.split()) > 3)


def _has_unit(text: str) -> bool:
    said = take_apart(tidy(text)) if len(text) <= LONGEST_LINE else None
    return bool(said and said.amounts and said.amounts[0].terms)
