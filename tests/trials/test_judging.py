"""Test bakes judged along their iterations, with honest words for few tasters."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import product
from math import comb
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.history.changelog import Changelog
from perflour.history.iterations import Iteration
from perflour.records.bake import Bake, bake_from
from perflour.records.tasting import session_from
from perflour.report.trials.figures import interval_text, p_text
from perflour.report.trials.judgements import judgements_markdown, judgements_text
from perflour.trials.judged import FormulaJudgement, Judgements
from perflour.trials.judging import judge_bakes
from perflour.trials.means import ALPHA, POWER
from perflour.trials.sensory import sign_gap
from perflour.trials.session_judging import judge_session
from tests.conftest import ROOT


def bake_of(name: str, of: str, **scores: Sequence[float]) -> Bake:
    """A bake whose tasters are A, B, C… with their scores by attribute."""
    count = max(map(len, scores.values()))
    rows = [
        {"taster": "ABCDEFGHIJKLMN"[at], **{k: v[at] for k, v in scores.items()}}
        for at in range(count)
    ]
    data = {"date": "2026-03-14", "of": of, "baker": "N", "verdict": "change", "scores": rows}
    return bake_from(data, name)


def judged(*revisions: list[Bake], but: str = "") -> FormulaJudgement:
    """Iterations 1, 2, … with these bakes, all of them asked for but one."""
    iterations = tuple(
        Iteration(n, None, bakes[0].of if bakes else f"{n}", bakes=tuple(bakes))
        for n, bakes in enumerate(revisions, 1)
    )
    changelog = Changelog(ROOT, "trial", "Trial", "testing", iterations)
    return judge_bakes(changelog, {b.name for bakes in revisions for b in bakes} - {but})


def words(one: FormulaJudgement) -> str:
    return " ".join(judgements_text(Judgements((one,), (), ())).split())


def test_each_revision_is_held_against_the_one_tasted_before() -> None:
    one = judged(
        [bake_of("a", "1", crumb=[5, 6, 7])],
        [],  # never baked
        [bake_of("b", "3", crumb=[6, 7, 7])],
        [bake_of("c", "4", crust=[7, 7, 8])],  # nothing to compare
    )
    assert [(j.key, j.of, [name for name, _ in j.means]) for j in one.judged] == [
        ("1", "1", ["crumb"]), ("3", "3", ["crumb"]), ("4", "4", ["crust"]),
    ]  # fmt: skip
    assert [(c.first, c.second, c.attribute) for c in one.compared] == [("1", "3", "crumb")]
    assert one.compared[0].gap.difference == pytest.approx(2 / 3)


def test_two_bakes_of_a_revision_are_one_voice_a_taster() -> None:
    one = judged([bake_of("a", "1", crumb=[4, 6]), bake_of("b", "1", crumb=[6, 8])])
    mean = dict(one.judged[0].means)["crumb"]
    assert (mean.tasters, mean.mean) == (2, 6)
    assert one.judged[0].bakes == ("a", "b")


def test_only_bakes_that_are_asked_for_and_were_tasted_are_judged() -> None:
    untasted = bake_from({"date": "2026-03-15", "of": "2", "baker": "N", "verdict": "keep"}, "c")
    one = judged([bake_of("a", "1", crumb=[4]), bake_of("b", "1", crumb=[6])], [untasted], but="b")
    assert [(j.key, j.bakes) for j in one.judged] == [("1", ("a",))]


def test_a_sample_of_a_session_names_its_bake_where_it_has_one() -> None:
    data = {
        "date": "2026-03-14", "question": "?", "ask": "scores", "attributes": ["crumb"], "seed": 1,
        "samples": [
            {"formula": "trial", "of": "1", "codes": ["111"], "bake": "a"},
            {"formula": "trial", "of": "2", "codes": ["222"]},
        ],
        "order": [{"taster": "A", "serve": ["111", "222"]}],
        "scores": [{"taster": "A", "code": c, "crumb": 5} for c in ("111", "222")],
    }  # fmt: skip
    one = judge_session(session_from(data, "s.yaml"), ROOT)
    assert [(j.of, j.bakes) for j in one.judged] == [("1", ("a",)), ("2", ())]


def test_other_tasters_are_two_groups() -> None:
    first = bake_of("a", "1", crumb=[5, 6, 7])
    second = bake_of("b", "2", crumb=[6, 7, 7, 8])
    (compared,) = judged([first], [second]).compared
    assert (compared.gap.paired, compared.gap.tasters) == (False, 3)


def test_one_taster_twice_is_no_pair() -> None:
    (two,) = judged([bake_of("a", "1", crumb=[5, 6])], [bake_of("b", "2", crumb=[7, 7])]).compared
    (one,) = judged([bake_of("a", "1", crumb=[5])], [bake_of("b", "2", crumb=[7])]).compared
    assert (two.gap.paired, one.gap.paired) == (True, False)


# Common practice, no source: worth finding is that three of four prefer one, or that half can tell; of those who
# cannot, a third guesses the odd one of a triangle right, and half the reference of a duo-trio. Chance, and the share.
WORTH_FINDING = [
    ("preference", "", Fraction(1, 2), Fraction(3, 4)),
    ("difference", "111", Fraction(1, 2), Fraction(3, 4)),
    ("triangle", "", Fraction(1, 3), Fraction(1, 2) + Fraction(1, 2) / 3),
    ("duo-trio", "", Fraction(1, 2), Fraction(1, 2) + Fraction(1, 2) / 2),
]


@pytest.mark.parametrize(("ask", "expect", "chance", "share"), WORTH_FINDING)
def test_the_tasters_wanted_find_what_is_worth_finding(
    ask: str, expect: str, chance: Fraction, share: Fraction
) -> None:
    """Summed in exact fractions: from that many on 4 of 5 sessions find it, with 1 in 20 by chance.

    ISO 4120:2004 (from memory) has 16 for a triangle of which half can tell.
    """
    codes = ["111", "333"] if ask in ("triangle", "duo-trio") else ["111"]
    served = [*codes, "222"]
    data = {
        "date": "2026-03-14", "question": "?", "ask": ask, "seed": 1, "expect": expect,
        "samples": [
            {"formula": "trial", "of": "1", "codes": codes},
            {"formula": "trial", "of": "2", "codes": ["222"]},
        ],
        "order": [{"taster": "A", "serve": served}],
        "choices": [{"taster": "A", "code": "111"}],
    }  # fmt: skip
    if not expect:
        del data["expect"]
    tally = judge_session(session_from(data, "s.yaml"), ROOT).tally
    assert tally is not None
    limit = Fraction(1, 20) / (2 if ask == "preference" else 1)
    short = [n for n in range(2, 80) if power(n, chance, share, limit) < Fraction(4, 5)]
    assert tally.choices.tasters_wanted == short[-1] + 1
    assert ask != "triangle" or short[-1] + 1 == 16


def power(tasters: int, chance: Fraction, share: Fraction, limit: Fraction) -> Fraction:
    """How likely so many choose one so often that chance does no more than ``limit`` of the time."""

    def at_least(number: int, of: Fraction) -> Fraction:
        ways = range(number, tasters + 1)
        return Fraction(sum(comb(tasters, k) * of**k * (1 - of) ** (tasters - k) for k in ways))

    needed = next(n for n in range(tasters + 2) if at_least(n, chance) <= limit)
    return at_least(needed, share)


@pytest.mark.parametrize(("second", "groups"), [("AB", 1), ("ABC", 2)])
def test_the_tasters_wanted_are_those_that_show_one_point(second: str, groups: int) -> None:
    """n = g ((z(alpha/2) + z(beta)) s / d)², the large-sample formula of textbooks, falls short of t by up to 4.

    The usual spread is 0.23 of the scale (Hough and others 2006): of a difference of one taster's two
    scores the root of two times that.
    """
    first = bake_of("a", "1", crumb=[5, 6])
    (compared,) = judged([first], [bake_of("b", "2", crumb=[7, 7, 8][: len(second)])]).compared
    z = NormalDist().inv_cdf(1 - ALPHA / 2) + NormalDist().inv_cdf(POWER)
    for spread, wanted in (
        (0.23 * 8 * (2**0.5 if groups == 1 else 1), compared.tasters_usual),
        (compared.gap.spread, compared.tasters_here),
    ):
        assert spread and wanted
        assert 0 <= wanted - groups * (z * spread) ** 2 <= 4


@pytest.mark.parametrize(("tasters", "said"), [(5, "a hint only, as 5 tasters agree by mere chance in 1 of 16 cases"), (6, "beyond chance")])  # fmt: skip
def test_a_small_p_of_few_tasters_is_a_hint(tasters: int, said: str) -> None:
    first = [5, 5, 4, 5, 5, 5][:tasters]
    one = judged([bake_of("a", "1", crumb=first)], [bake_of("b", "2", crumb=[8.0] * tasters)])
    assert one.compared[0].gap.p is not None and one.compared[0].gap.p < 0.001
    assert f"iteration 2 scores {3 + 1 / tasters:.1f} points higher than iteration 1 in crumb (p <0.001): {said}." in words(one)  # fmt: skip


def test_the_fewest_who_can_agree_beyond_chance() -> None:
    """Counted out: of all ways n tasters can lean, two are of one mind (the two-sided sign test)."""
    for tasters, is_beyond in ((5, False), (6, True)):
        share = 2 / len(list(product((0, 1), repeat=tasters)))
        p = sign_gap(tasters, 1.0).p
        assert p == pytest.approx(share)
        assert (share <= 0.05) == is_beyond


def test_all_alike_claim_nothing() -> None:
    one = judged([bake_of("a", "1", crumb=[6, 6, 6])], [bake_of("b", "2", crumb=[8, 8, 8])])
    assert "All 3 tasters moved by the same +2.0 points from iteration 1 to iteration 2 in crumb: with no spread for a t test, the exact sign test gives p 0.25; fewer than 6 tasters cannot show more." in words(one)  # fmt: skip
    assert "?" not in words(one)
    assert "Nothing here shows a difference beyond chance, which does not mean that there is none." in words(one)  # fmt: skip
    assert "cannot be told" in words(one)


def test_six_who_move_alike_are_a_find() -> None:
    one = judged([bake_of("a", "1", crumb=[6] * 6)], [bake_of("b", "2", crumb=[8] * 6)])
    assert "the exact sign test gives p 0.031." in words(one)
    assert "Nothing here shows" not in words(one)


def test_nobody_moved() -> None:
    one = judged([bake_of("a", "1", crumb=[6, 7, 5])], [bake_of("b", "2", crumb=[6, 7, 5])])
    assert "All 3 tasters gave iteration 1 and iteration 2 the same in crumb." in words(one)


def test_single_tasters_are_told() -> None:
    one = judged([bake_of("a", "1", crumb=[5])], [bake_of("b", "2", crumb=[7])])
    assert "1 of 1 comparisons rest on a single taster, of whom no test can be made." in words(one)


def test_nothing_scored() -> None:
    assert "no test bake of a revision in the history has scores" in words(judged([]))
    alone = judged([bake_of("a", "1", crumb=[6, 7])])
    assert "one revision alone has scores" in words(alone)


@pytest.mark.parametrize(
    ("p", "text"), [(0.5, "0.50"), (0.0951, "0.10"), (0.0949, "0.095"), (0.05, "0.050"), (0.0501, ">0.050"), (0.001, "0.001"), (0.00001, "<0.001"), (1, "1.00")]
)  # fmt: skip
def test_p_in_print(p: float, text: str) -> None:
    assert p_text(p) == text


@pytest.mark.parametrize(
    ("ends", "text"),
    [((-1.04, 2), "-1.0 to 2.0"), ((0.04, 2), "0.04 to 2.0"), ((-2, -0.0049), "-2.0 to -0.005"), ((0, 2), "0.0 to 2.0")],
)  # fmt: skip
def test_an_interval_shows_on_which_side_of_zero_it_ends(
    ends: tuple[float, float], text: str
) -> None:
    assert interval_text(*ends) == text


scores = st.lists(st.integers(1, 9).map(float), min_size=1, max_size=8)


@given(scores, scores)
def test_whatever_is_scored_is_judged(first: list[float], second: list[float]) -> None:
    """Swapping two revisions turns the sign and keeps p; every report can be made."""
    bakes = bake_of("a", "1", crumb=first), bake_of("b", "2", crumb=second)
    forth, back = judged([bakes[0]], [bakes[1]]), judged([bakes[1]], [bakes[0]])
    (there,), (again,) = forth.compared, back.compared
    assert there.gap.difference == pytest.approx(-again.gap.difference)
    assert (there.gap.p is None) == (again.gap.p is None)
    if there.gap.p is not None:
        assert there.gap.p == pytest.approx(again.gap.p)
    found = Judgements((forth,), (), ())
    assert judgements_text(found) and judgements_markdown(found)
