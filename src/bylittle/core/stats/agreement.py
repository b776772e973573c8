"""Agreement of two people who scored the same points: share of points, Cohen's kappa.

`a` and `b` hold one score a point, in the same order: numbers or labels (the name of a help level, say).
Unequal lengths, NaN and missing scores are BadValue; no point at all is NotEnoughData.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from numbers import Real
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.stats.values import Array, Estimate, finite, series, with_normal_interval

Scores: TypeAlias = Sequence[Hashable] | NDArray[Any]
# A difference of shares under this is rounding error.
ROUNDING = 1e-12

Weights: TypeAlias = Literal["linear", "quadratic"] | None


def point_by_point(a: Scores, b: Scores) -> float:
    """Points scored alike over all points, 0..1. Says nothing of agreement by chance."""
    first, second = _scored(a, b)
    alike = sum(1 for x, y in zip(first, second, strict=True) if x == y)
    return alike / len(first)


def occurrence_only(a: ArrayLike, b: ArrayLike) -> float:
    """Points scored alike over those that at least one person scored above 0; Undefined for none."""
    first, second = _numbers(a, b)
    counted = (first > 0) | (second > 0)
    if not counted.any():
        raise Undefined(name="occurrence_only")
    return float(np.mean(first[counted] == second[counted]))


def within_one_level(a: ArrayLike, b: ArrayLike) -> float:
    """Share of points scored alike or one level apart, 0..1; levels are consecutive numbers."""
    first, second = _numbers(a, b)
    return float(np.mean(np.abs(first - second) <= 1))


def total_count(a: ArrayLike, b: ArrayLike) -> float:
    """Smaller total over larger total, 0..1; both 0 is 1. Blind to where the counts fell."""
    first, second = _numbers(a, b)
    if min(first.min(), second.min()) < 0:
        raise BadValue(name="scores", value=float(min(first.min(), second.min())), allowed=(0.0, math.inf))
    totals = sorted((float(first.sum()), float(second.sum())))
    return 1.0 if totals[1] == 0 else totals[0] / totals[1]


def kappa(
    a: Scores, b: Scores, weights: Weights = None, levels: Sequence[Hashable] | None = None
) -> Estimate:
    """Cohen's (1960) kappa: agreement beyond what the two people's own habits would give by chance.

    `weights` "linear" or "quadratic" counts a near miss in part (Cohen 1968). `levels` gives the categories
    in order; left out, they are those found, sorted. Error by Fleiss, Cohen & Everitt (1969), 95 % normal
    interval, not cut at 1; an error of 0 (full agreement, or one person who used one category only) says
    that the formula has nothing to go by, not that kappa is sure. Two points are needed. Raises Undefined
    when both used one and the same category.
    """
    first, second = _scored(a, b)
    order = _levels(first, second, weights, levels)
    if len(first) < 2:
        raise NotEnoughData(n=len(first), needed=2, name="points")
    place = {level: index for index, level in enumerate(order)}
    table = np.zeros((len(order), len(order)))
    for x, y in zip(first, second, strict=True):
        table[place[x], place[y]] += 1.0
    return kappa_of_table(table, weights)


def kappa_of_table(table: ArrayLike, weights: Weights = None) -> Estimate:
    """`kappa` from a square table of counts: rows the first person, columns the second, levels in order."""
    counts = finite(table, "table", ndim=2)
    if counts.shape[0] != counts.shape[1] or counts.size == 0 or counts.min() < 0:
        raise BadValue(name="table", value=counts.shape, allowed="square, counts 0 or more")
    if counts.sum() < 2:
        raise NotEnoughData(n=int(counts.sum()), needed=2, name="points")
    return _kappa(counts / counts.sum(), _credit(counts.shape[0], weights), float(counts.sum()))


def _kappa(shares: Array, credit: Array, n: float) -> Estimate:
    rows, columns = shares.sum(axis=1), shares.sum(axis=0)
    observed, by_chance = float(np.sum(credit * shares)), float(rows @ credit @ columns)
    if math.isclose(by_chance, 1.0, abs_tol=ROUNDING):
        raise Undefined(name="kappa", by_chance=1.0)
    value = (observed - by_chance) / (1.0 - by_chance)
    margins = (credit @ columns)[:, None] + (rows @ credit)[None, :]
    spread = float(np.sum(shares * (credit - margins * (1.0 - value)) ** 2))
    spread -= (value - by_chance * (1.0 - value)) ** 2
    spread = spread if spread > ROUNDING else 0.0
    return with_normal_interval(value, math.sqrt(spread / n) / (1.0 - by_chance))


def _credit(size: int, weights: Weights) -> Array:
    """Agreement credited to each pair of levels: 1 on the diagonal, down to 0."""
    apart = np.abs(np.subtract.outer(np.arange(size), np.arange(size))) / max(size - 1, 1)
    if weights is None:
        return np.eye(size)
    if weights not in ("linear", "quadratic"):
        raise BadValue(name="weights", value=weights, allowed=(None, "linear", "quadratic"))
    return np.asarray(1.0 - (apart if weights == "linear" else apart**2))


def _levels(
    first: list[Any], second: list[Any], weights: Weights, levels: Sequence[Hashable] | None
) -> list[Any]:
    found = set(first) | set(second)
    if levels is not None:
        stranger = next((score for score in (*first, *second) if score not in levels), None)
        if stranger is not None or len(set(levels)) != len(levels):
            raise BadValue(name="levels", value=stranger, allowed=tuple(levels))
        return list(levels)
    if weights is not None and not all(isinstance(score, Real) for score in found):
        raise BadValue(name="levels", value=None, allowed="the order of the levels")
    return sorted(found) if weights is not None else sorted(found, key=repr)


def _scored(a: Scores, b: Scores) -> tuple[list[Any], list[Any]]:
    first, second = list(a), list(b)
    if len(first) != len(second):
        raise BadValue(name="b", value=len(second), allowed=f"{len(first)} values")
    if not first:
        raise NotEnoughData(n=0, needed=1, name="points")
    for name, scores in (("a", first), ("b", second)):
        for index, score in enumerate(scores):
            if score is None or (isinstance(score, float | np.floating) and not math.isfinite(score)):
                raise BadValue(name=name, value=score, allowed="a score", index=index)
    return first, second


def _numbers(a: ArrayLike, b: ArrayLike) -> tuple[Array, Array]:
    first, second = series(a, "a", 0), series(b, "b", 0)
    if first.size != second.size:
        raise BadValue(name="b", value=int(second.size), allowed=f"{first.size} values")
    return series(first, "points"), series(second, "points")
