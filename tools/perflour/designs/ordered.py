"""Scores taken as ranks only: what an effect does to the odds of a higher score.

A hedonic scale has words, and from "neither" to "like" need not be as far as from "like" to "like much". Proportional
odds (P. McCullagh, Journal of the Royal Statistical Society B 42 (1980) 109-142) ask for order alone, so they tell
whether effects in points lean on the scale. Numbers in, numbers out. Loads statsmodels.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from statsmodels.miscmodels.ordinal_model import OrderedModel

from perflour.designs.design import Design
from perflour.designs.effects import blocks_of, size_of
from perflour.designs.layout.terms import Array, Term, columns, model_terms, rank
from perflour.designs.tasters import Score
from perflour.result import CannotRun


@dataclass(frozen=True)
class Leaning:
    """The natural logarithm of the odds of a higher score, at high against low, as in ``effects.Effect``.

    It comes without p: scores of one bake share that bake, which this model does not know.
    """

    term: Term
    log_odds: float


def proportional_odds(scores: Sequence[float], fixed: Array) -> tuple[float, ...] | None:
    """The coefficient of each column (without a mean, which the thresholds are); None where there is no answer.

    There is none where a column parts the scores wholly: its odds are endless.
    """
    with warnings.catch_warnings():
        # convergence is asked below
        warnings.simplefilter("ignore")
        kinds = np.unique(np.array(scores), return_inverse=True)[1]
        try:
            done = OrderedModel(kinds, fixed, distr="logit").fit(method="bfgs", disp=False, maxiter=500)  # fmt: skip
        except (np.linalg.LinAlgError, ValueError):
            return None
    found = np.asarray(done.params[: fixed.shape[1]], dtype=float)
    # odds beyond a thousand to one are a column that parts the scores
    spread = np.abs(found) * np.ptp(fixed, axis=0)
    if not done.mle_retvals["converged"] or not np.all(np.isfinite(found)) or spread.max() > 14:
        return None
    return tuple(map(float, found))


def lean(design: Design, scores: Sequence[Score], model: str = "") -> tuple[Leaning, ...] | None:
    """Each effect in log odds, days, ovens and tasters fitted beside; None where there is no answer.

    Raises CannotRun for blends, of which a single share is no effect, and for too few different scores.
    """
    model = model or design.model
    if model == "blend":
        raise CannotRun("shares of a blend have no low and high to compare; ask for the fit in points")  # fmt: skip
    if len({s.score for s in scores}) < 2:
        raise CannotRun("all scores are the same, so none is higher; ask the tasters to use the scale")  # fmt: skip
    by_number = {run.number: run for run in design.runs}
    baked = [by_number[number] for number in sorted({s.run for s in scores})]
    blocks = dict(zip([run.number for run in baked], blocks_of(baked), strict=True))
    terms = [term for term in model_terms(design.names, model) if term]
    tasters = sorted({s.taster for s in scores})[1:]
    points = np.array([by_number[s.run].levels for s in scores])
    people = np.array([[float(s.taster == t) for t in tasters] for s in scores])
    rest = [np.array([blocks[s.run] for s in scores]), people.reshape(len(scores), -1)]
    whole = np.hstack([columns(points, design.names, terms), *rest])
    if rank(np.hstack([np.ones((len(whole), 1)), whole])) <= whole.shape[1]:
        return None
    found = proportional_odds([s.score for s in scores], whole)
    if found is None:
        return None
    return tuple(Leaning(t, size_of(t, model) * c) for t, c in zip(terms, found, strict=False))
