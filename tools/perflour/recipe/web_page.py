"""A schema.org Recipe in JSON-LD, alone in a file or in a saved web page, to a sorted recipe.

Read from the vocabulary at schema.org (Recipe, HowToStep, HowToSection, QuantitativeValue) and from the
JSON-LD 1.1 recommendation of the W3C, as far as pages use it: one object, a list, or a `@graph`.
"""

from __future__ import annotations

import html
import json
import re
from bisect import bisect_right
from collections.abc import Iterator
from typing import Any

from perflour.recipe.plain_text import part_name
from perflour.recipe.recipe_text import PartLines, RecipeText, TextLine
from perflour.recipe.steps import Paragraph
from perflour.result import CannotRun, Place, request_field

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
_DEPTH = 12


def sorted_web_page(text: str, path: str, wanted: str = "") -> RecipeText:
    """The recipe of a page; ``wanted`` names one of several. Raises CannotRun where there is none."""
    places = _Places(text, path)
    found = [node for data in _documents(text, path) for node in _recipes(data, 0)]
    titles = [_text(node.get("name")) for node in found]
    if wanted:
        found = [n for n, t in zip(found, titles, strict=True) if t.lower() == wanted.lower()]
    if not found:
        hint = f"it has {', '.join(titles)}" if titles else "save the whole page, or paste the text"
        raise CannotRun(
            f"{path}: no schema.org Recipe {f'named {wanted!r} ' if wanted else ''}found; {hint}"
        )
    if len(found) > 1:
        raise CannotRun(
            f"{path}: holds {len(found)} recipes; name one with {request_field('recipe')}: {', '.join(titles)}"
        )
    return _sorted(found[0], places)


class _Places:
    """Where a text stands in the file: the next place that spells it, forward."""

    def __init__(self, text: str, path: str) -> None:
        self.text, self.path = text, path
        self.starts = [0, *(match.end() for match in re.finditer("\n", text))]
        self.at = 0

    def of(self, text: str) -> Place:
        """The place of a text, the last one found where the file spells it otherwise."""
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
    if text.lstrip("\ufeff \t\r\n")[:1] in ("{", "["):
        yield _json(text, path)
        return
    for script in _scripts(text):
        try:
            yield _json(script, path)
        except CannotRun:
            continue  # one broken script of many; a page without any recipe is told of


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


def _sorted(node: dict[str, Any], places: _Places) -> RecipeText:
    title = _text(node.get("name"))
    yields = _yield(node.get("recipeYield", node.get("yield")))
    listed = _texts(node.get("recipeIngredient", node.get("ingredients")))
    places.at = max(places.text.find('"recipeIngredient"'), places.text.find('"ingredients"'), 0)
    start = places.at
    part_lines = tuple(_part_lines(listed, places))
    places.at = start = max(places.text.find('"recipeInstructions"'), 0) or start
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
