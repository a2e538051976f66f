"""Single scores by a mixed model: what goes with a figure once tasters, sittings and bakes are allowed to differ by themselves.

Numbers in, numbers out. Tasters, sittings and the things baked are random and crossed, the rest is fixed; fitted by
restricted maximum likelihood (statsmodels' MixedLM with variance components). The scores of one thing share that thing, so
an estimate of what differs between things is judged by Student's t on the things that are free, not on the
number of scores. statsmodels takes seconds to import, so only what fits imports this module.
"""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy import stats

#: Beyond so many scores the crossed model is too large for a kitchen's machine.
MOST_SCORES = 1_500
ALPHA = 0.05
#: A variance below this share of what is left is none.
NO_VARIANCE = 1e-4


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
    """A fit. ``variances`` by random group, ``residual`` within; ``zero`` names groups that did not differ at all.

    ``converged`` False means that the estimates are not to be relied on.
    """

    estimates: tuple[Estimate, ...]
    variances: Mapping[str, float]
    residual: float
    freedom: int
    zero: tuple[str, ...]
    converged: bool

    def of(self, name: str) -> Estimate:
        """The estimate of that name. Raises StopIteration where there is none."""
        return next(one for one in self.estimates if one.name == name)


def mixed(
    scores: Sequence[float],
    fixed: Mapping[str, Sequence[float]],
    random: Mapping[str, Sequence[str]],
    freedom: int,
) -> Mixed:
    """Fit ``scores`` with fixed columns (the mean is added) and random groups by name.

    ``freedom`` is that of the intervals: things less what is fitted between them. Raises ValueError beyond
    ``MOST_SCORES``.
    """
    from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

    if len(scores) > MOST_SCORES:
        raise ValueError(f"more than {MOST_SCORES} scores")
    names = ["mean", *fixed]
    design = np.column_stack([np.ones(len(scores)), *map(np.asarray, fixed.values())])
    varied = {name: labels for name, labels in random.items() if len(set(labels)) > 1}
    columns = [sorted(set(labels)) for labels in varied.values()]
    matrices = [_indicator(labels) for labels in varied.values()]
    components = VCSpec(
        list(varied),
        [[list(map(str, labels))] for labels in columns],
        [[matrix] for matrix in matrices],
    )
    model = MixedLM(
        np.asarray(scores, dtype=float), design, groups=np.ones(len(scores)), exog_vc=components
    )
    with warnings.catch_warnings():
        # of variances at their bound it warns, and gives what is asked
        warnings.simplefilter("ignore")
        found = model.fit(reml=True, method=["lbfgs", "powell"])
    residual = float(found.scale)
    variances = {name: float(v) for name, v in zip(varied, found.vcomp, strict=True)}
    squares = np.diag(np.asarray(found.cov_params()))[: len(names)]
    errors = np.sqrt(np.maximum(squares, 0.0))
    estimates = tuple(
        _estimate(name, float(value), float(error), freedom)
        for name, value, error in zip(names, found.fe_params, errors, strict=True)
    )
    zero = tuple(name for name, value in variances.items() if value < NO_VARIANCE * residual)
    return Mixed(
        estimates,
        variances,
        residual,
        freedom,
        zero,
        bool(found.converged) and bool((squares > 0).all()),
    )


def _indicator(labels: Sequence[str]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """One column a label, in the order of their names, with 1 where a score is of it."""
    known = {label: at for at, label in enumerate(sorted(set(labels)))}
    matrix = np.zeros((len(labels), len(known)))
    matrix[np.arange(len(labels)), [known[label] for label in labels]] = 1.0
    return matrix


def _estimate(name: str, value: float, error: float, freedom: int) -> Estimate:
    if freedom < 1:
        return Estimate(name, value, error, None, None, None)
    half = float(stats.t.ppf(1 - ALPHA / 2, freedom)) * error
    p = 2 * float(stats.t.sf(abs(value) / error, freedom)) if error else None
    return Estimate(name, value, error, value - half, value + half, p)


def spread_between(found: Mixed, name: str) -> float:
    """The standard deviation between the groups of one random name; 0 where they did not differ."""
    return sqrt(max(found.variances.get(name, 0.0), 0.0))
