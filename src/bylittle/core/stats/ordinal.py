"""Ordinal responses: chances of each category, of an interval of categories, and an exact static fit.

The cumulative (proportional-odds) logit: P(N >= l) = s(x + o_l) for l = 1..L and P(N >= 0) = 1, with s the
logistic function, x a location and o_1 >= ... >= o_L the offsets (McCullagh 1980, J R Stat Soc B 42:109-142).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize
from scipy.special import expit

from bylittle.core.faults import BadValue, NotEnoughData

Floats = NDArray[np.float64]

SMALLEST = 1e-12


def tail_chances(location: ArrayLike, offsets: ArrayLike) -> Floats:
    """P(N >= l) for l = 0..L on a new last axis.

    `location` has any shape; `offsets` holds o_1..o_L on its last axis and broadcasts against the rest.
    """
    x = np.asarray(location, dtype=float)[..., None] + np.asarray(offsets, dtype=float)
    ones = np.ones((*x.shape[:-1], 1))
    return np.concatenate([ones, expit(x)], axis=-1)


def category_chances(tails: Floats) -> Floats:
    """P(N = l) for l = 0..L from the tail chances on the last axis; falling tails give none below 0."""
    following = np.concatenate([tails[..., 1:], np.zeros((*tails.shape[:-1], 1))], axis=-1)
    return np.asarray(np.maximum(tails - following, 0.0))


def blur(n_levels: int, up: float, down: float) -> Floats:
    """Chances [true level, recorded level] where a share `up` of records is one level high, `down` one low.

    At either end a record can only slip inwards.
    """
    matrix = np.eye(n_levels) * (1.0 - up - down)
    matrix += np.eye(n_levels, k=1) * up + np.eye(n_levels, k=-1) * down
    matrix[0, 0] += down
    matrix[-1, -1] += up
    return matrix


def interval_chances(categories: Floats, lo: int, hi: int, noise: Floats | None = None) -> Floats:
    """P(lo <= recorded level <= hi), levels on the last axis; `noise` as `blur` gives it."""
    n_levels = categories.shape[-1]
    if not 0 <= lo <= hi < n_levels:
        raise BadValue("interval_off_ladder", name="lo..hi", value=(lo, hi), allowed=(0, n_levels - 1))
    weights = np.zeros(n_levels)
    weights[lo : hi + 1] = 1.0
    if noise is not None:
        weights = noise @ weights
    return np.asarray(categories @ weights)


@dataclass(frozen=True, slots=True)
class StaticFit:
    """Maximum-likelihood fit of a static ordinal logit: P(N <= j) = s(thresholds[j] - x . slopes)."""

    slopes: tuple[float, ...]
    thresholds: tuple[float, ...]
    log_likelihood: float


def fit_static(
    lo: Sequence[int], hi: Sequence[int], covariates: ArrayLike, n_levels: int, *, ridge: float = 0.0
) -> StaticFit:
    """Fit the static ordinal logit to interval-censored levels: which level with which covariates?

    Inputs: record i says lo[i] <= N <= hi[i]; `covariates` is [records, features] without a constant.
    `ridge` is the precision of a normal prior on the slopes (0: plain maximum likelihood).
    NotEnoughData with fewer records than parameters; BadValue where an interval leaves the ladder.
    Agrees with the ordered logit of general libraries to 1e-3 where lo = hi.
    """
    design = np.asarray(covariates, dtype=float).reshape(len(lo), -1)
    low, high = np.asarray(lo, dtype=int), np.asarray(hi, dtype=int)
    _check_static(design, low, high, n_levels)
    n_slopes = design.shape[1]
    start = np.concatenate([np.zeros(n_slopes), _starting_cuts(low, high, n_levels)])
    found = minimize(
        _negative_log_likelihood,
        start,
        args=(design, low, high, n_slopes, ridge),
        method="BFGS",
        options={"gtol": 1e-7, "maxiter": 500},
    )
    slopes, cuts = found.x[:n_slopes], _cuts(found.x[n_slopes:])
    return StaticFit(tuple(map(float, slopes)), tuple(map(float, cuts)), -float(found.fun))


def _check_static(design: Floats, lo: NDArray[np.int_], hi: NDArray[np.int_], n_levels: int) -> None:
    if not np.isfinite(design).all():
        raise BadValue("not_a_number", name="covariates", value="NaN", allowed="finite numbers")
    if len(lo) == 0 or lo.min() < 0 or hi.max() >= n_levels or (lo > hi).any():
        raise BadValue("interval_off_ladder", name="lo..hi", value="", allowed=(0, n_levels - 1))
    needed = design.shape[1] + n_levels
    if len(lo) < needed:
        raise NotEnoughData(n=len(lo), needed=needed)


def _starting_cuts(lo: NDArray[np.int_], hi: NDArray[np.int_], n_levels: int) -> Floats:
    middle = (lo + hi) / 2
    below = np.array([(middle <= j + 0.5).mean() for j in range(n_levels - 1)])
    below = np.clip(np.maximum.accumulate(below + 1e-3 * np.arange(n_levels - 1)), 0.02, 0.98)
    cuts = np.log(below / (1 - below))
    gaps = np.maximum(np.diff(cuts), 0.1)
    return np.concatenate([cuts[:1], np.log(gaps)])


def _cuts(free: Floats) -> Floats:
    return np.concatenate([free[:1], free[0] + np.cumsum(np.exp(free[1:]))])


def _negative_log_likelihood(
    free: Floats, design: Floats, lo: NDArray[np.int_], hi: NDArray[np.int_], n_slopes: int, ridge: float
) -> float:
    slopes = free[:n_slopes]
    cuts = np.concatenate([[-np.inf], _cuts(free[n_slopes:]), [np.inf]])
    centre = design @ slopes
    chance = expit(cuts[hi + 1] - centre) - expit(cuts[lo] - centre)
    penalty = 0.5 * ridge * float(slopes @ slopes)
    return penalty - float(np.log(np.maximum(chance, SMALLEST)).sum())
