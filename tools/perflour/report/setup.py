"""What was found of a clone's set-up, a line each, or as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence

from perflour.plain import visible
from perflour.report.form.columns import hung
from perflour.setup.check import Check
from perflour.system.terminal import painted


def setup_text(checks: Sequence[Check]) -> str:
    """One line each: what is well, what is not and what to do."""
    width = max(len(check.name) for check in checks)
    lines = []
    for check in checks:
        state, look = ("ok", "go") if check.is_well else ("missing", "mind")
        told = f"{state:7}  {check.name:{width}}  {visible(_said(check))}"
        first, *others = hung(told, " " * (width + 11))
        lines += [first.replace(state, painted(state, look), 1), *others]
    return "".join(f"{line}\n" for line in lines)


def _said(check: Check) -> str:
    return f"{check.found}; {check.to_do}" if check.to_do else check.found


def setup_json(checks: Sequence[Check]) -> str:
    """The same as a list of objects."""
    rows = [
        {"name": check.name, "well": check.is_well, "found": check.found, "to-do": check.to_do}
        for check in checks
    ]
    return json.dumps(rows, ensure_ascii=False, indent=2) + "\n"
