"""What is told of the place under the cursor: an ingredient line, a step, a rule."""

from collections.abc import Iterator
from typing import NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.parts import PartBalance, Weighed
from perflour.documents.reader import Node, child
from perflour.editor.food import allergen_lines, figure_lines, food_line, state_lines, unit_lines
from perflour.editor.page import Marked, Page
from perflour.editor.place import place_in
from perflour.editor.text import Span
from perflour.editor.words import mass_words, percent_words
from perflour.formula.formula import Step, Use
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.figures import counted, grams
from perflour.kitchen.house import House
from perflour.kitchen.names import fold
from perflour.lint.rules.described import Described, described_rules
from perflour.report.rules import rule_text


class Told(NamedTuple):
    """What is told of a stretch of the text: a title, and lines below it, all as plain text."""

    span: Span
    title: str
    lines: tuple[str, ...]


def told_at(page: Page, at: int, results: tuple[Marked, ...]) -> tuple[Told, ...]:
    """All that is told of a place; nothing where there is nothing to tell."""
    return tuple(_told(page, at, results))


def _told(page: Page, at: int, results: tuple[Marked, ...]) -> Iterator[Told]:
    if page.balance is not None:
        yield from _of_line(page, page.balance, at)
        yield from _of_step(page, page.balance, at)
    rules = {rule.id: rule for rule in described_rules()}
    named = _rule_named(page, at, rules)
    reported = {one.result.rule: one.span for one in results if one.span.holds(at)}
    for name, span in {**reported, **named}.items():
        if name in rules:
            title, _, text = rule_text(rules[name]).partition("\n")
            yield Told(span, title, tuple(text.strip().split("\n")))


def _rule_named(page: Page, at: int, rules: dict[str, Described]) -> dict[str, Span]:
    """The id of a rule under the cursor, as a waiver or a house file names it."""
    spot = place_in(page.text, at, whole=True)
    if spot is None or spot.typed not in rules:
        return {}
    of_waiver = spot.path[:1] == ("waivers",) and spot.path[-1:] == ("rule",)
    of_house = page.kind == "house" and spot.path[:1] in (("rules",), ("limits",)) and spot.is_key
    return {spot.typed: spot.span} if of_waiver or of_house else {}


def _of_line(page: Page, balance: Balance, at: int) -> Iterator[Told]:
    for part in balance.parts:
        for weighed in part.lines:
            span = page.text.of_node(weighed.line.node)
            if span.holds(at) and span.start < at + 1:
                yield Told(
                    span, weighed.line.name, tuple(_line_words(page, balance, part, weighed, at))
                )
                return


def _line_words(
    page: Page, balance: Balance, part: PartBalance, weighed: Weighed, at: int
) -> Iterator[str]:
    line, catalogue = weighed.line, page.kitchen.catalogue
    if not line.is_part:
        yield food_line(weighed, catalogue)
    yield from _share_words(page.kitchen.house, balance, part, weighed)
    yield from figure_lines(weighed)
    if _is_under(page, line.node, "amount", at):
        yield from unit_lines(weighed)
    if line.state and _is_under(page, line.node, "state", at):
        yield from state_lines(weighed)
    if not line.is_part:
        yield from allergen_lines(weighed)


def _share_words(
    house: House, balance: Balance, part: PartBalance, weighed: Weighed
) -> Iterator[str]:
    """The mass, and the percentage with whose it is."""
    share = percent_words(weighed)
    of = f", {share} of {balance.of_part(part)}" if share else ""
    why = weighed.line.amount.problem or weighed.reason
    said = getattr(why, "message", None) or getattr(why, "reason", "")
    lacks = f": {said}" if said and weighed.mass is None else ""
    yield f"{mass_words(weighed, house)}{lacks}{of}"
    if weighed.in_basis:
        yield "counts towards the 100 %"


def _is_under(page: Page, line: Node, key: str, at: int) -> bool:
    node = child(line, key)
    return node is not None and page.text.of_node(node).holds(at)


def _of_step(page: Page, balance: Balance, at: int) -> Iterator[Told]:
    for number, step in enumerate(balance.formula.method, 1):
        span = page.text.of_node(step.node)
        if span.holds(at) and not _is_before_next(page, balance, number, at):
            yield Told(span, f"step {number}: {step.do}", tuple(_step_words(page, balance, step)))
            return


def _is_before_next(page: Page, balance: Balance, number: int, at: int) -> bool:
    """Whether a step in lines of its own only ends where the next one begins."""
    method = balance.formula.method
    return number < len(method) and page.text.of_node(method[number].node).start <= at


def _step_words(page: Page, balance: Balance, step: Step) -> Iterator[str]:
    if not step.uses:
        yield "names nothing that it uses"
    for use in step.uses:
        yield f"uses {use.said}; listed: {_listed(page, balance, use)}"
    if step.text("makes"):
        yield f"makes the part {step.text('makes')}"


def _listed(page: Page, balance: Balance, use: Use) -> str:
    """What is listed of a name, and where; of a part what it weighs."""
    house, catalogue = page.kitchen.house, page.kitchen.catalogue
    for part in balance.parts:
        if fold(part.part.name) == fold(use.name):
            lines = counted(len(part.lines), "line")
            return f"the part of {lines}, {grams(part.mass_g, house.scale_resolution_g)} g"
    found = list(_lines_of(balance, catalogue, use.name))
    said = ", ".join(f"{mass_words(weighed, house)} in {name}" for name, weighed in found)
    return said or "nowhere"


def _lines_of(balance: Balance, catalogue: Catalogue, name: str) -> Iterator[tuple[str, Weighed]]:
    main = catalogue.main_name(name)
    for part in balance.parts:
        for weighed in part.lines:
            if not weighed.line.is_part and main == fold(weighed.name):
                yield part.part.name, weighed
