"""A scaled formula as text and JSON."""

from __future__ import annotations

import json
from typing import Any

from perflour.diff.kinds import kind_of
from perflour.kitchen.figures import factor as factor_text
from perflour.kitchen.figures import grams
from perflour.plain import one_line
from perflour.report.diff.text import change_data, change_text, worth_saying
from perflour.report.form.columns import columns
from perflour.scale.request import Rescaled


def scaled_text(rescaled: Rescaled) -> str:
    """New amounts beside the old ones, then what rounding did to the ratios."""
    scaled, formula = rescaled.scaled, rescaled.before.formula
    rows: list[list[str]] = []
    part = None
    for line in scaled.lines:
        if line.part != part:
            part = line.part
            rows.append([part, "", "", "", ""])
        exact = "?" if line.exact_g is None else f"{line.exact_g:,.1f}"
        rows.append([f"  {line.item}", line.before, exact, line.amount, line.measure or ""])
    table = columns(["", "before", "exact g", "now", "household"], rows, "<<><<")
    lines = [
        f"{formula.title} ({formula.id}) {factor_text(scaled.factor)}: {scaled.reason}",
        "",
        *table,
        "",
    ]
    lines.append(f"batch        {grams(rescaled.after.batch_g)} g (exact {scaled.batch_g:,.1f} g)")
    if scaled.pieces and scaled.scaling_weight_g:
        lines.append(f"yield        {scaled.pieces} x {grams(scaled.scaling_weight_g)} g")
    lines += ["", *effect_lines(rescaled)]
    return "\n".join(map(one_line, lines)) + "\n"


def effect_lines(rescaled: Rescaled) -> list[str]:
    """What rounding and whole eggs did to the ratios, in words."""
    effect = rescaled.effect
    moved = [c for c in worth_saying(effect.changes) if kind_of(c).by_rounding]
    if not moved:
        return ["ratios unchanged"]
    return [
        "rounding moved these ratios:",
        *(f"  {change_text(c)}" for c in moved),
    ]


def scaled_formula(rescaled: Rescaled) -> str:
    """The new formula file."""
    return rescaled.content.decode()


def scaled_json(rescaled: Rescaled) -> str:
    """Exact values."""
    return json.dumps(scaled_data(rescaled), ensure_ascii=False, indent=2) + "\n"


def scaled_data(rescaled: Rescaled) -> dict[str, Any]:
    """The same as plain data."""
    scaled = rescaled.scaled
    return {
        "formula": rescaled.before.formula.id,
        "factor": scaled.factor,
        "reason": scaled.reason,
        "lines": [
            {
                "part": ln.part,
                "item": ln.item,
                "is_part": ln.is_part,
                "before": ln.before,
                "amount": ln.amount,
                "exact_g": ln.exact_g,
                "household": ln.measure,
            }
            for ln in scaled.lines
        ],
        "batch_mass_exact_g": scaled.batch_g,
        "batch_mass_g": rescaled.after.batch_g,
        "pieces": scaled.pieces,
        "scaling_weight_g": scaled.scaling_weight_g,
        "effect": [change_data(c) for c in rescaled.effect.changes],
    }
