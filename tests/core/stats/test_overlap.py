"""Overlap measures: published values that stand outside the reference file, and laws."""

from __future__ import annotations

import itertools
from dataclasses import astuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import mannwhitneyu

from bylittle.core.faults import BadValue, NotEnoughData
from bylittle.core.stats import overlap

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)

# Few whole values, so that ties come up all the time.
tied = st.lists(st.integers(-3, 3).map(float), min_size=3, max_size=8)
free = st.lists(st.floats(-1e3, 1e3, allow_nan=False, width=32), min_size=3, max_size=8)
phase = tied | free

MIRRORED = [
    overlap.nap,
    overlap.tau,
    overlap.tau_u,
    overlap.tau_u_all_pairs,
    overlap.tau_bc,
    overlap.pnd,
    overlap.pem,
    overlap.pand,
    overlap.ird,
]


def turned(values: list[float]) -> list[float]:
    return [-value for value in values]


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        # What Works Clearinghouse handbook 5.0, Appendix I, data of Figure 17: lower is better.
        ([15, 10, 14, 17, 13, 12], [9, 9, 11, 15, 20], 18.5 / 30),
        ([15, 10, 14], [17, 13, 12], 4 / 9),
        ([15, 10, 14, 17, 13, 12], [2, 1, 1, 0, 0], 1.0),
        ([9, 9, 11, 15, 20], [1, 0, 4, 0, 1], 1.0),
    ],
)
def test_nap_of_a_published_reversal(a: list[float], b: list[float], expected: float) -> None:
    assert overlap.nap(a, b, "decrease").estimate == pytest.approx(expected)


def test_parker_vannest_and_davis_2011() -> None:
    a, b = [20, 20, 26, 25, 22, 23], [28, 25, 24, 27, 30, 30, 29]
    assert overlap.nap(a, b).estimate == pytest.approx(38.5 / 42)
    assert overlap.tau(a, b).estimate == pytest.approx(35 / 42)
    assert overlap.pnd(a, b).estimate == pytest.approx(5 / 7)
    assert overlap.pem(a, b).estimate == 1.0
    assert overlap.pand(a, b).estimate == pytest.approx(11 / 13)
    assert overlap.ird(a, b).estimate == pytest.approx(0.6905, abs=5e-5)


def test_a_steady_rise_is_no_effect_once_the_trend_is_taken_off() -> None:
    """Tarlow (2017): 1..5 then 6..10."""
    a, b = [1, 2, 3, 4, 5], [6, 7, 8, 9, 10]
    assert overlap.tau(a, b).estimate == 1.0
    assert overlap.tau_u(a, b).estimate == pytest.approx(0.6)
    assert overlap.tau_bc(a, b).estimate == 0.0


def test_tau_u_can_leave_the_range_of_a_correlation() -> None:
    assert overlap.tau_u([5, 4, 3, 2, 1], [6, 7]).estimate == pytest.approx(2.0)


def test_forms_of_tau_u_over_all_pairs() -> None:
    """Parker, Vannest, Davis & Sauber (2011), data of Bob: S_AB 16, S_A 3, S_B 7; 20, 6 and 10 pairs."""
    a, b = [2, 3, 5, 3], [4, 5, 5, 7, 6]
    assert overlap.tau_u_all_pairs(a, b).estimate == pytest.approx((16 - 3 + 7) / 36)
    assert overlap.tau_u_all_pairs(a, b, treatment_trend=False).estimate == pytest.approx((16 - 3) / 26)
    assert overlap.tau_u_all_pairs(a, b, baseline_trend=False).estimate == pytest.approx((16 + 7) / 30)


def test_tau_u_over_all_pairs_with_neither_trend_is_tau() -> None:
    a, b = [3, 3, 4, 5], [4, 5, 6, 7, 7]
    plain = overlap.tau_u_all_pairs(a, b, baseline_trend=False, treatment_trend=False)
    assert plain.estimate == overlap.tau(a, b).estimate


@pytest.mark.parametrize("measure", [overlap.pnd, overlap.pem, overlap.pand, overlap.ird, overlap.tau_u])
def test_measures_without_an_error_have_none(measure) -> None:
    found = measure([1, 2, 3], [2, 3, 4])
    assert (found.se, found.low, found.high) == (None, None, None)


def test_all_equal_is_no_difference() -> None:
    same = [4.0] * 5
    assert overlap.nap(same, same).estimate == 0.5
    assert overlap.tau(same, same).estimate == 0.0
    assert overlap.tau_u(same, same).estimate == 0.0
    assert overlap.tau_bc(same, same).estimate == 0.0
    assert overlap.pnd(same, same).estimate == 0.0
    assert overlap.pem(same, same).estimate == 0.5
    assert overlap.pand(same, same).estimate == 0.5
    assert overlap.ird(same, same).estimate == 0.0


@quick
@given(phase, phase)
def test_nap_is_the_mann_whitney_share(a: list[float], b: list[float]) -> None:
    u = mannwhitneyu(b, a, method="asymptotic").statistic
    assert overlap.nap(a, b).estimate == pytest.approx(u / (len(a) * len(b)))


@quick
@given(phase, phase)
def test_nap_both_ways_sums_to_one(a: list[float], b: list[float]) -> None:
    assert overlap.nap(a, b).estimate + overlap.nap(b, a).estimate == pytest.approx(1.0)


@quick
@given(phase, phase)
def test_direction_turns_nap_round(a: list[float], b: list[float]) -> None:
    rise, fall = overlap.nap(a, b), overlap.nap(a, b, "decrease")
    assert rise.estimate + fall.estimate == pytest.approx(1.0)
    assert rise.se == pytest.approx(fall.se)
    assert rise.low == pytest.approx(1.0 - fall.high)
    assert rise.high == pytest.approx(1.0 - fall.low)


