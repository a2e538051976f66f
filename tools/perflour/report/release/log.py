"""Release logs as text, Markdown, JSON and HTML."""

from __future__ import annotations

import shlex
from dataclasses import asdict
from typing import Any

from perflour.plain import one_line, visible
from perflour.release.at_a_commit import Evidence
from perflour.release.printed import Corrected, PrintedAmount
from perflour.release.release import Prepared, Release, Released
from perflour.report.diff.text import difference_data
from perflour.report.form.html_page import html_page
from perflour.report.form.json_text import json_text
from perflour.report.form.moves import moves_html, moves_markdown, moves_text
from perflour.report.history.changelogs import bake_data, escaped, item
from perflour.report.history.trials import baked_as_data, trial_data
from perflour.report.lint import result_data
from perflour.report.release.audiences import FIRST, Telling, sections, summary_of, title_of
from perflour.report.release.words import gate_lines, next_commands
from perflour.system.paths import display_path
from perflour.system.terminal import painted

TEAM = Telling()


def release_text(release: Release, telling: Telling = TEAM) -> str:
    """For a terminal."""
    lines = [one_line(title_of(release, telling)), one_line(summary_of(release, telling))]
    for section in sections(release, telling):
        lines += ["", section.title]
        for entry in section.entries:
            lines.append(f"  {one_line(entry.title)}")
            lines += [f"    {one_line(line)}" for line in entry.lines]
            lines += [f"    {line}" for line in moves_text(entry.moves, 4)]
    return "\n".join(lines) + "\n"


def release_markdown(release: Release, telling: Telling = TEAM) -> str:
    """The file that goes with a tag."""
    lines = [
        f"# {escaped(title_of(release, telling))}",
        "",
        escaped(summary_of(release, telling)),
    ]
    for section in sections(release, telling):
        lines += ["", f"## {section.title}"]
        was_item = False
        for entry in section.entries:
            said = [*entry.lines, *entry.moves.remarks]
            was_item, follows = not (said or entry.moves.rows), was_item
            if was_item:
                lines += [*([] if follows else [""]), item(entry.title)]
                continue
            lines += ["", f"### {escaped(entry.title)}", *([""] if said else []), *map(item, said)]
            if table := moves_markdown(entry.moves, escaped):
                lines += ["", *table[:-1]]
    return "\n".join(lines) + "\n"


def release_html(release: Release, telling: Telling = TEAM) -> str:
    """One page that needs no network."""
    from perflour.report.history.html import nested

    return html_page(
        "release.html",
        title=one_line(title_of(release, telling)),
        summary=one_line(summary_of(release, telling)),
        first=FIRST,
        sections=[
            {
                "title": section.title,
                "entries": [
                    {
                        "title": one_line(entry.title),
                        "items": nested(entry.lines),
                        "moves": moves_html(entry.moves),
                    }
                    for entry in section.entries
                ],
            }
            for section in sections(release, telling)
        ],
    )


#: Of the JSON: one more for each change of a key or of what it means. schema/release.schema.json.
FORMAT = 2


def release_json(release: Release, _: Telling = TEAM) -> str:
    """Exact values, all of them, whoever they are for; valid against schema/release.schema.json."""
    data = {
        "format": FORMAT,
        "from": release.start or None,
        "to": release.end,
        "date": release.day,
        "formulas": [_formula_data(formula) for formula in release.formulas],
    }
    return json_text(data) + "\n"


def _formula_data(formula: Released) -> dict[str, Any]:
    difference = formula.difference
    return {
        "formula": formula.id,
        "title": formula.title,
        "path": formula.path,
        "title_before": formula.title_before or None,
        "status": formula.status or None,
        "status_before": formula.status_before or None,
        "for_readers": formula.turn,
        "breaking": [asdict(change) for change in formula.breaking],
        "percent_of_basis": {s.name: {"before": s.before, "after": s.after} for s in formula.moves},
        "corrections": [_correction_data(one) for one in formula.corrections],
        "changes": difference_data(difference)["changes"] if difference else [],
        "evidence": _evidence_data(formula.evidence) if formula.evidence else None,
    }


def _correction_data(one: Corrected) -> dict[str, Any]:
    return {
        "item": one.item or None,
        "because": one.because,
        "amounts": [
            {"part": m.part, "item": m.item, "before": _amount_data(m.before), "after": _amount_data(m.after)}
            for m in one.amounts
        ],
        "facts": [asdict(fact) for fact in one.facts],
    }  # fmt: skip


def _amount_data(amount: PrintedAmount | None) -> dict[str, Any] | None:
    return {"mass_g": amount.mass_g, "measure": amount.measure or None} if amount else None


def _evidence_data(evidence: Evidence) -> dict[str, Any]:
    known = evidence.allergens
    return {
        "revision": evidence.revision or None,
        "blocked": evidence.is_blocked,
        "bakes": [bake_data(bake) for bake in evidence.bakes],
        "sessions": [session.name for session in evidence.sessions],
        "baked_as": [baked_as_data(baked) for baked in evidence.baked_as],
        "trials": [trial_data(told) for told in evidence.trials],
        "rejected_by": [bake.name for bake in evidence.rejecting],
        "lint": [result_data(result) for result in evidence.results],
        "allergens_us": [b.allergen for b in known.us] if known else None,
        "allergens_eu": [b.allergen for b in known.eu] if known else None,
        "allergens_not_known_of": list(known.not_known) if known else None,
        "waivers": [
            {"rule": w.rule, "item": w.item or None, "because": w.because} for w in evidence.waivers
        ],
    }


def prepared_text(prepared: Prepared) -> str:
    """What was written and what to run next, or what blocks the release."""
    if blocking := list(gate_lines(prepared)):
        blocked = f"release {one_line(prepared.version)} is blocked, nothing was written:"
        lines = [painted(blocked, "stop")]
        return "\n".join([*lines, *(f"  {one_line(line)}" for line in blocking)]) + "\n"
    shown = display_path(str(prepared.path))
    commands = next_commands(prepared, shlex.quote(shown))
    return (
        "\n".join(
            [f"written: {visible(shown)}", "now run:", *(f"  {visible(c)}" for c in commands)]
        )
        + "\n"
    )
