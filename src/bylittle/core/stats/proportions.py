"""Interval of a proportion."""

from __future__ import annotations

import math
from numbers import Real

from scipy.special import ndtri

from bylittle.core.faults import BadValue, NotEnoughData


def wilson(k: int, n: int, level: float = 0.95) -> tuple[float, float]:
    """Wilson (1927) score interval of `k` successes in `n` tries, without continuity correction.

    At k = 0 the lower limit is 0 and at k = n the upper is 1, exactly. Tries are taken as independent and
    alike. Raises NotEnoughData for no try; BadValue for a count that is not whole or not within 0..n, or a
    level outside 0..1 (ends excluded).

    >>> [round(limit, 4) for limit in wilson(8, 10)]
    [0.4902, 0.9433]
    """
    tries = _whole(n, "n", math.inf)
    successes = _whole(k, "k", tries)
    if not 0.0 < level < 1.0:
        raise BadValue(name="level", value=level, allowed=(0.0, 1.0))
    if tries == 0:
        raise NotEnoughData(n=0, needed=1, name="n")
    return _limits(successes, tries, float(ndtri(0.5 + level / 2.0)) ** 2)


def _limits(k: int, n: int, z2: float) -> tuple[float, float]:
    centre = k + z2 / 2.0
    half = math.sqrt(z2 * (k * (n - k) / n + z2 / 4.0))
    low = 0.0 if k == 0 else (centre - half) / (n + z2)
    high = 1.0 if k == n else (centre + half) / (n + z2)
    return low, high


def _whole(value: float, name: str, most: float) -> int:
    number = isinstance(value, Real) and math.isfinite(value)
    if not (number and 0 <= value <= most and value == int(value)):
        raise BadValue(name=name, value=value, allowed=(0, most))
    return int(value)
