"""The schema.org Recipes of a saved web page or a JSON file, to sorted recipes.

Read from the vocabulary at schema.org (Recipe, HowToStep, HowToSection, QuantitativeValue) and from the
JSON-LD 1.1 recommendation of the W3C, as far as pages use it: one object, a list, or a `@graph`. A page
without any is read by its markup (page_markup).
"""

from __future__ import annotations

import html
import json
import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from typing import Any

from perflour.recipe.method.steps import Paragraph
from perflour.recipe.plain_text import part_name
from perflour.recipe.recipe_text import PartLines, RecipeText, TextLine
from perflour.result import CannotRun, Place

_TAG = re.compile(r"<[^<>]*>")
_OPENS = re.compile(r"<!-{2}|<script(?=[\s/>])", re.IGNORECASE)
_COMMENT_ENDS = re.compile(r"-{2}>")
_SCRIPT_TAG = re.compile(r"""<script(?:[^>"']|"[^"]*"|'[^']*')*>""", re.IGNORECASE)
_SCRIPT_ENDS = re.compile(r"</script\b", re.IGNORECASE)
_ATTRIBUTE = re.compile(r"""\s(?P<name>[^\s"'<>/=]+)\s*=\s*(?P<value>"[^"]*"|'[^']*'|[^\s"'>]+)""")
#: Longer tags are not read: none that opens a recipe is.
MOST_OF_TAG = 1000
#: So far ahead a text is looked for in its page.
MOST_AHEAD = 64 * 1024
_BREAK = re.compile(r"<\s*(?:br|/p|/li|/div)\b[^<>]*>", re.IGNORECASE)
_DURATION = re.compile(r"P(?:([0-9]+)D)?T?(?:([0-9]+)H)?(?:([0-9]+)M)?(?:[0-9]+S)?")
# What a formula has a place for; everything else a page says is named in a comment.
_TIMES = {"prepTime": "preparation", "cookTime": "baking", "totalTime": "in all"}
_TAKEN = {"name", "recipeIngredient", "ingredients", "recipeInstructions", "recipeYield", "yield", "author", "publisher", "url", "datePublished", "description", "isBasedOn", *_TIMES}  # fmt: skip
_INGREDIENTS, _INSTRUCTIONS = ("recipeIngredient", "ingredients"), ("recipeInstructions",)
_DEPTH = 12


def recipes_of_page(text: str, path: str) -> list[RecipeText]:
    """The recipes of a page, each once. Raises CannotRun where there is none."""
    lines: Mapping[str, int] = {}
    found = _each_once(node for data in _documents(text, path) for node in _recipes(data, 0))
    if not found and not _is_json(text):
        from perflour.recipe.page_markup import markups  # of the pages that are no JSON-LD

        for markup in markups(text, path):
            if found := _each_once(_recipes(markup.nodes, 0)):
                lines = markup.lines
                break
    if not found:
        raise CannotRun(
            f"{path}: no schema.org Recipe found; save the whole page, or paste the text"
        )
    places = _Places(text, path, lines)
    starts = [_Starts(text, keys, found) for keys in (_INGREDIENTS, _INSTRUCTIONS)]
    return [_sorted(node, places, *(one.of(at) for one in starts)) for at, node in enumerate(found)]


def _each_once(nodes: Iterator[dict[str, Any]]) -> list[dict[str, Any]]:
    """The recipes, one that a page has twice only once."""
    found: dict[str, dict[str, Any]] = {}
    for node in nodes:
        try:
            found[json.dumps(node, sort_keys=True)] = node
        except RecursionError:  # as deep as the reader of JSON just goes
            found[str(id(node))] = node
    return list(found.values())


class _Starts:
    """Where the lists of each recipe start in a page of JSON: one spells the key for each that has it."""

    def __init__(self, text: str, keys: tuple[str, ...], nodes: list[dict[str, Any]]) -> None:
        spelled = "|".join(f'"{key}"' for key in keys)
        self.starts = [match.start() for match in re.finditer(spelled, text)]
        self.ranks: list[int | None] = []
        having = 0
        for node in nodes:
            has = any(key in node for key in keys)
            self.ranks.append(having if has else None)
            having += has
        self.is_sure = having == len(self.starts)

    def of(self, at: int) -> int:
        """Where that of a recipe starts, the first of the page where it is not sure, 0 for none."""
        rank = self.ranks[at]
        if rank is None or not self.starts:
            return 0
        return self.starts[rank if self.is_sure else 0]


