"""A planned trial as JSON."""

from __future__ import annotations

import json
from math import isinf
from typing import Any

from perflour.designs.plan import PlannedBake, PlannedTrial
from perflour.report.designs.plan import Told, cautions, next_steps
from perflour.system.paths import display_path

#: Of the JSON: one more for each change of a key or of what it means. schema/trial-plan.schema.json.
FORMAT = 1


def trial_json(told: Told, _: bool = False) -> str:
    """Exact values; valid against schema/trial-plan.schema.json."""
    planned, trial, design = told.planned, told.planned.trial, told.planned.design
    data: dict[str, Any] = {
        "format": FORMAT,
        "trial": trial.id,
        "path": display_path(str(planned.path)),
        "written": bool(told.written),
        "branch": told.branch or None,
        "question": trial.question or None,
        "formula": trial.formula,
        "revision": trial.of,
        "kind": design.kind,
        "model": design.model,
        "seed": design.seed,
        "tasters": trial.tasters,
        "factors": [_factor_data(planned, at) for at in range(len(trial.factors))],
        "bakes": [_bake_data(bake) for bake in planned.bakes],
        "tastings": [{"bakes": list(t.bakes), "seed": t.seed} for t in trial.tastings],
        "d_efficiency": design.d_efficiency,
        "smallest_difference": _smallest_data(planned),
        "confounded": [{"term": list(a.term), "other": list(a.other), "share": a.share} for a in design.aliases],
        "lost_to_days_and_ovens": [{"term": list(term), "share": share} for term, share in design.lost],
        "cautions": list(cautions(planned)),
        "next": list(next_steps(told)),
    }  # fmt: skip
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _smallest_data(planned: PlannedTrial) -> dict[str, Any]:
    return {
        "taster_spread": planned.said.taster_spread,
        "bake_spread": planned.said.bake_spread,
        "freedom": planned.shown[0].freedom,
        "terms": [{"term": list(s.term), "points": None if isinf(s.difference) else s.difference} for s in planned.shown],
    }  # fmt: skip


def _factor_data(planned: PlannedTrial, at: int) -> dict[str, Any]:
    factor, shown = planned.trial.factors[at], planned.factors[at]
    return {
        "factor": factor.name,
        "unit": factor.unit,
        "of": shown.of or None,
        "now": shown.now,
        "low": factor.low,
        "high": factor.high,
        "ingredient": factor.ingredient or None,
        "part": factor.part or None,
        "ratio": factor.ratio or None,
        "step": factor.step or None,
        "field": factor.field or None,
        "along": list(factor.along),
        "gives_way": factor.gives_way or None,
    }


def _bake_data(bake: PlannedBake) -> dict[str, Any]:
    return {
        "bake": bake.letter,
        "code": bake.code,
        "formula": bake.id,
        "revision": bake.of,
        "levels": dict(bake.variant.levels),
        "day": bake.day,
        "oven": bake.oven,
        "place": bake.place,
        "centre": bake.is_centre,
        "piece_g": bake.variant.balance.mass_per_piece_g,
    }
