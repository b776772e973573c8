"""All baseline-by-treatment pairs of many series at once: shares, standard errors, interval.

Arrays have one series a row: `a` is (k, m), `b` is (k, n), larger is better. Pair scores are 1 (b above a),
1/2 (equal) and 0; they are counted doubled, as whole numbers, so that ties stay exact.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bylittle.core.stats.values import Z95, Array

PAIRS_AT_ONCE = 1 << 20
HALVINGS = 48


@dataclass(frozen=True, slots=True)
class PairScores:
    """Per series: `share` of better pairs, variance of its row means, column means and single pair scores."""

    share: Array
    between_a: Array
    between_b: Array
    between_pairs: Array
    m: int
    n: int


def pair_scores(a: Array, b: Array) -> PairScores:
    """Compare every point of `a` (k, m) with every point of `b` (k, n)."""
    m, n = a.shape[1], b.shape[1]
    step = max(1, PAIRS_AT_ONCE // (m * n))
    parts = [_counts(a[i : i + step], b[i : i + step]) for i in range(0, a.shape[0], step)]
    rows, columns, equal = (np.concatenate(part) for part in zip(*parts, strict=True))
    share = rows.sum(axis=1) / (2.0 * m * n)
    mean_square = share - equal / (4.0 * m * n)  # a tie scores 1/2, whose square is 1/4
    centre = share[:, None]
    return PairScores(
        share,
        np.mean((rows / (2.0 * n) - centre) ** 2, axis=1),
        np.mean((columns / (2.0 * m) - centre) ** 2, axis=1),
        np.maximum(mean_square - share**2, 0.0),
        m,
        n,
    )


def _counts(a: Array, b: Array) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Doubled scores by point of `a` (k, m) and by point of `b` (k, n), and the ties (k,)."""
    above = b[:, None, :] > a[:, :, None]
    level = b[:, None, :] == a[:, :, None]
    doubled = 2 * above.view(np.int8) + level.view(np.int8)
    rows = doubled.sum(axis=2, dtype=np.int64)
    return rows, doubled.sum(axis=1, dtype=np.int64), np.count_nonzero(level, axis=(1, 2)).astype(np.int64)


def pulled_in(scores: PairScores) -> Array:
    """N (1 - N) with N kept half a pair away from 0 and 1, so that complete separation keeps some error."""
    edge = 1.0 / (2.0 * scores.m * scores.n)
    inside = np.clip(scores.share, edge, 1.0 - edge)
    return np.asarray(inside * (1.0 - inside))


def unbiased_error(scores: PairScores) -> Array:
    """Standard error of the share, unbiased where nothing ties and too large where much does.

    Both phases need two points or more.
    """
    m, n = scores.m, scores.n
    inside = pulled_in(scores) + n * scores.between_a + m * scores.between_b - 2.0 * scores.between_pairs
    return np.sqrt(np.maximum(inside, 0.0) / ((m - 1) * (n - 1)))


def hanley_error(scores: PairScores) -> Array:
    """Standard error of the share by Hanley & McNeil (1982)."""
    m, n = scores.m, scores.n
    inside = pulled_in(scores) + (n - 1) * scores.between_a + (m - 1) * scores.between_b
    return np.sqrt(inside / (m * n))


def null_error(m: int, n: int) -> float:
    """Standard error of the share if the phases did not differ and nothing ties."""
    return float(np.sqrt((m + n + 1) / (12.0 * m * n)))


def share_interval(share: Array, m: int, n: int) -> tuple[Array, Array]:
    """95 % limits of the share by Newcombe (2006), method 5.

    The limits are the roots t of (share - t)^2 = variance(t); one lies below the share and one above it.
    At complete separation one root is the share itself and is a limit; the other is the second root.
    Found by halving the stretch between the end of the scale (too far) and the share (within).
    """
    outside, inside = np.stack((np.zeros_like(share), np.ones_like(share))), np.stack((share, share))
    for _ in range(HALVINGS):
        middle = 0.5 * (outside + inside)
        beyond = (share - middle) ** 2 > Z95**2 * _newcombe_variance(middle, m, n)
        outside, inside = np.where(beyond, middle, outside), np.where(beyond, inside, middle)
    low, high = 0.5 * (outside + inside)
    return low, high


def _newcombe_variance(t: Array, m: int, n: int) -> Array:
    half = (m + n) / 2.0 - 1.0
    return np.asarray(t * (1.0 - t) / (m * n) * (1.0 + half * (1.0 - t) / (2.0 - t) + half * t / (1.0 + t)))
