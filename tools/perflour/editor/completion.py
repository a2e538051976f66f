"""What may stand at the cursor: keys and values of the schema, and the words of the kitchen and of the formula."""

import re
from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from perflour.documents.layout import as_scalar
from perflour.editor.page import Page
from perflour.editor.place import Spot, place_in
from perflour.editor.shape import choices_at, described, keys_at
from perflour.editor.text import Edit, Span
from perflour.formula.verbs import every_verb
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.names import fold, normal_name
from perflour.kitchen.quantity import HALF, REST, SHARES
from perflour.kitchen.states import INERT_IN
from perflour.kitchen.units import usual_units
from perflour.lint.rules.all_rules import RULES
from perflour.lint.rules.described import described_rules

Kind = Literal["key", "choice", "food", "part", "unit", "state", "verb", "rule"]

#: So many are offered at once; more are asked for as somebody goes on typing.
MOST_OFFERED = 300
# A number as bakers write it, and the letters behind it.
_UNIT = re.compile(r"(?:.*[\d½¼¾⅓⅔⅛)]\s*|.*\bplus\s+[\d/ ]+\s*)(?P<unit>[^\d\s]*)$", re.DOTALL)
_REST_OF_WORD = re.compile(r"[A-Za-z-]*")
_REST_OF_NAME = re.compile(r"[^,\[\]{}\r\n#:'\"]*")
_PORTION = re.compile(r"^(?P<words>.*\bof )(?P<name>[^,]*)$")
_TOLD = re.compile(r"\b(item|part):[ \t]*(?:'([^'\n]+)'|\"([^\"\n]+)\"|([^,}\]\n#'\"]+))")


class Offer(NamedTuple):
    """A word for the place of the cursor, and the edit that puts it there; ``detail`` is a few words beside it."""

    word: str
    kind: Kind
    edit: Edit
    detail: str = ""
    more: str = ""


class _Word(NamedTuple):
    word: str
    kind: Kind
    detail: str = ""
    more: str = ""


class Offers(NamedTuple):
    """What is offered; not ``all`` of it where there are too many to be listed."""

    offers: tuple[Offer, ...]
    all: bool = True


def offers_at(page: Page, at: int) -> Offers:
    """What may stand at a place of the text."""
    spot = place_in(page.text, at)
    if spot is None:
        return Offers(())
    if spot.is_key:
        spot = _with_entries_around(page, spot)
        words: Iterable[_Word] = _keys(page, spot)
        is_there = page.text.content[_rest(page, spot, "key") :].startswith(":")
        return _offers(page, spot, words, "" if is_there else ": ")
    return _offers(page, *_values(page, spot))


def _offers(page: Page, spot: Spot, words: Iterable[_Word], behind: str = "") -> Offers:
    """The words that what is typed may become, those that begin so first."""
    typed = normal_name(spot.typed)
    fitting = [one for one in words if _fits(normal_name(one.word), typed)]
    fitting.sort(key=lambda one: not normal_name(one.word).startswith(typed))
    in_quotes = page.text.content[spot.span.start - 1 : spot.span.start] in ("'", '"')
    ends = {kind: _rest(page, spot, kind) for kind in {one.kind for one in fitting}}
    offers = [
        _offer(spot._replace(span=Span(spot.span.start, ends[one.kind])), one, behind, in_quotes)
        for one in fitting[:MOST_OFFERED]
    ]
    return Offers(tuple(offers), len(fitting) <= MOST_OFFERED and not typed)


def _rest(page: Page, spot: Spot, kind: Kind) -> int:
    """Where the word or name ends that the cursor stands in, which what is offered takes the place of."""
    pattern = _REST_OF_WORD if kind in ("key", "unit") else _REST_OF_NAME
    found = pattern.match(page.text.content, spot.span.end)
    return spot.span.end + len(found[0].rstrip()) if found else spot.span.end


def _fits(word: str, typed: str) -> bool:
    return word.startswith(typed) or f" {typed}" in f" {word}"


def _offer(spot: Spot, one: _Word, behind: str, in_quotes: bool) -> Offer:
    plain = in_quotes or one.kind in ("key", "unit", "choice", "rule")
    written = one.word if plain else as_scalar(one.word).text or one.word
    return Offer(one.word, one.kind, Edit(spot.span, written + behind), one.detail, one.more)


def _with_entries_around(page: Page, spot: Spot) -> Spot:
    """A key's spot with the keys that are there already: at the top all of the text, in braces those behind."""
    content = page.text.content
    if not spot.path:
        there = re.findall(r"^([a-z][a-z-]*):", content, re.MULTILINE)
    else:
        rest = content[spot.span.end : page.text.line_end(page.text.line_at(spot.span.end))]
        there = re.findall(r"[{,]\s*([a-z-]+):", rest.partition("}")[0])
    return spot._replace(beside={**dict.fromkeys(there, ""), **spot.beside})


def _keys(page: Page, spot: Spot) -> Iterator[_Word]:
    if page.kind == "house" and spot.path in (("rules",), ("limits",)):
        yield from _rules(spot.beside)
        return
    if page.kind == "house" and spot.path[:1] == ("limits",):
        limits = (rule.parameters for rule in RULES if rule.id == spot.path[-1])
        yield from (_Word(name, "key", f"usually {value:g}") for some in limits for name, value in some.items())  # fmt: skip
        return
    for key, schema in keys_at(page.kind, spot.path).items():
        if key not in spot.beside and not _is_other_way(key, spot):
            yield _Word(key, "key", *described(schema))


