"""Lag-one autocorrelation against statsmodels, in phases, and refusals."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from statsmodels.tsa.stattools import acf

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.stats import autocorrelation

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)

values = st.lists(st.integers(-9, 9).map(float), min_size=5, max_size=20)


@quick
@given(values)
def test_lag_one_is_that_of_statsmodels(y: list[float]) -> None:
    assume(len(set(y)) > 1)
    found = autocorrelation.lag_one(y)
    assert found.estimate == pytest.approx(acf(y, nlags=1, fft=False)[1], abs=1e-9)
    assert found.low <= found.estimate <= found.high
    assert found.low >= -1.0
    assert found.high <= 1.0
    assert autocorrelation.lag_one_corrected(y) == pytest.approx(found.estimate + 1 / len(y))


def test_a_series_that_keeps_its_past_shows_it() -> None:
    chance = np.random.default_rng(8)
    y = np.zeros(4000)
    for t in range(1, y.size):
        y[t] = 0.6 * y[t - 1] + chance.normal()
    assert autocorrelation.lag_one(y).estimate == pytest.approx(0.6, abs=0.05)


def test_a_change_of_level_is_no_autocorrelation_in_phases() -> None:
    a, b = [1.0, 2.0, 1.0, 2.0], [11.0, 12.0, 11.0, 12.0]
    assert autocorrelation.lag_one(a + b).estimate > 0.5
    assert autocorrelation.lag_one_in_phases([a, b]).estimate == pytest.approx(-0.75)


def test_refusals() -> None:
    with pytest.raises(NotEnoughData) as caught:
        autocorrelation.lag_one([1, 2, 3, 4])
    assert (caught.value.n, caught.value.needed) == (4, 5)
    with pytest.raises(NotEnoughData):
        autocorrelation.lag_one_in_phases([])
    with pytest.raises(Undefined):
        autocorrelation.lag_one([0.1] * 6)
    with pytest.raises(BadValue):
        autocorrelation.lag_one([1, 2, 3, 4, float("nan")])
