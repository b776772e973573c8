"""How large a change is: in standard deviations, as a ratio of means, or as a share of the way to a goal.

Each takes the baseline `a` and the treatment phase `b` and tells an estimate, its standard error and a 95 %
normal interval. Points are taken as independent within a phase: with autocorrelation the errors are too
small.
"""

from __future__ import annotations

import math
from typing import Literal

from numpy.typing import ArrayLike

from bylittle.core.faults import BadValue, Undefined
from bylittle.core.stats.values import (
    Array,
    Better,
    Estimate,
    finite,
    mean,
    series,
    sign_of,
    two_phases,
    variance,
    with_normal_interval,
)

Kind = Literal["increasing", "decreasing"]
Scale = Literal["count", "percentage", "proportion"]

# The highest value that a scale has, None where there is none.
TOP: dict[str, float | None] = {"count": None, "percentage": 100.0, "proportion": 1.0}
KINDS: dict[str, str] = {"increasing": "increase", "decreasing": "decrease"}


def smd(
    a: ArrayLike, b: ArrayLike, better: Better = "increase", sd: Literal["baseline", "pooled"] = "baseline"
) -> Estimate:
    """Within-case standardised mean difference, corrected for small samples (Hedges 1981).

    `sd` names the yardstick: the baseline's standard deviation (Glass; three baseline points are needed, as
    the correction is 0 at two) or the pooled one (two points a phase). Two treatment points are needed for
    the error. Not comparable with a d between groups. Raises Undefined when the yardstick is 0.
    """
    if sd not in ("baseline", "pooled"):
        raise BadValue(name="sd", value=sd, allowed=("baseline", "pooled"))
    turned_a, turned_b = two_phases(a, b, better, 3 if sd == "baseline" else 2, 2)
    rise = mean(turned_b) - mean(turned_a)
    if sd == "baseline":
        return _over_baseline(rise, turned_a, turned_b)
    return _over_pooled(rise, turned_a, turned_b)


def _over_baseline(rise: float, a: Array, b: Array) -> Estimate:
    m, n, var_a = a.size, b.size, variance(a)
    correction = 1.0 - 3.0 / (4 * m - 5)
    d = correction * rise / _yardstick(var_a, "baseline")
    inside = 1.0 / m + variance(b) / (n * var_a) + d**2 / (2.0 * (m - 1))
    return with_normal_interval(d, correction * math.sqrt(inside))


def _over_pooled(rise: float, a: Array, b: Array) -> Estimate:
    m, n = a.size, b.size
    pooled = ((m - 1) * variance(a) + (n - 1) * variance(b)) / (m + n - 2)
    correction = 1.0 - 3.0 / (4 * (m + n) - 9)
    d = correction * rise / _yardstick(pooled, "pooled")
    return with_normal_interval(d, correction * math.sqrt(1.0 / m + 1.0 / n + d**2 / (2.0 * (m + n - 2))))


def _yardstick(var: float, sd: str) -> float:
    if var == 0:
        raise Undefined(name="smd", sd=sd)
    return math.sqrt(var)


def lrr(
    a: ArrayLike,
    b: ArrayLike,
    better: Better = "increase",
    kind: Kind = "increasing",
    scale: Scale = "count",
    floor: float | None = None,
) -> Estimate:
    """Log of treatment mean over baseline mean, corrected for bias: log response ratio (Pustejovsky 2018).

    `kind` "increasing" is signed so that positive is improvement, "decreasing" so that negative is. A
    percentage or proportion whose better direction is the other one is first turned into 100 - y or 1 - y;
    a count changes sign. `floor` is D of the zero correction: a mean is at least 1 / (2 D m) and a variance
    at least 1 / (D^2 m^3), m the points of the phase. Left out, D = 1 for counts and no floor for the rest;
    give the number of intervals for a proportion, intervals / 100 for a percentage, session minutes for a
    rate a minute. `exp(estimate) - 1` is the change as a share. Two points a phase; no negative values.
    Raises Undefined for a mean of 0 without floor.
    """
    _check_words(kind, scale, floor)
    sign_of(better)
    first, second = _on_scale(a, "a", scale), _on_scale(b, "b", scale)
    turn, top = better != KINDS[kind], TOP[scale]
    if turn and top is not None:
        first, second, turn = top - first, top - second, False
    if floor is None and scale == "count":
        floor = 1.0
    log_a, error_a = _log_mean(first, floor, "a")
    log_b, error_b = _log_mean(second, floor, "b")
    ratio = log_b - log_a
    return with_normal_interval(-ratio if turn else ratio, math.sqrt(error_a + error_b))


def _check_words(kind: str, scale: str, floor: float | None) -> None:
    if kind not in KINDS:
        raise BadValue(name="kind", value=kind, allowed=tuple(KINDS))
    if scale not in TOP:
        raise BadValue(name="scale", value=scale, allowed=tuple(TOP))
    if floor is not None and not (math.isfinite(floor) and floor > 0):
        raise BadValue(name="floor", value=floor, allowed="above 0")


def _on_scale(values: ArrayLike, name: str, scale: str) -> Array:
    found, top = series(values, name, 2), TOP[scale]
    if found.min() < 0 or (top is not None and found.max() > top):
        worst = float(found.min() if found.min() < 0 else found.max())
        raise BadValue(name=name, value=worst, allowed=(0.0, math.inf if top is None else top))
    return found


def _log_mean(values: Array, floor: float | None, name: str) -> tuple[float, float]:
    """Bias-corrected log of the mean, and its sampling variance."""
    m, centre, spread = values.size, mean(values), variance(values)
    if floor is not None:
        centre, spread = max(centre, 1.0 / (2.0 * floor * m)), max(spread, 1.0 / (floor**2 * m**3))
    if centre <= 0:
        raise Undefined(name="lrr", phase=name, mean=0.0)
    error = spread / (m * centre**2)
    return math.log(centre) + error / 2.0, error


def percent_of_goal(a: ArrayLike, b: ArrayLike, goal: float) -> Estimate:
    """Percent of the way from the baseline mean to `goal` that the treatment mean has gone; 100 is the goal.

    Percent of goal obtained (Ferron, Goldstein, Olszewski & Rohrer 2020). Negative when it moved away. The
    goal sets the direction, so there is no `better`. Two points a phase. Raises Undefined when the baseline
    mean is the goal.
    """
    first, second = series(a, "a", 2), series(b, "b", 2)
    target = float(finite(goal, "goal", ndim=0))
    way = target - mean(first)
    if way == 0:
        raise Undefined(name="percent_of_goal", goal=target)
    share = (mean(second) - mean(first)) / way
    error_a, error_b = variance(first) / first.size, variance(second) / second.size
    se = math.sqrt(error_a + error_b + share**2 * error_a) / abs(way)
    return with_normal_interval(100.0 * share, 100.0 * se)
