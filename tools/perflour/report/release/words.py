"""What a release that is being prepared says: what blocks it, or what to run next."""

from collections.abc import Iterator, Sequence

from perflour.release.release import Prepared
from perflour.report.release.evidence_words import blocks

NOTHING_APPROVED = "no formula is approved, so there is nothing to release"


def gate_lines(prepared: Prepared) -> Iterator[str]:
    """What blocks a release that is being prepared; nothing where it is ready."""
    for path in prepared.uncommitted:
        yield f"{path}: is not committed; commit it, or take the change back"
    for formula in prepared.release.blocked:
        if formula.evidence:
            yield from blocks(formula.evidence)
    if not any(prepared.approved):
        yield NOTHING_APPROVED


def next_commands(prepared: Prepared, shown: str) -> Sequence[str]:
    """What to run once the log is written."""
    version = prepared.version
    return (
        f"git add {shown}",
        f'git commit -m "Release {version}"',
        f'git tag -a {version} -m "Release {version}"',
    )
