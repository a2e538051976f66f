"""Plain text to a sorted recipe: title, yield, ingredient lines by part, method, notes.

With headings ("Ingredients", "For the glaze", "Method") or without: then an amount in front makes an
ingredient line, a verb in front a step.
"""

from __future__ import annotations

import re

from perflour.kitchen.catalogue import Catalogue, built_in
from perflour.recipe.lexemes import written_out
from perflour.recipe.line_kinds import (
    BULLET,
    LONGEST_LINE,
    MARKS,
    MOST_WORDS_OF_HEADING,
    NUMBERED,
    has_unit,
    is_dough_temperature,
    is_ingredient,
    is_instruction,
    is_sentence,
)
from perflour.recipe.method.sentences import clauses, sentences
from perflour.recipe.method.steps import Paragraph
from perflour.recipe.prose.yields_told import with_yield_of_title, with_yield_told
from perflour.recipe.recipe_text import PartLines, RecipeText, TextLine
from perflour.recipe.sheet_lines import is_head_of_columns, names_part, opens_with_part
from perflour.recipe.text_lines import (
    Line,
    as_listed,
    blocks,
    lines_of,
    paragraph,
    runs,
    without_list_numbers,
)
from perflour.recipe.words import word_map, word_set
from perflour.recipe.yields import yield_of
from perflour.result import Place

_SOURCE = re.compile(r"(?:source|from|adapted from|recipe by)\s*:\s*(.+)", re.IGNORECASE)
_BASIS = re.compile(r"(?:basis \(100 %\)|100 % is)\s*:\s*(.+)", re.IGNORECASE)
#: "B. ALMOND PEAR TARTLETS", "PROD. SHEET 14 - CHOCOLATE SQUARES"
_LETTERED = re.compile(r"[A-Z][.)]\s+(?=[^\W\d_]{2})")
_SHEET_NUMBER = re.compile(
    r"(?:[^\W\d_]+\.? )?(?:sheet|formula|recipe|card|no\.) ?(?:no\.? ?|# ?)?[0-9]+ ?[-–—:.] ?",
    re.IGNORECASE,
)
#: An old book's title in front of its paragraph: "Plain Seed Cake. - Cream ...".
_LED_TITLE = re.compile(r"(?P<title>[A-Z][^.;:]{2,70})\.\s?(?:[-–—]{1,2})\s+")
#: A first sentence of more words is no title.
LONGEST_NAMED = 9
#: "Date: ____"
_EMPTY_FIELD = re.compile(r"[^\W_][^:]*:\s*_+")


def sorted_text(text: str, path: str, catalogue: Catalogue | None = None) -> RecipeText:
    """Sort a text. Every line ends up somewhere: what nothing claims becomes a note.

    ``catalogue`` knows the foods of running text; the one that comes with perflour without it.
    """
    known = catalogue or built_in()
    lines = list(as_listed(without_list_numbers(list(lines_of(text, path))), known))
    told = _running_text(lines, known) or _with_more_told(_Sorter(lines).sorted(), known)
    return told if told.yields else with_yield_told(with_yield_of_title(told))


def _with_more_told(recipe: RecipeText, catalogue: Catalogue) -> RecipeText:
    """A listed recipe with the parts and the foods that its method tells."""
    from perflour.recipe.prose.between import with_foods_told

    return with_foods_told(_with_parts_told(recipe, catalogue), catalogue)


def _with_parts_told(recipe: RecipeText, catalogue: Catalogue) -> RecipeText:
    """A listed recipe with the parts that its method tells in sentences: "Crust: whip 120 g egg white ..."."""
    from perflour.recipe.prose.running_text import sorted_prose

    parts = [*recipe.part_lines]
    method: list[Paragraph] = []
    for told_in in recipe.method:
        opening = told_in.text.partition(":")[0]
        told = opening != told_in.text and names_part(opening)
        made = sorted_prose("", [told_in], catalogue, RecipeText(yields=recipe.yields)) if told else None  # fmt: skip
        if made:
            recipe = recipe._replace(yields=made.yields)
            parts.extend(made.part_lines)
            method.extend(made.method)
        else:
            method.append(told_in)
    return recipe._replace(part_lines=tuple(parts), method=tuple(method))


