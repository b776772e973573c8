"""Pair scores against plain loops, and the interval against the roots of its polynomial."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.stats import pairs
from bylittle.core.stats.values import Z95

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)

phase = st.lists(st.integers(0, 5).map(float), min_size=2, max_size=7)


def by_hand(a: list[float], b: list[float]) -> tuple[float, float, float, float]:
    score = np.array([[1.0 if y > x else 0.5 if y == x else 0.0 for y in b] for x in a])
    centre = score.mean()
    rows, columns = score.mean(axis=1), score.mean(axis=0)
    return centre, np.mean((rows - centre) ** 2), np.mean((columns - centre) ** 2), score.var()


@quick
@given(phase, phase)
def test_pair_scores_are_what_loops_give(a: list[float], b: list[float]) -> None:
    found = pairs.pair_scores(np.array([a]), np.array([b]))
    parts = (found.share[0], found.between_a[0], found.between_b[0], found.between_pairs[0])
    assert parts == pytest.approx(by_hand(a, b))


def test_work_in_pieces_gives_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = np.random.default_rng(3).integers(0, 9, (50, 10)).astype(float)
    whole = pairs.pair_scores(rows[:, :4], rows[:, 4:])
    monkeypatch.setattr(pairs, "PAIRS_AT_ONCE", 70)
    pieces = pairs.pair_scores(rows[:, :4], rows[:, 4:])
    assert np.array_equal(whole.share, pieces.share)
    assert np.array_equal(whole.between_pairs, pieces.between_pairs)


def roots(share: float, m: int, n: int) -> list[float]:
    """Real roots in 0..1 of Newcombe's equation, multiplied out by (2 - t)(1 + t)."""
    t = np.polynomial.Polynomial([0.0, 1.0])
    half = (m + n) / 2 - 1
    inner = (2 - t) * (1 + t) + half * (1 - t) * (1 + t) + half * t * (2 - t)
    equation = (share - t) ** 2 * (2 - t) * (1 + t) - Z95**2 / (m * n) * t * (1 - t) * inner
    found = equation.roots()
    real = found[np.abs(found.imag) < 1e-7].real
    return sorted(float(root) for root in real if -1e-9 <= root <= 1 + 1e-9)


@pytest.mark.parametrize(("m", "n"), [(2, 2), (3, 6), (5, 15), (20, 20), (2, 40)])
def test_limits_are_the_two_roots_of_newcombes_equation(m: int, n: int) -> None:
    shares = np.arange(0, 2 * m * n + 1) / (2 * m * n)
    low, high = pairs.share_interval(shares, m, n)
    for index in (0, 1, m, m * n, 2 * m * n - 1, 2 * m * n):
        expected = roots(float(shares[index]), m, n)
        assert len(expected) == 2
        assert [low[index], high[index]] == pytest.approx(expected, abs=1e-6)


def test_the_ends_of_the_scale_are_limits_exactly() -> None:
    low, high = pairs.share_interval(np.array([0.0, 1.0]), 4, 5)
    assert (low[0], high[1]) == (0.0, 1.0)


def test_limits_rise_with_the_share() -> None:
    shares = np.linspace(0, 1, 101)
    low, high = pairs.share_interval(shares, 5, 8)
    assert np.all(np.diff(low) > 0)
    assert np.all(np.diff(high) > 0)
    assert high[:-1] == pytest.approx(1 - low[:0:-1])


def test_no_difference_error_is_that_of_mann_whitney() -> None:
    """Standard deviation of U over m n, without ties: sqrt(m n (m + n + 1) / 12) / (m n)."""
    assert pairs.null_error(6, 7) == pytest.approx(np.sqrt(6 * 7 * 14 / 12) / 42)