def _is_other_way(key: str, spot: Spot) -> bool:
    """Whether a line names an item already where a part is offered, or a part where an item is."""
    is_line = len(spot.path) == 4 and spot.path[2] == "ingredients"
    return is_line and {key, *spot.beside} >= {"item", "part"}


def _values(page: Page, spot: Spot) -> tuple[Spot, Iterable[_Word]]:
    """The words for a value, and the spot of what of it they replace."""
    if page.kind == "formula":
        match _shape(spot):
            case ("amount",) if "part" in spot.beside:
                return spot, _shares()
            case ("amount",) | ("scaling-weight",):
                return _behind_the_number(page, spot)
            case ("uses", "*"):
                return _behind_the_portion(page, spot)
    return spot, _words(page, spot)


def _shape(spot: Spot) -> tuple[str, ...]:
    """The end of a path: its last key, and a star behind it where the place is one of a list."""
    *_, last = spot.path or ("",)
    if isinstance(last, int):
        return (str(spot.path[-2]) if len(spot.path) > 1 else "", "*")
    return (last,)


def _words(page: Page, spot: Spot) -> Iterator[_Word]:
    for choice in choices_at(page.kind, spot.path):
        yield _Word(choice, "choice")
    if page.kind == "formula":
        yield from _words_of_formula(page, spot)


def _words_of_formula(page: Page, spot: Spot) -> Iterator[_Word]:
    match (spot.path[0] if spot.path else "", *_shape(spot)):
        case ("parts", "item"):
            yield from _foods(page.kitchen.catalogue)
        case ("parts", "part") if "ingredients" in spot.path:
            yield from _told(page, ("part",))
        case ("parts", "state"):
            yield from _states(page, spot)
        case ("method", "do"):
            yield from (_Word(verb, "verb") for verb in every_verb())
        case ("method", "makes"):
            yield from _told(page, ("part",))
        case ("basis", "basis", "*"):
            yield from _told(page, ("item",))
        case ("waivers" | "corrections", "item"):
            yield from _told(page, ("item", "part"))
        case ("waivers", "rule"):
            yield from _rules({})
        case ("class", "class"):
            for name, product in page.kitchen.house.classes.items():
                yield _Word(name, "choice", product.title)


def _foods(catalogue: Catalogue) -> Iterator[_Word]:
    """Foods as the house spells them: its own first, with their other names."""
    own = dict.fromkeys(name for food in catalogue.house.values() for name in (food.name, *food.aliases))  # fmt: skip
    for name in own:
        yield _Word(name, "food", "the house's own")
    for name in catalogue.names():
        if name not in own:
            food = catalogue.named(name)
            yield _Word(name, "food", food.group if food else "")


def _states(page: Page, spot: Spot) -> Iterator[_Word]:
    """The states that a food is measured in, then words that its kind takes."""
    food = page.kitchen.catalogue.find(spot.beside.get("item", ""))
    if food is None:
        return
    measured = [measure.state for measure in food.measures if measure.state]
    for state in dict.fromkeys(measured):
        yield _Word(state, "state", "has a figure of its own")
    for word, (groups, why) in INERT_IN.items():
        if food.group in groups and word not in measured:
            yield _Word(word, "state", "changes no mass", why)


def _rules(there: dict[str, str]) -> Iterator[_Word]:
    for rule in described_rules():
        if rule.id not in there:
            yield _Word(rule.id, "rule", rule.level, rule.headline)


def _told(page: Page, kinds: tuple[str, ...]) -> Iterator[_Word]:
    """The names that the text lists, though it may be broken elsewhere."""
    seen: set[str] = set()
    for found in _TOLD.finditer(page.text.content):
        name = (found[2] or found[3] or found[4]).strip()
        if found[1] in kinds and name and fold(name) not in seen:
            seen.add(fold(name))
            yield _Word(name, "part" if found[1] == "part" else "food")


def _behind_the_number(page: Page, spot: Spot) -> tuple[Spot, Iterable[_Word]]:
    """Units behind a number, the house's own first; before it is typed there is nothing to offer."""
    found = _UNIT.match(spot.typed)
    if not found:
        return spot, ()
    unit = found["unit"]
    span = Span(spot.span.end - len(unit), spot.span.end)
    own = dict.fromkeys(
        (own.name, own.kind) for _, own in page.kitchen.catalogue.said.customs.units
    )
    words = [_Word(name, "unit", kind) for name, kind in (*own, *usual_units())]
    return spot._replace(typed=unit, span=span), words


def _shares() -> Iterator[_Word]:
    for word in (*SHARES, "1/2", "1/3", "1/4"):
        yield _Word(word, "choice")


def _behind_the_portion(page: Page, spot: Spot) -> tuple[Spot, Iterable[_Word]]:
    """Names behind `rest of`, else names and what may stand before one."""
    names = list(_told(page, ("item", "part")))
    if found := _PORTION.match(spot.typed):
        start = spot.span.end - len(found["name"])
        return spot._replace(typed=found["name"], span=Span(start, spot.span.end)), names
    portions = [_Word(f"{word} of", "choice") for word in (REST, HALF)]
    return spot, [*names, *portions]