class _Places:
    """Where a text stands in the file: on the line that is known, else the next place that spells it."""

    def __init__(self, text: str, path: str, lines: Mapping[str, int]) -> None:
        self.text, self.path, self.lines = text, path, lines
        self.starts = [0, *(match.end() for match in re.finditer("\n", text))]
        self.at = 0

    def of(self, text: str) -> Place:
        """The place of a text, the last one found where the file spells it otherwise."""
        if known := self.lines.get(text):
            self.at = self.starts[min(known, len(self.starts)) - 1]
        for spelled in (json.dumps(text)[1:-1], text):
            ahead = self.at + MOST_AHEAD
            found = self.text.find(spelled, self.at, ahead) if spelled else -1
            if found >= 0:
                self.at = found
                break
        line = bisect_right(self.starts, self.at)
        return Place(self.path, line, self.at - self.starts[line - 1] + 1)


def _scripts(page: str) -> Iterator[str]:
    """The contents of the scripts that say they are JSON-LD; what stands in comments is left out.

    The page is gone through once from one comment or script to the next. html.parser takes the square of
    the length on many that are opened and never closed.
    """
    at = 0
    while opens := _OPENS.search(page, at):
        if opens[0].startswith("<!"):
            closes = _COMMENT_ENDS.search(page, opens.end())
            if closes is None:
                return
            at = closes.end()
            continue
        tag = _SCRIPT_TAG.match(page[opens.start() : opens.start() + MOST_OF_TAG])
        if tag is None:
            at = opens.end()
            continue
        start = opens.start() + tag.end()
        ends = _SCRIPT_ENDS.search(page, start)
        end = ends.start() if ends else len(page)
        if _is_json_ld(tag[0]):
            yield page[start:end]
        at = end


def _is_json_ld(tag: str) -> bool:
    attributes = {m["name"].lower(): m["value"] or "" for m in _ATTRIBUTE.finditer(tag)}
    kind = html.unescape(attributes.get("type", "").strip("\"'"))
    return kind.split(";")[0].strip().lower() == "application/ld+json"


def _documents(text: str, path: str) -> Iterator[Any]:
    """The JSON documents of a file: itself, or the JSON-LD scripts of a page."""
    if _is_json(text):
        yield _json(text, path)
        return
    for script in _scripts(text):
        try:
            yield _json(script, path)
        except CannotRun:
            continue  # one broken script of many; a page without any recipe is told of


def _is_json(text: str) -> bool:
    return text.lstrip("\ufeff \t\r\n")[:1] in ("{", "[")


def _json(text: str, path: str) -> Any:
    try:
        return json.loads(text.strip("\ufeff \t\r\n"), strict=False)
    except (ValueError, RecursionError) as error:
        where = f":{error.lineno}:{error.colno}" if isinstance(error, json.JSONDecodeError) else ""
        raise CannotRun(f"{path}{where}: no JSON that can be read; save the page again") from None


def _recipes(data: Any, depth: int) -> Iterator[dict[str, Any]]:
    """Every object of type Recipe, wherever it is nested."""
    if depth > _DEPTH:
        return
    if isinstance(data, list):
        for item in data:
            yield from _recipes(item, depth + 1)
    elif isinstance(data, dict):
        if "Recipe" in _types(data):
            yield data
        else:
            for value in data.values():
                if isinstance(value, dict | list):
                    yield from _recipes(value, depth + 1)


def _types(node: dict[str, Any]) -> set[str]:
    kinds = node.get("@type", [])
    listed = kinds if isinstance(kinds, list) else [kinds]
    return {re.split(r"[/:#]", kind)[-1] for kind in listed if isinstance(kind, str)}


