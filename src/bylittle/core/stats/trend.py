"""Trend of a series: Theil-Sen, split-middle and least squares lines, and Kendall's tau-b."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import kendalltau

from bylittle.core.faults import BadValue, Undefined
from bylittle.core.stats.values import Array, series


class Line(NamedTuple):
    """y = intercept + slope x, in the units of the data."""

    slope: float
    intercept: float


class HalfMedians(NamedTuple):
    """Medians of session number and value in the first and in the last half of a phase."""

    x1: float
    y1: float
    x2: float
    y2: float


def theil_sen(x: ArrayLike, y: ArrayLike) -> Line:
    """Median of the slopes between all pairs of points with different x; intercept = median of y - slope x.

    Theil (1950), Sen (1968). Up to some 29 % of points may lie anywhere without moving the slope far.
    Raises NotEnoughData under two points, Undefined when all x are equal, BadValue for NaN or unequal
    lengths.
    """
    return _median_line(x, y)[0]


def theil_sen_separate(x: ArrayLike, y: ArrayLike) -> Line:
    """Theil-Sen slope with the other usual intercept: median of y less slope times median of x."""
    line, xs, ys = _median_line(x, y)
    return Line(line.slope, float(np.median(ys) - line.slope * np.median(xs)))


def _median_line(x: ArrayLike, y: ArrayLike) -> tuple[Line, Array, Array]:
    xs, ys = _points(x, y)
    first, second = np.triu_indices(xs.size, k=1)
    run, rise = xs[second] - xs[first], ys[second] - ys[first]
    slope = float(np.median(rise[run != 0] / run[run != 0]))
    return Line(slope, float(np.median(ys - slope * xs))), xs, ys


def _points(x: ArrayLike, y: ArrayLike) -> tuple[Array, Array]:
    xs, ys = _as_long(x, y)
    if np.ptp(xs) == 0:
        raise Undefined(name="slope", x=float(xs[0]))
    return xs, ys


def _as_long(x: ArrayLike, y: ArrayLike) -> tuple[Array, Array]:
    xs, ys = series(x, "x"), series(y, "y")
    if xs.size != ys.size:
        raise BadValue(name="y", value=int(ys.size), allowed=f"{xs.size} values")
    return series(xs, "x", 2), series(ys, "y", 2)


def least_squares(x: ArrayLike, y: ArrayLike) -> Line:
    """Ordinary least squares line. Raises as `theil_sen` does."""
    xs, ys = _points(x, y)
    run = xs - xs.mean()
    slope = float(run @ (ys - ys.mean()) / (run @ run))
    return Line(slope, float(ys.mean() - slope * xs.mean()))


def half_medians(y: ArrayLike) -> HalfMedians:
    """The two points of the split-middle line, sessions from 1; an odd middle session is left out."""
    ys = series(y, "y", 2)
    half = ys.size // 2
    x1 = (half + 1) / 2.0
    return HalfMedians(x1, float(np.median(ys[:half])), ys.size + 1 - x1, float(np.median(ys[-half:])))


def split_middle(y: ArrayLike) -> Line:
    """Line through the medians of the two halves of a phase, x = 1..n (White 1974), not shifted afterwards.

    Raises NotEnoughData under two points.
    """
    x1, y1, x2, y2 = half_medians(y)
    slope = (y2 - y1) / (x2 - x1)
    return Line(slope, y1 - slope * x1)


def split_middle_shifted(y: ArrayLike) -> Line:
    """Split-middle line moved up or down until as many points lie above it as below."""
    slope, _ = split_middle(y)
    ys = series(y, "y", 2)
    return Line(slope, float(np.median(ys - slope * np.arange(1, ys.size + 1))))


def kendall_tau_b(x: ArrayLike, y: ArrayLike) -> float:
    """Kendall's tau-b of two series, -1..1; Undefined when either side has one value only."""
    xs, ys = _as_long(x, y)
    if np.ptp(xs) == 0 or np.ptp(ys) == 0:
        raise Undefined(name="kendall_tau_b")
    return float(kendalltau(xs, ys, variant="b").statistic)
