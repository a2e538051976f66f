"""A review as text, Markdown for a comment, HTML and JSON."""

import json
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from perflour.plain import markdown_in_html, one_line
from perflour.release.review import Review, Reviewed
from perflour.report.diff.summary import summary_line
from perflour.report.diff.text import change_text, difference_data, sections
from perflour.report.form.html_page import html_page
from perflour.report.history.changelogs import bake_data, bake_lines, count, escaped, item
from perflour.report.lint import result_data
from perflour.result import LEVELS, Result

# Characters of a comment that common hosts take: 65,536 (from memory), with room for what a bot adds.
LONGEST_COMMENT = 60_000
# Lines of one formula that are shown unfolded.
SHOWN_OPEN = 12


class Block(NamedTuple):
    """What is told of one formula or of the house: a headline, and lines under headings."""

    title: str
    groups: list[tuple[str, list[str]]]

    @property
    def lines(self) -> int:
        return sum(len(lines) for _, lines in self.groups)


def review_text(review: Review, policy: Iterable[str]) -> str:
    """For a terminal."""
    lines = [one_line(_title(review)), one_line(verdict(review, policy))]
    for block in _blocks(review):
        lines += ["", one_line(block.title)]
        for heading, said in block.groups:
            lines += [f"  {heading}", *(f"    {one_line(line)}" for line in said)]
    return "\n".join(lines) + "\n"


def review_markdown(review: Review, policy: Iterable[str]) -> str:
    """For a comment: long parts folded, and what would pass the hosts' limit left out and counted."""
    parts = [f"## {escaped(_title(review))}\n", f"**{escaped(verdict(review, policy))}**\n"]
    room = LONGEST_COMMENT - sum(map(len, parts)) - 200
    blocks = list(_blocks(review))
    for number, block in enumerate(blocks):
        part = _folded(block)
        if len(part) > room:
            more = count(len(blocks) - number, "more part")
            parts.append(f"_{more} left out for length: run `perflour review` here._\n")
            break
        parts.append(part)
        room -= len(part) + 1
    return "\n".join(parts)


def _folded(block: Block) -> str:
    rows: list[str] = []
    for heading, said in block.groups:
        rows += [f"**{escaped(heading)}**", "", *map(item, said), ""]
    text = "\n".join(rows)
    if block.lines <= SHOWN_OPEN:
        return f"### {escaped(block.title)}\n\n{text}"
    # inside of HTML Markdown's escapes would be shown
    return f"<details>\n<summary>{markdown_in_html(block.title)}</summary>\n\n{text}\n</details>\n"


def review_html(review: Review, policy: Iterable[str]) -> str:
    """One page that needs no network."""
    return html_page(
        "review.html",
        title=one_line(_title(review)),
        verdict=one_line(verdict(review, policy)),
        stopped=bool(review.stopped_by(policy)),
        blocks=[
            {
                "title": one_line(block.title),
                "open": block.lines <= SHOWN_OPEN,
                "groups": [
                    (heading, [one_line(line) for line in said]) for heading, said in block.groups
                ],
            }
            for block in _blocks(review)
        ],
    )


def review_json(review: Review, policy: Iterable[str]) -> str:
    """Exact values."""
    data = {
        "base": review.base,
        "head": review.head,
        "from": review.start,
        "to": review.end,
        "verdict": verdict(review, policy),
        "policy": list(policy),
        "stopped_by": list(review.stopped_by(policy)),
        "reasons": list(review.reasons),
        "formulas": [_formula_data(formula) for formula in review.formulas],
        "house": [change._asdict() for change in review.house],
        "other_results": [result_data(result) for result in review.others],
    }
    return json.dumps(data, ensure_ascii=False, indent=2, default=str) + "\n"