def _running_text(lines: list[Line], catalogue: Catalogue) -> RecipeText | None:
    """The recipe of a text without a list, told in sentences; None where there is a list or no recipe."""
    from perflour.recipe.prose.running_text import MOST_OF_TITLE, sorted_prose

    parted = blocks(lines)
    listed = [line for block in parted if not runs(block) for line in block if is_ingredient(line.text)]  # fmt: skip
    if len(listed) > 1:
        return None
    recipe, title = RecipeText(), ""
    kept: list[list[Line]] = []
    for number, block in enumerate(parted):
        for line in list(block):
            if (match := _SOURCE.fullmatch(line.text)) and not recipe.citation:
                recipe = recipe._replace(citation=match[1])
                block = [other for other in block if other is not line]
        if block and not title and not kept:
            head = block[0].text.strip(MARKS).rstrip(":")
            alone = len(block) == 1 and len(parted) > 1
            is_title = len(head.split()) <= MOST_OF_TITLE and (
                alone or head[-1:] not in (".", ",", ";")
            )
            if head and is_title and (len(block) == 1 or len(parted) > 1 or len(block[1].text) > len(head)) and not (is_ingredient(head) and not number):  # fmt: skip
                recipe = recipe._replace(title_place=block[0].place)
                title, block = head.rstrip(" ."), block[1:]
        if block:
            kept.append(block)
    paragraphs = [paragraph([_unmarked(line) for line in block]) for block in kept]
    if not title and paragraphs and (led := _LED_TITLE.match(paragraphs[0].text)):
        title, paragraphs[0] = led["title"], paragraphs[0].behind(led.end())
    if not title and paragraphs and (head := _first_sentence(paragraphs[0].text)):
        title, paragraphs[0] = head.rstrip("."), paragraphs[0].behind(len(head)).trimmed()
    return sorted_prose(title, paragraphs, catalogue, recipe)


def _first_sentence(text: str) -> str:
    """The first sentence where it names the thing and says nothing to do; empty for none."""
    first, *others = sentences(text)
    _, head = first
    short = others and len(head.split()) <= LONGEST_NAMED and not any(c.isdigit() for c in head)
    return head if short and not _asks(head) and not any(clause.do for clause in clauses(head)) and head[0].isupper() else ""  # fmt: skip


def _asks(head: str) -> bool:
    """Whether a sentence is a question, and no title that somebody is unsure of: "Peach cobbler??"."""
    return head[-1] == "?" and bool(set(re.findall(r"[a-z']+", head.lower())) & word_set("finite-verbs"))  # fmt: skip


def _unmarked(line: Line) -> Line:
    """A line without its bullet."""
    text = BULLET.sub("", line.text)
    column = line.place.column + len(line.text) - len(text)
    return line._replace(text=text, place=line.place._replace(column=column))


