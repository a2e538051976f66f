"""Where a formula stands, and how a test bake went, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.report.form.signs import typeset
from perflour.site.standing import Standing

#: What a formula waits for, in a table and as a sentence; {n} is its newest iteration, {bake} the test bake,
#: {kept} how it came to be kept.
WAITS = {
    "unreadable": ("cannot be weighed", "It cannot be weighed as it is."),
    "reference": ("kept to compare with", "Somebody else's formula, kept as it is to compare with."),
    "retired": ("retired", "Retired: it is not worked on any more."),
    "to-bake": ("waits for a test bake", "Waits for a test bake: iteration {n} has none."),
    "to-change": ("waits for a change", "Waits for a change: test bake {bake} of iteration {n} asked for one."),
    "rejected": ("rejected", "Test bake {bake} of iteration {n} was rejected."),
    "to-approve": ("waits for approval", "Waits for approval: iteration {n} {kept}."),
    "approved": ("approved", "Approved, and iteration {n} {kept}."),
    "approved-doubted": ("approved, doubted since", "Approved, and since then test bake {bake} of iteration {n} did not keep it."),
    "approved-unkept": ("approved, no bake kept", "Approved, but no test bake of iteration {n} was kept."),
}  # fmt: skip


def waits(standing: Standing) -> str:
    """In a table."""
    return WAITS[standing.waits][0]


def standing_lines(standing: Standing) -> Iterator[str]:
    """As sentences, with what is to be tried next."""
    scaled = standing.scaled_from
    kept = f"is iteration {scaled} at another size, which was kept" if scaled else "was kept in a test bake"  # fmt: skip
    yield WAITS[standing.waits][1].format(n=standing.iteration, bake=standing.bake, kept=kept)
    if said := asked_for(standing):
        yield f"The last test bake, {standing.bake}, asked for this: {said}."


def asked_for(standing: Standing) -> str:
    """What the last test bake asked to be tried next, with its reason; empty where it asked for nothing."""
    because = f", because {standing.next_because}" if standing.next_because else ""
    return f"{standing.next_try}{because}" if standing.next_try else ""


def scores(means: Sequence[tuple[str, float]]) -> str:
    """``chew 7.7, overall 8.0``; empty where nobody scored."""
    return ", ".join(f"{name} {mean:.1f}" for name, mean in means)


def readings(measured: Sequence[tuple[str, str]]) -> str:
    """``height 11 mm, bake time 12 min``."""
    return ", ".join(f"{name.replace('-', ' ')} {typeset(text)}" for name, text in measured)
