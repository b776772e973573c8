"""Conservative dual criterion: counted by hand, and its laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from bylittle.core.faults import BadValue
from bylittle.core.stats import conservative_dual

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)

baseline = st.lists(st.integers(0, 10).map(float), min_size=3, max_size=8)
treatment = st.lists(st.integers(0, 20).map(float), min_size=5, max_size=12)


def test_a_flat_baseline_by_hand() -> None:
    """Baseline 4, 6, 4, 6, 5: mean 5, SD 1, least squares slope 0.2, so the trend starts at 4.4.

    Shifted by a quarter: level 5.25, trend 4.65 + 0.2 t, which is 5.85 at session 6 and 6.65 at session 10.
    """
    found = conservative_dual.criterion([4, 6, 4, 6, 5], [5.8, 6.1, 6.3, 6.4, 7.0])
    assert found.level == pytest.approx(5.25)
    assert found.trend == pytest.approx((0.2, 4.65))
    assert (found.beyond, found.n, found.needed, found.met) == (3, 5, 5, False)
    assert found.p == pytest.approx(0.5)


def test_a_rising_baseline_raises_the_bar() -> None:
    rising, later = [1, 2, 3, 4, 5], [6, 7, 8, 9, 10]
    assert conservative_dual.criterion(rising, later).beyond == 0
    assert conservative_dual.criterion([3, 3, 3, 3, 3], later).met


def test_a_falling_baseline_does_not_lower_it_below_the_level() -> None:
    assert conservative_dual.criterion([9, 7, 5, 3, 1], [4, 4, 4, 4, 4]).beyond == 0


@pytest.mark.parametrize("n", range(5, 25))
def test_needed_is_the_smallest_count_that_a_coin_would_not_give(n: int) -> None:
    found = conservative_dual.criterion([1, 2, 1], [9.0] * n)
    assert binomtest(found.needed, n, alternative="greater").pvalue <= 0.05
    assert binomtest(found.needed - 1, n, alternative="greater").pvalue > 0.05


@quick
@given(baseline, treatment)
def test_laws(a: list[float], b: list[float]) -> None:
    found = conservative_dual.criterion(a, b)
    mirrored = conservative_dual.criterion([-x for x in a], [-x for x in b], "decrease")
    assert (mirrored.beyond, mirrored.p, mirrored.met) == (found.beyond, found.p, found.met)
    assert mirrored.level == pytest.approx(-found.level)
    assert mirrored.trend == pytest.approx((-found.trend.slope, -found.trend.intercept))
    assert conservative_dual.criterion(a, b, c=0.5).beyond <= found.beyond
    expected = binomtest(found.beyond, len(b), alternative="greater").pvalue
    assert found.p == pytest.approx(expected)
    t = np.arange(len(a) + 1, len(a) + len(b) + 1)
    bar = np.maximum(found.level, found.trend.intercept + found.trend.slope * t)
    assert found.beyond == np.count_nonzero(np.array(b) > bar)


@pytest.mark.parametrize("c", [-0.1, math.nan])
def test_a_shift_is_towards_improvement(c: float) -> None:
    with pytest.raises(BadValue):
        conservative_dual.criterion([1, 2, 3], [4, 5, 6, 7, 8], c=c)


def test_a_point_on_the_line_is_not_beyond_it() -> None:
    """0.7 a session, whose line misses two of its own points by the last bit."""
    rising, on_it = [0.0, 0.7, 1.4, 2.1, 2.8], [3.5, 4.2, 4.9, 5.6, 6.3, 7.0]
    assert conservative_dual.criterion(rising, on_it, c=0.0).beyond == 0
    assert conservative_dual.criterion([0.1] * 3, [0.1] * 6).beyond == 0