@quick
@given(phase, phase)
def test_tau_is_twice_nap_less_one(a: list[float], b: list[float]) -> None:
    nap, tau = overlap.nap(a, b), overlap.tau(a, b)
    assert tau.estimate == pytest.approx(2 * nap.estimate - 1)
    assert tau.se == pytest.approx(2 * nap.se)
    assert (tau.low, tau.high) == pytest.approx((2 * nap.low - 1, 2 * nap.high - 1))


@pytest.mark.parametrize("measure", MIRRORED)
@quick
@given(a=phase, b=phase)
def test_a_fall_of_mirrored_data_is_a_rise(measure, a: list[float], b: list[float]) -> None:
    assert measure(a, b, "decrease").estimate == pytest.approx(measure(turned(a), turned(b)).estimate)


@quick
@given(phase, phase)
def test_intervals_hold_their_estimate(a: list[float], b: list[float]) -> None:
    for measure, bottom in ((overlap.nap, 0.0), (overlap.tau, -1.0), (overlap.tau_bc, -1.0)):
        found = measure(a, b)
        assert bottom <= found.low <= found.estimate <= found.high <= 1.0
        assert found.low < found.high
        assert found.se >= 0


@quick
@given(tied, tied)
def test_only_order_counts_for_nap(a: list[float], b: list[float]) -> None:
    expected = astuple(overlap.nap(a, b))
    assert astuple(overlap.nap(np.exp(a), np.exp(b))) == pytest.approx(expected)
    assert astuple(overlap.nap(sorted(a), sorted(b, reverse=True))) == pytest.approx(expected)


@quick
@given(st.integers(3, 30), st.integers(2, 60), st.floats(-50, 50), st.floats(-1e3, 1e3))
def test_a_straight_line_has_no_effect_beyond_its_trend(m: int, n: int, slope: float, start: float) -> None:
    line = [start + slope * t for t in range(m + n)]
    assert overlap.tau_bc(line[:m], line[m:]).estimate == 0.0


@quick
@given(tied, tied, st.integers(-5, 5))
def test_tau_bc_takes_off_any_whole_slope(a: list[float], b: list[float], slope: int) -> None:
    tilted = [value + slope * t for t, value in enumerate(a + b)]
    expected = overlap.tau_bc(a, b)
    found = overlap.tau_bc(tilted[: len(a)], tilted[len(a) :])
    assert found.estimate == pytest.approx(expected.estimate)
    assert found.slope == pytest.approx(expected.slope + slope)


@quick
@given(phase, phase)
def test_overlap_shares_stay_in_their_ranges(a: list[float], b: list[float]) -> None:
    larger = max(len(a), len(b)) / (len(a) + len(b))
    assert larger <= overlap.pand(a, b).estimate <= 1.0
    assert -1e-12 <= overlap.ird(a, b).estimate <= 1.0
    assert 0.0 <= overlap.pnd(a, b).estimate <= overlap.pem(a, b).estimate <= 1.0


@quick
@given(phase, phase)
def test_complete_separation_is_one_everywhere(a: list[float], b: list[float]) -> None:
    lifted = [value - min(b) + max(a) + 1.0 for value in b]
    for measure in (overlap.nap, overlap.tau, overlap.pnd, overlap.pem, overlap.pand, overlap.ird):
        assert measure(a, lifted).estimate == pytest.approx(1.0)


def test_complete_separation_keeps_its_doubt() -> None:
    few, more = overlap.nap([1, 2, 3], [4, 5, 6]), overlap.nap([1, 2, 3] * 4, [4, 5, 6] * 4)
    assert few.high == more.high == 1.0
    assert few.low < more.low < 1.0
    assert few.se > more.se > 0


def test_batch_equals_one_by_one() -> None:
    chance = np.random.default_rng(7)
    rows = chance.integers(0, 6, (200, 12)).astype(float)
    many = overlap.nap_batch(rows[:, :5], rows[:, 5:], "decrease")
    for index, row in enumerate(rows):
        one = overlap.nap(row[:5], row[5:], "decrease")
        found = (many.estimate[index], many.se[index], many.low[index], many.high[index])
        assert found == (one.estimate, one.se, one.low, one.high)


def test_batch_refuses_what_the_single_form_refuses() -> None:
    good, spoilt = np.ones((3, 4)), np.ones((3, 4))
    spoilt[1, 2] = np.nan
    with pytest.raises(BadValue) as caught:
        overlap.nap_batch(good, spoilt)
    assert caught.value.values["index"] == (1, 2)
    with pytest.raises(BadValue):
        overlap.nap_batch(good, np.ones((2, 4)))
    with pytest.raises(NotEnoughData):
        overlap.nap_batch(good, np.ones((3, 1)))
    with pytest.raises(NotEnoughData):
        overlap.nap_batch(np.ones((0, 4)), np.ones((0, 4)))


def test_the_unbiased_error_is_unbiased() -> None:
    """Over all draws of 3 even and 3 odd numbers of equal chance, the mean of SE^2 is the variance of NAP.

    Even and odd never tie. What complete separation adds, N (1 - N) half a pair from the end, is taken off.
    """
    shares, squares = [], []
    added = (1 / 18) * (17 / 18) / 4
    for a in itertools.product((0.0, 2.0, 4.0), repeat=3):
        for b in itertools.product((1.0, 3.0, 5.0), repeat=3):
            found = overlap.nap(a, b)
            shares.append(found.estimate)
            squares.append(found.se**2 - (added if found.estimate in (0.0, 1.0) else 0.0))
    assert np.mean(squares) == pytest.approx(np.var(shares), rel=1e-9)
