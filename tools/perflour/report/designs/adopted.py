"""A formula that came of a trial, in words: what changes in percent of the flour, and what must come next."""

from __future__ import annotations

import shlex

from perflour.designs.adopt import Adopted, folder_of
from perflour.report.diff.text import differences_text
from perflour.system.paths import display_path


def adopted_text(adopted: Adopted, written: bool) -> str:
    """The change as `perflour diff` tells it, then what it is and what it is not yet."""
    trial = adopted.showed.trial
    shown = display_path(str(adopted.path))
    lines = [differences_text([adopted.difference]).rstrip(), ""]
    levels = ", ".join(f"{name} {text}" for name, text in adopted.said.items())
    lines.append(f"trial {trial.id}: {levels}; revision {adopted.revision}")
    if adopted.bakes:
        lines.append(
            f"baked in the trial as {', '.join(adopted.bakes)}: its scores are of exactly this"
        )
    else:
        lines.append("not baked as it stands: its scores are foretold, not tasted")
    if adopted.was_approved:
        lines.append("its status goes back to testing until it is baked and approved again")
    folder = shlex.quote(folder_of(adopted))
    if written:
        lines.append(f"written: {shown} and {display_path(adopted.showed.path)}, not committed")
        lines.append(f"next: git commit, then bake it: perflour bake new {folder}")
    else:
        lines.append(f"nothing is written; {shown} stays as it is")
    return "\n".join(lines) + "\n"
