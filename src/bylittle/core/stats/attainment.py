"""Goal attainment scaling: one T score for a set of goals."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from bylittle.core.faults import BadValue, Undefined
from bylittle.core.stats.values import Array, series

LOWEST, HIGHEST = -3.0, 2.0


def t_score(levels: ArrayLike, weights: ArrayLike | None = None, rho: float = 0.3) -> float:
    """T = 50 + 10 sum(w x) / sqrt((1 - rho) sum(w^2) + rho (sum w)^2), Kiresuk & Sherman (1968).

    `levels` are the attained levels, -2..+2 with 0 as expected (-3 and half levels, which some services
    add, pass); `weights` 0 or more, all 1 when left out; `rho` the assumed correlation of goals, 0..1. All
    as expected is 50. Levels are ordered, not measured, so the score belongs beside its levels, never
    alone. Raises NotEnoughData for no goal, Undefined when every weight is 0, BadValue outside the ranges.

    >>> round(t_score([-2, 0, -1, 2, 0, 1], [3, 5, 1, 4, 2, 6]), 6)
    55.0
    """
    attained = _levels(levels)
    relative = _weights(weights, attained.size)
    if not 0.0 <= rho <= 1.0:
        raise BadValue(name="rho", value=rho, allowed=(0.0, 1.0))
    spread = (1.0 - rho) * float(relative @ relative) + rho * float(relative.sum()) ** 2
    return 50.0 + 10.0 * float(relative @ attained) / math.sqrt(spread)


def t_change(
    before: ArrayLike, after: ArrayLike, weights: ArrayLike | None = None, rho: float = 0.3
) -> tuple[float, float, float]:
    """T of the same goals before and after, and the change, with the same weights."""
    first, second = t_score(before, weights, rho), t_score(after, weights, rho)
    if np.size(before) != np.size(after):
        raise BadValue(name="after", value=int(np.size(after)), allowed=f"{np.size(before)} values")
    return first, second, second - first


def _levels(levels: ArrayLike) -> Array:
    attained = series(levels, "levels")
    outside = attained[(attained < LOWEST) | (attained > HIGHEST)]
    if outside.size:
        raise BadValue(name="levels", value=float(outside[0]), allowed=(LOWEST, HIGHEST))
    return attained


def _weights(weights: ArrayLike | None, n: int) -> Array:
    """Weights over the largest one: T does not change with their scale, and squares cannot overflow."""
    given = np.ones(n) if weights is None else series(weights, "weights", 0)
    if given.size != n:
        raise BadValue(name="weights", value=int(given.size), allowed=f"{n} values")
    if given.min() < 0:
        raise BadValue(name="weights", value=float(given.min()), allowed=(0.0, math.inf))
    if given.max() == 0:
        raise Undefined(name="t_score", weights=0.0)
    return np.asarray(given / given.max())
