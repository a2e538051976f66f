"""Judging effects where no bake is left over to tell the spread: Lenth's pseudo standard error.

R. V. Lenth, Quick and easy analysis of unreplicated factorials, Technometrics 31 (1989) 469-473. It takes for
granted that most effects are nothing. His critical values are too wide for few effects, so they are simulated, as
by K. Q. Ye and M. Hamada, Journal of Quality Technology 32 (2000) 57-66. Numbers in, numbers out. Loads numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from perflour.designs.layout.terms import Array

#: Of fewer effects no spread can be told.
FEWEST = 3
#: Trials of pure noise that critical values are taken from, and their seed: the same on every call.
SIMULATED, SEED = 40_000, 20


@dataclass(frozen=True)
class Lenth:
    """``error`` is the pseudo standard error, in the unit of the effects.

    ``p``: of each effect for itself; ``family_p``: the share of trials of pure noise in which any of as many effects
    looks as large. ``reach``: so many errors an effect must reach to be told at 1 in 20 for itself.
    """

    error: float
    p: tuple[float, ...]
    family_p: tuple[float, ...]
    reach: float


def pseudo_error(effects: Array) -> Array:
    """Lenth's error of each row of effects: 1.5 medians of those that are not larger than 2.5 times the first."""
    size = np.abs(effects)
    first = 1.5 * np.median(size, axis=-1, keepdims=True)
    # strictly smaller, as he has it; of none at all the first is all there is
    small = np.where(size < 2.5 * first, size, np.nan)
    with np.errstate(all="ignore"):
        found = 1.5 * np.nanmedian(np.where(first > 0, small, 0.0), axis=-1)
    return np.asarray(found, dtype=float)


def judge(effects: Sequence[float], alpha: float = 0.05) -> Lenth | None:
    """The effects, all of one standard error, judged; None of fewer than three, or where most are exactly 0."""
    if len(effects) < FEWEST:
        return None
    seen = np.array(effects, dtype=float)
    error = float(pseudo_error(seen))
    if error <= 1e-12 * max(1.0, float(np.abs(seen).max())):
        return None
    each, largest = of_noise(len(seen))
    ratio = np.abs(seen) / error
    return Lenth(
        error=error,
        p=_above(each, ratio),
        family_p=_above(largest, ratio),
        reach=float(np.quantile(each, 1 - alpha)),
    )


def of_noise(effects: int) -> tuple[Array, Array]:
    """Effects of pure noise in units of their pseudo error, sorted: of each for itself, of the largest of a trial."""
    noise = np.random.default_rng(SEED).standard_normal((SIMULATED, effects))
    noise = np.abs(noise) / pseudo_error(noise)[:, None]
    return np.sort(noise, axis=None), np.sort(noise.max(axis=1))


def _above(sorted_noise: Array, values: Array) -> tuple[float, ...]:
    """The share of noise at or above each value; never 0, which so many trials cannot show."""
    count = len(sorted_noise)
    beyond = count - np.searchsorted(sorted_noise, values, side="left")
    return tuple(float((b + 1) / (count + 1)) for b in beyond)