def _sorted(
    node: dict[str, Any], places: _Places, ingredients_at: int, method_at: int
) -> RecipeText:
    title = _text(node.get("name"))
    yields = _yield(node.get("recipeYield", node.get("yield")))
    listed = _texts(node.get("recipeIngredient", node.get("ingredients")))
    places.at = ingredients_at
    part_lines = tuple(_part_lines(listed, places))
    places.at = method_at or ingredients_at
    method = tuple(_paragraphs(node.get("recipeInstructions"), places, 0))
    return RecipeText(
        title=title,
        citation=_citation(node, title),
        yields=TextLine(yields, places.of(yields)) if yields else None,
        part_lines=part_lines,
        method=method,
        notes=tuple(_notes(node)),
        left_out=tuple(sorted(k for k in node if k not in _TAKEN and not k.startswith("@"))),
    )


def _text(value: Any) -> str:
    """A value as plain text: tags away, entities resolved, the name of an object."""
    if isinstance(value, dict):
        value = value.get("name") or value.get("@value") or value.get("text") or value.get("@id")
    if isinstance(value, list):
        return ", ".join(filter(None, map(_text, value[:20])))
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return ""
    return " ".join(_TAG.sub(" ", html.unescape(str(value))).split())


def _texts(value: Any) -> list[str]:
    """A list of texts; one text may hold several lines."""
    if isinstance(value, str):
        value = _BREAK.sub("\n", html.unescape(value)).split("\n")
    items = value if isinstance(value, list) else [value]
    return [text for item in items if (text := _text(item))]


def _yield(value: Any) -> str:
    """ "24", "24 cookies", ["24", "24 cookies"], or a QuantitativeValue; the one that says most."""
    if isinstance(value, dict) and "value" in value:
        value = f"{_text(value['value'])} {_text(value.get('unitText'))}"
    items = value if isinstance(value, list) else [value]
    texts = [_yield(i) if isinstance(i, dict) and "value" in i else _text(i) for i in items]
    return max(texts, key=len, default="").strip()


def _part_lines(listed: list[str], places: _Places) -> Iterator[PartLines]:
    """Ingredient lines by part: a line that ends with a colon is a heading."""
    name = ""
    lines: list[TextLine] = []
    for text in listed:
        if text.endswith(":") and len(text.split()) <= 8:
            if lines:
                yield PartLines(name, tuple(lines))
            name, lines = part_name(text), []
        else:
            lines.append(TextLine(text, places.of(text)))
    yield PartLines(name, tuple(lines))


def _paragraphs(value: Any, places: _Places, depth: int) -> Iterator[Paragraph]:
    """Instructions as text, list of texts, HowToStep, HowToSection or ItemList."""
    if depth > _DEPTH or value is None:
        return
    if isinstance(value, list):
        for item in value:
            yield from _paragraphs(item, places, depth + 1)
    elif isinstance(value, dict) and "itemListElement" in value:
        yield from _paragraphs(value["itemListElement"], places, depth + 1)
    elif isinstance(value, dict) and isinstance(value.get("item"), dict):
        yield from _paragraphs(value["item"], places, depth + 1)
    elif isinstance(value, dict):
        yield from _paragraphs(_text(value.get("text") or value.get("name")), places, depth + 1)
    else:
        for text in _texts(value):
            yield Paragraph(text, ((0, places.of(text)),))


def _citation(node: dict[str, Any], title: str) -> str:
    """Author, title, publisher, date and address, as far as the page says them."""
    said = [
        _text(node.get(key)) for key in ("author", "publisher", "datePublished", "url", "isBasedOn")
    ]
    return ", ".join(dict.fromkeys(filter(None, [said[0], title if any(said) else "", *said[1:]])))


def _notes(node: dict[str, Any]) -> Iterator[str]:
    if description := _text(node.get("description")):
        yield description if description[-1] in ".!?" else f"{description}."
    for key, words in _TIMES.items():
        if minutes := _minutes(_text(node.get(key))):
            yield f"Time, {words}: {minutes} min."


def _minutes(duration: str) -> int:
    """Minutes of an ISO 8601 duration; 0 for anything else."""
    match = _DURATION.fullmatch(duration)
    if not match:
        return 0
    days, hours, minutes = (int(number or 0) for number in match.groups())
    return (days * 24 + hours) * 60 + minutes
