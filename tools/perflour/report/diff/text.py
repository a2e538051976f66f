"""Differences as text, Markdown and JSON."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.balance.balance import Balance
from perflour.balance.ratios import FINE_RATIOS
from perflour.diff.change import Change, LineChange, MassChange, RatioChange, Scaling, is_doubted
from perflour.diff.difference import Difference
from perflour.diff.kinds import SECTIONS, kind_of
from perflour.plain import markdown, one_line
from perflour.report.diff.data import change_data
from perflour.report.diff.figures import reads_the_same
from perflour.report.diff.summary import summary_line
from perflour.report.diff.words import change_text
from perflour.report.form.json_text import json_text
from perflour.system.terminal import painted
from perflour.typed import Any

__all__ = ["change_data", "change_text", "difference_data", "differences_json", "differences_markdown", "differences_text", "sections", "worth_saying"]  # fmt: skip


#: Of the JSON: one more for each change of a key or of what it means. schema/diff.schema.json.
FORMAT = 1
# A derived ratio that moved by less than this of its usual width is no news.
LEAST_SAID = 0.01
# A tuple is asked in half the time that a union takes.
_OF_PERCENT = (LineChange, RatioChange)


def worth_saying(changes: Sequence[Change]) -> list[Change]:
    """The changes without what only follows from others and tells nothing by itself.

    That is a derived ratio that repeats one ingredient or another ratio, hardly moves, or reads the
    same as before; and a percentage that reads the same and only followed the flour.
    """
    said: set[tuple[str, str]] = set()
    kept: list[Change] = []
    for change in changes:
        if not isinstance(change, _OF_PERCENT) or change.kind == "ratio-unknown":
            kept.append(change)
            continue
        if change.kind == "follows-basis" and reads_the_same(change):
            continue
        move = (f"{change.before_percent or 0:.2f}", f"{change.after_percent or 0:.2f}")
        if isinstance(change, LineChange) or change.crossing or not _is_idle(change, move in said):
            kept.append(change)
        said.add(move)
    return kept


def _is_idle(change: RatioChange, is_repeated: bool) -> bool:
    if change.subject in FINE_RATIOS and not change.after_percent:
        return False  # that none is left is news, whatever else says so
    return is_repeated or change.importance < LEAST_SAID or reads_the_same(change)


def sections(changes: Sequence[Change]) -> list[tuple[str, list[Change]]]:
    """The changes worth saying by section, empty sections left out."""
    changes = worth_saying(changes)
    found = {section: [c for c in changes if kind_of(c).section == section] for section in SECTIONS}
    return [(section, within) for section, within in found.items() if within]


def _name(difference: Difference) -> str:
    return f"{difference.title} ({difference.id})"


def _told(difference: Difference) -> list[tuple[str, list[str]]]:
    """The sections in words."""
    return [
        (title, [change_text(change) for change in changes])
        for title, changes in sections(difference.changes)
    ]


def differences_text(differences: Sequence[Difference]) -> str:
    """For a terminal: each formula's summary, then its changes; empty for no differences."""
    blocks = []
    for difference in differences:
        lines = [summary_line(difference), f"  {_name(difference)}"]
        lines += [f"  {r.place}: {r.message}" for r in difference.unreadable]
        lines = [*map(one_line, lines)]
        for title, changes in sections(difference.changes):
            lines.append(painted(f"  {one_line(title)}", "head"))
            lines += [painted(f"    {one_line(change_text(c))}", _look(c)) for c in changes]
        blocks.append("\n".join(lines) + "\n")
    return "\n".join(blocks)


def _look(change: Change) -> str:
    """More or less of something than before, and beyond the measuring; its line says so too."""
    if change.kind.endswith(("added", "removed")):
        return "more" if change.kind.endswith("added") else "less"
    if is_doubted(change):
        return ""
    match change:
        case LineChange() | RatioChange():
            before, after = change.before_percent, change.after_percent
        case MassChange() | Scaling():
            before, after = change.before_g, change.after_g
        case _:
            return ""
    if before is None or after is None or before == after:
        return ""
    return "more" if after > before else "less"


def differences_markdown(differences: Sequence[Difference]) -> str:
    """For a pull request."""
    blocks = []
    for difference in differences:
        lines = [f"### {markdown(_name(difference))}", ""]
        lines += [markdown(summary_line(difference)), ""]
        lines += [f"- {markdown(f'{r.place}: {r.message}')}" for r in difference.unreadable]
        for title, said in _told(difference):
            lines += [f"**{title}**", "", *(f"- {markdown(text)}" for text in said), ""]
        blocks.append("\n".join(lines).rstrip() + "\n")
    return "\n".join(blocks)


def differences_json(differences: Sequence[Difference]) -> str:
    """Exact values, valid against schema/diff.schema.json."""
    rows = [difference_data(difference) for difference in differences]
    return json_text({"format": FORMAT, "formulas": rows}) + "\n"


def _basis(side: Balance) -> dict[str, Any]:
    """What is 100 % on one side, by itself."""
    items = [line.name for line in side.total if line.in_basis]
    return {"of": side.of, "items": items, "mass_g": side.basis_g}


def difference_data(difference: Difference) -> dict[str, Any]:
    """One difference as plain data."""
    return {
        "formula": difference.id,
        "title": difference.title,
        "path": difference.path,
        "summary": summary_line(difference),
        "was_there": difference.before is not None,
        "is_there": difference.after is not None,
        "basis": list(difference.basis_items),
        "bases": {
            name: _basis(side) if side else None
            for name, side in (("before", difference.before), ("after", difference.after))
        },
        "factor": next(
            (c.factor for c in difference.changes if isinstance(c, Scaling) and not c.subject), 1.0
        ),
        "changes": [change_data(change) for change in difference.changes],
        "unreadable": [f"{r.place}: {r.message}" for r in difference.unreadable],
    }
