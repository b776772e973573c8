"""Overlap of two phases of one series: how far treatment points lie beyond baseline points.

Each measure takes the baseline `a` and the treatment phase `b` in order of time, and `better`: whether a
rise ("increase") or a fall ("decrease") is improvement. Positive always means improvement. NaN or infinite
values are BadValue, too few points NotEnoughData with the number needed. Overlap tells how often, never how
much; no measure here shows that the teaching caused the change. See docs/methods/ for formulas, sources and
limits.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.stats import pairs
from bylittle.core.stats.separation import most_kept
from bylittle.core.stats.trend import kendall_tau_b, theil_sen
from bylittle.core.stats.values import Array, Better, Estimate, finite, rounding, sign_of, two_phases


@dataclass(frozen=True, slots=True)
class Batch:
    """The same measure of k series: arrays of length k."""

    estimate: Array
    se: Array
    low: Array
    high: Array


@dataclass(frozen=True, slots=True)
class NapErrors:
    """Three published standard errors of NAP."""

    unbiased: float
    hanley: float
    null: float


@dataclass(frozen=True, slots=True)
class TrendCorrected(Estimate):
    """Estimate less a baseline trend; the line is in units of the data, sessions numbered from 1."""

    slope: float = 0.0
    intercept: float = 0.0


def nap(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> Estimate:
    """Non-overlap of all pairs: how often a treatment point is better than a baseline point; ties one half.

    0..1, with 0.5 for no difference. Parker & Vannest (2009). `.se` is the unbiased standard error, the
    interval is Newcombe's (2006) method 5. At complete separation (0 or 1) the interval runs from that end
    to the second root of Newcombe's equation instead of having no width. Two points are needed in each
    phase. Points are taken as independent: with autocorrelation the interval is too narrow.

    >>> round(nap([20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29]).estimate, 4)
    0.9167
    """
    turned_a, turned_b = two_phases(a, b, better, 2, 2)
    return _nap(turned_a, turned_b)


def _nap(a: Array, b: Array) -> Estimate:
    many = _nap_rows(a[None, :], b[None, :])
    return Estimate(float(many.estimate[0]), float(many.se[0]), float(many.low[0]), float(many.high[0]))


def nap_batch(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> Batch:
    """`nap` of k series at once: `a` is (k, m), `b` is (k, n). Raises as `nap` does."""
    sign = sign_of(better)
    first, second = sign * finite(a, "a", ndim=2), sign * finite(b, "b", ndim=2)
    if first.shape[0] != second.shape[0]:
        raise BadValue(name="b", value=second.shape, allowed=f"{first.shape[0]} rows")
    for name, rows in (("a", first), ("b", second)):
        if rows.shape[1] < 2:
            raise NotEnoughData(n=int(rows.shape[1]), needed=2, name=name)
    if first.shape[0] == 0:
        raise NotEnoughData(n=0, needed=1, name="series")
    return _nap_rows(first, second)


def _nap_rows(a: Array, b: Array) -> Batch:
    scores = pairs.pair_scores(a, b)
    low, high = pairs.share_interval(scores.share, scores.m, scores.n)
    return Batch(scores.share, pairs.unbiased_error(scores), low, high)


def nap_errors(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> NapErrors:
    """The unbiased, the Hanley & McNeil (1982) and the no-difference standard error of NAP."""
    turned_a, turned_b = two_phases(a, b, better, 2, 2)
    scores = pairs.pair_scores(turned_a[None, :], turned_b[None, :])
    null = pairs.null_error(scores.m, scores.n)
    return NapErrors(float(pairs.unbiased_error(scores)[0]), float(pairs.hanley_error(scores)[0]), null)


def tau(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> Estimate:
    """Better pairs less worse pairs over all pairs of a baseline and a treatment point; -1..1.

    Parker, Vannest, Davis & Sauber (2011), without trend. Equals 2 NAP - 1; error and limits follow from
    NAP's.
    """
    return _as_tau(nap(a, b, better))


def _as_tau(share: Estimate) -> Estimate:
    if share.se is None or share.low is None or share.high is None:
        raise Undefined(name="tau")
    return Estimate(2 * share.estimate - 1, 2 * share.se, 2 * share.low - 1, 2 * share.high - 1)


def tau_u(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> Estimate:
    """Tau less the baseline trend: (S_AB - S_A) / (m n). No standard error; can leave -1..1.

    The form of Parker, Vannest, Davis & Sauber (2011) that takes Kendall's S of the baseline from the S of
    the phases and still divides by the pairs between phases. `tau_u_all_pairs` has the other forms. The
    baseline needs two points, as one has no trend.
    """
    turned_a, turned_b = two_phases(a, b, better, 2, 1)
    return Estimate((_s_between(turned_a, turned_b) - _s_within(turned_a)) / (turned_a.size * turned_b.size))


def tau_u_all_pairs(
    a: ArrayLike,
    b: ArrayLike,
    better: Better = "increase",
    *,
    baseline_trend: bool = True,
    treatment_trend: bool = True,
) -> Estimate:
    """Tau-U over every pair used: S_AB, less S_A and plus S_B where asked, over the number of pairs in them.

    The other forms of Parker, Vannest, Davis & Sauber (2011). A phase whose trend is used needs two points.
    """
    turned_a, turned_b = two_phases(a, b, better, 1 + baseline_trend, 1 + treatment_trend)
    m, n = turned_a.size, turned_b.size
    s, count = _s_between(turned_a, turned_b), m * n
    if baseline_trend:
        s, count = s - _s_within(turned_a), count + m * (m - 1) // 2
    if treatment_trend:
        s, count = s + _s_within(turned_b), count + n * (n - 1) // 2
    return Estimate(s / count)


def _s_between(a: Array, b: Array) -> int:
    return int(np.sign(b[None, :] - a[:, None]).sum())


def _s_within(values: Array) -> int:
    return int(np.triu(np.sign(values[None, :] - values[:, None]), k=1).sum())


def tau_bc(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> TrendCorrected:
    """Tau after the baseline's Theil-Sen line is taken from both phases; -1..1.

    After Tarlow (2017), always corrected (no test of the trend first), and S over m n pairs as in `tau`;
    `tau_bc_kendall` is the other published form. Sessions are numbered 1..m+n. Error and limits are those
    of Tau on what is left and do not carry the line's own uncertainty. Needs three baseline points (through
    two, any line fits) and two treatment points.
    """
    rest_a, rest_b, slope, intercept = _without_trend(a, b, better)
    rest = _as_tau(_nap(rest_a, rest_b))
    return TrendCorrected(rest.estimate, rest.se, rest.low, rest.high, slope, intercept)


def tau_bc_kendall(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> TrendCorrected:
    """Baseline-corrected Tau as Kendall's tau-b of what is left against phase (0, 1).

    The form of Tarlow (2017), with his standard error sqrt(2 (1 - tau^2) / N); no interval.
    Raises Undefined when all that is left is equal.
    """
    rest_a, rest_b, slope, intercept = _without_trend(a, b, better)
    phase = np.repeat([0.0, 1.0], [rest_a.size, rest_b.size])
    value = kendall_tau_b(phase, np.concatenate((rest_a, rest_b)))
    se = float(np.sqrt(2.0 * (1.0 - value**2) / phase.size))
    return TrendCorrected(value, se, slope=slope, intercept=intercept)


def _without_trend(a: ArrayLike, b: ArrayLike, better: Better) -> tuple[Array, Array, float, float]:
    plain_a, plain_b = two_phases(a, b, "increase", 3, 2)
    slope, intercept = theil_sen(np.arange(1, plain_a.size + 1), plain_a)
    values = np.concatenate((plain_a, plain_b))
    line = intercept + slope * np.arange(1, values.size + 1)
    rest = sign_of(better) * _ties_joined(values - line, rounding(values))
    return rest[: plain_a.size], rest[plain_a.size :], slope, intercept


def _ties_joined(values: Array, within: float) -> Array:
    """Give values that follow each other by no more than `within` the smallest one's value."""
    order = np.argsort(values)
    ranked = values[order]
    new = np.concatenate(([True], np.diff(ranked) > within))
    joined = np.empty_like(values)
    joined[order] = ranked[new][np.cumsum(new) - 1]
    return joined


