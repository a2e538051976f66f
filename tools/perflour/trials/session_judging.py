"""One session judged: scores and ranks sample by sample, choices against chance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from math import factorial, inf
from pathlib import Path

from perflour.records.tasting import Sample, Session
from perflour.trials.blocks import Blocks, blocks, blocks_gap
from perflour.trials.grouping import group_letters
from perflour.trials.judged import (
    ONE_POINT,
    Judged,
    JudgedPair,
    RankTests,
    SessionJudgement,
    Summary,
    SummaryRow,
    Tally,
    sample_label,
)
from perflour.trials.means import ALPHA, NO_SPREAD, USUAL_SPREAD, Gap, mean_of
from perflour.trials.ranking import (
    friedman,
    nemenyi_p,
    page,
    rank_limits,
    rank_sums,
    ranked,
)
from perflour.trials.sensory import judge_choices, tasters_for_gap

#: A preference or difference worth finding: three in four choose the same sample. Of three served half of the
#: tasters can tell, and a third of the others guess right in a triangle, half of them in a duo-trio. Common
#: practice, no source.
TRUE_PAIR, TRUE_TRIANGLE, TRUE_DUO_TRIO = 3 / 4, 1 / 2 + 1 / 2 * 1 / 3, 1 / 2 + 1 / 2 * 1 / 2
#: What the ranks of a session are called beside attributes.
RANK = "rank"


def judge_session(session: Session, path: Path) -> SessionJudgement:
    """What the tasters of a session said; they need not all have."""
    if session.ask == "scores":
        return _judge_scores(session, path)
    if session.ask == "ranking":
        return _judge_ranks(session, path)
    tally = _tally(session) if session.choices else None
    return SessionJudgement(session, path, tally=tally)


def _judge_scores(session: Session, path: Path) -> SessionJudgement:
    judged: dict[Sample, list[tuple[str, list[float]]]] = {s: [] for s in session.samples}
    summaries, compared = [], []
    for name in session.attributes:
        said = {
            (r.taster, r.code): dict(r.scores)[name]
            for r in session.scores
            if name in dict(r.scores)
        }
        table, left_out = _whole(session, said)
        if not table:
            if left_out:
                summaries.append(Summary(name, 0, left_out, "", None, ()))
            continue
        for sample, row in zip(session.samples, zip(*table, strict=True), strict=True):
            judged[sample].append((name, list(row)))
        found = blocks(table)
        pairs = list(_pairs(session, name, found))
        compared += pairs
        summaries.append(_summary(session, name, found, pairs, left_out))
    return SessionJudgement(
        session,
        path,
        tuple(_judged(sample, rows) for sample, rows in judged.items()),
        tuple(compared),
        summaries=tuple(summaries),
    )


def _judged(sample: Sample, rows: Sequence[tuple[str, list[float]]]) -> Judged:
    bakes = (sample.bake,) if sample.bake else ()
    means = tuple((name, mean_of(row)) for name, row in rows)
    return Judged(sample.codes[0], sample_label(sample), sample.of, bakes, means)


def _whole(
    session: Session, said: Mapping[tuple[str, str], float]
) -> tuple[list[list[float]], tuple[str, ...]]:
    """A row for each taster who judged every sample, and the names of those who judged some of them."""
    codes = [sample.codes[0] for sample in session.samples]
    table, left_out = [], []
    for served in session.present:
        row = [said.get((served.taster, code)) for code in codes]
        whole = [value for value in row if value is not None]
        if len(whole) == len(codes):
            table.append(whole)
        elif whole:
            left_out.append(served.taster)
    return table, tuple(left_out)


def _pairs(session: Session, name: str, found: Blocks) -> Iterator[JudgedPair]:
    """All pairs; to see one point among so many takes more tasters than of a single pair (Bonferroni)."""
    codes = [sample.codes[0] for sample in session.samples]
    pairs = list(combinations(range(len(codes)), 2))
    alpha = ALPHA / len(pairs)
    # two scores of one taster are taken as unrelated, which asks for too many tasters, never too few
    usual = tasters_for_gap(ONE_POINT, USUAL_SPREAD * 2**0.5, True, alpha)
    here = tasters_for_gap(ONE_POINT, found.spread * 2**0.5, True, alpha) if found.spread else None
    for first, second in pairs:
        gap = blocks_gap(found, first, second)
        yield JudgedPair(name, codes[first], codes[second], gap, here, usual)


def _summary(
    session: Session,
    name: str,
    found: Blocks,
    pairs: Sequence[JudgedPair],
    left_out: tuple[str, ...],
) -> Summary:
    method = pairs[0].gap.method
    least = found.least
    if least is None:  # all moved alike: any difference is a find, or none is
        finds = any(pair.gap.p is not None and pair.gap.p <= ALPHA for pair in pairs)
        least = NO_SPREAD if finds else inf
    means = list(zip(session.samples, found.means, strict=True))
    means.sort(key=lambda one: -one[1])
    rows = (
        _rows(means, found.least, least)
        if method
        else [SummaryRow(s, m, None, None, "") for s, m in means]
    )
    return Summary(name, found.tasters, left_out, method, found.least, tuple(rows))


def _rows(
    means: Sequence[tuple[Sample, float]], told: float | None, least: float
) -> Iterator[SummaryRow]:
    """Rows with letters; with an interval where a least difference can be ``told``."""
    letters = group_letters([mean for _, mean in means], least)
    for (sample, mean), group in zip(means, letters, strict=True):
        low, high = (mean - told / 2, mean + told / 2) if told else (None, None)
        yield SummaryRow(sample, mean, low, high, group)


def _judge_ranks(session: Session, path: Path) -> SessionJudgement:
    said = {(rank.taster, rank.code): rank.rank for rank in session.ranks}
    table, left_out = _whole(session, said)
    if not table:
        none = (Summary(RANK, 0, left_out, "", None, ()),) if left_out else ()
        return SessionJudgement(session, path, summaries=none)
    ranks = [ranked(row) for row in table]
    tests = _rank_tests(session, ranks)
    tasters = len(ranks)
    # pairs are looked at only where the whole is beyond chance, as in ISO 8587
    told = tests.limits.any_pair / tasters if tests.friedman.p <= ALPHA else None
    means = sorted(((s, total / tasters) for s, total in tests.sums), key=lambda one: one[1])
    rows = tuple(_rows(means, told, told or inf))
    summary = Summary(RANK, tasters, left_out, "Nemenyi" if told else "", told, rows)
    compared = tuple(_rank_pairs(tests, tasters)) if told else ()
    judged = tuple(
        _judged(sample, [(RANK, list(column))])
        for sample, column in zip(session.samples, zip(*ranks, strict=True), strict=True)
    )
    return SessionJudgement(session, path, judged, compared, summaries=(summary,), ranking=tests)


def _rank_tests(session: Session, ranks: Sequence[Sequence[float]]) -> RankTests:
    codes = [sample.codes[0] for sample in session.samples]
    expected = [codes.index(code) for code in session.expect_order]
    fewest = next(n for n in range(2, 9) if 1 / factorial(len(codes)) ** (n - 1) <= ALPHA)
    return RankTests(
        friedman=friedman(ranks),
        page=page(ranks, expected) if expected and len(ranks) > 1 else None,
        limits=rank_limits(ranks),
        sums=tuple(zip(session.samples, rank_sums(ranks), strict=True)),
        tied=sum(len(set(row)) < len(row) for row in ranks),
        fewest=fewest,
    )


def _rank_pairs(tests: RankTests, tasters: int) -> Iterator[JudgedPair]:
    error, reach = tests.limits.error, tests.limits.any_pair
    for (one, first), (other, second) in combinations(tests.sums, 2):
        difference = second - first
        p = nemenyi_p(difference, error, len(tests.sums))
        low, high = difference - reach, difference + reach
        gap = Gap(tasters, True, difference, low, high, p, None, "Nemenyi")
        yield JudgedPair(RANK, one.codes[0], other.codes[0], gap, None, None)


def _tally(session: Session) -> Tally:
    samples = session.sample_by_code
    chosen = [samples[choice.code] for choice in session.choices]
    by_sample = tuple((sample, chosen.count(sample)) for sample in session.samples)
    if session.ask == "triangle":
        right = sum(_is_odd(session, choice.taster, choice.code) for choice in session.choices)
        found = judge_choices(right, len(chosen), 1 / 3, TRUE_TRIANGLE, two_sided=False)
    elif session.ask == "duo-trio":
        right = sum(
            _is_reference(session, choice.taster, choice.code) for choice in session.choices
        )
        found = judge_choices(right, len(chosen), 1 / 2, TRUE_DUO_TRIO, two_sided=False)
    elif session.expect:
        count = chosen.count(samples[session.expect])
        found = judge_choices(count, len(chosen), 1 / 2, TRUE_PAIR, two_sided=False)
    else:
        most = max(count for _, count in by_sample)
        found = judge_choices(most, len(chosen), 1 / 2, TRUE_PAIR, two_sided=True)
    return Tally(by_sample, found)


def _is_odd(session: Session, taster: str, code: str) -> bool:
    """Whether a code is the one of the three served that stands for a sample of its own."""
    samples = session.sample_by_code
    served = next(row.codes for row in session.order if row.taster == taster)
    return [samples[c] for c in served].count(samples[code]) == 1


def _is_reference(session: Session, taster: str, code: str) -> bool:
    """Whether a code stands for the sample that the taster was served first."""
    samples = session.sample_by_code
    served = next(row.codes for row in session.order if row.taster == taster)
    return samples[served[0]] == samples[code]
