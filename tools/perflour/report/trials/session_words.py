"""What a session shows, and what it cannot, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.plain import one_line
from perflour.report.trials.figures import LEAST, count_text, p_text, trust
from perflour.report.trials.pairs import alike_words
from perflour.trials.judged import (
    JudgedPair,
    RankTests,
    SessionJudgement,
    Summary,
    Tally,
    sample_label,
)
from perflour.trials.means import ALPHA

Lines = list[str]

NOT_TASTED = "nothing tasted is written down yet"
LETTERS = (
    "Samples that share a letter are not told apart. The interval is half the least difference to either side "
    "of the mean: two samples are told apart where their intervals do not overlap; where rounded ends are the same, "
    "the letters tell."
)
BY = {
    "t": "Both are the paired t test, {at}.",
    "Tukey": "Both are Tukey's test over all pairs at once, tasters taken out (two-way analysis of variance), {at}.",
    "Nemenyi": "Both are Nemenyi's test over all pairs at once, {at}.",
}
OF_SCALE = "Scores are whole points between 1 and 9, so with few tasters these tests are a guide."
SEVERAL = "Each attribute is a question of its own: of twenty, one looks different by chance."
AT = "1 in 20"


def session_words(one: SessionJudgement) -> Lines:
    """The sentences of a session, those on what was found first."""
    if not one.session.is_tasted:
        return [NOT_TASTED]
    if one.tally:
        said = list(tally_words(one, one.tally))
    elif one.ranking:
        said = list(_ranking_words(one, one.ranking))
    else:
        said = list(_score_words(one))
    if one.session.decided:
        said.append(f"Decided: {one_line(one.session.decided)}")
    return said


def _score_words(one: SessionJudgement) -> Iterator[str]:
    for summary in one.summaries:
        pairs = [pair for pair in one.compared if pair.attribute == summary.attribute]
        yield from _attribute_words(summary, pairs)
    yield from _left_out(one.summaries)
    methods = dict.fromkeys(summary.method for summary in one.summaries if summary.least)
    if methods:
        yield f"{LETTERS} {' '.join(BY[method].format(at=AT) for method in methods)}"
        yield from _wanted(one)
        yield OF_SCALE
    if len(one.summaries) > 1:
        yield SEVERAL


def _attribute_words(summary: Summary, pairs: Sequence[JudgedPair]) -> Iterator[str]:
    """What one attribute shows: of two samples in full, of several how many pairs are told apart."""
    name = one_line(summary.attribute)
    if not summary.rows:
        yield f"Nobody scored every sample in {name}, so samples are not compared there."
    elif not summary.least:
        yield from _all_alike(name, summary, pairs)
    elif len(pairs) == 1:
        yield _of_two(name, pairs[0])
    else:
        finds = sum(_is_find(pair) for pair in pairs)
        told = f"{name}: {finds or 'none'} of {len(pairs)} pairs {'is' if finds == 1 else 'are'} told apart"
        least = f"the least difference that {summary.tasters} tasters could tell here is {summary.least:.1f} points"
        said = trust(summary.tasters)
        hint = f"; {said}" if finds and summary.tasters < LEAST else ""
        yield f"{told}; {least}{hint}." + (
            "" if finds else " That does not mean that there is none."
        )


def _all_alike(name: str, summary: Summary, pairs: Sequence[JudgedPair]) -> Iterator[str]:
    """Without a spread each pair is told; of many samples that would be a page."""
    if summary.tasters < 2 or len(pairs) == 1:
        yield from alike_words(pairs, "")
        return
    smallest = min(pair.gap.p for pair in pairs if pair.gap.p is not None)
    yield (
        f"{name}: all {summary.tasters} tasters moved by the same points from sample to sample, which leaves no spread to "
        f"tell a least difference by. By the exact sign test, raised for {len(pairs)} pairs (Bonferroni), p is "
        f"{p_text(smallest)} or more: {'any difference is' if smallest <= ALPHA else 'too few tasters for any to be'} "
        "beyond chance."
    )


def _is_find(pair: JudgedPair) -> bool:
    return pair.gap.p is not None and pair.gap.p <= ALPHA


def _of_two(name: str, pair: JudgedPair) -> str:
    gap = pair.gap
    if not _is_find(pair):
        return (
            f"{name}: no difference beyond chance (p {p_text(gap.p or 0)}), which does not mean that there is "
            "none."
        )
    higher = "higher" if gap.difference > 0 else "lower"
    said = f"{pair.second} scores {abs(gap.difference):.1f} points {higher} than {pair.first} in {name}"
    return f"{said} (p {p_text(gap.p or 0)}): {trust(gap.tasters)}."


def _left_out(summaries: Sequence[Summary]) -> Iterator[str]:
    by_names: dict[tuple[str, ...], Lines] = {}
    for summary in summaries:
        if summary.left_out:
            by_names.setdefault(summary.left_out, []).append(one_line(summary.attribute))
    for names, attributes in by_names.items():
        yield (
            f"Left out in {', '.join(attributes)}, as they did not judge every sample: "
            f"{', '.join(map(one_line, names))}."
        )


def _wanted(one: SessionJudgement) -> Iterator[str]:
    """How many tasters would see a point between any two samples."""
    first = {pair.attribute: pair for pair in reversed(one.compared)}
    here = [
        f"{count_text(pair.tasters_here)} by {one_line(name)}"
        for name in (summary.attribute for summary in one.summaries if summary.least)
        if (pair := first[name])
    ]
    usual = count_text(next(iter(first.values())).tasters_usual)
    which = "any two" if len(one.session.samples) > 2 else "the two"
    yield (
        f"To see 1 point between {which} with 4 chances in 5 takes about so many tasters: {', '.join(here)} with the spread "
        f"seen here; {usual} with the usual one of 1.84 points (Hough et al. 2006, from memory)."
    )


def _ranking_words(one: SessionJudgement, tests: RankTests) -> Iterator[str]:
    (summary,) = one.summaries
    found = tests.friedman
    test = f"Friedman's {found.statistic:.1f}, p {p_text(found.p)}, {found.method}"
    what = (
        f"more {one_line(one.session.attributes[0])}" if one.session.attributes else "liked better"
    )
    yield f"Rank 1 is the most: {what}."
    if summary.tasters < tests.fewest:
        yield (
            f"{summary.tasters} taster{'s are' if summary.tasters > 1 else ' is'} too few: even {tests.fewest - 1} of one mind could be chance; "
            f"from {tests.fewest} on a ranking of {len(tests.sums)} can show something."
        )
    elif found.p <= ALPHA:
        yield f"The tasters rank the samples alike beyond chance ({test})."
    else:
        yield (
            f"Chance could make these ranks ({test}), so no two samples are told apart. That does not mean that "
            "they are alike."
        )
    yield from _page_words(one, tests)
    if summary.least:
        finds = sum(map(_is_find, one.compared))
        limits = tests.limits
        yield (
            f"{finds or 'None'} of {len(one.compared)} pairs {'is' if finds == 1 else 'are'} told apart: that takes rank sums "
            f"{limits.any_pair:.1f} apart. For one pair named beforehand {limits.one_pair:.1f} would do (least "
            "significant rank difference, in the form of ISO 8587)."
        )
        yield f"{LETTERS} {BY['Nemenyi'].format(at=AT)}"
    if tests.tied:
        yield (
            f"{tests.tied} of {summary.tasters} tasters gave some samples the same rank; these share the mean of their "
            "places."
        )
    yield from _left_out(one.summaries)


def _page_words(one: SessionJudgement, tests: RankTests) -> Iterator[str]:
    if tests.page is None:
        return
    order = ", ".join(one.session.expect_order)
    test = f"Page's L {tests.page.statistic:g}, p {p_text(tests.page.p)}, {tests.page.method}, one-sided"
    if tests.page.p <= ALPHA:
        yield f"The order that was expected, {order}, is borne out beyond chance ({test})."
    else:
        yield f"The order that was expected, {order}, is not borne out ({test})."


def tally_words(one: SessionJudgement, tally: Tally) -> Iterator[str]:
    """The choices of a session in sentences."""
    session, found = one.session, tally.choices
    labels = [sample_label(sample) for sample in session.samples]
    absent = len(session.present) - found.tasters
    if absent:
        yield f"{absent} of {len(session.present)} tasters have not chosen; they are left out."
    by_chance = (
        f"(p {p_text(found.p)}, exact binomial, {'two' if found.two_sided else 'one'}-sided)"
    )
    if session.ask == "triangle":
        yield f"{found.chosen} of {found.tasters} picked the odd one; a third would by guessing {by_chance}."
    elif session.ask == "duo-trio":
        yield f"{found.chosen} of {found.tasters} found the one like the reference; half would by guessing {by_chance}."
    else:
        counts = (f"{label} {n}" for label, (_, n) in zip(labels, tally.by_sample, strict=True))
        asked = f"more {session.attributes[0]}" if session.ask == "difference" else "liked better"
        yield f"{asked}: {', '.join(counts)} {by_chance}."
    yield _verdict(session.ask, tally)
    if session.ask in ("triangle", "duo-trio"):
        share = "half of all tasters could really tell"
    else:
        share = "three in four really chose the same"
    yield (
        f"If {share}, a session of {found.tasters} would show it with a chance of {found.power * 100:.0f} %; "
        f"80 % take {found.tasters_wanted} tasters."
    )


def _verdict(ask: str, tally: Tally) -> str:
    found = tally.choices
    what = "a preference" if ask == "preference" else "a difference"
    if found.needed is None:
        return f"{found.tasters} tasters are too few: whatever they choose, chance could do it."
    if found.p <= ALPHA:
        return f"This shows {what} beyond chance ({found.needed} of {found.tasters} would do)."
    return (
        f"This shows no {what.removeprefix('a ')}: {found.needed} of {found.tasters} would have. "
        "It does not show that there is none."
    )
