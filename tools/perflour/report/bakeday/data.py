"""A bake day as JSON."""

from __future__ import annotations

import json
from typing import Any

from perflour.bakeday.plan import Plan
from perflour.bakeday.timetable import Placed
from perflour.report.bakeday.shopping import shopping_data
from perflour.report.scaled import scaled_data


def plan_json(plan: Plan, _: bool = False) -> str:
    """Exact values: minutes from the start of the plan, and what the clock says then."""
    found = plan.timetable
    data = {
        "finish_min": found.finish,
        "oven_swings": found.swings,
        "goals_in_order": [
            {
                "goal": name,
                "proven": bool(far and far.proven),
                "value": far.value if far else None,
                "at_least": far.at_least if far else None,
            }
            for name, far in found.reached.items()
        ],
        "stopped": found.stopped,
        "starts": plan.clock.at(0),
        "ready": plan.clock.at(found.finish),
        "ovens": [{"oven": oven.name, "places": oven.places} for oven in plan.house.ovens],
        "appliances": [
            {"appliance": one.name, "number": one.number} for one in plan.house.appliances
        ],
        "heating_celsius_per_min": plan.house.heat_per_min,
        "cooling_celsius_per_min": plan.house.cool_per_min,
        "bakers": plan.house.bakers,
        "assumed_step_min": plan.allowances.step_min,
        "longest_pause_min": plan.allowances.pause_most_min,
        "grace_min": plan.allowances.grace_min,
        "timetable": [_placed(plan, placed) for placed in found.placed],
        "oven_changes": [
            {
                "oven": h.oven,
                "start_min": h.start,
                "end_min": h.end,
                "from_celsius": h.from_celsius,
                "to_celsius": h.to_celsius,
                "swing": h.swing,
            }
            for h in found.heatings
        ],
        "shopping": shopping_data(plan.shopping),
        "sheets": [
            {
                **scaled_data(one.rescaled),
                "mixings": one.mixings,
                "loads": one.loads,
                "pieces_per_load": one.per_load,
            }
            for one in plan.made
        ],
        "codes": {one.code: one.batch.id for one in plan.made if one.code} or None,
        "serving_order": list(plan.serving) or None,
        "cautions": [{"text": c.text, "source": c.source} for c in plan.cautions],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _placed(plan: Plan, placed: Placed) -> dict[str, Any]:
    task, job = placed.task, plan.timetable.jobs[placed.job]
    return {
        "formula": job.formula,
        "mixing": job.mixing or None,
        "load": task.load or None,
        "kind": task.kind,
        "what": task.what,
        "step": task.step,
        "detail": task.detail or None,
        "start_min": placed.start,
        "end_min": placed.end,
        "start": plan.clock.at(placed.start),
        "end": plan.clock.at(placed.end),
        "least_min": task.least_min,
        "most_min": task.most_min,
        "time_assumed": task.assumed,
        "oven": placed.oven or None,
        "baker": placed.baker or None,
        "appliances": list(task.appliances),
        "at_celsius": task.oven.at_celsius if task.oven else None,
    }
