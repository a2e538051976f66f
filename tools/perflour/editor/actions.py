"""What can be done about a place of a formula: mended, waived, spelled as the house does."""

from collections.abc import Callable, Iterator, Sequence
from typing import Literal, NamedTuple

from perflour.documents.layout import as_scalar
from perflour.documents.reader import Node, child, items_of
from perflour.editor.mentions import TELLS, mention_at, mentions
from perflour.editor.page import Marked, Page
from perflour.editor.rename import CannotRename, renamed
from perflour.editor.text import Edit, Span, becoming
from perflour.editor.waiving import waiver_edit, without_waiver
from perflour.formula.formula import TEMPERATURES
from perflour.kitchen.numbers import right_way_up
from perflour.lint.rules.all_rules import RULES
from perflour.lint.rules.mendable import MENDABLE
from perflour.result import FileProblem
from perflour.tidy.fixes import WAIVER_RULE, is_clear, mend_formula
from perflour.tidy.house_format import spell_amount, spell_temperature, weighed_in_house_format

Kind = Literal["mend", "mend all", "rewrite"]

_ORDER, _SCALE, _UPSIDE_DOWN = (
    "listed-out-of-order",
    "temperature-in-one-scale",
    "range-upside-down",
)


class Action(NamedTuple):
    """Something that can be done: its title, the edits, and what it is about."""

    title: str
    kind: Kind
    edits: tuple[Edit, ...]
    about: tuple[Marked, ...] = ()


def formatted(page: Page) -> tuple[Edit, ...]:
    """The edits that bring a formula into the house format; none for what cannot be read."""
    if page.document is None or page.balance is None:
        return ()
    content = page.text.encoded()
    try:
        after = weighed_in_house_format(
            content, page.document, page.balance, page.shown, page.kitchen
        )
    except FileProblem:
        return ()
    return becoming(page.text, after.content.decode())


def actions(page: Page, within: Span, results: Sequence[Marked]) -> tuple[Action, ...]:
    """What can be done about a stretch of the text."""
    if page.kind != "formula":
        return ()
    near = [one for one in results if one.span.touches(within)]
    found = [action for one in near for action in _about(page, one)]
    found += _spelled(page, within)
    return tuple(found)


def mended_all(page: Page, results: Sequence[Marked]) -> Action | None:
    """All that lint mends, at once, as where it writes the file; None where there is nothing."""
    about = tuple(one for one in results if one.result.rule in MENDABLE)
    if page.balance is None or not about:
        return None
    after = mend_formula(page.text.encoded(), page.shown, page.kitchen)
    edits = becoming(page.text, after.decode())
    return Action("Mend all that has one right answer", "mend all", edits, about) if edits else None


def _about(page: Page, one: Marked) -> Iterator[Action]:
    """What can be done about one result."""
    rule = one.result.rule
    if rule in MENDABLE and (edits := _mended(page, one)):
        yield Action(f"Mend {rule}", "mend", edits, (one,))
    if rule == "unknown-ingredient":
        yield from _near_names(page, one)
    can_be_waived = any(known.id == rule for known in RULES)
    if can_be_waived and (edit := waiver_edit(page, rule, one.result.subject)):
        about = f" for {one.result.subject}" if one.result.subject else ""
        yield Action(f"Waive {rule}{about}, with your reason", "mend", (edit,), (one,))


def _mended(page: Page, one: Marked) -> tuple[Edit, ...]:
    """One result mended and nothing else; of the order of lines with the whole house format."""
    rule = one.result.rule
    if rule == WAIVER_RULE:
        if page.balance is None or not is_clear(page.balance):
            return ()  # as lint: a rule may be silent only for what cannot be read
        return without_waiver(page, one.span.start)
    if rule == _ORDER:
        return formatted(page)
    respell = right_way_up if rule == _UPSIDE_DOWN else _in_both_scales
    return tuple(_respelled(page, one.span, respell))


def _in_both_scales(text: str) -> str:
    return spell_temperature(text, both=True)


def _respelled(page: Page, span: Span, respell: Callable[[str], str]) -> Iterator[Edit]:
    """The text at a place under another spelling."""
    for _, node in _amounts(page):
        where = page.text.of_node(node)
        if where.start == span.start and (new := respell(node.value)) != node.value:
            yield Edit(where, as_scalar(new).text or new)


def _amounts(page: Page) -> Iterator[tuple[str, Node]]:
    """Every text of the file that is an amount, a time or a temperature, with its key."""
    if page.document is None:
        return
    root = page.document.root
    for part in items_of(child(root, "parts")):
        for line in items_of(child(part, "ingredients")):
            for _, node in _texts(line, ("amount",)):
                yield ("share" if child(line, "item") is None else "amount"), node
    for step in items_of(child(root, "method")):
        yield from _texts(step, (*TEMPERATURES, "for"))
    if (yields := child(root, "yield")) is not None:
        yield from _texts(yields, ("scaling-weight",))


def _texts(mapping: Node, keys: Sequence[str]) -> Iterator[tuple[str, Node]]:
    for key in keys:
        node = child(mapping, key)
        if node is not None and isinstance(node.value, str):
            yield key, node


def _near_names(page: Page, one: Marked) -> Iterator[Action]:
    """The foods that an unknown name may have been meant to be."""
    for name in page.kitchen.catalogue.suggest(one.result.subject):
        yield from _named(page, one.span.start, name, f"Call it {name}", (one,))


def _named(
    page: Page, at: int, name: str, title: str, about: tuple[Marked, ...] = ()
) -> Iterator[Action]:
    try:
        edits = renamed(page, at, name)
    except CannotRename:
        return
    if edits:
        yield Action(title, "mend" if about else "rewrite", edits, about)


def _spelled(page: Page, within: Span) -> Iterator[Action]:
    """The house's spelling of a name, an amount or a temperature under the cursor."""
    here = mention_at(page, within.start)
    if here is not None and not here.thing.is_part:
        food = page.kitchen.catalogue.named(here.name)
        is_listed = any(one.thing == here.thing and one.role in TELLS for one in mentions(page))
        if food is not None and food.name != here.name and is_listed:
            yield from _named(page, within.start, food.name, f"Use the house's name: {food.name}")
    for key, node in _amounts(page):
        where = page.text.of_node(node)
        if where.touches(within) and (new := _house_spelling(key, node.value)) != node.value:
            edit = Edit(where, as_scalar(new).text or new)
            yield Action(f"Use the house's spelling: {new}", "rewrite", (edit,))


def _house_spelling(key: str, text: str) -> str:
    """An amount or a temperature as the house format spells it; it leaves times and shares of a part as they are."""
    if key in TEMPERATURES:
        return spell_temperature(text)
    return text if key in ("for", "share") else spell_amount(text)
