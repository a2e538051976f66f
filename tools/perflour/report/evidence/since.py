"""Several things changed at once, in words, with the trial that parts them."""

from __future__ import annotations

import shlex

from perflour.evidence.since import Since
from perflour.report.evidence.thing_words import thing_text
from perflour.system.paths import display_path


def since_text(found: Since) -> str:
    """What changed, what that leaves open, and what to type."""
    told = "; ".join(map(thing_text, found.things))
    said = (
        f"since test bake {found.bake.name} {len(found.things)} things changed: {told}. Scores of this bake cannot tell "
        "which of them it was"
    )
    if found.trial is None:
        return f"{said}; change one at a time to know\n"
    words, bakes = found.trial
    folder = display_path(str(found.path.parent))
    varied = ", ".join(map(shlex.quote, words))
    return f"{said}. A trial of {bakes} bakes parts them: `perflour trial plan {shlex.quote(folder)}`, varying {varied}\n"
