"""Lines against scipy and numpy, and their laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import theilslopes

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.stats import trend

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)

values = st.lists(st.integers(-20, 20).map(float), min_size=2, max_size=12)
LINES = [trend.theil_sen, trend.theil_sen_separate, trend.least_squares]


# scipy also works out limits of the slope, whose variance can come out below 0 with many equal x.
@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@quick
@given(values, st.randoms(use_true_random=False))
def test_theil_sen_is_that_of_scipy(y: list[float], chance) -> None:
    x = [float(chance.randint(0, 6)) for _ in y]
    if len(set(x)) == 1:
        x[0] += 1.0
    joint, separate = theilslopes(y, x, method="joint"), theilslopes(y, x, method="separate")
    assert trend.theil_sen(x, y) == pytest.approx((joint.slope, joint.intercept))
    assert trend.theil_sen_separate(x, y) == pytest.approx((separate.slope, separate.intercept))


@quick
@given(values)
def test_least_squares_is_that_of_numpy(y: list[float]) -> None:
    x = np.arange(len(y))
    assert trend.least_squares(x, y) == pytest.approx(tuple(np.polyfit(x, y, 1)), abs=1e-9)


@pytest.mark.parametrize("line", LINES)
def test_points_on_a_line_give_the_line(line) -> None:
    x = [1.0, 2.0, 4.0, 7.0]
    assert line(x, [2.5 - 0.75 * at for at in x]) == pytest.approx((-0.75, 2.5))


@pytest.mark.parametrize("line", LINES)
def test_a_line_without_enough_to_stand_on_is_refused(line) -> None:
    with pytest.raises(NotEnoughData) as caught:
        line([1.0], [2.0])
    assert (caught.value.n, caught.value.needed) == (1, 2)
    with pytest.raises(NotEnoughData):
        line([], [])
    with pytest.raises(Undefined):
        line([3.0, 3.0, 3.0], [1.0, 2.0, 3.0])
    with pytest.raises(BadValue):
        line([1.0, 2.0], [1.0, 2.0, 3.0])
    with pytest.raises(BadValue):
        line([1.0, 2.0], [1.0, math.nan])


def test_one_wild_point_does_not_move_theil_sen() -> None:
    x, y = range(1, 10), [2.0 * at for at in range(1, 10)]
    assert trend.theil_sen(x, [*y[:-1], 500.0]).slope == 2.0


def test_split_middle_by_hand() -> None:
    """Seven sessions: halves 1-3 and 5-7, session 4 left out."""
    y = [2.0, 4.0, 3.0, 99.0, 6.0, 8.0, 5.0]
    assert trend.half_medians(y) == (2.0, 3.0, 6.0, 6.0)
    assert trend.split_middle(y) == pytest.approx((0.75, 1.5))


@quick
@given(values)
def test_shifted_line_halves_the_points(y: list[float]) -> None:
    slope, start = trend.split_middle_shifted(y)
    rest = np.array(y) - slope * np.arange(1, len(y) + 1) - start
    assert np.count_nonzero(rest > 1e-9) <= len(y) / 2
    assert np.count_nonzero(rest < -1e-9) <= len(y) / 2
    assert slope == trend.split_middle(y).slope


@pytest.mark.parametrize("line", [trend.split_middle, trend.half_medians, trend.split_middle_shifted])
def test_split_middle_needs_two_points(line) -> None:
    with pytest.raises(NotEnoughData):
        line([1.0])
    assert line([1.0, 3.0])[0] in (1.0, 2.0)


def test_all_equal_is_flat() -> None:
    assert trend.theil_sen([1, 2, 3], [0.1] * 3) == pytest.approx((0.0, 0.1))
    assert trend.split_middle([0.1] * 3) == pytest.approx((0.0, 0.1))


def test_tau_b_without_variation_is_undefined() -> None:
    with pytest.raises(Undefined):
        trend.kendall_tau_b([1, 2, 3], [4, 4, 4])
    with pytest.raises(BadValue):
        trend.kendall_tau_b([1, 2, 3], [4, 5])