def _formula_data(formula: Reviewed) -> dict[str, Any]:
    return {
        "formula": formula.id,
        "title": formula.title,
        "path": formula.path,
        "status": formula.status or None,
        "revision": formula.revision or None,
        "is_new_revision": formula.is_new_revision,
        "reasons": list(formula.reasons),
        "difference": difference_data(formula.difference) if formula.difference else None,
        "bakes": [bake_data(bake) for bake in formula.bakes],
        "changelog_behind": formula.changelog_behind,
        "new_results": [result_data(result) for result in formula.new],
        "gone_results": [result_data(result) for result in formula.gone],
        "kept_results": formula.kept,
        "allergens_new": {name: list(by) for name, by in formula.allergens},
        "allergens_gone": list(formula.allergens_gone),
    }


def verdict(review: Review, policy: Iterable[str]) -> str:
    """One line: whether the branch may be merged under a policy, and what stands against it."""
    if not review.formulas and not review.house and not review.others:
        return "May be merged: no formula, test bake or house file changed."
    stops = review.stopped_by(policy)
    if stops:
        return f"Not yet: {'; '.join(_reason(review, reason) for reason in stops)}."
    changed = count(len(review.formulas), "formula") + " changed"
    look = "; ".join(_reason(review, reason) for reason in review.reasons)
    return f"May be merged: {changed}{f'; look at: {look}' if look else ', nothing stands against it'}."


def _reason(review: Review, reason: str) -> str:
    """A reason with what it is about."""
    held = [formula for formula in review.formulas if reason in formula.reasons]
    names = ", ".join(formula.id for formula in held)
    if reason in LEVELS:
        results = [*review.others, *(r for formula in held for r in formula.new)]
        number = len([result for result in results if result.level == reason])
        return count(number, f"new {reason}") + (f" ({names})" if names else "")
    if reason == "allergen":
        told = (f"{', '.join(name for name, _ in f.allergens)} ({f.id})" for f in held)
        return f"allergens newly there: {'; '.join(told)}"
    if reason == "untested":
        return f"no test bake of {count(len(held), 'new revision')} ({names})"
    return f"{count(len(held), 'changelog')} behind ({names})"


def _title(review: Review) -> str:
    return f"Review of {review.base}..{review.head}"


def _blocks(review: Review) -> Iterator[Block]:
    """The formulas that something stands against first, then the others, then the house."""
    for formula in sorted(review.formulas, key=lambda f: (not f.reasons, f.path)):
        title = f"{formula.title} ({formula.path})"
        yield Block(title, [(heading, said) for heading, said in _groups(formula) if said])
    if review.house:
        said = [
            f"{change.path}: {change.entry}: {_value(change.before)} -> {_value(change.after)}"
            for change in review.house
        ]
        yield Block("House files", [("changed", said)])
    if review.others:
        yield Block("Other files", [("new from lint", list(map(_result, review.others)))])


def _groups(formula: Reviewed) -> Iterator[tuple[str, list[str]]]:
    difference = formula.difference
    if difference:
        yield "in one line", [summary_line(difference)]
    if formula.allergens or formula.allergens_gone:
        yield "allergens, by what each food is: read the labels", list(_allergens(formula))
    yield "new from lint", list(map(_result, formula.new))
    yield "no longer said by lint", list(map(_result, formula.gone))
    if formula.is_new_revision:
        told = [line for bake in formula.bakes for line in bake_lines(bake)]
        yield f"test bakes of this revision ({formula.revision})", told or ["none"]
    if formula.changelog_behind:
        yield "changelog", ["does not tell of this revision; run perflour changelog --write"]
    if difference:
        yield "cannot be compared", [f"{r.place}: {r.message}" for r in difference.unreadable]
        for title, changes in sections(difference.changes):
            yield title, [change_text(change) for change in changes]


def _allergens(formula: Reviewed) -> Iterator[str]:
    for name, by in formula.allergens:
        yield f"newly there: {name}, from {', '.join(by)}"
    if formula.allergens_gone:
        yield f"not there any more: {', '.join(formula.allergens_gone)}"


def _result(result: Result) -> str:
    return f"line {result.place.line}, {result.level}: {result.message} [{result.rule}]"


def _value(value: object) -> str:
    return "nothing" if value is None else json.dumps(value, ensure_ascii=False, default=str)