def pnd(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> Estimate:
    """Share of treatment points beyond the best baseline point; 0..1, an equal one does not count.

    Scruggs, Mastropieri & Casto (1987). No standard error. One outlying baseline point decides it.
    """
    turned_a, turned_b = two_phases(a, b, better)
    return Estimate(float(np.mean(turned_b > turned_a.max())))


def pem(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> Estimate:
    """Share of treatment points beyond the baseline median, an equal one counting one half; 0..1.

    Ma (2006), in the form where a tie counts one half. No standard error.
    """
    turned_a, turned_b = two_phases(a, b, better)
    middle = np.median(turned_a)
    return Estimate(float(np.mean((turned_b > middle) + 0.5 * (turned_b == middle))))


def pand(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> Estimate:
    """Share of all points left when the fewest are removed so that the phases do not overlap.

    Parker, Hagan-Burke & Vannest (2007), by fewest removals; it cannot fall below the larger phase's share.
    No standard error. `separation.pand_by_sorting` is the other form.
    """
    turned_a, turned_b = two_phases(a, b, better)
    return Estimate(most_kept(turned_a, turned_b) / (turned_a.size + turned_b.size))


def ird(a: ArrayLike, b: ArrayLike, better: Better = "increase") -> Estimate:
    """Robust improvement rate difference, from PAND by fewest removals: 1 - (m+n)^2 / (2mn) (1 - PAND); 0..1.

    Parker, Vannest & Brown (2009); Parker, Vannest & Davis (2011). No standard error.
    """
    turned_a, turned_b = two_phases(a, b, better)
    m, n = turned_a.size, turned_b.size
    removed = m + n - most_kept(turned_a, turned_b)
    return Estimate(1.0 - (m + n) * removed / (2.0 * m * n))
