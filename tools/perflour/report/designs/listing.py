"""The trials of a kitchen as a table and as JSON."""

from __future__ import annotations

import json
from typing import Any

from perflour.designs.listing import ListedTrial, Trials
from perflour.plain import one_line
from perflour.report.form.columns import laid_out
from perflour.report.form.markdown import markdown_table

#: Of the JSON: one more for each change of a key or of what it means. schema/trials.schema.json.
FORMAT = 1
HEADERS = ("trial", "planned", "of", "varied", "baked", "to come")


def trials_text(found: Trials) -> str:
    """A line for each trial, with what was decided below it."""
    if not found.trials:
        return "no trial\n"
    table = laid_out(HEADERS, [_row(one) for one in found.trials], "<<<<><")
    said = [*table.head]
    for lines, one in zip(table.rows, found.trials, strict=True):
        said += lines
        said += [f"  {words}" for words in _below(one)]
    return "\n".join(said) + "\n"


def trials_markdown(found: Trials) -> str:
    rows = [[*_row(one), " ".join(_below(one))] for one in found.trials]
    return "\n".join(markdown_table([*HEADERS, "said"], rows)) + "\n" if rows else "No trial.\n"


def _row(one: ListedTrial) -> list[str]:
    trial = one.trial
    varied = ", ".join(factor.name for factor in trial.factors)
    to_come = " ".join(bake.letter for bake in one.to_come)
    baked = f"{len(one.done)} of {len(trial.bakes)}"
    return [trial.id, trial.date, trial.formula, varied, baked, to_come]


def _below(one: ListedTrial) -> list[str]:
    trial = one.trial
    said = [one_line(trial.question)] if trial.question else []
    said += [f"decided: {one_line(trial.decided)}"] if trial.decided else []
    return said + ([f"led to {trial.formula} {trial.led_to}"] if trial.led_to else [])


def trials_json(found: Trials) -> str:
    """Exact values; valid against schema/trials.schema.json."""
    data = {"format": FORMAT, "trials": [_data(one) for one in found.trials]}
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _data(one: ListedTrial) -> dict[str, Any]:
    trial = one.trial
    return {
        "trial": trial.id,
        "path": one.path,
        "date": trial.date,
        "question": trial.question or None,
        "formula": trial.formula,
        "revision": trial.of,
        "factors": [factor.name for factor in trial.factors],
        "baked": [bake.letter for bake in one.done],
        "to_come": [bake.letter for bake in one.to_come],
        "decided": trial.decided or None,
        "led_to": trial.led_to or None,
    }
