"""Lag-one autocorrelation: does a point tell of the next one?"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from bylittle.core.faults import NotEnoughData, Undefined
from bylittle.core.stats.values import Z95, Estimate, mean, series

FEWEST = 5


def lag_one(values: ArrayLike) -> Estimate:
    """r1 = sum of products of neighbours' deviations over the sum of squared deviations from the mean.

    The interval is Bartlett's (1946) for a series without autocorrelation, 1.96 / sqrt(n) either way, cut
    at -1 and 1. In short series r1 is biased towards negative by about 1 / n (Huitema & McKean 1991), see
    `lag_one_corrected`; a trend raises it. Raises NotEnoughData under five points, Undefined when all are
    equal.
    """
    return lag_one_in_phases([values])


def lag_one_in_phases(phases: Sequence[ArrayLike]) -> Estimate:
    """Pooled r1: deviations from each phase's own mean, and no pair across a break between phases."""
    found = [series(phase, "phase") for phase in phases]
    n = sum(phase.size for phase in found)
    if n < FEWEST:
        raise NotEnoughData(n=n, needed=FEWEST, name="points")
    rest = [phase - mean(phase) for phase in found]
    squares = sum(float(part @ part) for part in rest)
    if squares == 0:
        raise Undefined(name="autocorrelation")
    r1 = sum(float(part[:-1] @ part[1:]) for part in rest) / squares
    se = 1.0 / float(np.sqrt(n))
    return Estimate(r1, se, max(-1.0, r1 - Z95 * se), min(1.0, r1 + Z95 * se))


def lag_one_corrected(values: ArrayLike) -> float:
    """r1 + 1 / n, the correction of Huitema & McKean (1991) for short series."""
    return lag_one(values).estimate + 1.0 / np.size(values)
