"""What every statistic returns, and the door that every series of numbers comes in by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from bylittle.core.faults import BadValue, NotEnoughData

Array: TypeAlias = NDArray[np.float64]
Better: TypeAlias = Literal["increase", "decrease"]
Numbers: TypeAlias = Sequence[float] | Array

Z95 = float(ndtri(0.975))


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its standard error and 95 % interval, each None where the measure has none."""

    estimate: float
    se: float | None = None
    low: float | None = None
    high: float | None = None


def with_normal_interval(estimate: float, se: float) -> Estimate:
    """Estimate with the interval `estimate -/+ 1.96 se`."""
    return Estimate(estimate, se, estimate - Z95 * se, estimate + Z95 * se)


def series(values: ArrayLike, name: str, needed: int = 1) -> Array:
    """One-dimensional array of finite numbers, at least `needed` of them.

    Raises BadValue (not numbers, not one-dimensional, NaN or infinite) or NotEnoughData.
    """
    found = finite(values, name, ndim=1)
    if found.size < needed:
        raise NotEnoughData(n=int(found.size), needed=needed, name=name)
    return found


def finite(values: ArrayLike, name: str, ndim: int) -> Array:
    """Array of finite numbers with `ndim` axes, or BadValue."""
    try:
        found = np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError) as fault:
        raise BadValue(name=name, value=repr(values)[:80], allowed="numbers") from fault
    if found.ndim != ndim:
        raise BadValue(name=name, value=f"{found.ndim} axes", allowed=f"{ndim} axes")
    wrong = ~np.isfinite(found)
    if np.any(wrong):
        place = tuple(int(i) for i in np.argwhere(wrong)[0])
        raise BadValue(name=name, value=float(found[place]), allowed="finite numbers", index=place)
    return found


def sign_of(better: str) -> float:
    """1.0 when a rise is improvement, -1.0 when a fall is; BadValue for any other word."""
    if better not in ("increase", "decrease"):
        raise BadValue(name="better", value=better, allowed=("increase", "decrease"))
    return 1.0 if better == "increase" else -1.0


def two_phases(
    a: ArrayLike, b: ArrayLike, better: str, needed_a: int = 1, needed_b: int = 1
) -> tuple[Array, Array]:
    """Both phases turned so that larger is better; at least `needed_a` and `needed_b` points."""
    sign = sign_of(better)
    first, second = finite(a, "a", ndim=1), finite(b, "b", ndim=1)
    return sign * series(first, "a", needed_a), sign * series(second, "b", needed_b)


def variance(values: Array) -> float:
    """Sample variance (n - 1); exactly 0 when all values are equal, which rounding would hide."""
    return 0.0 if np.ptp(values) == 0 else float(np.var(values, ddof=1))


def rounding(values: Array) -> float:
    """Two results worked out from `values` that differ by no more than this are equal.

    Wide of what arithmetic loses (one bit of a double is some 1e-16 of it) and far under the ninth figure,
    where recorded differences may still be real.
    """
    return 1e-12 * float(np.max(np.abs(values)))


def mean(values: Array) -> float:
    """Arithmetic mean; exactly the value itself when all are equal."""
    return float(values[0]) if np.ptp(values) == 0 else float(np.mean(values))
