"""What was found of a clone's set-up, a line each, or as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence

from perflour.plain import visible
from perflour.setup.check import Check


def setup_text(checks: Sequence[Check]) -> str:
    """One line each: what is well, what is not and what to do."""
    width = max(len(check.name) for check in checks)
    return "".join(
        f"{'ok     ' if check.is_well else 'missing'}  {check.name:{width}}  {visible(_said(check))}\n"
        for check in checks
    )


def _said(check: Check) -> str:
    return f"{check.found}; {check.to_do}" if check.to_do else check.found


def setup_json(checks: Sequence[Check]) -> str:
    """The same as a list of objects."""
    rows = [
        {"name": check.name, "well": check.is_well, "found": check.found, "to-do": check.to_do}
        for check in checks
    ]
    return json.dumps(rows, ensure_ascii=False, indent=2) + "\n"
