"""Single scores by a mixed model: tasters, sittings and bakes differ by themselves, and what is asked is told beside them.

Numbers in, numbers out. Random groups are crossed, the rest is fixed; fitted by restricted maximum likelihood
(statsmodels' MixedLM with variance components). statsmodels takes a second to import, so only what fits imports it.
"""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from perflour.trials.means import ALPHA

#: Beyond so many scores the crossed model is too large for a kitchen's machine.
MOST_SCORES = 1_500
#: Slopes alone stop short of a variance of 0 and call it found, so a search without slopes goes beside; the larger
#: likelihood of the two is taken.
SEARCHES = ("powell", "lbfgs")


@dataclass(frozen=True)
class Estimate:
    """A fixed effect in the units of the scores, its standard error and its 95 % interval; None with no freedom left."""

    name: str
    value: float
    error: float
    low: float | None
    high: float | None
    p: float | None


@dataclass(frozen=True)
class Mixed:
    """A mixed model by restricted maximum likelihood.

    ``variances`` of the random groups by name, ``left`` of what no group explains, in points squared; ``sound`` is
    False where it did not converge.
    """

    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    variances: dict[str, float]
    left: float
    sound: bool


def mixed(
    scores: Sequence[float], fixed: NDArray[np.float64], groups: Mapping[str, Sequence[object]]
) -> Mixed | None:
    """Fit scores by fixed columns and random groups (a label a score), which may cross; None where it fails."""
    from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

    names, labels, flags = [], [], []
    for name, members in groups.items():
        kinds = sorted(set(map(str, members)))
        names.append(name)
        labels.append([kinds])
        flags.append([np.array([[float(str(m) == k) for k in kinds] for m in members])])
    with warnings.catch_warnings():
        # what it warns of is asked below: convergence, and variances at their bound
        warnings.simplefilter("ignore")
        try:
            parts = VCSpec(names, labels, flags)
            asked = MixedLM(np.array(scores), fixed, np.zeros(len(scores)), exog_vc=parts)
            tried = [asked.fit(reml=True, method=[search]) for search in SEARCHES]
            done = max(tried, key=lambda one: float(one.llf))
            inner = np.asarray(done.cov_params())[: fixed.shape[1], : fixed.shape[1]]
        except (np.linalg.LinAlgError, ValueError, FloatingPointError):
            return None
    values = [*done.fe_params, *done.vcomp, done.scale, *inner.flat]
    return Mixed(
        coefficients=tuple(map(float, done.fe_params)),
        covariance=tuple(tuple(map(float, row)) for row in inner),
        variances=dict(zip(names, map(float, done.vcomp), strict=True)),
        left=float(done.scale),
        sound=bool(done.converged)
        and bool(np.all(np.isfinite(values)) and np.all(np.diag(inner) > 0)),
    )


def estimates(
    scores: Sequence[float],
    fixed: Mapping[str, Sequence[float]],
    groups: Mapping[str, Sequence[object]],
    freedom: int,
) -> tuple[tuple[Estimate, ...], Mixed] | None:
    """Named fixed columns (the mean is added) with intervals, and the fit; None where it fails, or of too many scores.

    The scores of one thing share that thing, so an estimate of what differs between things is judged by Student's t
    on ``freedom``: things less what is fitted between them, not scores.
    """
    if len(scores) > MOST_SCORES:
        return None
    names = ("mean", *fixed)
    design = np.column_stack([np.ones(len(scores)), *map(np.asarray, fixed.values())])
    varied = {name: labels for name, labels in groups.items() if len(set(labels)) > 1}
    found = mixed(scores, design, varied)
    if found is None or not found.sound:
        return None
    errors = [found.covariance[at][at] ** 0.5 for at in range(len(names))]
    return tuple(
        _estimate(name, value, error, freedom)
        for name, value, error in zip(names, found.coefficients, errors, strict=True)
    ), found


def _estimate(name: str, value: float, error: float, freedom: int) -> Estimate:
    if freedom < 1:
        return Estimate(name, value, error, None, None, None)
    half = float(stats.t.ppf(1 - ALPHA / 2, freedom)) * error
    p = 2 * float(stats.t.sf(abs(value) / error, freedom)) if error else None
    return Estimate(name, value, error, value - half, value + half, p)
