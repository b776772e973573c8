"""Conservative dual criterion: does treatment stand above both the baseline's level and its trend?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import binom

from bylittle.core.faults import BadValue
from bylittle.core.stats.trend import Line, least_squares
from bylittle.core.stats.values import Better, mean, rounding, sign_of, two_phases, variance

CHANCE = 0.5
ALPHA = 0.05


@dataclass(frozen=True, slots=True)
class Criterion:
    """`beyond` of `n` treatment points lie beyond both lines; `needed` would make the criterion `met`.

    `p` is the chance of as many by tossing a coin for each point. `level` and `trend` are the two lines as
    drawn: already shifted, in the data's own units and direction, sessions numbered from 1 at the start of
    the baseline.
    """

    beyond: int
    n: int
    needed: int
    p: float
    met: bool
    level: float
    trend: Line


def criterion(a: ArrayLike, b: ArrayLike, better: Better = "increase", c: float = 0.25) -> Criterion:
    """Count treatment points beyond both lines, both shifted by `c` SDs: Fisher, Kelley & Lomas (2003).

    The lines are the baseline mean and the baseline's least squares line carried on; the shift is towards
    improvement. A binomial test against one half gives `p`; `needed` is the smallest count with p <= 0.05.
    Three baseline points are needed, and five treatment points: with four even all of them would give p =
    0.06. The coin is only a yardstick: points of a series are not independent.
    """
    if not c >= 0:
        raise BadValue(name="c", value=c, allowed="0 or more")
    turned_a, turned_b = two_phases(a, b, better, 3, 5)
    m, n, sign = turned_a.size, turned_b.size, sign_of(better)
    shift = c * float(np.sqrt(variance(turned_a)))
    slope, intercept = least_squares(np.arange(1, m + 1), turned_a)
    level, start = mean(turned_a) + shift, intercept + shift
    line = start + slope * np.arange(m + 1, m + n + 1)
    within = rounding(np.concatenate((turned_a, turned_b)))
    beyond = int(np.count_nonzero(turned_b - np.maximum(level, line) > within))
    needed = int(binom.isf(ALPHA, n, CHANCE)) + 1
    p = float(binom.sf(beyond - 1, n, CHANCE))
    return Criterion(beyond, n, needed, p, beyond >= needed, sign * level, Line(sign * slope, sign * start))
