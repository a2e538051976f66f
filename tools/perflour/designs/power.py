"""How small a difference a trial would show, and how often it must be baked to show a smaller one.

Numbers in, numbers out. The unit is the bake: tasters of one bake share whatever went right or wrong with it, so more
tasters lessen what they add to the spread, never what the bake adds. Loads scipy.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import inf, sqrt

import numpy as np
from scipy import optimize, stats

from perflour.designs.design import Design
from perflour.designs.effects import size_of
from perflour.designs.layout.blocking import block_columns
from perflour.designs.layout.terms import Term, columns, model_terms, rank
from perflour.result import CannotRun
from perflour.trials.means import ALPHA, POWER

#: More repetitions than this no kitchen bakes.
MOST_REPLICATES = 20


@dataclass(frozen=True)
class Shown:
    """The smallest true effect of a term, in points as in ``effects.Effect``, that is found with ``POWER`` at 1 in 20.

    ``freedom``: bakes left over to tell the spread by; where there are none ``difference`` is infinite, and also
    where days and ovens leave nothing of the term.
    """

    term: Term
    difference: float
    freedom: int


def spread_of_bake(tasters: int, taster_spread: float, bake_spread: float) -> float:
    """The standard deviation of a bake's mean score, in points.

    ``taster_spread``: between scores of one bake once each taster's own level is taken out; ``bake_spread``: between
    bakes of the same levels. Raises CannotRun for no tasters and for negative spreads.
    """
    if tasters < 1:
        raise CannotRun(f"{tasters} tasters give no score; plan 1 or more")
    if taster_spread < 0 or bake_spread < 0:
        raise CannotRun("a spread below 0 is none; give 0 or more points")
    return sqrt(bake_spread**2 + taster_spread**2 / tasters)


def smallest_shown(
    design: Design, *, tasters: int, taster_spread: float, bake_spread: float, model: str = ""
) -> tuple[Shown, ...]:
    """The smallest difference shown, of each term of the design's model or of another; see ``spread_of_bake``.

    Each effect is judged for itself; judged as a family it must be larger.
    """
    spread = spread_of_bake(tasters, taster_spread, bake_spread)
    return _shown(design, model or design.model, spread, 1)


def smallest_between(
    design: Design, *, tasters: int, taster_spread: float, bake_spread: float
) -> float:
    """The smallest true difference that is found between whichever two of its bakes of other levels; of blends.

    In points, with ``POWER`` at 1 in 20, the two named beforehand; infinite where no bake is left over.
    """
    whole = np.hstack([design.model_columns(), design.block_columns()])
    freedom = len(whole) - whole.shape[1]
    if freedom < 1 or rank(whole) < whole.shape[1]:
        return inf
    spread = spread_of_bake(tasters, taster_spread, bake_spread)
    terms = np.unique(design.model_columns(), axis=0)
    unit = np.linalg.inv(whole.T @ whole)[: terms.shape[1], : terms.shape[1]]
    apart = (terms[:, None, :] - terms[None, :, :]).reshape(-1, terms.shape[1])
    largest = float(np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", apart, unit, apart), 0)).max())
    return _reach(freedom) * spread * largest


def replicates_for(
    design: Design,
    wanted: float,
    *,
    tasters: int,
    taster_spread: float,
    bake_spread: float,
    term: Term | None = None,
) -> int | None:
    """How often the whole trial must be baked, each time on days of its own, to show ``wanted`` points.

    Of one term, or of all factors (all pairs of a blend). None where ``MOST_REPLICATES`` times would not do. Raises CannotRun for a
    difference of 0 or less.
    """
    if not wanted > 0:
        raise CannotRun(f"a difference of {wanted:g} points cannot be found; give more than 0")
    spread = spread_of_bake(tasters, taster_spread, bake_spread)
    least = 2 if design.model == "blend" else 1

    def does(times: int) -> bool:
        shown = _shown(design, design.model, spread, times)
        asked = [s for s in shown if (s.term == term if term else len(s.term) == least)]
        return bool(asked) and all(s.difference <= wanted for s in asked)

    # more bakes never show less, so the fewest are found by halving
    if not does(MOST_REPLICATES):
        return None
    return 1 + bisect_left(range(1, MOST_REPLICATES), True, key=does)


def _shown(design: Design, model: str, spread: float, times: int) -> tuple[Shown, ...]:
    terms = model_terms(design.names, model)
    days = max(run.day for run in design.runs)
    places = [(run.day + days * at, run.oven) for at in range(times) for run in design.runs]
    whole = np.hstack(
        [columns(np.tile(design.points(), (times, 1)), design.names, terms), block_columns(places)]
    )
    freedom = max(0, len(whole) - whole.shape[1])
    # of a single share of a blend 0 is no question
    asked = [(at, t) for at, t in enumerate(terms) if t and (model != "blend" or len(t) > 1)]
    if not freedom or rank(whole) < whole.shape[1]:
        return tuple(Shown(term, inf, freedom) for _, term in asked)
    errors = np.sqrt(np.diag(np.linalg.inv(whole.T @ whole)))
    reach = _reach(freedom)
    return tuple(
        Shown(term, reach * spread * size_of(term, model) * float(errors[at]), freedom)
        for at, term in asked
    )


def _reach(freedom: int, alpha: float = ALPHA, power: float = POWER) -> float:
    """So many standard errors must a true effect be large, by the noncentral t distribution, two-sided."""
    limit = float(stats.t.ppf(1 - alpha / 2, freedom))

    def lacking(off: float) -> float:
        # the square of a noncentral t: both sides at once, and scipy's is sound where its t is not a number
        return float(stats.ncf.sf(limit**2, 1, freedom, off**2)) - power

    return float(optimize.brentq(lacking, 0.1, 3 * limit + 10))