class _Sorter:
    """Goes through the lines once; a class because a line is read by what came before it."""

    def __init__(self, lines: list[Line]) -> None:
        self.lines = lines
        self.recipe = RecipeText()
        self.part_lines: list[tuple[str, list[TextLine]]] = []
        self.paragraphs: list[list[Line]] = []
        self.notes: list[str] = []
        self.mode = "head"
        self.last_indent = 0
        #: the indent of a heading whose lines are indented deeper, and the part around it
        self.around: tuple[int, int] | None = None

    def sorted(self) -> RecipeText:
        for at, line in enumerate(self.lines):
            self._line(at, line)
        return self.recipe._replace(
            part_lines=tuple(
                PartLines(name, tuple(lines)) for name, lines in self.part_lines if lines
            ),
            method=tuple(map(paragraph, self.paragraphs)),
            notes=(*self.notes, *(name for name, lines in self.part_lines if name and not lines)),
        )

    def _line(self, at: int, line: Line, headed: bool = False) -> None:
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

    def _heading(self, line: Line) -> bool:
        """A heading of the whole recipe; text behind its colon belongs to what it opens."""
        opening, colon, rest = line.text.partition(":")
        words = opening.strip(MARKS).lower()
        for mode, headings in word_map("headings").items():
            if words in headings and (colon or line.opens_block or not rest):
                self.mode = mode
                if rest.strip():
                    column = line.place.column + len(opening) + 1
                    place = line.place._replace(column=column)
                    self._line(0, line._replace(text=rest.strip(), place=place), headed=True)
                return True
        return False

    def _special(self, line: Line) -> bool:
        """Source, yield and basis, wherever they stand before the method."""
        if self.mode in ("method", "notes"):
            return False
        recipe = self.recipe
        if (match := _SOURCE.fullmatch(line.text)) and not recipe.citation:
            self.recipe = recipe._replace(citation=match[1])
        elif (match := _BASIS.fullmatch(line.text)) and not recipe.basis:
            self.recipe = recipe._replace(basis=TextLine(match[1], line.place))
        elif is_head_of_columns(line.text):
            self.mode = "ingredients"
        elif is_dough_temperature(line.text) or _EMPTY_FIELD.fullmatch(line.text):
            self.notes.append(line.text)
        elif self._says_yield(line):
            pass
        else:
            return False
        return True

    def _says_yield(self, line: Line) -> bool:
        """The first yield of a titled recipe; what else its line says becomes a note, and so does a second one."""
        found = yield_of(line.text) if self.recipe.title else None
        if found is None or any(map(is_instruction, found.others)):
            return False
        if self.recipe.yields:
            self.notes.append(line.text)
            return True
        column = line.place.column + max(line.text.find(found.said), 0)
        place = line.place._replace(column=column)
        self.recipe = self.recipe._replace(yields=TextLine(found.said, place))
        self.notes.extend(found.others)
        return True

    def _in_head(self, at: int, line: Line) -> None:
        following = self.lines[at + 1] if at + 1 < len(self.lines) else None
        in_list = following and not following.opens_block and is_ingredient(following.text)
        if not self.recipe.title and not (in_list and is_ingredient(line.text)):
            self._title_with_yield(line)
        elif _LETTERED.match(line.text) and len(line.text.split()) <= MOST_WORDS_OF_HEADING + 2:
            self.notes.append(self.recipe.title)  # a sheet of several: each has its own
            self._title(_LETTERED.sub("", line.text), line.place)
        elif self._opens_part(at, line) or is_ingredient(line.text):
            self.mode = "ingredients"
            self._in_ingredients(at, line)
        elif self.recipe.title and is_instruction(line.text):
            self.mode = "method"
            self._in_method(at, line)
        elif self.recipe.title and opens_with_part(line.text) and is_sentence(line.text) and any(map(str.isdigit, line.text)):  # fmt: skip
            self.paragraphs.append([line])  # "Shells: 2 c. flour, 3/4 c. lard -- cut in."
        else:
            self._note(line)

    def _title_with_yield(self, line: Line) -> None:
        """The title; a yield may stand behind it: "Rye rolls - makes 60 @ 45 g"."""
        found = yield_of(line.text)
        at = line.text.find(found.said) if found else 0
        if found is None or at <= 0:
            self._title(line.text, line.place)
            return
        self._title(line.text[:at].strip(" -–—|,;("), line.place)
        place = line.place._replace(column=line.place.column + at)
        self._says_yield(line._replace(text=line.text[at:].rstrip(")"), place=place))

    def _title(self, text: str, place: Place) -> None:
        """The title, without the number of the sheet; that becomes a note."""
        bare = text.strip(MARKS).rstrip(":") or text
        if number := _SHEET_NUMBER.match(bare):
            self.notes.append(number[0].rstrip(" -–—:."))
            bare = bare[number.end() :]
        bare = _LETTERED.sub("", bare) if bare.isupper() else bare
        title = written_out(bare)
        title = title.upper() if bare.isupper() else title
        self.recipe = self.recipe._replace(title=title, title_place=place)

    def _in_ingredients(self, at: int, line: Line) -> None:
        if self._opens_part(at, line):
            self._open_part(at, line)
        elif is_ingredient(line.text):
            self._ingredient(line)
        elif is_instruction(NUMBERED.sub("", line.text)) or (
            line.opens_block and is_sentence(line.text)
        ):
            self.mode = "method"
            self._in_method(at, line)
        elif self._goes_on(line):
            lines = self.part_lines[-1][1]
            lines[-1] = lines[-1]._replace(text=f"{lines[-1].text} {line.text}")
        else:
            self._ingredient(line)

    def _open_part(self, at: int, line: Line) -> None:
        deeper = at + 1 < len(self.lines) and self.lines[at + 1].indent > line.indent
        self.around = (line.indent, len(self.part_lines) - 1) if deeper else None
        self.part_lines.append((part_name(line.text), []))

    def _ingredient(self, line: Line) -> None:
        if not self.part_lines:
            self.part_lines.append(("", []))
        self.last_indent = line.indent
        part = -1
        if self.around and line.indent <= self.around[0] and not line.opens_block:
            part = self.around[1]  # back in the part around the indented one
            if part < 0:
                self.part_lines.append(("", []))
                self.around = (self.around[0], part := len(self.part_lines) - 1)
        self.part_lines[part][1].append(TextLine(BULLET.sub("", line.text), line.place))

    def _goes_on(self, line: Line) -> bool:
        """Whether a line is the end of the ingredient line above: indented deeper, no capital."""
        if not self.part_lines or not self.part_lines[-1][1] or line.opens_block:
            return False
        return (
            line.indent > self.last_indent
            and line.text[0].islower()
            and not BULLET.match(line.text)
        )

    def _in_method(self, at: int, line: Line) -> None:
        if self._opens_part(at, line):
            self.mode = "ingredients"
            self._open_part(at, line)
            return
        if line.opens_block and is_ingredient(line.text) and has_unit(line.text):
            self.mode = "ingredients"
            self.part_lines.append(("", []))
            self._ingredient(line)
            return
        kept = _unmarked(line)
        numbered = line.is_numbered or kept.text != line.text
        if self.paragraphs and _is_heading(self.paragraphs[-1]):
            pass  # it stands with the first of its steps
        elif numbered or line.opens_block or not self.paragraphs or self._step_ends(kept.text):
            self.paragraphs.append([])
        self.paragraphs[-1].append(kept)

    def _step_ends(self, text: str) -> bool:
        """Whether the line above ends a step, and a capital or a figure opens this one."""
        above = self.paragraphs[-1][-1].text
        if above[-1] in ".!?" and (text[0].isupper() or text[0].isdigit()):
            return True
        opens = text[0].isupper() and (is_instruction(text) or len(above) < LONGEST_LINE - 15)
        return above[-1] not in ".,;:-" and opens

    def _opens_part(self, at: int, line: Line) -> bool:
        """Whether a line is the heading of a part: short, no amount, ingredients below it."""
        text = line.text.strip(MARKS)
        named = text.endswith(":")
        if line.opens_block and _LETTERED.match(text) and text.isupper():
            return True
        if not text or (is_ingredient(text) and not named):
            return False
        if len(text.split()) > MOST_WORDS_OF_HEADING + 2:
            return False
        below = self.lines[at + 1].text if at + 1 < len(self.lines) else ""
        if not below or not is_ingredient(below):
            return False
        if named or re.match(r"for (?:the )?\w", text, re.IGNORECASE):
            return True
        if len(text.split()) == 1 and names_part(text):
            return True
        short = len(text.split()) <= MOST_WORDS_OF_HEADING and text[-1] not in ".,;"
        return short and line.opens_block and not is_instruction(text) and "," not in text

    def _note(self, line: Line) -> None:
        text = line.text
        if self.notes and not line.opens_block:
            self.notes[-1] = f"{self.notes[-1]} {text}"
        else:
            self.notes.append(text)


def _is_heading(lines: list[Line]) -> bool:
    """Whether a paragraph so far is one short line with a colon: "For the glaze:"."""
    text = lines[-1].text
    return len(lines) == 1 and text.endswith(":") and len(text.split()) <= MOST_WORDS_OF_HEADING


def part_name(text: str) -> str:
    """The name of a part from its heading: "For the crumb topping:" is the crumb topping."""
    bare = _LETTERED.sub("", text.strip(MARKS)).strip().rstrip(":").strip()
    return re.sub(r"^(?:ingredients )?for (?:the )?", "", bare, flags=re.IGNORECASE).strip().lower()
