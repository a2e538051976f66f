"""What judging gives, in values: means, comparisons and tests of test bakes and sessions."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from perflour.records.tasting import Sample, Session
from perflour.result import Result
from perflour.trials.means import Choices, Gap, Mean
from perflour.trials.ranking import Friedman, Page, RankLimits

#: The difference that is looked for, in points of the 9-point scale.
ONE_POINT = 1.0


@dataclass(frozen=True)
class Judged:
    """One thing that was tasted, and the mean of every attribute.

    ``key`` names it among the others: the number of the iteration, or the first blind code.
    """

    key: str
    label: str
    of: str
    bakes: tuple[str, ...]
    means: tuple[tuple[str, Mean], ...]


@dataclass(frozen=True)
class JudgedPair:
    """Two of them, by their keys, in one attribute: the second against the first.

    In a ranking the difference is one of rank sums. ``tasters_here`` would show one point with the spread
    seen here, ``tasters_usual`` with the usual one; in each group where the tasters were not the same, None
    where it cannot be told.
    """

    attribute: str
    first: str
    second: str
    gap: Gap
    tasters_here: int | None
    tasters_usual: int | None


@dataclass(frozen=True)
class FormulaJudgement:
    """The test bakes of one formula by revision, oldest first, each against the one before."""

    formula: str
    title: str
    judged: tuple[Judged, ...]
    compared: tuple[JudgedPair, ...]


@dataclass(frozen=True)
class Tally:
    """The choices of a session: how many chose each sample, or were right, and what it shows."""

    by_sample: tuple[tuple[Sample, int], ...]
    choices: Choices


@dataclass(frozen=True)
class SummaryRow:
    """One sample in one attribute.

    ``mean`` is of its scores, in a ranking of its ranks; ``low`` and ``high`` are half the least difference
    to either side, so that two samples are told apart where their intervals do not overlap. Samples
    that share a letter of ``group`` are not told apart.
    """

    sample: Sample
    mean: float
    low: float | None
    high: float | None
    group: str


@dataclass(frozen=True)
class Summary:
    """All samples in one attribute, best first, by those tasters who judged all of them.

    ``least`` is the difference of two means from which on samples are told apart by ``method``: ``t``,
    ``Tukey`` or ``Nemenyi``; None where all moved alike (``sign``), for a single taster (empty) and where
    Friedman's test finds nothing to tell apart.
    """

    attribute: str
    tasters: int
    left_out: tuple[str, ...]
    method: str
    least: float | None
    rows: tuple[SummaryRow, ...]


@dataclass(frozen=True)
class RankTests:
    """The tests of a ranking; ``page`` is None without an expected order or a second taster.

    ``tied`` tasters gave some samples the same rank; ``fewest`` can show anything.
    """

    friedman: Friedman
    page: Page | None
    limits: RankLimits
    sums: tuple[tuple[Sample, float], ...]
    tied: int
    fewest: int


@dataclass(frozen=True)
class SessionJudgement:
    """One session; ``summaries`` are of scores and ranks, ``tally`` of choices, none before anybody tasted."""

    session: Session
    path: Path
    judged: tuple[Judged, ...] = ()
    compared: tuple[JudgedPair, ...] = ()
    tally: Tally | None = None
    summaries: tuple[Summary, ...] = ()
    ranking: RankTests | None = None


@dataclass(frozen=True)
class Judgements:
    """All that was asked for; ``results`` are the records that cannot be judged."""

    formulas: tuple[FormulaJudgement, ...]
    sessions: tuple[SessionJudgement, ...]
    results: tuple[Result, ...]


def sample_label(sample: Sample) -> str:
    """A sample by its codes, formula and revision."""
    return f"{'/'.join(sample.codes)} {sample.formula} {sample.of}"
