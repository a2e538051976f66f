"""Differences as text, Markdown and JSON."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any

from perflour.change import Change
from perflour.difference import Difference
from perflour.report.markdown import markdown_escape
from perflour.report.numbers import factor, grams, percent, signed
from perflour.result import one_line

Wording = Callable[[Change, str], str]


def change_text(change: Change, basis: str = "flour") -> str:
    """One change in one line, in the words of a baker."""
    return one_line(_WORDING[change.kind](change, basis))


def basis_word(difference: Difference) -> str:
    """What 100 % is called: flour, or the one item that stands for it, or the basis."""
    formula = difference.after or difference.before
    if formula is None or not formula.formula.basis:
        return "flour"
    items = formula.formula.basis
    return items[0] if len(items) == 1 else "the basis"


def _amount(change: Change, basis: str) -> str:
    assert change.before is not None and change.after is not None and change.delta is not None
    moved = f"{change.subject} {percent(change.before, change.fine)} % -> {percent(change.after, change.fine)} %, {signed(change.delta, change.fine)} % of {basis}"
    return moved + (
        ""
        if change.beyond_spread
        else f" (within the measuring spread, ± {change.spread or 0:.2g})"
    )


def _re_measured(change: Change, basis: str) -> str:
    assert change.before is not None and change.after is not None
    masses = f"{grams(change.grams_before or 0)} g -> {grams(change.grams_after or 0)} g"
    percents = f"{percent(change.before, change.fine)} % -> {percent(change.after, change.fine)} %"
    return f"{change.subject} re-measured only: {change.text_before} -> {change.text_after} ({masses}, {percents} of {basis})"


def _added(change: Change, basis: str) -> str:
    share = (
        f", {percent(change.after, change.fine)} % of {basis}" if change.after is not None else ""
    )
    return f"{change.subject} added to {change.part}: {change.text_after}{share}"


def _removed(change: Change, basis: str) -> str:
    share = (
        f", {percent(change.before, change.fine)} % of {basis}" if change.before is not None else ""
    )
    return f"{change.subject} removed from {change.part}: {change.text_before}{share}"


def _batch(change: Change, _: str) -> str:
    tail = f", {change.text_after}" if change.text_after else ""
    return f"batch {factor(change.delta or 1)}{tail} ({grams(change.before or 0)} g -> {grams(change.after or 0)} g)"


def _basis(change: Change, basis: str) -> str:
    moved = f"{basis} {grams(change.before or 0)} g -> {grams(change.after or 0)} g"
    return moved + (
        ": every percentage moves against it"
        if change.beyond_spread
        else " (within the measuring spread)"
    )


def _from_to(change: Change, _: str) -> str:
    return (
        f"{change.subject}: {change.text_before or 'nothing'} -> {change.text_after or 'nothing'}"
    )


_WORDING: dict[str, Wording] = {
    "batch-scaled": _batch,
    "basis": _basis,
    "amount": _amount,
    "re-measured": _re_measured,
    "amount-as-written": _from_to,
    "added": _added,
    "removed": _removed,
    "moved": lambda c, _: f"{c.subject} moved from {c.text_before} to {c.text_after}",
    "renamed": lambda c, _: f"{c.text_before} now called {c.text_after}",
    "state": lambda c, _: (
        f"{c.subject}: {c.text_before or 'as it is'} -> {c.text_after or 'as it is'}"
    ),
    "ratio": _amount,
    "step-added": lambda c, _: f"step added: {c.subject}",
    "step-removed": lambda c, _: f"step removed: {c.subject}",
    "step-moved": lambda c, _: f"step moved: {c.subject}",
    "step-changed": _from_to,
    "bake": _from_to,
    "yield": _from_to,
    "mass-per-piece": lambda c, _: (
        f"mass per piece {grams(c.before or 0)} g -> {grams(c.after or 0)} g"
    ),
    "header": _from_to,
}

SECTIONS = (
    (
        "ingredients",
        (
            "batch-scaled",
            "basis",
            "amount",
            "re-measured",
            "amount-as-written",
            "added",
            "removed",
            "moved",
            "renamed",
            "state",
        ),
    ),
    ("ratios", ("ratio",)),
    ("method", ("step-added", "step-removed", "step-moved", "step-changed")),
    ("bake", ("bake",)),
    ("yield", ("yield", "mass-per-piece")),
    ("text", ("header",)),
)


def worth_saying(changes: Sequence[Change]) -> list[Change]:
    """The changes without ratios that only repeat one ingredient or another ratio."""
    said: set[tuple[str, str]] = set()
    kept = []
    for change in changes:
        move = (f"{change.before or 0:.2f}", f"{change.after or 0:.2f}")
        if change.kind != "ratio" or move not in said:
            kept.append(change)
        said.add(move)
    return kept


def sections(changes: Sequence[Change]) -> list[tuple[str, list[Change]]]:
    """The changes worth saying by section, empty sections left out."""
    changes = worth_saying(changes)
    found = ((title, [c for c in changes if c.kind in kinds]) for title, kinds in SECTIONS)
    return [(title, within) for title, within in found if within]


def _headline(difference: Difference) -> str:
    name = f"{difference.title} ({difference.id})"
    if difference.unreadable:
        return f"{name}: cannot be compared"
    if difference.before is None:
        return f"{name}: new formula"
    if difference.after is None:
        return f"{name}: formula removed"
    return name


def differences_text(differences: Sequence[Difference]) -> str:
    """For a terminal; empty for no differences."""
    blocks = []
    for difference in differences:
        lines = [_headline(difference)]
        lines += [f"  {r.place}: {r.message}" for r in difference.unreadable]
        for title, changes in sections(difference.changes):
            lines.append(f"  {title}")
            lines += [f"    {change_text(change, basis_word(difference))}" for change in changes]
        blocks.append("\n".join(lines) + "\n")
    return "\n".join(blocks)


def differences_markdown(differences: Sequence[Difference]) -> str:
    """For a pull request."""
    blocks = []
    for difference in differences:
        lines = [f"### {markdown_escape(_headline(difference))}", ""]
        lines += [f"- {markdown_escape(f'{r.place}: {r.message}')}" for r in difference.unreadable]
        for title, changes in sections(difference.changes):
            lines += [f"**{title}**", ""]
            lines += [
                f"- {markdown_escape(change_text(change, basis_word(difference)))}"
                for change in changes
            ]
            lines.append("")
        blocks.append("\n".join(lines).rstrip() + "\n")
    return "\n".join(blocks)


def differences_json(differences: Sequence[Difference]) -> str:
    """Exact values."""
    rows = [difference_data(difference) for difference in differences]
    return json.dumps({"formulas": rows}, ensure_ascii=False, indent=2) + "\n"


def difference_data(difference: Difference) -> dict[str, Any]:
    """One difference as plain data."""
    return {
        "formula": difference.id,
        "title": difference.title,
        "path": difference.path,
        "was_there": difference.before is not None,
        "is_there": difference.after is not None,
        "basis": list(difference.basis_items),
        "changes": [change_data(change) for change in difference.changes],
        "unreadable": [f"{r.place}: {r.message}" for r in difference.unreadable],
    }


def change_data(change: Change) -> dict[str, Any]:
    """One change as plain data, what it does not have left out."""
    data = {
        "kind": change.kind,
        "part": change.part or None,
        "subject": change.subject or None,
        "before": change.before,
        "after": change.after,
        "delta": change.delta,
        "spread": change.spread,
        "beyond_spread": change.beyond_spread,
        "grams_before": change.grams_before,
        "grams_after": change.grams_after,
        "text_before": change.text_before or None,
        "text_after": change.text_after or None,
    }
    return {key: value for key, value in data.items() if value is not None}
